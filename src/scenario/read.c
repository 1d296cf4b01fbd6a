/* Nodes become a scenario by the fields table, row by row, in the table's order: units before the
 * first length, the ceiling before what hangs below it, a name before what refers to it. */
#include "scenario/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/plane.h"

static void *take(aw_reader *r, size_t n, size_t size)
{
    void *taken = aw_arena_take_array(r->arena, n, size);
    if (taken == NULL)
        r->out_of_memory = true;
    return taken;
}

static void read_version(aw_reader *r, const aw_field *field, const aw_node *node)
{
    if (node->kind == AW_NODE_SCALAR && node->plain && strcmp(node->text, "1") == 0)
        return;
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                  "%s: %s is not a version of this format; 1 is", field->key,
                  aw_node_shown(node).text);
}

/* --- Lists and their names --- */

static const char *name_of(const aw_block *block, const void *items, size_t i)
{
    return *(const char *const *)(const void *)((const char *)items + i * block->size);
}

static void complain_of_twins(aw_reader *r, const aw_name *first, const aw_name *later)
{
    char where[40] = "";
    if (first->place.line > 0)
        snprintf(where, sizeof where, "; first at line %d", first->place.line);
    aw_errors_add(r->errors, AW_ERROR, later->place.line, later->place.column,
                  "name '%s' is used twice%s", aw_text_shown(later->text, strlen(later->text)).text,
                  where);
}

/* The names of a list's items, sorted; complains of the later of two equal ones. */
static aw_names gather_names(aw_reader *r, const aw_block *block, const aw_node *list,
                             const void *items)
{
    aw_names names = {.complete = true};
    aw_name *gathered = take(r, list->n, sizeof *gathered);
    if (gathered == NULL)
        return names;
    for (size_t i = 0; i < list->n; i++) {
        const char *text = name_of(block, items, i);
        if (text == NULL) {
            names.complete = false;
            continue;
        }
        const aw_node *node = aw_node_find(list->children[i], "name");
        gathered[names.n++] = (aw_name){text, i, {node->line, node->column}};
    }
    aw_names_sort(gathered, names.n);
    for (size_t i = 1, first = 0; i < names.n; i++) {
        if (strcmp(gathered[first].text, gathered[i].text) != 0)
            first = i;
        else
            complain_of_twins(r, &gathered[first], &gathered[i]);
    }
    names.list = gathered;
    return names;
}

static void read_list(aw_reader *r, const aw_field *field, const aw_node *node, void *item)
{
    const aw_block *block = &aw_blocks[field->inner];
    aw_names none = {.complete = false};
    aw_names *kept = field->inner == AW_BLOCK_TAG     ? &r->tags
                     : field->inner == AW_BLOCK_LEVEL ? &r->levels
                                                      : &none;
    if (field->inner == AW_BLOCK_ANCHOR)
        r->anchors_place = (aw_text_pos){node->line, node->column};
    if (!aw_expect_kind(r, field->key, AW_NODE_LIST, node) ||
        !aw_expect_count(r, field, "", node->n, node))
        return;
    char *items = take(r, node->n, block->size);
    if (items == NULL)
        return;
    for (size_t i = 0; i < node->n; i++) {
        const aw_node *child = node->children[i];
        aw_read_block(r, field->inner, child, items + i * block->size);
        *(aw_text_pos *)(void *)(items + i * block->size + block->place_offset) =
            (aw_text_pos){child->line, child->column};
    }
    *kept = gather_names(r, block, node, items);
    if (field->inner == AW_BLOCK_ANCHOR && kept->n == node->n)
        aw_anchor_keys((aw_anchor *)(void *)items, kept);
    if (field->inner == AW_BLOCK_ZONE)
        r->zones_read = (aw_zone *)(void *)items;
    *(const void **)(void *)((char *)item + field->offset) = items;
    *(size_t *)(void *)((char *)item + field->n_offset) = node->n;
}

/* --- What a block needs beyond its rows --- */

static void complain_of_low_ceiling(aw_reader *r, const aw_node *node, double height)
{
    const double metre = aw_reader_metre(r), ceiling = r->scenario->floor.ceiling;
    if (height > ceiling)
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "the default tag height, %.6g %s, is outside [0, %.6g] %s (the ceiling)",
                      height / metre, aw_reader_unit(r), ceiling / metre, aw_reader_unit(r));
}

