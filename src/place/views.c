/* Two forms of the same links: one by one for the exact figures, and planes of 64 cells side by
 * side for the sweep, where a bias counts as more variance. */
#include "place/views.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "anchorwise/link.h"
#include "base/parallel.h"

#define CELLS AW_EXCHANGE_CELLS
/* Candidates that one thread sweeps over together. */
#define GRAIN 25
/* A link received less often is none to the quick figure. */
#define SELDOM 0.02
/* Weight of the faint ring, as a share of an anchor's. */
#define FAINT 1e-3f

/* The largest weight of a plane, once scaled: sums of hundreds of anchors and their products, up to
 * the twelfth power of a weight, then stay within a float's range. */
#define HEAVIEST 4.0f
/* A p95 of about the error of the best link by itself. Where more is asked the figure of every
 * layout would be 1, and nothing left to tell them apart by. */
#define MOST_ASKED 10.0f

/* Where u's sums stand among the planes. */
enum { W, X, Y, XX, XY, YY, Z, XZ, YZ, ZZ, PLANES };

static size_t plane_floats(const aw_views *v)
{
    return aw_exchange_planes(v->dims) * CELLS;
}

static float *planes_of(const aw_views *v, size_t block, size_t candidate)
{
    return v->planes + (block * v->candidates->n + candidate) * plane_floats(v);
}

/* --- what is asked, as q = 1 --- */

/* Squared p50, p95 and p99 of a round normal law in two dimensions are -2 ln(1 - q) times the
 * variance along an axis, so -ln(1 - q) times xx + yy; of one dimension p95 is 1.96 sigma. */
static float flat_of(const aw_need *need)
{
    const double asked[3] = {need->p50, need->p95, need->p99}, q[3] = {0.5, 0.95, 0.99};
    double most = 0;
    for (int k = 0; k < 3; k++)
        if (!isnan(asked[k]))
            most = fmax(most, -log(1 - q[k]) / (asked[k] * asked[k]));
    return (float)(most > 0 ? most : 3);
}

static float tall_of(const aw_need *need)
{
    const double asked = need->vertical_p95;
    return isnan(asked) ? 0 : (float)(1.96 * 1.96 / (asked * asked));
}

/* --- making --- */

typedef struct job {
    aw_views *views;
    const aw_scene *scene;
    size_t zone;
} job;

/* With its weight times the share of fades at which it is received. In a 2d zone among 3d ones the
 * height stands by itself, well known. */
static void set_planes(const aw_views *v, const aw_view *view, float squares, bool solid,
                       float *planes, size_t lane)
{
    const float w = view->received / squares;
    const float u[3] = {view->u[0], view->u[1], solid ? view->u[2] : 0};
    const float value[PLANES] = {w,
                                 w * u[0],
                                 w * u[1],
                                 w * u[0] * u[0],
                                 w * u[0] * u[1],
                                 w * u[1] * u[1],
                                 w * u[2],
                                 w * u[0] * u[2],
                                 w * u[1] * u[2],
                                 solid ? w * u[2] * u[2] : w};
    for (size_t k = 0; k < aw_exchange_planes(v->dims); k++)
        planes[k * CELLS + lane] = value[k];
}

/* A link in each state of its cell. */
static void set_states(const aw_views *v, const aw_link *link, double w, uint32_t cell, float *late)
{
    aw_link_state_draw draws[AW_MOST_STATES];
    if (v->n_states > 1)
        aw_states_draw(v->scenario->study.seed, cell, link->key, v->n_states, draws);
    for (size_t k = 0; k < v->n_states; k++) {
        const aw_link still = v->n_states > 1 ? aw_link_in_state(link, &draws[k]) : *link;
        late[k] = still.n_outcomes > 0 ? (float)(w * aw_link_bias(&still)) : NAN;
    }
}

