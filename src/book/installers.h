/** @file
 *  The installers' sheet: a plan with ordinate dimensions, a schedule measured from the nearest
 * faces, heights, mounts and how far each anchor may hang from its place. No accuracy stands on it.
 */
#ifndef AW_BOOK_INSTALLERS_H
#define AW_BOOK_INSTALLERS_H

#include "book/mounting.h"
#include "book/phrases.h"
#include "draw/chart.h"
#include "draw/sheet.h"

typedef struct aw_installers {
    const aw_scenario *scenario;
    const aw_freedoms *freedoms; /* of all anchors; NULL: not known */
    const aw_language *language;
    aw_paper paper;
    const char *client, *author, *date, *revision; /* NULL: left blank */
    const char *checksum;                          /* of the scenario's text */
} aw_installers;

/* Most anchors whose schedule stands under the plan; of more it has sheets of its own. */
#define AW_INSTALLERS_UNDER  40
#define AW_INSTALLERS_SHEETS 16

/* Draws all sheets, n of them; false without memory (an error). aw_sheet_free() each. */
bool aw_installers_draw(aw_sheet sheets[AW_INSTALLERS_SHEETS], size_t *n, const aw_installers *what,
                        aw_errors *errors);

/* The rows of the schedule, lengths in m. */
void aw_installers_csv(const aw_installers *what, aw_text *out);

/* What a row of the schedule has, in the site's units: "0.69 from partition". */
typedef struct aw_installers_row {
    aw_text east_west, north_south, height, mount, heights;
} aw_installers_row;
void aw_installers_row_make(aw_installers_row *row, const aw_installers *what, size_t anchor);
void aw_installers_row_free(aw_installers_row *row);

/* The plan and all round it, in a box of the sheet; the scale it has, as 1 : scale. */
double aw_installers_plan(aw_sheet *sheet, const aw_installers *what, aw_point low, aw_point high);

#endif
