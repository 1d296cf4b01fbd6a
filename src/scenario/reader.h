/* What the parts of the reading share: one reader goes over the nodes of one text. */
#ifndef AW_SCENARIO_READER_H
#define AW_SCENARIO_READER_H

#include "base/arena.h"
#include "scenario/fields.h"
#include "scenario/names.h"
#include "scenario/yaml.h"

typedef struct aw_reader {
    aw_arena *arena;
    aw_scenario *scenario;
    aw_errors *errors;
    const char *prefix; /* before a key in a complaint: "" or "--" */
    aw_names materials, tags, levels;
    aw_material *materials_read; /* the scenario's materials, until they are settled */
    aw_zone *zones_read;         /* its zones, likewise */
    aw_text_pos anchors_place;   /* of the list */
    bool out_of_memory;
} aw_reader;

/* --- value.c: single values. A bad one gets a complaint and a value that means unknown: NaN,
 * NULL, 0 --- */

/* Metres in one length unit of the file, and its name. */
double aw_reader_metre(const aw_reader *reader);
const char *aw_reader_unit(const aw_reader *reader);

/* Room for "[0, 9.5] m (the ceiling)". */
typedef struct aw_range_text {
    char text[96];
} aw_range_text;

/* The row's range in the file's units, high already lowered to the ceiling where it counts. */
aw_range_text aw_range_shown(const aw_reader *reader, const aw_field *field);

/* A number of the row's range, lengths in m. */
double aw_read_number(aw_reader *reader, const aw_field *field, const aw_node *node);
uint64_t aw_read_whole(aw_reader *reader, const aw_field *field, const aw_node *node);
int aw_read_choice(aw_reader *reader, const aw_field *field, const aw_node *node);

bool aw_read_flag(aw_reader *reader, const aw_field *field, const aw_node *node);

/* Text of the row's range of characters, in the arena. */
const char *aw_read_text(aw_reader *reader, const aw_field *field, const aw_node *node);

/* Whether the text of a name or title is sound; complains as about `key` if not. */
bool aw_text_is_sound(aw_reader *reader, const char *key, aw_range characters, const aw_node *node);

/* The index a name stands for. `what` is "material" or "tag". */
size_t aw_read_reference(aw_reader *reader, const char *what, const aw_names *names,
                         const aw_node *node);

/* `where` is "" or " in an anchor"; suggests the nearest of the known names or lists them. */
void aw_complain_of_unknown(aw_reader *reader, const char *what, const char *where,
                            const char *const known[], size_t n, const aw_node *node);

/* False, with a complaint, unless the node is of that kind. */
bool aw_expect_kind(aw_reader *reader, const char *key, aw_node_kind kind, const aw_node *node);

/* False, with a complaint, if a count is out of the row's range. `kind` is "" or "different ". */
bool aw_expect_count(aw_reader *reader, const aw_field *field, const char *kind, size_t n,
                     const aw_node *node);

/* --- shape.c --- */

void aw_read_spot(aw_reader *reader, const aw_field *field, const aw_node *node, double at[3]);

/* Two numbers of the row's range, the first not above the second; not a number if not sound. */
void aw_read_pins(aw_reader *reader, const aw_field *field, const aw_node *node, aw_pin pins[2]);
void aw_read_between(aw_reader *reader, const aw_field *field, const aw_node *node,
                     aw_between *between);

/* n = 0 if it is not sound. */
void aw_read_polygon(aw_reader *reader, const aw_field *field, const aw_node *node,
                     aw_polygon *polygon);
void aw_read_path(aw_reader *reader, const aw_field *field, const aw_node *node,
                  const aw_point **path, size_t *n);

/* The rectangles of a wall whose path and thickness are sound. */
void aw_wall_make_legs(aw_reader *reader, aw_wall *wall);

/* --- scenario.c --- */

/* Reads a tree, which lives in the arena and is to outlive the scenario; its lines are those of the
 * complaints, which are not sorted. False, the scenario zeroed, after an error. */
bool aw_scenario_read_tree(aw_scenario *scenario, aw_arena *arena, const aw_node *root,
                           aw_errors *errors);

/* --- read.c --- */

/* Reads a block's rows into an item, defaults first. */
void aw_read_block(aw_reader *reader, aw_block_id block, const aw_node *node, void *item);

/* Reads one value into its place in the item. */
void aw_read_field(aw_reader *reader, const aw_field *field, const aw_node *node, void *item);

/* --- materials.c --- */

/* The built-in rows, then the file's; `node` may be NULL. */
void aw_read_materials(aw_reader *reader, const aw_field *field, const aw_node *node);

/* Makes a material, but for its name, what another one is. */
void aw_read_base(aw_reader *reader, const aw_node *node, aw_material *material);

void aw_read_layers(aw_reader *reader, const aw_field *field, const aw_node *node,
                    aw_material *material);

/* What follows from the keys together. */
void aw_material_finish(aw_reader *reader, const aw_node *node, aw_material *material);

/* When the radio block has been read: complains of a loss that is missing without one. */
void aw_materials_settle(aw_reader *reader, const aw_node *materials);

/* --- storeys.c: what of the levels stands in the way, as obstacles; tags of zones that say where
 * they stand --- */

void aw_storeys_settle(aw_reader *reader, const aw_node *root);

/* --- starts.c: sets the figures of a starting point --- */

void aw_read_start(aw_reader *reader, const aw_field *field, const aw_node *node,
                   aw_ranging *ranging);

/* --- radio.c: the channel, and what the rules refuse --- */

void aw_radio_finish(aw_reader *reader, const aw_node *node, aw_radio *radio);

/* --- check.c --- */

/* Warnings about what is sound; unsound items are passed over. */
void aw_scenario_warn(aw_reader *reader);

/* --- idle.c --- */

/* Warnings about what is written and has no part in any figure, if there is no error. */
void aw_scenario_warn_idle(aw_reader *reader, const aw_node *root);

#endif
