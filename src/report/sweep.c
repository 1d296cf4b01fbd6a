/* Sweeps as a table with sentences, and as CSV. */
#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "report/columns.h"
#include "report/csv.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/told.h"
#include "report/words.h"

/* Zones that have a column. */
#define MOST_ZONES 60

/* A number of anchors, or a height. */
static aw_length_text at_figure(const aw_sweep *w, double at, aw_units units)
{
    return aw_coordinate_figure("%.4g", at, w->kind == AW_SWEEP_COUNTS ? AW_METRES : units);
}

/* The least p95 of a curve up to a number of anchors. */
static double least_to(const aw_sweep *w, size_t zone, double at)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < w->n_curve && w->curve_at[i] <= at; i++)
        least = fmin(least, w->curve[i * w->n_zones + zone].value);
    return least;
}

/* A knee: what it gains beyond, and whether it is one at all. */
static void add_knee(const aw_sweep *w, size_t zone, aw_units units, aw_text *out)
{
    const aw_curve_shape *b = &w->bends[zone];
    aw_text_format(out, "knee at %.0f anchors", b->from);
    if (b->is_first)
        aw_text_add(out, ", which is only the first number with a position");
    if (!b->falls_on)
        aw_text_format(out, ": up to %.0f, p95 improves by less than %.0f %%", b->to,
                       100 * AW_NEAR_EQUAL);
    else
        aw_text_format(out, ", and falls on: p95 is %s %s there and %s %s at %.0f",
                       aw_error_figure(least_to(w, zone, b->from), units).text,
                       aw_small_unit(units), aw_error_figure(least_to(w, zone, b->to), units).text,
                       aw_small_unit(units), b->to);
}

static void add_height_words(const aw_sweep *w, size_t zone, aw_units units, aw_text *out)
{
    const aw_curve_shape *b = &w->bends[zone];
    const aw_length_text from = at_figure(w, b->from, units), to = at_figure(w, b->to, units);
    const char *unit = aw_coordinate_unit(units);
    if (b->kind == AW_BEND_FLAT)
        aw_text_format(out,
                       "flat between %s and %s %s: no point improves p95 on those before it by "
                       "more than %.0f %%",
                       from.text, to.text, unit, 100 * AW_NEAR_EQUAL);
    else if (b->from == b->to)
        aw_text_format(out, "best at %s %s", at_figure(w, b->best, units).text, unit);
    else
        aw_text_format(out, "flat between %s and %s %s, worse outside by more than %.0f %%",
                       from.text, to.text, unit, 100 * AW_NEAR_EQUAL);
}

void aw_curve_shape_words(const aw_sweep *w, size_t zone, aw_units units, aw_text *out)
{
    const aw_curve_shape *b = &w->bends[zone];
    if (b->kind == AW_BEND_NONE)
        aw_text_add(out, "no p95 anywhere");
    else if (w->kind == AW_SWEEP_HEIGHTS)
        add_height_words(w, zone, units, out);
    else if (b->kind == AW_BEND_KNEE)
        add_knee(w, zone, units, out);
    else if (b->kind == AW_BEND_FLAT)
        aw_text_format(out, "flat between %.0f and %.0f anchors: p95 improves by less than %.0f %%",
                       b->from, b->to, 100 * AW_NEAR_EQUAL);
    else
        aw_text_format(out, "falls steadily from %.0f to %.0f anchors", b->from, b->to);
}

AW_WORDS(add_at)
{
    const aw_sweep *w = ((const aw_told_sweep *)row->with)->sweep;
    aw_text_add(out, at_figure(w, w->points[row->k].at, units).text);
}

/* Two digits, and so many that it stands on its side of 1. */
AW_WORDS(add_score)
{
    const double score = ((const aw_told_sweep *)row->with)->sweep->points[row->k].score;
    int digits = 2;
    while (digits < 5 && score > 1 && score < 1 + 0.5 * pow(10, -digits))
        digits++;
    if (isfinite(score))
        aw_text_format(out, "%.*f", digits, score);
}

#define PATH_ROOM 48
/* Columns before those of the zones. */
#define FIRST_ZONE 4

