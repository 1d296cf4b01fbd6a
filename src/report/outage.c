/* Outages as a table with sentences. */
#include "anchorwise/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise.h"
#include "report/columns.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/outage.h"
#include "report/told.h"
#include "report/verdict.h"
#include "report/words.h"

/* A p95 that rises by less than this share is not told. */
#define LEAST_TOLD 0.005
/* A p95 so many times as large is not told more exactly: linear estimates are not good there. */
#define MUCH 3
/* Pairs, and zones that one loss makes fall short, told to people; JSON has all. */
#define MOST_PAIRS 10
#define MOST_SHORT 4

/* Share by which a loss raises the p95 of a place; infinity where it takes p95 away. */
static double rise_of(const aw_outage *o, size_t place, size_t loss)
{
    const double all = aw_outage_at(o, place, 0)->p95, p95 = aw_outage_at(o, place, loss)->p95;
    if (isinf(all) || isnan(all))
        return 0;
    return isinf(p95) ? HUGE_VAL : p95 / all - 1;
}

/* The place that suffers most. */
static size_t sufferer(const aw_outage *o, size_t loss)
{
    size_t most = 0;
    for (size_t place = 1; place < o->n_places; place++)
        if (rise_of(o, place, loss) > rise_of(o, most, loss))
            most = place;
    return most;
}

/* Single losses from the dearest to the idlest; false without memory. */
typedef struct ranked {
    size_t loss;
    double rise;
} ranked;

static int compare_ranked(const void *a, const void *b)
{
    const ranked *p = a, *q = b;
    if (p->rise != q->rise)
        return p->rise < q->rise ? 1 : -1;
    return p->loss < q->loss ? -1 : 1;
}

static ranked *rank_singles(const aw_outage *o)
{
    ranked *list = calloc(o->n_singles + 1, sizeof *list);
    for (size_t i = 0; list != NULL && i < o->n_singles; i++)
        list[i] = (ranked){i + 1, rise_of(o, sufferer(o, i + 1), i + 1)};
    if (list != NULL)
        qsort(list, o->n_singles, sizeof *list, compare_ranked);
    return list;
}

/* --- the table of losses --- */

static const aw_told_outage *told_of(const aw_subject *row)
{
    return row->with;
}

AW_WORDS(add_lost)
{
    const aw_told_outage *t = told_of(row);
    aw_text_add(out, row->k == 0 ? "none" : t->run.scenario->anchors[row->k - 1].name);
}

AW_WORDS(add_worth)
{
    const aw_outage *o = told_of(row)->outage;
    const size_t loss = row->k, place = sufferer(o, loss);
    const char *name = aw_area_name(told_of(row)->run.scenario, place);
    const double rise = rise_of(o, place, loss);
    const double gone = aw_outage_at(o, 0, loss)->no_fix - aw_outage_at(o, 0, 0)->no_fix;
    char figure[AW_FIGURE_ROOM];
    if (loss == 0)
        return;
    if (isinf(rise))
        aw_text_format(out, "%s: no p95 left", name);
    else if (rise > MUCH - 1)
        aw_text_format(out, "%s: p95 over %d times", name, MUCH);
    else if (rise >= LEAST_TOLD)
        aw_text_format(out, "%s: p95 %+.0f %%", name, 100 * rise);
    else if (gone > 0)
        aw_text_format(out, "floor: no position in %s more", aw_figure_share(gone, figure));
    else
        aw_text_add(out, "little");
}

AW_WORDS(add_floor_p95)
{
    const aw_outage *o = told_of(row)->outage;
    const double p95 = aw_outage_at(o, 0, row->k)->p95;
    if (rise_of(o, 0, row->k) > MUCH - 1 && isfinite(p95))
        aw_text_format(out, "over %s",
                       aw_error_figure(MUCH * aw_outage_at(o, 0, 0)->p95, units).text);
    else
        aw_text_add(out, aw_error_figure(p95, units).text);
}

/* Whether the loss makes a zone fall short that does not with all anchors; of no loss, whether it
 * does. */
static bool falls_short(const aw_outage *o, size_t place, size_t loss)
{
    return aw_outage_at(o, place, loss)->falls_short &&
           (loss == 0 || !aw_outage_at(o, place, 0)->falls_short);
}