static void view_link(const job *j, const aw_link *link, size_t i, size_t c)
{
    aw_views *v = j->views;
    const aw_view_zone *z = &v->zones[j->zone];
    const size_t block = z->first_block + i / CELLS, at = c * v->n_cells + z->first + i;
    const aw_link_chances chances = aw_link_expect(link);
    const double w = 1 / (link->believed * link->believed), error2 = aw_link_variance(link);
    aw_view *view = &v->view[at];
    if (!(chances.received > 0)) {
        for (size_t k = 0; k < v->n_states; k++)
            v->late[at * v->n_states + k] = NAN;
        return;
    }
    *view = (aw_view){(float)w,
                      (float)(w * w * error2),
                      {(float)link->u[0], (float)link->u[1], (float)link->u[2]},
                      (float)chances.received};
    set_states(v, link, w, z->grid.number[i], &v->late[at * v->n_states]);
    if (chances.received >= SELDOM)
        set_planes(v, view, (float)error2 + (float)chances.excess * (float)chances.excess,
                   z->tag->fix == AW_FIX_3D, planes_of(v, block, c), i % CELLS);
}

static void view_cell(const job *j, size_t i)
{
    aw_views *v = j->views;
    const aw_view_zone *z = &v->zones[j->zone];
    const aw_point at = aw_grid_centre(&z->grid, z->grid.number[i]);
    const double spot[3] = {at.x, at.y, aw_tag_at(v->scenario, z->zone->tag, at.x, at.y)};
    const size_t block = z->first_block + i / CELLS, lane = i % CELLS;
    for (size_t c = 0; c < v->candidates->n; c++) {
        const aw_candidate *candidate = &v->candidates->list[c];
        const aw_anchor anchor = {.key = candidate->key,
                                  .at = {candidate->at[0], candidate->at[1], candidate->at[2]}};
        const aw_link link = aw_link_at(j->scene, spot, &anchor);
        view_link(j, &link, i, c);
    }
    v->flat[block * CELLS + lane] = flat_of(&z->need);
    v->tall[block * CELLS + lane] = z->tag->fix == AW_FIX_3D ? tall_of(&z->need) : 0;
}

static void view_cells(void *context, size_t from, size_t to, unsigned thread)
{
    (void)thread;
    for (size_t i = from; i < to; i++)
        view_cell(context, i);
}

size_t aw_views_nth(size_t k, size_t stride, size_t n)
{
    const size_t i = k * stride + 7 * k % stride;
    return i < n ? i : n - 1;
}

/* Leaves about so many cells at most. */
static void thin(aw_grid *grid, size_t most)
{
    const size_t all = grid->n, stride = all / most + (all % most > 0);
    if (stride < 2)
        return;
    grid->n = all / stride;
    for (size_t k = 0; k < grid->n; k++)
        grid->number[k] = grid->number[aw_views_nth(k, stride, all)];
}

static bool lay_zones(aw_views *v, size_t most, aw_errors *errors)
{
    const aw_scenario *s = v->scenario;
    v->zones = calloc(s->n_zones + 1, sizeof *v->zones);
    if (v->zones == NULL) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the zones");
        return false;
    }
    for (size_t i = 0; i < s->n_zones; i++) {
        aw_view_zone *z = &v->zones[v->n_zones];
        if (!aw_need_is_stated(&s->zones[i].need))
            continue;
        *z = (aw_view_zone){.zone = &s->zones[i],
                            .need = aw_need_of_figures(&s->zones[i].need, s),
                            .tag = &s->tags[s->zones[i].tag]};
        if (!aw_grid_lay_zone(&z->grid, s, z->zone, errors))
            return false;
        thin(&z->grid, most);
        z->first = v->n_cells;
        z->first_block = v->n_blocks;
        z->n_blocks = (z->grid.n + CELLS - 1) / CELLS;
        v->n_cells += z->grid.n;
        v->n_blocks += z->n_blocks;
        v->n_zones++;
        if (z->tag->fix == AW_FIX_3D)
            v->dims = AW_FIX_3D;
    }
    return true;
}

