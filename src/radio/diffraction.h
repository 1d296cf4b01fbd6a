/* Loss over an edge: ITU-R P.526-16, section 4.1. */
#ifndef AW_RADIO_DIFFRACTION_H
#define AW_RADIO_DIFFRACTION_H

/* Below this v an edge costs nothing. */
#define AW_EDGE_CLEAR (-0.78)

/* J(v) in dB, by the exact form with Fresnel integrals, to 1e-4 dB for v >= -3. */
double aw_edge_loss(double v);

/* |v| of an edge by which the way is `detour` (m) longer than the straight line. */
double aw_edge_v(double detour, double wavelength);

#endif
