/* From a scenario to its sheet: the maps, the field they make, and the order in which it is drawn.
 */
#include "draw/chart.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/assess.h"
#include "anchorwise/site_law.h"
#include "base/plane.h"
#include "draw/floor_sheet.h"
#include "report/stamp.h"

aw_layer aw_layer_named(const char *key)
{
    aw_layer layer = 0;
    while (layer < AW_LAYERS && strcmp(aw_layer_rows[layer].key, key) != 0)
        layer++;
    return layer;
}

struct aw_chart {
    const aw_scenario *scenario;
    aw_chart_options options;
    aw_field field;           /* of the layer */
    aw_surface surface;       /* what is drawn of it */
    aw_assessment assessment; /* of the zones, if they are assessed */
};

/* Whether a layer exists for a tag: heights are not solved for where they are known. */
static bool has_layer(const aw_scenario *s, size_t tag, aw_layer layer)
{
    const bool solid = layer == AW_LAYER_VDOP || layer == AW_LAYER_PDOP ||
                       layer == AW_LAYER_VERTICAL_P50 || layer == AW_LAYER_VERTICAL_P95;
    return !solid || s->tags[tag].fix == AW_FIX_3D;
}

/* Layers that the geometry alone decides. */
static bool needs_no_draws(aw_layer layer)
{
    return layer == AW_LAYER_USED || layer == AW_LAYER_BOUND;
}

/* Runs one tag's map over some cells and lays it over the field. */
static bool lay_map(aw_chart *d, size_t tag, aw_grid *grid, const aw_run *run)
{
    const aw_chart_options *o = &d->options;
    const aw_map_plan plan = {
        .scenario = d->scenario, .tag = tag, .groups = 1, .interval_of = o->layer};
    const size_t work = grid->n * (needs_no_draws(o->layer) ? 1 : d->scenario->study.draws);
    aw_watch_stage(run->watch, work, "%zu cells of %s", grid->n, d->scenario->tags[tag].name);
    aw_map map;
    const bool done = needs_no_draws(o->layer) ? aw_map_bound(&map, grid, &plan, run)
                                               : aw_map_run(&map, grid, &plan, run);
    if (done)
        aw_field_lay(&d->field, &map, o->layer);
    aw_map_free(&map);
    return done;
}

/* The floor by the default tag, then zones with a tag of their own by theirs; or all by one tag. */
static bool lay_field(aw_chart *d, const aw_run *run)
{
    const aw_scenario *s = d->scenario;
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, s, NULL, run->errors))
        return false;
    if (!aw_field_create(&d->field, &grid)) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the chart");
        aw_grid_free(&grid);
        return false;
    }
    const bool by_tag = d->options.by_tag;
    bool done = lay_map(d, d->options.tag, &grid, run);
    for (size_t i = s->n_zones; done && !by_tag && i-- > 0;) {
        const aw_zone *z = &s->zones[i];
        if (z->tag != 0 && has_layer(s, z->tag, d->options.layer))
            done = aw_grid_lay_zone(&grid, s, z, run->errors) && lay_map(d, z->tag, &grid, run);
    }
    return done;
}

static bool has_values(const aw_chart *d)
{
    for (size_t i = 0; i < d->field.nx * d->field.ny; i++)
        if (!isnan(d->field.value[i]))
            return true;
    return false;
}

/* --- its words --- */

/* Counts and dilution of precision know no chances. */
static const char *rarely_received(const aw_draft *d)
{
    return d->scenario->radio.given && d->options->layer <= AW_LAYER_GDOP
               ? " An anchor received once in 1000 frames counts as one always received; the layer "
                 "'received' has the average."
               : "";
}

static bool is_error(aw_layer layer)
{
    return layer == AW_LAYER_P50 || layer == AW_LAYER_P95 || layer == AW_LAYER_RMS ||
           layer == AW_LAYER_VERTICAL_P50 || layer == AW_LAYER_VERTICAL_P95;
}

/* What the layer needs and nothing else: draws for what is drawn, the range of sites for errors. */
static void word_notes(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    const aw_layer layer = d->options->layer;
    const bool feet = s->units == AW_FEET;
    const double step = s->study.step / (feet ? AW_FOOT : 1);
    const aw_site_range range = aw_site_range_of(s, false);
    if (needs_no_draws(layer) || layer <= AW_LAYER_BIAS || layer >= AW_LAYER_RECEIVED)
        aw_draft_note(d, "From the geometry of every cell of %.4g %s, without draws.%s", step,
                      feet ? "ft" : "m", rarely_received(d));
    else
        aw_draft_note(d,
                      "Slanted: predicted, upright: given. %u draws in every cell of %.4g %s, seed "
                      "%llu; contours are smoothed within what the draws leave open.",
                      s->study.draws, step, feet ? "ft" : "m", (unsigned long long)s->study.seed);
    if (is_error(layer))
        aw_draft_note(d, "By the stated errors: nine sites in ten have %.2g to %.2g times these.",
                      range.low, range.high);
    aw_draft_note_terms(d);
}

