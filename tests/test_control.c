/* Few draws corrected by the linearised error: against many plain draws of the same spot. */
#include "position/control.h"

#include <stdio.h>
#include <stdlib.h>

#include "links.h"

enum { FEW = 64, MANY = 1000, BATCHES = 64, REPEATS = 48, TRUTH = 200000, ANCHORS = 12 };

/* A spot of a hall of 60 x 40 m and the anchors within 35 m, eight along the edge and four inside.
 */
typedef struct spot {
    double at[3];
    aw_link links[ANCHORS];
    size_t n;
    aw_bound bound;
    aw_trials_case draws;
    aw_expected law;
} spot;

static const double anchors[ANCHORS][3] = {
    {2, 1, 5},   {22, 0, 5}, {45, 1, 5},    {60, 10, 5},   {59, 39, 5},   {36, 40, 5},
    {13, 39, 5}, {0, 25, 5}, {18, 13, 6.1}, {39, 12, 6.2}, {46, 27, 6.3}, {22, 28, 6}};

typedef struct errors_of {
    double tail_share, survey, delay, bias, height;
    aw_fix_kind fix;
} errors_of;

static void set_spot(spot *s, const errors_of *e, uint64_t *state)
{
    memset(s, 0, sizeof *s);
    s->at[0] = test_between(state, 0.3, 59.7);
    s->at[1] = test_between(state, 0.3, 39.7);
    s->at[2] = 1;
    for (uint32_t i = 0; i < ANCHORS; i++) {
        aw_link link = clear_link(i + 1, anchors[i], s->at, 0.1);
        if (link.range > 35)
            continue;
        link.tail_share = e->tail_share;
        link.spot = e->tail_share > 0 ? 0.157 : 0;
        link.tail = e->tail_share > 0 ? 0.502 : 0;
        link.survey = e->survey;
        link.delay = e->delay;
        link.outcomes[0].excess = i % 3 == 0 ? e->bias : 0;
        link.believed = sqrt(aw_link_variance(&link));
        s->links[s->n++] = link;
    }
    s->bound = aw_bound_at(s->links, s->n, e->fix);
    s->law = aw_bound_expect(&s->bound, e->height);
    s->draws = (aw_trials_case){.links = s->links,
                                .n_links = s->n,
                                .bound = &s->bound,
                                .height_sigma = e->height,
                                .spot = {s->at[0], s->at[1], s->at[2]},
                                .cell = 5};
}

static aw_draws run(aw_trials *trials, const spot *s, uint64_t seed, uint32_t n)
{
    aw_trials_case c = s->draws;
    c.bound = &s->bound;
    c.links = s->links;
    c.seed = seed;
    c.n_draws = n;
    return aw_trials_run(trials, &c);
}

static double law_percentile(const spot *s, double q)
{
    const aw_error_law law =
        aw_error_law_of(s->law.bias[0], s->law.bias[1], s->law.xx, s->law.xy, s->law.yy);
    return aw_error_law_percentile(&law, q);
}

/* What is known of the linearised error: its mean square, from 200 runs of 256 draws. */
START_TEST(the_linearised_error_has_the_mean_square_of_the_bound)
{
    static const errors_of cases[] = {{0, 0, 0, 0, 0, AW_FIX_2D},
                                      {0.16, 0, 0, 0, 0, AW_FIX_2D},
                                      {0, 0.05, 0.06, 0.3, 0.2, AW_FIX_2D},
                                      {0.16, 0.05, 0.06, 0.3, 0, AW_FIX_3D}};
    uint64_t state = 40 + (uint64_t)_i;
    spot s;
    aw_trials *trials = aw_trials_create(ANCHORS, AW_FEW_DRAWS, NULL);
    for (int k = 0; k < 5; k++) {
        double sum = 0, squares = 0, n = 0;
        do
            set_spot(&s, &cases[_i], &state);
        while (s.law.status != AW_BOUND_OK);
        const double known =
            s.law.xx + s.law.yy + s.law.bias[0] * s.law.bias[0] + s.law.bias[1] * s.law.bias[1];
        for (uint64_t seed = 0; seed < 200; seed++) {
            const aw_draws d = run(trials, &s, seed, AW_FEW_DRAWS);
            for (size_t i = 0; i < d.n; i++, n++) {
                const double square = (double)d.linear[i] * (double)d.linear[i];
                sum += square;
                squares += square * square;
            }
        }
        const double mean = sum / n, error = sqrt((squares / n - mean * mean) / n);
        ck_assert_double_lt(fabs(mean - known), 4 * error);
        ck_assert_double_lt(error, 0.02 * known);
    }
    aw_trials_free(trials);
}
END_TEST