static size_t count_short(const aw_outage *o, size_t loss)
{
    size_t n = 0;
    for (size_t place = 1; place < o->n_places; place++)
        n += falls_short(o, place, loss);
    return n;
}

/* Zones that fall short; those that do so with all anchors are told in the first row alone. */
AW_WORDS(add_short)
{
    const aw_outage *o = told_of(row)->outage;
    const size_t n = count_short(o, row->k);
    size_t told = 0;
    for (size_t place = 1; place < o->n_places && told < MOST_SHORT; place++)
        if (falls_short(o, place, row->k))
            aw_text_format(out, "%s%s", told++ > 0 ? ", " : "",
                           aw_area_name(told_of(row)->run.scenario, place));
    if (n > told)
        aw_text_format(out, " and %zu more", n - told);
    if (n == 0 && row->k > 0 && count_short(o, 0) > 0)
        aw_text_add(out, "no other");
}

#define FIGURES                                                                                    \
    {.head = "floor_p95", .format = AW_AS_ERROR, .words = add_floor_p95},                          \
        {.key = "places.0.no_position_share", .format = AW_AS_SHARE},                              \
        {.key = "worst_cell_p95_m", .format = AW_AS_ERROR, .none = "no p95"},                      \
    {                                                                                              \
        .key = "worst_at_m", .head = "at", .format = AW_AS_SPOT                                    \
    }
static const aw_column loss_columns[] = {
    {.head = "lost", .words = add_lost},
    {.head = "cost_of_loss", .words = add_worth},
    FIGURES,
    {.head = "fall_short", .words = add_short},
};
static const aw_column figure_columns[] = {FIGURES};
static const aw_listed losses = AW_LISTED(&aw_outage_shape, "losses", NULL, loss_columns);
static const aw_listed figures = AW_LISTED(&aw_outage_shape, "losses", NULL, figure_columns);

static void add_loss(aw_listing *list, size_t loss)
{
    char path[32];
    snprintf(path, sizeof path, "losses.%zu", loss);
    aw_listing_add(list, path);
}

/* Whether a loss's row would only repeat that of none. */
static bool repeats_none(const aw_told_outage *t, size_t loss)
{
    const aw_outage *o = t->outage;
    if (aw_outage_is_idle(o, loss))
        return true;
    if (rise_of(o, sufferer(o, loss), loss) >= LEAST_TOLD || count_short(o, loss) > 0)
        return false;
    const aw_subject document = AW_DOCUMENT(*t);
    aw_listing both = {.what = &figures, .document = &document};
    add_loss(&both, 0);
    add_loss(&both, loss);
    const aw_cell *none = both.table.cells + figures.n, *then = none + figures.n;
    bool same = !both.table.failed;
    for (size_t i = 0; same && i < figures.n; i++)
        same = strcmp(none[i].text, then[i].text) == 0;
    aw_table_free(&both.table);
    return same;
}

static void add_singles(const aw_told_outage *t, aw_text *out)
{
    const aw_subject document = AW_DOCUMENT(*t);
    aw_listing list = {.what = &losses, .document = &document};
    ranked *order = rank_singles(t->outage);
    out->failed |= order == NULL;
    add_loss(&list, 0);
    for (size_t i = 0; order != NULL && i < t->outage->n_singles; i++)
        if (!repeats_none(t, order[i].loss))
            add_loss(&list, order[i].loss);
    aw_listing_write(&list, out);
    free(order);
}

/* The anchors whose rows are left out, idle ones and others apart. */
static void add_left_out(const aw_told_outage *t, bool idle, aw_text *out)
{
    const aw_outage *o = t->outage;
    size_t n = 0, told = 0;
    for (size_t loss = 1; loss <= o->n_singles; loss++)
        n += repeats_none(t, loss) && aw_outage_is_idle(o, loss) == idle;
    if (n == 0)
        return;
    aw_text_format(out, "%zu anchor%s %s: ", n, n == 1 ? "" : "s",
                   idle     ? n == 1 ? "changes nothing" : "change nothing"
                   : n == 1 ? "changes no figure above"
                            : "change no figure above");
    for (size_t loss = 1; loss <= o->n_singles; loss++)
        if (repeats_none(t, loss) && aw_outage_is_idle(o, loss) == idle)
            aw_text_format(out, "%s%s",
                           told++ == 0 ? ""
                           : told == n ? " and "
                                       : ", ",
                           t->run.scenario->anchors[loss - 1].name);
    aw_text_add(out, !idle    ? ".\n"
                     : n == 1 ? "; without it no cell errs by 1 % more.\n"
                              : "; without any one of them no cell errs by 1 % more.\n");
}

