/* What to confirm: the assumptions that break a met need first, then those that move p95 most in
 * proportion to it; then how exact the work has to be. */
#include <math.h>

#include "book/client.h"
#include "report/sensitivity.h"
#include "report/verdict.h"
#include "report/lengths.h"

/* Assumptions that are told. */
#define MOST_TOLD 5

static const char *value_of(aw_client *c, aw_assumption a, double value)
{
    char words[AW_ASSUMED_ROOM];
    aw_assumption_range_words(&aw_assumption_rows[a], value, c->s->units, words);
    return aw_book_copy(c->book, words);
}

static void add_row(aw_client *c, aw_assumption a)
{
    const aw_sensitivity *v = &c->st->sensitivity;
    const aw_assumption_range *x = &v->assumed[a];
    size_t zone = 0;
    int end = 0;
    aw_client_harm(c, a, &zone, &end);
    const aw_zone_result *then = &aw_sensitivity_at(v, zone, a, end)->result,
                         *now = &v->today[zone];
    const bool breaks = now->verdict == AW_MET && then->verdict == AW_NOT_MET;
    const char *at = value_of(c, a, end == 0 ? x->low : x->high);
    const char *p95 = aw_client_error_words(c, then->errors.p95, then->parts[AW_PART_P95].asked);
    const char *name = v->zones[zone].name;
    aw_book_add_seen(c->book, aw_client_assumed(c, a), AW_LOOK_STRONG);
    aw_book_add_cell(c->book, SAY(c, OFF_BY, value_of(c, a, x->low), value_of(c, a, x->high),
                                  value_of(c, a, x->today)));
    aw_book_add_number(c->book,
                       breaks ? SAY(c, THEN_LOST, name, at, p95)
                              : SAY(c, THEN, name, at, p95, aw_client_verdict(c, then)),
                       then->errors.p95, "m", AW_FIGURE_DRAWN)
        ->look = breaks ? AW_LOOK_MISSED : AW_LOOK_PLAIN;
    aw_book_add_cell(c->book, aw_client_how(c, a));
}

static void add_tolerance(aw_client *c, aw_tolerance_kind kind)
{
    const aw_tolerance *t = &c->st->sensitivity.tolerances[kind];
    const char *takes = aw_tolerance_words(kind, t->most);
    aw_text limit = {0};
    aw_tolerance_limit_words(&c->st->sensitivity, t, &limit);
    const char *limits = aw_book_take(c->book, &limit);
    aw_book_add_seen(c->book, aw_tolerance_rows[kind].name, AW_LOOK_STRONG);
    aw_book_add_number(c->book,
                       aw_book_copy(c->book, aw_small_figure("%.3g", t->today, c->s->units).text),
                       t->today, "m", AW_FIGURE_STATED);
    aw_book_add_number(
        c->book,
        isnan(t->most) ? SAY(c, NO_ROOM)
                       : aw_book_copy(c->book, aw_small_figure("%.3g", t->most, c->s->units).text),
        t->most, "m", AW_FIGURE_DRAWN);
    aw_book_add_cell(c->book, limits);
    aw_book_add_cell(c->book, takes != NULL ? takes : SAY(c, DASH));
}

static void add_tolerances(aw_client *c)
{
    if (aw_client_needs(c) == 0)
        return;
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, TOLERANCES_CAPTION, aw_small_unit(c->s->units)));
    aw_client_column(c, AW_SAY_COL_TOLERANCE, false);
    aw_client_column(c, AW_SAY_COL_TODAY, true);
    aw_client_column(c, AW_SAY_COL_AT_MOST, true);
    aw_client_column(c, AW_SAY_COL_LIMIT, false);
    aw_client_column(c, AW_SAY_COL_TAKES, false);
    for (int kind = 0; kind < AW_TOLERANCES; kind++)
        add_tolerance(c, (aw_tolerance_kind)kind);
}

void aw_client_confirm(aw_client *c)
{
    aw_assumption order[AW_ASSUMPTIONS];
    size_t breaks;
    if (!c->st->has_sensitivity) {
        aw_client_lack(c, AW_SAY_LACK_CONFIRM);
        return;
    }
    const size_t n = aw_client_order(c, order, &breaks);
    if (n == 0) {
        aw_client_lack(c, AW_SAY_LACK_NEED);
        return;
    }
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, CONFIRM_CAPTION));
    aw_client_column(c, AW_SAY_COL_ASSUMPTION, false);
    aw_client_column(c, AW_SAY_COL_OFF, false);
    aw_client_column(c, AW_SAY_COL_THEN, false);
    aw_client_column(c, AW_SAY_COL_HOW, false);
    for (size_t i = 0; i < n && i < MOST_TOLD; i++)
        add_row(c, order[i]);
    aw_book_add(c->book, AW_BLOCK_TEXT, breaks > 0 ? SAY(c, BREAKING_NOTE) : SAY(c, ALONE_NOTE));
    add_tolerances(c);
}
