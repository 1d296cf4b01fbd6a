#include "plan/unit.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/scenario.h"
#include "base/plane.h"
#include "plan/arcs.h"
#include "plan/grow.h"

const char *const aw_plan_unit_names[] = {"mm", "cm", "m", "in", "ft", NULL};
const double aw_plan_unit_metres[] = {0.001, 0.01, 1, AW_FOOT / 12, AW_FOOT};

/* Leaves of doors, m. */
#define NARROWEST_DOOR 0.55
#define WIDEST_DOOR    1.35
#define MOST_DOORS     2000

const char *aw_plan_header_name(int unit)
{
    switch (unit) {
    case 1:
        return "in";
    case 2:
        return "ft";
    case 4:
        return "mm";
    case 5:
        return "cm";
    case 6:
        return "m";
    default:
        return NULL;
    }
}

aw_plan_unit aw_unit_named(const char *name)
{
    for (int u = 0; u < AW_PLAN_UNITS; u++)
        if (strcmp(name, aw_plan_unit_names[u]) == 0)
            return (aw_plan_unit)u;
    return AW_PLAN_UNSURE;
}

static aw_unit_witness *add_witness(aw_unit_verdict *v)
{
    aw_unit_witness *w = &v->witnesses[v->n++];
    memset(w, 0, sizeof *w);
    return w;
}

static int compare_numbers(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static const char *list_units(const aw_unit_witness *w, char text[64])
{
    size_t n = 0;
    text[0] = '\0';
    for (int u = 0; u < AW_PLAN_UNITS; u++)
        if (w->points[u] > 0)
            n += (size_t)snprintf(text + n, 64 - n, "%s%s", n > 0 ? ", " : "",
                                  aw_plan_unit_names[u]);
    return n > 0 ? text : "none";
}

/* --- header --- */

static void ask_header(aw_unit_verdict *v, const aw_plan *p)
{
    aw_unit_witness *w = add_witness(v);
    const char *name = aw_plan_header_name(p->header_unit);
    if (p->has_degrees) {
        snprintf(w->says, sizeof w->says, "longitude and latitude, projected to metres");
        w->points[AW_PLAN_M] = 10;
    } else if (name != NULL) {
        snprintf(w->says, sizeof w->says, "the header says %s", name);
        w->points[aw_unit_named(name)] = 3;
    } else if (p->header_unit > 0) {
        snprintf(w->says, sizeof w->says, "the header says unit %d, which no plan has",
                 p->header_unit);
    } else {
        snprintf(w->says, sizeof w->says, "the header names no unit");
    }
}

/* --- doors --- */

typedef struct stretch {
    double length;
    aw_point a, b;
} stretch;

typedef struct stretches {
    stretch *list;
    size_t n, room;
} stretches;

static int compare_lengths(const void *a, const void *b)
{
    const double x = ((const stretch *)a)->length, y = ((const stretch *)b)->length;
    return (x > y) - (x < y);
}

static bool add_stretches(stretches *s, const aw_plan *p, const aw_piece *piece)
{
    const size_t n = piece->n, last = piece->kind == AW_PIECE_LINE ? n - 1 : n;
    for (size_t i = 0; i < last; i++) {
        if (!aw_grow(&s->list, s->n, &s->room, sizeof *s->list))
            return false;
        const aw_point a = p->at[piece->first + i], b = p->at[piece->first + (i + 1) % n];
        s->list[s->n++] = (stretch){aw_length(b.x - a.x, b.y - a.y), a, b};
    }
    return true;
}

static double apart(aw_point a, aw_point b)
{
    return aw_length(a.x - b.x, a.y - b.y);
}

/* Whether a straight line of the radius joins the centre and an end of the arc. */
static bool has_leaf(const stretches *s, const aw_arc *arc, aw_point first, aw_point last)
{
    const double r = arc->radius, near = 0.08 * r;
    size_t low = 0, high = s->n;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (s->list[middle].length < r - near)
            low = middle + 1;
        else
            high = middle;
    }
    for (size_t i = low; i < s->n && s->list[i].length <= r + near; i++) {
        const stretch *t = &s->list[i];
        const bool from_a = apart(t->a, arc->centre) <= near;
        if (!from_a && apart(t->b, arc->centre) > near)
            continue;
        const aw_point end = from_a ? t->b : t->a;
        if (apart(end, first) <= near || apart(end, last) <= near)
            return true;
    }
    return false;
}

