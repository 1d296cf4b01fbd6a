/* What a user would write instead for a real floor: plain scalar C in double, one fix after the
 * other, which looks for both roots of a row of anchors, solves three anchors in closed form, draws
 * every error term, and knows the outline. Links come from the product, since sight is not what is
 * timed; lasting errors from a table drawn once. Starts, stops, curvature and choice as in
 * docs/model.md; what it leaves out is a second descent of fixes that fit badly, but from both
 * sides of the line. */
#include <float.h>
#include <string.h>

#include "map/spot.h"
#include "bench.h"
#include "plain.h"

#define MOST       1024
#define ITERATIONS 25
#define CURVED     5
#define LASTING    4 /* lasting errors of an anchor in a draw: survey x, y, z, delay */

typedef struct cell {
    int dims;
    const aw_link *link[MOST];
    size_t index[MOST], n; /* usable links, and the anchors they are of */
    double height_sigma, spot[3], reach;
    const aw_site *site;
} cell;

/* What one draw hears. */
typedef struct heard {
    size_t n;
    double anchor[MOST][3], weight[MOST], rho[MOST];
} heard;

typedef struct root {
    double at[3], squares;
} root;

typedef struct job {
    const aw_scenario *scenario;
    const aw_grid *grid;
    const aw_scene *scene;
    double *lasting; /* [draw][anchor][LASTING] */
    double *p95;
} job;

typedef struct equations {
    double j[6], h[6], g[3], squares; /* xx xy yy xz yz zz */
} equations;

static void sum_links(const heard *d, const double x[3], equations *e, const bool solid)
{
    double w = 0, r = 0, rr = 0, m[3] = {0}, q[6] = {0}, p[3] = {0}, bent[6] = {0}, b[6] = {0};
    for (size_t i = 0; i < d->n; i++) {
        const double *a = d->anchor[i], wi = d->weight[i];
        const double dx = x[0] - a[0], dy = x[1] - a[1], dz = x[2] - a[2];
        const double range = sqrt(dx * dx + dy * dy + dz * dz), inverse = 1 / range;
        const double left = d->rho[i] - range, u[3] = {dx * inverse, dy * inverse, dz * inverse};
        const double k = wi * inverse;
        w += wi;
        r += wi * left;
        rr += wi * left * left;
        for (int s = 0, t = 0; s < (solid ? 3 : 2); s++) {
            m[s] += wi * u[s];
            p[s] += wi * u[s] * left;
            for (int v = 0; v <= s; v++, t++) {
                const double uu = u[s] * u[v], c = (s == v) - uu;
                q[t] += wi * uu;
                b[t] += k * c;
                bent[t] += k * c * left;
            }
        }
    }
    for (int s = 0, t = 0; s < (solid ? 3 : 2); s++) {
        e->g[s] = p[s] - m[s] * r / w;
        for (int v = 0; v <= s; v++, t++) {
            e->j[t] = q[t] - m[s] * m[v] / w;
            e->h[t] = e->j[t] - (bent[t] - b[t] * r / w);
        }
    }
    e->squares = rr - r * r / w;
}

/* Cholesky's factors of a matrix with its diagonal raised, and the step; false if it is none. */
static bool solve(const double m[6], const double g[3], double damping, double s[3],
                  const bool solid)
{
    const double more = 1 + damping, xx = m[0] * more;
    const double l = m[1] / xx, yy = m[2] * more - l * m[1];
    if (!(xx > 0) || !(yy > 1e-9 * m[2]))
        return false;
    const double b = g[1] - l * g[0];
    s[2] = 0;
    if (solid) {
        const double lx = m[3] / xx, rest = m[4] - lx * m[1], ly = rest / yy;
        const double zz = m[5] * more - lx * m[3] - ly * rest;
        if (!(zz > 1e-9 * m[5]))
            return false;
        s[2] = (g[2] - lx * g[0] - ly * b) / zz;
        s[1] = b / yy - ly * s[2];
        s[0] = (g[0] - m[3] * s[2]) / xx - l * s[1];
        return true;
    }
    s[1] = b / yy;
    s[0] = g[0] / xx - l * s[1];
    return true;
}

