/* Curves prepared once, read by straight lines between their nodes. */
#ifndef AW_RADIO_TABLE_H
#define AW_RADIO_TABLE_H

#include "base/arena.h"
#include "radio/slab.h"

/* What leaves let through or mirror, by the angle of incidence. */
typedef struct aw_angles {
    const double *db; /* AW_ANGLES nodes from 0 to 89.5 degrees */
} aw_angles;
#define AW_ANGLES 180

/* What something solid lets through at right angles, by the way inside: a slab up to AW_SOLID_END,
 * whose ripple then has died or averages out over the band; absorption alone beyond. */
typedef struct aw_ways {
    const double *db; /* AW_SOLID nodes from 0 to AW_SOLID_END */
    double slope;     /* dB for each m beyond */
} aw_ways;
#define AW_SOLID     801
#define AW_SOLID_END 0.4

/* db is NULL without memory. */
aw_angles aw_angles_through(aw_arena *arena, const aw_leaf leaves[], size_t n,
                            const aw_channel *channel);
aw_angles aw_angles_mirrored(aw_arena *arena, const aw_leaf leaves[], size_t n,
                             const aw_channel *channel);
aw_angles aw_angles_of_face(aw_arena *arena, const aw_dielectric *d, const aw_channel *channel);
aw_ways aw_ways_through(aw_arena *arena, const aw_dielectric *d, const aw_channel *channel);

/* dB at an angle of incidence of that cosine. */
double aw_angles_at(const aw_angles *table, double cosine);

/* dB of a way of that length inside, m. */
double aw_ways_at(const aw_ways *table, double length);

#endif
