/* Layouts side by side, as two tables with a sentence for each place. */
#include "anchorwise/report.h"

#include <math.h>
#include <string.h>

#include "anchorwise.h"
#include "report/columns.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/sentences.h"
#include "report/told.h"
#include "report/verdict.h"
#include "report/words.h"
#include "report/worth.h"

/* Differences told to people; JSON has all. */
#define MOST_MISMATCHES 20

static const aw_area_result *area_of(const aw_subject *row)
{
    return row->of;
}

/* A difference with its sign, two decimals: it is a simulated one. */
static aw_length_text signed_length(double metres, aw_units units)
{
    const bool none = fabs(metres) < 0.005;
    return aw_small_figure(none ? "%.2f" : "%+.2f", none ? 0 : metres, units);
}

AW_WORDS(add_difference)
{
    aw_text_add(out, signed_length(area_of(row)->difference, units).text);
}

AW_WORDS(add_interval)
{
    const aw_area_result *r = area_of(row);
    if (isfinite(r->difference_low))
        aw_text_format(out, "%s to %s", signed_length(r->difference_low, units).text,
                       signed_length(r->difference_high, units).text);
}

AW_WORDS(add_ranking)
{
    static const char *const rankings[] = {[AW_NOT_TOLD_APART] = "not_told_apart",
                                           [AW_B_BETTER] = "better",
                                           [AW_B_WORSE] = "worse",
                                           [AW_NEAR] = "near"};
    const aw_area_result *r = area_of(row);
    if (isnan(r->p95[0]) != isnan(r->p95[1]))
        aw_text_add(out, isnan(r->p95[1]) ? "without a p95" : "alone with a p95");
    else if (!isnan(r->p95[0]))
        aw_text_add(out, aw_word("ranking", rankings[r->ranking]));
}

static aw_verdict colour_of_ranking(const aw_subject *row, __attribute__((unused)) size_t item)
{
    static const aw_verdict colours[] = {AW_NO_NEED, AW_MET, AW_NOT_MET, AW_NO_NEED};
    return colours[area_of(row)->ranking];
}

static const aw_column error_columns[] = {
    {.key = "name", .head = "zone"},
    {.key = "p50_m.0", .format = AW_AS_ERROR},
    {.key = "p50_m.1", .format = AW_AS_ERROR},
    {.key = "p95_m.0", .format = AW_AS_ERROR},
    {.key = "p95_m.1", .format = AW_AS_ERROR},
    {.head = "difference", .format = AW_AS_ERROR, .words = add_difference},
    {.head = "interval", .format = AW_AS_ERROR, .words = add_interval},
    {.head = "b_is", .words = add_ranking, .colour = colour_of_ranking},
};

/* Of place row->i and layout row->k of the comparisons. */
static const aw_told_comparisons *told_of(const aw_subject *row)
{
    return row->with;
}

/* The whole need; what B asks otherwise stands above among the differences. */
AW_WORDS(add_asked)
{
    const aw_scenario *all = told_of(row)->scenarios;
    const aw_need *a = &all[0].zones[row->i - 1].need, *b = &all[row->k].zones[row->i - 1].need;
    aw_need_words(aw_need_is_stated(a) ? a : b, units, out);
    aw_text_add(out, aw_need_is_stated(a) ? "" : " (B)");
}

static const aw_zone_result *judged_of(const aw_subject *row, size_t layout)
{
    return &told_of(row)->comparisons[row->k - 1].judged[layout][row->i - 1];
}

static aw_verdict verdict_of(const aw_subject *row, size_t layout)
{
    return judged_of(row, layout)->verdict;
}

AW_WORDS(add_verdict)
{
    aw_text_add(out, aw_zone_verdict_word(judged_of(row, item)));
}

AW_WORDS(add_chance)
{
    if (!isnan(area_of(row)->chance[item]))
        aw_text_add(out, aw_chance_words(judged_of(row, item)).text);
}

