/* The spot as it is first: its lines of sight, its figures, its directions. Causes and remedies
 * have files of their own. */
#include "anchorwise/explain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "anchorwise/map.h"
#include "assess/zone_assess.h"
#include "base/plane.h"
#include "map/spot.h"
#include "whatif/causes.h"
#include "whatif/remedies.h"

/* Draws of every estimate, as a multiple of the study's, and at most. As planned they are those
 * that confirm a worst cell (pool.h), so that the same spot has the same figure. */
#define TIMES      16
#define MOST_DRAWS 65536

static uint32_t draws_of(const aw_scenario *s)
{
    const uint64_t n = (uint64_t)TIMES * s->study.draws;
    return n < MOST_DRAWS ? (uint32_t)n : MOST_DRAWS;
}

size_t aw_explain_work(const aw_scenario *s)
{
    const size_t sets = (size_t)1 << AW_CAUSES, n = draws_of(s);
    size_t zones = aw_assess_work(s);
    return n * (sets + AW_REMEDIES * 10) + (1 + AW_REMEDIES) * zones;
}

/* --- lines of sight --- */

static void find_lines(aw_explanation *e, const aw_scenario *s, const aw_scene *scene,
                       aw_link links[])
{
    aw_links_at(scene, e->spot, links);
    for (size_t i = 0; i < s->n_anchors; i++) {
        aw_sightline *l = &e->lines[i];
        const double *to = links[i].to_anchor, turn = atan2(to[0], to[1]);
        l->link = links[i];
        l->bearing = turn < 0 ? turn + 2 * M_PI : turn;
        l->elevation = atan2(to[2], aw_length(to[0], to[1]));
        l->crossed = aw_scene_crossed(scene, e->spot, s->anchors[i].at, &l->blocker);
        l->too_far = !s->radio.given && links[i].range > s->ranging.range;
    }
}

/* The widest fan of bearings without a usable anchor. */
static void find_gap(aw_explanation *e, size_t n)
{
    e->gap = e->gap_from = e->gap_to = (double)NAN;
    for (size_t i = 0; i < n; i++) {
        double next = 2 * M_PI, to = e->lines[i].bearing;
        if (e->lines[i].link.n_outcomes == 0)
            continue;
        for (size_t k = 0; k < n; k++) {
            double turn = e->lines[k].bearing - e->lines[i].bearing;
            if (k == i || e->lines[k].link.n_outcomes == 0)
                continue;
            turn += turn < 0 ? 2 * M_PI : 0;
            if (turn < next) {
                next = turn;
                to = e->lines[k].bearing;
            }
        }
        if (isnan(e->gap) || next > e->gap) {
            e->gap = next;
            e->gap_from = e->lines[i].bearing;
            e->gap_to = to;
        }
    }
}

/* --- figures --- */

