/* One scenario's text while it is planned: as it stands on disk, as it is now, and every step
 * between. Only one thread at a time may use it. */
#ifndef AW_LIVE_SESSION_H
#define AW_LIVE_SESSION_H

#include "draw/checksum.h"
#include "live/reading.h"
#include "live/steps.h"

typedef struct aw_session {
    char *path;                      /* as given */
    const char *name;                /* its last part */
    bool exists;                     /* on disk */
    bool read_only;                  /* another program has it open */
    aw_text base;                    /* as it was read or saved last */
    char checksum[AW_CHECKSUM_ROOM]; /* of the base */
    aw_text text;                    /* as it is now */
    aw_steps steps;
    size_t saved;  /* steps done when it was saved */
    size_t behind; /* steps that were saved, then taken back, and cannot be gone forward to */
    uint32_t rev;  /* counts every change that was shown */
    aw_reading *reading;
    struct aw_journal *journal;
    aw_steps waiting; /* kept from before, and neither put on nor thrown away */
    bool fits;        /* they are of this text */
} aw_session;

/* Opens a scenario's file, or begins an empty one if there is none. False, with errors, if it
 * cannot be read at all; one that is wrong can be. aw_session_close() it either way. */
bool aw_session_open(aw_session *session, const char *path, aw_errors *errors);
void aw_session_close(aw_session *session);

/* Whether it is to be changed at all; false with an error. */
bool aw_session_may_change(const aw_session *session, aw_errors *errors);

/* Steps that are not in the file. */
size_t aw_session_unsaved(const aw_session *session);

/* The scenario with operations done, and nothing kept: NULL with errors if they cannot be. */
aw_reading *aw_session_look(const aw_session *session, json_t *ops, aw_errors *errors);

/* The same as a step, which is kept. False, with errors, if it cannot be done. */
bool aw_session_step(aw_session *session, json_t *ops, aw_errors *errors);

/* A step to a whole text, in words of its own; `kept`: in the journal too, else its caller keeps
 * what is to be kept of it. */
bool aw_session_replace(aw_session *session, const aw_text *text, const char *words, bool kept,
                        aw_errors *errors);

/* Back or forward until so many steps are done. False, with errors, if there are not so many. */
bool aw_session_go(aw_session *session, size_t done, aw_errors *errors);

/* --- files (saving.c) --- */

/* The file as it is on disk now; `changed`: not as it was read or saved last. False with errors. */
bool aw_session_look_at_disk(const aw_session *session, aw_text *disk, bool *changed,
                             aw_errors *errors);

/* Whether there is no file on disk, be it that there never was one. */
bool aw_session_is_gone(const aw_session *session);

/* Writes the text over the file, whole. False with errors. */
bool aw_session_save(aw_session *session, aw_errors *errors);

/* Writes it beside the file under a name that is free, which is added to `name`. */
bool aw_session_save_beside(const aw_session *session, aw_text *name, aw_errors *errors);

/* A path beside the file that nothing has yet: its name with an ending, as "-report.html". */
bool aw_session_free_name(const aw_session *session, const char *ending, aw_text *path);

/* Takes the file on disk for the text, or its steps that are not saved done again on that; both are
 * steps of their own. False with errors, nothing then changed. */
bool aw_session_take_disk(aw_session *session, aw_errors *errors);
bool aw_session_put_on_top(aw_session *session, aw_errors *errors);

/* Puts on what was kept from before, or throws it away. */
bool aw_session_recover(aw_session *session, bool take, aw_errors *errors);

/* What a step did to the figures; `step` counts from 1. Nothing if there is none of that number. */
void aw_session_tell_effect(aw_session *session, size_t step, const char *words);

#endif
