/* Steps of many draws side by side, a lane a draw: Gauss-Newton, later Newton, halved where the sum
 * of squares rises. Only for files that are compiled once for each processor level. */
#ifndef AW_POSITION_SWEEP_H
#define AW_POSITION_SWEEP_H

#include "position/descent.h"
#include "position/kernel.h"
#include "position/lanes.h"

#define ITERATIONS 25 /* level ones included */
/* From this iteration on curvature counts where there is one start. It makes a step twice as dear,
 * and but for a row of anchors few lanes need it: nearly all have settled by then. */
#define CURVED_FROM 8
/* A step shorter than this ends the iteration, m^2. */
#define SETTLED 1e-8f
/* Below NEAR what curvature adds to a step's linear successor is nothing; one that is sure to be
 * shorter than FORESEEN is not waited for. Both m^2. */
#define NEAR     1e-5f
#define FORESEEN 1e-9f
/* A determinant below this share of the diagonal's product is no ground for a step. */
#define POOR 1e-5f
/* A sum of squares that grows by more than this share is a rise and not rounding. */
#define RISE 1.001f

/* What a sweep is specialised for: `solid` solves z too; `even` means that all weights are 1 and no
 * frame is lost, which leaves out multiplications by 1 and not one bit of the result; `level` steps
 * along the floor; `curved` counts the curvature of the ranges. */
typedef struct shape {
    bool solid, even, level, curved;
} shape;

#define INLINE static inline __attribute__((always_inline))

/* Symmetric matrices of one vector of lanes. */
typedef struct matrix {
    vf xx, xy, xz, yy, yz, zz;
} matrix;

/* Weighted sums over the links of one vector of lanes. */
typedef struct sums {
    vf w, x, y, z, r, xr, yr, zr, rr;
    matrix j;       /* of u u^T */
    matrix bent, b; /* of r and of 1 times the curvature of a range, (1 - u u^T) / range */
} sums;

/* Adds so many times a matrix. */
INLINE void add_times(matrix *to, vf times, const matrix *m, const bool solid)
{
    to->xx += times * m->xx;
    to->xy += times * m->xy;
    to->yy += times * m->yy;
    if (solid) {
        to->xz += times * m->xz;
        to->yz += times * m->yz;
        to->zz += times * m->zz;
    }
}

INLINE void add_bends(sums *s, vf w, vf r, vf ux, vf uy, vf uz, vf inverse, const bool solid)
{
    const vf plain = w * inverse;
    matrix m = {.xx = 1 - ux * ux, .xy = -(ux * uy), .yy = 1 - uy * uy};
    if (solid) {
        m.xz = -(ux * uz);
        m.yz = -(uy * uz);
        m.zz = 1 - uz * uz;
    }
    add_times(&s->b, plain, &m, solid);
    add_times(&s->bent, plain * r, &m, solid);
}

INLINE sums sum_links(const aw_lane_cell *c, const aw_lane_block *b, size_t l, vf px, vf py, vf pz,
                      const shape f)
{
    sums s = {.w = spread(f.even ? (float)c->n : 0)};
    for (size_t i = 0; i < c->n; i++) {
        const vf dx = px - c->x[i], dy = py - c->y[i], dz = pz - c->z[i];
        const vf rise = f.solid ? dz * dz : spread(c->z[i] * c->z[i]);
        const vf range = root(dx * dx + dy * dy + rise);
        const vf inverse = 1.0f / range;
        const vf late = load(b->late + i * AW_BLOCK + l);
        const vf r = late + (c->straight[i] - range);
        vf w = spread(f.even ? 1 : c->weight[i]);
        if (!f.even && b->heard != NULL)
            w = w * load(b->heard + i * AW_BLOCK + l);
        const vf ux = dx * inverse, uy = dy * inverse, uz = dz * inverse;
        const vf wx = f.even ? ux : w * ux, wy = f.even ? uy : w * uy, wr = f.even ? r : w * r;
        if (!f.even)
            s.w += w;
        s.x += wx;
        s.y += wy;
        s.r += wr;
        s.j.xx += wx * ux;
        s.j.xy += wx * uy;
        s.j.yy += wy * uy;
        s.xr += wx * r;
        s.yr += wy * r;
        s.rr += wr * r;
        if (f.solid) {
            const vf wz = f.even ? uz : w * uz;
            s.z += wz;
            s.j.xz += wx * uz;
            s.j.yz += wy * uz;
            s.j.zz += wz * uz;
            s.zr += wz * r;
        }
        if (f.curved)
            add_bends(&s, w, r, ux, uy, uz, inverse, f.solid);
    }
    return s;
}