static void count_door(aw_unit_witness *w, aw_unit_verdict *v, double radius, double *sum)
{
    for (int u = 0; u < AW_PLAN_UNITS; u++) {
        const double width = radius * aw_plan_unit_metres[u];
        if (width >= NARROWEST_DOOR && width <= WIDEST_DOOR) {
            w->points[u] += 2;
            v->n_doors++;
            *sum += radius;
        }
    }
}

/* An arc that can be a door's swing, or half of one: some programs write a quarter as two splines.
 */
typedef struct swing {
    aw_arc arc;
    aw_point first, last;
} swing;

typedef struct swings {
    swing *list;
    size_t n, room;
} swings;

#define LEAST_HALF  (30 * M_PI / 180)
#define LEAST_SWING (75 * M_PI / 180)
#define MOST_SWING  (105 * M_PI / 180)

/* Halves of one swing are looked for among so many arcs of the next larger radii. */
#define NEXT_SWINGS 64

static bool add_swing(swings *all, const aw_plan *p, const aw_piece *piece)
{
    const aw_point *at = p->at + piece->first;
    aw_arc arc;
    if (piece->kind != AW_PIECE_LINE || !aw_arc_fit(at, piece->n, &arc) ||
        fabs(arc.turn) < LEAST_HALF || fabs(arc.turn) > MOST_SWING)
        return true;
    if (!aw_grow(&all->list, all->n, &all->room, sizeof *all->list))
        return false;
    all->list[all->n++] = (swing){arc, at[0], at[piece->n - 1]};
    return true;
}

static int compare_radii(const void *a, const void *b)
{
    const double x = ((const swing *)a)->arc.radius, y = ((const swing *)b)->arc.radius;
    return (x > y) - (x < y);
}

/* Two arcs about one centre that meet, as one. */
static bool join_swings(const swing *s, const swing *t, swing *joined)
{
    const double near = 0.02 * s->arc.radius, turn = fabs(s->arc.turn) + fabs(t->arc.turn);
    if (apart(s->arc.centre, t->arc.centre) > near || turn < LEAST_SWING || turn > MOST_SWING)
        return false;
    const bool from_last = apart(s->last, t->first) <= near || apart(s->last, t->last) <= near;
    const aw_point joint = from_last ? s->last : s->first;
    const bool to_first = apart(joint, t->first) <= near;
    if (!to_first && apart(joint, t->last) > near)
        return false;
    *joined = *s;
    joined->first = from_last ? s->first : s->last;
    joined->last = to_first ? t->last : t->first;
    return true;
}

static bool is_door(const swings *all, size_t i, const stretches *lines)
{
    const swing *s = &all->list[i];
    if (fabs(s->arc.turn) >= LEAST_SWING)
        return has_leaf(lines, &s->arc, s->first, s->last);
    for (size_t k = i + 1; k < all->n && k <= i + NEXT_SWINGS; k++) {
        swing joined;
        if (all->list[k].arc.radius > 1.02 * s->arc.radius)
            return false;
        if (join_swings(s, &all->list[k], &joined) &&
            has_leaf(lines, &s->arc, joined.first, joined.last))
            return true;
    }
    return false;
}

static bool ask_doors(aw_unit_verdict *v, const aw_plan *p)
{
    stretches lines = {0};
    swings arcs = {0};
    double sum = 0;
    char units[64];
    bool fine = true;
    for (size_t i = 0; fine && i < p->n_pieces; i++) {
        const aw_piece *piece = &p->pieces[i];
        if (piece->hidden)
            continue;
        if (piece->n > 1 && piece->n < AW_ARC_CORNERS)
            fine = add_stretches(&lines, p, piece);
        else
            fine = add_swing(&arcs, p, piece);
    }
    aw_unit_witness *w = add_witness(v);
    if (fine && lines.n > 0)
        qsort(lines.list, lines.n, sizeof *lines.list, compare_lengths);
    if (fine && arcs.n > 0)
        qsort(arcs.list, arcs.n, sizeof *arcs.list, compare_radii);
    for (size_t i = 0; fine && i < arcs.n && v->n_doors < MOST_DOORS; i++)
        if (is_door(&arcs, i, &lines))
            count_door(w, v, arcs.list[i].arc.radius, &sum);
    for (int u = 0; u < AW_PLAN_UNITS; u++)
        w->points[u] = fmin(w->points[u], 6);
    if (v->n_doors == 0)
        v->n--;
    else
        snprintf(w->says, sizeof w->says, "%zu door%s with leaves of %.4g would fit %s", v->n_doors,
                 v->n_doors == 1 ? "" : "s", sum / (double)v->n_doors, list_units(w, units));
    free(lines.list);
    free(arcs.list);
    return fine;
}

