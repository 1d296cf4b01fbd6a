/* The floor's outline: a closed line of a layer, what the walls enclose, or the hull. */
#include "plan/making.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/plane.h"

/* Gaps over this that had to be closed are warned of. */
#define WIDE_GAP 3.2

static bool take_ring(aw_making *m, const aw_ring *ring, const char *how)
{
    aw_point *copy = aw_arena_take_array(m->made->memory, ring->n, sizeof *copy);
    m->made->outline_is = aw_arena_copy_text(m->made->memory, how, strlen(how));
    if (copy == NULL || m->made->outline_is == NULL)
        return false;
    memcpy(copy, ring->at, ring->n * sizeof *copy);
    m->made->outline = copy;
    m->made->n_outline = ring->n;
    return true;
}

static double area_of(const aw_ring *ring)
{
    return fabs(aw_polygon_area(ring->at, ring->n));
}

/* The largest closed line of layers with that role; what its lines enclose if none is closed. */
static bool take_drawn(aw_making *m, const aw_source *s)
{
    aw_rings rings = {0};
    aw_strokes lines = {0};
    size_t small = 0, loose = 0, n, best = 0;
    char how[160];
    bool fine = true;
    for (size_t i = 0; fine && i < s->n; i++) {
        const aw_piece *piece = &m->plan->pieces[s->pieces[i]];
        const aw_point *at = piece->kind != AW_PIECE_TEXT ? aw_making_points(m, piece) : NULL;
        if (piece->kind == AW_PIECE_TEXT || piece->n < 2)
            continue;
        fine = at != NULL;
        const bool closed = fine && aw_making_is_closed(piece, at, &n);
        if (closed)
            fine = aw_rings_add(&rings, at, n, &small);
        for (size_t k = 0; fine && !closed && k + 1 < n; k++)
            fine = aw_strokes_add(&lines, at[k], at[k + 1], 0);
    }
    if (fine && rings.n == 0)
        fine = aw_rings_enclosed(&lines, &rings, &loose, &small);
    for (size_t i = 0; i < rings.n; i++)
        best = area_of(&rings.list[i]) > area_of(&rings.list[best]) ? i : best;
    snprintf(how, sizeof how, "layer %.100s", s->name);
    if (fine && rings.n > 0 &&
        (m->made->outline == NULL ||
         area_of(&rings.list[best]) > fabs(aw_polygon_area(m->made->outline, m->made->n_outline))))
        fine = take_ring(m, &rings.list[best], how);
    free(lines.list);
    aw_rings_free(&rings);
    return fine;
}

static bool take_walls(aw_making *m)
{
    aw_rings rings = {0};
    double gap = 0;
    bool is_hull = false;
    char how[160];
    aw_watch_stage(m->run->watch, 0, "outline of the floor");
    bool fine = aw_rings_add_outline(&rings, &m->walls, &gap, &is_hull);
    if (is_hull)
        snprintf(how, sizeof how, "hull of the walls");
    else
        snprintf(how, sizeof how, "inside the walls, gaps up to %g m closed", gap);
    if (fine && rings.n > 0)
        fine = take_ring(m, &rings.list[0], how);
    if (is_hull && m->walls.n > AW_OUTLINE_WALLS)
        aw_errors_add(&m->made->notes, AW_WARNING, 0, 0,
                      "over %d walls: the outline is their hull; give a layer the role outline",
                      AW_OUTLINE_WALLS);
    else if (is_hull)
        aw_errors_add(&m->made->notes, AW_WARNING, 0, 0,
                      "the walls enclose nothing: the outline is their hull; give a layer the role "
                      "outline");
    else if (gap > WIDE_GAP)
        aw_errors_add(&m->made->notes, AW_WARNING, 0, 0,
                      "gaps of up to %g m in the walls were closed for the outline: look at it, or "
                      "give a layer the role outline",
                      gap);
    aw_rings_free(&rings);
    return fine;
}

bool aw_make_outline(aw_making *m)
{
    bool fine = true;
    for (size_t i = 0; fine && i < m->n_sources; i++) {
        const aw_source *s = &m->sources[i];
        if (s->rule == NULL || s->rule->role != AW_ROLE_OUTLINE)
            continue;
        fine = take_drawn(m, s);
        if (!isnan(s->rule->ceiling)) {
            m->made->ceiling = s->rule->ceiling;
            m->made->ceiling_assumed = s->rule->assumed;
        }
    }
    return fine && (m->made->outline != NULL || m->walls.n == 0 || take_walls(m));
}
