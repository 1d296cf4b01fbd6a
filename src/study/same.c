/* Layouts can be compared where all but the layout is the same. */
#include "anchorwise/compare.h"

#include <math.h>
#include <string.h>

#include "anchorwise/assess.h"

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_polygon(const aw_polygon *a, const aw_polygon *b)
{
    return a->n == b->n && memcmp(a->at, b->at, a->n * sizeof *a->at) == 0;
}

static bool same_dielectric(const aw_dielectric *a, const aw_dielectric *b)
{
    return a->a == b->a && a->b == b->b && a->c == b->c && a->d == b->d;
}

static bool same_leaves(const aw_material *m, const aw_material *n)
{
    bool same = m->n_leaves == n->n_leaves;
    for (size_t i = 0; same && i < m->n_leaves; i++)
        same = m->leaves[i].thickness == n->leaves[i].thickness &&
               same_dielectric(&m->leaves[i].dielectric, &n->leaves[i].dielectric);
    return same;
}

static bool same_material(const aw_scenario *a, size_t i, const aw_scenario *b, size_t j)
{
    const aw_material *m = &a->materials[i], *n = &b->materials[j];
    return m->loss_db == n->loss_db && m->delay == n->delay && m->kind == n->kind &&
           m->opaque == n->opaque && same_dielectric(&m->dielectric, &n->dielectric) &&
           m->added_db == n->added_db && m->added_delay == n->added_delay && same_leaves(m, n);
}

static bool same_floors(const aw_scenario *a, const aw_scenario *b)
{
    return same_material(a, a->floor.material, b, b->floor.material) &&
           same_material(a, a->floor.ceiling_material, b, b->floor.ceiling_material);
}

static bool same_levels(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_levels == b->n_levels;
    for (size_t i = 0; same && i < a->n_levels; i++)
        same = same_polygon(&a->levels[i].outline, &b->levels[i].outline) &&
               a->levels[i].height == b->levels[i].height;
    return same;
}

static bool same_obstacles(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_obstacles == b->n_obstacles;
    for (size_t i = 0; same && i < a->n_obstacles; i++) {
        const aw_obstacle *o = &a->obstacles[i], *p = &b->obstacles[i];
        same = same_polygon(&o->footprint, &p->footprint) && o->base == p->base &&
               o->top == p->top && o->shell == p->shell &&
               same_material(a, o->material, b, p->material);
    }
    return same;
}

static bool same_walls(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_walls == b->n_walls;
    for (size_t i = 0; same && i < a->n_walls; i++) {
        const aw_wall *w = &a->walls[i], *v = &b->walls[i];
        same = w->n == v->n && memcmp(w->path, v->path, w->n * sizeof *w->path) == 0 &&
               w->thickness == v->thickness && w->slab == v->slab && w->base == v->base &&
               w->top == v->top && same_material(a, w->material, b, v->material);
    }
    return same;
}

static bool same_tags(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_tags == b->n_tags;
    for (size_t i = 0; same && i < a->n_tags; i++)
        same = strcmp(a->tags[i].name, b->tags[i].name) == 0 &&
               a->tags[i].height == b->tags[i].height && a->tags[i].fix == b->tags[i].fix &&
               a->tags[i].height_sigma == b->tags[i].height_sigma;
    return same;
}

static bool same_need(const aw_need *a, const aw_need *b)
{
    bool same = true;
    for (int part = 0; same && part < AW_PARTS; part++)
        same = same_number(aw_need_asks(a, (aw_part)part), aw_need_asks(b, (aw_part)part));
    return same;
}

static bool same_zones(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_zones == b->n_zones;
    for (size_t i = 0; same && i < a->n_zones; i++) {
        const aw_zone *y = &a->zones[i], *z = &b->zones[i];
        same = strcmp(y->name, z->name) == 0 && same_polygon(&y->outline, &z->outline) &&
               y->tag == z->tag && same_need(&y->need, &z->need);
    }
    return same;
}

static bool same_mounts_and_items(const aw_prices *p, const aw_prices *q)
{
    bool same = p->n_mounts == q->n_mounts && p->n_items == q->n_items;
    for (size_t i = 0; same && i < p->n_mounts; i++)
        same = p->mounts[i].up_to == q->mounts[i].up_to &&
               p->mounts[i].price == q->mounts[i].price &&
               p->mounts[i].lift_hours == q->mounts[i].lift_hours;
    for (size_t i = 0; same && i < p->n_items; i++)
        same = p->items[i].price == q->items[i].price && p->items[i].each == q->items[i].each;
    return same;
}

static bool same_prices(const aw_scenario *a, const aw_scenario *b)
{
    const aw_prices *p = &a->prices, *q = &b->prices;
    if (p->currency == NULL || q->currency == NULL)
        return p->currency == q->currency;
    bool same = strcmp(p->currency, q->currency) == 0 && p->anchor == q->anchor &&
                p->port == q->port && p->cable == q->cable && p->lift_hour == q->lift_hour;
    for (int k = 0; same && k < 3; k++)
        same = same_number(p->cabinet[k], q->cabinet[k]);
    return same && same_mounts_and_items(p, q);
}

bool aw_same_floor(const aw_scenario *a, const aw_scenario *b, aw_errors *errors)
{
    const char *other = NULL;
    if (!same_polygon(&a->floor.outline, &b->floor.outline))
        other = "outlines";
    else if (a->floor.ceiling != b->floor.ceiling)
        other = "ceilings";
    else if (!same_floors(a, b))
        other = "materials of floor or ceiling";
    else if (!same_levels(a, b))
        other = "levels";
    else if (!same_obstacles(a, b))
        other = "obstacles";
    else if (!same_walls(a, b))
        other = "walls";
    else if (!same_tags(a, b))
        other = "tags";
    else if (!same_zones(a, b))
        other = "zones";
    else if (!same_prices(a, b))
        other = "prices";
    else if (a->study.step != b->study.step || a->study.draws != b->study.draws ||
             a->study.seed != b->study.seed)
        other = "steps, draws or seeds";
    if (other != NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "only layouts of one floor can be compared; these have different %s", other);
    return other == NULL;
}