/* Mean square deviation from the truth of corrected few draws and of plain many. */
typedef struct contest {
    double few_rms, many_rms, few_p95, many_p95;
    bool rms_is_off, p95_is_off; /* the corrected figure's mean is wrong beyond chance */
} contest;

static double square(double x)
{
    return x * x;
}

/* Whether the mean of n figures differs from the truth by more than both scatters explain. */
static bool is_off(double sum, double squares, double n, double truth, double truth_error)
{
    const double mean = sum / n, scatter = (squares / n - mean * mean) / (n - 1);
    return fabs(mean - truth) > 5 * sqrt(scatter + truth_error * truth_error) + 1e-4 * truth;
}

static contest compete(aw_trials *trials, const spot *s, bool normal)
{
    double rms[BATCHES], p95[BATCHES];
    double sum[2] = {0}, squares[2] = {0};
    contest c = {0};
    for (uint64_t batch = 0; batch < BATCHES; batch++) {
        run(trials, s, 1000 + batch, MANY);
        rms[batch] = aw_trials_rms(trials);
        p95[batch] = aw_trials_percentile(trials, 0.95, false);
    }
    run(trials, s, 999, TRUTH);
    const double true_rms = aw_trials_rms(trials),
                 true_p95 = aw_trials_percentile(trials, 0.95, false);
    for (int batch = 0; batch < BATCHES; batch++) {
        c.many_rms += square(rms[batch] - true_rms) / BATCHES;
        c.many_p95 += square(p95[batch] - true_p95) / BATCHES;
    }
    const double known = law_percentile(s, 0.95);
    for (uint64_t seed = 0; seed < REPEATS; seed++) {
        const aw_draws d = run(trials, s, seed, FEW);
        const double shift = normal ? aw_control_shift(&d, 0.95) : (double)NAN;
        const double figure[2] = {aw_control_rms(&d, aw_trials_rms(trials), &s->law),
                                  isnan(shift) ? aw_trials_percentile(trials, 0.95, false)
                                               : known + shift};
        c.few_rms += square(figure[0] - true_rms) / REPEATS;
        c.few_p95 += square(figure[1] - true_p95) / REPEATS;
        for (int k = 0; k < 2; k++) {
            sum[k] += figure[k];
            squares[k] += square(figure[k]);
        }
    }
    c.rms_is_off = is_off(sum[0], squares[0], REPEATS, true_rms, sqrt(c.many_rms * MANY / TRUTH));
    c.p95_is_off = is_off(sum[1], squares[1], REPEATS, true_p95, sqrt(c.many_p95 * MANY / TRUTH));
    return c;
}

static void count_wins(double tail_share, size_t wins[2], size_t off[2], double gain[2])
{
    enum { CELLS = 150 };
    const errors_of e = {tail_share, 0, 0, 0, 0, AW_FIX_2D};
    uint64_t state = 150;
    spot s;
    aw_trials *trials = aw_trials_create(ANCHORS, TRUTH, NULL);
    for (int cell = 0; cell < CELLS;) {
        set_spot(&s, &e, &state);
        if (s.n < 5)
            continue;
        const contest c = compete(trials, &s, tail_share <= 0);
        wins[0] += c.few_rms < c.many_rms;
        wins[1] += c.few_p95 < c.many_p95;
        off[0] += c.rms_is_off;
        off[1] += c.p95_is_off;
        gain[0] += log(c.many_rms / c.few_rms) / CELLS;
        gain[1] += log(c.many_p95 / c.few_p95) / CELLS;
        cell++;
    }
    aw_trials_free(trials);
    if (getenv("AW_PRINT") != NULL)
        fprintf(stderr,
                "tails %.2f: rms better in %zu of 150 (variance / %.2f), p95 in %zu (/ %.2f); off "
                "%zu, %zu\n",
                tail_share, wins[0], exp(gain[0]), wins[1], exp(gain[1]), off[0], off[1]);
}

