/* Things with a name that two scenarios differ in: each in one line that says what it is. */
#include "assess/mismatch.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "assess/compare_check.h"
#include "base/plane.h"

/* What finds, describes and tells apart one kind of thing; `same` is asked where the words are. */
typedef struct kind {
    const char *what;
    size_t (*count)(const aw_scenario *s);
    const char *(*name)(const aw_scenario *s, size_t i);
    void (*describe)(const aw_scenario *s, size_t i, char out[AW_MISMATCH_ROOM]);
    bool (*same)(const aw_scenario *a, size_t i, const aw_scenario *b, size_t k);
} kind;

/* Lengths in the site's units: what stands on it in m or ft, what is small in m or inches. */
typedef struct length {
    char text[40];
} length;

static length place(double metres, const aw_scenario *s)
{
    length l;
    snprintf(l.text, sizeof l.text, s->units == AW_FEET ? "%.2f ft" : "%.4g m",
             metres / aw_unit_metres(s->units));
    return l;
}

static length small(double metres, const aw_scenario *s)
{
    length l;
    const bool feet = s->units == AW_FEET;
    snprintf(l.text, sizeof l.text, feet ? "%.2g in" : "%.4g m",
             feet ? metres / AW_FOOT * 12 : metres);
    return l;
}

/* --- materials --- */

static size_t count_materials(const aw_scenario *s)
{
    return s->n_materials;
}

static const char *name_material(const aw_scenario *s, size_t i)
{
    return s->materials[i].name;
}

static void describe_material(const aw_scenario *s, size_t i, char out[AW_MISMATCH_ROOM])
{
    const aw_material *m = &s->materials[i];
    if (m->opaque)
        snprintf(out, AW_MISMATCH_ROOM, "opaque");
    else if (m->kind == AW_MATERIAL_LAYERED)
        snprintf(out, AW_MISMATCH_ROOM, "%zu layers", m->n_leaves);
    else if (m->kind == AW_MATERIAL_SLAB)
        snprintf(out, AW_MISMATCH_ROOM, "permittivity %.4g, conductivity %.4g S/m, %.4g dB",
                 m->dielectric.a, m->dielectric.c, m->loss_db);
    else
        snprintf(out, AW_MISMATCH_ROOM, "%.4g dB, delay %s", m->loss_db, small(m->delay, s).text);
}

static bool same_materials(const aw_scenario *a, size_t i, const aw_scenario *b, size_t k)
{
    return aw_same_material(&a->materials[i], &b->materials[k]);
}

/* --- obstacles --- */

static size_t count_obstacles(const aw_scenario *s)
{
    return s->n_obstacles;
}

static const char *name_obstacle(const aw_scenario *s, size_t i)
{
    return s->obstacles[i].name;
}

static void describe_obstacle(const aw_scenario *s, size_t i, char out[AW_MISMATCH_ROOM])
{
    const aw_obstacle *o = &s->obstacles[i];
    const aw_polygon *p = &o->footprint;
    const double metre = aw_unit_metres(s->units);
    snprintf(out, AW_MISMATCH_ROOM, "%.1f %s² from (%.2f, %.2f), %s to %s, %s%s",
             fabs(aw_polygon_area(p->at, p->n)) / (metre * metre), aw_unit_name(s->units),
             p->low.x / metre, p->low.y / metre, place(o->base, s).text, place(o->top, s).text,
             s->materials[o->material].name, o->shell > 0 ? ", hollow" : "");
}

static bool same_obstacles(const aw_scenario *a, size_t i, const aw_scenario *b, size_t k)
{
    const aw_obstacle *o = &a->obstacles[i], *p = &b->obstacles[k];
    return aw_same_polygon(&o->footprint, &p->footprint) && o->base == p->base &&
           o->top == p->top && o->shell == p->shell &&
           strcmp(a->materials[o->material].name, b->materials[p->material].name) == 0;
}

/* --- walls --- */

static size_t count_walls(const aw_scenario *s)
{
    return s->n_walls;
}

static const char *name_wall(const aw_scenario *s, size_t i)
{
    return s->walls[i].name;
}

static void describe_wall(const aw_scenario *s, size_t i, char out[AW_MISMATCH_ROOM])
{
    const aw_wall *w = &s->walls[i];
    const aw_point from = w->path[0], to = w->path[w->n - 1];
    const double metre = aw_unit_metres(s->units);
    snprintf(out, AW_MISMATCH_ROOM, "(%.2f, %.2f) to (%.2f, %.2f), %s thick, %s to %s, %s",
             from.x / metre, from.y / metre, to.x / metre, to.y / metre,
             small(w->thickness, s).text, place(w->base, s).text, place(w->top, s).text,
             s->materials[w->material].name);
}