/* --- the table of zones --- */

AW_WORDS(add_reasons_with_all)
{
    aw_behind_verdict(&told_of(row)->outage->intact[row->i], out);
}

static const aw_zone_result *under_worst_loss(const aw_subject *row)
{
    return &((const aw_sturdy *)row->of)->confirmed;
}

AW_WORDS(add_p95_then)
{
    const aw_zone_result *r = under_worst_loss(row);
    aw_text_add(out, aw_error_figure_asked(r->errors.p95, r->parts[AW_PART_P95].asked, units).text);
}

AW_WORDS(add_reasons_then)
{
    const aw_zone_result *r = under_worst_loss(row);
    if (r->verdict != AW_MET)
        aw_reason_words(r, out);
}

static const aw_column zone_columns[] = {
    {.key = "name", .head = "zone"},
    {.head = "need", .words = aw_add_zone_need},
    {.key = "met_with_all", .format = AW_AS_VERDICT, .words = add_reasons_with_all},
    {.key = "worst_loss"},
    {.head = "p95_then_m", .format = AW_AS_ERROR, .words = add_p95_then},
    {.key = "sturdy", .format = AW_AS_VERDICT, .words = add_reasons_then},
};
static const aw_listed zones = AW_LISTED(&aw_outage_shape, "zones", "sturdy", zone_columns);

static void add_verdict(const aw_outage *o, bool colour, aw_text *out)
{
    static const char *const words[] = {
        [AW_NOT_MET] = "NOT STURDY: with one anchor lost, a need is not met.",
        [AW_MET] = "STURDY: every need is met with any one anchor lost.",
        [AW_UNDECIDED] = ("Undecided: with one anchor lost, a need is too close to call; run "
                          "more draws."),
        [AW_NO_NEED] = "No zone states a need, so there is no verdict."};
    aw_text_format(out, "%s%s%s\n\n", aw_verdict_colour(o->verdict, colour), words[o->verdict],
                   aw_verdict_colour_end(o->verdict, colour));
}

typedef struct pair {
    size_t place, loss;
    double p95;
} pair;

static int compare_pairs(const void *a, const void *b)
{
    const pair *p = a, *q = b;
    if (p->p95 != q->p95)
        return p->p95 < q->p95 ? 1 : -1;
    if (p->place != q->place)
        return p->place < q->place ? -1 : 1;
    return p->loss < q->loss ? -1 : 1;
}

/* Pairs that matter, the worst first; the caller frees. NULL without memory. */
static pair *list_pairs(const aw_outage *o, size_t *n)
{
    pair *list = NULL;
    size_t room = 0;
    *n = 0;
    for (size_t place = 1; place < o->n_places; place++)
        for (size_t loss = o->n_singles + 1; loss < o->n_losses; loss++)
            room += aw_outage_pair_matters(o, place, loss);
    list = calloc(room + 1, sizeof *list);
    for (size_t place = 1; list != NULL && place < o->n_places; place++)
        for (size_t loss = o->n_singles + 1; loss < o->n_losses; loss++)
            if (aw_outage_pair_matters(o, place, loss))
                list[(*n)++] = (pair){place, loss, aw_outage_at(o, place, loss)->p95};
    if (list != NULL)
        qsort(list, *n, sizeof *list, compare_pairs);
    return list;
}