static bool descend(const heard *d, const double start[3], root *found, const bool solid)
{
    equations e, ahead;
    double x[3], s[3], next[3], damping = 0;
    memcpy(x, start, sizeof x);
    sum_links(d, x, &e, solid);
    for (int i = 0; i < ITERATIONS; i++) {
        if (!(i >= CURVED && solve(e.h, e.g, damping, s, solid)) &&
            !solve(e.j, e.g, damping, s, solid))
            return false;
        for (int k = 0; k < 3; k++)
            next[k] = x[k] + s[k];
        if (s[0] * s[0] + s[1] * s[1] + s[2] * s[2] < 1e-8) {
            memcpy(found->at, next, sizeof next);
            found->squares = e.squares;
            return true;
        }
        sum_links(d, next, &ahead, solid);
        if (!(ahead.squares <= e.squares * (1 + 1e-10))) {
            damping = damping > 0 ? damping * 10 : 1e-3;
            continue;
        }
        memcpy(x, next, sizeof next);
        e = ahead;
        damping = damping > 1e-6 ? damping / 10 : 0;
    }
    return false;
}

/* Three anchors not in a line: x = p + v c, put into the first equation. -1: not told. */
static int three(const heard *d, root r[2])
{
    double a[3][2], s[3], f[3];
    int n = 0;
    for (int i = 0; i < 3; i++) {
        const double *at = d->anchor[i];
        s[i] = d->rho[i] * d->rho[i] - at[0] * at[0] - at[1] * at[1] - at[2] * at[2];
        f[i] = d->rho[i] - (i > 0 ? d->rho[0] : 0);
        for (int k = 0; k < 2; k++)
            a[i][k] = at[k] - (i > 0 ? d->anchor[0][k] : 0);
    }
    const double det = a[1][0] * a[2][1] - a[1][1] * a[2][0];
    if (fabs(det) < 0.01 * (a[1][0] * a[1][0] + a[1][1] * a[1][1]))
        return -1;
    const double s1 = (s[1] - s[0]) / 2, s2 = (s[2] - s[0]) / 2;
    const double px = (a[1][1] * s2 - a[2][1] * s1) / det, py = (a[2][0] * s1 - a[1][0] * s2) / det;
    const double vx = (a[2][1] * f[1] - a[1][1] * f[2]) / det;
    const double vy = (a[1][0] * f[2] - a[2][0] * f[1]) / det;
    const double q = vx * vx + vy * vy - 1;
    const double h = (px - a[0][0]) * vx + (py - a[0][1]) * vy + d->rho[0];
    const double c = px * (px - 2 * a[0][0]) + py * (py - 2 * a[0][1]) - s[0];
    const double left = h * h - q * c;
    if (left < 0)
        return -1;
    const double half = -(h + copysign(sqrt(left), h)), offset[2] = {half / q, c / half};
    for (int i = 0; i < 2; i++)
        if (d->rho[0] > offset[i] && d->rho[1] > offset[i] && d->rho[2] > offset[i])
            r[n++] = (root){{px + vx * offset[i], py + vy * offset[i], 0}, 0};
    return n;
}

static bool is_inside(const cell *c, const double x[3])
{
    const aw_polygon *o = c->site->outline;
    const double px = c->spot[0] + x[0], py = c->spot[1] + x[1];
    bool in = false;
    for (size_t i = 0, k = o->n - 1; i < o->n; k = i++)
        if ((o->at[i].y > py) != (o->at[k].y > py) &&
            px < o->at[i].x +
                     (py - o->at[i].y) * (o->at[k].x - o->at[i].x) / (o->at[k].y - o->at[i].y))
            in = !in;
    return in;
}

/* Squared distance from the outline. */
static double off(const cell *c, const double x[3])
{
    const aw_polygon *o = c->site->outline;
    double least = HUGE_VAL;
    for (size_t i = 0, k = o->n - 1; i < o->n; k = i++) {
        const double dx = o->at[i].x - o->at[k].x, dy = o->at[i].y - o->at[k].y;
        const double ax = c->spot[0] + x[0] - o->at[k].x, ay = c->spot[1] + x[1] - o->at[k].y;
        const double t = fmax(0, fmin(1, (ax * dx + ay * dy) / (dx * dx + dy * dy)));
        least = fmin(least, pow(ax - t * dx, 2) + pow(ay - t * dy, 2));
    }
    return least;
}

static void aim_line(const heard *d, aw_line *line, bool *is_line)
{
    double x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < d->n; i++) {
        x += d->anchor[i][0] / (double)d->n;
        y += d->anchor[i][1] / (double)d->n;
    }
    for (size_t i = 0; i < d->n; i++) {
        const double dx = d->anchor[i][0] - x, dy = d->anchor[i][1] - y;
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    const double half = (xx + yy) / 2, bend = sqrt((xx - yy) * (xx - yy) / 4 + xy * xy);
    const double angle = atan2(xy, (xx - yy) / 2) / 2;
    *line = (aw_line){x, y, -sin(angle), cos(angle), sqrt((half + bend) / (double)d->n)};
    *is_line = half - bend < 0.0025 * (half + bend);
}

