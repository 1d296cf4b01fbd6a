/* Sweeps as a table with sentences, as JSON and as CSV. */
#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/words.h"

/* Zones that have a column. */
#define MOST_ZONES 8

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

static void add_heading(const aw_sweep *w, const aw_scenario *s, const char *file, aw_text *out)
{
    aw_title_words(s, file, out);
    aw_text_format(out, "%s, seed %llu, %s figures\n", aw_draws_words(&s->study).text,
                   (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench");
    if (w->kind == AW_SWEEP_COUNTS)
        aw_text_format(out, "the best layout found of each number of %zu candidates\n\n",
                       w->n_candidates);
    else
        aw_text_add(out, "anchors moved up and down together, all else as it is\n\n");
}

static void add_estimate(aw_table *t, const aw_estimate *e, aw_units units)
{
    if (isnan(e->value))
        aw_table_add(t, "no p95");
    else if (!isfinite(e->low) || !isfinite(e->high))
        aw_table_add(t, "%s", aw_error_figure(e->value, units).text);
    else
        aw_table_add(t, "%s (%s to %s)", aw_error_figure(e->value, units).text,
                     aw_error_figure(e->low, units).text, aw_error_figure(e->high, units).text);
}

void aw_sweep_table(const aw_sweep *w, const aw_scenario *s, const char *file, aw_text *out)
{
    const size_t zones = w->n_zones < MOST_ZONES ? w->n_zones : MOST_ZONES;
    const bool priced = aw_has_prices(s);
    aw_table t = {.columns = 1 + priced + zones, .align = "rrrrrrrrrr", .heads = 1};
    add_heading(w, s, file, out);
    const size_t from = out->n;
    if (w->kind == AW_SWEEP_COUNTS)
        aw_table_add(&t, "anchors");
    else
        aw_table_add(&t, "height (%s)", aw_coordinate_unit(s->units));
    if (priced)
        aw_table_add(&t, "%s", s->prices.currency);
    for (size_t z = 0; z < zones; z++)
        aw_table_add(&t, "p95 of %s (%s)", w->names[z], aw_small_unit(s->units));
    for (size_t i = 0; i < w->n; i++) {
        aw_table_add(&t, "%s", at_figure(w, w->at[i], s->units).text);
        if (priced && isnan(w->price[i]))
            aw_table_add(&t, "–");
        else if (priced)
            aw_table_add(&t, "%.0f", w->price[i]);
        for (size_t z = 0; z < zones; z++)
            add_estimate(&t, &w->p95[i * w->n_zones + z], s->units);
    }
    aw_table_write(&t, out);
    out->failed = out->failed || t.failed;
    aw_table_free(&t);
    if (zones < w->n_zones)
        aw_text_format(out, "The other %zu zones are in --csv and --json.\n", w->n_zones - zones);
    aw_text_add(out, "\n");
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

/* A name as a field of RFC 4180. */
static void add_field(aw_text *out, const char *name)
{
    aw_text_add(out, "\"");
    for (const char *byte = name; *byte != '\0'; byte++) {
        aw_text_add_bytes(out, byte, 1);
        if (*byte == '"')
            aw_text_add(out, "\"");
    }
    aw_text_add(out, "\"");
}

void aw_sweep_csv(const aw_sweep *w, aw_text *out)
{
    aw_text_format(out, "%s,price,zone,p95_m,p95_low_m,p95_high_m\r\n",
                   w->kind == AW_SWEEP_COUNTS ? "anchors" : "height_m");
    for (size_t i = 0; i < w->n; i++)
        for (size_t z = 0; z < w->n_zones; z++) {
            const aw_estimate *e = &w->p95[i * w->n_zones + z];
            aw_text_number(out, w->at[i]);
            aw_text_add(out, ",");
            aw_text_number(out, w->price[i]);
            aw_text_add(out, ",");
            add_field(out, w->names[z]);
            const double value[3] = {e->value, e->low, e->high};
            for (int k = 0; k < 3; k++) {
                aw_text_add(out, ",");
                if (isfinite(value[k]))
                    aw_text_number(out, value[k]);
            }
            aw_text_add(out, "\r\n");
        }
}
