/** @file sums_batch.h
 *  Expected errors of many sums at once, as their laws: what a linear estimate costs once the links
 *  are summed.
 *
 *  Fixes in the plane, side by side, with the bits of aw_sums_expect() and aw_error_laws_set().
 * Sums that have no position, or that are not sound, are left open.
 */
#ifndef AW_POSITION_SUMS_BATCH_H
#define AW_POSITION_SUMS_BATCH_H

#include "position/sums.h"

/** The axes of an error's ellipse, m: see aw_error_laws. */
typedef struct aw_law {
    float along, across, major, minor;
    bool open; /**< aw_sums_expect() has to tell it */
} aw_law;

/** A half axis of a law is at least this, m, and the minor one such a share of the major. */
#define AW_LEAST_AXIS  1e-6f
#define AW_LEAST_WIDTH 1e-3f

/** Fills laws[] for n sums of 2d fixes. Allocates nothing, never fails. */
void aw_sums_batch_expect(const aw_sums sums[], size_t n, double height_sigma, aw_law laws[]);

#endif
