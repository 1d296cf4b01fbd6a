/* Who changed what, where a file was changed by two: item by item, by names. */
#ifndef AW_LIVE_CONFLICT_H
#define AW_LIVE_CONFLICT_H

#include "anchorwise/text.h"

/* Texts are owned; NULL: it is not there. */
typedef struct aw_clash {
    char *item; /* "anchors.C2" */
    char *mine, *disk;
} aw_clash;

typedef struct aw_conflict {
    aw_clash *list; /* items touched on both sides, to different ends */
    size_t n;
    bool clean; /* there are none, and all three could be compared */
    bool gone;  /* there is no file on disk any more; whoever looked there says so */
} aw_conflict;

/* Adds the item that a place of a text (line and column from 1) belongs to: the last that begins
 * there or before. Nothing if the text does not read as YAML, or the place is above all items. */
void aw_item_at(const aw_text *text, int line, int column, aw_text *out);

/* Compares both with the text that they come from. False without memory; aw_conflict_free() it
 * either way. */
bool aw_conflict_find(aw_conflict *conflict, const aw_text *base, const aw_text *mine,
                      const aw_text *disk);
void aw_conflict_free(aw_conflict *conflict);

#endif
