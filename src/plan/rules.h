/** @file
 *  What the layers and blocks of a plan are to become: roles, by patterns of names.
 *
 *      drawing: 1
 *      unit: in
 *      layers:                   # the first that fits counts; * and ?; case does not count
 *        "A-WALL*": {wall: {material: brick, top: 2.7}}
 *        "*": ignore
 *      blocks:                   # before layers, by the name of the outermost block
 *        "UWB*": {anchor: {name: NAME, height: H}}
 *
 *  All lengths are metres, whatever the plan's unit. */
#ifndef AW_PLAN_RULES_H
#define AW_PLAN_RULES_H

#include "anchorwise/scenario.h"
#include "plan/unit.h"

typedef enum aw_role {
    AW_ROLE_NONE,
    AW_ROLE_IGNORE,
    AW_ROLE_OUTLINE,
    AW_ROLE_WALL,
    AW_ROLE_OBSTACLE,
    AW_ROLE_ZONE,
    AW_ROLE_LEVEL,
    AW_ROLE_ANCHOR,
    AW_ROLE_CANDIDATES,
    AW_ROLE_FORBIDDEN,
    AW_ROLES
} aw_role;

extern const char *const aw_role_names[AW_ROLES + 1]; /* "" of none; ends with NULL */

/* Lengths in m, NaN where nothing is said. */
typedef struct aw_rule {
    const char *pattern;
    bool of_blocks;
    aw_role role;
    const char *material;
    double thickness, base, top;
    double ceiling;                  /* of an outline */
    double height;                   /* of a level's floor, of anchors */
    const char *height_tag;          /* the attribute that has it instead */
    const char *name_tag;            /* the attribute with the name of anchors */
    const char *tag, *need;          /* of a zone; the need as YAML on one line */
    double spacing, low, high, step; /* of candidates */
    bool assumed;                    /* material or heights are a guess */
    const char *why;                 /* of a guess; "" else */
    aw_text_pos place;               /* line 0: it stands in no file */
} aw_rule;

/* How double lines are joined to walls, m. */
typedef struct aw_joining {
    double gap;      /* ends nearer than this meet */
    double thinnest; /* distance of two faces, from and up to */
    double thickest;
    double door; /* gaps from here on stay open */
} aw_joining;

typedef struct aw_rules {
    aw_rule *list;
    size_t n, room;
    aw_plan_unit unit; /* AW_PLAN_UNSURE: not said */
    double turn;       /* degrees by which the plan is turned, counter-clockwise; NaN: not said */
    bool turn_auto;    /* from the longest walls */
    bool has_origin;   /* the next is given */
    double origin[2];  /* m, before the turn: what becomes 0, 0 */
    bool hidden;       /* what is frozen, off or invisible counts too */
    aw_joining join;
    aw_arena *memory;
} aw_rules;

/* No rules, and joining as documented. False without memory. To be freed either way. */
bool aw_rules_create(aw_rules *rules, aw_errors *errors);
void aw_rules_free(aw_rules *rules);

/* Adds those of a file's text; every mistake with its line and column. */
bool aw_rules_read(aw_rules *rules, const char text[], size_t length, aw_errors *errors);

/* Adds one of the command line, "NAME=ROLE": "A-WALL=wall: {material: brick}". */
bool aw_rules_add(aw_rules *rules, const char *given, aw_errors *errors);

/* Adds one for every layer, by its name. False without memory. */
bool aw_rules_guess(aw_rules *rules, const aw_plan *plan, aw_errors *errors);

/* Adds the file that says the same, with the reason of each guess as a comment. */
void aw_rules_write(const aw_rules *rules, const aw_plan *plan, const aw_unit_verdict *verdict,
                    aw_text *out);

/* The rule that counts for a layer, or for a block; NULL: none fits. */
const aw_rule *aw_rules_of_layer(const aw_rules *rules, const char *layer);
const aw_rule *aw_rules_of_block(const aw_rules *rules, const char *block);

/* Reads "auto", "none" or degrees; false if it is none of them. */
bool aw_rules_read_turn(aw_rules *rules, const char *text);

#endif
