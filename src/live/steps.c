/* Two texts share a beginning and an end; what is between them is the step. */
#include "live/steps.h"

#include <stdlib.h>
#include <string.h>

static bool is_inside_character(char byte)
{
    return ((unsigned char)byte & 0xC0) == 0x80;
}

/* Bytes that both begin with, up to the beginning of a character. */
static size_t shared_start(const aw_text *a, const aw_text *b)
{
    size_t n = 0;
    while (n < a->n && n < b->n && a->at[n] == b->at[n])
        n++;
    while (n > 0 && ((n < a->n && is_inside_character(a->at[n])) ||
                     (n < b->n && is_inside_character(b->at[n]))))
        n--;
    return n;
}

static size_t shared_end(const aw_text *a, const aw_text *b, size_t start)
{
    size_t n = 0;
    while (n < a->n - start && n < b->n - start && a->at[a->n - 1 - n] == b->at[b->n - 1 - n])
        n++;
    while (n > 0 && is_inside_character(a->at[a->n - n]))
        n--;
    return n;
}

bool aw_step_find(aw_step *step, const aw_text *before, const aw_text *after)
{
    const size_t start = shared_start(before, after), end = shared_end(before, after, start);
    *step = (aw_step){.at = start};
    step->out = strndup(before->n > 0 ? before->at + start : "", before->n - start - end);
    step->in = strndup(after->n > 0 ? after->at + start : "", after->n - start - end);
    return step->out != NULL && step->in != NULL;
}

void aw_step_free(aw_step *step)
{
    free(step->out);
    free(step->in);
    free(step->words);
    free(step->effect);
    free(step->ops);
    *step = (aw_step){0};
}

bool aw_step_lay(const aw_step *step, bool back, aw_text *text)
{
    const char *out = back ? step->in : step->out, *in = back ? step->out : step->in;
    const size_t taken = strlen(out);
    aw_text laid = {0};
    if (step->at > text->n || taken > text->n - step->at ||
        (taken > 0 && memcmp(text->at + step->at, out, taken) != 0))
        return false;
    aw_text_add_bytes(&laid, text->at != NULL ? text->at : "", step->at);
    aw_text_add(&laid, in);
    if (text->n > step->at + taken)
        aw_text_add_bytes(&laid, text->at + step->at + taken, text->n - step->at - taken);
    if (laid.failed) {
        aw_text_free(&laid);
        return false;
    }
    aw_text_free(text);
    *text = laid;
    return true;
}

bool aw_steps_make_room(aw_steps *steps)
{
    if (steps->n < steps->room)
        return true;
    const size_t room = steps->room > 0 ? 2 * steps->room : 32;
    aw_step *list = realloc(steps->list, room * sizeof *list);
    if (list == NULL)
        return false;
    steps->list = list;
    steps->room = room;
    return true;
}

bool aw_steps_add(aw_steps *steps, aw_step *step)
{
    while (steps->n > steps->done)
        aw_step_free(&steps->list[--steps->n]);
    if (!aw_steps_make_room(steps)) {
        aw_step_free(step);
        return false;
    }
    steps->list[steps->n++] = *step;
    steps->done = steps->n;
    *step = (aw_step){0};
    return true;
}

void aw_steps_free(aw_steps *steps)
{
    while (steps->n > 0)
        aw_step_free(&steps->list[--steps->n]);
    free(steps->list);
    *steps = (aw_steps){0};
}