static bool same_walls(const aw_scenario *a, size_t i, const aw_scenario *b, size_t k)
{
    const aw_wall *w = &a->walls[i], *v = &b->walls[k];
    return w->n == v->n && memcmp(w->path, v->path, w->n * sizeof *w->path) == 0 &&
           w->thickness == v->thickness && w->slab_thickness == v->slab_thickness &&
           w->base == v->base && w->top == v->top &&
           strcmp(a->materials[w->material].name, b->materials[v->material].name) == 0;
}

/* --- tags --- */

static size_t count_tags(const aw_scenario *s)
{
    return s->n_tags;
}

static const char *name_tag(const aw_scenario *s, size_t i)
{
    return s->tags[i].name;
}

static void describe_tag(const aw_scenario *s, size_t i, char out[AW_MISMATCH_ROOM])
{
    const aw_tag *t = &s->tags[i];
    snprintf(out, AW_MISMATCH_ROOM, "%s up, sigma %s, %dd fix", place(t->height, s).text,
             small(t->height_sigma, s).text, (int)t->fix);
}

static bool same_tags(const aw_scenario *a, size_t i, const aw_scenario *b, size_t k)
{
    const aw_tag *t = &a->tags[i], *u = &b->tags[k];
    return t->height == u->height && t->height_sigma == u->height_sigma && t->fix == u->fix;
}

/* --- all --- */

static const kind kinds[] = {
    {"material", count_materials, name_material, describe_material, same_materials},
    {"obstacle", count_obstacles, name_obstacle, describe_obstacle, same_obstacles},
    {"wall", count_walls, name_wall, describe_wall, same_walls},
    {"tag", count_tags, name_tag, describe_tag, same_tags},
};

/* The thing of a name, or the count. */
static size_t find_thing(const kind *k, const aw_scenario *s, const char *name)
{
    size_t i = 0;
    while (i < k->count(s) && strcmp(k->name(s, i), name) != 0)
        i++;
    return i;
}

/* Says a thing of both; an index that is the count says there is none. */
static void say(aw_mismatches *list, const kind *k, const aw_scenario *a, size_t i,
                const aw_scenario *b, size_t at)
{
    const bool in_a = i < k->count(a), in_b = at < k->count(b);
    aw_mismatch *m = aw_mismatch_add(list, "%s %s", k->what, in_a ? k->name(a, i) : k->name(b, at));
    if (m == NULL)
        return;
    snprintf(m->words[0], sizeof m->words[0], "none");
    snprintf(m->words[1], sizeof m->words[1], "none");
    if (in_a)
        k->describe(a, i, m->words[0]);
    if (in_b)
        k->describe(b, at, m->words[1]);
    if (strcmp(m->words[0], m->words[1]) == 0)
        snprintf(m->words[1], sizeof m->words[1], "the like, not the same");
}

static void find_things(aw_mismatches *list, const kind *k, const aw_scenario *a,
                        const aw_scenario *b)
{
    for (size_t i = 0; i < k->count(a); i++) {
        const size_t at = find_thing(k, b, k->name(a, i));
        if (at == k->count(b) || !k->same(a, i, b, at))
            say(list, k, a, i, b, at);
    }
    for (size_t i = 0; i < k->count(b); i++)
        if (find_thing(k, a, k->name(b, i)) == k->count(a))
            say(list, k, a, k->count(a), b, i);
}

static const char *face(const aw_scenario *s, size_t material)
{
    return material < s->n_materials ? s->materials[material].name : NULL;
}

void aw_mismatch_things(aw_mismatches *list, const aw_scenario *a, const aw_scenario *b)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        find_things(list, &kinds[i], a, b);
    aw_mismatch_words(list, "floor", "material", face(a, a->floor.material),
                      face(b, b->floor.material));
    aw_mismatch_words(list, "floor", "ceiling_material", face(a, a->floor.ceiling_material),
                      face(b, b->floor.ceiling_material));
    aw_mismatch_words(list, "floor", "wall_material", face(a, a->floor.wall_material),
                      face(b, b->floor.wall_material));
    aw_mismatch_words(list, "floor", "tag", a->tags[0].name, b->tags[0].name);
}
