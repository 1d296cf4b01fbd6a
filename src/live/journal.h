/* Steps that are not saved yet, kept beside the user's state so that a program or machine that
 * stops loses none: $XDG_STATE_HOME/anchorwise/, one file for each scenario, of mode 0600.
 *
 * The first line names the scenario and the checksum of the text that the steps begin from; each
 * other line is one difference of the text with the checksum after it, as JSON. A line is on disk
 * before its step is acknowledged. A last line that is torn, or does not fit the text, is dropped
 * with what follows. A lock beside it says that a program has the scenario open. */
#ifndef AW_LIVE_JOURNAL_H
#define AW_LIVE_JOURNAL_H

#include "anchorwise/error.h"
#include "live/steps.h"

typedef struct aw_journal aw_journal;

/* Takes the scenario's lock; `taken`: another program has it. NULL, with a warning, if steps cannot
 * be kept; all below does nothing then. */
aw_journal *aw_journal_open(const char *path, bool *taken, aw_errors *errors);
void aw_journal_close(aw_journal *journal);

/* Steps that were kept for a text of that checksum; none if there is no journal or it is of another
 * text. */
void aw_journal_read(aw_journal *journal, const char *checksum, aw_steps *steps);

/* A step done; a step gone back or forward over. `after`: the text then. */
void aw_journal_add(aw_journal *journal, const aw_step *step, const aw_text *after);
void aw_journal_go(aw_journal *journal, const aw_step *step, bool back, const aw_text *after);

/* Begins anew from a text of that checksum, and takes away what was kept. */
void aw_journal_clear(aw_journal *journal, const char *checksum);

#endif