static const aw_column need_columns[] = {
    {.key = "name", .head = "zone"},
    {.head = "need", .words = add_asked},
    {.key = "share_meeting.0", .format = AW_AS_SHARE},
    {.key = "share_meeting.1", .format = AW_AS_SHARE},
    {.head = "chance_a", .format = AW_AS_FIGURE, .words = add_chance, .item = 0},
    {.head = "chance_b", .format = AW_AS_FIGURE, .words = add_chance, .item = 1},
    {.head = "verdict_a", .words = add_verdict, .colour = verdict_of, .item = 0},
    {.head = "verdict_b", .words = add_verdict, .colour = verdict_of, .item = 1},
};

static const aw_column cell_columns[] = {
    {.key = "name", .head = "cells_in_which"},
    {.key = "cells_better", .format = AW_AS_COUNT},
    {.key = "cells_worse", .format = AW_AS_COUNT},
    {.key = "cells_near", .format = AW_AS_COUNT},
    {.key = "cells", .head = "cells_of", .format = AW_AS_COUNT},
};

static const aw_listed error_table = AW_LISTED(&aw_comparisons_shape, NULL, NULL, error_columns);
static const aw_listed need_table = AW_LISTED(&aw_comparisons_shape, NULL, NULL, need_columns);
static const aw_listed cell_table = AW_LISTED(&aw_comparisons_shape, NULL, NULL, cell_columns);

/* Of comparison k, from place `first` on; the needs of zones that have one in either layout. */
static void add_table(const aw_told_comparisons *t, size_t k, const aw_listed *table, size_t first,
                      bool colour, aw_text *out)
{
    const aw_subject document = AW_DOCUMENT(*t);
    const aw_scenario *a = &t->scenarios[0], *b = &t->scenarios[k];
    aw_listing list = {.what = table, .document = &document, .table = {.colour = colour}};
    for (size_t i = first; i <= a->n_zones; i++) {
        char path[64];
        snprintf(path, sizeof path, "comparisons.%zu.places.%zu", k - 1, i);
        if (first == 0 || aw_need_is_stated(&a->zones[i - 1].need) ||
            aw_need_is_stated(&b->zones[i - 1].need))
            aw_listing_add(&list, path);
    }
    aw_listing_write(&list, out);
}

/* What B costs beside A; nothing without prices. */
static void add_price(const aw_scenario *a, const aw_scenario *b, aw_text *out)
{
    const double price = aw_layout_price(a), more = aw_layout_price(b) - price;
    const char *currency = a->prices.currency;
    if (!aw_has_prices(a) || !aw_has_prices(b))
        return;
    if (isnan(more))
        aw_text_add(out, " One of them has no price: no mount reaches some anchor.");
    else if (strcmp(currency, b->prices.currency) != 0)
        aw_text_format(out, " A costs %.0f %s, B %.0f %s.", price, currency, price + more,
                       b->prices.currency);
    else if (fabs(more) < 0.5)
        aw_text_format(out, " B costs what A costs, %.0f %s.", price, currency);
    else
        aw_text_format(out, " B costs %.0f %s %s than A (%.0f %s).", fabs(more), currency,
                       more > 0 ? "more" : "less", price, currency);
}

static void add_sentences(const aw_comparison *c, const aw_scenario *s, const aw_scenario *b,
                          aw_text *out)
{
    for (size_t place = 0; place <= s->n_zones; place++) {
        aw_area_sentence(aw_compared_area(c, place), aw_area_name(s, place), s->units, out);
        aw_text_add(out, "\n");
    }
    aw_text_add(out, "\nOn the whole: ");
    aw_whole_sentence(c, s, out);
    add_price(s, b, out);
    aw_text_add(out, "\n\n");
}

/* --- what differs beside the anchors: both values of each, so that nobody puts down to the anchors
 * what other figures made --- */

