/* What a task takes, for programs. */
#include "anchorwise/report.h"
#include "report/run.h"

typedef struct told {
    aw_task task;
    aw_task_need need;
} told;

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
    v->text = reaches[((const told *)s->of)->need.reach];
    return true;
}

static const aw_member members[] = {
    AW_GOT("anchorwise", TEXT, aw_get_version, "", "version of the program"),
    AW_NUMBER("width_m", told, task.width, "m", "width of each zone"),
    AW_NUMBER("inside_m", told, task.inside, "m", "least distance of a tag from the border"),
    AW_NUMBER("decisions", told, task.decisions, "", "decisions, in any time"),
    AW_NUMBER("wrong", told, task.wrong, "", "how many of them may be wrong"),
    AW_NUMBER("sigma_m", told, need.sigma, "m", "error along each axis that this takes"),
    AW_NUMBER("p95_m", told, need.p95, "m", "p95 that this takes"),
    AW_GOT("measured_p95_m", NUMBERS, get_measured, "m",
           "p95 of the best and of the worst flight of an installed system"),
    AW_WORD("reach", get_reach, reaches, "p95 against what was measured"),
    AW_NUMBER("width_that_would_do_m", told, need.width, "m",
              "width of zones that the worst flight serves; null where these do"),
    AW_RUN_END,
};
const aw_shape aw_task_shape = AW_SHAPE("task", "What a zone decision takes", members);

void aw_task_json(const aw_task *task, const aw_task_need *need, aw_text *out)
{
    const told t = {*task, *need};
    aw_document_json(&aw_task_shape, &(aw_subject){&t, &t, 0, 0}, out);
}
