/* Cell by cell: information, the least of the concave functions there, and the matrix that turns a
 * candidate's line of sight into its slope. Chunks of cells are summed in order, so that threads do
 * not matter. */
#include "place/tangent.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_sf_bessel.h>

#include "base/parallel.h"
#include "place/fitness.h"

#define CHUNK 64
#define NODES 48
/* Information that is added so that there are slopes everywhere, as a share of what the demand
 * takes and of one link's weight: more information only raises what a layout can give. */
#define FAINT_J 1e-3
#define FAINT_W 1e-6
/* What single precision may make of the search's own shares. */
#define ROUNDING 3e-5
#define WIDER    (1 + 2e-4)

size_t aw_demands_list(const aw_views *v, double slack, aw_demand list[], size_t room)
{
    const aw_ranging *r = &v->scenario->ranging;
    const bool tails = r->tail_share > 0 && r->tail_sigma > r->spot_sigma;
    size_t n = 0;
    for (size_t i = 0; i < v->n_zones; i++) {
        const aw_need *need = &v->zones[i].need;
        const aw_demand all[] = {
            {AW_DEMAND_FLAT, i, need->p95 * slack, 0.95},
            {AW_DEMAND_FLAT, i, need->p99 * slack, 0.99},
            /* Heavy tails make the middle narrower than a normal law of their variance. */
            {AW_DEMAND_FLAT, i, tails ? (double)NAN : need->p50 * slack, 0.5},
            {AW_DEMAND_TALL, i, need->vertical_p95 * slack, 0.95},
            {AW_DEMAND_CELLS, i, need->p95 * slack * WIDER, need->share},
            {AW_DEMAND_FIXES, i, 1, need->fix_share}};
        for (size_t k = 0; k < sizeof all / sizeof *all && n < room; k++)
            if (!isnan(all[k].within) && !isnan(all[k].share))
                list[n++] = all[k];
    }
    return n;
}

/* Squared cosines of angles evenly over a right angle. */
typedef struct angles {
    double square[NODES];
} angles;

typedef struct job {
    const aw_views *views;
    const aw_demand *demand;
    const double *x;
    size_t *used, n_used, lost;
    double *part; /* of each chunk: the value, then the slopes */
    angles rule;
} job;

/* --- one cell --- */

/* Information of a cell about x, y (z eliminated) or about z, and how a line of sight adds to it:
 * with r = u - m - gain z, by w r r^T. */
typedef struct cell {
    double m[3], usable;
    double j[3];            /* xx, xy, yy; of the height, j[0] alone */
    double gain[2];         /* of z in x and y, or of x and y in z */
    double value, slope[3]; /* of the function by j */
    bool by_number;         /* the number of usable anchors decides */
} cell;

static double weight_of(const aw_view *view)
{
    return view->w > 0
               ? (double)view->received * (double)view->w * (double)view->w / (double)view->v
               : 0;
}

/* Weighted scatter of the lines of sight of the shares that are not 0; view[] as in aw_views. */
static void scatter(const job *of, const aw_view view[], cell *c, double j[3][3])
{
    double w = 0, most = 0, wu[3] = {0}, wuu[3][3] = {{0}};
    c->usable = 0;
    for (size_t k = 0; k < of->n_used; k++) {
        const aw_view *a = &view[of->used[k] * of->views->n_cells];
        const double x = of->x[of->used[k]], own = weight_of(a), share = x * own;
        if (own == 0)
            continue;
        most = fmax(most, own);
        c->usable += x * (double)a->received;
        w += share;
        for (int i = 0; i < 3; i++) {
            wu[i] += share * (double)a->u[i];
            for (int l = 0; l <= i; l++)
                wuu[i][l] += share * (double)a->u[i] * (double)a->u[l];
        }
    }
    w += FAINT_W * (most > 0 ? most : 1);
    for (int i = 0; i < 3; i++) {
        c->m[i] = wu[i] / w;
        for (int l = 0; l <= i; l++)
            j[i][l] = j[l][i] = wuu[i][l] - wu[i] * wu[l] / w;
    }
}

/* Slopes by the information along the two axes of an ellipse with a circle of radius e: with
 * m = e^2 / 4 (a - b), df/da = e^2 / 4 sqrt(b / a) exp(-e^2 (a + b) / 4) (I0(m) - I1(m)), from the
 * integral over the rim of the circle. */
static void slopes_along(double a, double b, double e, double slope[2])
{
    const double scale = e * e / 4, m = scale * (a - b), fall = exp(fabs(m) - scale * (a + b));
    const double zero = gsl_sf_bessel_I0_scaled(m), one = gsl_sf_bessel_I1_scaled(m);
    slope[0] = scale * sqrt(b / a) * fall * (zero - one);
    slope[1] = scale * sqrt(a / b) * fall * (zero + one);
}

