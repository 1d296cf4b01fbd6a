/* Both equations rise with what is looked for, so both are solved by halving. */
#include <math.h>

#include <gsl/gsl_cdf.h>

#include "anchorwise/decisions.h"

#define HALVINGS 100
/* A zone wider by so much leaves any tag far from its border, m. */
#define PLENTY 50.0

static double share_wrong(const aw_task *t, double sigma)
{
    return gsl_cdf_ugaussian_Q(t->inside / sigma) +
           gsl_cdf_ugaussian_Q((t->width - t->inside) / sigma);
}

static double sigma_of(const aw_task *t)
{
    double low = 0, high = t->width;
    const double allowed = t->wrong / t->decisions;
    while (share_wrong(t, high) < allowed)
        high *= 2;
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;
        if (share_wrong(t, middle) <= allowed)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Radius within which 95 % of circular normal errors lie, over sigma. */
static double p95_of(double sigma)
{
    return sigma * sqrt(-2 * log(0.05));
}

static aw_task widened(const aw_task *t, double more)
{
    return (aw_task){t->width + more, t->inside + more / 2, t->decisions, t->wrong};
}

static double width_that_does(const aw_task *t)
{
    double low = 0, high = PLENTY;
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;
        const aw_task wider = widened(t, middle);
        if (p95_of(sigma_of(&wider)) < AW_REACHED_WORST)
            low = middle;
        else
            high = middle;
    }
    return t->width + high;
}

aw_task_need aw_task_asks(const aw_task *task)
{
    aw_task_need n = {.sigma = sigma_of(task), .width = (double)NAN};
    n.p95 = p95_of(n.sigma);
    n.reach = n.p95 >= AW_REACHED_WORST  ? AW_WITHIN_REACH
              : n.p95 >= AW_REACHED_BEST ? AW_ON_THE_EDGE
                                         : AW_OUT_OF_REACH;
    if (n.reach != AW_WITHIN_REACH)
        n.width = width_that_does(task);
    return n;
}
