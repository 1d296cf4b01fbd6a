/* What a link budget is made of. Levels in dBm, ratios in dB, lengths in m, frequencies in Hz. */
#ifndef AW_RADIO_POWER_H
#define AW_RADIO_POWER_H

#include "anchorwise/scenario.h"

/* Speed of light, m/s. */
#define AW_LIGHT 299792458.0

/* Free-space loss (ITU-R P.525) between antennas without gain. */
double aw_free_space_db(double length, double hz);

/* k 290 K B. */
double aw_noise_dbm(double bandwidth);

/* Mean density over the channel's bandwidth, less the back-off, plus the frame's gain. */
double aw_eirp_dbm(const aw_radio *radio);

/* Duration of the preamble times the bandwidth. */
double aw_processing_gain_db(const aw_radio *radio);

/* Bound on the 1-sigma error of a time of arrival times c, for a flat spectrum: c / (2 pi beta
 * sqrt(2 SNR)), beta = B / sqrt(12) (Gezici et al., IEEE SPM 22(4), 2005). */
double aw_arrival_bound(double snr_db, double bandwidth);

/* 1-sigma white error of an arrival: the bound and the radio's floor. */
double aw_arrival_sigma(const aw_radio *radio, double snr_db);

/* Share of fades up to one, both in dB; without any every fade is 0. */
double aw_fade_share(double sigma, double fade);

/* Sum of powers in dBm; minus infinity is none. */
double aw_dbm_sum(double a, double b);

#endif