START_TEST(sixty_four_corrected_draws_are_as_good_as_a_thousand_plain_ones)
{
    size_t wins[2] = {0}, off[2] = {0};
    double gain[2] = {0};
    count_wins(0, wins, off, gain);
    ck_assert_uint_ge(wins[0], 135);
    ck_assert_double_gt(gain[1], 0);
    ck_assert_uint_le(off[0], 2);
    ck_assert_uint_le(off[1], 2);
}
END_TEST

START_TEST(with_tails_the_mean_square_is_still_known)
{
    size_t wins[2] = {0}, off[2] = {0};
    double gain[2] = {0};
    count_wins(0.16, wins, off, gain);
    ck_assert_uint_ge(wins[0], 135);
    ck_assert_uint_le(off[0], 2);
}
END_TEST

/* The share of 1000 repeats whose interval holds the p95 of twelve million draws; 1.96 standard
 * errors would hold it in 95 %, give or take 0.7 % of chance. */
START_TEST(intervals_of_corrected_percentiles_hold)
{
    const errors_of e = {0, 0, 0, _i % 2 ? 0.4 : 0, _i % 2 ? 0.1 : 0, AW_FIX_2D};
    uint64_t state = 900 + (uint64_t)_i;
    spot s;
    double truth = 0;
    size_t held = 0, repeats = 0;
    aw_trials *trials = aw_trials_create(ANCHORS, 10 * TRUTH, NULL);
    do
        set_spot(&s, &e, &state);
    while (s.n < 5);
    for (uint64_t seed = 5000; seed < 5006; seed++) {
        run(trials, &s, seed, 10 * TRUTH);
        truth += aw_trials_percentile(trials, 0.95, false) / 6;
    }
    const double known = law_percentile(&s, 0.95);
    for (uint64_t seed = 0; seed < 1000; seed++) {
        const aw_draws d = run(trials, &s, seed, FEW);
        const double shift = aw_control_shift(&d, 0.95);
        if (isnan(shift))
            continue;
        repeats++;
        held += fabs(known + shift - truth) <= 1.96 * aw_control_error(&d, 0.95);
    }
    aw_trials_free(trials);
    if (getenv("AW_PRINT") != NULL)
        fprintf(stderr, "%zu links, hdop %.2f: held in %zu of %zu\n", s.n, s.bound.hdop, held,
                repeats);
    ck_assert_uint_gt(repeats, 500);
    ck_assert_double_ge((double)held / (double)repeats, 0.93);
}
END_TEST

START_TEST(what_is_not_known_is_not_corrected)
{
    const errors_of e = {0, 0, 0, 0, 0, AW_FIX_2D};
    uint64_t state = 2;
    spot s;
    aw_trials *trials = aw_trials_create(ANCHORS, MANY, NULL);
    set_spot(&s, &e, &state);
    ck_assert(aw_control_is_normal(s.links, s.n));
    ck_assert_ptr_nonnull(run(trials, &s, 1, AW_FEW_DRAWS).linear);
    ck_assert_ptr_null(run(trials, &s, 1, AW_FEW_DRAWS + 1).linear);
    s.links[1].tail_share = 0.1;
    s.links[1].tail = 0.5;
    ck_assert(!aw_control_is_normal(s.links, s.n));
    s.links[1].tail_share = 0;
    s.links[1].fade_sigma = 2;
    ck_assert(!aw_control_is_normal(s.links, s.n));
    const aw_draws d = run(trials, &s, 1, FEW);
    ck_assert_ptr_null(d.linear);
    ck_assert(isnan(aw_control_shift(&d, 0.95)) && isnan(aw_control_error(&d, 0.95)));
    ck_assert(aw_control_rms(&d, 0.25, &s.law) == 0.25);
    aw_trials_free(trials);
}
END_TEST

static TCase *control_case(void)
{
    TCase *tc = tcase_create("control");
    tcase_add_loop_test(tc, the_linearised_error_has_the_mean_square_of_the_bound, 0, 4);
    tcase_add_test(tc, sixty_four_corrected_draws_are_as_good_as_a_thousand_plain_ones);
    tcase_add_test(tc, with_tails_the_mean_square_is_still_known);
    tcase_add_loop_test(tc, intervals_of_corrected_percentiles_hold, 0, 4);
    tcase_add_test(tc, what_is_not_known_is_not_corrected);
    return tc;
}

AW_TEST_MAIN("control", control_case())
