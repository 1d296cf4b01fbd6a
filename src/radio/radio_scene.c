/* Prepares what a scene with a radio needs: one table for each distinct stuff, one face for each
 * flat side that mirrors. */
#include "radio/radio_scene.h"

#include <math.h>
#include <string.h>

#include "base/plane.h"
#include "radio/law.h"
#include "radio/power.h"

/* From this conductivity on, S/m, a body is metal: it mirrors, and nothing goes through. */
#define METAL 1e6
/* A face below the ceiling or above the floor by less is no face, m. */
#define FLUSH 1e-3

typedef struct builder {
    const aw_scene *scene;
    const aw_scenario *scenario;
    aw_radio_scene *air;
    aw_loss_by_angle *mirrors; /* of each material, db NULL where it mirrors nothing */
} builder;

/* In the whole or in one of its leaves. */
static bool has_metal(const aw_material *m)
{
    bool metal = m->kind == AW_MATERIAL_SLAB && m->dielectric.c >= METAL;
    for (size_t i = 0; m->kind == AW_MATERIAL_LAYERED && i < m->n_leaves; i++)
        metal = metal || m->leaves[i].dielectric.c >= METAL;
    return metal;
}

/* --- Stuff --- */

static const aw_material *material_of(const aw_scenario *s, size_t body)
{
    return &s->materials[body < s->n_obstacles ? s->obstacles[body].material
                                               : s->walls[body - s->n_obstacles].material];
}

/* Thickness of one leaf of a slab: of a shell or a wall; 0: solid. */
static double thickness_of(const aw_scenario *s, size_t body)
{
    return body < s->n_obstacles ? s->obstacles[body].shell
                                 : s->walls[body - s->n_obstacles].slab_thickness;
}

/* The body before this one that has the same table; NULL if there is none. */
static const aw_body_radio *like(const builder *b, size_t body, aw_passage passage)
{
    const aw_material *m = material_of(b->scenario, body);
    for (size_t i = 0; i < body; i++) {
        const aw_body_radio *s = &b->air->stuff[i];
        const bool sheet = s->passage == AW_PASS_WALL || s->passage == AW_PASS_SHELL;
        const bool wants_sheet = passage == AW_PASS_WALL || passage == AW_PASS_SHELL;
        if (material_of(b->scenario, i) == m &&
            (wants_sheet
                 ? sheet && (m->kind == AW_MATERIAL_LAYERED ||
                             thickness_of(b->scenario, i) == thickness_of(b->scenario, body))
                 : s->passage == passage))
            return s;
    }
    return NULL;
}

static bool set_leaves(const builder *b, aw_body_radio *stuff, const aw_material *m,
                       double thickness)
{
    aw_leaf *leaf = NULL;
    stuff->leaves = m->leaves;
    stuff->n_leaves = m->n_leaves;
    if (m->kind == AW_MATERIAL_SLAB) {
        leaf = aw_arena_take(b->scene->arena, sizeof *leaf);
        if (leaf == NULL)
            return false;
        *leaf = (aw_leaf){m->name, m->dielectric, thickness};
        stuff->leaves = leaf;
        stuff->n_leaves = 1;
    }
    stuff->angles = aw_loss_by_angle_through(b->scene->arena, stuff->leaves, stuff->n_leaves,
                                             &b->scenario->radio.channel);
    return stuff->angles.db != NULL;
}

static aw_passage passage_of(const builder *b, size_t body)
{
    const aw_material *m = material_of(b->scenario, body);
    if (m->opaque || has_metal(m))
        return AW_PASS_NOT;
    if (m->kind == AW_MATERIAL_FIXED)
        return AW_PASS_FIXED;
    if (body >= b->scenario->n_obstacles)
        return AW_PASS_WALL;
    return m->kind == AW_MATERIAL_LAYERED || thickness_of(b->scenario, body) > 0 ? AW_PASS_SHELL
                                                                                 : AW_PASS_SOLID;
}