static size_t both_sides(const heard *d, const aw_line *line, root r[2])
{
    const double out = 0.5 * line->spread;
    double start[3] = {line->x + out * line->normal_x, line->y + out * line->normal_y, 0};
    size_t n = descend(d, start, &r[0], false);
    if (n > 0)
        memcpy(start, r[0].at, sizeof start);
    const double over =
        2 * ((start[0] - line->x) * line->normal_x + (start[1] - line->y) * line->normal_y);
    start[0] -= over * line->normal_x;
    start[1] -= over * line->normal_y;
    return n + descend(d, start, &r[n], false);
}

/* Of two roots; NULL if there is none. */
static const root *choose(const cell *c, const root r[2], size_t n, generator *g)
{
    if (n < 2)
        return n > 0 ? r : NULL;
    const bool in0 = is_inside(c, r[0].at), in1 = is_inside(c, r[1].at);
    if (in0 != in1)
        return in0 ? &r[0] : &r[1];
    if (!in0)
        return off(c, r[0].at) <= off(c, r[1].at) ? &r[0] : &r[1];
    if (fabs(r[0].squares - r[1].squares) <= 4)
        return &r[uniform(g) < 0.5];
    return r[0].squares < r[1].squares ? &r[0] : &r[1];
}

static const root *fix_flat(const cell *c, const heard *d, generator *g, root r[2])
{
    double start[3] = {0}, total = 0;
    aw_line line;
    bool is_line;
    if (d->n == 3) {
        const int n = three(d, r);
        if (n >= 0)
            return choose(c, r, (size_t)n, g);
    }
    aim_line(d, &line, &is_line);
    if (is_line)
        return choose(c, r, both_sides(d, &line, r), g);
    for (size_t i = 0; i < d->n; i++) {
        total += d->weight[i];
        start[0] += d->weight[i] * d->anchor[i][0];
        start[1] += d->weight[i] * d->anchor[i][1];
    }
    start[0] /= total;
    start[1] /= total;
    const double left = (double)d->n - 3;
    if (descend(d, start, r, false) && (left < 1 || r->squares <= left + 6 * sqrt(2 * left) + 20))
        return r;
    return choose(c, r, both_sides(d, &line, r), g);
}

static double outside_by(const cell *c, const double x[3])
{
    const double z = x[2] + c->spot[2];
    return z < c->site->floor ? c->site->floor - z : fmax(0, z - c->site->ceiling);
}

static const root *fix_solid(const cell *c, const heard *d, root r[2])
{
    double start[3] = {0}, total = 0, mean = 0;
    for (size_t i = 0; i < d->n; i++) {
        total += d->weight[i];
        mean += d->weight[i] * d->anchor[i][2];
        for (int k = 0; k < 2; k++)
            start[k] += d->weight[i] * d->anchor[i][k];
    }
    start[0] /= total;
    start[1] /= total;
    start[2] = c->site->floor - c->spot[2];
    bool found = descend(d, start, r, true);
    if (found && outside_by(c, r->at) == 0)
        return r;
    const double *from = found ? r->at : start;
    const double again[3] = {from[0], from[1], 2 * mean / total - from[2]};
    if (descend(d, again, &r[1], true) && (!found || outside_by(c, r[1].at) < outside_by(c, r->at)))
        return &r[1];
    return found ? r : NULL;
}

/* How late what is scattered is, m. */
static double scattered(generator *g)
{
    return uniform(g) < 0.11 ? 0 : fmin(exp(-1.456 + 1.107 * normal(g)), 4);
}

