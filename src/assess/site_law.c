/* Few systems were measured, so how much they differ is half an assumption: a prior that stands for
 * four more. Everything is in logarithms of lengths. */
#include "anchorwise/site_law.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

/* Far from what was measured the law says no more than this of a site. */
#define MOST_SYSTEMS 64

/* --- the sites that were measured --- */

/* Mean ln k of a set: the row it begins at and those of the same set after it. */
static double set_mean(size_t *row)
{
    const aw_measured_set *first = &aw_measured_sets[*row];
    double sum = 0;
    size_t n = 0;
    for (; *row < aw_measured_sets_n && strcmp(aw_measured_sets[*row].system, first->system) == 0 &&
           strcmp(aw_measured_sets[*row].set, first->set) == 0;
         ++*row, n++)
        sum += log(aw_measured_sets[*row].k);
    return sum / (double)n;
}

static double system_mean(const char *system)
{
    double sum = 0;
    size_t n = 0;
    for (size_t row = 0; row < aw_measured_sets_n;) {
        const bool ours = strcmp(aw_measured_sets[row].system, system) == 0;
        const double mean = set_mean(&row);
        sum += ours ? mean : 0;
        n += ours;
    }
    return sum / (double)n;
}

aw_site_law aw_site_law_of(const double x[], size_t n)
{
    aw_site_law law = {.nu = AW_PRIOR_WEIGHT + (double)n - 1};
    double squares = AW_PRIOR_WEIGHT * AW_PRIOR_SPREAD * AW_PRIOR_SPREAD;
    for (size_t i = 0; i < n; i++)
        law.m += x[i] / (double)n;
    for (size_t i = 0; i < n; i++)
        squares += (x[i] - law.m) * (x[i] - law.m);
    law.s = sqrt(squares / law.nu);
    law.w = law.s * sqrt(1 + 1 / (double)n);
    return law;
}

aw_site_law aw_site_law_without(size_t system)
{
    double x[MOST_SYSTEMS];
    size_t n = 0;
    for (size_t i = 0; i < aw_measured_systems_n && n < MOST_SYSTEMS; i++)
        if (i != system)
            x[n++] = system_mean(aw_measured_systems[i].name);
    return aw_site_law_of(x, n);
}

/* --- stated terms --- */

static double rms_of(double white, double spot, double tail_share, double tail)
{
    return sqrt(white * white + (1 - tail_share) * spot * spot + tail_share * tail * tail);
}

double aw_ranging_rms(const aw_ranging *r, const aw_radio *radio)
{
    return rms_of(radio->given ? radio->arrival_floor : r->sigma, r->spot_sigma, r->tail_share,
                  r->tail_sigma);
}

double aw_start_rms(const aw_start *start)
{
    return rms_of(start->sigma, start->spot_sigma, start->tail_share, start->tail_sigma);
}

/* In a room with metal, or of the height's error. */
static aw_site_law law_for(bool metal, bool vertical)
{
    aw_site_law law = aw_site_law_without(aw_measured_systems_n);
    if (metal) {
        law.m += AW_METAL_SHIFT;
        law.w = hypot(law.w, AW_METAL_SPREAD);
    }
    if (vertical)
        law.w = hypot(law.w, AW_HEIGHT_SPREAD);
    return law;
}

static bool is_of_metal(const aw_start *start)
{
    return start != NULL && start->room == AW_ROOM_WITH_METAL;
}

static double share_below(double rms, bool metal)
{
    const aw_site_law law = law_for(metal, false);
    return gsl_cdf_tdist_P((log(rms) - law.m) / law.w, law.nu);
}

double aw_start_share(const aw_start *start)
{
    return share_below(aw_start_rms(start), is_of_metal(start));
}

double aw_terms_share(const aw_scenario *s)
{
    return share_below(aw_ranging_rms(&s->ranging, &s->radio), is_of_metal(s->ranging.start));
}

/* --- a scenario's site --- */

