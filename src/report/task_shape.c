/* What a task takes, for programs. */
#include "anchorwise/report.h"
#include "anchorwise/site_law.h"
#include "report/run.h"

#include <string.h>

typedef struct told {
    aw_task task;
    aw_task_need need;
} told;

AW_GETTER(get_measured)
{
    aw_measured_p95(v->own);
    v->numbers = v->own;
    v->n = 2;
    return true;
}

AW_GETTER(get_sets)
{
    v->count = aw_measured_sets_n;
    return true;
}

static bool is_first_of_its_set(size_t row)
{
    return row == 0 || strcmp(aw_measured_sets[row].set, aw_measured_sets[row - 1].set) != 0;
}

/* Name by name, each set once though some of its flights do not reach it. */
AW_GETTER(get_reaching)
{
    const double p95 = ((const told *)s->of)->need.p95;
    for (size_t row = 0; row < aw_measured_sets_n; row++) {
        bool reaches = false;
        if (!is_first_of_its_set(row))
            continue;
        for (size_t k = row; k < aw_measured_sets_n && (k == row || !is_first_of_its_set(k)); k++)
            reaches = reaches || aw_measured_sets[k].p95 <= p95;
        if (!reaches || i-- > 0)
            continue;
        aw_text_format(&v->room, "%s %s", aw_measured_sets[row].system, aw_measured_sets[row].set);
        v->text = v->room.at;
        return true;
    }
    return false;
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
           "least and largest p95 of the measured sets"),
    AW_WORD("reach", get_reach, reaches,
            "p95 against what was measured: all sets reach it, some, none"),
    AW_NUMBER("width_that_would_do_m", told, need.width, "m",
              "width of zones that all measured sets serve; null where these do"),
    AW_GOT("measured_sets", COUNT, get_sets, "", "sets that were measured"),
    AW_COUNT("sets_reaching", told, need.reached, "", "of these, those that reach p95"),
    AW_GOT("reached_by", TEXTS, get_reaching, "", "their names"),
    AW_RUN_END,
};
const aw_shape aw_task_shape = AW_SHAPE("task", "What a zone decision takes", members);

void aw_task_json(const aw_task *task, const aw_task_need *need, aw_text *out)
{
    const told t = {*task, *need};
    aw_document_json(&aw_task_shape, &(aw_subject){&t, &t, 0, 0}, out);
}
