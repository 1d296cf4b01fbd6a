#include "plan/marks.h"

#include <math.h>
#include <string.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "plan/grow.h"

/* From the site to the plan, m. */
static aw_point on_plan(const aw_plan_place *p, aw_point at)
{
    const double c = cos(p->turn * M_PI / 180), s = sin(p->turn * M_PI / 180);
    return (aw_point){p->east + c * at.x - s * at.y, p->north + s * at.x + c * at.y};
}

bool aw_marks_add(aw_marks *marks, const aw_mark *mark)
{
    aw_mark copy = *mark;
    aw_point *at = aw_arena_take_array(marks->memory, mark->n, sizeof *at);
    copy.layer = aw_arena_copy_text(marks->memory, mark->layer, strlen(mark->layer));
    if (at == NULL || copy.layer == NULL ||
        !aw_grow(&marks->list, marks->n, &marks->room, sizeof *marks->list))
        return false;
    for (size_t i = 0; i < mark->n; i++)
        at[i] = on_plan(marks->place, mark->at[i]);
    copy.at = at;
    marks->list[marks->n++] = copy;
    return true;
}

static aw_mark plain(aw_mark_kind kind, const char *layer, const char *name, const aw_point *at,
                     size_t n)
{
    const double none = (double)NAN;
    return (aw_mark){kind, layer, name, at, n, none, none, none, NULL};
}

static bool add_ring(aw_marks *m, const char *layer, const char *name, const aw_polygon *ring)
{
    const aw_mark mark = plain(AW_MARK_RING, layer, name, ring->at, ring->n);
    return aw_marks_add(m, &mark);
}

/* Both faces of every leg, as a draughtsman has them. */
static bool add_wall(aw_marks *m, const aw_wall *w, const char *material)
{
    bool fine = true;
    for (size_t k = 0; fine && k + 1 < w->n; k++)
        for (int side = -1; fine && side <= 1; side += 2) {
            const aw_point a = w->path[k], b = w->path[k + 1];
            const double length = aw_length(b.x - a.x, b.y - a.y),
                         h = side * w->thickness / 2 / length;
            const aw_point off = {-h * (b.y - a.y), h * (b.x - a.x)},
                           face[2] = {{a.x + off.x, a.y + off.y}, {b.x + off.x, b.y + off.y}};
            aw_mark mark = plain(AW_MARK_LINE, "AW-WALL", w->name, face, 2);
            mark.base = w->base;
            mark.top = w->top;
            mark.material = material;
            fine = aw_marks_add(m, &mark);
        }
    return fine;
}

static bool add_bodies(aw_marks *m, const aw_scenario *s)
{
    bool fine = add_ring(m, "AW-OUTLINE", NULL, &s->floor.outline);
    for (size_t i = 0; fine && i < s->n_levels; i++)
        fine = add_ring(m, "AW-LEVEL", s->levels[i].name, &s->levels[i].outline);
    for (size_t i = 0; fine && i < s->n_walls; i++)
        fine = add_wall(m, &s->walls[i], s->materials[s->walls[i].material].name);
    for (size_t i = 0, n = aw_named_obstacles(s); fine && i < n; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        aw_mark mark = plain(AW_MARK_RING, "AW-OBSTACLE", o->name, o->footprint.at, o->footprint.n);
        mark.base = o->base;
        mark.top = o->top;
        mark.material = s->materials[o->material].name;
        fine = aw_marks_add(m, &mark);
    }
    return fine;
}

static bool add_places(aw_marks *m, const aw_scenario *s)
{
    const aw_candidate_rules *c = &s->candidates;
    bool fine = true;
    for (size_t i = 0; fine && i < s->n_zones; i++)
        fine = add_ring(m, "AW-ZONE", s->zones[i].name, &s->zones[i].outline);
    for (size_t i = 0; fine && i < c->n_lines; i++) {
        aw_mark mark =
            plain(AW_MARK_LINE, "AW-CANDIDATE", c->lines[i].name, c->lines[i].path, c->lines[i].n);
        mark.base = c->lines[i].low;
        mark.top = c->lines[i].high;
        fine = aw_marks_add(m, &mark);
    }
    for (size_t i = 0; fine && i < c->n_points; i++) {
        const aw_point at = {c->points[i].at[0], c->points[i].at[1]};
        aw_mark mark = plain(AW_MARK_ANCHOR, "AW-CANDIDATE", c->points[i].name, &at, 1);
        mark.height = c->points[i].at[2];
        fine = aw_marks_add(m, &mark);
    }
    for (size_t i = 0; fine && i < c->n_forbidden; i++)
        fine = add_ring(m, "AW-FORBIDDEN", c->forbidden[i].name, &c->forbidden[i].outline);
    return fine;
}

/* Cables run along x, then along y, as the bill counts them. */
static bool add_anchors(aw_marks *m, const aw_scenario *s)
{
    const double *cabinet = s->prices.cabinet;
    bool fine = true;
    for (size_t i = 0; fine && i < s->n_anchors; i++) {
        const double *a = s->anchors[i].at;
        const aw_point at = {a[0], a[1]},
                       run[3] = {{cabinet[0], cabinet[1]}, {a[0], cabinet[1]}, at};
        aw_mark mark = plain(AW_MARK_ANCHOR, "AW-ANCHOR", s->anchors[i].name, &at, 1),
                cable = plain(AW_MARK_LINE, "AW-CABLE", s->anchors[i].name, run, 3);
        mark.height = a[2];
        fine = aw_marks_add(m, &mark) &&
               (s->prices.currency == NULL || isnan(cabinet[0]) || aw_marks_add(m, &cable));
    }
    return fine;
}

bool aw_marks_create(aw_marks *marks, const aw_scenario *scenario)
{
    *marks = (aw_marks){.place = &scenario->plan, .memory = aw_arena_create()};
    return marks->memory != NULL && add_bodies(marks, scenario) && add_places(marks, scenario) &&
           add_anchors(marks, scenario);
}

void aw_marks_free(aw_marks *marks)
{
    free(marks->list);
    aw_arena_free(marks->memory);
    *marks = (aw_marks){0};
}
