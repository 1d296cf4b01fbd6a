/* The fixes of a block of draws, a lane a draw: from one start, or from both sides of a row of
 * anchors. What is not served well by it is left open for the careful solver. */
#include "position/sweep.h"

#include "base/plane.h"

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_solve_, level)
void NAME(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block);

/* Roots closer than this are one root, m^2. */
#define SAME_ROOT 2.5e-5f
/* Anchors stand in a row if the squares of their scatter's axes have at most this ratio: that of
 * aw_footprint_is_line(), and what single precision may make of it. */
#define ROW (0.0025f * 1.01f)

/* The first step from the common start. Its geometry is the same for all draws, so it is a sum over
 * the links of how late each is, times what that link moves the fix. */
typedef struct opening {
    float x[AW_MOST_LINKS], y[AW_MOST_LINKS]; /* metres of fix for a metre of lateness */
    float off[AW_MOST_LINKS];                 /* straight range less the range from the start */
    float inverse_weight;
    bool poor;
} opening;

static void prepare_opening(const aw_lane_cell *c, opening *o)
{
    double ux[AW_MOST_LINKS], uy[AW_MOST_LINKS];
    double w = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < c->n; i++) {
        const double dx = (double)c->start[0] - (double)c->x[i];
        const double dy = (double)c->start[1] - (double)c->y[i];
        const double dz = (c->dims == 3 ? (double)c->start[2] : 0) - (double)c->z[i];
        const double range = sqrt(dx * dx + dy * dy + dz * dz), weight = (double)c->weight[i];
        ux[i] = dx / range;
        uy[i] = dy / range;
        o->off[i] = (float)((double)c->straight[i] - range);
        w += weight;
        x += weight * ux[i];
        y += weight * uy[i];
        xx += weight * ux[i] * ux[i];
        xy += weight * ux[i] * uy[i];
        yy += weight * uy[i] * uy[i];
    }
    const double mx = x / w, my = y / w;
    xx -= x * mx;
    xy -= x * my;
    yy -= y * my;
    const double det = xx * yy - xy * xy;
    o->poor = !(det > (double)POOR * (xx * yy));
    o->inverse_weight = (float)(1 / w);
    for (size_t i = 0; i < c->n; i++) {
        const double a = (double)c->weight[i] * (ux[i] - mx);
        const double b = (double)c->weight[i] * (uy[i] - my);
        o->x[i] = (float)((yy * a - xy * b) / det);
        o->y[i] = (float)((xx * b - xy * a) / det);
    }
}

/* Puts a vector at the common start, no step taken. */
INLINE void put(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, size_t l, const shape f)
{
    store(b->x + l, spread(c->start[0]));
    store(b->y + l, spread(c->start[1]));
    store(v->step_x + l, spread(0));
    store(v->step_y + l, spread(0));
    if (f.solid) {
        store(b->z + l, spread(c->start[2]));
        store(v->step_z + l, spread(0));
    }
    store(v->last + l, spread(INFINITY));
}

INLINE void take_opening(const aw_lane_cell *c, const aw_lane_block *b, const opening *o, sweep *v,
                         size_t l, const shape f)
{
    vf x = spread(0), y = spread(0), sum = spread(0), squares = spread(0);
    for (size_t i = 0; i < c->n; i++) {
        const vf r = load(b->late + i * AW_BLOCK + l) + o->off[i];
        const vf wr = f.even ? r : r * c->weight[i];
        x += r * o->x[i];
        y += r * o->y[i];
        sum += wr;
        squares += wr * r;
    }
    put(c, b, v, l, f);
    store(b->x + l, x + c->start[0]);
    store(b->y + l, y + c->start[1]);
    store(v->step_x + l, x);
    store(v->step_y + l, y);
    store(v->last + l, squares - sum * sum * o->inverse_weight);
}

/* The same where frames are lost: each lane sums the links that it hears. Terms of one link in the
 * sums, rounded as sum_links() does. */
typedef struct lossy_opening {
    float at_x[AW_MOST_LINKS], at_y[AW_MOST_LINKS]; /* of the anchor, from the middle of all */
    float x[AW_MOST_LINKS], y[AW_MOST_LINKS];
    float xx[AW_MOST_LINKS], xy[AW_MOST_LINKS], yy[AW_MOST_LINKS];
    float off[AW_MOST_LINKS]; /* straight range less the range from the start */
} lossy_opening;