/* The arrivals of one draw. */
static void hear(const cell *c, const job *j, size_t m, generator *g, heard *d)
{
    const double height = c->dims == 2 ? c->height_sigma * normal(g) : 0;
    d->n = 0;
    for (size_t i = 0; i < c->n; i++) {
        const aw_link *l = c->link[i];
        const double *a = l->to_anchor;
        const double *kept = j->lasting + (m * j->scenario->n_anchors + c->index[i]) * LASTING;
        const bool tail = l->tail_share > 0 && uniform(g) < l->tail_share;
        const double spot = tail ? l->tail : l->spot;
        double late = sqrt(l->white * l->white + spot * spot) * normal(g) + l->delay * kept[3];
        late += l->survey * (l->u[0] * kept[0] + l->u[1] * kept[1] + l->u[2] * kept[2]);
        const double fade = l->fade_sigma > 0 ? l->fade_sigma * normal(g) : 0;
        if (l->fade_sigma > 0 && fade > l->lost_db)
            continue;
        double excess = l->outcomes[0].excess;
        for (size_t k = 1; k < l->n_outcomes && fade >= l->outcomes[k].fade_db; k++)
            excess = l->outcomes[k].excess;
        if (l->scatters && fade <= l->scattered_db)
            excess = fmin(excess, fmax(l->scattered_least, scattered(g)));
        if (height != 0) {
            const double along2 = a[0] * a[0] + a[1] * a[1];
            late += sqrt(along2 + (a[2] - height) * (a[2] - height)) - l->range;
        }
        memcpy(d->anchor[d->n], a, sizeof d->anchor[0]);
        d->weight[d->n] = 1 / (l->believed * l->believed);
        d->rho[d->n++] = l->range + late + excess;
    }
}

static double error_of(const cell *c, const heard *d, generator *g)
{
    root r[2];
    if (d->n < (size_t)c->dims + 1)
        return HUGE_VAL;
    const root *x = c->dims == 3 ? fix_solid(c, d, r) : fix_flat(c, d, g, r);
    const aw_polygon *o = c->site->outline;
    if (x == NULL)
        return HUGE_VAL;
    const double px = c->spot[0] + x->at[0], py = c->spot[1] + x->at[1];
    if (px < o->low.x - c->reach || px > o->high.x + c->reach || py < o->low.y - c->reach ||
        py > o->high.y + c->reach)
        return HUGE_VAL;
    return sqrt(x->at[0] * x->at[0] + x->at[1] * x->at[1]);
}

static void aim(cell *c, const job *j, const aw_spot *spot)
{
    const aw_polygon *o = &j->scenario->floor.outline;
    *c = (cell){.dims = (int)j->scenario->tags[0].fix,
                .height_sigma = spot->draws.height_sigma,
                .site = &spot->draws.site,
                .reach = hypot(o->high.x - o->low.x, o->high.y - o->low.y)};
    memcpy(c->spot, spot->draws.spot, sizeof c->spot);
    for (size_t i = 0; i < j->scenario->n_anchors && c->n < MOST; i++)
        if (spot->links[i].n_outcomes > 0) {
            c->link[c->n] = &spot->links[i];
            c->index[c->n++] = i;
        }
}

static void work(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    const size_t n = j->scenario->study.draws;
    double *error = malloc(n * sizeof *error);
    aw_spot spot = {.links = calloc(j->scenario->n_anchors, sizeof(aw_link))};
    heard *d = malloc(sizeof *d);
    (void)thread;
    for (size_t i = from; error && spot.links && d && i < to; i++) {
        cell c;
        generator g = generator_of(j->scenario->study.seed, j->grid->number[i]);
        aw_spot_prepare(&spot, j->scene, j->scenario, 0, j->grid, j->grid->number[i]);
        aim(&c, j, &spot);
        for (size_t m = 0; m < n; m++) {
            hear(&c, j, m, &g, d);
            error[m] = error_of(&c, d, &g);
        }
        qsort(error, n, sizeof *error, by_size);
        j->p95[i] = percentile(error, n, 0.95);
    }
    free(error);
    free(spot.links);
    free(d);
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    bench_open(argc, argv, &scenario, &grid);
    const size_t kept = (size_t)scenario.study.draws * scenario.n_anchors * LASTING;
    job j = {&scenario, &grid, aw_scene_create(&scenario), malloc(kept * sizeof(double)),
             calloc(grid.n, sizeof(double))};
    if (j.scene == NULL || j.lasting == NULL || j.p95 == NULL)
        return 3;
    const double began = bench_now();
    generator g = generator_of(scenario.study.seed, 0xFFFFFFFF);
    for (size_t i = 0; i < kept; i++)
        j.lasting[i] = normal(&g);
    aw_parallel(grid.n, 4, &(aw_run){aw_processors(), NULL, NULL}, work, &j, 0);
    const double seconds = bench_now() - began;
    bench_close(argv[2], j.p95, grid.n, seconds, (double)grid.n * (double)scenario.study.draws);
    free(j.lasting);
    free(j.p95);
    aw_grid_free(&grid);
    aw_scenario_free(&scenario);
    return 0;
}
