/* The closed form over sites, summed over installations; and the same read backwards, as the need
 * that stated figures have to meet. */
#include "assess/chance.h"

#include <math.h>
#include <stdlib.h>

#include "assess/parts.h"

/* Pooled figures stand for the installations' to 0.04: docs/validation.md. */
#define CLEAR 0.04

/* --- what is asked --- */

static bool asks_for_errors(const aw_need *n)
{
    return !isnan(n->p50) || !isnan(n->p95) || !isnan(n->p99) || !isnan(n->vertical_p95);
}

/* The margin that stands in the place of a chance; NaN: none does. */
static double margin_of(const aw_need *n, const aw_study *study)
{
    if (study->over_needs || (isnan(n->chance) && isnan(n->margin)))
        return study->margin;
    return n->margin;
}

double aw_need_chance(const aw_need *n, const aw_study *study)
{
    if (!asks_for_errors(n) || !isnan(margin_of(n, study)))
        return (double)NAN;
    return study->over_needs || isnan(n->chance) ? study->chance : n->chance;
}

double aw_need_margin(const aw_need *n, const aw_study *study)
{
    const double margin = margin_of(n, study);
    return asks_for_errors(n) && !isnan(margin) ? margin : 1;
}

static aw_need divided(const aw_need *need, double across, double up)
{
    aw_need less = *need;
    less.p50 /= across;
    less.p95 /= across;
    less.p99 /= across;
    less.vertical_p95 /= up;
    return less;
}

aw_need aw_need_with_margin(const aw_need *need, const aw_study *study)
{
    const double margin = aw_need_margin(need, study);
    return divided(need, margin, margin);
}

aw_need aw_need_of_figures(const aw_need *need, const aw_scenario *s)
{
    const double chance = aw_need_chance(need, &s->study);
    if (isnan(chance))
        return aw_need_with_margin(need, &s->study);
    const aw_site_factor across = aw_site_factor_of(s, false), up = aw_site_factor_of(s, true);
    return divided(need, fmax(aw_site_factor_at(&across, chance), 1),
                   fmax(aw_site_factor_at(&up, chance), 1));
}

/* --- the chance --- */

/* Which of the three figures of an estimate; a chance is low where errors are high. */
typedef enum end { AT_VALUE, AT_LOW, AT_HIGH } end;

