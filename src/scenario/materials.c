/* Materials: the built-in ones, and those of the file, each of which may begin as one above it. */
#include <math.h>
#include <string.h>

#include "scenario/reader.h"

/* Permittivity a f^b, conductivity c f^d, and the GHz that they hold from and to: Table 3 of ITU-R
 * P.2040-3 (08/2023). Loss in dB and excess path in m of one obstacle crossed, for a scenario
 * without radio: its slab formula at the usual thickness, channel 5 (6489.6 MHz), normal incidence.
 * Usual thicknesses are those of the trade. To add a material: add a row here. */
#define GLASS                                                                                      \
    {                                                                                              \
        "glass", {6.31, 0, 0.0036, 1.3394}, 0.006                                                  \
    }
#define BOARD                                                                                      \
    {                                                                                              \
        "plasterboard", {2.73, 0, 0.0085, 0.9395}, 0.0125                                          \
    }
#define AIR_OF(gap)                                                                                \
    {                                                                                              \
        "air", {1, 0, 0, 0}, gap                                                                   \
    }
#define METAL .dielectric = {1, 0, 1e7, 0}
/* Three leaves, from so many GHz on, and what is added. */
#define LEAVES(name_, loss, excess, of, low, added)                                                \
    {                                                                                              \
        .name = name_, .loss_db = loss, .delay = excess, .kind = AW_MATERIAL_LAYERED,              \
        .leaves = of, .n_leaves = 3, .lowest = (low)*1e9, .highest = 100e9, .added_db = added      \
    }
static const aw_leaf two_panes[] = {GLASS, AIR_OF(0.012), GLASS};
static const aw_leaf two_boards[] = {BOARD, AIR_OF(0.075), BOARD};

const aw_material aw_materials_built_in[] = {
#define SLAB(name_, loss, excess, a, c, d, usual_, low, high)                                      \
    {                                                                                              \
        .name = name_, .loss_db = loss, .delay = excess, .kind = AW_MATERIAL_SLAB,                 \
        .dielectric = {a, 0, c, d}, .default_thickness = usual_, .lowest = (low)*1e9,              \
        .highest = (high)*1e9                                                                      \
    }
    SLAB("plasterboard", 0.8, 0.008, 2.73, 0.0085, 0.9395, 0.0125, 1, 100),
    SLAB("glass", 2.9, 0.009, 6.31, 0.0036, 1.3394, 0.006, 0.1, 100),
    SLAB("wood", 2.0, 0.016, 1.99, 0.0047, 1.0718, 0.04, 0.001, 100),
    SLAB("chipboard", 2.3, 0.011, 2.58, 0.0217, 0.78, 0.018, 1, 100),
    SLAB("brick", 4.0, 0.108, 3.91, 0.0238, 0.16, 0.11, 1, 40),
    SLAB("concrete", 29.9, 0.258, 5.24, 0.0462, 0.7822, 0.2, 1, 100),
    {.name = "metal", .loss_db = 100, .kind = AW_MATERIAL_SLAB, .opaque = true, METAL},
    SLAB("air", 0, 0, 1, 0, 0, 0, 0.001, 100),
    SLAB("ceiling board", 0.2, 0.003, 1.48, 0.0011, 1.075, 0.015, 1, 100),
    SLAB("plywood", 6.5, 0.012, 2.71, 0.33, 0, 0.018, 1, 40),
    SLAB("marble", 3.0, 0.033, 7.074, 0.0055, 0.9262, 0.02, 1, 60),
    {.name = "empty rack", .loss_db = 2, .delay = 0.02, .kind = AW_MATERIAL_FIXED},
    {.name = "mixed rack", .loss_db = 5, .delay = 0.12, .kind = AW_MATERIAL_FIXED},
    {.name = "loaded rack", .loss_db = 9, .delay = 0.25, .kind = AW_MATERIAL_FIXED},
    {.name = "machine tool", .loss_db = 100, .kind = AW_MATERIAL_SLAB, .opaque = true, METAL},
    {.name = "vehicle", .loss_db = 100, .kind = AW_MATERIAL_SLAB, .opaque = true, METAL},
    LEAVES("glazed partition", 8.3, 0.018, two_panes, 0.1, 0),
    LEAVES("coated glazing", 33.3, 0.018, two_panes, 0.1, 25),
    LEAVES("plasterboard partition", 1.7, 0.016, two_boards, 1, 0),
    {.name = "reinforced concrete",
     .loss_db = 37.9,
     .delay = 0.258,
     .kind = AW_MATERIAL_SLAB,
     .dielectric = {5.24, 0, 0.0462, 0.7822},
     .default_thickness = 0.2,
     .lowest = 1e9,
     .highest = 100e9,
     .added_db = 8},
};