/* Sets a missing top to the ceiling; NaN, for unknown, compares with nothing. */
static void finish_span(aw_reader *r, const aw_node *node, double base, double *top)
{
    const aw_node *written_base = aw_node_find(node, "base");
    const aw_node *written_top = aw_node_find(node, "top");
    const double metre = aw_reader_metre(r);
    if (written_top == NULL)
        *top = r->scenario->floor.ceiling;
    if (!(*top <= base))
        return;
    if (written_top != NULL)
        aw_errors_add(r->errors, AW_ERROR, written_top->line, written_top->column,
                      "top: %s must be above base (%.6g %s)",
                      aw_text_shown(written_top->text, written_top->length).text, base / metre,
                      aw_reader_unit(r));
    else
        aw_errors_add(r->errors, AW_ERROR, written_base->line, written_base->column,
                      "base: %s must be below top (%.6g %s, the ceiling)",
                      aw_text_shown(written_base->text, written_base->length).text, *top / metre,
                      aw_reader_unit(r));
}

/* Least mean width of a footprint, m: less would be crossed without a trace. */
#define NARROWEST 1e-3

static void finish_footprint(aw_reader *r, const aw_node *node, const aw_polygon *p)
{
    const aw_node *footprint = aw_node_find(node, "footprint");
    const double longest = aw_length(p->high.x - p->low.x, p->high.y - p->low.y);
    if (p->n > 0 && aw_polygon_area(p->at, p->n) <= NARROWEST * longest)
        aw_errors_add(r->errors, AW_ERROR, footprint->line, footprint->column,
                      "footprint: a sheet thinner than %.3g %s is given as a wall",
                      NARROWEST / aw_reader_metre(r), aw_reader_unit(r));
}

/* A shell leaves room inside. */
static void finish_shell(aw_reader *r, const aw_node *node, const aw_obstacle *o)
{
    const aw_node *shell = aw_node_find(node, "shell");
    const aw_point low = o->footprint.low, high = o->footprint.high;
    const double least = fmin(fmin(high.x - low.x, high.y - low.y), o->top - o->base);
    if (shell != NULL && o->footprint.n > 0 && o->shell >= least / 2)
        aw_errors_add(r->errors, AW_ERROR, shell->line, shell->column,
                      "shell: %s on both sides leaves nothing of %.6g %s",
                      aw_text_shown(shell->text, shell->length).text, least / aw_reader_metre(r),
                      aw_reader_unit(r));
}

static void finish_slab(const aw_reader *r, const aw_node *node, aw_wall *wall)
{
    const aw_scenario *s = r->scenario;
    const double usual =
        wall->material < s->n_materials ? s->materials[wall->material].default_thickness : 0;
    const bool stands_in = aw_node_find(node, "thickness") == NULL && usual > 0;
    wall->slab_thickness = stands_in ? usual : wall->thickness;
}

static void finish_level(aw_reader *r, const aw_node *node, const aw_level *level)
{
    const aw_node *height = aw_node_find(node, "height");
    const double ceiling = r->scenario->floor.ceiling, metre = aw_reader_metre(r);
    if (height != NULL && ceiling > 0 && level->height >= ceiling)
        aw_errors_add(r->errors, AW_ERROR, height->line, height->column,
                      "height: %s must be below the ceiling (%.6g %s)",
                      aw_text_shown(height->text, height->length).text, ceiling / metre,
                      aw_reader_unit(r));
}

static void finish_scenario(aw_reader *r, const aw_node *node, aw_scenario *s)
{
    if (!s->radio.given)
        s->radio.channel = aw_channel_of(s->radio.channel.number);
    aw_materials_settle(r, aw_node_find(node, "materials"));
    aw_storeys_settle(r, node);
}

static void complain_of_empty_need(aw_reader *r, const aw_node *node)
{
    char known[160] = "";
    for (size_t i = 0; i < aw_fields_n; i++) {
        const size_t n = strlen(known);
        if (aw_fields[i].block == AW_BLOCK_NEED)
            snprintf(known + n, sizeof known - n, "%s%s", n > 0 ? ", " : "", aw_fields[i].key);
    }
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "a need is empty; known are %s",
                  known);
}

static void finish_need(aw_reader *r, const aw_node *node)
{
    if (node->n == 0)
        complain_of_empty_need(r, node);
    else if (aw_node_find(node, "share") != NULL && aw_node_find(node, "p95") == NULL)
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "share needs p95");
}

/* A need for the height takes a tag whose height is solved. */
static void finish_zone(aw_reader *r, const aw_node *node, const aw_zone *zone)
{
    const aw_node *need = aw_node_find(node, "need"), *name = aw_node_find(node, "tag");
    const aw_node *vertical =
        need != NULL && need->kind == AW_NODE_MAPPING ? aw_node_find(need, "vertical_p95") : NULL;
    const bool named = name == NULL || (name->kind == AW_NODE_SCALAR &&
                                        aw_names_find(&r->tags, name->text) != NULL);
    if (vertical == NULL || !named || zone->tag >= r->scenario->n_tags)
        return;
    const aw_tag *tag = &r->scenario->tags[zone->tag];
    if (tag->fix != AW_FIX_3D && tag->name != NULL)
        aw_errors_add(r->errors, AW_ERROR, vertical->line, vertical->column,
                      "vertical_p95: needs a 3d fix; tag '%s' has a 2d fix", tag->name);
}

