/** @file
 *  What became of a plan by its rules: the parts of a scenario, in metres, and what was left out.
 */
#ifndef AW_PLAN_MADE_H
#define AW_PLAN_MADE_H

#include "plan/frame.h"
#include "plan/rules.h"

typedef struct aw_made_item {
    aw_role role;
    const char *name; /* unique among those of its role, 1 to 60 characters (50 of candidates) */
    const aw_rule *rule;
    const char *source; /* the layer or block that it comes from */
    bool from_block;
    const aw_point *at; /* corners, or a path; of an anchor one point */
    size_t n;
    double thickness; /* of a wall */
    double height;    /* of an anchor */
    const char *tag;  /* of a zone */
} aw_made_item;

/* What was left out: how many of what, and how long together; NaN: nothing to measure. */
typedef struct aw_left_out {
    const char *source; /* a layer or block, or "" */
    const char *what;
    size_t n;
    double length;
} aw_left_out;

typedef struct aw_made {
    aw_plan_unit unit;
    aw_frame frame;
    double lies_at, lies_share; /* the walls' main direction, degrees, and how much of them has it;
                                   before any turn */
    aw_made_item *items;
    size_t n_items;
    const aw_point *outline; /* NULL: no layer has a role that would give one */
    size_t n_outline;
    const char *outline_is; /* how it was found */
    double ceiling;         /* NaN: nothing says */
    bool ceiling_assumed;
    size_t counts[AW_ROLES];
    aw_left_out *left;
    size_t n_left;
    aw_errors notes; /* warnings */
    aw_arena *memory;
    size_t room_items, room_left; /* private */
} aw_made;

/* Makes the parts. False with an error: an unsure unit, no memory. To be freed either way. The plan
 * and the rules must outlive what was made. */
bool aw_made_make(aw_made *made, const aw_plan *plan, const aw_rules *rules,
                  const aw_unit_verdict *verdict, const aw_run *run);
void aw_made_free(aw_made *made);

#endif
