/* Layouts side by side, as two tables with a sentence for each place, and as JSON. */
#include "anchorwise/output.h"

#include <math.h>

#include "anchorwise.h"
#include "base/json.h"
#include "chart/sentences.h"
#include "chart/table.h"
#include "chart/words.h"

/* Columns of the table of errors and of that of needs; both stay within 100 characters. */
#define ERRORS 8
#define NEEDS  9
/* Characters of a place's name in the tables; the sentences have it whole. */
#define NAME 25

/* A difference with its sign, two decimals: it is a simulated one. */
static const char *signed_length(double metres, char out[AW_FIGURE_ROOM])
{
    if (!isfinite(metres))
        snprintf(out, AW_FIGURE_ROOM, "–");
    else
        snprintf(out, AW_FIGURE_ROOM, fabs(metres) < 0.005 ? "%.2f" : "%+.2f",
                 fabs(metres) < 0.005 ? 0 : metres);
    return out;
}

/* Cuts a name behind so many characters. */
static void add_name(aw_table *t, const char *name)
{
    size_t characters = 0, n = 0, kept = 0;
    for (; name[n] != '\0'; n++)
        if (((unsigned char)name[n] & 0xC0) != 0x80 && characters++ == NAME - 1)
            kept = n;
    if (characters <= NAME)
        aw_table_add(t, "%s", name);
    else
        aw_table_add(t, "%.*s…", (int)kept, name);
}

static void add_errors(aw_table *t, const aw_place_result *r, const char *name, bool colour)
{
    static const char *const words[] = {"not told apart", "better", "worse"};
    static const char *const on[] = {"", "\033[32m", "\033[31m"};
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM];
    add_name(t, name);
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_figure_length(r->p50[k], a));
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_figure_length(r->p95[k], a));
    aw_table_add(t, "%s", signed_length(r->difference, a));
    if (isfinite(r->difference_low))
        aw_table_add(t, "%s to %s", signed_length(r->difference_low, a),
                     signed_length(r->difference_high, b));
    else
        aw_table_add(t, "–");
    if (isnan(r->p95[0]) != isnan(r->p95[1]))
        aw_table_add(t, "%s", isnan(r->p95[1]) ? "without a p95" : "alone with a p95");
    else
        aw_table_add(t, "%s%s%s", colour ? on[r->ranking] : "", words[r->ranking],
                     colour && r->ranking != AW_NOT_TOLD_APART ? "\033[0m" : "");
}

static void add_needs(aw_table *t, const aw_place_result *r, const char *name, double need)
{
    char figure[AW_FIGURE_ROOM];
    add_name(t, name);
    if (isnan(need))
        aw_table_add(t, "–");
    else
        aw_table_add(t, "p95 <= %.3g", need);
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_figure_share(r->share_meeting[k], figure));
    for (int k = 0; k < 2; k++)
        aw_table_add(t, "%s", aw_figure_share(r->odds[k], figure));
    aw_table_add(t, "%s", aw_figure_count(r->better, figure));
    aw_table_add(t, "%s", aw_figure_count(r->worse, figure));
    aw_table_add(t, "%s", aw_figure_count(r->cells, figure));
}

static void write_table(aw_table *t, aw_text *out)
{
    aw_table_write(t, out);
    aw_table_free(t);
    aw_text_add(out, "\n");
}

static void add_tables(const aw_comparison *c, const aw_scenario *s, bool colour, aw_text *out)
{
    static const char *const errors[ERRORS] = {"",      "p50 A", "p50 B",    "p95 A",
                                               "p95 B", "B - A", "interval", "B is"};
    static const char *const needs[NEEDS] = {"",          "need",       "meeting A",
                                             "meeting B", "p95 odds A", "p95 odds B",
                                             "better",    "worse",      "of cells"};
    aw_table e = {.columns = ERRORS, .align = "lrrrrrll"};
    aw_table n = {.columns = NEEDS, .align = "llrrrrrrr"};
    for (size_t i = 0; i < ERRORS; i++)
        aw_table_add(&e, "%s", errors[i]);
    for (size_t i = 0; i < NEEDS; i++)
        aw_table_add(&n, "%s", needs[i]);
    for (size_t place = 0; place <= s->n_zones; place++) {
        add_errors(&e, aw_compared_place(c, place), aw_place_name(s, place), colour);
        add_needs(&n, aw_compared_place(c, place), aw_place_name(s, place),
                  place > 0 ? s->zones[place - 1].need.p95 : (double)NAN);
    }
    write_table(&e, out);
    write_table(&n, out);
}

