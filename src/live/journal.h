/* Steps that are not saved yet, kept beside the user's state so that a program or machine that
 * stops loses none: $XDG_STATE_HOME/anchorwise/, one file for each scenario, of mode 0600.
 *
 * The first line names the scenario and the checksum of the text that the steps begin from; each
 * other line is one difference of the text with the checksum after it, as JSON. A line is on disk
 * before its step is acknowledged. A last line that is torn is dropped, and one that does not fit
 * the text with what follows it. A lock beside it says that a program has the scenario open. */
#ifndef AW_LIVE_JOURNAL_H
#define AW_LIVE_JOURNAL_H

#include "anchorwise/error.h"
#include "live/steps.h"

typedef struct aw_journal aw_journal;

/* Takes the scenario's lock; `taken`: another program has it. NULL, with a warning, if steps cannot
 * be kept; of NULL all below does nothing. */
aw_journal *aw_journal_open(const char *path, bool *taken, aw_errors *errors);
void aw_journal_close(aw_journal *journal);

/* Whether every step so far is on disk. */
bool aw_journal_keeps(const aw_journal *journal);

/* Steps that were kept, none if there are none: `fits`: for this text, on which they were tried;
 * else nothing of them but words and operations is of use. Steps that this text has already, as
 * their program ended between saving and clearing, are cleared. */
void aw_journal_read(aw_journal *journal, const aw_text *text, aw_steps *steps, bool *fits);

/* A step done; a step gone back or forward over. `after`: the text then. */
void aw_journal_add(aw_journal *journal, const aw_step *step, const aw_text *after);
void aw_journal_go(aw_journal *journal, const aw_step *step, bool back, const aw_text *after);

/* One step on this text in place of what was kept, which stays if that cannot be done. */
void aw_journal_begin_again(aw_journal *journal, const aw_text *base, const aw_step *step,
                            const aw_text *after);

/* Takes away what was kept; the next step begins from this text. */
void aw_journal_clear(aw_journal *journal, const aw_text *base);

#endif
