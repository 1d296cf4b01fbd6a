/* The text is the document: every step is an edit of it, and it is read again after each. */
#include "live/session.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "anchorwise/edit.h"
#include "live/journal.h"
#include "live/plain_file.h"

static bool run_out(aw_errors *errors)
{
    aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

static bool copy_text(aw_text *to, const aw_text *from)
{
    to->n = 0;
    aw_text_add_bytes(to, from->at != NULL ? from->at : "", from->n);
    return !to->failed;
}

/* --- opening --- */

/* What a scenario that does not exist yet begins with: what every one has to have, and a title. */
static void begin_text(const char *name, aw_text *out)
{
    const char *dot = strrchr(name, '.');
    aw_text title = {0};
    aw_text_add_bytes(&title, name,
                      dot != NULL && dot > name ? (size_t)(dot - name) : strlen(name));
    aw_text_add(out, "anchorwise: 1\ntitle: ");
    aw_edit_quote(out, title.failed ? "plan" : title.at);
    aw_text_add(out, "\nunits: m\n");
    aw_text_free(&title);
}

static bool read_again(aw_session *s, aw_errors *errors)
{
    aw_reading *reading = aw_reading_make(&s->text);
    if (reading == NULL)
        return run_out(errors);
    aw_reading_let_go(s->reading);
    s->reading = reading;
    s->rev++;
    return true;
}

static bool take_file(aw_session *s, aw_errors *errors)
{
    bool exists;
    s->base.n = 0;
    if (!aw_plain_file_read(s->path, &s->base, &exists, errors))
        return false;
    s->exists = exists;
    if (!exists)
        begin_text(s->name, &s->base);
    if (s->base.failed || !copy_text(&s->text, &s->base))
        return run_out(errors);
    aw_checksum(s->base.at != NULL ? s->base.at : "", s->base.n, s->checksum);
    s->saved = s->steps.done;
    s->behind = 0;
    return read_again(s, errors);
}

bool aw_session_open(aw_session *s, const char *path, aw_errors *errors)
{
    const char *slash = strrchr(path, '/');
    *s = (aw_session){.path = strdup(path)};
    if (s->path == NULL)
        return run_out(errors);
    s->name = slash != NULL ? s->path + (slash + 1 - path) : s->path;
    if (!take_file(s, errors))
        return false;
    s->journal = aw_journal_open(s->path, &s->read_only, errors);
    if (!s->read_only)
        aw_journal_read(s->journal, &s->base, &s->waiting, &s->fits);
    return true;
}

void aw_session_close(aw_session *s)
{
    aw_journal_close(s->journal);
    aw_reading_let_go(s->reading);
    aw_steps_free(&s->steps);
    aw_steps_free(&s->waiting);
    aw_text_free(&s->base);
    aw_text_free(&s->text);
    free(s->path);
    *s = (aw_session){0};
}

/* --- steps --- */

size_t aw_session_unsaved(const aw_session *s)
{
    const size_t done = s->steps.done;
    return s->behind + (done > s->saved ? done - s->saved : s->saved - done);
}

/* Has to read as sound. */
static aw_reading *read_sound(const aw_text *text, aw_errors *errors)
{
    aw_reading *reading = aw_reading_make(text);
    if (reading == NULL)
        run_out(errors);
    if (reading == NULL || reading->sound)
        return reading;
    for (size_t i = 0; i < reading->errors.n; i++) {
        const aw_complaint *c = &reading->errors.list[i];
        aw_errors_add(errors, c->severity, c->line, c->column, "%s", c->text);
    }
    aw_reading_let_go(reading);
    return NULL;
}

/* The text with operations done; freed by the caller either way. */
static aw_reading *try_ops(const aw_session *s, json_t *ops, aw_text *text, aw_errors *errors)
{
    if (!copy_text(text, &s->text)) {
        run_out(errors);
        return NULL;
    }
    return aw_ops_apply(text, &s->reading->of, ops, errors) ? read_sound(text, errors) : NULL;
}

aw_reading *aw_session_look(const aw_session *s, json_t *ops, aw_errors *errors)
{
    aw_text text = {0};
    aw_reading *reading = try_ops(s, ops, &text, errors);
    aw_text_free(&text);
    return reading;
}

/* `kept`: in the journal too. Takes the reading over, and the words and operations of a step whose
 * difference is found here. */
static bool keep_step(aw_session *s, aw_step *told, const aw_text *text, aw_reading *reading,
                      bool kept, aw_errors *errors)
{
    aw_step step;
    bool done = aw_step_find(&step, &s->text, text);
    step.words = told->words;
    step.ops = told->ops;
    if (!done || step.words == NULL || !aw_steps_make_room(&s->steps) ||
        !aw_step_lay(&step, false, &s->text)) {
        aw_step_free(&step);
        aw_reading_let_go(reading);
        return run_out(errors);
    }
    if (s->saved > s->steps.done) {
        s->behind += s->saved - s->steps.done;
        s->saved = s->steps.done;
    }
    aw_reading_let_go(s->reading);
    s->reading = reading;
    s->rev++;
    if (kept)
        aw_journal_add(s->journal, &step, &s->text);
    return aw_steps_add(&s->steps, &step) || run_out(errors);
}

bool aw_session_may_change(const aw_session *s, aw_errors *errors)
{
    if (s->read_only)
        aw_errors_add(errors, AW_ERROR, 0, 0, "another program has %s open: this one only reads",
                      s->name);
    else if (s->waiting.n > 0)
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "%zu steps from before are not saved: put them on or throw them away first",
                      s->waiting.n);
    return !s->read_only && s->waiting.n == 0;
}