static void word_title(aw_draft *d, char subtitle[512])
{
    const aw_scenario *s = d->scenario;
    const char *unit = aw_draft_unit(d), *name = aw_layer_rows[d->options->layer].name;
    const double metre = aw_unit_metres(s->units);
    const aw_tag *tag = &s->tags[d->tag];
    snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    aw_draft_fact(d, "Accuracy chart, %s at %.4g %s", tag->name, tag->height / metre,
                  aw_unit_name(s->units));
    snprintf(subtitle, 512, "%s%s%s · %s, %.4g %s, %dd fix · %zu anchor%s", name, *unit ? ", " : "",
             unit, tag->name, tag->height / metre, aw_unit_name(s->units), (int)tag->fix,
             s->n_anchors, s->n_anchors == 1 ? "" : "s");
}

static bool any_need(const aw_draft *d)
{
    bool any = false;
    for (size_t i = 0; i < d->scenario->n_zones; i++)
        any = any || !isnan(aw_draft_need(d, &d->scenario->zones[i]));
    return any && aw_draft_shows_needs(d);
}

static bool any_standing(const aw_draft *d, aw_standing standing)
{
    for (size_t at = 0; at < d->field.nx * d->field.ny; at++)
        if (aw_draft_standing(d, at) == standing)
            return true;
    return false;
}

static bool any_worst(const aw_draft *d, bool missed)
{
    bool any = false;
    for (size_t i = 0; i < d->scenario->n_zones && d->options->layer == AW_LAYER_P95; i++) {
        const aw_zone_result *r = aw_draft_result(d, i);
        any = any || (r != NULL && isfinite(r->errors.worst_at[0]) &&
                      (r->verdict == AW_NOT_MET) == missed);
    }
    return any;
}

/* Every mark that will be on the sheet but those of bearings, which are known when drawn. */
static void word_legend(aw_draft *d)
{
    const aw_layer_row *row = &aw_layer_rows[d->options->layer];
    const char *unit = aw_draft_unit(d);
    char name[128];
    snprintf(name, sizeof name, "%s%s%s", row->name, *unit ? ", " : "", unit);
    aw_capitals(name, d->words.legend, sizeof d->words.legend);
    d->words.ramp = true;
    aw_draft_entry(d, AW_SYMBOL_SOUNDING, AW_INK_SOUNDING, "sounding");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_CONTOUR, "contour");
    if (any_need(d))
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_NEED, "contour of the need");
    if (any_standing(d, AW_STANDS_MISSED))
        aw_draft_entry(d, AW_SYMBOL_SHOAL, AW_INK_STIPPLE, "need missed");
    if (any_standing(d, AW_STANDS_TIED))
        aw_draft_entry(d, AW_SYMBOL_TIED, AW_INK_TIED, "tied with the need");
    if (aw_draft_has_gaps(d))
        aw_draft_entry(d, AW_SYMBOL_BLANK, AW_INK_NO_FIX, "too many draws fail");
    aw_draft_entry(d, AW_SYMBOL_ANCHOR, AW_INK_ANCHOR, "anchor");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
    if (any_worst(d, true))
        aw_draft_entry(d, AW_SYMBOL_WORST_MISSED, AW_INK_SPAR_MISSED, "worst, need missed");
    if (any_worst(d, false))
        aw_draft_entry(d, AW_SYMBOL_WORST, AW_INK_SPAR, "worst spot");
    d->words.reserved = d->words.n_entries + (d->options->n_spots > 0 ? 4 : 0);
}

static void word_headline(const aw_draft *d, char out[512])
{
    aw_text text = {0};
    if (d->assessment != NULL && d->options->layer == AW_LAYER_P95 && !d->options->by_tag)
        aw_headline_words(d->assessment, d->scenario, AW_ON_A_SHEET, &text);
    snprintf(out, 512, "%s", text.at != NULL ? text.at : "");
    d->sheet->failed |= text.failed;
    aw_text_free(&text);
}

/* Water and what stands in it, then texts in the order of their claim to a place. */
static bool draw_window(aw_draft *d, size_t window, aw_errors *errors)
{
    aw_draft_open_window(d, window);
    aw_draft_tints(d);
    aw_draft_gaps(d);
    aw_draft_land(d);
    aw_draft_zones(d);
    aw_draft_worst_spots(d);
    aw_draft_anchor_marks(d);
    if (!aw_draft_bearings(d, errors))
        return false;
    aw_draft_zone_blocks(d);
    aw_draft_anchor_names(d);
    if (!aw_draft_is_picture(d))
        aw_draft_land_names(d);
    aw_draft_no_fix_names(d);
    aw_draft_worst_figures(d);
    aw_draft_contours(d);
    aw_draft_crosses(d);
    aw_draft_soundings(d);
    aw_draft_shoals(d);
    aw_draft_close_window(d);
    aw_draft_neat_line(d);
    return true;
}

static bool draw_plan(aw_draft *d, aw_errors *errors)
{
    bool done = true;
    for (size_t i = 0; done && i < d->n_windows; i++)
        done = draw_window(d, i, errors);
    return done;
}