/* One step of 2 or 3 unknowns, the offset eliminated by centring. */
typedef struct step {
    vf x, y, z, squares;
    vi poor;
} step;

INLINE matrix pick_matrix(vi mask, const matrix *yes, const matrix *no)
{
    return (matrix){pick(mask, yes->xx, no->xx), pick(mask, yes->xy, no->xy),
                    pick(mask, yes->xz, no->xz), pick(mask, yes->yy, no->yy),
                    pick(mask, yes->yz, no->yz), pick(mask, yes->zz, no->zz)};
}

/* The scatter less the curvature of the residuals, where the sum of squares is a bowl by it. */
INLINE matrix bowl_or(const matrix *j, const sums *s, vf mr, const bool solid)
{
    matrix h = {.xx = j->xx - (s->bent.xx - mr * s->b.xx),
                .xy = j->xy - (s->bent.xy - mr * s->b.xy),
                .yy = j->yy - (s->bent.yy - mr * s->b.yy)};
    const vf flat = h.xx * h.yy - h.xy * h.xy;
    vi bowl = (h.xx > 0) & (flat > POOR * (h.xx * h.yy));
    if (solid) {
        h.xz = j->xz - (s->bent.xz - mr * s->b.xz);
        h.yz = j->yz - (s->bent.yz - mr * s->b.yz);
        h.zz = j->zz - (s->bent.zz - mr * s->b.zz);
        const vf det =
            h.zz * flat - h.xz * (h.xz * h.yy - h.xy * h.yz) - h.yz * (h.xx * h.yz - h.xy * h.xz);
        bowl &= (h.zz > 0) & (det > POOR * (h.xx * h.yy * h.zz));
    }
    return pick_matrix(bowl, &h, j);
}

INLINE step step_from(const sums *s, const shape f)
{
    const bool solid = f.solid && !f.level;
    const vf inverse = 1.0f / s->w;
    const vf mx = s->x * inverse, my = s->y * inverse, mr = s->r * inverse;
    const vf gx = s->xr - s->x * mr, gy = s->yr - s->y * mr;
    matrix m = {.xx = s->j.xx - s->x * mx, .xy = s->j.xy - s->x * my, .yy = s->j.yy - s->y * my};
    step t = {.squares = s->rr - s->r * mr};
    if (!solid) {
        if (f.curved)
            m = bowl_or(&m, s, mr, false);
        const vf det = m.xx * m.yy - m.xy * m.xy, over = 1.0f / det;
        t.poor = ~(det > POOR * (m.xx * m.yy));
        t.x = (m.yy * gx - m.xy * gy) * over;
        t.y = (m.xx * gy - m.xy * gx) * over;
        return t;
    }
    const vf mz = s->z * inverse, gz = s->zr - s->z * mr;
    m.xz = s->j.xz - s->x * mz;
    m.yz = s->j.yz - s->y * mz;
    m.zz = s->j.zz - s->z * mz;
    if (f.curved)
        m = bowl_or(&m, s, mr, true);
    const vf a = m.yy * m.zz - m.yz * m.yz, b = m.xz * m.yz - m.xy * m.zz;
    const vf c = m.xy * m.yz - m.xz * m.yy, e = m.xx * m.zz - m.xz * m.xz;
    const vf g = m.xy * m.xz - m.xx * m.yz, h = m.xx * m.yy - m.xy * m.xy;
    const vf det = m.xx * a + m.xy * b + m.xz * c, over = 1.0f / det;
    t.poor = ~(det > POOR * (m.xx * m.yy * m.zz));
    t.x = (a * gx + b * gy + c * gz) * over;
    t.y = (b * gx + e * gy + g * gz) * over;
    t.z = (c * gx + g * gy + h * gz) * over;
    return t;
}

