/* What each anchor's move costs every need: drawn at the worst corner of its region, one anchor at
 * a time and by the same random numbers, and set against what the need has left. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/vary.h"
#include "assess/zone_assess.h"
#include "whatif/moves.h"
#include "whatif/need_left.h"
#include "whatif/together.h"

/* Of the reach. */
static const double sizes[AW_MOVE_SIZES] = {0.125, 0.25, 0.5, 0.75, 1};
/* Draws that tell what a move costs. */
#define AW_NEED_LOOKS 256
#define HALVED        40
/* A larger rise, of what is lost altogether, counts as this. */
#define LOST 1e3

typedef aw_move_costs job;

/* --- slack --- */

bool aw_together_complain(const aw_run *run)
{
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the regions of all anchors");
    return false;
}

/* A need that is undecided as planned has nothing to share, and is not held. */
static bool find_slacks(job *j)
{
    for (size_t z = 0; z < j->scenario->n_zones; z++) {
        aw_shared_need *need = &j->all->shared[z];
        *need = (aw_shared_need){.held = j->all->kept[z] && j->all->today[z].verdict == AW_MET,
                                 .left = (double)NAN,
                                 .part = AW_PARTS};
        for (int part = 0; part < AW_PARTS; part++) {
            double *slack = &j->slack[z * AW_PARTS + (size_t)part];
            *slack = (double)NAN;
            if (need->held &&
                !aw_need_left(slack, &j->all->today[z], j->scenario, z, (aw_part)part, j->run))
                return false;
            const double left = -expm1(-*slack);
            if (!isnan(left) && !(left >= need->left)) {
                need->left = left;
                need->part = (aw_part)part;
            }
        }
    }
    return true;
}

/* --- what a move costs --- */

static double *rise_at(const job *j, size_t anchor, size_t size, size_t zone)
{
    return &j->rises[((anchor * AW_MOVE_SIZES + size) * j->scenario->n_zones + zone) * AW_PARTS];
}

/* Draws a zone with an anchor at a place. */
static bool draw_move(const job *j, size_t anchor, const double at[3], size_t zone, double rises[])
{
    aw_varied moved = aw_vary(j->scenario);
    aw_zone_result r;
    bool done = aw_varied_move_anchor(&moved, anchor, at) || aw_together_complain(j->run);
    done = done && aw_need_look(&r, &moved.scenario, zone, j->run);
    aw_varied_free(&moved);
    for (int part = 0; done && part < AW_PARTS; part++)
        if (!isnan(j->slack[zone * AW_PARTS + (size_t)part]))
            rises[part] = aw_need_rise((aw_part)part, &j->all->today[zone], &j->look[zone], &r);
    return done;
}

/* Of the corners of each size, number from[k] to from[k + 1] of the places, that which linear
 * estimates say costs a zone most is drawn; none where all cost the same. */
static bool draw_sizes(const job *j, const aw_freedom *f, size_t zone, const double (*to)[3],
                       const size_t from[AW_MOVE_SIZES + 1], aw_need_usage uses[])
{
    const aw_moves_plan plan = {j->scenario,          j->scene,  &j->scenario->zones[zone],
                                &j->all->today[zone], f->anchor, to,
                                from[AW_MOVE_SIZES],  0};
    size_t before = 0;
    if (!aw_moves_run(uses, &plan, j->run))
        return false;
    for (size_t k = 0; k < AW_MOVE_SIZES; k++) {
        double *rises = rise_at(j, f->anchor, k, zone);
        size_t worst = 0;
        bool differs = false;
        for (size_t i = from[k]; i < from[k + 1]; i++) {
            differs = differs || uses[i].share != uses[0].share;
            worst = worst == 0 || uses[i].share > uses[worst].share ? i : worst;
        }
        if (before > 0 && memcmp(to[worst], to[before], sizeof to[worst]) == 0)
            memcpy(rises, rise_at(j, f->anchor, k - 1, zone), AW_PARTS * sizeof *rises);
        else if (differs && !draw_move(j, f->anchor, to[worst], zone, rises))
            return false;
        for (int part = 0; k > 0 && part < AW_PARTS; part++)
            rises[part] = fmax(rises[part], rise_at(j, f->anchor, k - 1, zone)[part]);
        before = differs ? worst : 0;
    }
    return true;
}