static bool set_stuff(const builder *b, size_t body)
{
    aw_body_radio *stuff = &b->air->stuff[body];
    const aw_scenario *s = b->scenario;
    const aw_material *m = material_of(s, body);
    const aw_passage passage = passage_of(b, body);
    const aw_body_radio *same = like(b, body, passage);
    if (same != NULL)
        *stuff = *same;
    stuff->name =
        body < s->n_obstacles ? s->obstacles[body].name : s->walls[body - s->n_obstacles].name;
    stuff->passage = passage;
    stuff->loss_db = m->kind == AW_MATERIAL_FIXED ? m->loss_db : m->added_db;
    stuff->delay = m->kind == AW_MATERIAL_FIXED ? m->delay : m->added_delay;
    stuff->loss_times = s->radio.loss_times;
    stuff->delay_times = s->radio.delay_times;
    if (same != NULL || passage == AW_PASS_NOT || passage == AW_PASS_FIXED)
        return true;
    if (passage != AW_PASS_SOLID)
        return set_leaves(b, stuff, m, thickness_of(s, body));
    stuff->ways = aw_loss_by_length_through(b->scene->arena, &m->dielectric, &s->radio.channel);
    stuff->root = sqrt(aw_dielectric_real(&m->dielectric, b->air->hz)) - 1;
    return stuff->ways.db != NULL;
}

static bool set_edges(const builder *b)
{
    const size_t n = b->scene->n_bodies;
    bool *is_opaque = aw_arena_take_array(b->scene->arena, n, sizeof *is_opaque);
    for (size_t i = 0; is_opaque != NULL && i < n; i++)
        is_opaque[i] = b->air->stuff[i].passage == AW_PASS_NOT;
    const aw_edges_ground ground = {b->scene->bodies, is_opaque, n, &b->air->boxes};
    if (is_opaque == NULL || !aw_edges_lay(&b->air->edges, b->scene->arena, b->scenario, &ground))
        return false;
    const uint32_t *pits = b->air->edges.first + n;
    b->air->has_rims = pits[b->scenario->n_levels] > pits[0];
    return true;
}

/* --- Faces --- */

/* What the face of a material mirrors; a measured loss says nothing of it. NULL: nothing. */
static const aw_loss_by_angle *mirror_of(const builder *b, size_t material, bool *room)
{
    const aw_material *m = &b->scenario->materials[material];
    aw_loss_by_angle *angles = &b->mirrors[material];
    if (m->kind == AW_MATERIAL_FIXED)
        return NULL;
    if (angles->db == NULL)
        *angles = m->kind == AW_MATERIAL_SLAB
                      ? aw_loss_by_angle_of_face(b->scene->arena, &m->dielectric,
                                                 &b->scenario->radio.channel)
                      : aw_loss_by_angle_mirrored(b->scene->arena, m->leaves, m->n_leaves,
                                                  &b->scenario->radio.channel);
    *room = *room && angles->db != NULL;
    return angles->db != NULL ? angles : NULL;
}

/* What a level face looks at: a floor and a top look up. */
typedef enum level_kind { LEVEL_FLOOR, LEVEL_TOP, LEVEL_UNDERSIDE } level_kind;

static void add_level(const builder *b, level_kind kind, const char *name, const aw_polygon *within,
                      double z, const aw_loss_by_angle *angles)
{
    if (angles == NULL)
        return;
    const double sign = kind == LEVEL_UNDERSIDE ? -1 : 1;
    b->air->faces[b->air->n_faces++] = (aw_face){.name = name,
                                                 .normal = {0, 0, sign},
                                                 .offset = sign * z,
                                                 .within = within,
                                                 .floor = kind == LEVEL_FLOOR,
                                                 .base = z,
                                                 .top = z,
                                                 .size = aw_polygon_area(within->at, within->n),
                                                 .angles = angles};
}

