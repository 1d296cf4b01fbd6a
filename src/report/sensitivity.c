/* Sensitivity as tables with sentences. */
#include "report/sensitivity.h"

#include "anchorwise/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise.h"
#include "report/columns.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/told.h"
#include "report/verdict.h"
#include "report/words.h"
#include "report/worth.h"

/* A smaller change of p95 is not told, m; nor is one that the draws do not tell from none. */
#define LEAST_CHANGE 0.005
/* More zones than these are told in a row each. */
#define FEW_ZONES 6

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

/* --- ranges --- */

static const aw_told_sensitivity *told_of(const aw_subject *row)
{
    return row->with;
}

/* Of assumption row->k. */
AW_WORDS(name_assumption)
{
    aw_text_add(out, aw_assumption_rows[row->k].name);
}

enum { LOW, TODAY, HIGH };

AW_WORDS(add_value)
{
    const aw_assumption_range *x = row->of;
    char figure[AW_ASSUMED_ROOM];
    aw_assumption_range_words(&aw_assumption_rows[row->k],
                              item == LOW     ? x->low
                              : item == TODAY ? x->today
                                              : x->high,
                              units, figure);
    aw_text_add(out, figure);
}

static const aw_column range_columns[] = {
    {.head = "assumed", .words = name_assumption},
    {.head = "low", .format = AW_AS_FIGURE, .words = add_value, .item = LOW},
    {.head = "today", .format = AW_AS_FIGURE, .words = add_value, .item = TODAY},
    {.head = "high", .format = AW_AS_FIGURE, .words = add_value, .item = HIGH},
    {.key = "footing", .none = "stated in the scenario"},
};
static const aw_listed ranges =
    AW_LISTED(&aw_sensitivity_shape, "assumptions", NULL, range_columns);

/* --- a zone: row->i, and assumption row->k --- */

static const aw_sensitivity_end *end_of(const aw_subject *row, size_t end)
{
    return aw_sensitivity_at(told_of(row)->sensitivity, row->i, (aw_assumption)row->k, (int)end);
}

AW_WORDS(add_end)
{
    const aw_sensitivity_end *end = end_of(row, item);
    const double change = end->change.value, p95 = end->result.errors.p95;
    if (end->result.errors.cells == 0 || isnan(p95)) {
        aw_text_add(out, end->result.errors.cells == 0 ? "no cell left" : "no p95");
        return;
    }
    aw_text_add(out, aw_error_figure_asked(p95, end->result.parts[AW_PART_P95].asked, units).text);
    if (isinf(change))
        aw_text_add(out, " (none today)");
    else if (!(end->change.low <= 0 && end->change.high >= 0) && fabs(change) >= LEAST_CHANGE)
        aw_text_format(out, " (%s%s)", change < 0 ? "−" : "+",
                       aw_small_figure("%.2f", fabs(change), units).text);
}

AW_WORDS(add_chances)
{
    aw_text_format(out, "%s, %s", aw_chance_words(&end_of(row, 0)->result).text,
                   aw_chance_words(&end_of(row, 1)->result).text);
}

AW_WORDS(add_reasons)
{
    aw_behind_verdict(&end_of(row, item)->result, out);
}

static const aw_column end_columns[] = {
    {.head = "assumed", .words = name_assumption},
    {.head = "p95_at_low", .format = AW_AS_ERROR, .words = add_end, .item = 0},
    {.head = "p95_at_high", .format = AW_AS_ERROR, .words = add_end, .item = 1},
    {.head = "chance_at_ends", .format = AW_AS_FIGURE, .words = add_chances},
    {.key = "low.met", .format = AW_AS_VERDICT, .words = add_reasons, .item = 0},
    {.key = "high.met", .format = AW_AS_VERDICT, .words = add_reasons, .item = 1},
};

