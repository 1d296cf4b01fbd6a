/* What a task takes, for programs. */
#include "anchorwise/report.h"
#include "report/run.h"

typedef struct told {
    aw_report_run run;
    const aw_task *task;
    const aw_task_need *need;
} told;

#define TASK(member) ((const told *)s->of)->task->member
#define NEED(member) ((const told *)s->of)->need->member

AW_GETTER(get_width)
{
    v->number = TASK(width);
    return true;
}

AW_GETTER(get_inside)
{
    v->number = TASK(inside);
    return true;
}

AW_GETTER(get_decisions)
{
    v->number = TASK(decisions);
    return true;
}

AW_GETTER(get_wrong)
{
    v->number = TASK(wrong);
    return true;
}

AW_GETTER(get_sigma)
{
    v->number = NEED(sigma);
    return true;
}

AW_GETTER(get_p95)
{
    v->number = NEED(p95);
    return true;
}

AW_GETTER(get_measured)
{
    static const double measured[] = {AW_REACHED_BEST, AW_REACHED_WORST};
    v->numbers = measured;
    v->n = 2;
    return true;
}

static const char *const reaches[] = {"within reach", "on the edge", "zones too narrow", NULL};

AW_GETTER(get_reach)
{
    v->text = reaches[NEED(reach)];
    return true;
}

AW_GETTER(get_width_that_would_do)
{
    v->number = NEED(width);
    return true;
}

static const aw_member members[] = {
    AW_GOT("anchorwise", TEXT, aw_get_version, "", "version of the program"),
    AW_GOT("width_m", NUMBER, get_width, "m", "width of each zone"),
    AW_GOT("inside_m", NUMBER, get_inside, "m", "least distance of a tag from the border"),
    AW_GOT("decisions", NUMBER, get_decisions, "", "decisions, in any time"),
    AW_GOT("wrong", NUMBER, get_wrong, "", "how many of them may be wrong"),
    AW_GOT("sigma_m", NUMBER, get_sigma, "m", "error along each axis that this takes"),
    AW_GOT("p95_m", NUMBER, get_p95, "m", "p95 that this takes"),
    AW_GOT("measured_p95_m", NUMBERS, get_measured, "m",
           "p95 of the best and of the worst flight of an installed system"),
    AW_WORD("reach", get_reach, reaches, "p95 against what was measured"),
    AW_GOT("width_that_would_do_m", NUMBER, get_width_that_would_do, "m",
           "width of zones that the worst flight serves; null where these do"),
    AW_RUN_END,
};
const aw_shape aw_task_shape = AW_SHAPE("task", "What a zone decision takes", members);

void aw_task_json(const aw_task *task, const aw_task_need *need, aw_text *out)
{
    const told t = {{NULL, NULL}, task, need};
    aw_document_json(&aw_task_shape, &(aw_subject){&t, &t, 0, 0}, out);
}