static void add_pairs(const aw_outage *o, const aw_scenario *s, aw_text *out)
{
    size_t n;
    pair *list = list_pairs(o, &n);
    if (list == NULL) {
        out->failed = true;
        return;
    }
    if (n > 0)
        aw_text_add(out,
                    "Two lost together make a zone fall short though neither does alone (linear "
                    "estimates):\n");
    for (size_t i = 0; i < n && i < MOST_PAIRS; i++) {
        const aw_loss *l = &o->losses[list[i].loss];
        aw_text_format(out, "  %s and %s: %s", s->anchors[l->anchor[0]].name,
                       s->anchors[l->anchor[1]].name, aw_area_name(s, list[i].place));
        if (isfinite(list[i].p95))
            aw_text_format(out, ", p95 about %s", aw_error_words(list[i].p95, s->units).text);
        else
            aw_text_add(out, ", no p95 left");
        aw_text_add(out, "\n");
    }
    if (n > MOST_PAIRS)
        aw_text_format(out, "  and %zu more\n", n - MOST_PAIRS);
    if (n > 0)
        aw_text_add(out, "\n");
    free(list);
}

void aw_outage_table(const aw_outage *o, const aw_scenario *s, const char *file, bool colour,
                     aw_text *out)
{
    const aw_told_outage t = {{s, file}, o};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out, "%zu anchor%s, each lost in turn%s; ", s->n_anchors,
                   s->n_anchors == 1 ? "" : "s",
                   s->n_anchors <= AW_MOST_PAIRED ? " and every pair" : "");
    aw_run_words(s, out);
    add_singles(&t, out);
    const size_t before = out->n;
    add_left_out(&t, true, out);
    add_left_out(&t, false, out);
    aw_text_add(out, out->n > before ? "\n" : "");
    aw_listed_write(&zones, &AW_DOCUMENT(t), colour, out);
    add_verdict(o, colour, out);
    add_pairs(o, s, out);
    if (o->n_singles > AW_MOST_PAIRED)
        aw_text_format(out, "Of more than %d anchors the pairs are left out.\n", AW_MOST_PAIRED);
    aw_text_add(
        out, "The worst p95 and verdicts are drawn; the figures left of it are linear estimates, "
             "scaled so that p95\nwith all anchors is the drawn one. A zone falls short as drawn "
             "with all anchors and under its worst\nlosses, else by linear estimate.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
    aw_isolate_names(out, from);
}

/* --- what the sheet shares --- */

double aw_outage_factor(const aw_outage *o, size_t place, size_t loss)
{
    return 1 + rise_of(o, place, loss);
}

bool aw_outage_fells(const aw_outage *o, size_t place, size_t loss)
{
    return loss > 0 && falls_short(o, place, loss);
}

size_t aw_outage_sufferer(const aw_outage *o, const aw_scenario *s, size_t loss)
{
    size_t most = 0;
    for (size_t place = 1; place < o->n_places; place++)
        if (aw_need_is_stated(&s->zones[place - 1].need) &&
            (most == 0 || rise_of(o, place, loss) > rise_of(o, most, loss)))
            most = place;
    return most;
}

size_t aw_outage_count_felled(const aw_outage *o, const aw_scenario *s, size_t loss)
{
    size_t n = 0;
    for (size_t place = 1; place < o->n_places; place++)
        n += aw_need_is_stated(&s->zones[place - 1].need) && aw_outage_fells(o, place, loss);
    return n;
}

void aw_outage_headline(const aw_outage *o, const aw_scenario *s, aw_text *out)
{
    const size_t from = out->n;
    size_t carry = 0, told = 0;
    for (size_t i = 0; i < o->n_singles; i++)
        carry += aw_outage_count_felled(o, s, i + 1) > 0;
    if (carry == 0) {
        aw_text_format(out, "No need falls with any one of %zu anchors lost.", o->n_singles);
        return;
    }
    aw_text_format(out, "%zu of %zu anchors %s a need: without ", carry, o->n_singles,
                   carry == 1 ? "carries" : "each carry");
    for (size_t i = 0; i < o->n_singles && told < MOST_SHORT; i++)
        if (aw_outage_count_felled(o, s, i + 1) > 0)
            aw_text_format(out, "%s%s",
                           told++ == 0                            ? ""
                           : told == carry && carry <= MOST_SHORT ? " or "
                                                                  : ", ",
                           s->anchors[i].name);
    if (carry > told)
        aw_text_format(out, " or %zu more", carry - told);
    aw_text_format(out, " one that is met falls. %zu may each be lost without a need noticing.",
                   o->n_singles - carry);
    aw_isolate_names(out, from);
}
