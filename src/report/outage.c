/* Outages as a table with sentences. */
#include "anchorwise/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/verdict.h"
#include "report/words.h"

#define COLUMNS 6
/* Of these, the figures of the floor. */
#define FIGURES 3
/* A p95 that rises by less than this share is not told. */
#define LEAST_TOLD 0.005
/* A p95 so many times as large is not told more exactly: linear estimates are not good there. */
#define MUCH 3
/* Pairs told to people; JSON has all. */
#define MOST_PAIRS 10

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

/* --- for people --- */

static void add_worth(aw_table *t, const aw_outage *o, const aw_scenario *s, size_t loss)
{
    const size_t place = sufferer(o, loss);
    const double rise = rise_of(o, place, loss);
    const double gone = aw_outage_at(o, 0, loss)->no_fix - aw_outage_at(o, 0, 0)->no_fix;
    char figure[AW_FIGURE_ROOM];
    if (loss == 0)
        aw_table_add(t, "–");
    else if (isinf(rise))
        aw_table_add(t, "%s: no p95 left", aw_area_name(s, place));
    else if (rise > MUCH - 1)
        aw_table_add(t, "%s: p95 over %d times", aw_area_name(s, place), MUCH);
    else if (rise >= LEAST_TOLD)
        aw_table_add(t, "%s: p95 %+.0f %%", aw_area_name(s, place), 100 * rise);
    else if (gone > 0)
        aw_table_add(t, "floor: no position in %s more", aw_figure_share(gone, figure));
    else
        aw_table_add(t, "little");
}

/* Whether the loss makes a zone fall short that does not with all anchors. */
static bool adds_short(const aw_outage *o, size_t loss)
{
    for (size_t place = 1; place < o->n_places; place++)
        if (aw_outage_at(o, place, loss)->falls_short && !aw_outage_at(o, place, 0)->falls_short)
            return true;
    return false;
}

/* Zones that fall short; those that do so with all anchors are told in the first row alone. */
static void add_short(aw_table *t, const aw_outage *o, const aw_scenario *s, size_t loss)
{
    aw_text names = {0};
    for (size_t place = 1; place < o->n_places; place++)
        if (aw_outage_at(o, place, loss)->falls_short &&
            (loss == 0 || !aw_outage_at(o, place, 0)->falls_short))
            aw_text_format(&names, "%s%s", names.n > 0 ? ", " : "", aw_area_name(s, place));
    bool already = false;
    for (size_t place = 1; place < o->n_places; place++)
        already = already || aw_outage_at(o, place, 0)->falls_short;
    aw_table_add(t, "%s", names.n > 0 ? names.at : loss > 0 && already ? "no other" : "–");
    t->failed |= names.failed;
    aw_text_free(&names);
}

/* The figures of a row as they are printed. */
static void add_figures(aw_table *t, const aw_outage *o, const aw_scenario *s, size_t loss)
{
    const aw_loss_figures *floor = aw_outage_at(o, 0, loss);
    const aw_loss_worst *worst = &o->worst[loss];
    char figure[AW_FIGURE_ROOM];
    if (rise_of(o, 0, loss) > MUCH - 1 && isfinite(floor->p95))
        aw_table_add(t, "over %s",
                     aw_error_figure(MUCH * aw_outage_at(o, 0, 0)->p95, s->units).text);
    else
        aw_table_add(t, "%s", aw_error_figure(floor->p95, s->units).text);
    aw_table_add(t, "%s", aw_figure_share(floor->no_fix, figure));
    if (isnan(worst->at[0]))
        aw_table_add(t, "–");
    else if (isnan(worst->p95))
        aw_table_add(t, "no p95 at %s", aw_spot_figure(worst->at, 2, s->units).text);
    else
        aw_table_add(t, "%s at %s", aw_error_figure(worst->p95, s->units).text,
                     aw_spot_figure(worst->at, 2, s->units).text);
}

static void add_single(aw_table *t, const aw_outage *o, const aw_scenario *s, size_t loss)
{
    aw_table_add(t, "%s", loss == 0 ? "none" : s->anchors[loss - 1].name);
    add_worth(t, o, s, loss);
    add_figures(t, o, s, loss);
    add_short(t, o, s, loss);
}

/* Whether a loss's row would only repeat that of none. */
static bool repeats_none(const aw_outage *o, const aw_scenario *s, size_t loss)
{
    aw_table t = {.columns = FIGURES};
    if (aw_outage_is_idle(o, loss))
        return true;
    if (rise_of(o, sufferer(o, loss), loss) >= LEAST_TOLD || adds_short(o, loss))
        return false;
    add_figures(&t, o, s, 0);
    add_figures(&t, o, s, loss);
    bool same = !t.failed;
    for (size_t i = 0; same && i < FIGURES; i++)
        same = strcmp(t.cells[i].text, t.cells[FIGURES + i].text) == 0;
    aw_table_free(&t);
    return same;
}

