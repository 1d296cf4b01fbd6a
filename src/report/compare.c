/* Layouts side by side, as two tables with a sentence for each place. */
#include "anchorwise/report.h"

#include <math.h>
#include <string.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/mismatches.h"
#include "report/names.h"
#include "report/sentences.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/verdict.h"
#include "report/words.h"

/* Columns of the tables of errors, of needs and of cells; all stay within 100 characters. */
#define ERRORS 8
#define NEEDS  8
#define CELLS  5
/* Columns of a place's name in the tables; the sentences have it whole. */
#define NAME 25

/* A difference with its sign, two decimals: it is a simulated one. */
static aw_length_text signed_length(double metres, aw_units units)
{
    const bool none = fabs(metres) < 0.005;
    return aw_small_figure(none ? "%.2f" : "%+.2f", none ? 0 : metres, units);
}

static void add_name(aw_table *t, const char *name)
{
    aw_text cut = {0};
    aw_add_cut(name, NAME, &cut);
    aw_table_add(t, "%s", cut.n > 0 ? cut.at : "");
    t->failed |= cut.failed;
    aw_text_free(&cut);
}

static void add_errors(aw_table *t, const aw_area_result *r, const char *name, aw_units units,
                       bool colour)
{
    static const char *const words[] = {"not told apart", "better", "worse",
                                        "less than 15 % apart"};
    static const aw_verdict as[] = {AW_NO_NEED, AW_MET, AW_NOT_MET, AW_NO_NEED};
    add_name(t, name);
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_error_figure(r->p50[k], units).text);
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_error_figure(r->p95[k], units).text);
    aw_table_add(t, "%s", signed_length(r->difference, units).text);
    if (isfinite(r->difference_low))
        aw_table_add(t, "%s to %s", signed_length(r->difference_low, units).text,
                     signed_length(r->difference_high, units).text);
    else
        aw_table_add(t, "–");
    if (isnan(r->p95[0]) != isnan(r->p95[1]))
        aw_table_add(t, "%s", isnan(r->p95[1]) ? "without a p95" : "alone with a p95");
    else if (isnan(r->p95[0]))
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%s%s%s", aw_verdict_colour(as[r->ranking], colour), words[r->ranking],
                     aw_verdict_colour_end(as[r->ranking], colour));
}

/* The whole need; what B asks otherwise stands above among the differences. */
static void add_asked(aw_table *t, const aw_need *a, const aw_need *b, aw_units units)
{
    aw_text words = {0};
    aw_need_words(aw_need_is_stated(a) ? a : b, units, &words);
    aw_table_add(t, "%s%s", words.n > 0 ? words.at : "–", aw_need_is_stated(a) ? "" : " (B)");
    t->failed |= words.failed;
    aw_text_free(&words);
}

static void add_verdict(aw_table *t, aw_verdict verdict, bool colour)
{
    aw_table_add(t, "%s%s%s", aw_verdict_colour(verdict, colour), aw_verdict_word(verdict),
                 aw_verdict_colour_end(verdict, colour));
}

static void add_need(aw_table *t, const aw_comparison *c, const aw_scenario *const s[2],
                     size_t zone, bool colour)
{
    const aw_area_result *r = &c->zones[zone];
    char figure[AW_FIGURE_ROOM];
    add_name(t, s[0]->zones[zone].name);
    add_asked(t, &s[0]->zones[zone].need, &s[1]->zones[zone].need, s[0]->units);
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_figure_share(r->share_meeting[k], figure));
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_figure_share(r->odds[k], figure));
    for (int k = 0; k < 2; k++)
        add_verdict(t, c->judged[k][zone].verdict, colour);
}

static void add_cells(aw_table *t, const aw_area_result *r, const char *name)
{
    char figure[AW_FIGURE_ROOM];
    add_name(t, name);
    aw_table_add(t, "%s", aw_figure_count(r->better, figure));
    aw_table_add(t, "%s", aw_figure_count(r->worse, figure));
    aw_table_add(t, "%s", aw_figure_count(r->near, figure));
    aw_table_add(t, "%s", aw_figure_count(r->cells, figure));
}

static void write_table(aw_table *t, aw_text *out)
{
    aw_table_write(t, out);
    aw_table_free(t);
    aw_text_add(out, "\n");
}

