/** @file fix.h
 *  One position from one set of arrivals, carefully: the definition of "the fix".
 *
 *  Minimises sum w_i (rho_i - |x - a_i| - offset)^2 over x and the offset; with the height known
 * over x, y alone. Started at the weighted centroid of the anchors, in 3d on the lowest floor;
 *  Gauss-Newton, later Newton, with damping where a step would raise the sum; ends when a step is
 *  under 0.1 mm. A fix is a minimum with a regular second derivative; the scatter of the lines of
 *  sight may be singular there, as on a row of anchors.
 *
 *  Where the anchors' footprint is nearly a line (small singular value under 5 % of the large one)
 *  or where the first start fails, the fix is started again from both sides of that line and from
 *  the roots of the closed-form quadratic (Bancroft, IEEE T-AES 21(1):56-59, 1985); with one anchor
 *  more than unknown coordinates those roots are the fixes, if there are any. A 3d fix that ends
 *  below the floor or above the ceiling is started again from its height mirrored in the anchors'
 *  mean height. Of the roots those inside the site stand, or if none does the one nearest to it.
 *  Among roots that stand with a weighted sum of squares within 4 of the least, one random bit
 *  chooses, by their sides and not by their sums, and the fix is ambiguous.
 */
#ifndef AW_POSITION_FIX_H
#define AW_POSITION_FIX_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/plane.h"

/** Where a fix may stand, in the same coordinates as the spot. */
typedef struct aw_site {
    const aw_polygon *outline; /**< NULL: anywhere, and the ceiling plays no part */
    double ceiling;            /**< m */
    double floor;              /**< m, the lowest */
} aw_site;

/** A fix to be found. Coordinates are relative to `spot`, the place the arrivals belong to in tests
 *  and trials, so that a fix is its own error; any other origin serves as well. */
typedef struct aw_fix_problem {
    int dims;             /**< 2: z = 0 (the assumed height) is known; 3 */
    size_t n;             /**< arrivals, at most 1024 */
    double (*anchor)[3];  /**< m; read only */
    const double *weight; /**< 1 / believed variance, 1/m^2, > 0 */
    const double *rho;    /**< m, any common offset */
    double spot[3];       /**< absolute place of the origin, for the site */
    aw_site site;
    double early;  /**< to a robust fix an arrival earlier than that, in believed sigmas, is beyond
                      chance; 0: AW_EARLY */
    unsigned side; /**< the random bit: 1 ahead along the normal of the anchors' line, or higher */
} aw_fix_problem;

typedef struct aw_fix {
    bool found;      /**< false: nothing converged, or it left the site's surroundings */
    bool ambiguous;  /**< another root stood as well */
    double at[3];    /**< m, relative to the spot; z = 0 in 2d */
    double offset;   /**< the common offset at the fix, m */
    double residual; /**< weighted sum of squares */
} aw_fix;

/** Allocates nothing, never fails; a problem without a position gives found == false. Cost: some
 *  microseconds. */
aw_fix aw_fix_find(const aw_fix_problem *problem);

/** The same of n problems, all in as many coordinates, with the lanes of a kernel (kernel.h); each
 *  fix is what it is alone. Cost: a fourth, of dozens; more than AW_FIXES_TOGETHER save nothing. */
#define AW_FIXES_TOGETHER 32
struct aw_kernel;
void aw_fix_find_all(const struct aw_kernel *kernel, const aw_fix_problem problems[], size_t n,
                     aw_fix fixes[]);

/** Whether a footprint is nearly a line: small singular value of the centred x, y under 5 % of the
 *  large one. `line` gets the centroid, the unit normal of the line and the r.m.s. length along it;
 *  it may be NULL. */
typedef struct aw_line {
    double x, y, normal_x, normal_y, spread;
} aw_line;
bool aw_footprint_is_line(double anchor[][3], size_t n, aw_line *line);

#endif
