/* Everything is expanded about u = 0, so a link's part of a sum does not depend on the others. The
 * price is cancellation where the lines of sight scatter little; what that may cost is estimated
 * from the smallest eigenvalue of J and told to the caller. */
#include "position/sums.h"

#include <float.h>
#include <math.h>

#include "position/symmetric.h"

/* With the number of coordinates as a constant: searches run this for every cell of every trial. */
#define INLINE static inline __attribute__((always_inline))

/* Places of xx, xy, xz ... in an array of six. */
static const int place[3][3] = {{0, 1, 3}, {1, 2, 4}, {3, 4, 5}};

aw_sums_part aw_sums_part_of(const aw_link *link)
{
    if (link->n_outcomes == 0)
        return (aw_sums_part){0};
    const double w = 1 / (link->believed * link->believed);
    return (aw_sums_part){.usable = true,
                          .w = w,
                          .v = w * w * aw_link_variance(link),
                          .u = {link->u[0], link->u[1], link->u[2]}};
}

INLINE void change(aw_sums *s, const aw_sums_part *part, double excess, double sign)
{
    if (!part->usable)
        return;
    const double *u = part->u, w = sign * part->w, v = sign * part->v, b = w * excess;
    s->w += w;
    s->v += v;
    s->b += b;
    for (int i = 0; i < 3; i++) {
        s->wu[i] += w * u[i];
        s->vu[i] += v * u[i];
        s->bu[i] += b * u[i];
        for (int j = 0; j <= i; j++) {
            s->wuu[place[i][j]] += w * u[i] * u[j];
            s->vuu[place[i][j]] += v * u[i] * u[j];
        }
    }
    s->most = s->most > s->w ? s->most : s->w;
    s->updates++;
}

void aw_sums_add_part(aw_sums *sums, const aw_sums_part *part, double excess)
{
    change(sums, part, excess, 1);
    sums->used += part->usable;
}

void aw_sums_add(aw_sums *sums, const aw_link *link)
{
    const aw_sums_part part = aw_sums_part_of(link);
    aw_sums_add_part(sums, &part, aw_link_bias(link));
}

void aw_sums_remove(aw_sums *sums, const aw_link *link)
{
    const aw_sums_part part = aw_sums_part_of(link);
    change(sums, &part, aw_link_bias(link), -1);
    sums->used -= part.usable;
}

/* J_o and its middle matrix sum o^2 s^2 (u - m)(u - m)^T. */
INLINE void centre(const aw_sums *s, const int dims, double j[3][3], double middle[3][3])
{
    const double *a = s->wu, *d = s->vu;
    double m[3];
    for (int i = 0; i < dims; i++)
        m[i] = a[i] / s->w;
    for (int i = 0; i < dims; i++)
        for (int k = 0; k <= i; k++) {
            j[i][k] = j[k][i] = s->wuu[place[i][k]] - a[i] * m[k];
            middle[i][k] = middle[k][i] =
                s->vuu[place[i][k]] - d[i] * m[k] - m[i] * d[k] + s->v * m[i] * m[k];
        }
}

/* Whether rounding stays under AW_SUMS_SOUND: the smallest eigenvalue is at least det / trace in
 * two dimensions and 4 det / trace^2 in three. */
INLINE bool is_sound(const aw_sums *s, double j[3][3], const int dims)
{
    const double trace = j[0][0] + j[1][1] + (dims == 3 ? j[2][2] : 0);
    double det = j[0][0] * j[1][1] - j[0][1] * j[0][1];
    if (dims == 3)
        det = j[0][0] * (j[1][1] * j[2][2] - j[1][2] * j[1][2]) -
              j[0][1] * (j[0][1] * j[2][2] - j[1][2] * j[0][2]) +
              j[0][2] * (j[0][1] * j[1][2] - j[1][1] * j[0][2]);
    const double least = dims == 2 ? det / trace : 4 * det / (trace * trace);
    return trace > 0 && least > 0 &&
           DBL_EPSILON * s->most * (2 + sqrt(s->updates)) * 4 < AW_SUMS_SOUND * least;
}

INLINE void sandwich(double inverse[3][3], double middle[3][3], const int dims, double out[3][3])
{
    double half[3][3];
    for (int i = 0; i < dims; i++)
        for (int k = 0; k < dims; k++) {
            half[i][k] = 0;
            for (int l = 0; l < dims; l++)
                half[i][k] += inverse[i][l] * middle[l][k];
        }
    for (int i = 0; i < dims; i++)
        for (int k = 0; k < dims; k++) {
            out[i][k] = 0;
            for (int l = 0; l < dims; l++)
                out[i][k] += half[i][l] * inverse[l][k];
        }
}

static aw_expected no_position(aw_bound_status status, bool is_accurate)
{
    const double nan = (double)NAN;
    return (aw_expected){.status = status,
                         .is_accurate = is_accurate,
                         .bias = {nan, nan, nan},
                         .xx = nan,
                         .xy = nan,
                         .yy = nan,
                         .zz = nan};
}

/* A wrong height moves a fix of known height along its gain. */
static void add_height(aw_expected *e, const double gain[2], double height_sigma)
{
    const double variance = height_sigma * height_sigma;
    e->xx += variance * gain[0] * gain[0];
    e->xy += variance * gain[0] * gain[1];
    e->yy += variance * gain[1] * gain[1];
}

INLINE aw_expected expect(const aw_sums *s, const int dims, double height_sigma)
{
    double j[3][3] = {{0}}, middle[3][3] = {{0}}, inverse[3][3], c[3][3], gain[2] = {0};
    if (s->used < (size_t)dims + 1)
        return no_position(AW_BOUND_TOO_FEW, true);
    centre(s, dims, j, middle);
    if (!is_sound(s, j, dims))
        return no_position(AW_BOUND_SINGULAR, false);
    aw_symmetric_invert(j, dims, inverse);
    sandwich(inverse, middle, dims, c);
    aw_expected e = {.status = AW_BOUND_OK,
                     .is_accurate = true,
                     .xx = c[0][0],
                     .xy = c[0][1],
                     .yy = c[1][1],
                     .zz = dims == 3 ? c[2][2] : (double)NAN};
    for (int i = 0; i < dims; i++)
        for (int k = 0; k < dims; k++) {
            const double mean = s->wu[k] / s->w;
            e.bias[i] += inverse[i][k] * (s->bu[k] - mean * s->b);
            if (dims == 2)
                gain[i] += inverse[i][k] * (s->wuu[place[k][2]] - mean * s->wu[2]);
        }
    if (dims == 2)
        add_height(&e, gain, height_sigma);
    return e;
}

aw_expected aw_sums_expect(const aw_sums *s, aw_fix_kind kind, double height_sigma)
{
    return kind == AW_FIX_3D ? expect(s, 3, height_sigma) : expect(s, 2, height_sigma);
}

aw_expected aw_bound_expect(const aw_bound *b, double height_sigma)
{
    if (b->status != AW_BOUND_OK)
        return no_position(b->status, true);
    aw_expected e = {.status = AW_BOUND_OK,
                     .is_accurate = true,
                     .bias = {b->bias[0], b->bias[1], b->bias[2]},
                     .xx = b->fix[0][0],
                     .xy = b->fix[0][1],
                     .yy = b->fix[1][1],
                     .zz = b->dims == 3 ? b->fix[2][2] : (double)NAN};
    if (b->dims == 2)
        add_height(&e, b->height_gain, height_sigma);
    return e;
}