const char *aw_material_note(size_t built_in)
{
    static const struct {
        const char *name, *note;
    } notes[] = {
        {"empty rack", "a bay of uprights and beams; typical, check"},
        {"mixed rack", "half full of goods in boxes; typical, check"},
        {"loaded rack", "a bay of goods on pallets, which waves pass: not a block of metal; of "
                        "coils or castings take metal; typical, check"},
        {"machine tool", "cast iron and sheet, which hide and mirror; typical, check"},
        {"vehicle", "a body of sheet metal, which hides and mirrors; typical, check"},
        {"glazed partition", "two panes of 6 mm, 12 mm apart, by P.2040-3"},
        {"coated glazing", "the same with a coating against the sun or the cold: 25 dB added; "
                           "coatings differ by 20 dB; typical, check"},
        {"plasterboard partition",
         "two boards of 12.5 mm, 75 mm apart, studs left out, by P.2040-3"},
        {"reinforced concrete", "concrete by P.2040-3 and 8 dB for the mesh; typical, check"},
    };
    for (size_t i = 0; i < sizeof notes / sizeof *notes; i++)
        if (strcmp(aw_materials_built_in[built_in].name, notes[i].name) == 0)
            return notes[i].note;
    return NULL;
}

const size_t aw_materials_built_in_n =
    sizeof aw_materials_built_in / sizeof aw_materials_built_in[0];

/* --- What a material refers to --- */

static const aw_material *find(const aw_reader *r, const char *name)
{
    for (size_t i = 0; i < r->scenario->n_materials; i++)
        if (strcmp(r->scenario->materials[i].name, name) == 0)
            return &r->scenario->materials[i];
    return NULL;
}

/* NULL, with a complaint, if there is none of that name yet. */
static const aw_material *refer_to(aw_reader *r, const aw_node *node)
{
    const char *known[64];
    size_t n = 0;
    if (!aw_text_is_sound(r, "material", (aw_range){1, 60, false, false}, node))
        return NULL;
    const aw_material *found = find(r, node->text);
    if (found != NULL || !r->materials.complete)
        return found;
    for (; n < r->scenario->n_materials && n < sizeof known / sizeof known[0]; n++)
        known[n] = r->scenario->materials[n].name;
    aw_complain_of_unknown(r, "material", " at this point", known, n, node);
    return NULL;
}

void aw_read_base(aw_reader *r, const aw_node *node, aw_material *material)
{
    const aw_material *base = refer_to(r, node);
    if (base == NULL)
        return;
    const char *name = material->name;
    *material = *base;
    material->name = name;
    material->added_db = material->added_delay = 0;
}

/* What all leaves hold for, those so far and this one. */
static void narrow(aw_material *layered, const aw_material *of)
{
    if (of->highest == 0)
        return;
    layered->lowest = fmax(layered->lowest, of->lowest);
    layered->highest = layered->highest == 0 ? of->highest : fmin(layered->highest, of->highest);
}

static bool read_leaf(aw_reader *r, const aw_field *field, const aw_node *node, aw_leaf *leaf,
                      aw_material *layered)
{
    const aw_field thickness = {
        .key = field->key, .type = AW_FIELD_LENGTH, .range = AW_LEAF_THICKNESS};
    if (node->kind != AW_NODE_LIST || node->n != 2) {
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "%s: needs [NAME, THICKNESS], not %s", field->key, aw_node_shown(node).text);
        return false;
    }
    const aw_node *name = node->children[0];
    const aw_material *of = refer_to(r, name);
    leaf->thickness = aw_read_number(r, &thickness, node->children[1]);
    if (of == NULL)
        return false;
    if (of->kind != AW_MATERIAL_SLAB) {
        aw_errors_add(r->errors, AW_ERROR, name->line, name->column, "%s: '%s' has no permittivity",
                      field->key, of->name);
        return false;
    }
    leaf->material = of->name;
    leaf->dielectric = of->dielectric;
    narrow(layered, of);
    return true;
}

void aw_read_layers(aw_reader *r, const aw_field *field, const aw_node *node, aw_material *material)
{
    bool sound = true;
    if (!aw_expect_kind(r, field->key, AW_NODE_LIST, node) ||
        !aw_expect_count(r, field, "", node->n, node))
        return;
    aw_leaf *leaves = aw_arena_take_array(r->arena, node->n, sizeof *leaves);
    r->out_of_memory = r->out_of_memory || leaves == NULL;
    for (size_t i = 0; leaves != NULL && i < node->n; i++)
        sound = read_leaf(r, field, node->children[i], &leaves[i], material) && sound;
    if (leaves == NULL || !sound)
        return;
    material->leaves = leaves;
    material->n_leaves = node->n;
}

/* --- A material as a whole --- */

static void complain(aw_reader *r, const aw_node *at, const char *text)
{
    aw_errors_add(r->errors, AW_ERROR, at->line, at->column, "%s", text);
}

static void refuse_two_origins(aw_reader *r, const aw_node *node)
{
    const aw_node *base = aw_node_find(node, "based_on");
    const aw_node *permittivity = aw_node_find(node, "permittivity");
    const aw_node *layers = aw_node_find(node, "layers");
    const aw_node *conductivity = aw_node_find(node, "conductivity");
    if (layers != NULL && (base != NULL || permittivity != NULL))
        complain(r, layers, "layers: a material has one of based_on, permittivity and layers");
    else if (permittivity != NULL && base != NULL)
        complain(r, permittivity,
                 "permittivity: a material has one of based_on, permittivity and layers");
    if (conductivity != NULL && permittivity == NULL)
        complain(r, conductivity, "conductivity: needs permittivity");
}

