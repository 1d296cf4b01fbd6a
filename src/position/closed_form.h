/* Roots of the squared equations of a fix (Bancroft, IEEE T-AES 21(1):56-59, 1985). */
#ifndef AW_POSITION_CLOSED_FORM_H
#define AW_POSITION_CLOSED_FORM_H

#include "position/descent.h"

/* |x - a|^2 = (rho - c)^2 is linear in x, c and l = |x|^2 - c^2; its least-squares solution
 * x = base + l slope, put into l's definition, leaves a quadratic. */
typedef struct aw_quadratic {
    double base[4], slope[4]; /* of x from the origin, then of c */
    double l[2];
    bool real;    /* not two complex roots, which were set to their common part */
    double sound; /* how far the linear equations are from singular, 0 to 1 */
} aw_quadratic;

/* Places are from `origin`. */
aw_quadratic aw_quadratic_of(const aw_fix_problem *problem, const double origin[3]);

/* Root number i of the squared equations solves those without squares if no range comes out
 * negative. */
bool aw_quadratic_has_ranges(const aw_fix_problem *problem, const aw_quadratic *q, int i);

/* The fixes of three anchors on the floor that leave no residual and are not astray. False if they
 * are not well told: then what is found is none. Roots that are all astray are well told. */
bool aw_three_roots(const aw_fix_problem *problem, aw_root found[2], size_t *n);

#endif
