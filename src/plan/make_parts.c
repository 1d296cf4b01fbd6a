/* What each role makes of a source. */
#include "plan/making.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/plane.h"
#include "plan/grow.h"

#define NAMED_WITHIN 1.0 /* m from an anchor to the text that names it */

/* A piece's lines on the site, straight and curved. */
static bool trace_piece(aw_making *m, size_t index, aw_strokes *lines, aw_bends *bends)
{
    const aw_piece *piece = &m->plan->pieces[index];
    const aw_point *at = aw_making_points(m, piece);
    size_t n;
    if (at == NULL)
        return false;
    if (piece->n < 2)
        return true;
    const bool closed = aw_making_is_closed(piece, at, &n);
    return aw_trace(at, n, closed, lines, bends);
}

static bool trace_source(aw_making *m, const aw_source *s, aw_strokes *lines, aw_bends *bends)
{
    bool fine = true;
    for (size_t i = 0; fine && i < s->n; i++)
        fine = m->plan->pieces[s->pieces[i]].kind == AW_PIECE_TEXT ||
               trace_piece(m, s->pieces[i], lines, bends);
    return fine;
}

/* --- walls --- */

static aw_point turned(aw_point p, double degrees)
{
    const double c = cos(degrees * M_PI / 180), s = sin(degrees * M_PI / 180);
    return (aw_point){c * p.x - s * p.y, s * p.x + c * p.y};
}

static void turn_strokes(aw_strokes *strokes, size_t first, double degrees)
{
    for (size_t i = first; i < strokes->n; i++) {
        strokes->list[i].a = turned(strokes->list[i].a, degrees);
        strokes->list[i].b = turned(strokes->list[i].b, degrees);
    }
}

static bool add_wall(aw_making *m, const aw_source *s, const aw_point at[], size_t n,
                     double thickness)
{
    aw_made_item *wall = aw_making_add(m, s, NULL, at, n);
    if (wall != NULL)
        wall->thickness = thickness;
    return wall != NULL;
}

static bool add_walls(aw_making *m, const aw_source *s, size_t first, const aw_bends *bends)
{
    bool fine = true;
    for (size_t i = first; fine && i < m->walls.n; i++) {
        const aw_stroke *w = &m->walls.list[i];
        fine = add_wall(m, s, (const aw_point[2]){w->a, w->b}, 2, w->thickness);
    }
    for (size_t i = 0; fine && i < bends->n; i++) {
        size_t n = 0;
        aw_point *at = aw_bend_corners(&bends->list[i], &n);
        fine = at != NULL && add_wall(m, s, at, n, bends->list[i].thickness);
        for (size_t k = 0; fine && k + 1 < n; k++)
            fine = aw_strokes_add(&m->walls, at[k], at[k + 1], bends->list[i].thickness);
        free(at);
    }
    return fine;
}

bool aw_make_walls(aw_making *m, const aw_source *s)
{
    aw_strokes lines = {0};
    aw_bends arcs = {0}, bends = {0};
    aw_faces_left left = {0};
    const size_t first = m->walls.n;
    const double thickness = s->rule->thickness;
    bool fine = trace_source(m, s, &lines, &arcs);
    turn_strokes(&lines, 0, -m->lies);
    fine = fine &&
           aw_faces_join(&lines, &m->rules->join, thickness, &m->walls, &left, m->run->errors) &&
           aw_walls_meet(&m->walls, first, &lines) &&
           aw_bends_join(&arcs, &m->rules->join, thickness, &bends, &left);
    turn_strokes(&m->walls, first, m->lies);
    fine = fine && add_walls(m, s, first, &bends) &&
           aw_making_leave(m, s->name, "jambs and other short lines", left.n_short, NAN) &&
           aw_making_leave(m, s->name,
                           "single lines without a partner; a thickness in the rule would make "
                           "them walls",
                           left.n_single, left.single_length);
    free(lines.list);
    free(arcs.list);
    free(bends.list);
    return fine;
}

/* --- solids --- */

static const char *first_attribute(const aw_insert *insert)
{
    for (size_t i = 0; i < insert->n_attributes; i++)
        if (*insert->attributes[i].value != '\0')
            return insert->attributes[i].value;
    return NULL;
}

static bool add_rings(aw_making *m, const aw_source *s, const aw_rings *rings, const char *name)
{
    bool fine = true;
    for (size_t i = 0; fine && i < rings->n; i++) {
        const char *text = name != NULL ? name : aw_making_text_in(m, s, &rings->list[i]);
        fine = aw_making_add(m, s, text, rings->list[i].at, rings->list[i].n) != NULL;
    }
    return fine;
}

static int compare_by_insert(const void *a, const void *b, void *context)
{
    const aw_piece *pieces = context, *x = &pieces[*(const size_t *)a],
                   *y = &pieces[*(const size_t *)b];
    return (x->insert > y->insert) - (x->insert < y->insert);
}