static void add_head(const aw_sensitivity *v, size_t zone, aw_units units, aw_text *out)
{
    const aw_zone_result *r = &v->today[zone];
    aw_text_format(
        out, "%s: %s%s today", v->zones[zone].name, isnan(r->errors.p95) ? "no p95" : "p95 ",
        isnan(r->errors.p95)
            ? ""
            : aw_error_words_asked(r->errors.p95, r->parts[AW_PART_P95].asked, units).text);
    if (!isnan(r->parts[AW_PART_CHANCE].found.value))
        aw_text_format(out, ", chance %s", aw_chance_words(r).text);
    if (aw_need_is_stated(&v->zones[zone].need)) {
        aw_text_add(out, "; need ");
        aw_need_words(&v->zones[zone].need, units, out);
        aw_text_format(out, ": %s", aw_zone_verdict_word(r));
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

static void add_zone(const aw_told_sensitivity *t, size_t zone, bool colour, aw_text *out)
{
    const aw_subject document = AW_DOCUMENT(*t);
    char rows[64];
    snprintf(rows, sizeof rows, "zones.%zu.ranked", zone);
    const aw_listed table = AW_LISTED(&aw_sensitivity_shape, rows, NULL, end_columns);
    add_head(t->sensitivity, zone, t->run.scenario->units, out);
    aw_listed_write(&table, &document, colour, out);
    add_joint(t->sensitivity, zone, t->run.scenario->units, out);
}

/* --- many zones: row->i --- */

/* The assumption that moves a zone most; false if there is none. */
static bool find_mover(const aw_sensitivity *v, size_t zone, aw_assumption *mover)
{
    aw_assumption order[AW_ASSUMPTIONS];
    const size_t n = aw_sensitivity_rank(v, zone, order);
    if (n > 0)
        *mover = order[0];
    return n > 0;
}

static double movement_of(const aw_sensitivity *v, size_t zone)
{
    aw_assumption mover;
    return find_mover(v, zone, &mover) ? aw_sensitivity_movement(v, zone, mover) : 0;
}

AW_WORDS(name_mover)
{
    aw_assumption mover;
    if (find_mover(told_of(row)->sensitivity, row->i, &mover))
        aw_text_add(out, aw_assumption_rows[mover].name);
}

AW_WORDS(add_mover_end)
{
    aw_assumption mover;
    if (find_mover(told_of(row)->sensitivity, row->i, &mover))
        add_end(&(aw_subject){row->of, row->with, row->i, mover}, item, units, out);
}

AW_WORDS(add_joint_range)
{
    const aw_joint *j = &told_of(row)->sensitivity->joint[row->i];
    aw_text_add(out, isinf(j->p05) ? "no p95" : aw_error_figure(j->p05, units).text);
    if (!isinf(j->p05))
        aw_text_format(out, " to %s", isinf(j->p95) ? "none" : aw_error_figure(j->p95, units).text);
}

AW_WORDS(add_reasons_today)
{
    aw_behind_verdict(&told_of(row)->sensitivity->today[row->i], out);
}

static const aw_column zone_columns[] = {
    {.key = "name", .head = "zone"},
    {.key = "today.p95_m", .format = AW_AS_ERROR, .asked = "today.parts.p95_m.asked"},
    {.head = "moved_by", .words = name_mover},
    {.head = "p95_at_low", .format = AW_AS_ERROR, .words = add_mover_end, .item = 0},
    {.head = "p95_at_high", .format = AW_AS_ERROR, .words = add_mover_end, .item = 1},
    {.head = "joint", .format = AW_AS_ERROR, .words = add_joint_range},
    {.key = "joint.share_holding.value", .format = AW_AS_SHARE},
    {.key = "today.met", .format = AW_AS_VERDICT, .words = add_reasons_today},
};

/* One row for each zone, the one that moves most first. */
static void add_many_zones(const aw_told_sensitivity *t, bool colour, aw_text *out)
{
    static const aw_listed table = AW_LISTED(&aw_sensitivity_shape, "zones", NULL, zone_columns);
    const aw_sensitivity *v = t->sensitivity;
    const aw_subject document = AW_DOCUMENT(*t);
    aw_listing list = {.what = &table, .document = &document, .table = {.colour = colour}};
    size_t *order = calloc(v->n_zones, sizeof *order);
    out->failed |= order == NULL;
    for (size_t zone = 0; order != NULL && zone < v->n_zones; zone++) {
        size_t k = zone;
        for (; k > 0 && movement_of(v, zone) > movement_of(v, order[k - 1]); k--)
            order[k] = order[k - 1];
        order[k] = zone;
    }
    for (size_t k = 0; order != NULL && k < v->n_zones; k++) {
        char path[32];
        snprintf(path, sizeof path, "zones.%zu", order[k]);
        aw_listing_add(&list, path);
    }
    free(order);
    aw_listing_write(&list, out);
    aw_text_add(out,
                "Of each zone the assumption that moves its p95 most, the zone that moves most "
                "first; --zone NAME tells all assumptions of one, --json of every zone.\n\n");
}

/* --- tolerances --- */

void aw_tolerance_limit_words(const aw_sensitivity *v, const aw_tolerance *t, aw_text *out)
{
    if (t->zone == v->n_zones) {
        aw_text_add(out, "–");
        return;
    }
    aw_text_format(out, "%s: ", v->zones[t->zone].name);
    aw_reason_words(&t->limit, out);
}

/* Of tolerance row->k. */
static const aw_tolerance *tolerance_of(const aw_subject *row)
{
    return row->of;
}

AW_WORDS(name_tolerance)
{
    aw_text_add(out, aw_tolerance_rows[row->k].name);
}

AW_WORDS(add_sigma_today)
{
    aw_text_add(out, aw_small_figure("%.2g", tolerance_of(row)->today, units).text);
}

AW_WORDS(add_most)
{
    const double most = tolerance_of(row)->most;
    if (isnan(most))
        aw_text_add(out, "no room");
    else
        aw_text_format(out, "%s%s", aw_small_figure("%.2g", most, units).text,
                       most >= AW_MOST_TOLERANCE ? " and more" : "");
}

AW_WORDS(add_limit)
{
    if (tolerance_of(row)->zone < told_of(row)->sensitivity->n_zones)
        aw_tolerance_limit_words(told_of(row)->sensitivity, tolerance_of(row), out);
}

AW_WORDS(add_most_together)
{
    const double most = told_of(row)->sensitivity->budget.most[row->k];
    if (!isnan(most))
        aw_text_format(out, "%s%s", aw_small_figure("%.2g", most, units).text,
                       most >= AW_MOST_TOLERANCE ? " and more" : "");
}

AW_WORDS(add_takes)
{
    const double most = tolerance_of(row)->most;
    if (!isnan(most))
        aw_text_add(out, aw_tolerance_words((aw_tolerance_kind)row->k, most));
}

static const aw_column tolerance_columns[] = {
    {.head = "tolerance", .words = name_tolerance},
    {.head = "today_m", .format = AW_AS_ERROR, .words = add_sigma_today},
    {.head = "most_m", .format = AW_AS_ERROR, .words = add_most},
    {.head = "together_m", .format = AW_AS_ERROR, .words = add_most_together},
    {.head = "limit", .words = add_limit},
    {.head = "takes", .words = add_takes},
};
static const aw_listed tolerances =
    AW_LISTED(&aw_sensitivity_shape, "tolerances", NULL, tolerance_columns);

/* Zones that a tolerance, or a budget, leaves out. */
static void add_zone_names(const aw_sensitivity *v, const bool out_of[], bool left, aw_text *out)
{
    const char *comma = "";
    for (size_t z = 0; z < v->n_zones; z++)
        if (aw_need_is_stated(&v->zones[z].need) && out_of[z] == left) {
            aw_text_format(out, "%s%s", comma, v->zones[z].name);
            comma = ", ";
        }
}

static bool any_zone(const aw_sensitivity *v, const bool out_of[], bool left)
{
    for (size_t z = 0; z < v->n_zones; z++)
        if (aw_need_is_stated(&v->zones[z].need) && out_of[z] == left)
            return true;
    return false;
}

/* Whether a tolerance leaves out the same zones as the one before it. */
static bool is_said(const aw_sensitivity *v, int kind)
{
    const bool *now = &v->without_room[(size_t)kind * v->n_zones];
    return kind > 0 && memcmp(now - v->n_zones, now, v->n_zones * sizeof *now) == 0;
}

static void add_left_out(const aw_sensitivity *v, aw_text *out)
{
    for (int kind = 0; kind < AW_TOLERANCES; kind++) {
        const bool *left_out = &v->without_room[(size_t)kind * v->n_zones];
        if (!any_zone(v, left_out, true) || isnan(v->tolerances[kind].most) || is_said(v, kind))
            continue;
        int last = kind;
        while (last + 1 < AW_TOLERANCES && is_said(v, last + 1))
            last++;
        aw_text_add(out, "LEFT OUT, since not met even with none of that error: ");
        add_zone_names(v, left_out, true, out);
        for (int k = kind; k <= last && (kind > 0 || last + 1 < AW_TOLERANCES); k++)
            aw_text_format(out, "%s%s", k == kind ? " (of " : ", ", aw_tolerance_rows[k].key);
        aw_text_add(out, kind > 0 || last + 1 < AW_TOLERANCES ? ")\n" : "\n");
    }
}

static void add_budget(const aw_sensitivity *v, aw_text *out)
{
    if (v->budget.looks == 0) {
        aw_text_add(out, "Together: there are no such four at which every need is surely met.\n\n");
        return;
    }
    aw_text_format(out,
                   "Together: all four at once, confirmed with margin by %zu simulations with "
                   "seeds of their own; kept: ",
                   v->budget.looks);
    add_zone_names(v, v->budget.held, true, out);
    if (any_zone(v, v->budget.held, false)) {
        aw_text_add(out, "; LEFT OUT, since not met, or hardly, where none of the four errs: ");
        add_zone_names(v, v->budget.held, false, out);
    }
    aw_text_add(out, ".\n\n");
}

static void add_tolerances(const aw_told_sensitivity *t, aw_text *out)
{
    const aw_subject document = AW_DOCUMENT(*t);
    bool lacks = false;
    for (int kind = 0; kind < AW_TOLERANCES; kind++)
        lacks = lacks || isnan(t->sensitivity->tolerances[kind].most);
    aw_text_add(out,
                "Tolerances (1 sigma) with which every need is met, one at a time, all else as "
                "today\n");
    aw_listed_write(&tolerances, &document, false, out);
    if (lacks)
        aw_text_add(
            out,
            "No room: even with none of that error the need named is not met, or too few draws\n"
            "tell; its verdict today stands above.\n\n");
    add_left_out(t->sensitivity, out);
    add_budget(t->sensitivity, out);
}

/* Whether some end was told by fewer draws than all. */
static bool has_looks(const aw_sensitivity *v, const aw_scenario *s)
{
    for (size_t i = 0; i < v->n_zones * AW_ASSUMPTIONS * 2; i++)
        if (v->ends[i].result.draws > 0 && v->ends[i].result.draws < s->study.draws)
            return true;
    return false;
}

/* How it was drawn, and what is assumed. */
static void add_run(const aw_told_sensitivity *t, bool colour, aw_text *out)
{
    const aw_scenario *s = t->run.scenario;
    aw_text_format(out,
                   "each assumption at both ends of its range, and %d draws of all together; %u "
                   "draws%s, seed %llu, %s figures\n\n",
                   AW_JOINT, s->study.draws,
                   has_looks(t->sensitivity, s) ? ", fewer where they tell an end's change" : "",
                   (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench");
    aw_listed_write(&ranges, &AW_DOCUMENT(*t), colour, out);
}

static void add_cautions(const aw_scenario *s, aw_text *out)
{
    aw_text_add(out, "Largest effect on p95 first: have the client confirm these. "
                     "Joint draws leave installations out.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
}

void aw_sensitivity_table(const aw_sensitivity *v, const aw_scenario *s, const char *file,
                          bool colour, aw_text *out)
{
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM], c[AW_FIGURE_ROOM];
    const aw_told_sensitivity t = {{s, file}, v};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    add_run(&t, colour, out);
    if (v->n_zones > FEW_ZONES)
        add_many_zones(&t, colour, out);
    for (size_t zone = 0; v->n_zones <= FEW_ZONES && zone < v->n_zones; zone++)
        add_zone(&t, zone, colour, out);
    if (isnan(v->holding.value)) {
        aw_text_add(out, "No zone states a need, so there are no tolerances to tell.\n");
    } else {
        aw_text_format(out,
                       "Every need holds in %s of the joint draws (95 %% interval %s to %s).\n\n",
                       aw_figure_share(v->holding.value, a), aw_figure_share(v->holding.low, b),
                       aw_figure_share(v->holding.high, c));
        add_tolerances(&t, out);
    }
    add_cautions(s, out);
    aw_isolate_names(out, from);
}

void aw_sensitivity_zone_table(const aw_sensitivity *v, const aw_scenario *s, const char *file,
                               size_t zone, bool colour, aw_text *out)
{
    const aw_told_sensitivity t = {{s, file}, v};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    add_run(&t, colour, out);
    add_zone(&t, zone, colour, out);
    add_cautions(s, out);
    aw_isolate_names(out, from);
}
