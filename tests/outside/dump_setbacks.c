/* Writes the setbacks that points of a scenario's first zone's border ask for, as text for another
 * simulation to be held against: so many points, spread over the border, inside and outside in
 * turn, one line "SIDE X Y END DEPTH SHARE" for each, END one of right, wrong, blocked, nowhere. */
#include <stdio.h>
#include <stdlib.h>

#include "anchorwise.h"
#include "assess/pool.h"
#include "assess/probe.h"

static const char *const ends[] = {"right", "wrong", "blocked", "nowhere"};

static void write_probe(aw_prober *w, aw_border_point point, bool inside)
{
    aw_probe p = {.point = point, .inside = inside};
    aw_probe_seek(&p, w);
    if (p.end != AW_PROBE_NOWHERE)
        aw_probe_confirm(&p, w, AW_CONFIRMING);
    printf("%s %.17g %.17g %s %.17g %.17g\n", inside ? "inside" : "outside", point.at.x, point.at.y,
           ends[p.end], p.depth, p.share);
}

static int write_probes(const aw_scenario *s, size_t wanted)
{
    const aw_zone *zone = &s->zones[0];
    const size_t n = aw_border_count(&zone->outline, s->study.step),
                 draws = AW_CONFIRMING * (size_t)s->study.draws;
    aw_errors errors = {0};
    aw_grid grid;
    aw_border_point *points = malloc(n * sizeof *points);
    if (!aw_grid_lay(&grid, s, zone->tag, &errors) || points == NULL)
        return 1;
    aw_border_walk(&zone->outline, s->study.step, points);
    const aw_run run = {1, NULL, NULL};
    aw_prober w = {.run = &run,
                   .scenario = s,
                   .zone = zone,
                   .scene = aw_scene_create(s),
                   .grid = &grid,
                   .trials = aw_trials_create(s->n_anchors, s->study.draws, NULL),
                   .x = malloc(draws * sizeof(float)),
                   .y = malloc(draws * sizeof(float))};
    w.spot.links = calloc(s->n_anchors, sizeof *w.spot.links);
    for (size_t k = 0; k < wanted; k++)
        write_probe(&w, points[k * n / wanted], k % 2 == 0);
    return 0;
}

int main(int argc, char **argv)
{
    aw_scenario s;
    aw_errors errors = {0};
    if (argc != 3 || !aw_scenario_read(&s, argv[1], &errors) || s.n_zones == 0)
        return 1;
    return write_probes(&s, strtoul(argv[2], NULL, 10));
}