/* The footprint of one reference: its largest closed line, else the hull of all it draws. */
static bool add_footprint(aw_making *m, const aw_source *s, const size_t *list, size_t n,
                          size_t *small)
{
    aw_rings rings = {0};
    const aw_point *best = NULL;
    aw_point *all = NULL;
    size_t n_best = 0, n_all = 0, room = 0;
    bool fine = true;
    for (size_t i = 0; fine && i < n; i++) {
        const aw_piece *piece = &m->plan->pieces[list[i]];
        const aw_point *at = aw_making_points(m, piece);
        size_t corners;
        fine = at != NULL;
        if (fine && aw_making_is_closed(piece, at, &corners) && corners >= 3 &&
            (best == NULL ||
             fabs(aw_polygon_area(at, corners)) > fabs(aw_polygon_area(best, n_best))))
            best = at, n_best = corners;
        for (size_t k = 0; fine && piece->kind != AW_PIECE_TEXT && k < piece->n; k++) {
            fine = aw_grow(&all, n_all, &room, sizeof *all);
            if (fine)
                all[n_all++] = at[k];
        }
    }
    fine = fine && (best != NULL ? aw_rings_add(&rings, best, n_best, small)
                                 : aw_rings_add_hull(&rings, all, n_all, small));
    fine = fine && add_rings(m, s, &rings,
                             first_attribute(&m->plan->inserts[m->plan->pieces[list[0]].insert]));
    free(all);
    aw_rings_free(&rings);
    return fine;
}

/* One part for each reference of a block. */
static bool make_footprints(aw_making *m, const aw_source *s, size_t *small)
{
    size_t *list = calloc(s->n + 1, sizeof *list);
    bool fine = list != NULL;
    if (!fine)
        return false;
    memcpy(list, s->pieces, s->n * sizeof *list);
    qsort_r(list, s->n, sizeof *list, compare_by_insert, m->plan->pieces);
    for (size_t first = 0, i = 1; fine && i <= s->n; i++)
        if (i == s->n || m->plan->pieces[list[i]].insert != m->plan->pieces[list[first]].insert) {
            fine = add_footprint(m, s, list + first, i - first, small);
            first = i;
        }
    free(list);
    return fine;
}

/* What the lines of a layer enclose; curves as they were drawn. */
static bool make_enclosed(aw_making *m, const aw_source *s, size_t *small)
{
    aw_strokes lines = {0};
    aw_rings rings = {0};
    size_t loose = 0;
    bool fine = true;
    for (size_t i = 0; fine && i < s->n; i++) {
        const aw_piece *piece = &m->plan->pieces[s->pieces[i]];
        size_t n;
        if (piece->kind == AW_PIECE_TEXT || piece->n < 2)
            continue;
        const aw_point *at = aw_making_points(m, piece);
        fine = at != NULL;
        const bool closed = fine && aw_making_is_closed(piece, at, &n);
        for (size_t k = 0; fine && k + !closed < n; k++)
            fine = aw_strokes_add(&lines, at[k], at[(k + 1) % n], 0);
    }
    fine = fine && aw_rings_enclosed(&lines, &rings, &loose, small) &&
           add_rings(m, s, &rings, NULL) &&
           aw_making_leave(m, s->name, "lines that enclose nothing", loose, NAN);
    free(lines.list);
    aw_rings_free(&rings);
    return fine;
}

bool aw_make_solids(aw_making *m, const aw_source *s)
{
    size_t small = 0;
    return (s->is_block ? make_footprints(m, s, &small) : make_enclosed(m, s, &small)) &&
           aw_making_leave(m, s->name, "areas under 0.01 m²", small, NAN);
}

/* --- areas each by itself --- */

static bool is_again(const aw_rings *rings)
{
    const aw_ring *a = &rings->list[rings->n - 1];
    for (size_t i = 0; i + 1 < rings->n; i++) {
        const aw_ring *b = &rings->list[i];
        if (b->n == a->n &&
            fabs(fabs(aw_polygon_area(a->at, a->n)) - fabs(aw_polygon_area(b->at, b->n))) < 0.01 &&
            aw_length(a->at[0].x - b->at[0].x, a->at[0].y - b->at[0].y) < 0.005)
            return true;
    }
    return false;
}

static bool collect_rings(aw_making *m, const aw_source *s, aw_rings *rings, size_t *open,
                          size_t *small)
{
    bool fine = true;
    for (size_t i = 0; fine && i < s->n; i++) {
        const aw_piece *piece = &m->plan->pieces[s->pieces[i]];
        const size_t before = rings->n;
        size_t n;
        if (piece->kind == AW_PIECE_TEXT || piece->kind == AW_PIECE_POINT)
            continue;
        const aw_point *at = aw_making_points(m, piece);
        fine = at != NULL;
        if (fine && !aw_making_is_closed(piece, at, &n))
            ++*open;
        else if (fine)
            fine = aw_rings_add(rings, at, n, small);
        if (fine && rings->n > before && is_again(rings))
            free(rings->list[--rings->n].at);
    }
    return fine;
}

