/* Plane waves and flat layers: ITU-R P.2040-3, section 2.2.2.2, and the transfer-matrix form of the
 * same for several leaves. Air on both sides. */
#ifndef AW_RADIO_SLAB_H
#define AW_RADIO_SLAB_H

#include <stdbool.h>

#include "anchorwise/scenario.h"

/* Shares of the power that falls in. */
typedef struct aw_wave {
    double through, back;
} aw_wave;

/* Real part of the relative permittivity at a frequency, Hz. */
double aw_dielectric_real(const aw_dielectric *d, double hz);

/* What n leaves do to a wave of one frequency and polarisation (electric field across the plane of
 * incidence, TE, or in it, TM) that falls in at an angle of this cosine to their normal, > 0. */
aw_wave aw_slab_wave(const aw_leaf leaves[], size_t n, double hz, double cosine, bool tm);

/* Loss in dB through n leaves: power averaged over the channel's band and both polarisations;
 * infinity where nothing comes through. */
double aw_slab_loss(const aw_leaf leaves[], size_t n, const aw_channel *channel, double cosine);

/* The same to the last bit, at normal incidence, of n slabs of one dielectric. */
void aw_slab_losses(const aw_dielectric *d, const aw_channel *channel, const double thickness[],
                    size_t n, double db[]);

/* Loss in dB of what n leaves mirror, averaged likewise. */
double aw_slab_mirror_loss(const aw_leaf leaves[], size_t n, const aw_channel *channel,
                           double cosine);

/* Loss in dB of what the face of something thick mirrors, averaged likewise. */
double aw_face_mirror_loss(const aw_dielectric *d, const aw_channel *channel, double cosine);

/* Excess over the same way through air, m: the sum of thickness (sqrt(eps' - sin^2) - cos). */
double aw_slab_delay(const aw_leaf leaves[], size_t n, double hz, double cosine);

/* Loss in dB for each m of way inside, by absorption alone. */
double aw_dielectric_absorption(const aw_dielectric *d, double hz);

#endif
