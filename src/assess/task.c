/* Both equations rise with what is looked for, so both are solved by halving. */
#include <math.h>

#include <gsl/gsl_cdf.h>

#include "anchorwise/decisions.h"
#include "anchorwise/site_law.h"

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

void aw_measured_p95(double ends[2])
{
    ends[0] = ends[1] = aw_measured_sets[0].p95;
    for (size_t i = 1; i < aw_measured_sets_n; i++) {
        ends[0] = fmin(ends[0], aw_measured_sets[i].p95);
        ends[1] = fmax(ends[1], aw_measured_sets[i].p95);
    }
}

static size_t count_reached(double p95)
{
    size_t n = 0;
    for (size_t i = 0; i < aw_measured_sets_n; i++)
        n += aw_measured_sets[i].p95 <= p95;
    return n;
}

static double width_that_does(const aw_task *t)
{
    double low = 0, high = PLENTY, measured[2];
    aw_measured_p95(measured);
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;
        const aw_task wider = widened(t, middle);
        if (p95_of(sigma_of(&wider)) < measured[1])
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
    n.reached = count_reached(n.p95);
    n.reach = n.reached == aw_measured_sets_n ? AW_REACHED_BY_ALL
              : n.reached > 0                 ? AW_REACHED_BY_SOME
                                              : AW_REACHED_BY_NONE;
    if (n.reach != AW_REACHED_BY_ALL)
        n.width = width_that_does(task);
    return n;
}
