/* Which assumptions the client should confirm, in one line. */
#include <math.h>

#include "report/sensitivity.h"

/* A move of p95 that counts, as a share of today's. */
#define COUNTS    0.15
#define MOST_TOLD 4

/* Whether an assumption at an end of its range moves some p95 so far, or fells a need. */
static bool should_be_confirmed(const aw_sensitivity *v, aw_assumption a)
{
    bool any = false;
    for (size_t zone = 0; zone < v->n_zones && v->assumed[a].present; zone++)
        for (int end = 0; end < 2; end++) {
            const aw_zone_result *today = &v->today[zone],
                                 *then = &aw_sensitivity_at(v, zone, a, end)->result;
            const double move = then->errors.p95 / today->errors.p95 - 1;
            any = any || fabs(move) >= COUNTS ||
                  (isnan(then->errors.p95) && !isnan(today->errors.p95)) ||
                  (then->verdict == AW_NOT_MET && today->verdict == AW_MET);
        }
    return any;
}

void aw_sensitivity_headline(const aw_sensitivity *v, aw_text *out)
{
    size_t n = 0, told = 0;
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        n += should_be_confirmed(v, (aw_assumption)a);
    if (n == 0) {
        aw_text_add(out, "No assumption moves a p95 by 15 % or more, or fells a need.");
        return;
    }
    aw_text_format(out, "Have %zu assumption%s confirmed.", n, n == 1 ? "" : "s");
    for (int a = 0; a < AW_ASSUMPTIONS && told < MOST_TOLD; a++)
        if (should_be_confirmed(v, (aw_assumption)a))
            aw_text_format(out, "%s%s", told++ == 0 ? " They are: " : ", ",
                           aw_assumption_rows[a].name);
    if (n > told)
        aw_text_format(out, " and %zu more", n - told);
    aw_text_add(out, ".");
}