static double at(const aw_estimate *e, end which)
{
    return which == AT_LOW ? e->low : which == AT_HIGH ? e->high : e->value;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The p95 that a share of the cells keeps within: share of cells <= E holds exactly when E is at
 * least this. At an end of the interval as many more or fewer cells as that allows. */
static double cells_quantile(const double sorted[], size_t n, const aw_part_result *share,
                             end which)
{
    const aw_estimate *found = &share->found;
    const double more = which == AT_HIGH  ? found->value - found->low
                        : which == AT_LOW ? found->value - found->high
                                          : 0;
    const double rank = ceil((share->asked + more) * (double)n - 1e-9);
    const size_t i = rank < 1 ? 0 : rank > (double)n ? n - 1 : (size_t)rank - 1;
    return isnan(more) ? (double)NAN : n > 0 ? sorted[i] : HUGE_VAL;
}

/* A figure that does not exist is met by no site. */
static double room(double asked, double found)
{
    return isnan(asked) ? HUGE_VAL : found > 0 ? asked / found : isnan(found) ? 0 : HUGE_VAL;
}

/* What the zone's need leaves of room for the horizontal error, p95 aside. */
static double room_beside(const aw_chance_case *c, const double sorted[], end which)
{
    static const aw_part pooled[] = {AW_PART_P50, AW_PART_P99};
    double least = HUGE_VAL;
    for (size_t i = 0; i < sizeof pooled / sizeof *pooled; i++)
        least = fmin(least,
                     room(aw_need_asks(c->need, pooled[i]), at(&c->parts[pooled[i]].found, which)));
    if (sorted != NULL)
        least = fmin(least, room(c->need->p95, cells_quantile(sorted, c->map->grid.n,
                                                              &c->parts[AW_PART_SHARE], which)));
    return least;
}

/* The mean over installations; their own p95 moves with the pooled one to the ends of its interval.
 */
static double chance_across(const aw_site_factor *f, double beside, double asked,
                            const aw_estimate *p95, end which, const aw_installations *own)
{
    double sum = 0;
    if (isnan(asked) || own->n == 0)
        return aw_site_chance(f, fmin(beside, room(asked, at(p95, which))));
    for (size_t m = 0; m < own->n; m++)
        sum +=
            aw_site_chance(f, fmin(beside, room(asked, own->p95[m] * at(p95, which) / p95->value)));
    return sum / (double)own->n;
}

static double *sort_cells(const aw_map *map)
{
    const size_t n = map->grid.n;
    double *sorted = malloc((n + 1) * sizeof *sorted);
    for (size_t i = 0; sorted != NULL && i < n; i++) {
        const double p95 = map->value[(size_t)AW_LAYER_P95 * n + i];
        sorted[i] = isnan(p95) ? HUGE_VAL : p95;
    }
    if (sorted != NULL)
        qsort(sorted, n, sizeof *sorted, by_size);
    return sorted;
}

bool aw_chance_find(aw_estimate *found, const aw_chance_case *c, aw_errors *errors)
{
    const aw_site_factor across = aw_site_factor_of(c->scenario, false);
    const aw_site_factor up = aw_site_factor_of(c->scenario, true);
    const aw_estimate *p95 = &c->parts[AW_PART_P95].found;
    const aw_need *need = c->need;
    double chance[3], *sorted = isnan(need->share) ? NULL : sort_cells(c->map);
    if (!isnan(need->share) && sorted == NULL) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the chance of a zone");
        return false;
    }
    for (int i = 0; i < 3; i++) {
        const end which = (end)i;
        const double beside = room_beside(c, sorted, which);
        const double height = at(&c->parts[AW_PART_VERTICAL_P95].found, which);
        chance[i] = chance_across(&across, beside, need->p95, p95, which, c->installations);
        if (!isnan(need->vertical_p95))
            chance[i] = fmin(chance[i], aw_site_chance(&up, room(need->vertical_p95, height)));
    }
    free(sorted);
    *found = (aw_estimate){chance[AT_VALUE], chance[AT_HIGH], chance[AT_LOW]};
    if (isnan(p95->low))
        found->low = found->high = (double)NAN;
    return true;
}

static double moved(double chance, const aw_site_factor *f, double times)
{
    return aw_site_chance(f, aw_site_factor_at(f, chance) / times);
}

aw_part_result aw_chance_moved(const aw_part_result *chance, const aw_scenario *s, double times)
{
    const aw_site_factor f = aw_site_factor_of(s, false);
    const aw_estimate *e = &chance->found;
    const aw_estimate found = {moved(e->value, &f, times), moved(e->low, &f, times),
                               moved(e->high, &f, times)};
    return aw_part_judge(AW_PART_CHANCE, chance->asked, found);
}

bool aw_chance_is_clear(double chance, double asked)
{
    return fabs(chance - asked) > CLEAR && fabs(chance - AW_WITH_MARGIN) > CLEAR;
}

void aw_chance_settle(aw_zone_result *r, const aw_scenario *s)
{
    const aw_site_range across = aw_site_range_of(s, false), up = aw_site_range_of(s, true);
    aw_part_result *chance = &r->parts[AW_PART_CHANCE];
    r->band_low = r->errors.p95 * across.low;
    r->band_high = r->errors.p95 * across.high;
    r->vertical_band_low = r->errors.vertical_p95 * up.low;
    r->vertical_band_high = r->errors.vertical_p95 * up.high;
    r->with_margin = r->verdict == AW_MET && chance->found.value >= AW_WITH_MARGIN;
    if (r->verdict == AW_NOT_MET && chance->found.value >= chance->asked)
        *chance = aw_part_not_asked((aw_estimate){(double)NAN, (double)NAN, (double)NAN});
}
