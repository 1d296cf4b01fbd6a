/* Paths to a value of a text: "anchors[name=A1].at[2]", or "anchors.A1.at.2". */
#ifndef AW_SCENARIO_PATH_H
#define AW_SCENARIO_PATH_H

#include "scenario/yaml.h"

/* Nodes from the root to the value. at[k + 1] is child child[k] of at[k]; of a mapping the number
 * is that of the value. For an insertion the last node is the collection, child[n - 1] the place
 * for what is new, and `key` its key in a mapping. */
typedef struct aw_trail {
    const aw_node *at[AW_YAML_DEPTH + 2];
    size_t child[AW_YAML_DEPTH + 2];
    size_t n;
    char key[512];
    size_t key_length;
} aw_trail;

typedef enum aw_step_kind { AW_STEP_KEY, AW_STEP_ITEM, AW_STEP_NAME, AW_STEP_END } aw_step_kind;

/* One step of a path. */
typedef struct aw_step {
    aw_step_kind kind;
    bool quoted;
    size_t item;
    char text[sizeof((aw_trail *)0)->key]; /* a key, or the name of an item */
    size_t length;
} aw_step;

/* Reads the step that begins there; where it ends, NULL if it is none. */
const char *aw_path_step(const char *at, bool first, aw_step *step);

/* False, with an error at the last node reached, if the path leads nowhere. */
bool aw_path_follow(aw_trail *trail, const aw_node *root, const char *path, bool insert,
                    aw_errors *errors);

/* Goes as far as the path leads; returns where its first step begins that does not, its end if all
 * do. */
const char *aw_path_reach(aw_trail *trail, const aw_node *root, const char *path);

#endif