INLINE void prepare_lossy_opening(const aw_lane_cell *c, lossy_opening *o, const bool solid)
{
    double x = 0, y = 0;
    for (size_t i = 0; i < c->n; i++) {
        x += (double)c->x[i];
        y += (double)c->y[i];
    }
    for (size_t i = 0; i < c->n; i++) {
        const float dx = c->start[0] - c->x[i], dy = c->start[1] - c->y[i];
        const float dz = (solid ? c->start[2] : 0) - c->z[i];
        const float range = sqrtf(dx * dx + dy * dy + dz * dz), inverse = 1.0f / range;
        const float ux = dx * inverse, uy = dy * inverse;
        o->at_x[i] = c->x[i] - (float)(x / (double)c->n);
        o->at_y[i] = c->y[i] - (float)(y / (double)c->n);
        o->off[i] = c->straight[i] - range;
        o->x[i] = c->weight[i] * ux;
        o->y[i] = c->weight[i] * uy;
        o->xx[i] = o->x[i] * ux;
        o->xy[i] = o->x[i] * uy;
        o->yy[i] = o->y[i] * uy;
    }
}

/* Whether the anchors that a lane hears stand nearly in a row, so that a mirror root threatens: the
 * scatter of their places has axes whose squares are so far apart. */
INLINE vi is_row(const aw_lane_cell *c, const aw_lane_block *b, const lossy_opening *o, size_t l,
                 vf heard)
{
    const vf inverse = 1.0f / heard;
    vf x = spread(0), y = spread(0), xx = spread(0), xy = spread(0), yy = spread(0);
    for (size_t i = 0; i < c->n; i++) {
        const vf hx = load(b->heard + i * AW_BLOCK + l) * o->at_x[i];
        const vf hy = load(b->heard + i * AW_BLOCK + l) * o->at_y[i];
        x += hx;
        y += hy;
        xx += hx * o->at_x[i];
        xy += hx * o->at_y[i];
        yy += hy * o->at_y[i];
    }
    xx -= x * x * inverse;
    xy -= x * y * inverse;
    yy -= y * y * inverse;
    const vf trace = xx + yy;
    return ~(xx * yy - xy * xy >= trace * trace * (ROW / ((1 + ROW) * (1 + ROW))));
}

/* Leaves lanes open that hear too few, or a row; returns whether a lane goes on. */
INLINE bool take_lossy_opening(const aw_lane_cell *c, const aw_lane_block *b,
                               const lossy_opening *o, sweep *v, size_t l, const shape f)
{
    sums s = {0};
    vf heard = spread(0);
    for (size_t i = 0; i < c->n; i++) {
        const vf h = load(b->heard + i * AW_BLOCK + l);
        const vf r = load(b->late + i * AW_BLOCK + l) + o->off[i];
        const vf w = h * c->weight[i], wr = w * r;
        heard += h;
        s.w += w;
        s.x += h * o->x[i];
        s.y += h * o->y[i];
        s.r += wr;
        s.j.xx += h * o->xx[i];
        s.j.xy += h * o->xy[i];
        s.j.yy += h * o->yy[i];
        s.xr += h * o->x[i] * r;
        s.yr += h * o->y[i] * r;
        s.rr += wr * r;
    }
    vi thin = heard < c->fewest;
    if (any((heard < (float)c->n) & ~thin))
        thin |= (heard < (float)c->n) & is_row(c, b, o, l, heard);
    const vi live = ~thin;
    memcpy(v->live + l, &live, sizeof live);
    memcpy(b->open + l, &thin, sizeof thin);
    put(c, b, v, l, f);
    return take_step(c, b, v, l, &s, (shape){f.solid, false, f.solid, false});
}

/* Takes the first step in every lane. */
INLINE void begin(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, const shape f)
{
    opening o;
    v->n = 0;
    prepare_opening(c, &o);
    for (size_t l = 0; l < b->lanes; l += W) {
        take_opening(c, b, &o, v, l, f);
        memset(v->live + l, o.poor ? 0 : 0xFF, sizeof(vi));
        memset(b->open + l, o.poor ? 0xFF : 0, sizeof(vi));
        v->todo[v->n++] = (uint16_t)l;
    }
}

INLINE void begin_lossy(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, const shape f)
{
    lossy_opening o;
    v->n = 0;
    prepare_lossy_opening(c, &o, f.solid);
    for (size_t l = 0; l < b->lanes; l += W) {
        v->todo[v->n] = (uint16_t)l;
        v->n += take_lossy_opening(c, b, &o, v, l, f);
    }
}

/* What is live at the end of the list has not settled. */
static void leave_open(const aw_lane_block *b, const sweep *v)
{
    for (size_t k = 0; k < v->n; k++)
        for (size_t l = v->todo[k]; l < v->todo[k] + (size_t)W; l++)
            b->open[l] |= v->live[l];
}