/* The columns of a zone: where its figures are. */
static void declare_zone(aw_column *column, char paths[3][PATH_ROOM], const aw_sweep *w,
                         size_t zone)
{
    static const char *const keys[] = {"p95_m", "p95_low_m", "p95_high_m"};
    for (int k = 0; k < 3; k++)
        snprintf(paths[k], PATH_ROOM, "zones.%zu.%s", zone, keys[k]);
    *column = (aw_column){.key = paths[0],
                          .head = "p95_of",
                          .of = w->names[zone],
                          .low = paths[1],
                          .high = paths[2],
                          .none = "no p95",
                          .format = AW_AS_ERROR};
}

static void add_points(const aw_told_sweep *t, aw_text *out)
{
    const aw_sweep *w = t->sweep;
    const size_t zones = w->n_zones < MOST_ZONES ? w->n_zones : MOST_ZONES;
    char paths[MOST_ZONES][3][PATH_ROOM];
    aw_column columns[FIRST_ZONE + MOST_ZONES] = {
        {.head = "anchors", .format = AW_AS_FIGURE, .words = add_at},
        {.key = "price", .format = AW_AS_AMOUNT},
        {.key = "met", .head = "verdict", .format = AW_AS_VERDICT},
        {.head = "score", .format = AW_AS_FIGURE, .words = add_score}};
    if (w->kind == AW_SWEEP_HEIGHTS)
        columns[0] = (aw_column){.head = "height", .format = AW_AS_PLACE, .words = add_at};
    for (size_t z = 0; z < zones; z++)
        declare_zone(&columns[FIRST_ZONE + z], paths[z], w, z);
    const aw_listed points = {
        .document = &aw_sweep_shape, .rows = "points", .columns = columns, .n = FIRST_ZONE + zones};
    aw_listed_write(&points, &AW_DOCUMENT(*t), false, out);
    if (zones < w->n_zones)
        aw_text_format(out, "The other %zu zones are in --csv and --json.\n\n", w->n_zones - zones);
}

/* What is worse than with one anchor less. */
static void add_losers(const aw_sweep *w, const aw_swept *p, aw_text *out)
{
    const char *between = "";
    bool any = false;
    for (size_t z = 0; z < w->n_zones; z++)
        any = any || p->worse[z];
    if (p->no_better)
        aw_text_format(out, "%.0f anchors: no layout found is better than with one less.\n", p->at);
    if (!any || p->no_better)
        return;
    aw_text_format(
        out, "%.0f anchors: a larger p95 than with one less, for the sake of the score: ", p->at);
    for (size_t z = 0; z < w->n_zones; z++)
        if (p->worse[z]) {
            aw_text_format(out, "%s%s", between, w->names[z]);
            between = ", ";
        }
    aw_text_add(out, ".\n");
}

void aw_sweep_table(const aw_sweep *w, const aw_scenario *s, const char *file, aw_text *out)
{
    const aw_told_sweep t = {{s, file}, w};
    aw_title_words(s, file, out);
    if (w->kind == AW_SWEEP_COUNTS)
        aw_text_format(out, "the best layout found of each number of %zu candidates; ",
                       w->candidates.n);
    else
        aw_text_add(out, "anchors moved up and down together, all else as it is; ");
    aw_run_words(s, out);
    const size_t from = out->n;
    add_points(&t, out);
    for (size_t z = 0; z < w->n_zones; z++) {
        aw_text_format(out, "%s: ", w->names[z]);
        aw_curve_shape_words(w, z, s->units, out);
        aw_text_add(out, ".\n");
    }
    for (size_t i = 0; i < w->n; i++)
        add_losers(w, &w->points[i], out);
    if (w->kind == AW_SWEEP_COUNTS)
        aw_text_add(out,
                    "\nScore: the largest ratio of any part of any need, at most 1 where all hold "
                    "by their values; without needs p95 of the worst zone over 0.5 m.");
    aw_text_add(out, "\nIn brackets, from 64 draws on, the 95 % simulation interval of p95.\n"
                     "Mounting at height is work for licensed people under local "
                     "rules.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
    aw_isolate_names(out, from);
}

void aw_sweep_csv(const aw_sweep *w, const aw_scenario *s, aw_text *out)
{
    const aw_told_sweep t = {{s, NULL}, w};
    for (size_t i = 0; i < w->n; i++)
        for (size_t z = 0; z < w->n_zones; z++) {
            const aw_subject row = {&w->points[i].zones[z], &t, z, i};
            if (i == 0 && z == 0)
                aw_csv_head(&aw_sweep_row_shape, &row, out);
            aw_csv_row(&aw_sweep_row_shape, &row, out);
        }
}
