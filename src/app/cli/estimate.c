/* What can be said on a terminal within a second or two, while the rest is drawn: every zone by few
 * draws of some of its cells. */
#include "app/cli/cli.h"

#include <math.h>
#include <time.h>

#include "assess/zone_assess.h"
#include "report/lengths.h"
#include "report/verdict.h"

/* Draws and cells of a zone; zones that have a line; after so long no more are begun, s. */
#define DRAWS    64
#define CELLS    500
#define MOST     8
#define PATIENCE 1.0

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static aw_zone whole_floor(const aw_scenario *s)
{
    const double none = (double)NAN;
    return (aw_zone){.name = "floor",
                     .outline = s->floor.outline,
                     .need = {none, none, none, none, none, none, none, none, none}};
}

/* Reports of the zone itself take draws of their own: they are left out. */
static bool look_at(aw_zone_result *r, const aw_scenario *s, aw_zone zone, unsigned threads)
{
    aw_errors errors = {0};
    aw_map map = {0};
    const aw_zone_plan plan = {.scenario = s,
                               .zone = &zone,
                               .judging = AW_JUDGE_PARTS,
                               .without_odds = true,
                               .most_cells = CELLS,
                               .beside = true};
    zone.need.zone_share = (double)NAN;
    const bool done = aw_assess_zone_run(r, &map, &plan, &(aw_run){threads, NULL, &errors});
    aw_map_free(&map);
    aw_errors_free(&errors);
    return done;
}

static void add_line(aw_text *text, const aw_scenario *s, const aw_zone *z, const aw_zone_result *r)
{
    const bool none = isnan(r->errors.p95);
    aw_text_format(text, "  %s: %s%s", z->name, none ? "no p95" : "p95 about ",
                   none ? "" : aw_error_words(r->errors.p95, s->units).text);
    if (r->verdict != AW_NO_NEED)
        aw_text_format(text, ", as it looks %s", aw_verdict_word(r->verdict));
    aw_text_add(text, "\n");
}

void cli_estimate(const aw_scenario *scenario, unsigned threads, aw_watch *watch)
{
    const double began = now();
    const aw_zone floor = whole_floor(scenario);
    const size_t n = scenario->n_zones > 0 ? scenario->n_zones : 1;
    aw_scenario few = *scenario;
    aw_text text = {0};
    size_t told = 0;
    if (watch->bar == NULL || scenario->study.draws <= DRAWS)
        return;
    few.study.draws = DRAWS;
    few.study.precision = (double)NAN;
    aw_text_format(&text, "first estimate, by %d draws of some cells:\n", DRAWS);
    for (; told < n && told < MOST && now() - began < PATIENCE; told++) {
        const aw_zone *z = scenario->n_zones > 0 ? &scenario->zones[told] : &floor;
        aw_zone_result r;
        if (!look_at(&r, &few, *z, threads))
            break;
        add_line(&text, scenario, z, &r);
    }
    if (told < n)
        aw_text_format(&text, "  and %zu more\n", n - told);
    if (!text.failed && told > 0)
        aw_watch_note(watch, text.at);
    aw_text_free(&text);
}
