/* need: what accuracy a zone decision takes, before there is any layout. */
#include "app/cli/cli.h"

#define MOST_WIDTH     1000.0 /* in the units of the question */
#define MOST_DECISIONS 1e12

static bool read_task(const cli_options *o, aw_units units, aw_task *task)
{
    const double metre = aw_unit_metres(units);
    const bool feet = units == AW_FEET;
    const char *missing = o->width == NULL       ? "--width"
                          : o->decisions == NULL ? "--decisions"
                          : o->wrong == NULL     ? "--wrong"
                                                 : NULL;
    if (missing != NULL) {
        cli_complain("need takes --width, --decisions and --wrong; %s is missing", missing);
        return false;
    }
    if (!cli_read_amount("--width", o->width, MOST_WIDTH, false, feet ? " ft" : " m", &task->width))
        return false;
    task->inside = task->width / 2;
    const bool sound =
        (o->inside == NULL ||
         cli_read_amount("--inside", o->inside, task->width / 2, false,
                         feet ? " ft, half the width" : " m, half the width", &task->inside)) &&
        cli_read_amount("--decisions", o->decisions, MOST_DECISIONS, false, "", &task->decisions) &&
        cli_read_amount("--wrong", o->wrong, task->decisions, true, ", the decisions",
                        &task->wrong);
    task->width *= metre;
    task->inside *= metre;
    return sound;
}

int cli_need(const cli_options *options)
{
    aw_task task;
    aw_units units;
    aw_text text = {0};
    if (!cli_read_units(options, &units) || !read_task(options, units, &task))
        return STATUS_WRONG;
    const aw_task_need need = aw_task_asks(&task);
    if (options->json)
        aw_task_json(&task, &need, &text);
    else
        aw_task_words(&task, &need, units, &text);
    const int status = cli_write_result(&text, options->out, options);
    aw_text_free(&text);
    return status;
}
