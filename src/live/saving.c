/* The file and the text, brought together. Whatever is taken from disk is a step too, so that Back
 * leads to what was here before. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "live/journal.h"
#include "live/plain_file.h"
#include "live/session.h"

#define MOST_NAMES 100

static bool run_out(aw_errors *errors)
{
    aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

static bool copy_text(aw_text *to, const aw_text *from)
{
    to->n = 0;
    aw_text_add_bytes(to, from->n > 0 ? from->at : "", from->n);
    return !to->failed;
}

static void sum_up(const aw_text *text, char out[AW_CHECKSUM_ROOM])
{
    aw_checksum(text->n > 0 ? text->at : "", text->n, out);
}

bool aw_session_look_at_disk(const aw_session *s, aw_text *disk, bool *changed, aw_errors *errors)
{
    bool exists;
    char sum[AW_CHECKSUM_ROOM];
    if (!aw_plain_file_read(s->path, disk, &exists, errors))
        return false;
    sum_up(disk, sum);
    *changed = exists != s->exists || (exists && strcmp(sum, s->checksum) != 0);
    return true;
}

bool aw_session_is_gone(const aw_session *s)
{
    return access(s->path, F_OK) != 0;
}

/* The text of the file that is there now; false with errors, or if there is none. */
static bool read_disk(const aw_session *s, aw_text *disk, aw_errors *errors)
{
    bool changed;
    if (aw_session_is_gone(s))
        aw_errors_add(errors, AW_ERROR, 0, 0, "%s is not on disk any more", s->name);
    return errors->n_errors == 0 && aw_session_look_at_disk(s, disk, &changed, errors);
}

/* The base is now this text, and nothing is left unsaved but `behind` steps. */
static bool take_base(aw_session *s, const aw_text *text, size_t behind, aw_errors *errors)
{
    if (text != &s->base && !copy_text(&s->base, text))
        return run_out(errors);
    sum_up(&s->base, s->checksum);
    s->exists = true;
    s->saved = s->steps.done;
    s->behind = behind;
    return true;
}

/* Likewise, and none of the steps has to be kept any more. */
static bool settle(aw_session *s, const aw_text *text, aw_errors *errors)
{
    if (!take_base(s, text, 0, errors))
        return false;
    aw_journal_clear(s->journal, &s->base);
    return true;
}

bool aw_session_save(aw_session *s, aw_errors *errors)
{
    return aw_session_may_change(s, errors) && aw_text_write(&s->text, s->path, errors) &&
           settle(s, &s->text, errors);
}

bool aw_session_free_name(const aw_session *s, const char *ending, aw_text *path)
{
    const char *dot = strrchr(s->name, '.'), *kind = strrchr(ending, '.');
    const size_t folder = (size_t)(s->name - s->path);
    const size_t stem = dot != NULL && dot > s->name ? (size_t)(dot - s->name) : strlen(s->name);
    const int between = (int)(kind != NULL ? kind - ending : (ptrdiff_t)strlen(ending));
    for (int k = 1; k <= MOST_NAMES; k++) {
        path->n = 0;
        aw_text_add_bytes(path, s->path, folder + stem);
        aw_text_format(path, "%.*s", between, ending);
        if (k > 1)
            aw_text_format(path, "-%d", k);
        aw_text_add(path, kind != NULL ? kind : "");
        if (path->failed || access(path->at, F_OK) != 0)
            return !path->failed;
    }
    return false;
}

bool aw_session_save_beside(const aw_session *s, aw_text *name, aw_errors *errors)
{
    const char *dot = strrchr(s->name, '.');
    aw_text ending = {0}, path = {0};
    aw_text_format(&ending, "-mine%s", dot != NULL && dot > s->name ? dot : "");
    bool done = !ending.failed && aw_session_free_name(s, ending.at, &path);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "no name is free beside it");
    done = done && aw_text_write(&s->text, path.at, errors);
    if (done)
        aw_text_add(name, path.at + (s->name - s->path));
    aw_text_free(&ending);
    aw_text_free(&path);
    return done && !name->failed;
}

