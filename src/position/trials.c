/* A run goes block by block: arrivals of all links, fixes in lanes, and the careful solver for the
 * few lanes, or the delicate cells, that plain Gauss-Newton does not serve. */
#include "position/trials.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/plane.h"
#include "position/arrivals.h"
#include "position/control.h"
#include "position/descent.h"
#include "position/gains.h"

/* The coordinates of floats are too coarse beyond this range, m. */
#define FLOAT_RANGE 250.0
/* Scatter matrices whose determinant is below this share of their diagonal's product are delicate.
 */
#define DELICATE 1e-3
/* Anchors no further off a line than this are on it, m. */
#define ON_LINE 1e-6

_Static_assert(AW_DRAWN_TOGETHER == AW_CHUNK, "one number, told to two rooms");

static size_t pad(size_t n)
{
    return (n + 15) / 16 * 16;
}

/* Hands out aligned pieces of one block of memory; with base == NULL only measures. */
static void *piece(char *base, size_t *used, size_t bytes)
{
    void *at = base ? base + *used : NULL;
    *used += (bytes + 63) / 64 * 64;
    return at;
}

static size_t lay_out(aw_trials *t, char *base)
{
    const size_t n = t->most_links, m = pad(t->most_draws), block = AW_BLOCK * sizeof(float);
    size_t used = 0;
    float **of_run[] = {&t->x, &t->y, &t->z, &t->radius, &t->rise, &t->linear};
    float **of_block[] = {&t->noise,  &t->survey[0], &t->survey[1], &t->survey[2], &t->delay,
                          &t->height, &t->fade,      &t->scattered, &t->bx,        &t->by,
                          &t->bz,     &t->br,        &t->along[0],  &t->along[1]};
    float **of_cell[] = {&t->ax, &t->ay, &t->az, &t->straight, &t->aw, &t->gain[0], &t->gain[1]};
    double **of_links[] = {&t->weight, &t->range};
    for (size_t i = 0; i < sizeof of_run / sizeof *of_run; i++)
        *of_run[i] = piece(base, &used, m * sizeof(float));
    for (size_t i = 0; i < sizeof of_block / sizeof *of_block; i++)
        *of_block[i] = piece(base, &used, block);
    for (size_t i = 0; i < sizeof of_cell / sizeof *of_cell; i++)
        *of_cell[i] = piece(base, &used, n * sizeof(float));
    for (size_t i = 0; i < sizeof of_links / sizeof *of_links; i++)
        *of_links[i] = piece(base, &used, n * sizeof(double));
    t->status = piece(base, &used, m);
    t->link = piece(base, &used, n * sizeof *t->link);
    t->anchor = piece(base, &used, n * sizeof *t->anchor);
    t->lane_anchor = piece(base, &used, AW_FIXES_TOGETHER * n * sizeof *t->lane_anchor);
    t->lane_weight = piece(base, &used, AW_FIXES_TOGETHER * n * sizeof *t->lane_weight);
    t->lane_rho = piece(base, &used, AW_FIXES_TOGETHER * n * sizeof *t->lane_rho);
    t->late = piece(base, &used, n * block);
    t->heard = piece(base, &used, n * block);
    t->coin = piece(base, &used, block);
    t->word = piece(base, &used, block);
    t->side = piece(base, &used, block);
    t->open = piece(base, &used, block);
    t->ambiguous = piece(base, &used, block);
    return used;
}

aw_trials *aw_trials_create(size_t most_links, size_t most_draws, const char *level)
{
    aw_trials *t = calloc(1, sizeof *t);
    if (t == NULL)
        return NULL;
    t->kernel = level ? aw_kernel_named(level) : aw_kernel_best();
    t->most_links = most_links;
    t->most_draws = most_draws;
    const size_t bytes = lay_out(t, NULL);
    if (t->kernel == NULL || (t->lasting = aw_installation_draws_create(t->kernel)) == NULL ||
        posix_memalign(&t->memory, 64, bytes) != 0) {
        aw_installation_draws_free(t->lasting);
        free(t);
        return NULL;
    }
    memset(t->memory, 0, bytes);
    lay_out(t, t->memory);
    aw_scatter_table(t->scatter_table);
    return t;
}