static void finish_tag(aw_reader *r, const aw_node *node, const aw_tag *tag)
{
    if (aw_node_find(node, "height") == NULL)
        complain_of_low_ceiling(r, node, tag->height);
}

/* A price for one of the file's units becomes one for a metre. */
static void finish_prices(const aw_reader *r, aw_prices *prices)
{
    prices->cable /= aw_reader_metre(r);
}

static void finish_mount(const aw_reader *r, const aw_node *node, aw_mount *mount)
{
    if (aw_node_find(node, "up_to") == NULL)
        mount->up_to = r->scenario->floor.ceiling;
}

/* A band of one height, unless it says more. */
static void finish_line(aw_reader *r, const aw_node *node, aw_candidate_line *line)
{
    const aw_node *high = aw_node_find(node, "high");
    if (high == NULL)
        line->high = line->low;
    else if (line->high < line->low)
        aw_errors_add(r->errors, AW_ERROR, high->line, high->column,
                      "high: %s must not be under low (%.6g %s)",
                      aw_text_shown(high->text, high->length).text, line->low / aw_reader_metre(r),
                      aw_reader_unit(r));
}

static void finish_block(aw_reader *r, aw_block_id block, const aw_node *node, void *item)
{
    aw_obstacle *obstacle = item;
    aw_wall *wall = item;
    aw_forbidden *forbidden = item;
    switch (block) {
    case AW_BLOCK_SCENARIO:
        finish_scenario(r, node, item);
        break;
    case AW_BLOCK_MATERIAL:
        aw_material_finish(r, node, item);
        break;
    case AW_BLOCK_RADIO:
        aw_radio_finish(r, node, item);
        break;
    case AW_BLOCK_LEVEL:
        finish_level(r, node, item);
        break;
    case AW_BLOCK_LINE:
        finish_line(r, node, item);
        break;
    case AW_BLOCK_FORBIDDEN:
        finish_span(r, node, forbidden->base, &forbidden->top);
        break;
    case AW_BLOCK_OBSTACLE:
        finish_span(r, node, obstacle->base, &obstacle->top);
        finish_footprint(r, node, &obstacle->footprint);
        finish_shell(r, node, obstacle);
        break;
    case AW_BLOCK_WALL:
        finish_span(r, node, wall->base, &wall->top);
        finish_slab(r, node, wall);
        aw_wall_make_legs(r, wall);
        break;
    case AW_BLOCK_TAG:
        finish_tag(r, node, item);
        break;
    case AW_BLOCK_ZONE:
        finish_zone(r, node, item);
        break;
    case AW_BLOCK_NEED:
        finish_need(r, node);
        break;
    case AW_BLOCK_PRICES:
        finish_prices(r, item);
        break;
    case AW_BLOCK_MOUNT:
        finish_mount(r, node, item);
        break;
    case AW_BLOCK_PICTURE:
        ((aw_floor_picture *)item)->place = (aw_text_pos){node->line, node->column};
        break;
    default:
        break;
    }
}

/* --- Rows and blocks --- */

static size_t read_index(aw_reader *r, aw_field_type type, const aw_node *node)
{
    return type == AW_FIELD_TAG ? aw_read_reference(r, "tag", &r->tags, node)
                                : aw_read_reference(r, "material", &r->materials, node);
}

/* What is written as lists of numbers. */
static void read_tuples(aw_reader *r, const aw_field *field, const aw_node *node, void *item)
{
    void *target = (char *)item + field->offset;
    if (field->type == AW_FIELD_SPOT)
        aw_read_spot(r, field, node, target);
    else if (field->type == AW_FIELD_PINS)
        aw_read_pins(r, field, node, target);
    else if (field->type == AW_FIELD_BETWEEN)
        aw_read_between(r, field, node, target);
    else if (field->type == AW_FIELD_POLYGON)
        aw_read_polygon(r, field, node, target);
    else
        aw_read_path(r, field, node, target, (size_t *)(void *)((char *)item + field->n_offset));
}

