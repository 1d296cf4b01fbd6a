/* From a task to the accuracy it takes, in words and as JSON. */
#include "anchorwise/report.h"

#include <math.h>
#include <string.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/table.h"
#include "report/figures.h"

/* "STAR-loc s5 (3), planar 8.14": the sets that reach a p95, and of how many flights. */
static void add_sets(double p95, aw_text *out)
{
    const char *comma = "";
    for (size_t i = 0, next = 0; i < aw_measured_sets_n; i = next) {
        const aw_measured_set *set = &aw_measured_sets[i];
        size_t n = 0;
        for (next = i;
             next < aw_measured_sets_n && strcmp(aw_measured_sets[next].set, set->set) == 0; next++)
            n += aw_measured_sets[next].p95 <= p95;
        if (n == 0)
            continue;
        aw_text_format(out, "%s%s %s", comma, set->system, set->set);
        if (next - i > 1)
            aw_text_format(out, " (%zu)", n);
        comma = ", ";
    }
}

static void add_reach(const aw_task *task, const aw_task_need *need, aw_units units, aw_text *out)
{
    aw_text_format(out, "Of %zu measured sets in %zu labs, ", aw_measured_sets_n,
                   aw_measured_systems_n);
    if (need->reach == AW_REACHED_BY_ALL) {
        aw_text_add(out, "all reach this. ");
    } else if (need->reach == AW_REACHED_BY_SOME) {
        aw_text_format(out, "%zu reach%s this: ", need->reached, need->reached == 1 ? "es" : "");
        add_sets(need->p95, out);
        aw_text_add(out, ".\n");
    } else {
        aw_text_add(out, "none reaches this.\n");
    }
    if (need->reach != AW_REACHED_BY_ALL)
        aw_text_format(
            out,
            "In zones %s wide all would do, with tags at least %s inside, as far\nfrom the middle "
            "as now. ",
            aw_coordinate_words("%.2f", need->width, units).text,
            aw_coordinate_words("%.2f", task->inside + (need->width - task->width) / 2, units)
                .text);
    aw_text_add(out, "'anchorwise zones SCENARIO' tells what a layout reaches.\n");
}

void aw_task_words(const aw_task *task, const aw_task_need *need, aw_units units, aw_text *out)
{
    char share[AW_FIGURE_ROOM];
    aw_text_format(out,
                   "Zones %s wide in a row, tags at least %s inside; of %.10g decision%s "
                   "%.10g may be wrong (%s)\n\n",
                   aw_coordinate_words("%.4g", task->width, units).text,
                   aw_coordinate_words("%.4g", task->inside, units).text, task->decisions,
                   task->decisions == 1 ? "" : "s", task->wrong,
                   aw_figure_share(task->wrong / task->decisions, share));
    aw_text_format(out, "takes   sigma <= %s along each axis\n        p95   <= %s\n\n",
                   aw_error_words(need->sigma, units).text, aw_error_words(need->p95, units).text);
    add_reach(task, need, units, out);
    aw_text_add(out,
                "For circular normal errors without bias; walls, racks and heavy tails ask for "
                "more.\n");
}