/* Looks over a vector of fixes for what the careful solver has to see. */
INLINE void look_over(const aw_lane_cell *c, const aw_lane_block *b, const sweep *v, size_t l,
                      const shape f)
{
    vi open;
    const vf x = load(b->x + l), y = load(b->y + l), radius = root(x * x + y * y);
    memcpy(&open, b->open + l, sizeof open);
    open |= (load(v->last + l) > c->implausible) | ~(radius <= c->reach);
    if (f.solid) {
        const vf z = load(b->z + l);
        open |= (z < c->lowest) | (z > c->highest);
    }
    store(b->radius + l, radius);
    memcpy(b->open + l, &open, sizeof open);
}

INLINE void sweep_block(const aw_lane_cell *c, const aw_lane_block *b, const shape f)
{
    sweep v;
    if (f.even || b->heard == NULL)
        begin(c, b, &v, f);
    else
        begin_lossy(c, b, &v, f);
    run_sweeps(c, b, &v, 1, f);
    leave_open(b, &v);
    for (size_t l = 0; l < b->lanes; l += W)
        look_over(c, b, &v, l, f);
}

/* --- both sides of a row --- */

/* The roots of a block on either side, [0] from the start and [1] from the mirror image of that. */
typedef struct pair {
    float x[2][AW_BLOCK], y[2][AW_BLOCK], squares[2][AW_BLOCK];
    int32_t inside[2][AW_BLOCK];
    float off[2][AW_BLOCK]; /* squared distance from the outline, where it is asked for */
} pair;

static void keep_root(const aw_lane_block *b, const sweep *v, pair *p, int i)
{
    const size_t bytes = b->lanes * sizeof(float);
    memcpy(p->x[i], b->x, bytes);
    memcpy(p->y[i], b->y, bytes);
    memcpy(p->squares[i], v->last, bytes);
}

/* Puts every lane at the mirror image of its root. */
INLINE void mirror(const aw_lane_sides *s, const aw_lane_block *b, sweep *v)
{
    v->n = 0;
    for (size_t l = 0; l < b->lanes; l += W) {
        const vf x = load(b->x + l), y = load(b->y + l);
        const vf over = ((x - s->x) * s->normal_x + (y - s->y) * s->normal_y) * 2;
        vi live;
        memcpy(&live, b->open + l, sizeof live);
        live = ~live;
        memcpy(v->live + l, &live, sizeof live);
        store(b->x + l, x - over * s->normal_x);
        store(b->y + l, y - over * s->normal_y);
        store(v->step_x + l, spread(0));
        store(v->step_y + l, spread(0));
        if (!s->mirrors)
            store(v->last + l, spread(INFINITY));
        v->todo[v->n] = (uint16_t)l;
        v->n += any(live);
    }
}

/* An edge of the outline as seen from the spot. */
typedef struct edge {
    float x, y, end_y, slope, dx, dy, over;
} edge;

static edge edge_of(const aw_polygon *o, size_t i, const double spot[2])
{
    const aw_point a = o->at[i], e = o->at[i + 1 < o->n ? i + 1 : 0];
    const double dx = e.x - a.x, dy = e.y - a.y;
    return (edge){(float)(a.x - spot[0]),
                  (float)(a.y - spot[1]),
                  (float)(e.y - spot[1]),
                  dy != 0 ? (float)(dx / dy) : 0,
                  (float)dx,
                  (float)dy,
                  (float)(1 / (dx * dx + dy * dy))};
}

INLINE vf held(vf t)
{
    t = pick(t > 0, t, spread(0));
    return pick(t < 1, t, spread(1));
}

/* By the even-odd rule. */
INLINE void find_inside(const aw_lane_sides *s, size_t lanes, pair *p, int i)
{
    memset(p->inside[i], s->outline == NULL ? 0xFF : 0, lanes * sizeof(int32_t));
    for (size_t k = 0; s->outline != NULL && k < s->outline->n; k++) {
        const edge e = edge_of(s->outline, k, s->spot);
        for (size_t l = 0; l < lanes; l += W) {
            const vf x = load(p->x[i] + l), y = load(p->y[i] + l);
            const vi passes = ((e.y > y) ^ (e.end_y > y)) & (x < (y - e.y) * e.slope + e.x);
            vi inside;
            memcpy(&inside, p->inside[i] + l, sizeof inside);
            inside ^= passes;
            memcpy(p->inside[i] + l, &inside, sizeof inside);
        }
    }
}

INLINE void find_off(const aw_lane_sides *s, size_t lanes, pair *p, int i)
{
    for (size_t l = 0; l < lanes; l += W)
        store(p->off[i] + l, spread(INFINITY));
    for (size_t k = 0; s->outline != NULL && k < s->outline->n; k++) {
        const edge e = edge_of(s->outline, k, s->spot);
        for (size_t l = 0; l < lanes; l += W) {
            const vf x = load(p->x[i] + l) - e.x, y = load(p->y[i] + l) - e.y;
            const vf t = held((x * e.dx + y * e.dy) * e.over);
            const vf ax = x - t * e.dx, ay = y - t * e.dy, off = ax * ax + ay * ay;
            const vf least = load(p->off[i] + l);
            store(p->off[i] + l, pick(off < least, off, least));
        }
    }
}

