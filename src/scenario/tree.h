/* A text's tree before and after an edit. */
#ifndef AW_SCENARIO_TREE_H
#define AW_SCENARIO_TREE_H

#include "scenario/path.h"

/* Whether two trees mean the same: kinds, texts and which of them are quoted; not where they stand.
 */
bool aw_tree_is_same(const aw_node *a, const aw_node *b);

/* A value as a node; NULL, with an error that names the path, if it is not one value on one line.
 */
const aw_node *aw_tree_value(aw_arena *arena, const char *path, const char *value,
                             aw_errors *errors);

/* The tree after the edit at the end of a trail: `value` set or inserted there, or NULL to remove
 * what is. A key that is inserted gets `line`. NULL without memory. */
const aw_node *aw_tree_changed(aw_arena *arena, const aw_trail *trail, bool insert,
                               const aw_node *value, int line);

/* A copy of a tree, all of it on one line. NULL without memory. */
const aw_node *aw_tree_placed(aw_arena *arena, const aw_node *node, int line);

#endif