static void add_singles(const aw_outage *o, const aw_scenario *s, aw_text *out)
{
    static const char *const head[COLUMNS] = {
        "lost",        "what it costs",           "p95 of floor (%s)",
        "no position", "worst p95 (%s), at (%s)", "fall short"};
    static const char *const kind[COLUMNS] = {
        "", "linear estimate", "linear estimate", "linear estimate", "drawn", "either"};
    aw_table t = {.columns = COLUMNS, .align = "llrrLl", .heads = 1};
    ranked *order = rank_singles(o);
    for (size_t i = 0; i < COLUMNS; i++)
        aw_table_add(&t, head[i], aw_small_unit(s->units), aw_coordinate_unit(s->units));
    for (size_t i = 0; i < COLUMNS; i++)
        aw_table_add(&t, "%s", kind[i]);
    add_single(&t, o, s, 0);
    for (size_t i = 0; order != NULL && i < o->n_singles; i++)
        if (!repeats_none(o, s, order[i].loss))
            add_single(&t, o, s, order[i].loss);
    t.failed |= order == NULL;
    aw_table_write(&t, out);
    aw_table_free(&t);
    free(order);
    aw_text_add(out, "\n");
}

/* The anchors whose rows are left out, idle ones and others apart. */
static void add_left_out(const aw_outage *o, const aw_scenario *s, bool idle, aw_text *out)
{
    size_t n = 0, told = 0;
    for (size_t loss = 1; loss <= o->n_singles; loss++)
        n += repeats_none(o, s, loss) && aw_outage_is_idle(o, loss) == idle;
    if (n == 0)
        return;
    aw_text_format(out, "%zu anchor%s %s: ", n, n == 1 ? "" : "s",
                   idle     ? n == 1 ? "changes nothing" : "change nothing"
                   : n == 1 ? "changes no figure above"
                            : "change no figure above");
    for (size_t loss = 1; loss <= o->n_singles; loss++)
        if (repeats_none(o, s, loss) && aw_outage_is_idle(o, loss) == idle)
            aw_text_format(out, "%s%s",
                           told++ == 0 ? ""
                           : told == n ? " and "
                                       : ", ",
                           s->anchors[loss - 1].name);
    aw_text_add(out, !idle    ? ".\n"
                     : n == 1 ? "; without it no cell errs by 1 % more.\n"
                              : "; without any one of them no cell errs by 1 % more.\n");
}

/* The zone's own verdict with all anchors comes first: what fails intact cannot be sturdy. */
static void add_sturdy(const aw_outage *o, const aw_scenario *s, size_t zone, aw_text *out)
{
    const aw_sturdy *r = &o->sturdy[zone];
    const char *name = s->zones[zone].name;
    if (r->verdict == AW_NO_NEED)
        return;
    if (o->intact[zone].verdict == AW_NOT_MET) {
        aw_text_format(out, "%s: %s even with all anchors, by ", name, aw_verdict_word(AW_NOT_MET));
        aw_reason_words(&o->intact[zone], out);
        aw_text_add(out, ".\n");
        return;
    }
    const char *lost = s->anchors[o->losses[r->loss].anchor[0]].name;
    aw_text_format(out, "%s: %s; drawn, the worst loss is %s, p95 then %s", name,
                   r->verdict == AW_MET       ? "sturdy"
                   : r->verdict == AW_NOT_MET ? "NOT STURDY"
                                              : "undecided",
                   lost,
                   aw_error_words_asked(r->confirmed.errors.p95,
                                        r->confirmed.parts[AW_PART_P95].asked, s->units)
                       .text);
    if (r->verdict != AW_MET) {
        aw_text_add(out, r->verdict == AW_NOT_MET ? ", not met by " : "; too close to call: ");
        aw_reason_words(&r->confirmed, out);
    }
    aw_text_add(out, ".\n");
}

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
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out,
                   "%zu anchor%s, each lost in turn%s; %s, seed %llu, %s "
                   "figures\n\n",
                   s->n_anchors, s->n_anchors == 1 ? "" : "s",
                   s->n_anchors <= AW_MOST_PAIRED ? " and every pair" : "",
                   aw_draws_words(&s->study).text, (unsigned long long)s->study.seed,
                   aw_scenario_is_site(s) ? "site" : "bench");
    add_singles(o, s, out);
    add_left_out(o, s, true, out);
    add_left_out(o, s, false, out);
    for (size_t i = 0; i < s->n_zones; i++)
        add_sturdy(o, s, i, out);
    add_verdict(o, colour, out);
    add_pairs(o, s, out);
    if (o->n_singles > AW_MOST_PAIRED)
        aw_text_format(out, "Of more than %d anchors the pairs are left out.\n", AW_MOST_PAIRED);
    aw_text_add(out,
                "Linear estimates are scaled so that p95 with all anchors is the drawn one. A zone "
                "falls short as drawn\nwith all anchors and under its worst losses, else by linear "
                "estimate. Its verdict is drawn.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
    aw_isolate_names(out, from);
}
