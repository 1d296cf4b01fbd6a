/* Lines of a text, for mistakes. */
#ifndef AW_LIVE_SOURCE_H
#define AW_LIVE_SOURCE_H

#include "report/shape.h"

/* Where a line of a text begins, from 1; NULL behind its end. */
const char *aw_source_find(const aw_text *text, int line);

/* A line of a text. */
typedef struct aw_source_line {
    const aw_text *text;
    int line;
} aw_source_line;

/* `{"line": ..., "text": ...}` of an aw_source_line, `s->i` lines further down. */
extern const aw_shape aw_live_source_shape;

/* Gives the i-th of the lines that show a mistake: the one before it, and its own. */
bool aw_get_source(const aw_source_line *at, size_t i, aw_value *value);

#endif
