/* Which bytes an edit changes. */
#ifndef AW_SCENARIO_PATCH_H
#define AW_SCENARIO_PATCH_H

#include "anchorwise/text.h"
#include "scenario/path.h"

typedef struct aw_splice {
    size_t at, cut; /* bytes taken out */
    aw_text put;    /* what stands there instead */
} aw_splice;

/* In rising order. */
typedef struct aw_patch {
    aw_splice splices[2];
    size_t n;
} aw_patch;

/* False where the text is written in a way that they do not know. */
bool aw_patch_set(aw_patch *patch, const aw_text *text, const aw_trail *trail, const char *value);
/* A value in lines, each with its break, in place of the last node of the trail. */
bool aw_patch_set_lines(aw_patch *patch, const aw_text *text, const aw_trail *trail,
                        const char *lines);
bool aw_patch_insert(aw_patch *patch, const aw_text *text, const aw_trail *trail,
                     const char *value);
bool aw_patch_remove(aw_patch *patch, const aw_text *text, const aw_trail *trail);
/* As aw_edit_remark(). */
void aw_patch_remark(aw_patch *patch, const aw_text *text, const char *mark, const char *lines);
void aw_patch_free(aw_patch *patch);

#endif
