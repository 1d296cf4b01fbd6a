/* What the page is told, as JSON: what is on the floor, and what it reaches. docs/live.md lists
 * the members. */
#ifndef AW_LIVE_ANSWER_H
#define AW_LIVE_ANSWER_H

#include "anchorwise/explain.h"
#include "live/conflict.h"
#include "live/outlook.h"
#include "live/session.h"
#include "report/shape.h"

/* One stage of an answer. */
typedef struct aw_answer {
    uint32_t rev;
    const char *stage; /* "estimate", "draws", "stands" */
    const aw_scenario *scenario;
    size_t tag;
    const aw_outlook *figures; /* NULL: too few anchors for any */
    const char *log;           /* the latest step with its effect; NULL: none */
    const char *scene;         /* NULL: nothing on the floor changed; else JSON, put in as it is */
} aw_answer;

/* Everything that is drawn, by a tag, and the state of the file. */
void aw_scene_json(const aw_session *session, size_t tag, aw_text *out);

/* `{"file": ...}` of a session, with the name of what was written besides, if that is not NULL. */
void aw_saved_json(const aw_session *session, const char *written, aw_text *out);
/* `{"checksum": ..., "changed": ..., "conflict": ...}` of the file on disk; NULL: not changed. */
void aw_disk_json(const aw_text *disk, const aw_conflict *conflict, aw_text *out);
/* `{"conflict": {"items": [...], "clean": ...}}`. */
void aw_conflict_json(const aw_conflict *conflict, aw_text *out);

void aw_answer_json(const aw_answer *answer, aw_text *out);

/* A spot explained. */
void aw_spot_json(const aw_explanation *explanation, const aw_scenario *scenario, aw_text *out);
/* `{"progress": "what is done now"}`, and `{"file": "what was written"}`. */
void aw_progress_json(const char *words, aw_text *out);
void aw_written_json(const char *name, aw_text *out);

/* The first error as `{"error": ..., "line": ..., "column": ..., "item": ..., "source": ...}`.
 * `item`, and the text that its line is of, may be NULL. */
void aw_mistake_json(const aw_errors *errors, const char *item, const aw_text *text, aw_text *out);

/* The zone whose figures changed most between two answers, from one to the other, and the price;
 * "no zone changes by 5 %". Zones go by their names. */
void aw_effect_words(const aw_outlook *before, const aw_scenario *was, const aw_outlook *after,
                     const aw_scenario *is, aw_text *out);

#endif
