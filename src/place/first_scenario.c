/* Layouts are tried as the text that would be written, read again, so that what is estimated is
 * what the engineer gets. */
#include "anchorwise/first_scenario.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/map.h"
#include "assess/instant.h"
#include "place/first_layout.h"

/* The widest spacing, m, and from one layout to the next. */
#define WIDEST 30.0
#define CLOSER 0.9
/* Anchors that every spot hears: one more than it takes for one fix only. */
#define LEAST_HEARD 5
/* Linear estimates come out low where errors have tails, and zones are never bare. */
#define WELL_WITHIN 0.85
/* Cells of an estimate. */
#define LOOK_CELLS 2000.0

typedef struct figures {
    size_t heard; /* by the spot that hears least */
    double p95;   /* of the work area, m */
} figures;

typedef struct search {
    const aw_hall *hall;
    aw_first_layout layout, chosen;
    aw_first_best best;
    bool settled; /* `chosen` is well within the need, or there is none */
} search;

static bool check_length(const char *name, double value, double most, const aw_hall *h,
                         aw_errors *errors)
{
    const double metre = aw_unit_metres(h->units);
    if (value * metre >= AW_HALL_LEAST && value * metre <= most)
        return true;
    aw_errors_add(errors, AW_ERROR, 0, 0, "%s %.13g is outside [%.4g, %.4g] %s", name, value,
                  AW_HALL_LEAST / metre, most / metre, aw_unit_name(h->units));
    return false;
}

bool aw_hall_check(const aw_hall *h, aw_errors *errors)
{
    bool sound = check_length("length", h->length, AW_HALL_MOST_SIDE, h, errors);
    sound = check_length("width", h->width, AW_HALL_MOST_SIDE, h, errors) && sound;
    sound = check_length("height", h->height, AW_HALL_MOST_HEIGHT, h, errors) && sound;
    if (isnan(h->need) || (h->need > 0 && h->need <= AW_HALL_MOST_NEED))
        return sound;
    aw_errors_add(errors, AW_ERROR, 0, 0, "need %.13g is outside (0, %.13g] %s", h->need,
                  AW_HALL_MOST_NEED, aw_unit_name(h->units));
    return false;
}

static size_t least_heard(const aw_map *map)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < map->grid.n; i++)
        least = fmin(least, map->value[AW_LAYER_USED * map->grid.n + i]);
    return (size_t)least;
}

/* The p95 of a map's cells. */
static bool estimate_p95(const aw_scenario *s, const aw_map *map, double *p95, aw_errors *errors)
{
    const aw_loss none = {0};
    aw_scene *scene = aw_scene_create(s);
    aw_error_laws laws = {0};
    const aw_instant_plan plan = {
        .scenario = s, .scene = scene, .grid = &map->grid, .losses = &none, .n_losses = 1};
    bool done = scene != NULL && aw_error_laws_create(&laws, map->grid.n, aw_states_of(s));
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an estimate");
    done = done && aw_instant_run(&laws, &plan, 0, 1, &(aw_run){1, NULL, errors});
    if (done)
        *p95 = aw_error_laws_percentile(&laws, 0.95, 0);
    aw_error_laws_free(&laws);
    aw_scene_free(scene);
    return done;
}

static bool look_at(const aw_scenario *s, figures *f, aw_errors *errors)
{
    const aw_map_plan plan = {.scenario = s, .groups = 1};
    aw_grid grid;
    aw_map map = {0};
    const bool done = aw_grid_lay_zone(&grid, s, &s->zones[0], errors) &&
                      aw_map_bound(&map, &grid, &plan, &(aw_run){1, NULL, errors}) &&
                      estimate_p95(s, &map, &f->p95, errors);
    if (done)
        f->heard = least_heard(&map);
    aw_map_free(&map);
    return done;
}

/* By few cells: the work area is bare, and figures change slowly over it. */
static bool estimate(const aw_hall *hall, const aw_first_layout *l, figures *f, aw_errors *errors)
{
    aw_text text = {0};
    aw_scenario s = {0};
    aw_first_text_add(&text, hall, l, (aw_first_best){0});
    if (text.failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for a first scenario");
    bool done = !text.failed && aw_scenario_parse(&s, text.at, text.n, errors);
    if (done) {
        s.study.step = fmax(s.study.step, sqrt(l->length * l->width / LOOK_CELLS));
        done = look_at(&s, f, errors);
    }
    aw_scenario_free(&s);
    aw_text_free(&text);
    return done;
}

/* Takes the layout if it is the first in which all spots hear enough, or the best so far and within
 * the need. */
static void weigh(search *w, const figures *f)
{
    const double need = w->hall->need * aw_unit_metres(w->hall->units);
    const bool first = w->best.anchors == 0, better = first || f->p95 < w->best.p95;
    if (f->heard < LEAST_HEARD && f->heard < w->layout.n)
        return;
    w->settled = isnan(need) || f->p95 <= WELL_WITHIN * need;
    if (better)
        w->best = (aw_first_best){w->layout.n, f->p95};
    if (first || (better && f->p95 <= need))
        w->chosen = w->layout;
}

static bool try_layouts(search *w, aw_errors *errors)
{
    const double closest = aw_first_closest(w->hall);
    size_t nx = 0, ny = 0;
    for (double spacing = WIDEST; !w->settled && spacing >= closest; spacing *= CLOSER) {
        figures f;
        if (!aw_first_layout_lay(&w->layout, w->hall, spacing))
            break;
        if (w->layout.nx == nx && w->layout.ny == ny)
            continue;
        nx = w->layout.nx;
        ny = w->layout.ny;
        if (!estimate(w->hall, &w->layout, &f, errors))
            return false;
        weigh(w, &f);
    }
    return true;
}

bool aw_first_scenario_write(const aw_hall *hall, aw_text *out, aw_errors *errors)
{
    search *w = calloc(1, sizeof *w);
    if (w == NULL) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for a first layout");
        return false;
    }
    w->hall = hall;
    const bool done = try_layouts(w, errors);
    if (done)
        aw_first_text_add(out, hall, &w->chosen, w->settled ? (aw_first_best){0} : w->best);
    free(w);
    return done;
}
