/** @file vary.h
 *  One scenario with a change: of its text, for what a user asks, and in memory, for studies that
 *  try hundreds.
 *
 *  A change of the text is a path and a value, laid over the text as an edit (edit.h) and read
 * again by the reader that files have, with its checks and its complaints. A path is a chain of
 * keys, with a name or, counted from 0, a number for an item of a list: `obstacles.crane.base`,
 *  `anchors.P3.at`, `tags.0.height`, `zones."bogie bay".need.p95`. A name goes before a number;
 * what holds a dot, an opening bracket or an equals sign is put in double quotes. The paths of
 * edit.h are paths here too: `anchors[name=P3].at[2]`; `anchors[]` is a new item at the end.
 *
 *  The value stands in the file's units and is YAML on one line. A key that is not written yet is
 *  put in, with the blocks above it. `PATH.present` is true or false: false takes away what the
 * path names, true asks that it is there. Changes are made one after the other, so that a later one
 * sees what an earlier one did.
 *
 *  Source: none needed; the property is that the varied text, written by hand, reads the same. */
#ifndef ANCHORWISE_VARY_H
#define ANCHORWISE_VARY_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/scenario.h"
#include "anchorwise/text.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Where the value begins in "PATH=VALUE": behind the first equals sign that stands neither in
 *  quotes nor in brackets. NULL if there is none, or if path or value is empty or blank. */
const char *aw_change_value(const char *text);

/** Reads a scenario from a text with n changes laid over it.
 *
 *  @param scenario  as of aw_scenario_parse(); remembers the changes, for its outputs to tell.
 *  @param text      the scenario's text; afterwards the varied one, or as it was on failure.
 *  @param changes   path and value, blanks round them left out.
 *  @param errors    a mistake in a change begins with `--set PATH=VALUE: ` and has no place;
 * others, and those that follow from a change elsewhere, have their place in the text as it was
 * given.
 *  @return          true if there was no error.
 *
 *  Cost: a pass over the text for each change, and one to read it. */
bool aw_scenario_vary(aw_scenario *scenario, aw_text *text, const aw_change changes[], size_t n,
                      aw_errors *errors);

/** A scenario that is another one but for some changes: it owns the arrays that were changed and
 *  borrows all else, so that the other must outlive it. Values that stand in the struct itself
 *  (ranging, radio, study) are set in `scenario`; arrays by the functions below. */
typedef struct aw_varied {
    aw_scenario scenario; /**< not to be freed by itself */
    aw_anchor *anchors;   /**< those arrays of `scenario` that are its own, else NULL */
    aw_obstacle *obstacles;
    aw_wall *walls;
    aw_material *materials;
    aw_tag *tags;
    aw_zone *zones;
} aw_varied;

/** A scenario without a change yet. */
aw_varied aw_vary(const aw_scenario *scenario);

/** An array as the varied scenario's own, copied the first time. NULL without memory; of an empty
 *  array a pointer to nothing. Cost: of the first call a copy. */
aw_anchor *aw_varied_anchors(aw_varied *varied);
aw_obstacle *aw_varied_obstacles(aw_varied *varied);
aw_wall *aw_varied_walls(aw_varied *varied);
aw_material *aw_varied_materials(aw_varied *varied);
aw_tag *aw_varied_tags(aw_varied *varied);
aw_zone *aw_varied_zones(aw_varied *varied);

/** One anchor elsewhere, `to` in m; one more at the end; one, or one obstacle, absent, those behind
 *  it moved up. False without memory, the scenario as it was. */
bool aw_varied_move_anchor(aw_varied *varied, size_t anchor, const double to[3]);
bool aw_varied_add_anchor(aw_varied *varied, const aw_anchor *anchor);
bool aw_varied_drop_anchor(aw_varied *varied, size_t anchor);
bool aw_varied_drop_obstacle(aw_varied *varied, size_t obstacle);

/** Of every obstacle and wall that ends under the ceiling the top higher by so many m, no lower
 * than 1 cm above its base, no higher than the ceiling. */
bool aw_varied_move_tops(aw_varied *varied, double by);

/** Every material's loss and delay, given or worked out, times these. */
bool aw_varied_scale_materials(aw_varied *varied, double loss, double delay);

/** Every tag's height higher by so many m, between floor and ceiling, and its sigma times this. */
bool aw_varied_change_tags(aw_varied *varied, double by, double times);

/** Of a zeroed struct too. */
void aw_varied_free(aw_varied *varied);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
