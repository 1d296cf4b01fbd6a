/* The needs' slack is shared out among all anchors, and corners of all their regions at once are
 * drawn. */
#include "whatif/together.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/vary.h"
#include "assess/zone_assess.h"
#include "position/trials.h"

/* What is kept of every slack, as a share of what is asked. */
#define RESERVE 0.02
/* By so much regions are raised in turn, and smaller ones are none, m. */
#define RISE 0.05
/* Half-sizes are told to this, m. */
#define EXACT 0.01
/* All regions where too few draws of corners keep every need: so many that others keep 97 %. */
#define SHRINK 0.85
#define KEPT   0.985
#define HALVED 40
/* Names of the random numbers. */
#define TERM 33u
#define CELL 0xFFFFFFFFu

typedef aw_move_costs job;

/* --- shares --- */

/* Whether all regions together leave every need its reserve; if not, the first zone that has none,
 * and by which part. */
static bool suffices(const job *j, const double half[], size_t *zone, aw_part *part)
{
    for (size_t z = 0; z < j->scenario->n_zones; z++)
        for (size_t p = 0; p < AW_PARTS; p++) {
            const double slack = j->slack[z * AW_PARTS + p];
            double sum = 0;
            for (size_t i = 0; !isnan(slack) && i < j->all->n; i++)
                sum += half[i] > 0 ? aw_move_cost(j, &j->all->list[i], half[i], z, (aw_part)p) : 0;
            if (sum > 0 && sum > slack - RESERVE) {
                *zone = z;
                *part = (aw_part)p;
                return false;
            }
        }
    return true;
}

/* To what is told, and none under the least. */
static double rounded(double half)
{
    const double exact = floor(half / EXACT + 1e-9) * EXACT;
    return exact < RISE - 1e-9 ? 0 : exact;
}

static void scale(const aw_freedoms *all, const double full[], double by, double half[])
{
    for (size_t i = 0; i < all->n; i++)
        half[i] = by * full[i];
}

/* One factor for all regions by halving, then each in turn larger while all needs allow it. */
static void share_out(const job *j, const double full[], double half[])
{
    const aw_freedoms *all = j->all;
    double low = 0, high = 1;
    size_t zone = 0;
    aw_part part = AW_PARTS;
    scale(all, full, 1, half);
    if (!suffices(j, half, &zone, &part)) {
        for (int i = 0; i < HALVED; i++) {
            const double middle = (low + high) / 2;
            scale(all, full, middle, half);
            if (suffices(j, half, &zone, &part))
                low = middle;
            else
                high = middle;
        }
        scale(all, full, low, half);
    }
    for (size_t i = 0; i < all->n; i++)
        half[i] = rounded(half[i]);
    for (bool any = true; any;) {
        any = false;
        for (size_t i = 0; i < all->n; i++) {
            const double was = half[i];
            half[i] = fmin(was + RISE, full[i]);
            if (half[i] - was >= EXACT && suffices(j, half, &zone, &part))
                any = true;
            else
                half[i] = was;
        }
    }
}

/* --- corners of all --- */

static double random_at(const job *j, size_t anchor, uint32_t round, uint32_t draw)
{
    return aw_uniform(j->scenario->study.seed, CELL - 1 - round, (uint32_t)anchor, TERM, draw);
}

/* The layout with every anchor at a corner of its region, and a seed that chose nothing. */
static bool move_all(aw_varied *moved, job *j, uint32_t round, uint32_t draw)
{
    *moved = aw_vary(j->scenario);
    for (size_t i = 0; i < j->all->n; i++) {
        const aw_freedom *f = &j->all->list[i];
        if (!(f->shared.half > 0))
            continue;
        aw_corners_find(j->corners, j->all, f, j->scenario->anchors[f->anchor].at, f->shared.half);
        const size_t k = (size_t)(random_at(j, i + 1, round, draw) * (double)j->corners->n);
        if (!aw_varied_move_anchor(moved, f->anchor, j->corners->at[k]))
            return aw_together_complain(j->run);
    }
    moved->scenario.study.seed = (uint64_t)(random_at(j, 0, round, draw) * 0x1p53);
    return true;
}

/* Whether a region touches a zone's need at all. */
static bool is_touched(const job *j, size_t zone)
{
    for (size_t i = 0; i < j->all->n; i++)
        if (j->all->list[i].shared.half > 0 && aw_move_touches(j, &j->all->list[i], zone))
            return true;
    return false;
}