void aw_read_field(aw_reader *r, const aw_field *field, const aw_node *node, void *item)
{
    void *target = (char *)item + field->offset;
    switch (field->type) {
    case AW_FIELD_VERSION:
        read_version(r, field, node);
        break;
    case AW_FIELD_TEXT:
        *(const char **)target = aw_read_text(r, field, node);
        break;
    case AW_FIELD_CHOICE:
        memcpy(target, &(int){aw_read_choice(r, field, node)}, sizeof(int));
        break;
    case AW_FIELD_LENGTH:
    case AW_FIELD_NUMBER:
        *(double *)target = aw_read_number(r, field, node);
        break;
    case AW_FIELD_COUNT:
        *(uint32_t *)target = (uint32_t)aw_read_whole(r, field, node);
        break;
    case AW_FIELD_SEED:
        *(uint64_t *)target = aw_read_whole(r, field, node);
        break;
    case AW_FIELD_SPOT:
    case AW_FIELD_PINS:
    case AW_FIELD_BETWEEN:
    case AW_FIELD_POLYGON:
    case AW_FIELD_PATH:
        read_tuples(r, field, node, item);
        break;
    case AW_FIELD_MATERIAL:
    case AW_FIELD_TAG:
        *(size_t *)target = read_index(r, field->type, node);
        break;
    case AW_FIELD_BLOCK:
        aw_read_block(r, field->inner, node, target);
        break;
    case AW_FIELD_LIST:
        read_list(r, field, node, item);
        break;
    case AW_FIELD_MATERIALS:
        aw_read_materials(r, field, node);
        break;
    case AW_FIELD_FLAG:
        *(bool *)target = aw_read_flag(r, field, node);
        break;
    case AW_FIELD_START:
        aw_read_start(r, field, node, item);
        break;
    case AW_FIELD_BASE:
        aw_read_base(r, node, item);
        break;
    case AW_FIELD_LAYERS:
        aw_read_layers(r, field, node, item);
        break;
    }
}

/* Without a list of tags there is one, which a zone may name. */
static void make_default_tag(aw_reader *r, const aw_node *root)
{
    aw_tag *tag = take(r, 1, sizeof *tag);
    aw_name *name = take(r, 1, sizeof *name);
    if (tag == NULL || name == NULL)
        return;
    aw_fields_reset(AW_BLOCK_TAG, tag);
    tag->name = "tag";
    tag->place = (aw_text_pos){root->line, root->column};
    *name = (aw_name){.text = tag->name};
    r->tags = (aw_names){name, 1, true};
    r->scenario->tags = tag;
    r->scenario->n_tags = 1;
    const aw_node *floor = aw_node_find(root, "floor");
    if (floor != NULL && floor->kind == AW_NODE_MAPPING && aw_node_find(floor, "ceiling") != NULL)
        complain_of_low_ceiling(r, aw_node_find(floor, "ceiling"), tag->height);
}

static size_t material_named(const aw_reader *r, const char *name)
{
    const aw_name *found = aw_names_find(&r->materials, name);
    return found != NULL ? found->index : 0;
}

static void read_absent(aw_reader *r, const aw_field *field, const aw_node *mapping, void *item)
{
    const char *what = aw_blocks[field->block].what;
    if (field->required)
        aw_errors_add(r->errors, AW_ERROR, mapping->line, mapping->column, "%s needs '%s'", what,
                      field->key);
    else if (field->type == AW_FIELD_MATERIALS)
        aw_read_materials(r, field, NULL);
    else if (field->type == AW_FIELD_MATERIAL)
        *(size_t *)(void *)((char *)item + field->offset) = material_named(r, field->standard_is);
    else if (field->type == AW_FIELD_LIST && field->inner == AW_BLOCK_TAG)
        make_default_tag(r, mapping);
}

static void refuse_unknown_keys(aw_reader *r, aw_block_id block, const aw_node *mapping)
{
    const char *known[32];
    size_t n = 0;
    char where[40];
    for (size_t i = 0; i < aw_fields_n && n < sizeof known / sizeof known[0]; i++)
        if (aw_fields[i].block == block)
            known[n++] = aw_fields[i].key;
    snprintf(where, sizeof where, " in %s", aw_blocks[block].what);
    for (size_t i = 0; i + 1 < mapping->n; i += 2) {
        const aw_node *key = mapping->children[i];
        if (aw_field_find(block, key->text, key->length) == NULL)
            aw_complain_of_unknown(r, "key", where, known, n, key);
    }
}

void aw_read_block(aw_reader *r, aw_block_id block, const aw_node *node, void *item)
{
    aw_fields_reset(block, item);
    if (!aw_expect_kind(r, aw_blocks[block].what, AW_NODE_MAPPING, node))
        return;
    refuse_unknown_keys(r, block, node);
    for (size_t i = 0; i < aw_fields_n; i++) {
        const aw_field *field = &aw_fields[i];
        if (field->block != block)
            continue;
        const aw_node *value = aw_node_find(node, field->key);
        if (value != NULL)
            aw_read_field(r, field, value, item);
        else
            read_absent(r, field, node, item);
    }
    finish_block(r, block, node, item);
}
