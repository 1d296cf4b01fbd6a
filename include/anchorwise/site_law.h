/** @file site_law.h
 *  How much sites differ: the measured sites, the law of one that was not measured, and what a
 *  measurement makes of it.
 *
 *  - A site's errors are told by one length k, its site error: the rms of one arrival's error that
 *    would explain the accuracy measured there. p95 grows in proportion to it. Of stated terms it
 *    is kappa (aw_ranging_rms()), known before any measurement.
 *  - Every system counts once, however often it was measured: x_i = ln k_i is the mean over its
 *    sets, each the mean over its flights. With n systems
 *
 *        m = mean x_i        nu = nu0 + n - 1
 *        s^2 = (nu0 s0^2 + sum (x_i - m)^2) / nu        w = s sqrt(1 + 1/n)
 *
 *    and ln k of another site is m + w T, T of Student's law with nu degrees of freedom. The prior,
 *    s0 = 0.6 with nu0 = 4, rests on mean 2-D errors of eight installed systems (Cretu-Sircu et
 *    al., Sensors 22(8):2927, 2022: 0.21 to 1.10 m), whose logarithms have a standard deviation of
 *    0.61, taken at half weight. With three systems s is known to a factor of two either way.
 *  - Metal in the room shifts the law by ln of what the starting points `metal nearby` and
 *    `clear hall` differ by, and widens it; it is declared by the former. The height has the same
 *    law, wider: one laboratory measured it.
 *  - A measurement of N spots on D days at this site, or with the same equipment elsewhere, moves
 *    the law towards the stated terms, which are then those fitted to it:
 *
 *        v = phi^2/D + psi^2 + 1/N        g = w^2 / (w^2 + v)
 *        centre = m + g (ln kappa - m)    w_N^2 = 1 / (1/w^2 + 1/v) + phi^2    nu_N = nu + N
 *
 *    phi = 0.25 from one visit to another, psi = 0.40 to another place (0 at this site): judgement,
 *    docs/validation.md. Terms without a measurement move nothing, however small.
 */
#ifndef ANCHORWISE_SITE_LAW_H
#define ANCHORWISE_SITE_LAW_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Standard deviation of ln k from one visit to another of the same site, and to another place with
 * the same equipment. */
#define AW_VISIT_SPREAD 0.25
#define AW_PLACE_SPREAD 0.40
/** What nine visits in ten differ by from the middle, a factor either way: exp(1.645 x 0.25). */
#define AW_VISIT_FACTOR 1.5
/** Metal in the room: what it adds to ln k, and to its standard deviation in squares. */
#define AW_METAL_SHIFT  0.575
#define AW_METAL_SPREAD 0.6
/** What the height adds likewise. */
#define AW_HEIGHT_SPREAD 0.25
/** Of the prior: the standard deviation of ln k, and what it weighs in systems. */
#define AW_PRIOR_SPREAD 0.6
#define AW_PRIOR_WEIGHT 4
/** The share of sites that a range of p95 holds. */
#define AW_RANGE_SHARE 0.9

/** One measured set: a flight, a walk, or a number of setups. Lengths in m; p95 of horizontal
 *  errors against motion capture, and of the height's, NaN for 2d fixes. */
typedef struct aw_measured_set {
    const char *system, *set, *flight; /**< sets of a system, flights of a set */
    double p50, p95, vertical_p95;
    double k, vertical_k; /**< site error from the p95 */
} aw_measured_set;

extern const aw_measured_set aw_measured_sets[];
extern const size_t aw_measured_sets_n;

/** What is the same for every set of a system. */
typedef struct aw_measured_system {
    const char *name, *lab, *equipment, *date, *source;
    const char *exchange; /**< "one-way" or "two-way" */
    bool moving;
} aw_measured_system;

extern const aw_measured_system aw_measured_systems[];
extern const size_t aw_measured_systems_n;

/** ln k of a site: a law of Student's form. */
typedef struct aw_site_law {
    double m, s; /**< mean, and standard deviation from system to system */
    double w;    /**< scale of another site's */
    double nu;   /**< degrees of freedom */
} aw_site_law;

/** The law of n systems whose mean ln k are x. */
aw_site_law aw_site_law_of(const double x[], size_t n);

/** That of the measured sites without one of the systems; the count of systems: of all. */
aw_site_law aw_site_law_without(size_t system);

/** rms of one arrival's error by the stated white and spot terms, m. With a radio the white error
 * is its arrival floor. */
double aw_ranging_rms(const aw_ranging *ranging, const aw_radio *radio);

/** The same of a starting point. */
double aw_start_rms(const aw_start *start);

/** Share of the sites that are expected to be no worse than a starting point: in rooms with metal
 *  if that is what it is of. */
double aw_start_share(const aw_start *start);

/** Share of the sites expected to be no worse than the scenario's terms. */
double aw_terms_share(const aw_scenario *scenario);

/** By what the errors of a scenario's site may have to be multiplied: ln of it is centre + w T. */
typedef struct aw_site_factor {
    double centre, w, nu;
} aw_site_factor;

/** Of the horizontal error, or of the height's. */
aw_site_factor aw_site_factor_of(const aw_scenario *scenario, bool vertical);

/** The factor that so large a share of sites does not exceed. */
double aw_site_factor_at(const aw_site_factor *factor, double share);

/** The factors between which AW_RANGE_SHARE of the sites lie, as many below as above. */
typedef struct aw_site_range {
    double low, high;
} aw_site_range;

aw_site_range aw_site_range_of(const aw_scenario *scenario, bool vertical);

/** Share of sites whose factor is at most so much; 0 of NaN. */
double aw_site_chance(const aw_site_factor *factor, double most);

/** Warns, at the place of `ranging`, of terms that most sites exceed and that nobody says are
 *  measured, of a starting point of clear rooms beside metal, and of a measurement beside a
 * starting point's own terms. */
void aw_site_warn(const aw_scenario *scenario, aw_errors *errors);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