static angles make_angles(void)
{
    angles r;
    for (size_t k = 0; k < NODES; k++) {
        const double c = cos(((double)k + 0.5) * M_PI / (2 * NODES));
        r.square[k] = c * c;
    }
    return r;
}

/* Share of a normal law of variances v >= w about 0 within a circle of radius e: in the law's own
 * measure its rim lies at e^2 / (v cos^2 + w sin^2), so 1 less the mean of exp(-half of that) over
 * the angle; a smooth periodic function, so even nodes are exact to 1e-9. */
static double share_within(const angles *r, double v, double w, double e)
{
    double sum = 0;
    for (size_t k = 0; k < NODES; k++)
        sum += exp(-e * e / (2 * (w + (v - w) * r->square[k])));
    return 1 - sum / NODES;
}

/* Density of the radius, by the informations along the axes. */
static double density_at(double a, double b, double r)
{
    const double m = r * r * (a - b) / 4;
    return r * sqrt(a * b) * exp(m - r * r * (a + b) / 4) * gsl_sf_bessel_I0_scaled(m);
}

/* The radius that holds 95 %, between 1.96 and 2.45 times the long half axis; Newton's steps. */
static double radius_of_p95(const angles *r, double a, double b)
{
    double radius = 2.2 / sqrt(b);
    for (int i = 0; i < 5; i++) {
        const double step =
            (share_within(r, 1 / b, 1 / a, radius) - 0.95) / density_at(a, b, radius);
        radius = fmin(fmax(radius - step, 1.95 / sqrt(b)), 2.46 / sqrt(b));
    }
    return radius;
}

static void value_flat(const aw_demand *d, const angles *rule, cell *c)
{
    const double faint = FAINT_J / (d->within * d->within);
    const double xx = c->j[0] + faint, yy = c->j[2] + faint, xy = c->j[1];
    const double half = (xx + yy) / 2, gap = (xx - yy) / 2, root = sqrt(gap * gap + xy * xy);
    const double a = half + root, b = fmax(half - root, faint);
    const double cc = root > 0 ? (1 + gap / root) / 2 : 1, ss = 1 - cc;
    const double cs = root > 0 ? xy / (2 * root) : 0;
    double s[2];
    if (d->kind == AW_DEMAND_FLAT) {
        c->value = share_within(rule, 1 / b, 1 / a, d->within);
        slopes_along(a, b, d->within, s);
    } else {
        const double r = radius_of_p95(rule, a, b);
        c->value = d->within * d->within / (r * r);
        slopes_along(a, b, r, s);
        /* In proportion to J: the slopes along it make up the value. */
        const double sum = s[0] * a + s[1] * b, scale = sum > 0 ? c->value / sum : 0;
        s[0] *= scale;
        s[1] *= scale;
    }
    c->slope[0] = s[0] * cc + s[1] * ss;
    c->slope[1] = (s[0] - s[1]) * cs;
    c->slope[2] = s[0] * ss + s[1] * cc;
}

static void value_tall(const aw_demand *d, cell *c)
{
    const double e = d->within, j = c->j[0] + FAINT_J / (e * e);
    c->value = erf(e * sqrt(j / 2));
    c->slope[0] = e * exp(-e * e * j / 2) / sqrt(2 * M_PI * j);
}

/* Eliminates the height from x and y, or these from the height. */
static void eliminate(bool solid, bool tall, double j[3][3], cell *c)
{
    c->gain[0] = c->gain[1] = 0;
    if (tall) {
        const double det = j[0][0] * j[1][1] - j[0][1] * j[0][1];
        const double faint = 1e-12 * j[0][0] * j[1][1] + 1e-300;
        c->gain[0] = (j[1][1] * j[0][2] - j[0][1] * j[1][2]) / (det + faint);
        c->gain[1] = (j[0][0] * j[1][2] - j[0][1] * j[0][2]) / (det + faint);
        c->j[0] = fmax(j[2][2] - c->gain[0] * j[0][2] - c->gain[1] * j[1][2], 0);
        return;
    }
    if (solid && j[2][2] > 0) {
        c->gain[0] = j[0][2] / j[2][2];
        c->gain[1] = j[1][2] / j[2][2];
    }
    c->j[0] = fmax(j[0][0] - c->gain[0] * j[0][2], 0);
    c->j[1] = j[0][1] - c->gain[0] * j[1][2];
    c->j[2] = fmax(j[1][1] - c->gain[1] * j[1][2], 0);
}

