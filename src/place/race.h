/** @file
 *  When a layout that was drawn with several seeds holds: a fresh look is then met with 95 %.
 *
 * The slack of a part in a look is what is left to what is asked, from the worse end of its
 * interval; the look is met where all are 0 or more. A layout that one look chose among many is the
 * luckiest near the line, so looks of other seeds, the same for every layout, decide:
 *
 *  - it holds after 4 looks or more if the mean of every slack is at least 1.645 s sqrt(1 + 1/n),
 *    s the scatter of one look's slack about its mean; after 8 if it is at least 1.645 s;
 *  - it is out as soon as the mean surely is below 1.645 s, or at the second look that is not met.
 *
 * s follows from the interval of a length and of shares of draws, from the binomial law of the
 * installations for odds. A share of cells scatters less than a binomial law, because most cells
 * are far from the line: s^2 = (s0^2 / 2 + sum of squares) / (n - 1/2), s0 0.4 of the binomial one
 * (seen across 12 seeds on seven zones of 19 to 36 cells: 0 to 0.62 of it). The chance of a need
 * that asks a share of cells rests on that share, and its interval counts every cell near the line
 * as lost: it scatters likewise, s0 0.4 of what the interval says (L hall, 5 looks: 0.26). */
#ifndef AW_PLACE_RACE_H
#define AW_PLACE_RACE_H

#include "anchorwise/assess.h"

/* The fewest looks after which a layout can hold, and the most that it gets. */
#define AW_RACE_FEWEST 4
#define AW_RACE_MOST   8

/* Slacks of one part, in its own unit. A zeroed struct is that of no look. */
typedef struct aw_slacks {
    size_t n;
    double mean, squares; /* about the mean */
    double variance;      /* mean of what single looks say of s^2 */
    bool is_counted;      /* a share of cells: s0^2 is that, and the squares count */
} aw_slacks;

typedef enum aw_race_end { AW_RACE_ON, AW_RACE_HOLDS, AW_RACE_OUT } aw_race_end;

/* What one look says of a part. */
typedef struct aw_slack {
    double left; /* NaN: not asked, or not drawn */
    double s;
    bool is_counted; /* as in aw_slacks */
} aw_slack;

/* Of one part of a zone's [AW_PARTS] results. With `by_value` a share of cells counts by its value
 * and not by its interval. */
aw_slack aw_slack_of(const aw_part_result parts[], aw_part part, size_t cells, bool by_value);

void aw_slacks_add(aw_slacks *slacks, const aw_slack *slack);

/* What the slacks of one part say after their n looks. */
aw_race_end aw_slacks_judge(const aw_slacks *slacks);

/* Whether the mean slack is enough for a fresh look to be met with 95 %, were it known. */
bool aw_slacks_suffice(const aw_slacks *slacks);

/* The mean slack in units of s; NaN where either is unknown. */
double aw_slacks_margin(const aw_slacks *slacks);

/* Whether one look leaves a margin that another would probably leave too. */
bool aw_slack_has_margin(const aw_slack *slack);

#endif
