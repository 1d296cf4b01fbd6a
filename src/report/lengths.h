/** @file
 *  Lengths as people read them, in the units of their site. Inside the program all are metres.
 *
 *  On a site in metres every length is in m, in the format that its place asks for. On a site in
 *  feet what lies on the site (coordinates, heights, distances) is in decimal feet with two places,
 *  as options and scenario read them, and what is small (errors, delays, thicknesses) is in inches
 *  with one place, or with one digit where that would be 0.0. JSON and CSV do not come by here.
 *
 *  A format is that of one double in m ("%.2f"); its `+` holds in feet too. A `figure` stands bare
 *  under a head with its unit, `words` have the unit behind the figure. What is not finite is a
 *  dash. */
#ifndef AW_REPORT_LENGTHS_H
#define AW_REPORT_LENGTHS_H

#include <stddef.h>

#include "anchorwise/scenario.h"

typedef struct aw_length_text {
    char text[64];
} aw_length_text;

/* "m" or "ft"; "m" or "in"; "m²" or "ft²". */
const char *aw_coordinate_unit(aw_units units);
const char *aw_small_unit(aw_units units);
const char *aw_area_unit(aw_units units);

aw_length_text aw_coordinate_figure(const char *format, double metres, aw_units units);
aw_length_text aw_coordinate_words(const char *format, double metres, aw_units units);
aw_length_text aw_small_figure(const char *format, double metres, aw_units units);
aw_length_text aw_small_words(const char *format, double metres, aw_units units);

/* A predicted error, and a predicted distance on the site: two significant digits of m, never more
 * than the model can stand behind. */
aw_length_text aw_error_figure(double metres, aw_units units);
aw_length_text aw_error_words(double metres, aw_units units);
/* The same beside what is asked of it (at most; NaN: nothing), with as many more digits as it takes
 * to show on which side of that it is. */
aw_length_text aw_error_figure_asked(double metres, double asked, aw_units units);
aw_length_text aw_error_words_asked(double metres, double asked, aw_units units);
aw_length_text aw_distance_figure(double metres, aw_units units);
aw_length_text aw_distance_words(double metres, aw_units units);

/* On sheets errors and what is asked of them are in whole centimetres or inches, two digits at
 * most, and from 10 m or 10 ft on in those, with their unit: soundings, stamps, tables and
 * sentences have one unit. `asked` as above. */
const char *aw_sheet_unit(aw_units units);
aw_length_text aw_sheet_figure(double metres, double asked, aw_units units);
aw_length_text aw_sheet_words(double metres, double asked, aw_units units);
/* What is asked, as it was stated. */
aw_length_text aw_sheet_need(double metres, aw_units units);

/* Area in m². */
aw_length_text aw_area_figure(const char *format, double area, aw_units units);
aw_length_text aw_area_words(const char *format, double area, aw_units units);

/* "(33.12, 15.80)": n coordinates with two places, so near that they name the same place. */
aw_length_text aw_spot_figure(const double at[], size_t n, aw_units units);

#endif
