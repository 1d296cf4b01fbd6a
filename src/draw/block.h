/* A block of running text: words wrapped to its width, one line under the other. */
#ifndef AW_DRAW_BLOCK_H
#define AW_DRAW_BLOCK_H

#include "draw/draft.h"

typedef struct aw_block {
    aw_point low, high; /* what is left of the box, inside its margins */
} aw_block;

aw_block aw_block_begin(const aw_draft *draft, aw_box box);

/* Adds a text in at most `lines` lines; what does not fit ends in an ellipsis. */
void aw_block_text(aw_draft *draft, aw_block *block, aw_ink ink, const char *text, size_t lines);

/* Bytes of the longest run of whole words of a text that fits a line; of one word at least. */
size_t aw_block_words(const aw_draft *draft, aw_ink ink, const char *text, double width);

/* Cuts a text to a width, with an ellipsis if it had to be. */
void aw_block_fit(const aw_draft *draft, aw_ink ink, const char *text, double width, char *out,
                  size_t room);

typedef enum aw_align { AW_AT_LEFT, AW_AT_MIDDLE, AW_AT_RIGHT } aw_align;

/* A text by its baseline, which takes its place; and cut to a width, with an ellipsis. */
void aw_draft_put(aw_draft *draft, aw_ink ink, const char *text, double x, double base,
                  aw_align how);
void aw_draft_put_cut(aw_draft *draft, aw_ink ink, const char *text, double x, double base,
                      double width);

/* The heading of a block over a rule, drawn if asked to; the place below. */
double aw_block_head(aw_draft *draft, const char *text, aw_point at, double width, bool draw);

#endif