/* A leaf that lets nothing through makes the whole so, whatever `opaque` says. */
static void stop_at_leaves(aw_reader *r, aw_material *m)
{
    for (size_t i = 0; i < m->n_leaves; i++) {
        const aw_material *leaf = find(r, m->leaves[i].material);
        m->opaque = m->opaque || (leaf != NULL && leaf->opaque);
    }
}

/* A loss that is neither written nor inherited is NaN until the whole scenario has been read, for
 * only a `radio` block makes it dispensable. */
void aw_material_finish(aw_reader *r, const aw_node *node, aw_material *m)
{
    if (node->kind != AW_NODE_MAPPING)
        return;
    refuse_two_origins(r, node);
    const aw_material *base =
        aw_node_find(node, "based_on") ? find(r, aw_node_find(node, "based_on")->text) : NULL;
    const bool sliced = aw_node_find(node, "permittivity") || aw_node_find(node, "layers");
    const bool written = aw_node_find(node, "loss_db") != NULL;
    if (aw_node_find(node, "permittivity") != NULL)
        m->kind = AW_MATERIAL_SLAB;
    if (aw_node_find(node, "layers") != NULL) {
        m->kind = AW_MATERIAL_LAYERED;
        stop_at_leaves(r, m);
    }
    if (!written && base == NULL && (sliced || m->opaque))
        m->loss_db = (double)NAN;
    else if (written && isnan(m->loss_db))
        m->loss_db = 0;
    /* What could not be read adds nothing. */
    m->added_db = isnan(m->added_db) ? 0 : m->added_db;
    m->added_delay = isnan(m->added_delay) ? 0 : m->added_delay;
    m->loss_db += m->added_db;
    m->delay += m->added_delay;
    if (m->kind == AW_MATERIAL_FIXED)
        m->added_db = m->added_delay = 0;
    if (base != NULL) {
        m->added_db += base->added_db;
        m->added_delay += base->added_delay;
    }
}

/* Of a name that is built in the row is replaced, at its place. */
static void keep(aw_scenario *s, aw_material materials[], const aw_material *material)
{
    for (size_t i = 0; i < aw_materials_built_in_n; i++)
        if (strcmp(materials[i].name, material->name) == 0) {
            materials[i] = *material;
            return;
        }
    materials[s->n_materials++] = *material;
}

static void add_materials(aw_reader *r, const aw_field *field, const aw_node *node,
                          aw_material materials[])
{
    const aw_range characters = aw_field_find(AW_BLOCK_TAG, "name", 4)->range;
    for (size_t i = 0; i + 1 < node->n; i += 2) {
        const aw_node *name = node->children[i];
        if (!aw_text_is_sound(r, "name of a material", characters, name)) {
            r->materials.complete = false;
            continue;
        }
        aw_material material = {.name = name->text};
        aw_read_block(r, field->inner, node->children[i + 1], &material);
        keep(r->scenario, materials, &material);
    }
}

void aw_read_materials(aw_reader *r, const aw_field *field, const aw_node *node)
{
    aw_scenario *s = r->scenario;
    const bool given = node != NULL && aw_expect_kind(r, field->key, AW_NODE_MAPPING, node);
    size_t most = aw_materials_built_in_n;
    if (given) /* not `given ? ... : 0`: gcc 14 then loads through the NULL of an absent node */
        most += node->n / 2;
    aw_material *materials = aw_arena_take_array(r->arena, most, sizeof *materials);
    aw_name *names = aw_arena_take_array(r->arena, most, sizeof *names);
    if (materials == NULL || names == NULL) {
        r->out_of_memory = true;
        return;
    }
    memcpy(materials, aw_materials_built_in,
           aw_materials_built_in_n * sizeof *aw_materials_built_in);
    r->materials.complete = node == NULL || given;
    s->materials = r->materials_read = materials;
    s->n_materials = aw_materials_built_in_n;
    if (given)
        add_materials(r, field, node, materials);
    for (size_t i = 0; i < s->n_materials; i++)
        names[i] = (aw_name){.text = materials[i].name, .index = i};
    aw_names_sort(names, s->n_materials);
    r->materials.list = names;
    r->materials.n = s->n_materials;
}

void aw_materials_settle(aw_reader *r, const aw_node *node)
{
    const aw_scenario *s = r->scenario;
    for (size_t i = 0; node != NULL && node->kind == AW_NODE_MAPPING && i + 1 < node->n; i += 2) {
        const aw_node *name = node->children[i];
        const aw_name *found =
            name->kind == AW_NODE_SCALAR ? aw_names_find(&r->materials, name->text) : NULL;
        aw_material *m = found != NULL ? &r->materials_read[found->index] : NULL;
        if (m == NULL || !isnan(m->loss_db))
            continue;
        if (!s->radio.given)
            aw_errors_add(r->errors, AW_ERROR, name->line, name->column,
                          "material '%s' needs loss_db, for there is no radio block that would "
                          "work its loss out",
                          aw_text_shown(name->text, name->length).text);
        m->loss_db = 0;
    }
}
