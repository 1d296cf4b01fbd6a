/* Names in a list: which are used twice, and which is meant. */
#ifndef AW_SCENARIO_NAMES_H
#define AW_SCENARIO_NAMES_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/scenario.h"

typedef struct aw_name {
    const char *text;
    size_t index; /* of the item in its list */
    aw_text_pos place;
} aw_name;

typedef struct aw_names {
    const aw_name *list; /* in byte order, then by index */
    size_t n;
    bool complete; /* false: some item's name could not be read, so a name not found may be its */
} aw_names;

void aw_names_sort(aw_name list[], size_t n);

/* The first of that name, or NULL. */
const aw_name *aw_names_find(const aw_names *names, const char *text);

/* FNV-1a, 32 bits, of the bytes before the NUL. */
uint32_t aw_name_hash(const char *text);

/* Gives each anchor its key: its name's hash, or the next free one in the order of the names; never
 * 0. `names` are all anchors' names. */
void aw_anchor_keys(aw_anchor anchors[], const aw_names *names);

#endif
