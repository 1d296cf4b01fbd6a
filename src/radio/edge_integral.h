/* Loss over several edges that a way bends round one after another: the Fresnel-Kirchhoff integral
 * over the half planes above N screens in its paraxial form (L. E. Vogler, Radio Science 17(6),
 * 1541, 1982; for two edges Millington, Hewitt and Immirzi, Proc. IEE 109C, 419, 1962; both from
 * memory). */
#ifndef AW_RADIO_EDGE_INTEGRAL_H
#define AW_RADIO_EDGE_INTEGRAL_H

#include <stddef.h>

#include "base/arena.h"

/* Most edges of one row. */
#define AW_EDGES_MOST 12

/* The polyline over the tips of n edges, in the plane that its bends lie in. An edge that the way
 * passes without touching has a negative bend. */
typedef struct aw_edge_row {
    size_t n;
    double leg[AW_EDGES_MOST + 1]; /* m: to the first edge, between edges, from the last; > 0 */
    double bend[AW_EDGES_MOST];    /* rad, positive into the shadow */
    double side[AW_EDGES_MOST];    /* +1 over or right of the body, -1 under or left of it */
} aw_edge_row;

/* Gauss-Legendre rules on [0, 1] for what lies at the square of their nodes. */
typedef struct aw_edge_rules aw_edge_rules;

/* In the arena; NULL without memory. */
const aw_edge_rules *aw_edge_rules_create(aw_arena *arena);

/* v of ITU-R P.526 of edge i alone, between the tips beside it. */
double aw_edge_bend_v(const aw_edge_row *row, size_t i, double wavelength);

/* dB beyond free space; 0 without edges. One edge is ITU-R P.526-16, section 4.1; more are within
 * 0.03 dB of the integral while no edge by itself lies at v < -0.78 and legs are 3 mm or longer.
 * Costs 1 us for two edges, 10 us for two that are 1 cm apart. */
double aw_edge_row_loss(const aw_edge_row *row, double wavelength, const aw_edge_rules *rules);

#endif
