/* Curves prepared once, read by straight lines between their nodes. */
#ifndef AW_RADIO_LOSS_CURVE_H
#define AW_RADIO_LOSS_CURVE_H

#include "base/arena.h"
#include "radio/slab.h"

/* What leaves let through or mirror, by the angle of incidence. */
typedef struct aw_loss_by_angle {
    const double *db; /* AW_ANGLES nodes from 0 to 89.5 degrees */
} aw_loss_by_angle;
#define AW_ANGLES 180

/* What something solid lets through at right angles, by the way inside: a slab up to AW_SOLID_END,
 * whose ripple then has died or averages out over the band; absorption alone beyond. */
typedef struct aw_loss_by_length {
    const double *db; /* AW_SOLID nodes from 0 to AW_SOLID_END */
    double slope;     /* dB for each m beyond */
} aw_loss_by_length;
#define AW_SOLID     801
#define AW_SOLID_END 0.4

/* db is NULL without memory. */
aw_loss_by_angle aw_loss_by_angle_through(aw_arena *arena, const aw_leaf leaves[], size_t n,
                                          const aw_channel *channel);
aw_loss_by_angle aw_loss_by_angle_mirrored(aw_arena *arena, const aw_leaf leaves[], size_t n,
                                           const aw_channel *channel);
aw_loss_by_angle aw_loss_by_angle_of_face(aw_arena *arena, const aw_dielectric *d,
                                          const aw_channel *channel);
aw_loss_by_length aw_loss_by_length_through(aw_arena *arena, const aw_dielectric *d,
                                            const aw_channel *channel);

/* dB at an angle of incidence of that cosine. */
double aw_loss_by_angle_at(const aw_loss_by_angle *table, double cosine);

/* dB of a way of that length inside, m. */
double aw_loss_by_length_at(const aw_loss_by_length *table, double length);

#endif
