/* Rubber bands from a spot to an anchor: over the tops of bodies, or around their upright edges. */
#ifndef AW_RADIO_BAND_H
#define AW_RADIO_BAND_H

#include "radio/radio_scene.h"

#define AW_BENDS 32

typedef struct aw_band_bend {
    double at[3];     /* m */
    double out[3];    /* unit vector away from the body */
    const char *name; /* of the body or pit */
} aw_band_bend;

typedef struct aw_band {
    aw_band_bend bends[AW_BENDS];
    size_t n;
    double length; /* m, of the whole way */
} aw_band;

/* The shortest way over the tops of n bodies and the rims of pits, each crossing point free along
 * its edge; edges are those over which the straight line lies. False if there is none: a top at the
 * ceiling, a spot below its anchor, more bends than room. */
bool aw_band_over(aw_band *band, const aw_scene *scene, const double a[3], const double b[3],
                  const uint32_t bodies[], size_t n);

/* The shortest way around the upright edges of n bodies, to the left or the right of the straight
 * line seen from above. False if there is none: an edge outside the floor, a spot below its anchor,
 * more bends than room. */
bool aw_band_around(aw_band *band, const aw_scene *scene, const double a[3], const double b[3],
                    const uint32_t bodies[], size_t n, bool left);

/* Length of the shortest way a-q-b less the straight line's, q on the segment from-to, m. */
double aw_detour_by(const double from[3], const double to[3], const double a[3], const double b[3]);

#endif