void aw_trials_free(aw_trials *trials)
{
    if (trials == NULL)
        return;
    aw_installation_draws_free(trials->lasting);
    free(trials->memory);
    free(trials);
}

/* --- the cell --- */

static bool is_delicate(const aw_trials *t, const aw_trials_case *c, double furthest)
{
    const int dims = c->bound->dims;
    if (c->bound->status != AW_BOUND_OK || t->n_links == (size_t)dims + 1 || furthest > FLOAT_RANGE)
        return true;
    /* det / product of the diagonal is the same for J and its inverse's correlation. */
    const double(*f)[3] = c->bound->bound;
    const double xy = f[0][1] * f[0][1] / (f[0][0] * f[1][1]);
    if (dims == 2)
        return 1 - xy < DELICATE;
    const double xz = f[0][2] * f[0][2] / (f[0][0] * f[2][2]);
    const double yz = f[1][2] * f[1][2] / (f[1][1] * f[2][2]);
    return 1 - fmax(xy, fmax(xz, yz)) < DELICATE;
}

/* Both sides of a row in lanes, for draws that hear every anchor. Starts half the row's spread off
 * it. */
static bool set_sides(aw_trials *t, const aw_trials_case *c, double furthest, double heaviest)
{
    aw_line line;
    if (!aw_footprint_is_line(t->anchor, t->n_links, &line))
        return false;
    t->delicate = true;
    if (c->bound->dims == 3 || furthest > FLOAT_RANGE)
        return false;
    t->sides = (aw_lane_sides){(float)line.x,
                               (float)line.y,
                               (float)line.normal_x,
                               (float)line.normal_y,
                               true,
                               (float)(AW_AS_GOOD / heaviest),
                               c->site.outline,
                               {c->spot[0], c->spot[1]}};
    for (size_t k = 0; k < t->n_links; k++)
        t->sides.mirrors =
            t->sides.mirrors && fabs((t->anchor[k][0] - line.x) * line.normal_x +
                                     (t->anchor[k][1] - line.y) * line.normal_y) < ON_LINE;
    t->side_start[0] = (float)(line.x + AW_SIDE_START * line.spread * line.normal_x);
    t->side_start[1] = (float)(line.y + AW_SIDE_START * line.spread * line.normal_y);
    return true;
}

static void set_reach(aw_trials *t, const aw_trials_case *c)
{
    const aw_polygon *o = c->site.outline;
    const bool solid = o != NULL && c->bound->dims == 3;
    t->reach = o ? (float)aw_length(o->high.x - o->low.x, o->high.y - o->low.y) : INFINITY;
    t->lowest = solid ? (float)(c->site.floor - c->spot[2]) : -INFINITY;
    t->highest = solid ? (float)(c->site.ceiling - c->spot[2]) : INFINITY;
}

/* Gauss-Newton leaves of a small error e the part J^-1 sum w r H e, H the curvature of a range,
 * (1 - u u^T) / range. Its length is at most tr J^-1 sqrt(sum w r^2) sqrt(sum w / range^2) |e|. A
 * lane that has lost frames has a smaller J. */
static float creep_of(const aw_trials *t, const aw_bound *b, double heaviest)
{
    double trace = 0, curved = 0;
    for (int k = 0; k < b->dims; k++)
        trace += b->bound[k][k] * heaviest;
    for (size_t k = 0; k < t->n_links; k++)
        curved += (double)t->aw[k] / (t->range[k] * t->range[k]);
    const double creep = trace * trace * curved;
    return t->fades || !(creep < 1e30) ? 1e30f : (float)creep;
}

/* By how much an error of a tail is larger than what is believed of a link. */
static double tail_of(const aw_link *link)
{
    const double tail2 = link->white * link->white + link->tail * link->tail;
    return link->tail_share > 0 ? fmax(1, sqrt(tail2) / link->believed) : 1;
}