/* The upright faces of a counter-clockwise footprint look right of its edges. */
static void add_prism(const builder *b, const char *name, const aw_prism *prism,
                      const aw_loss_by_angle *angles)
{
    const aw_polygon *p = &prism->footprint;
    for (size_t i = 0; i < p->n; i++) {
        const aw_point c = p->at[i], d = p->at[(i + 1) % p->n];
        const double length = aw_length(d.x - c.x, d.y - c.y);
        const double nx = (d.y - c.y) / length, ny = -(d.x - c.x) / length;
        b->air->faces[b->air->n_faces++] = (aw_face){.name = name,
                                                     .normal = {nx, ny, 0},
                                                     .offset = nx * c.x + ny * c.y,
                                                     .from = c,
                                                     .to = d,
                                                     .base = prism->base,
                                                     .top = prism->top,
                                                     .size = length * (prism->top - prism->base),
                                                     .angles = angles};
    }
    if (prism->top < b->scenario->floor.ceiling - FLUSH)
        add_level(b, LEVEL_TOP, name, p, prism->top, angles);
    if (prism->base > FLUSH)
        add_level(b, LEVEL_UNDERSIDE, name, p, prism->base, angles);
}

/* The outline from inside, from the finished floor to the ceiling. */
static void add_outline(const builder *b, const aw_loss_by_angle *angles)
{
    const aw_polygon *o = &b->scenario->floor.outline;
    const double ceiling = b->scenario->floor.ceiling;
    for (size_t i = 0; angles != NULL && i < o->n; i++) {
        const aw_point c = o->at[i], d = o->at[(i + 1) % o->n];
        const double length = aw_length(d.x - c.x, d.y - c.y);
        const double nx = -(d.y - c.y) / length, ny = (d.x - c.x) / length;
        b->air->faces[b->air->n_faces++] = (aw_face){.name = "outline",
                                                     .normal = {nx, ny, 0},
                                                     .offset = nx * c.x + ny * c.y,
                                                     .from = c,
                                                     .to = d,
                                                     .top = ceiling,
                                                     .size = length * ceiling,
                                                     .hall = o,
                                                     .angles = angles};
    }
}

static size_t most_faces(const builder *b)
{
    size_t n = 2 + 2 * b->scenario->n_levels + b->scenario->floor.outline.n;
    for (size_t i = 0; i < b->scene->n_bodies; i++)
        for (size_t k = 0; has_metal(material_of(b->scenario, i)) && k < b->scene->bodies[i].n; k++)
            n += b->scene->bodies[i].prisms[k].footprint.n + 2;
    return n;
}

/* The floor of a level and, where one can stand under it, the underside of its slab. */
static void add_storey(const builder *b, const aw_level *level, const aw_loss_by_angle *ground,
                       bool *room)
{
    const aw_slab *slab = &level->slab;
    if (level->height != 0)
        add_level(b, LEVEL_FLOOR, level->name, &level->outline, level->height, ground);
    if (slab->thickness > 0)
        add_level(b, LEVEL_UNDERSIDE, level->name, &level->outline, level->height - slab->thickness,
                  mirror_of(b, slab->material, room));
}

static bool add_faces(const builder *b)
{
    const aw_scenario *s = b->scenario;
    const aw_floor *floor = &s->floor;
    bool room = true;
    b->air->faces = aw_arena_take_array(b->scene->arena, most_faces(b), sizeof *b->air->faces);
    if (b->air->faces == NULL)
        return false;
    const aw_loss_by_angle *ground = mirror_of(b, floor->material, &room);
    add_level(b, LEVEL_FLOOR, "floor", &floor->outline, 0, ground);
    add_level(b, LEVEL_UNDERSIDE, "ceiling", &floor->outline, floor->ceiling,
              mirror_of(b, floor->ceiling_material, &room));
    add_outline(b, mirror_of(b, floor->wall_material, &room));
    for (size_t i = 0; i < s->n_levels; i++)
        add_storey(b, &s->levels[i], ground, &room);
    for (size_t i = 0; i < b->scene->n_bodies; i++) {
        const aw_material *m = material_of(s, i);
        const aw_body *body = &b->scene->bodies[i];
        const aw_loss_by_angle *angles =
            has_metal(m) ? mirror_of(b, (size_t)(m - s->materials), &room) : NULL;
        for (size_t k = 0; angles != NULL && k < body->n; k++)
            add_prism(b, b->air->stuff[i].name, &body->prisms[k], angles);
    }
    return room;
}

