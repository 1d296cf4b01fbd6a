/* One zone after the other: where its tags are reported, then its border. */
#include "anchorwise/decisions.h"

#include <math.h>
#include <stdlib.h>

#include "assess/reports.h"
#include "assess/setback.h"

static size_t zone_work(const aw_scenario *s, const aw_zone *zone)
{
    aw_errors errors = {0};
    aw_grid grid;
    size_t work = 0;
    if (aw_reports_lay(&grid, s, zone, &errors)) {
        work = grid.n * s->study.draws + aw_setback_work(s, zone);
        aw_grid_free(&grid);
    }
    aw_errors_free(&errors);
    return work;
}

size_t aw_decisions_work(const aw_scenario *s)
{
    size_t work = 0;
    for (size_t i = 0; i < s->n_zones; i++)
        work += zone_work(s, &s->zones[i]);
    return work;
}

static bool run_zone(aw_zone_decisions *d, const aw_scene *scene, const aw_scenario *s,
                     const aw_zone *zone, const aw_run *run)
{
    const aw_reports_plan plan = {s, scene, zone, s->zones, s->n_zones, true};
    aw_reports r;
    const bool done = aw_reports_run(&r, &plan, run);
    for (size_t i = 0; done && i < s->n_zones; i++)
        d->reported[i] = aw_reports_share(&r, i, s);
    if (done) {
        d->elsewhere = aw_reports_share(&r, s->n_zones, s);
        d->no_fix = aw_reports_share(&r, s->n_zones + 1, s);
        d->right_share = r.places > 0 ? (double)r.right / (double)r.places : (double)NAN;
    }
    aw_reports_free(&r);
    return done && aw_setback_run(d, scene, s, zone, run);
}

bool aw_decisions_run(aw_decisions *d, const aw_scenario *s, const aw_run *run)
{
    const size_t n = s->n_zones;
    *d = (aw_decisions){calloc(n + 1, sizeof *d->zones), calloc(n * n + 1, sizeof *d->shares)};
    aw_scene *scene = aw_scene_create(s);
    bool done = d->zones != NULL && d->shares != NULL && scene != NULL;
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu zones", n);
    for (size_t i = 0; done && i < n; i++) {
        d->zones[i].reported = d->shares + i * n;
        if (aw_watch_shows(run->watch))
            aw_watch_stage(run->watch, zone_work(s, &s->zones[i]),
                           "zone %zu of %zu and its border, %s", i + 1, n, s->zones[i].name);
        done = run_zone(&d->zones[i], scene, s, &s->zones[i], run);
    }
    aw_scene_free(scene);
    return done;
}

aw_setback_reason aw_setback_why(const aw_setback *b, bool inside)
{
    const double most = 1 - AW_RIGHT + 1e-9, wrong = inside ? 1 - b->share - b->no_fix : b->share;
    if (isnan(b->at[0]))
        return b->cramped > 0 ? AW_SETBACK_NO_ROOM : AW_SETBACK_NO_TAG;
    if (!isnan(b->depth))
        return AW_SETBACK_FOUND;
    if (!inside || b->no_fix <= most)
        return wrong > most || !inside ? AW_SETBACK_NARROW : AW_SETBACK_NARROW_AND_NO_FIX;
    return wrong > most ? AW_SETBACK_NARROW_AND_NO_FIX : AW_SETBACK_NO_FIX;
}

void aw_decisions_free(aw_decisions *d)
{
    free(d->zones);
    free(d->shares);
    *d = (aw_decisions){0};
}