static void begin_table(aw_table *t, const char *const heads[])
{
    for (size_t i = 0; i < t->columns; i++)
        aw_table_add(t, "%s", heads[i]);
}

/* The needs of the zones that have one in either layout. */
static void add_needs(const aw_comparison *c, const aw_scenario *const s[2], bool colour,
                      aw_text *out)
{
    static const char *const heads[NEEDS] = {"",           "need",       "meeting A", "meeting B",
                                             "p95 odds A", "p95 odds B", "verdict A", "verdict B"};
    aw_table t = {.columns = NEEDS, .align = "llrrrrll", .heads = 1};
    begin_table(&t, heads);
    for (size_t i = 0; i < s[0]->n_zones; i++)
        if (aw_need_is_stated(&s[0]->zones[i].need) || aw_need_is_stated(&s[1]->zones[i].need))
            add_need(&t, c, s, i, colour);
    if (t.n > NEEDS)
        write_table(&t, out);
    else
        aw_table_free(&t);
}

static void add_tables(const aw_comparison *c, const aw_scenario *const s[2], bool colour,
                       aw_text *out)
{
    static const char *const errors[ERRORS] = {"(%s)",  "p50 A", "p50 B",    "p95 A",
                                               "p95 B", "B - A", "interval", "B is"};
    static const char *const cells[CELLS] = {"cells in which B is", "better", "worse",
                                             "less than 15 % apart", "of"};
    aw_table e = {.columns = ERRORS, .align = "lrrrrrll", .heads = 1};
    aw_table n = {.columns = CELLS, .align = "lrrrr", .heads = 1};
    for (size_t i = 0; i < ERRORS; i++)
        aw_table_add(&e, errors[i], aw_small_unit(s[0]->units));
    begin_table(&n, cells);
    for (size_t place = 0; place <= s[0]->n_zones; place++) {
        add_errors(&e, aw_compared_area(c, place), aw_area_name(s[0], place), s[0]->units, colour);
        add_cells(&n, aw_compared_area(c, place), aw_area_name(s[0], place));
    }
    write_table(&e, out);
    add_needs(c, s, colour, out);
    write_table(&n, out);
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

/* What differs beside the anchors, and by which study both were computed if theirs differ. */
static void add_mismatches(const aw_scenario *a, const aw_scenario *b, aw_text *out)
{
    const aw_study *s = &a->study, *t = &b->study;
    aw_mismatches mismatches = {0};
    if (aw_mismatches_find(&mismatches, a, b))
        aw_mismatches_table(&mismatches, a->units, out);
    else
        out->failed = true;
    if (s->step != t->step || s->draws != t->draws || s->seed != t->seed)
        aw_text_add(out, "Both are computed by the step, the draws and the seed of A.\n\n");
    aw_mismatches_free(&mismatches);
}

void aw_comparisons_table(const aw_comparison comparisons[], const aw_scenario scenarios[],
                          const char *const files[], size_t n, bool colour, aw_text *out)
{
    for (size_t k = 1; k < n; k++) {
        aw_text_format(out, "A: %s (%s; anchors: %zu)\nB: %s (%s; anchors: %zu)\n\n",
                       scenarios[0].title, files[0], scenarios[0].n_anchors, scenarios[k].title,
                       files[k], scenarios[k].n_anchors);
        aw_changes_words(&scenarios[0], out);
        aw_text_add(out, scenarios[0].n_changes > 0 ? "\n" : "");
        const aw_scenario *const both[2] = {&scenarios[0], &scenarios[k]};
        const size_t from = out->n;
        add_mismatches(both[0], both[1], out);
        add_tables(&comparisons[k - 1], both, colour, out);
        add_sentences(&comparisons[k - 1], &scenarios[0], &scenarios[k], out);
        aw_isolate_names(out, from);
    }
    aw_text_format(
        out,
        "The 95 %% interval is of the simulation. Odds are of an installation "
        "meeting the p95 need. What these\ndraws do not tell apart, more might; what is less "
        "than %.0f %% apart differs, but measured systems\nthat near do not keep the "
        "predicted order.\n",
        100 * AW_NEAR_EQUAL);
}