/* What B costs beside A; nothing without prices. */
static void add_price(const aw_scenario *a, const aw_scenario *b, aw_text *out)
{
    const double price = aw_layout_price(a), more = aw_layout_price(b) - price;
    const char *currency = a->prices.currency;
    if (!aw_has_prices(a))
        return;
    if (isnan(more))
        aw_text_add(out, " One of them has no price: no mount reaches some anchor.");
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
        aw_place_sentence(aw_compared_place(c, place), aw_place_name(s, place), out);
        aw_text_add(out, "\n");
    }
    aw_text_add(out, "\nOn the whole: ");
    aw_whole_sentence(c, s, out);
    add_price(s, b, out);
    aw_text_add(out, "\n\n");
}

void aw_comparisons_table(const aw_comparison comparisons[], const aw_scenario scenarios[],
                          const char *const files[], size_t n, bool colour, aw_text *out)
{
    for (size_t k = 1; k < n; k++) {
        aw_text_format(out, "A: %s (%s; anchors: %zu)\nB: %s (%s; anchors: %zu)\n\n",
                       scenarios[0].title, files[0], scenarios[0].n_anchors, scenarios[k].title,
                       files[k], scenarios[k].n_anchors);
        add_tables(&comparisons[k - 1], &scenarios[0], colour, out);
        add_sentences(&comparisons[k - 1], &scenarios[0], &scenarios[k], out);
    }
    aw_text_format(
        out,
        "Lengths in m; the 95 %% interval is of the simulation. Odds are of an installation "
        "meeting the p95 need; better\nand worse are cells that the draws tell apart. "
        "Cells, zones and floors whose p95 differ by less than %.0f %%\nare not told "
        "apart: measured systems that near do not keep the predicted order.\n",
        100 * AW_NEAR_EQUAL);
}

static void add_place(aw_json *j, const aw_place_result *r, const char *name)
{
    static const char *const words[] = {NULL, "b", "a"};
    aw_text said = {0};
    aw_place_sentence(r, name, &said);
    aw_json_open(j, NULL, '{');
    aw_json_string(j, "name", name);
    aw_json_count(j, "cells", r->cells);
    aw_json_numbers(j, "p50_m", r->p50, 2);
    aw_json_numbers(j, "p95_m", r->p95, 2);
    aw_json_numbers(j, "share_meeting", r->share_meeting, 2);
    aw_json_number(j, "p95_difference_m", r->difference);
    aw_json_number(j, "p95_difference_low_m", r->difference_low);
    aw_json_number(j, "p95_difference_high_m", r->difference_high);
    aw_json_count(j, "cells_better", r->better);
    aw_json_count(j, "cells_worse", r->worse);
    aw_json_string(j, "better", words[r->ranking]);
    aw_json_numbers(j, "odds", r->odds, 2);
    aw_json_numbers(j, "odds_low", r->odds_low, 2);
    aw_json_numbers(j, "odds_high", r->odds_high, 2);
    aw_json_string(j, "verdict", said.at);
    aw_json_close(j, '}');
    j->text->failed = j->text->failed || said.failed;
    aw_text_free(&said);
}

void aw_comparisons_json(const aw_comparison comparisons[], const aw_scenario scenarios[],
                         const char *const files[], size_t n, aw_text *out)
{
    aw_json json = {.text = out}, *j = &json;
    aw_json_open(j, NULL, '{');
    aw_json_string(j, "anchorwise", AW_VERSION);
    aw_json_open(j, "comparisons", '[');
    for (size_t k = 1; k < n; k++) {
        aw_text said = {0};
        aw_whole_sentence(&comparisons[k - 1], &scenarios[0], &said);
        aw_json_open(j, NULL, '{');
        aw_json_string(j, "a", files[0]);
        aw_json_string(j, "b", files[k]);
        aw_json_numbers(
            j, "price",
            (const double[2]){aw_layout_price(&scenarios[0]), aw_layout_price(&scenarios[k])}, 2);
        aw_json_open(j, "places", '[');
        for (size_t place = 0; place <= scenarios[0].n_zones; place++)
            add_place(j, aw_compared_place(&comparisons[k - 1], place),
                      aw_place_name(&scenarios[0], place));
        aw_json_close(j, ']');
        aw_json_string(j, "verdict", said.at);
        aw_json_close(j, '}');
        out->failed = out->failed || said.failed;
        aw_text_free(&said);
    }
    aw_json_close(j, ']');
    aw_json_close(j, '}');
    aw_text_add(out, "\n");
}
