/* need: what accuracy a zone decision takes, before there is any layout. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>

#define MOST_WIDTH     1000.0 /* m */
#define MOST_DECISIONS 1e12

/* A number above 0 and up to `most`, itself left out if `below`. */
static bool read_amount(const char *option, const char *text, double most, bool below,
                        const char *what, double *amount)
{
    char *end;
    *amount = strtod(text, &end);
    const bool plain =
        end > text && *end == '\0' && strspn(text, "+-.0123456789eE") == strlen(text);
    if (plain && *amount > 0 && (below ? *amount < most : *amount <= most))
        return true;
    cli_complain("%s: '%s' is not a number in (0, %.13g%s%s", option, text, most, below ? ")" : "]",
                 what);
    return false;
}

static bool read_task(const cli_options *o, aw_task *task)
{
    const char *missing = o->width == NULL       ? "--width"
                          : o->decisions == NULL ? "--decisions"
                          : o->wrong == NULL     ? "--wrong"
                                                 : NULL;
    if (missing != NULL) {
        cli_complain("need takes --width, --decisions and --wrong; %s is missing", missing);
        return false;
    }
    if (!read_amount("--width", o->width, MOST_WIDTH, false, " m", &task->width))
        return false;
    task->inside = task->width / 2;
    return (o->inside == NULL || read_amount("--inside", o->inside, task->width / 2, false,
                                             " m, half the width", &task->inside)) &&
           read_amount("--decisions", o->decisions, MOST_DECISIONS, false, "", &task->decisions) &&
           read_amount("--wrong", o->wrong, task->decisions, true, ", the decisions", &task->wrong);
}

int cli_need(const cli_options *options)
{
    aw_task task;
    aw_text text = {0};
    if (!read_task(options, &task))
        return STATUS_WRONG;
    const aw_task_need need = aw_task_asks(&task);
    if (options->json)
        aw_task_json(&task, &need, &text);
    else
        aw_task_words(&task, &need, &text);
    const int status = cli_write(&text, options->out);
    aw_text_free(&text);
    return status;
}