static const aw_arrangement arrangements[] = {
    {.under = {{aw_lay_told, 134},
               {aw_lay_anchors_and_key, 78},
               {aw_lay_legend, 76},
               {aw_lay_title, 75}}},
    {.beside = {{aw_lay_legend, 64}, {aw_lay_anchors_and_key, 0}, {aw_lay_title, 0}},
     .under = {{aw_lay_zones, 134}, {aw_lay_notes, 84}}},
    {.beside = {{aw_lay_legend, 60}, {aw_lay_anchors_and_key, 0}},
     .under = {{aw_lay_zones, 134}, {aw_lay_notes, 84}, {aw_lay_title, 75}}},
};

static bool draw(aw_draft *d, aw_errors *errors)
{
    char subtitle[512], headline[512];
    d->common_height = aw_common_height(d->scenario);
    aw_draft_choose_levels(d);
    word_title(d, subtitle);
    word_notes(d);
    word_legend(d);
    word_headline(d, headline);
    if (d->sheet->failed)
        return false;
    aw_draft_begin(d);
    if (aw_draft_is_picture(d)) {
        d->common_height = HUGE_VAL;
        d->sheet->text_size *= 2.35 / 1.9; /* its smallest text is the part that a stamp tells */
    }
    aw_draft_lay_plan(d, arrangements, sizeof arrangements / sizeof *arrangements);
    if (!draw_plan(d, errors))
        return false;
    aw_draft_drop_unseen(d);
    aw_draft_list_bearings(d, "error ellipse, 95 %");
    aw_draft_head(d, subtitle, headline);
    aw_draft_add_blocks(d);
    return true;
}

static bool check_spots(const aw_chart *chart, aw_errors *errors)
{
    const aw_scenario *s = chart->scenario;
    const double metre = aw_unit_metres(s->units);
    bool sound = true;
    for (size_t i = 0; i < chart->options.n_spots; i++) {
        const aw_point at = chart->options.spots[i];
        if (aw_polygon_holds(&s->floor.outline, at.x, at.y))
            continue;
        aw_errors_add(errors, AW_ERROR, 0, 0, "--spot: %.6g,%.6g %s is off the floor", at.x / metre,
                      at.y / metre, aw_unit_name(s->units));
        sound = false;
    }
    return sound;
}

/* Shares of a need take a need, and errors that it is about. */
static bool check_relative(const aw_chart *chart, aw_errors *errors)
{
    const aw_scenario *s = chart->scenario;
    const aw_draft d = {.scenario = s, .options = &chart->options};
    bool any = false;
    for (size_t i = 0; i < s->n_zones; i++)
        any = any || !isnan(aw_draft_need(&d, &s->zones[i]));
    if (chart->options.relative && !aw_draft_shows_needs(&d))
        aw_errors_add(errors, AW_ERROR, 0, 0, "--relative goes with layer p95_m");
    else if (chart->options.relative && !any)
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "--relative: no zone of this tag states a need of p95");
    else
        return true;
    return false;
}

static bool complain(aw_errors *errors)
{
    aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the chart");
    return false;
}

aw_chart *aw_chart_create(const aw_scenario *scenario, const aw_chart_options *options,
                          const aw_run *run)
{
    aw_chart *chart = calloc(1, sizeof *chart);
    if (chart == NULL) {
        complain(run->errors);
        return NULL;
    }
    chart->scenario = scenario;
    chart->options = *options;
    bool done = check_spots(chart, run->errors) && check_relative(chart, run->errors) &&
                lay_field(chart, run);
    if (done && !has_values(chart)) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "layer %s has no value anywhere on this floor",
                      aw_layer_rows[options->layer].key);
        done = false;
    }
    if (done && options->assessed && options->layer == AW_LAYER_P95)
        done = aw_assess_run(&chart->assessment, scenario, run);
    const aw_figure figure = aw_layer_rows[options->layer].figure;
    if (done && !aw_surface_make(&chart->surface, &chart->field, scenario, options->tag,
                                 figure == AW_FIGURE_LENGTH || figure == AW_FIGURE_RATIO))
        done = complain(run->errors);
    if (done)
        return chart;
    aw_chart_free(chart);
    return NULL;
}

void aw_chart_free(aw_chart *chart)
{
    if (chart == NULL)
        return;
    aw_field_free(&chart->field);
    aw_surface_free(&chart->surface);
    aw_assessment_free(&chart->assessment);
    free(chart);
}

bool aw_chart_draw(aw_sheet *sheet, const aw_chart *chart, aw_errors *errors)
{
    const aw_chart_options *o = &chart->options;
    aw_draft d = {.sheet = sheet,
                  .scenario = chart->scenario,
                  .options = o,
                  .tag = o->tag,
                  .field = chart->field,
                  .surface = &chart->surface,
                  .assessment = chart->assessment.zones != NULL ? &chart->assessment : NULL};
    const bool done = aw_draft_open(&d) && draw(&d, errors);
    return aw_draft_close(&d, errors) && done;
}
