/* One zone after the other: where its tags are reported, then its border. */
#include "anchorwise/decisions.h"

#include <math.h>
#include <stdlib.h>

#include "study/reports.h"
#include "study/setback.h"

size_t aw_decisions_work(const aw_scenario *s)
{
    aw_errors errors = {0};
    size_t work = 0;
    for (size_t i = 0; i < s->n_zones; i++) {
        aw_grid grid;
        if (!aw_reports_lay(&grid, s, &s->zones[i], &errors))
            continue;
        work += grid.n * s->study.draws + aw_setback_work(s, &s->zones[i]);
        aw_grid_free(&grid);
    }
    aw_errors_free(&errors);
    return work;
}

static bool run_zone(aw_zone_decisions *d, const aw_scenario *s, const aw_zone *zone,
                     unsigned threads, aw_watch *watch, aw_errors *errors)
{
    const aw_reports_plan plan = {s, zone, s->zones, s->n_zones, true, threads, watch};
    aw_reports r;
    const bool done = aw_reports_run(&r, &plan, errors);
    for (size_t i = 0; done && i < s->n_zones; i++)
        d->reported[i] = aw_reports_share(&r, i, s);
    if (done) {
        d->elsewhere = aw_reports_share(&r, s->n_zones, s);
        d->no_fix = aw_reports_share(&r, s->n_zones + 1, s);
        d->right_share = r.places > 0 ? (double)r.right / (double)r.places : (double)NAN;
    }
    aw_reports_free(&r);
    return done && aw_setback_run(d, s, zone, threads, watch, errors);
}

bool aw_decisions_run(aw_decisions *d, const aw_scenario *s, unsigned threads, aw_watch *watch,
                      aw_errors *errors)
{
    const size_t n = s->n_zones;
    *d = (aw_decisions){calloc(n + 1, sizeof *d->zones), calloc(n * n + 1, sizeof *d->shares)};
    if (d->zones == NULL || d->shares == NULL) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for %zu zones", n);
        return false;
    }
    for (size_t i = 0; i < n; i++) {
        d->zones[i].reported = d->shares + i * n;
        if (!run_zone(&d->zones[i], s, &s->zones[i], threads, watch, errors))
            return false;
    }
    return true;
}

void aw_decisions_free(aw_decisions *d)
{
    free(d->zones);
    free(d->shares);
    *d = (aw_decisions){0};
}
