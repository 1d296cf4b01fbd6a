/* The robust fix of a block of draws (robust.h), a lane a draw, from the plain fix that solve.c has
 * found: the reweighted steps. A lane whose outcome is suspicious, or that gives no ground for a
 * step, is left open for the careful solver. Compiled once for each processor level. */
#include "position/kernel.h"
#include "position/lanes.h"
#include "position/robust.h"

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_refine_, level)
void NAME(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block);

/* A step shorter than this ends the reweighting, m^2; by Huber's factors, which only lead to where
 * Tukey's begin, sooner. */
#define SETTLED 1e-8f
#define LED     1e-4f
/* A determinant below this share of the diagonal's product is no ground for a step. */
#define POOR 1e-5f

#define INLINE static inline __attribute__((always_inline))

/* What a pass is specialised for: z is solved too; frames are lost; by Tukey instead of Huber. */
typedef struct shape {
    bool solid, lossy, tukey;
} shape;

/* A vector of fixes on their way. */
typedef struct place {
    vf x, y, z, offset;
    vi poor;
} place;

/* One link as seen from a vector of places. */
typedef struct view {
    vf ux, uy, uz, left; /* left: m */
} view;

typedef struct cell {
    const aw_lane_cell *c;
    const aw_lane_block *b;
    size_t lane;
    float sharp[AW_MOST_LINKS]; /* 1 over what the solver believes of a link, 1/m */
    view first[AW_MOST_LINKS];  /* from the plain fix */
} cell;

INLINE view view_of(const cell *w, const place *p, size_t i, const shape f)
{
    const aw_lane_cell *c = w->c;
    const vf dx = p->x - c->x[i], dy = p->y - c->y[i], dz = p->z - c->z[i];
    const vf range = root(dx * dx + dy * dy + dz * dz), inverse = 1.0f / range;
    view v = {.ux = dx * inverse, .uy = dy * inverse};
    if (f.solid)
        v.uz = dz * inverse;
    v.left = load(w->b->late + i * AW_BLOCK + w->lane) + (c->straight[i] - range) - p->offset;
    return v;
}

INLINE vf heard_at(const cell *w, size_t i, const shape f)
{
    return f.lossy ? load(w->b->heard + i * AW_BLOCK + w->lane) : spread(1);
}

INLINE vf factor_of(vf t, const shape f)
{
    if (!f.tukey)
        return pick(t > (float)AW_HUBER, (float)AW_HUBER / t, spread(1));
    const vf q = t * (float)(1 / AW_TUKEY), left = 1.0f - q * q;
    const vf inside = left * left;
    const vi kept = (t < (float)AW_TUKEY) & (inside > (float)AW_LEAST);
    return pick(t > 0, pick(kept, inside, spread((float)AW_LEAST)), spread(1));
}

/* Weighted sums over the links. */
typedef struct sums {
    vf w, r, x, y, z, xr, yr, zr, xx, xy, xz, yy, yz, zz;
} sums;

INLINE void add(sums *s, const cell *w, const view *v, size_t i, const shape f)
{
    const vf weight = heard_at(w, i, f) * w->c->weight[i] * factor_of(v->left * w->sharp[i], f);
    const vf x = weight * v->ux, y = weight * v->uy;
    s->w += weight;
    s->r += weight * v->left;
    s->x += x;
    s->y += y;
    s->xr += x * v->left;
    s->yr += y * v->left;
    s->xx += x * v->ux;
    s->xy += x * v->uy;
    s->yy += y * v->uy;
    if (f.solid) {
        const vf z = weight * v->uz;
        s->z += z;
        s->zr += z * v->left;
        s->xz += x * v->uz;
        s->yz += y * v->uz;
        s->zz += z * v->uz;
    }
}

/* Steps the live lanes; returns those that go on. */
INLINE vi take_step(const cell *w, const sums *s, place *p, vi live, const shape f)
{
    const vf inverse = 1.0f / s->w, mx = s->x * inverse, my = s->y * inverse, mr = s->r * inverse;
    const vf xx = s->xx - s->x * mx, xy = s->xy - s->x * my, yy = s->yy - s->y * my;
    const vf gx = s->xr - s->x * mr, gy = s->yr - s->y * mr, flat = xx * yy - xy * xy;
    vf x, y, z = spread(0), mz = spread(0), sound;
    if (f.solid) {
        mz = s->z * inverse;
        const vf xz = s->xz - s->x * mz, yz = s->yz - s->y * mz, zz = s->zz - s->z * mz;
        const vf gz = s->zr - s->z * mr;
        const vf a = yy * zz - yz * yz, b = xz * yz - xy * zz, c = xy * yz - xz * yy;
        const vf d = xx * zz - xz * xz, e = xy * xz - xx * yz;
        const vf det = xx * a + xy * b + xz * c, over = 1.0f / det;
        sound = det - POOR * (xx * yy * zz);
        x = (a * gx + b * gy + c * gz) * over;
        y = (b * gx + d * gy + e * gz) * over;
        z = (c * gx + e * gy + flat * gz) * over;
    } else {
        const vf over = 1.0f / flat;
        sound = flat - POOR * (xx * yy);
        x = (yy * gx - xy * gy) * over;
        y = (xx * gy - xy * gx) * over;
    }
    const vf longest = spread(w->c->reach * (float)AW_LONGEST);
    const vf square = x * x + y * y + z * z;
    const vf held = pick(square > longest * longest, longest / root(square), spread(1));
    x = x * held;
    y = y * held;
    z = z * held;
    p->poor |= live & ~(sound > 0);
    p->x = pick(live, p->x + x, p->x);
    p->y = pick(live, p->y + y, p->y);
    p->z = pick(live, p->z + z, p->z);
    p->offset = pick(live, p->offset + (mr - mx * x - my * y - mz * z), p->offset);
    return live & ~(square < (f.tukey ? SETTLED : LED));
}

