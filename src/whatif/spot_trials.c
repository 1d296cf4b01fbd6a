/* One way to read the p95 of a spot. */
#include "whatif/spot_trials.h"

#include <math.h>
#include <stdlib.h>

#include "position/control.h"

aw_estimate aw_spot_trials_p95(const aw_trials *trials, const aw_draws *draws,
                               const aw_trials_case *c)
{
    const double shift =
        aw_control_is_normal(c->links, c->n_links) ? aw_control_shift(draws, 0.95) : (double)NAN;
    const aw_error_law law = aw_bound_error_law(c->bound, c->height_sigma);
    const double p95 = isnan(shift) ? 0 : aw_error_law_percentile(&law, 0.95) + shift;
    double ends[2];
    if (p95 > 0) {
        const double off = 1.96 * aw_control_error(draws, 0.95);
        return (aw_estimate){p95, fmax(0, p95 - off), p95 + off};
    }
    aw_trials_interval(trials, 0.95, false, ends);
    return (aw_estimate){aw_trials_percentile(trials, 0.95, false), ends[0], ends[1]};
}

typedef struct room {
    size_t n_links, draws;
} room;

static bool create_worker(void *worker_of, const void *room_of)
{
    aw_trial_worker *w = worker_of;
    const room *r = room_of;
    w->links = calloc(r->n_links, sizeof(aw_link));
    w->trials = aw_trials_create(r->n_links, r->draws, NULL);
    return w->links != NULL && w->trials != NULL;
}

static void release_worker(void *worker_of)
{
    aw_trial_worker *w = worker_of;
    free(w->links);
    aw_trials_free(w->trials);
}

bool aw_trial_workers_create(aw_workers *workers, const aw_run *run, size_t n_links, size_t draws)
{
    static const aw_worker_kind kind = {sizeof(aw_trial_worker), create_worker, release_worker};
    const room r = {n_links, draws};
    return aw_workers_create(workers, run, &kind, &r);
}