static void take_cell(aw_trials *t, const aw_trials_case *c)
{
    double tail = 1;
    double furthest = 0, heaviest = 0;
    t->n_links = 0;
    t->fades = false;
    for (size_t i = 0; i < c->n_links && t->n_links < t->most_links; i++) {
        const aw_link *link = &c->links[i];
        if (link->n_outcomes == 0)
            continue;
        const size_t k = t->n_links++;
        t->link[k] = link;
        memcpy(t->anchor[k], link->to_anchor, sizeof link->to_anchor);
        t->range[k] = link->range;
        t->weight[k] = 1 / (link->believed * link->believed);
        t->fades = t->fades || link->fade_sigma > 0 || link->scatters;
        tail = fmax(tail, tail_of(link));
        furthest = fmax(furthest, link->range);
        heaviest = fmax(heaviest, t->weight[k]);
    }
    for (size_t k = 0; k < t->n_links; k++) {
        t->ax[k] = (float)t->anchor[k][0];
        t->ay[k] = (float)t->anchor[k][1];
        t->az[k] = (float)t->anchor[k][2];
        t->straight[k] = sqrtf(t->ax[k] * t->ax[k] + t->ay[k] * t->ay[k] + t->az[k] * t->az[k]);
        t->aw[k] = (float)(t->weight[k] / heaviest);
    }
    t->creep = creep_of(t, c->bound, heaviest);
    t->sharp = (float)sqrt(heaviest);
    t->early = (float)(AW_EARLY * tail);
    t->implausible = (float)(aw_implausible_squares(t->n_links, c->bound->dims) / heaviest);
    t->delicate = is_delicate(t, c, furthest);
    t->has_sides = set_sides(t, c, furthest, heaviest);
    set_reach(t, c);
    t->follows = t->n <= AW_FEW_DRAWS && !t->fades && !t->delicate;
    if (t->follows)
        aw_gains_at(t->link, t->weight, t->n_links, c->bound->dims, t->gain);
}

/* The start is the weighted centroid of the anchors; in 3d on the lowest floor. */
static void set_start(const aw_trials *t, const aw_trials_case *c, float start[3])
{
    double total = 0, x = 0, y = 0;
    for (size_t k = 0; k < t->n_links; k++) {
        total += t->weight[k];
        x += t->weight[k] * t->anchor[k][0];
        y += t->weight[k] * t->anchor[k][1];
    }
    start[0] = (float)(x / total);
    start[1] = (float)(y / total);
    start[2] = (float)(c->site.floor - c->spot[2]);
}

/* --- the block --- */

/* Length of the linearised error of n lanes from `lane` on, kept as the draws at `at`. */
static void keep_linear(aw_trials *t, const aw_trials_case *c, size_t lane, size_t at, size_t n)
{
    const bool rises = c->bound->dims == 2 && c->height_sigma > 0;
    for (size_t i = 0; i < n; i++) {
        float x = t->along[0][lane + i], y = t->along[1][lane + i];
        if (rises) {
            x += t->height[lane + i] * (float)c->bound->height_gain[0];
            y += t->height[lane + i] * (float)c->bound->height_gain[1];
        }
        t->linear[at + i] = sqrtf(x * x + y * y);
    }
}

static void fix_block(aw_trials *t, const aw_trials_case *c, size_t lanes)
{
    const bool is_robust = c->solver == AW_SOLVER_ROBUST;
    memset(t->ambiguous, 0, lanes * sizeof *t->ambiguous);
    if (t->delicate && !t->has_sides) {
        memset(t->open, 0xFF, lanes * sizeof *t->open);
        return;
    }
    for (uint32_t k = 0; t->has_sides && k < lanes; k += AW_CHUNK)
        aw_arrivals_side(t, c, t->first + k);
    aw_lane_cell cell = {.dims = c->bound->dims,
                         .n = t->n_links,
                         .x = t->ax,
                         .y = t->ay,
                         .z = t->az,
                         .straight = t->straight,
                         .weight = t->aw,
                         /* with fewer a mirror root threatens */
                         .fewest = (float)c->bound->dims + 2,
                         .creep = t->creep,
                         .sharp = t->sharp,
                         .early = t->early,
                         /* what is robust looks itself at what it leaves */
                         .implausible = is_robust ? INFINITY : t->implausible,
                         .reach = t->reach,
                         .lowest = t->lowest,
                         .highest = t->highest,
                         .sides = t->has_sides ? &t->sides : NULL};
    const aw_lane_block block = {
        lanes,   t->late,     t->fades ? t->heard : NULL, t->bx, t->by, t->bz, t->br, t->open,
        t->side, t->ambiguous};
    if (t->has_sides)
        memcpy(cell.start, t->side_start, sizeof t->side_start);
    else
        set_start(t, c, cell.start);
    t->kernel->solve(&cell, &block);
    if (is_robust)
        t->kernel->refine(&cell, &block);
}

