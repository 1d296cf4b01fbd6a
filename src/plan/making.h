/* Making parts of a scenario from one source after the other: a layer, or a block. */
#ifndef AW_PLAN_MAKING_H
#define AW_PLAN_MAKING_H

#include "plan/curves.h"
#include "plan/made.h"
#include "plan/solids.h"

/* A layer, or a block that a rule names, with its pieces. */
typedef struct aw_source {
    const char *name;
    bool is_block;
    const aw_rule *rule;  /* NULL: none fits */
    const size_t *pieces; /* indices */
    size_t n;
} aw_source;

typedef struct aw_making {
    aw_made *made;
    const aw_plan *plan;
    const aw_rules *rules;
    const aw_run *run;
    aw_source *sources;
    size_t n_sources;
    bool *counts;      /* of each piece: shown, and near the others */
    double lies;       /* the walls' direction on the site, degrees */
    aw_strokes walls;  /* of all wall layers, middle lines on the site */
    size_t n_numbered; /* names of the source that have a number */
} aw_making;

/* Each gives false without memory, with or without an error. */
bool aw_make_walls(aw_making *m, const aw_source *source);
bool aw_make_solids(aw_making *m, const aw_source *source);
bool aw_make_rings(aw_making *m, const aw_source *source);
bool aw_make_candidates(aw_making *m, const aw_source *source);
bool aw_make_anchors(aw_making *m, const aw_source *source);
bool aw_make_outline(aw_making *m);

/* A piece's points on the site, in the arena. */
const aw_point *aw_making_points(aw_making *m, const aw_piece *piece);
/* Whether a piece is closed: an area or a ring, or a line whose ends are within 5 mm. */
bool aw_making_is_closed(const aw_piece *piece, const aw_point at[], size_t *n);

/* Adds a part with its points copied, without thickness and height (NaN), which can be set until
 * the next is added; `name` may be NULL: the source's with a number. NULL without memory. */
aw_made_item *aw_making_add(aw_making *m, const aw_source *source, const char *name,
                            const aw_point at[], size_t n);
/* Counts what was left out; nothing if n is 0. */
bool aw_making_leave(aw_making *m, const char *source, const char *what, size_t n, double length);

/* The text nearest the middle of an area among those that stand in it; those of its own layer go
 * before others, and of others those of blocks do not count. NULL: none. */
const char *aw_making_text_in(const aw_making *m, const aw_source *source, const aw_ring *ring);

#endif
