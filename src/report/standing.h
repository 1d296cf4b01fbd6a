/** @file
 *  Where a tag stands that is computed, and where none can. */
#ifndef AW_REPORT_STANDING_H
#define AW_REPORT_STANDING_H

#include "anchorwise/scenario.h"
#include "anchorwise/text.h"
#include "report/shape.h"

/* "obstacle 'crane'", "wall 'gate'", "the edge of the floor", "the ceiling". */
void aw_taken_words(const aw_taken *taken, aw_text *out);

/* The same as a member's value, none where nothing takes the place. */
void aw_get_taken(const aw_taken *taken, aw_value *value);

/* What takes a spot (m), and the level that it lies on, NULL if it lies on none. */
void aw_get_spot_taken(const aw_scenario *scenario, const double spot[3], aw_value *value);
const char *aw_spot_level_name(const aw_scenario *scenario, const double spot[3]);

/* The name of a zone at the head of its row, with a star where a level lies over it, which
 * aw_level_remarks() explains. Returns `out`. */
#define AW_ROW_NAME_ROOM 256 /* a name has up to 60 characters */
const char *aw_row_name(const aw_scenario *scenario, size_t zone, char out[AW_ROW_NAME_ROOM]);

/* The name of that level, or NULL. */
const char *aw_level_over_name(const aw_scenario *scenario, size_t zone);

/* A line for each zone with a level over it: that its figures are for a tag on the level. */
void aw_level_remarks(const aw_scenario *scenario, aw_text *out);

#endif
