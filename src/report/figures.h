/** @file
 *  Shares and counts as people read them: never more digits than the model can stand behind. Each
 *  returns `out`; a dash where there is no value. */
#ifndef AW_REPORT_FIGURES_H
#define AW_REPORT_FIGURES_H

#include <stdbool.h>
#include <stddef.h>

#define AW_FIGURE_ROOM 24

/* A share in whole percent. */
const char *aw_figure_share(double share, char out[AW_FIGURE_ROOM]);

/* The same where something is asked, at least: with as many more digits as it takes to show on
 * which side of that the share is (89.8 % where 90 % is asked). NaN: nothing is asked. */
const char *aw_figure_share_asked(double share, double asked, char out[AW_FIGURE_ROOM]);

/* Adds digits to a figure until it stands on the side of what is asked (at most or at least) that
 * its value is on; both in the unit shown, which follows the digits. */
void aw_figure_tell_apart(double value, double asked, bool at_most, const char *unit,
                          char out[AW_FIGURE_ROOM]);

/* A count with a thin gap between thousands. */
const char *aw_figure_count(size_t count, char out[AW_FIGURE_ROOM]);

#endif