aw_site_factor aw_site_factor_of(const aw_scenario *s, bool vertical)
{
    const aw_site_law law = law_for(is_of_metal(s->ranging.start), vertical);
    const aw_measured *measured = &s->ranging.measured;
    const double stated = log(aw_ranging_rms(&s->ranging, &s->radio));
    const double visit = AW_VISIT_SPREAD * AW_VISIT_SPREAD, w2 = law.w * law.w;
    if (measured->points == 0)
        return (aw_site_factor){law.m - stated, law.w, law.nu};
    const double place =
        measured->where == AW_MEASURED_EQUIPMENT ? AW_PLACE_SPREAD * AW_PLACE_SPREAD : 0;
    const double v = visit / measured->days + place + 1.0 / measured->points;
    const double gain = w2 / (w2 + v);
    return (aw_site_factor){law.m + gain * (stated - law.m) - stated,
                            sqrt(1 / (1 / w2 + 1 / v) + visit), law.nu + measured->points};
}

double aw_site_factor_at(const aw_site_factor *f, double share)
{
    return exp(f->centre + f->w * gsl_cdf_tdist_Pinv(share, f->nu));
}

double aw_site_chance(const aw_site_factor *f, double most)
{
    return most > 0 ? gsl_cdf_tdist_P((log(most) - f->centre) / f->w, f->nu) : 0;
}

aw_site_range aw_site_range_of(const aw_scenario *s, bool vertical)
{
    const aw_site_factor f = aw_site_factor_of(s, vertical);
    const double low = (1 - AW_RANGE_SHARE) / 2;
    return (aw_site_range){aw_site_factor_at(&f, low), aw_site_factor_at(&f, 1 - low)};
}

/* --- warnings --- */

/* A share of sites below which stated terms are taken to flatter. */
#define CAUTIOUS 0.8
/* The law is not known so exactly: metal nearby, at 77 %, passes. */
#define NEARLY 0.03

static bool has_metal(const aw_scenario *s)
{
    for (size_t i = 0; i < s->n_obstacles; i++)
        if (strcmp(s->materials[s->obstacles[i].material].name, "metal") == 0)
            return true;
    for (size_t i = 0; i < s->n_walls; i++)
        if (strcmp(s->materials[s->walls[i].material].name, "metal") == 0)
            return true;
    return false;
}

static bool has_own_terms(const aw_ranging *r)
{
    const aw_start *start = r->start;
    return start == NULL || r->sigma != start->sigma || r->spot_sigma != start->spot_sigma ||
           r->tail_share != start->tail_share || r->tail_sigma != start->tail_sigma;
}

void aw_site_warn(const aw_scenario *s, aw_errors *errors)
{
    const aw_ranging *r = &s->ranging;
    const double share = aw_terms_share(s);
    const aw_text_pos at = r->place;
    if (r->measured.points > 0 && !has_own_terms(r))
        aw_errors_add(errors, AW_WARNING, at.line, at.column,
                      "measured stands beside the errors of '%s'; write those that were fitted to "
                      "the measurement",
                      r->start->name);
    if (r->measured.points > 0)
        return;
    if (share < CAUTIOUS - NEARLY)
        aw_errors_add(errors, AW_WARNING, at.line, at.column,
                      "these errors are those of the best %.0f %% of the sites measured; state "
                      "measured if they are yours, else start from 'not measured'. Twenty spots "
                      "measured in an afternoon narrow the range of p95 most",
                      100 * share);
    if (r->start != NULL && r->start->room == AW_ROOM_CLEAR && has_metal(s))
        aw_errors_add(errors, AW_WARNING, at.line, at.column,
                      "'%s' was measured in a room without metal, and metal stands here; of rooms "
                      "with metal %.0f %% are expected to be no worse. 'metal nearby' was measured "
                      "in one",
                      r->start->name, 100 * share_below(aw_ranging_rms(r, &s->radio), true));
}