/* --- extent --- */

/* From the 1st to the 99th of a hundred points, along one axis. */
static double middle_extent(const aw_plan *p, double values[], bool along_y)
{
    size_t n = 0;
    for (size_t i = 0; i < p->n_pieces; i++)
        for (size_t k = 0; !p->pieces[i].hidden && k < p->pieces[i].n; k++) {
            const aw_point at = p->at[p->pieces[i].first + k];
            values[n++] = along_y ? at.y : at.x;
        }
    if (n == 0)
        return 0;
    qsort(values, n, sizeof *values, compare_numbers);
    return values[n - 1 - n / 100] - values[n / 100];
}

static bool ask_extent(aw_unit_verdict *v, const aw_plan *p)
{
    double *values = calloc(p->n_at + 1, sizeof *values);
    char units[64];
    if (values == NULL)
        return false;
    const double extent = fmax(middle_extent(p, values, false), middle_extent(p, values, true));
    free(values);
    aw_unit_witness *w = add_witness(v);
    for (int u = 0; u < AW_PLAN_UNITS; u++) {
        const double m = extent * aw_plan_unit_metres[u];
        w->points[u] = m >= 8 && m <= 400 ? 2 : m >= 3 && m <= 2000 ? 1 : -2;
    }
    snprintf(w->says, sizeof w->says, "%.6g wide would fit %s", extent, list_units(w, units));
    return true;
}

/* --- texts --- */

/* 12'-6" and the like: a digit with a foot's sign and later an inch's. */
static bool is_feet(const char *text)
{
    const char *foot = strchr(text, '\'');
    return foot != NULL && foot > text && isdigit((unsigned char)foot[-1]) &&
           strchr(foot, '"') != NULL;
}

static bool ask_texts(aw_unit_verdict *v, const aw_plan *p)
{
    double *heights = calloc(p->n_pieces + 1, sizeof *heights);
    size_t n = 0, feet = 0;
    char units[64];
    if (heights == NULL)
        return false;
    for (size_t i = 0; i < p->n_pieces; i++) {
        const aw_piece *piece = &p->pieces[i];
        if (piece->kind != AW_PIECE_TEXT || piece->hidden)
            continue;
        feet += is_feet(piece->text);
        if (piece->height > 0)
            heights[n++] = piece->height;
    }
    if (feet >= 3) {
        aw_unit_witness *w = add_witness(v);
        snprintf(w->says, sizeof w->says, "%zu texts are in feet and inches", feet);
        for (int u = 0; u < AW_PLAN_UNITS; u++)
            w->points[u] = u == AW_PLAN_IN || u == AW_PLAN_FT ? 2 : -1;
    }
    if (n > 0) {
        aw_unit_witness *w = add_witness(v);
        qsort(heights, n, sizeof *heights, compare_numbers);
        for (int u = 0; u < AW_PLAN_UNITS; u++) {
            const double m = heights[n / 2] * aw_plan_unit_metres[u];
            w->points[u] = m >= 0.05 && m <= 0.6;
        }
        snprintf(w->says, sizeof w->says, "texts %.4g high would fit %s", heights[n / 2],
                 list_units(w, units));
    }
    free(heights);
    return true;
}

/* --- the verdict --- */

static void choose(aw_unit_verdict *v, bool projected)
{
    int best = 0;
    for (size_t i = 0; i < v->n; i++)
        for (int u = 0; u < AW_PLAN_UNITS; u++)
            v->sum[u] += v->witnesses[i].points[u];
    for (int u = 1; u < AW_PLAN_UNITS; u++)
        best = v->sum[u] > v->sum[best] ? u : best;
    double lead = INFINITY;
    for (int u = 0; u < AW_PLAN_UNITS; u++)
        if (u != best)
            lead = fmin(lead, v->sum[best] - v->sum[u]);
    v->unit = lead <= 0 || (v->n_doors == 0 && lead < 2) ? AW_PLAN_UNSURE : (aw_plan_unit)best;
    if (projected)
        v->unit = AW_PLAN_M;
}

bool aw_unit_judge(aw_unit_verdict *v, const aw_plan *p)
{
    *v = (aw_unit_verdict){.unit = AW_PLAN_UNSURE};
    ask_header(v, p);
    if (!ask_doors(v, p) || !ask_extent(v, p) || !ask_texts(v, p))
        return false;
    choose(v, p->has_degrees);
    return true;
}
