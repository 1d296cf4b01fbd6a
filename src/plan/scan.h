/* A look at a DXF before anyone else reads it: its header, layers and blocks, how much it holds and
 * how far its blocks expand. Refuses what is no text DXF and what would never end.
 *
 * A DXF is a text of pairs of lines, a group code and its value; the layout of sections and
 * entities is that of Autodesk's DXF reference (R12 to 2018). One pass; time linear in length. */
#ifndef AW_PLAN_SCAN_H
#define AW_PLAN_SCAN_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "base/arena.h"

#define AW_PLAN_BYTES    ((size_t)200 << 20)
#define AW_PLAN_ENTITIES 2000000.0
#define AW_PLAN_DEPTH    64

typedef struct aw_dxf_layer {
    const char *name; /* UTF-8 */
    bool hidden;      /* frozen or off */
} aw_dxf_layer;

typedef struct aw_dxf_block {
    const char *name; /* UTF-8 */
    const char *path; /* of an external reference; NULL: the block is in the file */
} aw_dxf_block;

typedef struct aw_dxf_count {
    char type[32];
    size_t n;
} aw_dxf_count;

#define AW_DXF_TYPES 64

typedef struct aw_dxf_scan {
    char version[32];   /* $ACADVER; "" if the file does not say */
    int unit;           /* $INSUNITS; -1: none given */
    char code_page[32]; /* $DWGCODEPAGE, likewise */
    char
        encoding[32]; /* in which its texts are read: "UTF-8" if all bytes are, else by code page */
    size_t begin;     /* byte of the first pair that counts */
    bool has_header;  /* a HEADER section comes first */
    bool has_handles; /* entities can be told apart */
    bool has_inserts;
    bool ended; /* with EOF */
    aw_dxf_layer *layers;
    size_t n_layers;
    aw_dxf_block *blocks;
    size_t n_blocks;
    aw_dxf_count types[AW_DXF_TYPES]; /* of the entities outside blocks */
    size_t n_types;
    const char **invisible; /* handles of entities that are not to be shown, sorted */
    size_t n_invisible;
    size_t n_entities; /* outside blocks */
    aw_arena *memory;
} aw_dxf_scan;

/* Scans a text that was sniffed. False with an error at its line. To be freed either way. */
bool aw_dxf_scan_read(aw_dxf_scan *scan, const char text[], size_t length, aw_errors *errors);
void aw_dxf_scan_free(aw_dxf_scan *scan);

bool aw_dxf_is_invisible(const aw_dxf_scan *scan, const char *handle);

#endif
