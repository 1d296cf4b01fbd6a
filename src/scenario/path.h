/* Paths to a value of a text: "anchors[name=A1].at[2]". */
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

/* False, with an error at the last node reached, if the path leads nowhere. */
bool aw_path_follow(aw_trail *trail, const aw_node *root, const char *path, bool insert,
                    aw_errors *errors);

#endif
