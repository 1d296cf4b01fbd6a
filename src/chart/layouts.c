/* Layouts side by side, as a table with a sentence for each place, and as JSON. */
#include "anchorwise/output.h"

#include <math.h>

#include "anchorwise.h"
#include "base/json.h"
#include "chart/table.h"

#define COLUMNS 8

static const char *name_of(const aw_scenario *s, size_t place)
{
    return place == 0 ? "floor" : s->zones[place - 1].name;
}

static const aw_place_result *place_of(const aw_comparison *c, size_t place)
{
    return place == 0 ? &c->floor : &c->zones[place - 1];
}

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

static void add_row(aw_table *t, const aw_place_result *r, const char *name, bool colour)
{
    static const char *const words[] = {"not told apart", "better", "worse"};
    static const char *const on[] = {"", "\033[32m", "\033[31m"};
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM];
    aw_table_add(t, "%s", name);
    aw_table_add(t, "%s", aw_figure_length(r->p95[0], a));
    aw_table_add(t, "%s", aw_figure_length(r->p95[1], a));
    aw_table_add(t, "%s", signed_length(r->difference, a));
    if (isfinite(r->difference_low))
        aw_table_add(t, "%s to %s", signed_length(r->difference_low, a),
                     signed_length(r->difference_high, b));
    else
        aw_table_add(t, "–");
    if (isnan(r->share_meeting[0]))
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%s, %s", aw_figure_share(r->share_meeting[0], a),
                     aw_figure_share(r->share_meeting[1], b));
    aw_table_add(t, "%s, %s", aw_figure_count(r->better, a), aw_figure_count(r->worse, b));
    aw_table_add(t, "%s%s%s", colour ? on[r->ranking] : "", words[r->ranking],
                 colour && r->ranking != AW_NOT_TOLD_APART ? "\033[0m" : "");
}

/* One sentence for a place: what is different, by how much, or why nothing is said to be. */
static void add_sentence(const aw_place_result *r, const char *name, aw_text *out)
{
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM];
    aw_figure_length(r->p95[0], a);
    aw_figure_length(r->p95[1], b);
    if (isnan(r->p95[0]) || isnan(r->p95[1]))
        aw_text_format(out, "%s: p95 cannot be compared, too few fixes in %s.\n", name,
                       isnan(r->p95[0]) && isnan(r->p95[1]) ? "both"
                       : isnan(r->p95[0])                   ? "A"
                                                            : "B");
    else if (r->ranking != AW_NOT_TOLD_APART)
        aw_text_format(out, "%s: B is %s, p95 %s m against %s m (%+.0f %%).\n", name,
                       r->ranking == AW_B_BETTER ? "better" : "worse", b, a,
                       100 * r->difference / r->p95[0]);
    else
        aw_text_format(out, "%s: not told apart, p95 %s m and %s m.\n", name, a, b);
}

void aw_comparisons_table(const aw_comparison comparisons[], const aw_scenario scenarios[],
                          const char *const files[], size_t n, bool colour, aw_text *out)
{
    static const char *const head[COLUMNS] = {
        "", "p95 A", "p95 B", "B - A", "interval", "meeting (A, B)", "cells better, worse", "B is"};
    for (size_t k = 1; k < n; k++) {
        aw_table t = {.columns = COLUMNS, .align = "lrrrllll"};
        aw_text_format(out, "A: %s (%s; anchors: %zu)\nB: %s (%s; anchors: %zu)\n\n",
                       scenarios[0].title, files[0], scenarios[0].n_anchors, scenarios[k].title,
                       files[k], scenarios[k].n_anchors);
        for (size_t i = 0; i < COLUMNS; i++)
            aw_table_add(&t, "%s", head[i]);
        for (size_t place = 0; place <= scenarios[0].n_zones; place++)
            add_row(&t, place_of(&comparisons[k - 1], place), name_of(&scenarios[0], place),
                    colour);
        aw_table_write(&t, out);
        aw_table_free(&t);
        aw_text_add(out, "\n");
        for (size_t place = 0; place <= scenarios[0].n_zones; place++)
            add_sentence(place_of(&comparisons[k - 1], place), name_of(&scenarios[0], place), out);
        aw_text_add(out, "\n");
    }
    aw_text_format(out,
                   "Lengths in m; the interval is of the simulation. Layouts whose p95 differ by "
                   "less than %.0f %% are not told\napart: measured systems that near do not keep "
                   "the predicted order.\n",
                   100 * AW_NEAR_EQUAL);
}

static void add_place(aw_json *j, const aw_place_result *r, const char *name)
{
    static const char *const words[] = {NULL, "b", "a"};
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
    aw_json_close(j, '}');
}

void aw_comparisons_json(const aw_comparison comparisons[], const aw_scenario scenarios[],
                         const char *const files[], size_t n, aw_text *out)
{
    aw_json json = {.text = out}, *j = &json;
    aw_json_open(j, NULL, '{');
    aw_json_string(j, "anchorwise", AW_VERSION);
    aw_json_open(j, "comparisons", '[');
    for (size_t k = 1; k < n; k++) {
        aw_json_open(j, NULL, '{');
        aw_json_string(j, "a", files[0]);
        aw_json_string(j, "b", files[k]);
        aw_json_open(j, "places", '[');
        for (size_t place = 0; place <= scenarios[0].n_zones; place++)
            add_place(j, place_of(&comparisons[k - 1], place), name_of(&scenarios[0], place));
        aw_json_close(j, ']');
        aw_json_close(j, '}');
    }
    aw_json_close(j, ']');
    aw_json_close(j, '}');
    aw_text_add(out, "\n");
}
