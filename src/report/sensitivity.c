/* Sensitivity as tables with sentences. */
#include "report/sensitivity.h"

#include "anchorwise/report.h"

#include <math.h>
#include <string.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/verdict.h"
#include "report/words.h"

/* A smaller change of p95 is not told, m; nor is one that the draws do not tell from none. */
#define LEAST_CHANGE 0.005

void aw_assumption_range_words(const aw_assumption_row *row, double value, aw_units units,
                               char out[AW_ASSUMED_ROOM])
{
    const char *format = !row->relative ? "%+.2g" : fabs(value) < 10 ? "%.2g" : "%.0f";
    if (row->unit == AW_ASSUMED_TIMES)
        snprintf(out, AW_ASSUMED_ROOM, "× %.3g", value);
    else if (row->unit == AW_ASSUMED_SHARE)
        snprintf(out, AW_ASSUMED_ROOM, "%.3g %%", 100 * value);
    else if (!row->relative && value == 0)
        snprintf(out, AW_ASSUMED_ROOM, "as planned");
    else if (row->unit == AW_ASSUMED_LENGTH)
        snprintf(out, AW_ASSUMED_ROOM, "%.23s", aw_coordinate_words(format, value, units).text);
    else if (row->unit == AW_ASSUMED_ERROR)
        snprintf(out, AW_ASSUMED_ROOM, "%.23s", aw_small_words(format, value, units).text);
    else
        snprintf(out, AW_ASSUMED_ROOM, "%.20s dB",
                 aw_coordinate_figure(format, value, AW_METRES).text);
}

/* --- for people --- */

static void add_ranges(const aw_sensitivity *v, aw_units units, aw_text *out)
{
    aw_table t = {.columns = 5, .align = "lrrrl", .heads = 1};
    char figure[AW_ASSUMED_ROOM];
    const char *const head[] = {"assumed", "low", "today", "high", "footing of the range"};
    for (int i = 0; i < 5; i++)
        aw_table_add(&t, "%s", head[i]);
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        const aw_assumption_range *x = &v->assumed[a];
        const aw_assumption_row *row = &aw_assumption_rows[a];
        const double values[] = {x->low, x->today, x->high};
        if (!x->present)
            continue;
        aw_table_add(&t, "%s", row->name);
        for (int i = 0; i < 3; i++) {
            aw_assumption_range_words(row, values[i], units, figure);
            aw_table_add(&t, "%s", figure);
        }
        aw_table_add(&t, "%s", x->stated ? "stated in the scenario" : row->footing);
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
    aw_text_add(out, "\n");
}

static void add_end(aw_table *t, const aw_sensitivity_end *end, aw_units units)
{
    const double change = end->change.value, p95 = end->result.errors.p95;
    const aw_length_text shown =
        aw_error_figure_asked(p95, end->result.parts[AW_PART_P95].asked, units);
    if (end->result.errors.cells == 0)
        aw_table_add(t, "no cell left");
    else if (isnan(p95))
        aw_table_add(t, "no p95");
    else if (isinf(change))
        aw_table_add(t, "%s (none today)", shown.text);
    else if ((end->change.low <= 0 && end->change.high >= 0) || fabs(change) < LEAST_CHANGE)
        aw_table_add(t, "%s", shown.text);
    else
        aw_table_add(t, "%s (%s%s)", shown.text, change < 0 ? "−" : "+",
                     aw_small_figure("%.2f", fabs(change), units).text);
}

static void add_odds(aw_table *t, const aw_sensitivity_end *low, const aw_sensitivity_end *high,
                     aw_units units)
{
    const aw_part_result *x = &low->result.parts[AW_PART_ODDS];
    const aw_part_result *y = &high->result.parts[AW_PART_ODDS];
    if (isnan(x->found.value) && isnan(y->found.value))
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%s, %s", aw_part_words(x, AW_PART_ODDS, units).text,
                     aw_part_words(y, AW_PART_ODDS, units).text);
}

static void add_verdict(aw_table *t, const aw_sensitivity_end *end)
{
    aw_text words = {0};
    const aw_zone_result *r = &end->result;
    if (r->verdict == AW_NOT_MET || r->verdict == AW_UNDECIDED)
        aw_reason_words(r, &words);
    if (r->errors.cells == 0)
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%s%s%s", aw_verdict_word(r->verdict), words.n > 0 ? ": " : "",
                     words.n > 0 ? words.at : "");
    t->failed = t->failed || words.failed;
    aw_text_free(&words);
}

static void add_head(const aw_sensitivity *v, size_t zone, aw_units units, aw_text *out)
{
    const aw_zone_result *r = &v->today[zone];
    const aw_part_result *odds = &r->parts[AW_PART_ODDS];
    aw_text_format(
        out, "%s: %s%s today", v->zones[zone].name, isnan(r->errors.p95) ? "no p95" : "p95 ",
        isnan(r->errors.p95)
            ? ""
            : aw_error_words_asked(r->errors.p95, r->parts[AW_PART_P95].asked, units).text);
    if (!isnan(odds->found.value))
        aw_text_format(out, ", p95 odds %s", aw_part_words(odds, AW_PART_ODDS, units).text);
    if (aw_need_is_stated(&v->zones[zone].need)) {
        aw_text_add(out, "; need ");
        aw_need_words(&v->zones[zone].need, units, out);
        aw_text_format(out, ": %s", aw_verdict_word(r->verdict));
    }
    aw_text_add(out, "\n");
}