/* A faint ring round every cell, of the weight of a clear link. */
static void set_prior(aw_views *v)
{
    const aw_ranging *r = &v->scenario->ranging;
    const float w = FAINT / (float)(r->sigma * r->sigma + r->spot_sigma * r->spot_sigma);
    static const int part[] = {W, XX, YY, ZZ};
    for (size_t k = 0; k < sizeof part / sizeof *part; k++)
        for (size_t l = 0; l < CELLS && (size_t)part[k] < aw_exchange_planes(v->dims); l++)
            v->prior[(size_t)part[k] * CELLS + l] = part[k] == W ? w : w / 3;
}

/* Weights and what is asked by a common power of two, which leaves every figure as it is and keeps
 * it off the ends of a float's range. */
static void scale_planes(aw_views *v)
{
    const size_t blocks = v->n_blocks * v->candidates->n, floats = plane_floats(v);
    float most = 0, scale = 1;
    int power;
    for (size_t i = 0; i < blocks; i++)
        for (size_t l = 0; l < CELLS; l++)
            most = fmaxf(most, v->planes[i * floats + W * CELLS + l]);
    if (most > 0) {
        frexpf(most / HEAVIEST, &power);
        scale = ldexpf(1, -power);
    }
    for (size_t i = 0; i < (blocks + 1) * floats; i++) /* the prior stands behind the planes */
        v->planes[i] *= scale;
    for (size_t i = 0; i < v->n_blocks * CELLS; i++) {
        v->flat[i] = fminf(v->flat[i] * scale, MOST_ASKED);
        v->tall[i] = fminf(v->tall[i] * scale, MOST_ASKED);
    }
}

static bool take_memory(aw_views *v)
{
    const size_t blocks = v->n_blocks, n = v->candidates->n;
    const size_t floats = (blocks * n + 1) * plane_floats(v) + 2 * blocks * CELLS;
    v->view = calloc(v->n_cells * n + 1, sizeof *v->view);
    v->late = calloc(v->n_cells * v->n_states * n + 1, sizeof *v->late);
    if (v->view == NULL || v->late == NULL ||
        posix_memalign(&v->memory, 64, (floats + 1) * sizeof(float)) != 0) {
        v->memory = NULL;
        return false;
    }
    memset(v->memory, 0, floats * sizeof(float));
    v->planes = v->memory;
    v->prior = v->planes + blocks * n * plane_floats(v);
    v->flat = v->prior + plane_floats(v);
    v->tall = v->flat + blocks * CELLS;
    return true;
}

bool aw_views_make(aw_views *v, const aw_scenario *s, const aw_candidates *candidates,
                   size_t most_cells, const aw_run *run)
{
    aw_errors *errors = run->errors;
    *v = (aw_views){.scenario = s,
                    .candidates = candidates,
                    .n_states = s->radio.given ? AW_VIEW_STATES : 1,
                    .dims = AW_FIX_2D};
    const size_t most = v->n_states > 1 ? AW_MOST_VIEWS / 2 : AW_MOST_VIEWS;
    if (!lay_zones(v, most_cells, errors))
        return false;
    if (v->n_cells * candidates->n > most) {
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "too large: %zu cells x %zu candidates, limit %zu; increase the step or the "
                      "candidates' "
                      "spacing",
                      v->n_cells, candidates->n, most);
        return false;
    }
    aw_scene *scene = aw_scene_create(s);
    bool done = scene != NULL && take_memory(v);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for %zu cells", v->n_cells);
    else
        set_prior(v);
    aw_watch_stage(run->watch, v->n_cells * candidates->n, "looking from %zu candidates",
                   candidates->n);
    for (size_t i = 0; done && i < v->n_zones; i++) {
        job j = {v, scene, i};
        done = aw_parallel(v->zones[i].grid.n, 8, run, view_cells, &j, candidates->n);
    }
    if (done)
        scale_planes(v);
    aw_scene_free(scene);
    return done;
}

void aw_views_free(aw_views *v)
{
    for (size_t i = 0; v->zones != NULL && i < v->n_zones; i++)
        aw_grid_free(&v->zones[i].grid);
    free(v->zones);
    free(v->view);
    free(v->late);
    free(v->memory);
    *v = (aw_views){0};
}