/* --- the lanes that are left open --- */

/* The arrivals of a lane as problem number i of those that are solved together. */
static aw_fix_problem problem_of(aw_trials *t, const aw_trials_case *c, size_t lane, uint32_t draw,
                                 size_t i)
{
    const size_t from = i * t->most_links;
    aw_fix_problem p = {.dims = c->bound->dims,
                        .anchor = t->lane_anchor + from,
                        .weight = t->lane_weight + from,
                        .rho = t->lane_rho + from,
                        .site = c->site,
                        .early = (double)t->early,
                        .side = aw_arrivals_side(t, c, draw)};
    memcpy(p.spot, c->spot, sizeof p.spot);
    for (size_t k = 0; k < t->n_links; k++) {
        if (t->fades && t->heard[k * AW_BLOCK + lane] == 0)
            continue;
        const size_t to = from + p.n++;
        memcpy(t->lane_anchor[to], t->anchor[k], sizeof t->anchor[k]);
        t->lane_weight[to] = t->weight[k];
        t->lane_rho[to] = t->range[k] + (double)t->late[k * AW_BLOCK + lane];
    }
    return p;
}

static void keep_fix(aw_trials *t, const aw_fix *fix, size_t at)
{
    const float x = fix->found ? (float)fix->at[0] : NAN, y = fix->found ? (float)fix->at[1] : NAN;
    t->status[at] = (uint8_t)(!fix->found      ? AW_DRAW_FAILED
                              : fix->ambiguous ? AW_DRAW_AMBIGUOUS
                                               : AW_DRAW_FIXED);
    t->n_failed += !fix->found;
    t->n_ambiguous += fix->found && fix->ambiguous;
    t->x[at] = x;
    t->y[at] = y;
    t->z[at] = fix->found ? (float)fix->at[2] : NAN;
    t->radius[at] = fix->found ? sqrtf(x * x + y * y) : INFINITY;
    t->rise[at] = fix->found ? fabsf((float)fix->at[2]) : INFINITY;
}

static bool any_open(const int32_t open[], size_t n)
{
    int32_t all = 0;
    for (size_t i = 0; i < n; i++)
        all |= open[i];
    return all != 0;
}

/* Looks a second time, carefully, at those of n lanes from `lane` on that were left open. */
static void keep_carefully(aw_trials *t, const aw_trials_case *c, size_t lane, size_t at, size_t n)
{
    aw_fix_problem problem[AW_FIXES_TOGETHER];
    aw_fix fix[AW_FIXES_TOGETHER];
    size_t draw[AW_FIXES_TOGETHER], held = 0;
    for (size_t i = 0; i < n; i++) {
        if (t->open[lane + i]) {
            draw[held] = at + i;
            problem[held] = problem_of(t, c, lane + i, c->first_draw + (uint32_t)(at + i), held);
            held++;
        }
        if (held < AW_FIXES_TOGETHER && i + 1 < n)
            continue;
        aw_fix_find_all(t->kernel, problem, held, fix);
        for (size_t k = 0; k < held && c->solver == AW_SOLVER_ROBUST; k++) {
            const aw_draw_name name = aw_arrivals_name(c, c->first_draw + (uint32_t)draw[k]);
            fix[k] = aw_robust_find(&problem[k], &fix[k], &name).fix;
        }
        for (size_t k = 0; k < held; k++)
            keep_fix(t, &fix[k], draw[k]);
        held = 0;
    }
}

/* Takes over n lanes from `lane` on as the draws at `at`, then looks a second time, carefully,
 * where the lanes left one open. */