static void add_joint(const aw_sensitivity *v, size_t zone, aw_units units, aw_text *out)
{
    const aw_joint *j = &v->joint[zone];
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM], c[AW_FIGURE_ROOM];
    if (isinf(j->p05))
        aw_text_add(out, "All together: no p95 in nine of ten draws");
    else
        aw_text_format(out, "All together: p95 %s to %s in nine of ten draws",
                       isinf(j->p95) ? aw_error_words(j->p05, units).text
                                     : aw_error_figure(j->p05, units).text,
                       isinf(j->p95) ? "none" : aw_error_words(j->p95, units).text);
    if (!isnan(j->holding.value))
        aw_text_format(out, "; the need holds in %s (95 %% interval %s to %s)",
                       aw_figure_share(j->holding.value, a), aw_figure_share(j->holding.low, b),
                       aw_figure_share(j->holding.high, c));
    aw_text_add(out, ".\n\n");
}

static void add_zone(const aw_sensitivity *v, size_t zone, aw_units units, aw_text *out)
{
    const char *unit = aw_small_unit(units);
    aw_table t = {.columns = 6, .align = "lrrrll", .heads = 1};
    aw_assumption order[AW_ASSUMPTIONS];
    const size_t n = aw_sensitivity_rank(v, zone, order);
    add_head(v, zone, units, out);
    aw_table_add(&t, "assumed");
    aw_table_add(&t, "p95 at low (%s)", unit);
    aw_table_add(&t, "p95 at high (%s)", unit);
    aw_table_add(&t, "odds at low, high");
    aw_table_add(&t, "need at low");
    aw_table_add(&t, "need at high");
    for (size_t k = 0; k < n; k++) {
        const aw_sensitivity_end *low = aw_sensitivity_at(v, zone, order[k], 0);
        const aw_sensitivity_end *high = aw_sensitivity_at(v, zone, order[k], 1);
        aw_table_add(&t, "%s", aw_assumption_rows[order[k]].name);
        add_end(&t, low, units);
        add_end(&t, high, units);
        add_odds(&t, low, high, units);
        add_verdict(&t, low);
        add_verdict(&t, high);
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
    add_joint(v, zone, units, out);
}

void aw_tolerance_limit_words(const aw_sensitivity *v, const aw_tolerance *t, aw_text *out)
{
    if (t->zone == v->n_zones) {
        aw_text_add(out, "–");
        return;
    }
    aw_text_format(out, "%s: ", v->zones[t->zone].name);
    aw_reason_words(&t->limit, out);
}

static void add_tolerance(aw_table *t, const aw_sensitivity *v, aw_tolerance_kind kind,
                          aw_units units)
{
    const aw_tolerance *x = &v->tolerances[kind];
    aw_text limit = {0};
    aw_tolerance_limit_words(v, x, &limit);
    aw_table_add(t, "%s", aw_tolerance_rows[kind].name);
    aw_table_add(t, "%s", aw_small_figure("%.2g", x->today, units).text);
    if (isnan(x->most))
        aw_table_add(t, "no room");
    else
        aw_table_add(t, "%s%s", aw_small_figure("%.2g", x->most, units).text,
                     x->most >= AW_MOST_TOLERANCE ? " and more" : "");
    aw_table_add(t, "%s", limit.n > 0 ? limit.at : "");
    aw_table_add(t, "%s", isnan(x->most) ? "–" : aw_tolerance_words(kind, x->most));
    t->failed = t->failed || limit.failed;
    aw_text_free(&limit);
}

static void add_tolerances(const aw_sensitivity *v, aw_units units, aw_text *out)
{
    const char *const head[] = {"today", "at most", "the limit",
                                "what that takes (common practice)"};
    aw_table t = {.columns = 5, .align = "lrrll", .heads = 1};
    bool lacks = false;
    aw_text_add(out, "Tolerances with which every need is met, one at a time, all else as today\n");
    aw_table_add(&t, "1 sigma (%s)", aw_small_unit(units));
    for (int i = 0; i < 4; i++)
        aw_table_add(&t, "%s", head[i]);
    for (int kind = 0; kind < AW_TOLERANCES; kind++) {
        add_tolerance(&t, v, (aw_tolerance_kind)kind, units);
        lacks = lacks || isnan(v->tolerances[kind].most);
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
    if (lacks)
        aw_text_add(
            out,
            "No room: even with none of that error the need named is not met, or too few draws\n"
            "tell; its verdict today stands above.\n");
    aw_text_add(out, "\n");
}

/* Whether some end was told by fewer draws than all. */
static bool has_looks(const aw_sensitivity *v, const aw_scenario *s)
{
    for (size_t i = 0; i < v->n_zones * AW_ASSUMPTIONS * 2; i++)
        if (v->ends[i].result.draws > 0 && v->ends[i].result.draws < s->study.draws)
            return true;
    return false;
}

void aw_sensitivity_table(const aw_sensitivity *v, const aw_scenario *s, const char *file,
                          aw_text *out)
{
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM], c[AW_FIGURE_ROOM];
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out,
                   "each assumption at both ends of its range, and %d draws of all together; %u "
                   "draws%s, seed %llu, %s figures\n\n",
                   AW_JOINT, s->study.draws,
                   has_looks(v, s) ? ", fewer where they tell an end's change" : "",
                   (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench");
    add_ranges(v, s->units, out);
    for (size_t zone = 0; zone < v->n_zones; zone++)
        add_zone(v, zone, s->units, out);
    if (isnan(v->holding.value)) {
        aw_text_add(out, "No zone states a need, so there are no tolerances to tell.\n");
    } else {
        aw_text_format(out,
                       "Every need holds in %s of the joint draws (95 %% interval %s to %s).\n\n",
                       aw_figure_share(v->holding.value, a), aw_figure_share(v->holding.low, b),
                       aw_figure_share(v->holding.high, c));
        add_tolerances(v, s->units, out);
    }
    aw_text_add(out, "Largest effect on p95 first: have the client confirm these. "
                     "Joint draws leave the odds out.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
    aw_isolate_names(out, from);
}