size_t aw_view_zone_least(const aw_view_zone *z)
{
    return (size_t)z->tag->fix + 1;
}

void aw_views_change(const aw_views *views, aw_sums *s, size_t candidate, size_t cell, size_t state,
                     double sign)
{
    static const int row[6] = {0, 1, 1, 2, 2, 2}, column[6] = {0, 0, 1, 0, 1, 2};
    const size_t at = candidate * views->n_cells + cell;
    const aw_view *view = &views->view[at];
    const float late = views->late[at * views->n_states + state];
    if (isnan(late))
        return;
    const double w = sign * (double)view->w, v = sign * (double)view->v, b = sign * (double)late;
    const double u[3] = {(double)view->u[0], (double)view->u[1], (double)view->u[2]};
    s->w += w;
    s->v += v;
    s->b += b;
    for (int i = 0; i < 3; i++) {
        s->wu[i] += w * u[i];
        s->vu[i] += v * u[i];
        s->bu[i] += b * u[i];
    }
    for (int k = 0; k < 6; k++) {
        s->wuu[k] += w * u[row[k]] * u[column[k]];
        s->vuu[k] += v * u[row[k]] * u[column[k]];
    }
    s->used += sign > 0 ? 1 : (size_t)-1;
    s->most = s->w > s->most ? s->w : s->most;
    s->updates++;
}

double aw_views_reach(const aw_views *v, size_t candidate, const unsigned char have[])
{
    double sum = 0;
    for (size_t z = 0; z < v->n_zones; z++) {
        const aw_view_zone *zone = &v->zones[z];
        const size_t least = aw_view_zone_least(zone), from = zone->first * v->n_states;
        const size_t n = zone->grid.n * v->n_states;
        const float *late = &v->late[candidate * v->n_cells * v->n_states + from];
        size_t more = 0;
        for (size_t i = 0; i < n; i++)
            more += have[from + i] < least && !isnan(late[i]);
        sum += (double)more / (double)least;
    }
    return sum / (double)v->n_states;
}

/* --- the sweep --- */

typedef struct sweep {
    const aw_views *views;
    const size_t *layout;
    size_t n, first;
    double *score;
} sweep;

static void add_planes(float *sum, const float *more, size_t n, float sign)
{
    for (size_t k = 0; k < n; k++)
        sum[k] += sign * more[k];
}

static void sweep_chunk(void *context, size_t from, size_t to, unsigned thread)
{
    const sweep *s = context;
    const aw_views *v = s->views;
    const size_t floats = plane_floats(v), all = v->candidates->n;
    float total[PLANES * CELLS], left[PLANES * CELLS], part[GRAIN];
    (void)thread;
    for (size_t slot = s->first; slot <= s->n; slot++)
        memset(&s->score[slot * all + from], 0, (to - from) * sizeof *s->score);
    for (size_t block = 0; block < v->n_blocks; block++) {
        memcpy(total, v->prior, floats * sizeof *total);
        for (size_t i = 0; i < s->n; i++)
            add_planes(total, planes_of(v, block, s->layout[i]), floats, 1);
        for (size_t slot = s->first; slot <= s->n; slot++) {
            memcpy(left, total, floats * sizeof *left);
            if (slot < s->n)
                add_planes(left, planes_of(v, block, s->layout[slot]), floats, -1);
            const aw_exchange_need need = {v->flat + block * CELLS, v->tall + block * CELLS};
            aw_exchange_score(v->dims, left, planes_of(v, block, from), to - from, &need, part);
            for (size_t c = from; c < to; c++)
                s->score[slot * all + c] += (double)part[c - from];
        }
    }
}

bool aw_views_sweep(const aw_views *v, const size_t layout[], size_t n, size_t first,
                    const aw_run *run, double score[])
{
    sweep s = {v, layout, n, first, score};
    return aw_parallel(v->candidates->n, GRAIN, run, sweep_chunk, &s, 0);
}
