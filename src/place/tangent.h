/* What shares of candidates can give a zone at most: a concave function of the shares, and its
 * tangents, from which the least price is bounded.
 *
 * Why the bound holds. A share x_i of each candidate gives a cell the information
 * J(x) = sum x_i w_i (u_i - m)(u_i - m)^T, w_i one over the true variance; it is concave in x and
 * exact where every x_i is 0 or 1. The expected error of a layout has a covariance of at least
 * J^-1 (Gauss and Markov), and neither a bias nor more covariance can raise the share of a normal
 * law within a circle about 0 (Anderson, Proc. AMS 6:170-176, 1955). So the share of errors within
 * E is at most f(J) = P(|N(0, J^-1)| <= E); f rises with J and is concave in it (its second
 * derivatives were looked at, 3000 places, elongated up to 3000 times; tests/test_placing.c repeats
 * that). And it is 0 without enough anchors for a position, so at most N / (dims + 1) with N the
 * sum of the usable shares. Sums over cells of the least of concave functions are concave, so a
 * tangent lies above them everywhere.
 *
 * A link that comes and goes counts with the share of fades at which it is received, both in weight
 * and in number. In one state of the fades its information is J of the links received there; J and
 * f are concave, so the mean over the states of f is at most f of J with every weight times its
 * share, and so is the mean of min(1, N / (dims + 1)) (Jensen). No states have to be drawn for
 * that.
 *
 * - A percentile q within E: the sum of f over the cells is at least q n.
 * - A share S of cells with p95 within E: 1 / p95^2 is concave in J and rises in proportion to it,
 *   so a cell counts at most min(1, E^2 / p95^2).
 * - Positions in a share of cells: a cell counts at most min(1, N / (dims + 1)). */
#ifndef AW_PLACE_TANGENT_H
#define AW_PLACE_TANGENT_H

#include "place/views.h"

typedef enum aw_demand_kind {
    AW_DEMAND_FLAT,  /* a percentile of the horizontal error */
    AW_DEMAND_TALL,  /* of the height's */
    AW_DEMAND_CELLS, /* a share of cells */
    AW_DEMAND_FIXES  /* positions */
} aw_demand_kind;

/* One part of one zone's need. */
typedef struct aw_demand {
    aw_demand_kind kind;
    size_t zone;
    double within; /* m */
    double share;  /* of the sum over the cells */
} aw_demand;

/* Lists the demands of the zones, lengths times `slack` (at least 1); at most `room`. */
size_t aw_demands_list(const aw_views *views, double slack, aw_demand list[], size_t room);

/* Where a tangent touches: a share of each candidate; `lost` counts as 0, and so does the slope
 * along it, if it is not AW_NO_CANDIDATE. */
typedef struct aw_shares {
    const double *x;
    size_t lost;
} aw_shares;

/* The most that shares can give a demand, less what it asks, both over the number of cells, and its
 * slope along each candidate. */
typedef struct aw_tangent {
    double value, *slope; /* the caller's, one for each candidate */
} aw_tangent;

/* scratch has room for aw_tangent_room(). False if stopped. */
size_t aw_tangent_room(const aw_views *views);
bool aw_tangent_find(aw_tangent *tangent, const aw_views *views, const aw_demand *demand,
                     const aw_shares *shares, double scratch[], const aw_run *run);

#endif
