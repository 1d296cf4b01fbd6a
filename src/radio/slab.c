/* One slab in closed form; several by transfer matrices, each scaled by its own decay so that
 * nothing overflows. */
#include "radio/slab.h"

#include <complex.h>
#include <math.h>

#include "radio/power.h"

/* Electric constant, F/m (CODATA 2018). */
#define EPSILON_0 8.8541878128e-12
/* The imaginary unit: I is single. */
#define J ((double complex)I)
/* Frequencies across a band. */
#define BAND 32

/* What a dielectric is to a wave of one frequency: waves to a metre of air, times 2 pi, and of them
 * how many inside (imaginary part <= 0); its admittance against that of free space at normal
 * incidence. */
typedef struct medium {
    double k;
    double complex inside, admittance;
} medium;

/* The same of one leaf, with its phase. */
typedef struct layer {
    double complex phase, admittance;
} layer;

double aw_dielectric_real(const aw_dielectric *d, double hz)
{
    return d->b == 0 ? d->a : d->a * pow(hz * 1e-9, d->b);
}

static double complex eta_of(const aw_dielectric *d, double hz)
{
    const double conductivity = d->d == 0 ? d->c : d->c * pow(hz * 1e-9, d->d);
    return aw_dielectric_real(d, hz) - J * (conductivity / (2 * M_PI * hz * EPSILON_0));
}

static medium medium_of(const aw_dielectric *d, double hz, double cosine, bool tm)
{
    const double complex eta = eta_of(d, hz);
    const double complex inside = csqrt(eta - (1 - cosine * cosine));
    return (medium){2 * M_PI * hz / AW_LIGHT, inside, tm ? eta / inside : inside};
}

static layer layer_of(const aw_leaf *leaf, double hz, double cosine, bool tm)
{
    const medium m = medium_of(&leaf->dielectric, hz, cosine, tm);
    return (layer){m.k * leaf->thickness * m.inside, m.admittance};
}

/* Field that one interface from air turns back. */
static double complex interface(double complex admittance, double outside)
{
    return (outside - admittance) / (outside + admittance);
}

static double power_of(double complex field)
{
    return creal(field) * creal(field) + cimag(field) * cimag(field);
}

/* A slab whose faces turn back r of a field and of which one passage leaves `once`. */
static aw_wave one_slab(double complex r, double complex once)
{
    const double complex all = 1 - r * r * once * once;
    return (aw_wave){power_of((1 - r * r) * once / all), power_of(r * (1 - once * once) / all)};
}

/* M = M x leaf, without the factor exp(-Im phase) by which the leaf's cosine and sine grow. */
static void chain(double complex m[4], const layer *l)
{
    const double complex forth = cexp(J * creal(l->phase)),
                         back = conj(forth) * exp(2 * cimag(l->phase));
    const double complex c = (forth + back) / 2, js = (forth - back) / 2;
    const double complex a = m[0], b = m[1], d = m[2], e = m[3];
    m[0] = a * c + b * js * l->admittance;
    m[1] = a * js / l->admittance + b * c;
    m[2] = d * c + e * js * l->admittance;
    m[3] = d * js / l->admittance + e * c;
}

aw_wave aw_slab_wave(const aw_leaf leaves[], size_t n, double hz, double cosine, bool tm)
{
    const double outside = tm ? 1 / cosine : cosine;
    double complex m[4] = {1, 0, 0, 1};
    double decay = 0;
    if (n == 1) {
        const layer l = layer_of(leaves, hz, cosine, tm);
        return one_slab(interface(l.admittance, outside), cexp(-J * l.phase));
    }
    for (size_t i = 0; i < n; i++) {
        const layer l = layer_of(&leaves[i], hz, cosine, tm);
        decay -= cimag(l.phase);
        chain(m, &l);
    }
    const double complex in = m[0] + m[1] * outside, out = m[2] / outside + m[3];
    return (aw_wave){power_of(2 / (in + out)) * exp(-2 * decay), power_of((in - out) / (in + out))};
}

/* The i-th frequency of a channel's band. */
static double frequency(const aw_channel *channel, int i)
{
    return channel->centre + channel->bandwidth * ((i + 0.5) / BAND - 0.5);
}

static aw_wave averaged(const aw_leaf leaves[], size_t n, const aw_channel *channel, double cosine)
{
    aw_wave sum = {0, 0};
    for (int i = 0; i < 2 * BAND; i++) {
        const aw_wave w = aw_slab_wave(leaves, n, frequency(channel, i / 2), cosine, i % 2 != 0);
        sum.through += w.through / (2 * BAND);
        sum.back += w.back / (2 * BAND);
    }
    return sum;
}

double aw_slab_loss(const aw_leaf leaves[], size_t n, const aw_channel *channel, double cosine)
{
    return -10 * log10(averaged(leaves, n, channel, cosine).through);
}

void aw_slab_losses(const aw_dielectric *d, const aw_channel *channel, const double thickness[],
                    size_t n, double db[])
{
    medium m[BAND]; /* phases are those of either polarisation */
    double complex r[BAND][2];
    for (int i = 0; i < 2 * BAND; i++) {
        m[i / 2] = medium_of(d, frequency(channel, i / 2), 1, i % 2 != 0);
        r[i / 2][i % 2] = interface(m[i / 2].admittance, 1);
    }
    for (size_t k = 0; k < n; k++) {
        double through = 0;
        for (int i = 0; i < BAND; i++) {
            const double complex once = cexp(-J * (m[i].k * thickness[k] * m[i].inside));
            for (int tm = 0; tm < 2; tm++)
                through += one_slab(r[i][tm], once).through / (2 * BAND);
        }
        db[k] = -10 * log10(through);
    }
}

double aw_slab_mirror_loss(const aw_leaf leaves[], size_t n, const aw_channel *channel,
                           double cosine)
{
    return -10 * log10(averaged(leaves, n, channel, cosine).back);
}

double aw_face_mirror_loss(const aw_dielectric *d, const aw_channel *channel, double cosine)
{
    const aw_leaf face = {NULL, *d, 0};
    double back = 0;
    for (int i = 0; i < 2 * BAND; i++) {
        const bool tm = i % 2 != 0;
        const layer l = layer_of(&face, frequency(channel, i / 2), cosine, tm);
        back += power_of(interface(l.admittance, tm ? 1 / cosine : cosine)) / (2 * BAND);
    }
    return -10 * log10(back);
}

double aw_slab_delay(const aw_leaf leaves[], size_t n, double hz, double cosine)
{
    double delay = 0;
    for (size_t i = 0; i < n; i++) {
        const double real = aw_dielectric_real(&leaves[i].dielectric, hz);
        delay += leaves[i].thickness * (sqrt(real - (1 - cosine * cosine)) - cosine);
    }
    return delay;
}

double aw_dielectric_absorption(const aw_dielectric *d, double hz)
{
    const double nepers = -2 * M_PI * hz / AW_LIGHT * cimag(csqrt(eta_of(d, hz)));
    return 20 / M_LN10 * nepers;
}