/* Reweights the live lanes, at most so many times. */
INLINE void reweight(const cell *w, place *p, vi live, int times, const shape f)
{
    for (; times > 0 && any(live); times--) {
        sums s = {0};
        for (size_t i = 0; i < w->c->n; i++) {
            const view v = view_of(w, p, i, f);
            add(&s, w, &v, i, f);
        }
        live = take_step(w, &s, p, live, f);
    }
}

/* What the arrivals say of a place: see robust.h. */
typedef struct look {
    vf score, heard, agree;
    vi early;
} look;

INLINE vf score_of(vf t)
{
    const float within = (float)AW_WITHIN;
    return pick(t > within, spread(within * within), t * t);
}

INLINE look look_at(const cell *w, const place *p, const shape f)
{
    look k = {.early = {0}};
    for (size_t i = 0; i < w->c->n; i++) {
        const vf h = heard_at(w, i, f), t = view_of(w, p, i, f).left * w->sharp[i];
        k.heard += h;
        k.score += h * score_of(t);
        k.agree += pick((t < (float)AW_WITHIN) & (t > (float)-AW_WITHIN), h, spread(0));
        k.early |= (t < w->c->early) & (h > 0);
    }
    return k;
}

/* From the plain fix: the offset that its weights give, its score, which is returned, and by
 * Huber's factors the first step, whose lanes that go on are live. */
INLINE vf set_out(cell *w, place *p, vi *live, const shape f)
{
    vf total = spread(0), late = spread(0), score = spread(0);
    sums s = {0};
    for (size_t i = 0; i < w->c->n; i++) {
        const vf weight = heard_at(w, i, f) * w->c->weight[i];
        const view v = view_of(w, p, i, f);
        w->first[i] = v;
        total += weight;
        late += weight * v.left;
    }
    p->offset = late / total;
    for (size_t i = 0; i < w->c->n; i++) {
        view v = w->first[i];
        v.left = v.left - p->offset;
        score += heard_at(w, i, f) * score_of(v.left * w->sharp[i]);
        add(&s, w, &v, i, f);
    }
    *live = take_step(w, &s, p, ~(vi){0}, f);
    return score;
}

INLINE void refine_vector(cell *w, const shape f)
{
    const aw_lane_block *b = w->b;
    const size_t l = w->lane;
    const float needed = (float)(w->c->dims + 2);
    place p = {.x = load(b->x + l), .y = load(b->y + l)};
    vi live;
    p.z = f.solid ? load(b->z + l) : spread(0);
    const vf before = set_out(w, &p, &live, f);
    reweight(w, &p, live, AW_REWEIGHTED - 1, f);
    reweight(w, &p, ~(vi){0}, AW_REWEIGHTED, (shape){f.solid, f.lossy, true});
    const look after = look_at(w, &p, f);
    vf least = after.heard * (float)AW_SHARE;
    least = pick(least > needed, least, spread(needed));
    const vf radius = root(p.x * p.x + p.y * p.y);
    vi open;
    memcpy(&open, b->open + l, sizeof open);
    open |= p.poor | after.early | (after.agree < least) | ~(radius <= w->c->reach);
    open |= ~(after.score <= before + (float)AW_AS_GOOD);
    memcpy(b->open + l, &open, sizeof open);
    store(b->x + l, pick(open, load(b->x + l), p.x));
    store(b->y + l, pick(open, load(b->y + l), p.y));
    store(b->radius + l, pick(open, load(b->radius + l), radius));
    if (f.solid)
        store(b->z + l, pick(open, load(b->z + l), p.z));
}

INLINE void refine_block(cell *w, const shape f)
{
    for (size_t l = 0; l < w->b->lanes; l += W) {
        w->lane = l;
        refine_vector(w, f);
    }
}

void NAME(AW_LEVEL)(const aw_lane_cell *c, const aw_lane_block *b)
{
    cell w;
    w.c = c;
    w.b = b;
    if (c->n < (size_t)c->dims + 2)
        return;
    for (size_t i = 0; i < c->n; i++)
        w.sharp[i] = sqrtf(c->weight[i]) * c->sharp;
    if (c->dims == 3 && b->heard != NULL)
        refine_block(&w, (shape){true, true, false});
    else if (c->dims == 3)
        refine_block(&w, (shape){true, false, false});
    else if (b->heard != NULL)
        refine_block(&w, (shape){false, true, false});
    else
        refine_block(&w, (shape){false, false, false});
}
