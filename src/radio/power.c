#include "radio/power.h"

#include <math.h>

/* Boltzmann's constant, J/K, exact. */
#define BOLTZMANN 1.380649e-23

double aw_free_space_db(double length, double hz)
{
    return 20 * log10(4 * M_PI * length * hz / AW_LIGHT);
}

double aw_noise_dbm(double bandwidth)
{
    return 10 * log10(BOLTZMANN * 290 * bandwidth) + 30;
}

double aw_eirp_dbm(const aw_radio *r)
{
    return r->density_dbm_mhz + 10 * log10(r->channel.bandwidth * 1e-6) - r->backoff_db +
           r->frame_gain_db;
}

double aw_processing_gain_db(const aw_radio *r)
{
    return 10 * log10(r->receiver.preamble * AW_PREAMBLE_SYMBOL * r->channel.bandwidth);
}

double aw_arrival_bound(double snr_db, double bandwidth)
{
    const double beta = bandwidth / sqrt(12), snr = pow(10, snr_db / 10);
    return AW_LIGHT / (2 * M_SQRT2 * M_PI * beta * sqrt(snr));
}

double aw_arrival_sigma(const aw_radio *radio, double snr_db)
{
    const double bound = aw_arrival_bound(snr_db, radio->channel.bandwidth);
    return sqrt(bound * bound + radio->arrival_floor * radio->arrival_floor);
}

double aw_fade_share(double sigma, double fade)
{
    return sigma > 0 ? 0.5 * erfc(-fade * M_SQRT1_2 / sigma) : fade >= 0;
}

double aw_dbm_sum(double a, double b)
{
    const double most = fmax(a, b), least = fmin(a, b);
    return isinf(least) ? most : most + 10 * log10(1 + pow(10, (least - most) / 10));
}
