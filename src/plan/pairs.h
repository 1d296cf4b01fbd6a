/* The pairs of lines that a DXF is made of: a group code and its value. Lines end with \n, \r\n or
 * \r. */
#ifndef AW_PLAN_PAIRS_H
#define AW_PLAN_PAIRS_H

#include <stdbool.h>
#include <stddef.h>

typedef struct aw_dxf_pair {
    int code;
    const char *value; /* without the blanks about it */
    size_t length;
    int line; /* of the code */
} aw_dxf_pair;

typedef struct aw_dxf_reader {
    const char *text;
    size_t length, at;
    int line; /* read so far */
} aw_dxf_reader;

/* 1: a pair, 0: the text has ended, -1: what stands there is none. */
int aw_dxf_next(aw_dxf_reader *reader, aw_dxf_pair *pair);

/* Whether its value is a word, whose case does not count. */
bool aw_dxf_is(const aw_dxf_pair *pair, const char *word);

/* Its value as a number; text where a number belongs is 0, as is a whole one that is far out of
 * range. */
double aw_dxf_number(const aw_dxf_pair *pair);
int aw_dxf_whole(const aw_dxf_pair *pair);

/* The first 31 bytes of its value. */
void aw_dxf_word(const aw_dxf_pair *pair, char out[32]);

#endif