static void keep_lanes(aw_trials *t, const aw_trials_case *c, size_t lane, size_t at, size_t n)
{
    const bool solid = c->bound->dims == 3;
    memcpy(t->x + at, t->bx + lane, n * sizeof *t->x);
    memcpy(t->y + at, t->by + lane, n * sizeof *t->y);
    memcpy(t->radius + at, t->br + lane, n * sizeof *t->radius);
    memset(t->status + at, AW_DRAW_FIXED, n);
    if (solid) {
        memcpy(t->z + at, t->bz + lane, n * sizeof *t->z);
        for (size_t i = 0; i < n; i++)
            t->rise[at + i] = fabsf(t->z[at + i]);
    } else {
        memset(t->z + at, 0, n * sizeof *t->z);
        memset(t->rise + at, 0, n * sizeof *t->rise);
    }
    for (size_t i = 0; t->has_sides && i < n; i++)
        if (t->ambiguous[lane + i] && !t->open[lane + i]) {
            t->status[at + i] = AW_DRAW_AMBIGUOUS;
            t->n_ambiguous++;
        }
    if (t->follows)
        keep_linear(t, c, lane, at, n);
    if (any_open(t->open + lane, n))
        keep_carefully(t, c, lane, at, n);
}

/* --- the run --- */

static void fail_all(aw_trials *t, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        t->x[i] = t->y[i] = t->z[i] = NAN;
        t->radius[i] = t->rise[i] = INFINITY;
        t->status[i] = AW_DRAW_FAILED;
    }
    t->n_failed = n;
}

static aw_draws show(aw_trials *t)
{
    for (size_t i = t->n; i < pad(t->n); i++)
        t->radius[i] = t->rise[i] = t->linear[i] = INFINITY;
    return (aw_draws){t->n,      t->n_failed, t->n_ambiguous,
                      t->x,      t->y,        t->z,
                      t->radius, t->rise,     t->follows ? t->linear : NULL,
                      t->status};
}

aw_draws aw_trials_run(aw_trials *t, const aw_trials_case *c)
{
    t->n = c->n_draws < t->most_draws ? c->n_draws : t->most_draws;
    t->n_failed = t->n_ambiguous = 0;
    take_cell(t, c);
    if (c->bound->status == AW_BOUND_TOO_FEW) {
        fail_all(t, t->n);
        return show(t);
    }
    const uint64_t end = (uint64_t)c->first_draw + t->n;
    const uint32_t begin = c->first_draw / AW_CHUNK * AW_CHUNK;
    aw_installation_draws_begin(
        t->lasting,
        &(aw_lasting_draws){.seed = c->seed,
                            .first = begin,
                            .n = (size_t)((end - begin + AW_CHUNK - 1) / AW_CHUNK * AW_CHUNK),
                            .share = c->draws_per_installation > 1 ? c->draws_per_installation : 1,
                            .list = c->installations,
                            .list_name = c->fresh});
    for (uint64_t from = begin; from < end; from += AW_BLOCK) {
        const uint64_t left = (end - from + AW_CHUNK - 1) / AW_CHUNK * AW_CHUNK;
        const size_t lanes = left < AW_BLOCK ? (size_t)left : AW_BLOCK;
        aw_arrivals_draw(t, c, (uint32_t)from, lanes);
        fix_block(t, c, lanes);
        const uint64_t first = from < c->first_draw ? c->first_draw : from;
        const uint64_t last = from + lanes < end ? from + lanes : end;
        keep_lanes(t, c, (size_t)(first - from), (size_t)(first - c->first_draw),
                   (size_t)(last - first));
    }
    return show(t);
}

double aw_trials_rms(const aw_trials *t)
{
    const double all = t->kernel->squares(t->radius, pad(t->n));
    return t->n_failed < t->n ? sqrt(all / (double)(t->n - t->n_failed)) : (double)NAN;
}

double aw_trials_percentile(const aw_trials *trials, double q, bool vertical)
{
    const float *values = vertical ? trials->rise : trials->radius;
    const double rank = ceil(q * (double)trials->n - 1e-9);
    return aw_rank_value(values, trials->n, rank < 1 ? 1 : (size_t)rank);
}

void aw_trials_interval(const aw_trials *trials, double q, bool vertical, double ends[2])
{
    const float *values = vertical ? trials->rise : trials->radius;
    size_t ranks[2];
    aw_rank_interval(trials->n, q, ranks);
    for (int i = 0; i < 2; i++)
        ends[i] = ranks[i] >= 1 && ranks[i] <= trials->n
                      ? aw_rank_value(values, trials->n, ranks[i])
                      : (double)NAN;
}