/* State of the vectors of a block between sweeps. */
typedef struct sweep {
    float last[AW_BLOCK]; /* sum of squares before the latest step */
    float step_x[AW_BLOCK], step_y[AW_BLOCK], step_z[AW_BLOCK]; /* that step */
    int32_t live[AW_BLOCK];
    uint16_t todo[AW_BLOCK / W];
    size_t n;
} sweep;

/* Steps on where the sum has not risen, and goes half the latest step back where it has, or where
 * the place that the step led to gives no ground for another. */
INLINE void move(float at[], float latest[], size_t l, vi good, vi rise, vf ahead)
{
    const vf back = load(latest + l) * 0.5f, x = load(at + l);
    store(at + l, pick(good, x + ahead, pick(rise, x - back, x)));
    store(latest + l, pick(good, ahead, pick(rise, back, load(latest + l))));
}

/* Steps one vector by its sums; returns whether a lane of it goes on. A comparison with what is not
 * a number counts as a rise. */
INLINE bool take_step(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, size_t l,
                      const sums *s, const shape f)
{
    vi live;
    memcpy(&live, v->live + l, sizeof live);
    const step t = step_from(s, f);
    const vi rise = live & (t.poor | ~(t.squares <= load(v->last + l) * RISE)), good = live & ~rise;
    move(b->x, v->step_x, l, good, rise, t.x);
    move(b->y, v->step_y, l, good, rise, t.y);
    if (f.solid)
        move(b->z, v->step_z, l, good, rise, f.level ? spread(0) : t.z);
    /* A lane that has settled keeps its sum while others of the vector go on. */
    store(v->last + l, pick(good, t.squares, load(v->last + l)));
    vf length = t.x * t.x + t.y * t.y;
    if (f.solid && !f.level)
        length = length + t.z * t.z;
    if (!f.level) {
        vi settled = length < SETTLED;
        if (!f.curved)
            settled |= (length < NEAR) & (length * t.squares * c->creep < FORESEEN);
        live &= ~(good & settled);
    }
    memcpy(v->live + l, &live, sizeof live);
    return any(live);
}

INLINE bool advance(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, size_t l,
                    const shape f)
{
    const vf px = load(b->x + l), py = load(b->y + l), pz = f.solid ? load(b->z + l) : spread(0);
    const sums s = sum_links(c, b, l, px, py, pz, f);
    return take_step(c, b, v, l, &s, f);
}

/* Sweeps the list of vectors with a live lane, from iteration `from` on, compacted as they settle:
 * no branch depends on one draw, and what a lane computes does not depend on its neighbours. Lanes
 * that are live at the end have not settled. */
INLINE void run_sweeps(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, int from,
                       const shape f)
{
    for (int i = from; i < ITERATIONS && v->n > 0; i++) {
        size_t kept = 0;
        for (size_t k = 0; k < v->n; k++) {
            const uint16_t l = v->todo[k];
            v->todo[kept] = l;
            if (f.solid && i < AW_LEVEL_STEPS)
                kept += advance(c, b, v, l, (shape){f.solid, f.even, true, false});
            else if (i < (c->sides != NULL ? AW_CURVED_FROM : CURVED_FROM))
                kept += advance(c, b, v, l, (shape){f.solid, f.even, false, false});
            else
                kept += advance(c, b, v, l, (shape){f.solid, f.even, false, true});
        }
        v->n = kept;
    }
}

#endif
