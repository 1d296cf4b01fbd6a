#include "plan/frame.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"

#define FARTHEST 20.0
/* Nearer than this, m, nothing is astray: dense furniture makes the range small. */
#define NOT_ASTRAY 500.0

aw_point aw_frame_site(const aw_frame *f, aw_point p)
{
    const double x = p.x * f->metres + (f->base[0] * f->metres - f->origin[0]),
                 y = p.y * f->metres + (f->base[1] * f->metres - f->origin[1]);
    return (aw_point){f->cosine * x + f->sine * y, f->cosine * y - f->sine * x};
}

static int compare_numbers(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The middle of a list, and how far from it all may lie. */
static void find_middle(double values[], size_t n, double *middle, double *most)
{
    qsort(values, n, sizeof *values, compare_numbers);
    const double range = values[3 * n / 4] - values[n / 4];
    *middle = values[n / 2];
    /* Points that mostly stand in one line say nothing of how wide the plan is. */
    *most = range > 0 ? FARTHEST * range : (double)INFINITY;
}

bool *aw_frame_near(const aw_plan *p, double metres, bool hidden, size_t *n_far)
{
    bool *near = calloc(p->n_pieces + 1, sizeof *near);
    double *values = calloc(p->n_at + 1, sizeof *values);
    double middle[2] = {0, 0}, most[2] = {INFINITY, INFINITY};
    *n_far = 0;
    for (int axis = 0; near != NULL && values != NULL && axis < 2; axis++) {
        size_t n = 0;
        for (size_t i = 0; i < p->n_pieces; i++)
            for (size_t k = 0; (hidden || !p->pieces[i].hidden) && k < p->pieces[i].n; k++) {
                const aw_point at = p->at[p->pieces[i].first + k];
                values[n++] = axis ? at.y : at.x;
            }
        if (n > 0)
            find_middle(values, n, &middle[axis], &most[axis]);
    }
    /* The wider axis speaks for both: a row of halls is long. */
    const double reach =
        fmax(fmax(isfinite(most[0]) ? most[0] : 0, isfinite(most[1]) ? most[1] : 0),
             NOT_ASTRAY / metres);
    for (size_t i = 0; near != NULL && values != NULL && i < p->n_pieces; i++) {
        if (p->pieces[i].hidden && !hidden)
            continue;
        near[i] = true;
        for (size_t k = 0; near[i] && k < p->pieces[i].n; k++) {
            const aw_point at = p->at[p->pieces[i].first + k];
            near[i] = fabs(at.x - middle[0]) <= reach && fabs(at.y - middle[1]) <= reach;
        }
        *n_far += !near[i];
    }
    if (values == NULL) {
        free(near);
        near = NULL;
    }
    free(values);
    return near;
}

#define BINS 900

/* In [0, 90) degrees. */
static double direction_of(const aw_stroke *l)
{
    const double d = fmod(atan2(l->b.y - l->a.y, l->b.x - l->a.x) * 180 / M_PI + 360, 90);
    return d >= 90 ? 0 : d;
}

static double length_of(const aw_stroke *l)
{
    return aw_length(l->b.x - l->a.x, l->b.y - l->a.y);
}

double aw_main_direction(const aw_strokes *lines, double *share)
{
    double bins[BINS] = {0}, all = 0, sum = 0, weight = 0;
    size_t best = 0;
    for (size_t i = 0; i < lines->n; i++) {
        const double length = length_of(&lines->list[i]);
        bins[(size_t)(direction_of(&lines->list[i]) * 10) % BINS] += length;
        all += length;
    }
    *share = 0;
    if (!(all > 0))
        return 0;
    for (size_t i = 0; i < BINS; i++) {
        const double three = bins[i] + bins[(i + 1) % BINS] + bins[(i + BINS - 1) % BINS];
        const double top = bins[best] + bins[(best + 1) % BINS] + bins[(best + BINS - 1) % BINS];
        if (three > top)
            best = i;
        *share = fmax(*share, three / all);
    }
    const double about = ((double)best + 0.5) / 10;
    for (size_t i = 0; i < lines->n; i++) {
        double off = direction_of(&lines->list[i]) - about;
        off -= off > 45 ? 90 : 0;
        off += off < -45 ? 90 : 0;
        if (fabs(off) <= 0.3) {
            sum += off * length_of(&lines->list[i]);
            weight += length_of(&lines->list[i]);
        }
    }
    const double direction = about + (weight > 0 ? sum / weight : 0);
    return direction > 45 ? direction - 90 : direction;
}
