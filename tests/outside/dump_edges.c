/* Writes rows of edges at random and what they cost, one a line: "N LEGS BENDS SIDES DB". With a
 * number, so many of each N from 1 to 4. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "radio/edge_integral.h"
#include "radio/power.h"
#include "aw_test.h"

#define LAMBDA (AW_LIGHT / 6489.6e6)

/* Legs from 5 cm to 20 m; each edge from just clear to deep in the shadow, or bent by 70 degrees.
 */
static aw_edge_row some_row(uint64_t *state, size_t n)
{
    aw_edge_row row = {.n = n};
    for (size_t i = 0; i <= n; i++)
        row.leg[i] = pow(10, test_between(state, -1.3, 1.3));
    row.leg[0] += 0.3;
    row.leg[n] += 0.3;
    for (size_t i = 0; i < n; i++) {
        const double a = row.leg[i], b = row.leg[i + 1];
        const double bend = test_between(state, -0.78, 8) / sqrt(2 * a * b / (LAMBDA * (a + b)));
        row.bend[i] = fmin(bend, 1.2);
        row.side[i] = test_between(state, 0, 1) < 0.7 ? 1 : -1;
    }
    return row;
}

int main(int n_words, char *words[])
{
    const int cases = n_words > 1 ? atoi(words[1]) : 10;
    uint64_t state = 18;
    aw_arena *arena = aw_arena_create();
    const aw_edge_rules *rules = aw_edge_rules_create(arena);
    if (rules == NULL)
        return 1;
    for (size_t n = 1; n <= 4; n++)
        for (int i = 0; i < cases; i++) {
            const aw_edge_row row = some_row(&state, n);
            printf("%zu", n);
            for (size_t k = 0; k <= n; k++)
                printf(" %.17g", row.leg[k]);
            for (size_t k = 0; k < n; k++)
                printf(" %.17g", row.bend[k]);
            for (size_t k = 0; k < n; k++)
                printf(" %g", row.side[k]);
            printf(" %.9g\n", aw_edge_row_loss(&row, LAMBDA, rules));
        }
    aw_arena_free(arena);
    return 0;
}