AW_WORDS(add_value)
{
    const aw_mismatch *m = row->of;
    const bool length = m->unit != NULL && strcmp(m->unit, "m") == 0;
    if (m->unit == NULL)
        aw_text_add(out, m->words[item]);
    else if (isnan(m->number[item]))
        aw_text_add(out, "none");
    else if (m->is_error)
        aw_text_add(out, aw_small_words("%.4g", m->number[item], units).text);
    else if (length)
        aw_text_add(out, aw_coordinate_words("%.4g", m->number[item], units).text);
    else
        aw_text_format(out, "%.4g%s%s", m->number[item], *m->unit != '\0' ? " " : "", m->unit);
}

static const aw_column mismatch_columns[] = {
    {.key = "what", .head = "beside_the_anchors"},
    {.head = "a", .words = add_value, .item = 0},
    {.head = "b", .words = add_value, .item = 1},
};
static const aw_listed mismatch_table =
    AW_LISTED(&aw_comparisons_shape, NULL, NULL, mismatch_columns);

static void add_mismatches(const aw_told_comparisons *t, size_t k, aw_text *out)
{
    const size_t n = t->mismatches[k - 1].n;
    const aw_subject document = AW_DOCUMENT(*t);
    aw_listing list = {.what = &mismatch_table, .document = &document};
    if (n == 0)
        return;
    aw_text_add(out, "A and B differ in more than their anchors; what follows is of all of it:\n");
    for (size_t i = 0; i < n && i < MOST_MISMATCHES; i++) {
        char path[64];
        snprintf(path, sizeof path, "comparisons.%zu.differences.%zu", k - 1, i);
        aw_listing_add(&list, path);
    }
    aw_listing_write(&list, out);
    if (n > MOST_MISMATCHES)
        aw_text_format(out, "and %zu more\n\n", n - MOST_MISMATCHES);
}

/* By which study both were computed if theirs differ. */
static void add_study(const aw_study *s, const aw_study *t, aw_text *out)
{
    if (s->step != t->step || s->draws != t->draws || s->seed != t->seed)
        aw_text_add(out, "Both are computed by the step, the draws and the seed of A.\n\n");
}

/* The first layout and layout k. */
static void add_comparison(const aw_told_comparisons *t, size_t k, bool colour, aw_text *out)
{
    const aw_scenario *a = &t->scenarios[0], *b = &t->scenarios[k];
    aw_text_format(out, "A: %s (%s; anchors: %zu)\nB: %s (%s; anchors: %zu)\n\n", a->title,
                   t->files[0], a->n_anchors, b->title, t->files[k], b->n_anchors);
    aw_changes_words(a, out);
    aw_text_add(out, a->n_changes > 0 ? "\n" : "");
    const size_t from = out->n;
    add_mismatches(t, k, out);
    add_study(&a->study, &b->study, out);
    add_table(t, k, &error_table, 0, colour, out);
    add_table(t, k, &need_table, 1, colour, out);
    add_table(t, k, &cell_table, 0, colour, out);
    add_sentences(&t->comparisons[k - 1], a, b, out);
    aw_isolate_names(out, from);
}

void aw_comparisons_table(const aw_comparison comparisons[], const aw_scenario scenarios[],
                          const char *const files[], size_t n, bool colour, aw_text *out)
{
    aw_told_comparisons t;
    out->failed |= !aw_told_comparisons_make(&t, comparisons, scenarios, files, n);
    for (size_t k = 1; !out->failed && k < n; k++)
        add_comparison(&t, k, colour, out);
    aw_told_comparisons_free(&t);
    aw_text_format(
        out,
        "The 95 %% interval is of the simulation. The chance is of a site meeting "
        "what a zone asks of errors. What these\ndraws do not tell apart, more might; what is less "
        "than %.0f %% apart differs, but measured systems\nthat near do not keep the "
        "predicted order.\n",
        100 * AW_NEAR_EQUAL);
}