INLINE bool any_lost(const pair *p, size_t lanes)
{
    vi lost = {0};
    for (size_t l = 0; l < lanes; l += W) {
        vi one, other;
        memcpy(&one, p->inside[0] + l, sizeof one);
        memcpy(&other, p->inside[1] + l, sizeof other);
        lost |= ~(one | other);
    }
    return any(lost);
}

/* Of two roots that both stand the one that fits better, or the side that the draw names if neither
 * does clearly; else the one inside, or the nearer one. */
INLINE void choose(const aw_lane_cell *c, const aw_lane_block *b, const pair *p, size_t l)
{
    const aw_lane_sides *s = c->sides;
    const vf x0 = load(p->x[0] + l), y0 = load(p->y[0] + l), x1 = load(p->x[1] + l),
             y1 = load(p->y[1] + l);
    const vf s0 = load(p->squares[0] + l), s1 = load(p->squares[1] + l);
    vi in0, in1, open, side;
    memcpy(&in0, p->inside[0] + l, sizeof in0);
    memcpy(&in1, p->inside[1] + l, sizeof in1);
    memcpy(&open, b->open + l, sizeof open);
    memcpy(&side, b->side + l, sizeof side);
    side = side < 0;
    const vf dx = x1 - x0, dy = y1 - y0;
    const vi both = in0 & in1 & ~(dx * dx + dy * dy < SAME_ROOT);
    const vi close = both & (s1 - s0 <= s->as_good) & (s0 - s1 <= s->as_good);
    const vi ahead = dx * s->normal_x + dy * s->normal_y > 0;
    vi second = (both & ~close & (s1 < s0)) | (close & ~(ahead ^ side)) | (in1 & ~in0);
    second |= ~(in0 | in1) & (load(p->off[1] + l) < load(p->off[0] + l));
    const vf x = pick(second, x1, x0), y = pick(second, y1, y0), radius = root(x * x + y * y);
    const vf far = c->reach * spread(c->reach);
    open |= ~((x0 * x0 + y0 * y0 <= far) & (x1 * x1 + y1 * y1 <= far));
    store(b->x + l, x);
    store(b->y + l, y);
    store(b->radius + l, radius);
    memcpy(b->ambiguous + l, &close, sizeof close);
    memcpy(b->open + l, &open, sizeof open);
}

/* Leaves lanes open that have lost a frame. */
static void leave_lossy(const aw_lane_cell *c, const aw_lane_block *b, sweep *v)
{
    for (size_t i = 0; b->heard != NULL && i < c->n; i++)
        for (size_t l = 0; l < b->lanes; l++)
            if (b->heard[i * AW_BLOCK + l] == 0) {
                b->open[l] = -1;
                v->live[l] = 0;
            }
}

INLINE void sweep_sides(const aw_lane_cell *c, const aw_lane_block *lossy, const shape f)
{
    sweep v;
    pair p;
    aw_lane_block all = *lossy, *b = &all;
    all.heard = NULL;
    begin(c, b, &v, f);
    leave_lossy(c, lossy, &v);
    run_sweeps(c, b, &v, 1, f);
    leave_open(b, &v);
    keep_root(b, &v, &p, 0);
    mirror(c->sides, b, &v);
    if (!c->sides->mirrors) {
        run_sweeps(c, b, &v, 0, f);
        leave_open(b, &v);
    }
    keep_root(b, &v, &p, 1);
    for (int i = 0; i < 2; i++)
        find_inside(c->sides, b->lanes, &p, i);
    const bool lost = any_lost(&p, b->lanes);
    for (int i = 0; i < 2; i++)
        if (lost)
            find_off(c->sides, b->lanes, &p, i);
        else
            memset(p.off[i], 0, sizeof p.off[i]);
    for (size_t l = 0; l < b->lanes; l += W)
        choose(c, b, &p, l);
}

void NAME(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block)
{
    bool even = block->heard == NULL || cell->sides != NULL;
    for (size_t i = 0; even && i < cell->n; i++)
        even = cell->weight[i] == 1;
    if (cell->sides != NULL && even)
        sweep_sides(cell, block, (shape){.even = true});
    else if (cell->sides != NULL)
        sweep_sides(cell, block, (shape){.even = false});
    else if (cell->dims == 2 && even)
        sweep_block(cell, block, (shape){.even = true});
    else if (cell->dims == 2)
        sweep_block(cell, block, (shape){.even = false});
    else if (even)
        sweep_block(cell, block, (shape){.solid = true, .even = true});
    else
        sweep_block(cell, block, (shape){.solid = true});
}
