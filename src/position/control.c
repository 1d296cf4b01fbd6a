/* The corrections, and the tests whether they pay. */
#include "position/control.h"

#include <math.h>
#include <stdlib.h>

#include "position/kernel.h"

#define RESAMPLES 256

bool aw_control_is_normal(const aw_link links[], size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const aw_link *k = &links[i];
        const bool tails = k->tail_share > 0 && k->tail_share < 1 && k->tail != k->spot;
        if (k->n_outcomes > 0 && (k->fade_sigma > 0 || k->scatters || tails))
            return false;
    }
    return true;
}

/* A root that the draws met, or one that they failed at, is not in the law of l. */
static bool follows(const aw_draws *d)
{
    return d->linear != NULL && d->n > 0 && d->n_failed == 0 && d->n_ambiguous == 0;
}

double aw_control_rms(const aw_draws *d, double plain, const aw_expected *law)
{
    const double known =
        law->xx + law->yy + law->bias[0] * law->bias[0] + law->bias[1] * law->bias[1];
    double e = 0, ee = 0, less = 0, less2 = 0;
    if (!follows(d) || law->status != AW_BOUND_OK)
        return plain;
    for (size_t i = 0; i < d->n; i++) {
        const double square = (double)d->radius[i] * (double)d->radius[i];
        const double gap = square - (double)d->linear[i] * (double)d->linear[i];
        e += square;
        ee += square * square;
        less += gap;
        less2 += gap * gap;
    }
    const double n = (double)d->n, square = known + less / n;
    const bool pays = less2 - less * less / n < ee - e * e / n;
    return pays && square > 0 ? sqrt(square) : plain;
}

static size_t rank_of(const aw_draws *d, double q)
{
    const double rank = ceil(q * (double)d->n - 1e-9);
    return rank < 1 ? 1 : (size_t)rank;
}

double aw_control_shift(const aw_draws *d, double q)
{
    size_t apart = 0;
    if (!follows(d))
        return (double)NAN;
    const size_t rank = rank_of(d, q);
    const double e = aw_rank_value(d->radius, d->n, rank), l = aw_rank_value(d->linear, d->n, rank);
    for (size_t i = 0; i < d->n; i++)
        apart += ((double)d->radius[i] > e) != ((double)d->linear[i] > l);
    return (double)apart < q * (1 - q) * (double)d->n ? e - l : (double)NAN;
}

/* --- resampling --- */

typedef struct ranked {
    float value;
    uint32_t draw;
} ranked;

static int compare(const void *a, const void *b)
{
    const ranked *x = a, *y = b;
    return x->value != y->value ? (x->value > y->value) - (x->value < y->value)
                                : (x->draw > y->draw) - (x->draw < y->draw);
}

static void sort_draws(ranked list[], const float value[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        list[i] = (ranked){value[i], (uint32_t)i};
    qsort(list, n, sizeof *list, compare);
}

/* The value of a rank when draw i counts `times[i]` times. */
static float value_at(const ranked list[], const unsigned times[], size_t rank)
{
    size_t i = 0;
    for (size_t below = times[list[0].draw]; below < rank; below += times[list[i].draw])
        i++;
    return list[i].value;
}

double aw_control_error(const aw_draws *d, double q)
{
    ranked e[AW_FEW_DRAWS], l[AW_FEW_DRAWS];
    uint32_t word[AW_FEW_DRAWS + AW_CHUNK];
    double sum = 0, squares = 0;
    if (!follows(d))
        return (double)NAN;
    const size_t rank = rank_of(d, q), padded = (d->n + AW_CHUNK - 1) / AW_CHUNK * AW_CHUNK;
    sort_draws(e, d->radius, d->n);
    sort_draws(l, d->linear, d->n);
    for (uint32_t r = 0; r < RESAMPLES; r++) {
        const aw_stream stream = {RESAMPLES, r, 0, 0};
        unsigned times[AW_FEW_DRAWS] = {0};
        aw_kernel_best()->words(&stream, 0, padded, word);
        for (size_t i = 0; i < d->n; i++)
            times[(uint64_t)word[i] * d->n >> 32]++;
        const double shift = (double)value_at(e, times, rank) - (double)value_at(l, times, rank);
        sum += shift;
        squares += shift * shift;
    }
    return sqrt(fmax(0, (squares - sum * sum / RESAMPLES) / (RESAMPLES - 1)));
}
