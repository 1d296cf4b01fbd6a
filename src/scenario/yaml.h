/** @file
 *  A YAML text as nodes with places: what was written, before anyone asks what it means. */
#ifndef AW_SCENARIO_YAML_H
#define AW_SCENARIO_YAML_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "base/arena.h"

#define AW_YAML_BYTES ((size_t)16 << 20)
#define AW_YAML_DEPTH 32
#define AW_YAML_NODES 1000000

typedef enum aw_node_kind { AW_NODE_SCALAR, AW_NODE_LIST, AW_NODE_MAPPING } aw_node_kind;

/* An alias is a copy of the node it names, with the place and the bytes of the alias and the same
 * children. */
typedef struct aw_node {
    aw_node_kind kind;
    bool plain;        /* a scalar written without quotes */
    bool flow;         /* a collection written with brackets */
    bool alias;        /* written as an alias */
    bool copied;       /* an alias further down names it */
    int line, column;  /* of its first character, from 1 */
    size_t begin, end; /* bytes [begin, end) of the text hold it, with what names it for aliases;
                          equal for a value that is left out */
    const char *text;  /* of a scalar; a NUL follows the length bytes */
    size_t length;
    const struct aw_node **children; /* a mapping's are key, value, key, value ...; keys are scalars
                                        and none comes twice */
    size_t n;                        /* of children */
    size_t size;                     /* nodes of the subtree, an alias counting all it refers to */
} aw_node;

/* Reads the one document of a text into nodes that live in the arena. NULL if no tree could be
 * made; a tree may come with complaints (a key given twice: the first stands). Time and memory are
 * linear in length but for sorting. */
const aw_node *aw_yaml_read(aw_arena *arena, const char text[], size_t length, aw_errors *errors);

/* The value of a key, or NULL if the mapping has none. */
const aw_node *aw_node_find(const aw_node *mapping, const char *key);

/* Whether it is a scalar that YAML reads as nothing: empty, ~ or null. */
bool aw_node_is_null(const aw_node *node);

/* A value as it may stand in a complaint: one line, shortened. */
typedef struct aw_shown {
    char text[64];
} aw_shown;

/* A scalar's bare text. */
aw_shown aw_text_shown(const char text[], size_t length);

/* 'text', "text" if it is quoted, nothing, a list, a mapping. */
aw_shown aw_node_shown(const aw_node *node);

#endif
