/* Layouts can be compared where floors, levels and zones have the same outlines: then there are the
 * same cells to compare. Whatever else differs is told (mismatch.h). */
#include "assess/compare_check.h"

#include <math.h>
#include <string.h>

#include "anchorwise/compare.h"

bool aw_same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

bool aw_same_polygon(const aw_polygon *a, const aw_polygon *b)
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

bool aw_same_material(const aw_material *m, const aw_material *n)
{
    return m->loss_db == n->loss_db && m->delay == n->delay && m->kind == n->kind &&
           m->opaque == n->opaque && same_dielectric(&m->dielectric, &n->dielectric) &&
           m->added_db == n->added_db && m->added_delay == n->added_delay && same_leaves(m, n);
}

static bool same_levels(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_levels == b->n_levels;
    for (size_t i = 0; same && i < a->n_levels; i++)
        same = aw_same_polygon(&a->levels[i].outline, &b->levels[i].outline) &&
               a->levels[i].height == b->levels[i].height;
    return same;
}

static bool same_zones(const aw_scenario *a, const aw_scenario *b)
{
    bool same = a->n_zones == b->n_zones;
    for (size_t i = 0; same && i < a->n_zones; i++)
        same = strcmp(a->zones[i].name, b->zones[i].name) == 0 &&
               aw_same_polygon(&a->zones[i].outline, &b->zones[i].outline);
    return same;
}

bool aw_same_floor(const aw_scenario *a, const aw_scenario *b, aw_errors *errors)
{
    const char *other = NULL;
    if (!aw_same_polygon(&a->floor.outline, &b->floor.outline))
        other = "outlines";
    else if (!same_levels(a, b))
        other = "levels";
    else if (!same_zones(a, b))
        other = "zones";
    if (other != NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "only layouts of one floor can be compared; these have different %s", other);
    return other == NULL;
}