/* --- Faces of an anchor --- */

/* Where a face is nearest to the point, squared. */
static double distance_to(const aw_face *f, const double at[3])
{
    double x = at[0], y = at[1];
    const double dz = at[2] - fmin(fmax(at[2], f->base), f->top);
    if (f->within != NULL) {
        x -= fmin(fmax(x, f->within->low.x), f->within->high.x);
        y -= fmin(fmax(y, f->within->low.y), f->within->high.y);
        return x * x + y * y + dz * dz;
    }
    const double d = aw_segment_distance(f->from, f->to, (aw_point){x, y});
    return d * d + dz * dz;
}

void aw_faces_seen(const aw_radio_scene *air, const double anchor[3], aw_faces *faces)
{
    double score[AW_FACES];
    faces->n = 0;
    for (size_t i = 0; i < air->n_faces; i++) {
        const aw_face *f = &air->faces[i];
        const double before =
            f->normal[0] * anchor[0] + f->normal[1] * anchor[1] + f->normal[2] * anchor[2];
        if (!(before > f->offset))
            continue;
        const double own =
            f->size * pow(10, -f->angles->db[0] / 10) / fmax(distance_to(f, anchor), 0.01);
        size_t k = faces->n < AW_FACES ? faces->n++ : AW_FACES;
        for (; k > 0 && score[k - 1] < own; k--)
            if (k < AW_FACES) {
                score[k] = score[k - 1];
                faces->face[k] = faces->face[k - 1];
            }
        if (k < AW_FACES) {
            score[k] = own;
            faces->face[k] = f;
        }
    }
}

static bool add_seen(const builder *b)
{
    const aw_scenario *s = b->scenario;
    b->air->of_anchor =
        aw_arena_take_array(b->scene->arena, s->n_anchors, sizeof *b->air->of_anchor);
    for (size_t i = 0; b->air->of_anchor != NULL && i < s->n_anchors; i++)
        aw_faces_seen(b->air, s->anchors[i].at, &b->air->of_anchor[i]);
    return b->air->of_anchor != NULL;
}

const aw_radio_scene *aw_radio_scene_create(const aw_scene *scene)
{
    const aw_radio *radio = &scene->scenario->radio;
    aw_arena *arena = scene->arena;
    builder b = {scene, scene->scenario, aw_arena_take(arena, sizeof *b.air),
                 aw_arena_take_array(arena, scene->scenario->n_materials, sizeof *b.mirrors)};
    if (b.air == NULL || b.mirrors == NULL)
        return NULL;
    b.air->radio = radio;
    b.air->hz = radio->channel.centre;
    b.air->wavelength = AW_LIGHT / b.air->hz;
    b.air->eirp = aw_eirp_dbm(radio);
    b.air->noise = aw_noise_dbm(radio->channel.bandwidth) + radio->receiver.noise_figure_db -
                   aw_processing_gain_db(radio);
    for (int clear = 0; clear < 2; clear++)
        b.air->fade_sigma[clear] =
            radio->shadowing_times * aw_law_shadowing(radio->environment, clear != 0);
    b.air->stuff = aw_arena_take_array(arena, scene->n_bodies, sizeof *b.air->stuff);
    b.air->rules = aw_edge_rules_create(arena);
    if (b.air->stuff == NULL || b.air->rules == NULL ||
        !aw_boxes_lay(&b.air->boxes, arena, scene->bodies, scene->n_bodies))
        return NULL;
    for (size_t i = 0; i < scene->n_bodies; i++)
        if (!set_stuff(&b, i))
            return NULL;
    if (!set_edges(&b))
        return NULL;
    return add_faces(&b) && add_seen(&b) ? b.air : NULL;
}
