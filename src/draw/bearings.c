/* The bearings of a spot: its lines of sight, its error ellipse, and a note with its figures. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/floor_sheet.h"
#include "report/lengths.h"

/* Half a cross, mm; and how large an ellipse should look. */
#define CROSS 1.1
#define LOOKS 9.0

static void add_cross(aw_draft *d, aw_point p)
{
    aw_sheet_line(d->sheet, AW_INK_END, (aw_point){p.x - CROSS, p.y - CROSS},
                  (aw_point){p.x + CROSS, p.y + CROSS});
    aw_sheet_line(d->sheet, AW_INK_END, (aw_point){p.x - CROSS, p.y + CROSS},
                  (aw_point){p.x + CROSS, p.y - CROSS});
}

/* Where a lost line ends: at what takes it, or at the longest range. */
static double end_of(const aw_draft *d, const aw_scene *scene, const double spot[3], size_t anchor,
                     const aw_link *link)
{
    const double reach = d->scenario->ranging.range;
    const double clear = aw_scene_clear_share(scene, spot, d->scenario->anchors[anchor].at);
    return fmin(clear, link->range > reach ? reach / link->range : 1);
}

static void add_bearing(aw_draft *d, const aw_scene *scene, const double spot[3], size_t anchor,
                        const aw_link *link)
{
    const aw_point from = aw_draft_to_paper(d, (aw_point){spot[0], spot[1]});
    const double share = link->state == AW_LINK_LOST ? end_of(d, scene, spot, anchor, link) : 1;
    const aw_point to = aw_draft_to_paper(
        d, (aw_point){spot[0] + share * link->to_anchor[0], spot[1] + share * link->to_anchor[1]});
    aw_sheet_line(d->sheet, link->state == AW_LINK_THROUGH ? AW_INK_THROUGH : AW_INK_BEARING, from,
                  to);
    if (link->state == AW_LINK_LOST)
        add_cross(d, to);
}

void aw_draft_sight(aw_draft *d, const aw_scene *scene, const aw_spot *spot)
{
    for (size_t k = 0; k < d->scenario->n_anchors; k++) {
        add_bearing(d, scene, spot->draws.spot, k, &spot->links[k]);
        d->sighted[spot->links[k].state] = true;
    }
}

double aw_draft_magnification(const aw_draft *d, const aw_error_law *e)
{
    static const double steps[] = {1, 2, 5, 10, 20, 50, 100, 200, 500};
    double best = 1;
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (2 * AW_SIGMAS_95 * e->major * d->mm * steps[i] <= LOOKS)
            best = steps[i];
    return best;
}

void aw_draft_ellipse(aw_draft *d, const aw_error_law *e, aw_point at, double times)
{
    const double size = AW_SIGMAS_95 * d->mm * times;
    const double x = sqrt(d->turned ? e->yy : e->xx) * size;
    const double y = sqrt(d->turned ? e->xx : e->yy) * size;
    const aw_point c = aw_draft_to_paper(d, at);
    if (isnan(e->major))
        return;
    d->marked[AW_SYMBOL_ELLIPSE] = true;
    aw_sheet_box(d->sheet, AW_ITEM_CLIP, AW_INK_ELLIPSE, 0, d->map.low, d->map.high);
    aw_sheet_ellipse(d->sheet, AW_ITEM_LINE, AW_INK_ELLIPSE, c,
                     (aw_point){e->major * size, e->minor * size},
                     d->turned ? M_PI / 2 - e->azimuth : -e->azimuth);
    aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_ELLIPSE);
    if (e->major * size <= LOOKS)
        aw_draft_take(d, (aw_box){{c.x - x, c.y - y}, {c.x + x, c.y + y}});
}

void aw_draft_list_bearings(aw_draft *d, const char *ellipse)
{
    if (d->sighted[AW_LINK_CLEAR])
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_BEARING, "bearing, clear");
    if (d->sighted[AW_LINK_THROUGH])
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_THROUGH, "bearing, through");
    if (d->sighted[AW_LINK_LOST])
        aw_draft_entry(d, AW_SYMBOL_CROSS, AW_INK_END, "bearing lost here");
    if (d->marked[AW_SYMBOL_ELLIPSE])
        aw_draft_entry(d, AW_SYMBOL_ELLIPSE, AW_INK_ELLIPSE, "%s", ellipse);
}

static void add_note(aw_draft *d, const aw_spot *spot, double p95, const aw_error_law *e,
                     double times)
{
    const bool feet = d->scenario->units == AW_FEET;
    char where[64], figures[96], ellipse[96];
    const double *at = spot->draws.spot;
    snprintf(where, sizeof where, "spot %.2f, %.2f %s", feet ? at[0] / AW_FOOT : at[0],
             feet ? at[1] / AW_FOOT : at[1], feet ? "ft" : "m");
    if (isnan(p95))
        snprintf(figures, sizeof figures, "no p95, %zu of %zu anchors", spot->bound.used,
                 d->scenario->n_anchors);
    else
        snprintf(figures, sizeof figures, "p95 %s, HDOP %.1f, %zu of %zu anchors",
                 aw_sheet_words(p95, NAN, d->scenario->units).text, spot->bound.hdop,
                 spot->bound.used, d->scenario->n_anchors);
    snprintf(ellipse, sizeof ellipse, "95 %% ellipse drawn %gx", times);
    const aw_label label = {AW_INK_NAME, (const char *[]){where, figures, ellipse},
                            isnan(e->major) ? 2 : 3};
    aw_draft_label(d, &label, aw_draft_to_paper(d, (aw_point){at[0], at[1]}), 3, 120);
}

/* The cell's own random numbers, drawn at the spot itself. */
static void add_spot(aw_draft *d, const aw_scene *scene, aw_spot *spot, aw_trials *trials,
                     const aw_grid *grid, aw_point at)
{
    aw_spot_prepare_at(spot, scene, d->scenario, d->tag, at, aw_grid_number_at(grid, at));
    aw_trials_run(trials, &spot->draws);
    const double p95 = aw_trials_percentile(trials, 0.95, false);
    const aw_error_law e = aw_spot_error_law(d->scenario, d->tag, spot->links, &spot->bound);
    const double times = aw_draft_magnification(d, &e);
    aw_draft_sight(d, scene, spot);
    if (!aw_draft_in_window(d, aw_draft_to_paper(d, at)))
        return;
    aw_draft_ellipse(d, &e, at, times);
    add_note(d, spot, p95, &e, times);
}

bool aw_draft_bearings(aw_draft *d, aw_errors *errors)
{
    const aw_chart_options *o = d->options;
    const aw_grid grid = {.x0 = d->field.x0,
                          .y0 = d->field.y0,
                          .step = d->field.step,
                          .nx = d->field.nx,
                          .ny = d->field.ny};
    if (o->n_spots == 0)
        return true;
    aw_scene *scene = aw_scene_create(d->scenario);
    aw_trials *trials = aw_trials_create(d->scenario->n_anchors, d->scenario->study.draws, NULL);
    aw_spot spot = {.links = calloc(d->scenario->n_anchors, sizeof *spot.links)};
    const bool room = scene != NULL && trials != NULL && spot.links != NULL;
    for (size_t i = 0; room && i < o->n_spots; i++)
        add_spot(d, scene, &spot, trials, &grid, o->spots[i]);
    if (!room)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the bearings of a spot");
    aw_scene_free(scene);
    aw_trials_free(trials);
    free(spot.links);
    return room;
}