/* Operations of steps done again on a text. */
static bool repeat(const aw_steps *steps, size_t from, aw_text *text, aw_errors *errors)
{
    for (size_t i = from; i < steps->done; i++) {
        const aw_step *step = &steps->list[i];
        json_t *ops = step->ops != NULL ? json_loads(step->ops, 0, NULL) : NULL;
        aw_reading *now = ops != NULL ? aw_reading_make(text) : NULL;
        const bool done = now != NULL && aw_ops_apply(text, &now->of, ops, errors);
        if (!done)
            aw_errors_add(errors, AW_ERROR, 0, 0, "'%s' cannot be done again on the file on disk",
                          step->words);
        aw_reading_let_go(now);
        json_decref(ops);
        if (!done)
            return false;
    }
    return true;
}

bool aw_session_take_disk(aw_session *s, aw_errors *errors)
{
    aw_text disk = {0};
    const bool done = aw_session_may_change(s, errors) && read_disk(s, &disk, errors) &&
                      aw_session_replace(s, &disk, "the file on disk taken", true, errors) &&
                      settle(s, &disk, errors);
    aw_text_free(&disk);
    return done;
}

/* Takes a base and, as one step, the text with steps done again on it. */
static bool put_on(aw_session *s, const aw_text *base, const aw_text *text, size_t n,
                   aw_errors *errors)
{
    aw_text words = {0};
    aw_text_format(&words, "%zu %s put on top of the file on disk", n, n == 1 ? "step" : "steps");
    bool done = !words.failed && aw_session_replace(s, text, words.at, false, errors);
    aw_text_free(&words);
    if (!done || !take_base(s, base, n, errors))
        return false;
    aw_step kept;
    done = aw_step_find(&kept, base, text) && (kept.words = strdup("steps put on top")) != NULL;
    if (done)
        aw_journal_begin_again(s->journal, base, &kept, text);
    aw_step_free(&kept);
    return done || run_out(errors);
}

bool aw_session_put_on_top(aw_session *s, aw_errors *errors)
{
    aw_text disk = {0}, text = {0};
    if (s->behind == 0 && s->saved == s->steps.done)
        return aw_session_take_disk(s, errors);
    bool done = aw_session_may_change(s, errors) && read_disk(s, &disk, errors);
    if (done && (s->behind > 0 || s->saved > s->steps.done)) {
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "steps were taken back that the file has: they cannot be put on another");
        done = false;
    }
    if (done)
        done =
            copy_text(&text, &disk) ? repeat(&s->steps, s->saved, &text, errors) : run_out(errors);
    done = done && put_on(s, &disk, &text, s->steps.done - s->saved, errors);
    aw_text_free(&disk);
    aw_text_free(&text);
    return done;
}

/* What was kept is of another text: its operations are done again on this one. */
static bool recover_by_ops(aw_session *s, aw_steps *waiting, aw_errors *errors)
{
    aw_text text = {0};
    bool done = copy_text(&text, &s->base) ? repeat(waiting, 0, &text, errors) : run_out(errors);
    done = done && put_on(s, &s->base, &text, waiting->done, errors);
    aw_text_free(&text);
    return done;
}

static bool recover_by_text(aw_session *s, aw_steps *waiting, aw_errors *errors)
{
    aw_text text = {0};
    bool done = copy_text(&text, &s->base);
    for (size_t i = 0; done && i < waiting->done; i++)
        done = aw_step_lay(&waiting->list[i], false, &text);
    aw_reading *reading = done ? aw_reading_make(&text) : NULL;
    if (reading == NULL) {
        aw_text_free(&text);
        return run_out(errors);
    }
    aw_reading_let_go(s->reading);
    s->reading = reading;
    s->rev++;
    aw_text_free(&s->text);
    s->text = text;
    aw_steps_free(&s->steps);
    s->steps = *waiting;
    s->saved = s->behind = 0;
    *waiting = (aw_steps){0};
    return true;
}

bool aw_session_recover(aw_session *s, bool take, aw_errors *errors)
{
    aw_steps waiting = s->waiting;
    bool done = true;
    s->waiting = (aw_steps){0};
    if (take && waiting.done > 0)
        done = s->fits ? recover_by_text(s, &waiting, errors) : recover_by_ops(s, &waiting, errors);
    else
        aw_journal_clear(s->journal, &s->base);
    if (done)
        aw_steps_free(&waiting);
    else
        s->waiting = waiting;
    return done;
}
