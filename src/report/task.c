/* From a task to the accuracy it takes, in words and as JSON. */
#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/table.h"
#include "report/figures.h"

static void add_reached(aw_units units, aw_text *out)
{
    aw_text_format(out,
                   "Installed systems have been measured at a horizontal p95 of %s to %s, flight "
                   "by flight\n"
                   "(Zhao et al., UTIL, IJRR 2024: eight anchors about a space of %s x %s)",
                   aw_small_figure("%.3f", AW_REACHED_BEST, units).text,
                   aw_small_words("%.3f", AW_REACHED_WORST, units).text,
                   aw_coordinate_figure("%.0f", 7, units).text,
                   aw_coordinate_words("%.0f", 8, units).text);
}

static void add_reach(const aw_task *task, const aw_task_need *need, aw_units units, aw_text *out)
{
    add_reached(units, out);
    if (need->reach == AW_WITHIN_REACH) {
        aw_text_add(out, ":\nthis is within reach where a site is as good. ");
    } else {
        aw_text_format(out, ".\n%s: ",
                       need->reach == AW_OUT_OF_REACH
                           ? "ZONES TOO NARROW: none of these would do"
                           : "ON THE EDGE: only the best of these would do");
        aw_text_format(
            out,
            "zones %s wide would, with tags at least %s inside, as far\nfrom the middle as now. ",
            aw_coordinate_words("%.2f", need->width, units).text,
            aw_coordinate_words("%.2f", task->inside + (need->width - task->width) / 2, units)
                .text);
    }
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