static bool draw_anchor(job *j, const aw_freedom *f)
{
    const size_t room = AW_MOVE_SIZES * AW_MOST_CORNERS + 1;
    double(*to)[3] = calloc(room, sizeof *to);
    aw_need_usage *uses = calloc(room, sizeof *uses);
    size_t from[AW_MOVE_SIZES + 1] = {1};
    bool done = (to != NULL && uses != NULL) || aw_together_complain(j->run);
    for (size_t k = 0; done && k < AW_MOVE_SIZES; k++) {
        aw_corners_find(j->corners, j->all, f, j->scenario->anchors[f->anchor].at,
                        sizes[k] * j->all->reach);
        memcpy(to[from[k]], j->corners->at, j->corners->n * sizeof *to);
        from[k + 1] = from[k] + j->corners->n;
    }
    if (done)
        memcpy(to[0], j->scenario->anchors[f->anchor].at, sizeof to[0]);
    for (size_t z = 0; done && z < j->scenario->n_zones; z++)
        if (j->all->shared[z].held)
            done = draw_sizes(j, f, z, (const double(*)[3])to, from, uses);
    free(to);
    free(uses);
    return done;
}

size_t aw_held_work(const aw_freedoms *all, const aw_scenario *scenario, uint32_t draws)
{
    aw_scenario s = *scenario;
    size_t work = 0;
    s.study.draws = draws;
    s.study.precision = (double)NAN;
    for (size_t z = 0; z < s.n_zones; z++)
        work += all->shared[z].held ? aw_zone_work(&s, &s.zones[z]) : 0;
    return work;
}

static bool draw_anchors(job *j)
{
    const bool shows = aw_watch_shows(j->run->watch);
    if (shows)
        aw_watch_stage(j->run->watch, aw_held_work(j->all, j->scenario, AW_NEED_LOOKS),
                       "all anchors together, as planned");
    for (size_t z = 0; z < j->scenario->n_zones; z++)
        if (j->all->shared[z].held && !aw_need_look(&j->look[z], j->scenario, z, j->run))
            return false;
    for (size_t i = 0; i < j->all->n; i++) {
        const aw_freedom *f = &j->all->list[i];
        if (f->shared.still != AW_STILL_NOT)
            continue;
        if (shows)
            aw_watch_stage(j->run->watch,
                           AW_MOVE_SIZES * aw_held_work(j->all, j->scenario, AW_NEED_LOOKS),
                           "anchor %zu of %zu, what its moves cost, %s", i + 1, j->all->n,
                           j->scenario->anchors[f->anchor].name);
        if (!draw_anchor(j, f))
            return false;
    }
    return true;
}

double aw_move_cost(const job *j, const aw_freedom *f, double half, size_t zone, aw_part part)
{
    double size = 0, cost = 0;
    for (size_t k = 0; k < AW_MOVE_SIZES; k++) {
        const double next = sizes[k] * j->all->reach;
        const double then = rise_at(j, f->anchor, k, zone)[part];
        if (half <= next)
            return cost + (then - cost) * (half - size) / (next - size);
        size = next;
        cost = then;
    }
    return cost;
}

bool aw_move_touches(const job *j, const aw_freedom *f, size_t zone)
{
    for (size_t part = 0; part < AW_PARTS; part++)
        if (rise_at(j, f->anchor, AW_MOVE_SIZES - 1, zone)[part] > 0)
            return true;
    return false;
}

/* --- all --- */

static bool make_room(job *j)
{
    const size_t zones = j->scenario->n_zones + 1, n = j->scenario->n_anchors;
    j->scene = aw_scene_create(j->scenario);
    j->look = calloc(zones, sizeof *j->look);
    j->slack = calloc(zones * AW_PARTS, sizeof *j->slack);
    j->rises = calloc(n * AW_MOVE_SIZES * zones * AW_PARTS, sizeof *j->rises);
    j->corners = calloc(1, sizeof *j->corners);
    j->all->shared = calloc(zones, sizeof *j->all->shared);
    return (j->look != NULL && j->slack != NULL && j->rises != NULL && j->corners != NULL &&
            j->all->shared != NULL && j->scene != NULL) ||
           aw_together_complain(j->run);
}

bool aw_move_costs_run(job *j, aw_freedoms *all, const aw_scenario *s, const aw_run *run)
{
    *j = (job){.all = all, .scenario = s, .run = run};
    return make_room(j) && find_slacks(j) && draw_anchors(j);
}

void aw_move_costs_free(job *j)
{
    free(j->look);
    free(j->slack);
    free(j->rises);
    free(j->corners);
    aw_scene_free(j->scene);
    *j = (job){0};
}
