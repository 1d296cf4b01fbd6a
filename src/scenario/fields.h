/** @file
 *  The fields table: what every key of a scenario means. It drives reading, defaults, complaints
 * and the scenario reference. */
#ifndef AW_SCENARIO_FIELDS_H
#define AW_SCENARIO_FIELDS_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/scenario.h"

typedef enum aw_block_id {
    AW_BLOCK_SCENARIO,
    AW_BLOCK_PLAN,
    AW_BLOCK_FLOOR,
    AW_BLOCK_PICTURE,
    AW_BLOCK_LEVEL,
    AW_BLOCK_SLAB,
    AW_BLOCK_MATERIAL,
    AW_BLOCK_OBSTACLE,
    AW_BLOCK_WALL,
    AW_BLOCK_ANCHOR,
    AW_BLOCK_TAG,
    AW_BLOCK_RANGING,
    AW_BLOCK_MEASURED,
    AW_BLOCK_RADIO,
    AW_BLOCK_RECEIVER,
    AW_BLOCK_ZONE,
    AW_BLOCK_NEED,
    AW_BLOCK_CANDIDATES,
    AW_BLOCK_POINT,
    AW_BLOCK_LINE,
    AW_BLOCK_FORBIDDEN,
    AW_BLOCK_PRICES,
    AW_BLOCK_MOUNT,
    AW_BLOCK_ITEM,
    AW_BLOCK_ASSUMPTIONS,
    AW_BLOCK_STUDY,
    AW_BLOCKS
} aw_block_id;

/* What a value looks like, and what it becomes at its offset. */
typedef enum aw_field_type {
    AW_FIELD_VERSION,   /* 1; kept nowhere */
    AW_FIELD_TEXT,      /* const char *; the range counts characters */
    AW_FIELD_CHOICE,    /* an enum */
    AW_FIELD_FLAG,      /* bool */
    AW_FIELD_LENGTH,    /* double, in m */
    AW_FIELD_NUMBER,    /* double, in the row's unit */
    AW_FIELD_COUNT,     /* uint32_t */
    AW_FIELD_SEED,      /* uint64_t */
    AW_FIELD_SPOT,      /* double[3], in m */
    AW_FIELD_PINS,      /* aw_pin[2] */
    AW_FIELD_BETWEEN,   /* aw_between, in m without a unit in the row, else in that unit */
    AW_FIELD_POLYGON,   /* aw_polygon; the range counts corners */
    AW_FIELD_PATH,      /* const aw_point *, its count at n_offset; the range counts points */
    AW_FIELD_MATERIAL,  /* size_t, index of the material named */
    AW_FIELD_TAG,       /* size_t, index of the tag named */
    AW_FIELD_START,     /* const aw_start *; sets the figures of its item */
    AW_FIELD_BASE,      /* aw_material, all but its name */
    AW_FIELD_LAYERS,    /* const aw_leaf *; the range counts leaves */
    AW_FIELD_BLOCK,     /* the struct of another block */
    AW_FIELD_LIST,      /* an array of them, its count at n_offset; the range counts items */
    AW_FIELD_MATERIALS, /* likewise, a mapping from names */
} aw_field_type;

typedef struct aw_range {
    double low, high;
    bool low_open, high_open;
} aw_range;

typedef struct aw_choice {
    const char *text; /* NULL ends the list */
    int value;
} aw_choice;

typedef struct aw_field {
    aw_block_id block;
    const char *key;
    aw_field_type type;
    bool required;
    double standard;         /* the default; for lengths in m whatever the units */
    const char *standard_is; /* the default in words, where a number does not say it */
    const char *unit;        /* of a number */
    aw_range range;          /* for lengths in m whatever the units */
    bool to_ceiling;         /* the ceiling is the upper end of the range */
    const aw_choice *choices;
    aw_block_id inner; /* of a block or list */
    size_t offset, n_offset;
    const char *help; /* one line for the reference */
} aw_field;

/* One row for each block: an item's size, and where its name (always first) and place go. */
typedef struct aw_block {
    const char *what;    /* "a zone" */
    const char *heading; /* for the reference */
    size_t size;
    size_t place_offset; /* SIZE_MAX: keeps no place */
} aw_block;

extern const aw_field aw_fields[];
extern const size_t aw_fields_n;
extern const aw_block aw_blocks[AW_BLOCKS];

extern const aw_choice aw_environment_choices[];

/* Of one leaf of a layered material, m. */
#define AW_LEAF_THICKNESS ((aw_range){0, 10, true, false})

extern const aw_material aw_materials_built_in[];
extern const size_t aw_materials_built_in_n;
/* What a row that stands for things as they are built is; NULL of a plain material. */
const char *aw_material_note(size_t built_in);

/* The row of a key, NULL if the block has none. */
const aw_field *aw_field_find(aw_block_id block, const char *key, size_t length);

/* Whether its numbers are lengths in the file's units. */
bool aw_field_is_length(const aw_field *field);

/* The default in words: "required", "0.1 m", "the ceiling". */
typedef struct aw_standard_text {
    char text[64];
} aw_standard_text;

aw_standard_text aw_field_standard(const aw_field *field);

/* Sets every default of an item that is all zero. */
void aw_fields_reset(aw_block_id block, void *item);

#endif
