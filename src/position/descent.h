/* The damped descent from one start to one root of the fix, in double precision. */
#ifndef AW_POSITION_DESCENT_H
#define AW_POSITION_DESCENT_H

#include "position/fix.h"

#define AW_MOST_LINKS 1024

typedef struct aw_root {
    double at[3]; /* m, relative to the spot */
    double squares, offset;
} aw_root;

/* From a start on the floor the first steps of a 3d fix stay level: a full step that far off is as
 * likely to end above the anchors as below them. */
#define AW_LEVEL_STEPS 2

/* Weighted sums of squares within this of the least are as good as it. */
#define AW_AS_GOOD 4.0
/* How far off a row of anchors a descent starts, as a share of the row's spread. */
#define AW_SIDE_START 0.5

/* From this iteration on the curvature of the ranges counts in a step. */
#define AW_CURVED_FROM 5

/* Gauss-Newton from `start`, from the sixth iteration on or once a step was refused Newton where
 * the sum of squares is a bowl; damped from the beginning by `damping` (0: not) and wherever a step
 * would raise the sum; `level`: a 3d start on the floor. Not `found` if it does not converge within
 * 40 iterations to a regular minimum, by the second derivative, in the site's surroundings. */
typedef struct aw_descent {
    const aw_fix_problem *problem;
    double start[3], damping;
    bool level;
    bool found; /* out, and */
    aw_root root;
} aw_descent;

/* How far the surroundings reach beyond the site's box, m. */
double aw_site_reach(const aw_site *site);

/* A fix beyond the site's box grown by its diagonal, or its heights grown likewise, is no fix. */
bool aw_is_astray(const aw_fix_problem *problem, const double at[3]);

/* Weighted sums of squares above this are of a wrong root and not of chance: some six standard
 * deviations of chi squared for what n arrivals leave over, and room for heavy tails. */
double aw_implausible_squares(size_t n, int dims);

#endif