/* The zone whose need is not met with all anchors at corners; n_zones if all are. */
static bool draw_corners(job *j, uint32_t round, uint32_t draw, size_t *unmet)
{
    aw_varied moved;
    bool done = move_all(&moved, j, round, draw);
    *unmet = j->scenario->n_zones;
    for (size_t z = 0; done && z < j->scenario->n_zones && *unmet == j->scenario->n_zones; z++) {
        const aw_zone_plan plan = {.scenario = &moved.scenario,
                                   .zone = &j->scenario->zones[z],
                                   .judging = AW_JUDGE_VERDICT};
        aw_zone_result r;
        if (!j->all->shared[z].held || !is_touched(j, z))
            continue;
        done = aw_zone_ask(&r, &plan, j->run);
        if (done && r.verdict != AW_MET)
            *unmet = z;
    }
    aw_varied_free(&moved);
    return done;
}

/* Draws of corners, until too few can keep every need; `worst` is the zone that failed last. */
static bool draw_round(job *j, uint32_t round, size_t *worst)
{
    aw_freedoms *all = j->all;
    size_t lost = 0;
    if (aw_watch_shows(j->run->watch))
        aw_watch_stage(j->run->watch,
                       AW_CORNER_DRAWS *
                           aw_held_work(j->all, j->scenario, j->scenario->study.draws),
                       "all anchors at corners of their regions");
    *worst = j->scenario->n_zones;
    for (uint32_t draw = 0; draw < AW_CORNER_DRAWS && (double)lost <= (1 - KEPT) * AW_CORNER_DRAWS;
         draw++) {
        size_t unmet;
        if (!draw_corners(j, round, draw, &unmet))
            return false;
        lost += unmet < j->scenario->n_zones;
        *worst = unmet < j->scenario->n_zones ? unmet : *worst;
    }
    all->corners_met = AW_CORNER_DRAWS - lost;
    return true;
}

static bool any_moves(const aw_freedoms *all)
{
    for (size_t i = 0; i < all->n; i++)
        if (all->list[i].shared.half > 0)
            return true;
    return false;
}

/* Smaller regions until the draws of corners keep every need. */
static bool confirm(job *j)
{
    aw_freedoms *all = j->all;
    for (uint32_t round = 0; any_moves(all); round++) {
        size_t worst;
        if (!draw_round(j, round, &worst))
            return false;
        if ((double)all->corners_met >= KEPT * AW_CORNER_DRAWS)
            return true;
        for (size_t i = 0; i < all->n; i++) {
            aw_shared *shared = &all->list[i].shared;
            if (!(shared->half > 0))
                continue;
            shared->half = rounded(SHRINK * shared->half);
            if (shared->half == 0)
                *shared = (aw_shared){0, AW_STILL_NEED, worst, all->shared[worst].part};
        }
    }
    all->corners_met = 0;
    return true;
}

/* --- the study --- */

static void set_still(aw_freedoms *all, const aw_scenario *s, const bool asked[], double full[])
{
    for (size_t i = 0; i < all->n; i++) {
        aw_freedom *f = &all->list[i];
        full[i] = aw_freedom_half(all, f, s->anchors[f->anchor].at);
        f->shared = (aw_shared){0, AW_STILL_NOT, s->n_zones, AW_PARTS};
        if (asked != NULL && asked[f->anchor])
            f->shared.still = AW_STILL_ASKED;
        else if (full[i] < RISE)
            f->shared = (aw_shared){0, AW_STILL_NO_ROOM, f->limiting_zone, AW_PARTS};
        if (f->shared.still != AW_STILL_NOT)
            full[i] = 0;
    }
}

/* Tells the sizes, and of anchors without any whose need it is. */
static void set_shares(job *j, double half[])
{
    for (size_t i = 0; i < j->all->n; i++) {
        aw_shared *shared = &j->all->list[i].shared;
        shared->half = half[i];
        if (shared->still != AW_STILL_NOT || half[i] > 0)
            continue;
        shared->still = AW_STILL_NEED;
        half[i] = RISE;
        suffices(j, half, &shared->zone, &shared->part);
        half[i] = 0;
    }
}

bool aw_freedom_share(aw_freedoms *all, const aw_scenario *s, const bool still[], const aw_run *run)
{
    job j = {0};
    double *full = calloc(s->n_anchors + 1, sizeof *full);
    double *half = calloc(s->n_anchors + 1, sizeof *half);
    bool done = (full != NULL && half != NULL) || aw_together_complain(run);
    if (done)
        set_still(all, s, still, full);
    done = done && aw_move_costs_run(&j, all, s, run);
    if (done) {
        share_out(&j, full, half);
        set_shares(&j, half);
    }
    done = done && confirm(&j);
    all->together = done;
    free(full);
    free(half);
    aw_move_costs_free(&j);
    return done;
}