bool aw_make_rings(aw_making *m, const aw_source *s)
{
    aw_rings rings = {0};
    size_t open = 0, small = 0;
    const bool fine =
        s->is_block ? make_footprints(m, s, &small)
                    : collect_rings(m, s, &rings, &open, &small) && add_rings(m, s, &rings, NULL);
    aw_rings_free(&rings);
    return fine && aw_making_leave(m, s->name, "lines that are not closed", open, NAN) &&
           aw_making_leave(m, s->name, "areas under 0.01 m²", small, NAN);
}

/* --- candidates --- */

bool aw_make_candidates(aw_making *m, const aw_source *s)
{
    bool fine = true;
    for (size_t i = 0; fine && i < s->n; i++) {
        const aw_piece *piece = &m->plan->pieces[s->pieces[i]];
        size_t n;
        if (piece->kind == AW_PIECE_TEXT)
            continue;
        const aw_point *at = aw_making_points(m, piece);
        fine = at != NULL;
        if (!fine)
            break;
        const bool closed = aw_making_is_closed(piece, at, &n);
        aw_point *path = aw_arena_take_array(m->made->memory, n + 1, sizeof *path);
        fine = path != NULL;
        for (size_t k = 0; fine && k < n + closed; k++)
            path[k] = at[k % n];
        fine = fine && aw_making_add(m, s, NULL, path, n + closed) != NULL;
    }
    return fine;
}

/* --- anchors --- */

static const char *attribute(const aw_insert *insert, const char *tag)
{
    for (size_t i = 0; tag != NULL && i < insert->n_attributes; i++)
        if (strcasecmp(insert->attributes[i].tag, tag) == 0)
            return insert->attributes[i].value;
    return NULL;
}

/* "6.2", "6,2 m": a number, metres, or NaN. */
static double read_height(const char *text)
{
    char digits[32], *end;
    size_t n = 0;
    for (; text != NULL && text[n] != '\0' && n + 1 < sizeof digits; n++)
        digits[n] = text[n] == ',' ? '.' : text[n];
    digits[n] = '\0';
    const double height = strtod(digits, &end);
    return end > digits && isfinite(height) ? height : (double)NAN;
}

static const char *text_near(const aw_making *m, size_t layer, aw_point at)
{
    const char *best = NULL;
    double nearest = NAMED_WITHIN;
    for (size_t i = 0; i < m->plan->n_pieces; i++) {
        const aw_piece *piece = &m->plan->pieces[i];
        if (piece->kind != AW_PIECE_TEXT || piece->layer != layer || !m->counts[i])
            continue;
        const aw_point p = aw_frame_site(&m->made->frame, m->plan->at[piece->first]);
        const double far = aw_length(p.x - at.x, p.y - at.y);
        if (far < nearest) {
            nearest = far;
            best = piece->text;
        }
    }
    return best;
}

static bool add_anchor(aw_making *m, const aw_source *s, const char *name, aw_point at,
                       double height)
{
    aw_made_item *anchor = aw_making_add(m, s, name, &at, 1);
    if (anchor != NULL)
        anchor->height = height;
    return anchor != NULL;
}

static bool add_insert(aw_making *m, const aw_source *s, const aw_insert *insert, size_t *without)
{
    const aw_point at = aw_frame_site(&m->made->frame, insert->at);
    const char *name = attribute(insert, s->rule->name_tag);
    const double height = s->rule->height_tag != NULL
                              ? read_height(attribute(insert, s->rule->height_tag))
                              : s->rule->height;
    if (!isnan(height))
        return add_anchor(m, s, name, at, height);
    ++*without;
    return true;
}

/* Blocks of a rule, or those on the layer that no block rule takes; of a layer its points too. */
bool aw_make_anchors(aw_making *m, const aw_source *s)
{
    const aw_plan *p = m->plan;
    size_t without = 0;
    bool fine = true;
    for (size_t i = 0; fine && i < p->n_inserts; i++) {
        const aw_insert *insert = &p->inserts[i];
        const aw_rule *rule = aw_rules_of_block(m->rules, insert->block);
        const bool is_ours =
            s->is_block ? rule == s->rule && strcmp(insert->block, s->name) == 0
                        : rule == NULL && strcmp(p->layers[insert->layer].name, s->name) == 0;
        if (is_ours)
            fine = add_insert(m, s, insert, &without);
    }
    for (size_t i = 0; fine && !s->is_block && i < s->n; i++) {
        const aw_piece *piece = &p->pieces[s->pieces[i]];
        if (piece->kind != AW_PIECE_POINT || piece->insert != AW_NO_INSERT)
            continue;
        const aw_point at = aw_frame_site(&m->made->frame, p->at[piece->first]);
        if (isnan(s->rule->height))
            without++;
        else
            fine = add_anchor(m, s, text_near(m, piece->layer, at), at, s->rule->height);
    }
    return fine && aw_making_leave(m, s->name, "anchors without a height", without, NAN);
}
