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

void aw_curve_shape_words(const aw_sweep *w, size_t zone, aw_units units, aw_text *out)
{
    const aw_curve_shape *b = &w->bends[zone];
    const aw_length_text from = at_figure(w, b->from, units), to = at_figure(w, b->to, units);
    const char *unit = w->kind == AW_SWEEP_COUNTS ? "anchors" : aw_coordinate_unit(units);
    switch (b->kind) {
    case AW_BEND_NONE:
        aw_text_add(out, "no p95 anywhere");
        break;
    case AW_BEND_FLAT:
        aw_text_format(out,
                       "flat between %s and %s %s: no point improves p95 on those before it by "
                       "more than %.0f %%",
                       at_figure(w, w->at[0], units).text,
                       at_figure(w, w->at[w->n - 1], units).text, unit, 100 * AW_NEAR_EQUAL);
        break;
    case AW_BEND_KNEE:
        aw_text_format(out, "knee at %s %s: up to %s, p95 improves by at most %.0f %%", from.text,
                       unit, to.text, 100 * AW_NEAR_EQUAL);
        break;
    case AW_BEND_FALLING:
        aw_text_format(out, "no knee: still falling at %s %s", to.text, unit);
        break;
    case AW_BEND_BAND:
        if (b->from == b->to)
            aw_text_format(out, "best at %s %s", at_figure(w, b->best, units).text, unit);
        else
            aw_text_format(out, "flat between %s and %s %s, worse outside by more than %.0f %%",
                           from.text, to.text, unit, 100 * AW_NEAR_EQUAL);
        break;
    }
}

AW_WORDS(add_at)
{
    const aw_sweep *w = ((const aw_told_sweep *)row->with)->sweep;
    aw_text_add(out, at_figure(w, w->at[row->k], units).text);
}

#define PATH_ROOM 48

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
    aw_column columns[2 + MOST_ZONES] = {
        {.head = "anchors", .format = AW_AS_FIGURE, .words = add_at},
        {.key = "price", .format = AW_AS_AMOUNT}};
    if (w->kind == AW_SWEEP_HEIGHTS)
        columns[0] = (aw_column){.head = "height", .format = AW_AS_PLACE, .words = add_at};
    for (size_t z = 0; z < zones; z++)
        declare_zone(&columns[2 + z], paths[z], w, z);
    const aw_listed points = {
        .document = &aw_sweep_shape, .rows = "points", .columns = columns, .n = 2 + zones};
    aw_listed_write(&points, &AW_DOCUMENT(*t), false, out);
    if (zones < w->n_zones)
        aw_text_format(out, "The other %zu zones are in --csv and --json.\n\n", w->n_zones - zones);
}

void aw_sweep_table(const aw_sweep *w, const aw_scenario *s, const char *file, aw_text *out)
{
    const aw_told_sweep t = {{s, file}, w};
    aw_title_words(s, file, out);
    if (w->kind == AW_SWEEP_COUNTS)
        aw_text_format(out, "the best layout found of each number of %zu candidates; ",
                       w->n_candidates);
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
            const aw_subject row = {&w->p95[i * w->n_zones + z], &t, z, i};
            if (i == 0 && z == 0)
                aw_csv_head(&aw_sweep_row_shape, &row, out);
            aw_csv_row(&aw_sweep_row_shape, &row, out);
        }
}