static int compare_floats(const void *a, const void *b)
{
    const float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

/* 95 % of the errors' parts along a direction are within this; NaN if failed draws are in the way.
 */
static double reach_along(const aw_draws *d, double azimuth, float part[])
{
    const float c = (float)cos(azimuth), s = (float)sin(azimuth);
    size_t n = 0;
    for (size_t i = 0; i < d->n; i++)
        if (d->status[i] != AW_DRAW_FAILED)
            part[n++] = fabsf(c * d->x[i] + s * d->y[i]);
    const size_t rank = (size_t)ceil(0.95 * (double)d->n - 1e-9);
    if (rank < 1 || rank > n)
        return (double)NAN;
    qsort(part, n, sizeof *part, compare_floats);
    return (double)part[rank - 1];
}

static bool set_figures(aw_explanation *e, const aw_trial_spot *spot, const aw_link links[],
                        aw_errors *errors)
{
    const aw_scenario *s = spot->scenario;
    aw_trials *trials = aw_trials_create(s->n_anchors, e->draws, NULL);
    float *part = malloc(((size_t)e->draws + 1) * sizeof *part);
    const bool room = trials != NULL && part != NULL;
    if (room) {
        aw_trials_case c = aw_spot_case(spot, links, s->n_anchors, &e->bound);
        c.first_draw = s->study.draws;
        c.n_draws = e->draws;
        const aw_draws d = aw_trials_run(trials, &c);
        e->used = e->bound.used;
        e->p95 = aw_spot_trials_p95(trials, &d, &c);
        e->p50 = aw_trials_percentile(trials, 0.5, false);
        e->vertical_p50 = e->vertical_p95 = (double)NAN;
        if (s->tags[spot->tag].fix == AW_FIX_3D) {
            e->vertical_p50 = aw_trials_percentile(trials, 0.5, true);
            e->vertical_p95 = aw_trials_percentile(trials, 0.95, true);
        }
        e->fix_share = 1 - (double)d.n_failed / (double)d.n;
        e->ambiguous_share = (double)d.n_ambiguous / (double)d.n;
        e->spread = aw_spot_error_law(s, spot->tag, links, &e->bound);
        e->along = reach_along(&d, e->spread.azimuth, part);
        e->across = reach_along(&d, e->spread.azimuth + M_PI / 2, part);
    } else {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the spot");
    }
    aw_trials_free(trials);
    free(part);
    return room;
}

static bool assess_zones(aw_explanation *e, const aw_scenario *s, const aw_run *run)
{
    bool done = true;
    for (size_t i = 0; done && i < s->n_zones; i++) {
        aw_zone_stage(run->watch, s, i, "as planned: ");
        done = aw_assess_zone(&e->zones[i], s, &s->zones[i], run);
    }
    return done;
}

static bool explain_spot(aw_explanation *e, const aw_trial_spot *spot, const aw_scene *scene,
                         aw_link links[], const aw_run *run)
{
    const aw_scenario *s = spot->scenario;
    find_lines(e, s, scene, links);
    find_gap(e, s->n_anchors);
    return set_figures(e, spot, links, run->errors) && aw_causes_run(e, spot, run) &&
           assess_zones(e, s, run) && aw_remedies_run(e, spot, scene, run);
}

static uint32_t cell_at(const aw_scenario *s, aw_point at, aw_errors *errors)
{
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, s, NULL, errors))
        return 0;
    const uint32_t number = aw_grid_number_at(&grid, at);
    aw_grid_free(&grid);
    return number;
}

bool aw_explain_run(aw_explanation *e, const aw_scenario *s, aw_point at, size_t tag,
                    const aw_run *run)
{
    const double metre = aw_unit_metres(s->units);
    *e = (aw_explanation){
        .spot = {at.x, at.y, aw_tag_at(s, tag, at.x, at.y)}, .tag = tag, .draws = draws_of(s)};
    if (!aw_polygon_holds(&s->floor.outline, at.x, at.y)) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "--at: %.6g,%.6g %s is off the floor",
                      at.x / metre, at.y / metre, aw_unit_name(s->units));
        return false;
    }
    const aw_trial_spot spot = {
        s, tag, {e->spot[0], e->spot[1], e->spot[2]}, cell_at(s, at, run->errors)};
    aw_scene *scene = aw_scene_create(s);
    aw_link *links = calloc(s->n_anchors, sizeof *links);
    e->lines = calloc(s->n_anchors, sizeof *e->lines);
    e->zones = calloc(s->n_zones + 1, sizeof *e->zones);
    bool done = scene != NULL && links != NULL && e->lines != NULL && e->zones != NULL;
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the spot");
    done = done && run->errors->n_errors == 0 && explain_spot(e, &spot, scene, links, run);
    aw_scene_free(scene);
    free(links);
    return done;
}

void aw_explanation_free(aw_explanation *e)
{
    for (size_t i = 0; i < AW_REMEDIES; i++)
        free(e->remedies[i].zones);
    free(e->lines);
    free(e->zones);
    *e = (aw_explanation){0};
}