bool aw_session_step(aw_session *s, json_t *ops, aw_errors *errors)
{
    aw_text text = {0}, words = {0};
    if (!aw_session_may_change(s, errors))
        return false;
    aw_reading *reading = try_ops(s, ops, &text, errors);
    bool done = reading != NULL;
    if (done) {
        aw_ops_words(ops, &s->reading->of.scenario, &words);
        aw_step told = {.words = words.failed ? NULL : strdup(words.at != NULL ? words.at : ""),
                        .ops = json_dumps(ops, JSON_COMPACT)};
        if (told.ops == NULL) {
            free(told.words);
            told.words = NULL; /* no step without what it did */
        }
        done = keep_step(s, &told, &text, reading, true, errors);
    }
    aw_text_free(&text);
    aw_text_free(&words);
    return done;
}

bool aw_session_replace(aw_session *s, const aw_text *text, const char *words, bool kept,
                        aw_errors *errors)
{
    aw_reading *reading = aw_session_may_change(s, errors) ? read_sound(text, errors) : NULL;
    if (reading == NULL)
        return false;
    aw_step told = {.words = strdup(words)};
    return keep_step(s, &told, text, reading, kept, errors);
}

bool aw_session_go(aw_session *s, size_t done, aw_errors *errors)
{
    if (!aw_session_may_change(s, errors))
        return false;
    if (done > s->steps.n) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "there are %zu steps, not %zu", s->steps.n, done);
        return false;
    }
    while (s->steps.done != done) {
        const bool back = s->steps.done > done;
        const aw_step *step = &s->steps.list[back ? s->steps.done - 1 : s->steps.done];
        if (!aw_step_lay(step, back, &s->text))
            return run_out(errors);
        s->steps.done += back ? (size_t)-1 : 1;
        aw_journal_go(s->journal, step, back, &s->text);
    }
    return read_again(s, errors);
}

void aw_session_tell_effect(aw_session *s, size_t step, const char *words)
{
    if (step < 1 || step > s->steps.n)
        return;
    free(s->steps.list[step - 1].effect);
    s->steps.list[step - 1].effect = strdup(words);
}
