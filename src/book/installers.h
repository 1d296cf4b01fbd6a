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
#define AW_INSTALLERS_SHEETS 112
/* mm: size of its texts, margin, block at its side, a row and the head of a schedule. */
#define AW_INSTALLERS_TEXT   2.65
#define AW_INSTALLERS_MARGIN 8.0
#define AW_INSTALLERS_SIDE   60.0
#define AW_INSTALLERS_ROW    5.2
#define AW_INSTALLERS_HEAD   13.0

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

/* What has a sheet of its own: a level, and where its plan is too crowded a part of it. */
typedef struct aw_installers_part {
    const aw_level *level; /* that its anchors hang from; NULL: the finished floor */
    aw_point low, high;    /* m, the window on the site */
    size_t number, of;     /* among those of its level, from 1 */
    const size_t *anchors; /* in the scenario's order; owned by the parts */
    size_t n;
} aw_installers_part;

#define AW_INSTALLERS_PARTS 64
typedef struct aw_installers_parts {
    aw_installers_part list[AW_INSTALLERS_PARTS];
    size_t n;
    size_t *anchors; /* of all, part by part; owned */
} aw_installers_parts;

/* Splits the site. False without memory; aw_installers_parts_free() it either way. */
bool aw_installers_parts_make(aw_installers_parts *parts, const aw_installers *what);
void aw_installers_parts_free(aw_installers_parts *parts);

/* Where on its sheet the plan of a part stands, mm: over its schedule, if that finds room there. */
typedef struct aw_installers_place {
    aw_point low, high;
    bool has_schedule;
} aw_installers_place;
aw_installers_place aw_installers_place_of(const aw_installers *what,
                                           const aw_installers_part *part);

/* Whether names are so long that anchors go by their numbers on the plan, which the schedule has
 * too. */
bool aw_installers_by_number(const aw_sheet *sheet, const aw_scenario *scenario);

/* The plan of a part and all round it, in a box of the sheet. */
typedef struct aw_installers_drawn {
    double scale;    /* as 1 : scale */
    bool is_crowded; /* a name or a figure stands far from its place */
} aw_installers_drawn;
aw_installers_drawn aw_installers_plan(aw_sheet *sheet, const aw_installers *what,
                                       const aw_installers_part *part, aw_point low, aw_point high);

#endif