static void value_cell(const aw_demand *d, const angles *rule, aw_fix_kind dims, double j[3][3],
                       cell *c)
{
    const double number = c->usable / ((double)dims + 1);
    c->value = HUGE_VAL;
    if (d->kind != AW_DEMAND_FIXES) {
        eliminate(dims == AW_FIX_3D, d->kind == AW_DEMAND_TALL, j, c);
        if (d->kind == AW_DEMAND_TALL)
            value_tall(d, c);
        else
            value_flat(d, rule, c);
    }
    c->by_number = number < c->value;
    c->value = c->by_number ? number : c->value;
    if (c->value >= 1) {
        c->value = 1;
        c->by_number = false;
        c->slope[0] = c->slope[1] = c->slope[2] = 0;
    }
}

static double slope_of(const aw_demand *d, aw_fix_kind dims, const cell *c, const aw_view *view)
{
    const double w = weight_of(view);
    double r[3];
    if (w == 0)
        return 0;
    if (c->by_number)
        return (double)view->received / ((double)dims + 1);
    for (int i = 0; i < 3; i++)
        r[i] = (double)view->u[i] - c->m[i];
    if (d->kind == AW_DEMAND_TALL) {
        const double z = r[2] - c->gain[0] * r[0] - c->gain[1] * r[1];
        return w * c->slope[0] * z * z;
    }
    const double x = r[0] - c->gain[0] * r[2], y = r[1] - c->gain[1] * r[2];
    return w * (c->slope[0] * x * x + 2 * c->slope[1] * x * y + c->slope[2] * y * y);
}

/* --- all cells --- */

static void sum_chunk(const job *j, size_t chunk)
{
    const aw_views *v = j->views;
    const aw_view_zone *z = &v->zones[j->demand->zone];
    const size_t all = v->candidates->n, from = chunk * CHUNK;
    const size_t n = from + CHUNK < z->grid.n ? CHUNK : z->grid.n - from;
    const aw_view *view = &v->view[z->first + from];
    double *part = &j->part[chunk * (all + 1)];
    cell cells[CHUNK];
    memset(part, 0, (all + 1) * sizeof *part);
    for (size_t i = 0; i < n; i++) {
        double information[3][3];
        cells[i] = (cell){.usable = 0};
        scatter(j, &view[i], &cells[i], information);
        value_cell(j->demand, &j->rule, z->tag->fix, information, &cells[i]);
        part[0] += cells[i].value;
    }
    for (size_t k = 0; k < all; k++)
        for (size_t i = 0; i < n; i++)
            part[1 + k] += slope_of(j->demand, z->tag->fix, &cells[i], &view[k * v->n_cells + i]);
}

static void sum_chunks(void *context, size_t from, size_t to, unsigned thread)
{
    (void)thread;
    for (size_t chunk = from; chunk < to; chunk++)
        sum_chunk(context, chunk);
}

static size_t chunks_of(size_t cells)
{
    return (cells + CHUNK - 1) / CHUNK;
}

size_t aw_tangent_room(const aw_views *v)
{
    size_t most = 0;
    for (size_t i = 0; i < v->n_zones; i++)
        most = v->zones[i].grid.n > most ? v->zones[i].grid.n : most;
    return (chunks_of(most) + 1) * (v->candidates->n + 1);
}

bool aw_tangent_find(aw_tangent *t, const aw_views *v, const aw_demand *d, const aw_shares *shares,
                     double scratch[], const aw_run *run)
{
    const size_t lost = shares->lost;
    double *slope = t->slope;
    const size_t all = v->candidates->n, cells = v->zones[d->zone].grid.n;
    size_t used[AW_MOST_CANDIDATES];
    job j = {v, d, shares->x, used, 0, lost, scratch, make_angles()};
    for (size_t i = 0; i < all; i++)
        if (shares->x[i] > 1e-9 && i != lost)
            used[j.n_used++] = i;
    if (!aw_parallel(chunks_of(cells), 1, run, sum_chunks, &j, 0))
        return false;
    t->value = 0;
    memset(slope, 0, all * sizeof *slope);
    for (size_t chunk = 0; chunk < chunks_of(cells); chunk++) {
        const double *part = &scratch[chunk * (all + 1)];
        t->value += part[0];
        for (size_t i = 0; i < all; i++)
            slope[i] += part[1 + i];
    }
    t->value = t->value / (double)cells - d->share + ROUNDING;
    for (size_t i = 0; i < all; i++)
        slope[i] = i == lost ? 0 : slope[i] / (double)cells;
    return true;
}
