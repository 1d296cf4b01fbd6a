/* Every processor level gives the same bits, one kernel function after the other, and what they
 * give is what a plain loop in double precision gives. */
#include "position/kernel.h"
#include "links.h"

#include <stdio.h>

#define MOST 9

static const char *const names[2] = {"v3", "v4"};

/* NULL, with a word about it, where this processor lacks the level. */
static const aw_kernel *level(int i)
{
    const aw_kernel *kernel = aw_kernel_named(names[i]);
    if (kernel == NULL)
        fprintf(stderr, "this processor lacks level %s\n", names[i]);
    return kernel;
}

static const aw_kernel *base(void)
{
    const aw_kernel *kernel = aw_kernel_named("base");
    ck_assert_ptr_nonnull(kernel);
    return kernel;
}

START_TEST(the_base_level_always_exists_and_others_answer_to_their_names)
{
    ck_assert_str_eq(base()->level, "base");
    for (int i = 0; i < 2; i++)
        if (level(i) != NULL)
            ck_assert_str_eq(level(i)->level, names[i]);
    ck_assert_ptr_null(aw_kernel_named("v5"));
    ck_assert_ptr_null(aw_kernel_named(""));
}
END_TEST

/* --- words and normals --- */

START_TEST(words_and_normals_are_the_same_bits)
{
    static uint32_t a[1600], b[1600];
    static float x[1600], y[1600];
    uint64_t state = 40;
    const aw_kernel *one = base(), *other = level(_i);
    for (int k = 0; other != NULL && k < 300; k++) {
        const aw_stream s = {(uint64_t)(test_uniform(&state) * 0x1p63),
                             (uint32_t)(test_uniform(&state) * 0x1p32),
                             (uint32_t)(test_uniform(&state) * 0x1p32), (uint32_t)k % 25};
        const uint32_t first = (uint32_t)(test_uniform(&state) * 0x1p26) * 64;
        const size_t n = 64 * (1 + (size_t)(test_uniform(&state) * 25));
        one->words(&s, first, n, a);
        other->words(&s, first, n, b);
        ck_assert_mem_eq(a, b, n * sizeof *a);
        one->normals(&s, first, n, x);
        other->normals(&s, first, n, y);
        ck_assert_mem_eq(x, y, n * sizeof *x);
    }
}
END_TEST

START_TEST(a_part_of_a_stream_is_that_part_of_the_whole)
{
    static uint32_t whole[2048], words[1024];
    static float all[2048], normals[1024];
    const aw_stream s = {31337, 12, 99, 8};
    const uint32_t from[] = {0, 64, 448, 512, 960};
    base()->words(&s, 0, 2048, whole);
    base()->normals(&s, 0, 2048, all);
    for (size_t k = 0; k < sizeof from / sizeof *from; k++)
        for (size_t n = 64; n <= 1024; n += 192) {
            base()->words(&s, from[k], n, words);
            base()->normals(&s, from[k], n, normals);
            ck_assert_mem_eq(words, whole + from[k], n * sizeof *words);
            ck_assert_mem_eq(normals, all + from[k], n * sizeof *normals);
        }
}
END_TEST

/* --- arrivals --- */

typedef struct arrival {
    aw_lane_errors e;
    float noise[AW_BLOCK], survey[3][AW_BLOCK], late[AW_BLOCK], height[AW_BLOCK], fade[AW_BLOCK],
        scattered[AW_BLOCK];
    uint32_t coin[AW_BLOCK];
} arrival;

static void set_outcomes(aw_lane_errors *e, uint64_t *state)
{
    e->n_outcomes = 1 + (int)(test_uniform(state) * 6);
    e->fade_sigma = (float)test_between(state, 1, 6);
    e->lost_db = (float)test_between(state, -2, 9);
    e->scattered_db = (float)test_between(state, -4, 9);
    e->scattered_least = (float)test_between(state, 0, 1);
    for (int k = 0; k < e->n_outcomes; k++) {
        e->fade_from[k] =
            k == 0 ? -(float)HUGE_VAL : (float)(-4 + 2 * k + test_between(state, 0, 1.5));
        e->excess[k] = (float)test_between(state, 0, 3);
    }
}

/* Which terms there are is read from the bits of `terms`. */
static void set_arrival(arrival *a, unsigned terms, uint64_t *state)
{
    *a = (arrival){.e = {.bias = (float)test_between(state, 0, 2),
                         .sigma = (float)test_between(state, 0.01, 0.3),
                         .tail_sigma = (float)test_between(state, 0.4, 2),
                         .tail_below = (uint32_t)(test_uniform(state) * 0x1p32),
                         .survey = 0.05f,
                         .delay = 0.07f,
                         .along2 = (float)test_between(state, 0, 3000),
                         .rise = (float)test_between(state, -6, 9),
                         .noise = a->noise}};
    for (size_t l = 0; l < AW_BLOCK; l++) {
        a->noise[l] = (float)test_normal(state);
        a->late[l] = (float)test_normal(state);
        a->height[l] = (float)(0.4 * test_normal(state));
        a->fade[l] = (float)test_normal(state);
        a->scattered[l] = (float)test_between(state, 0, 3);
        a->coin[l] = (uint32_t)(test_uniform(state) * 0x1p32);
        for (int k = 0; k < 3; k++)
            a->survey[k][l] = (float)test_normal(state);
    }
    for (int k = 0; k < 3; k++)
        a->e.u[k] = (float)test_between(state, -1, 1);
    set_outcomes(&a->e, state);
    a->e.coin = terms & 1 ? a->coin : NULL;
    a->e.late = terms & 2 ? a->late : NULL;
    a->e.height = terms & 4 ? a->height : NULL;
    a->e.fade = terms & 8 ? a->fade : NULL;
    a->e.scattered = terms & 32 ? a->scattered : NULL;
    a->e.survey_x = terms & 16 ? a->survey[0] : NULL;
    a->e.survey_y = terms & 16 ? a->survey[1] : NULL;
    a->e.survey_z = terms & 16 ? a->survey[2] : NULL;
}

/* Own derivation: the sum of the terms, a tag higher by dz being nearer to or further from the
 * anchor. */
static double lateness(const arrival *a, size_t l)
{
    const aw_lane_errors *e = &a->e;
    double sum = (double)e->bias;
    if (e->fade != NULL)
        for (int k = 0; k < e->n_outcomes; k++)
            if (e->fade[l] * e->fade_sigma >= e->fade_from[k])
                sum = (double)e->excess[k];
    if (e->fade != NULL && e->scattered != NULL && e->fade[l] * e->fade_sigma <= e->scattered_db)
        sum = fmin(sum, fmax((double)e->scattered_least, (double)e->scattered[l]));
    const bool tail = e->coin != NULL && e->coin[l] < e->tail_below;
    sum += (double)e->noise[l] * (double)(tail ? e->tail_sigma : e->sigma);
    for (int k = 0; e->survey_x != NULL && k < 3; k++)
        sum += (double)a->survey[k][l] * (double)e->u[k] * (double)e->survey;
    if (e->late != NULL)
        sum += (double)e->late[l] * (double)e->delay;
    if (e->height != NULL)
        sum += sqrt((double)e->along2 + pow((double)e->rise - (double)e->height[l], 2)) -
               sqrt((double)e->along2 + pow((double)e->rise, 2));
    return sum;
}

/* Asks for the linearised error too, which is added to what is there. */
static void follow(arrival *a, float linear[2][AW_BLOCK])
{
    for (int k = 0; k < 2; k++) {
        a->e.gain[k] = k == 0 ? 0.7f : -0.4f;
        a->e.linear[k] = linear[k];
        for (size_t l = 0; l < AW_BLOCK; l++)
            linear[k][l] = (float)l;
    }
}

/* Ranges reach 56 m, where a float's last digit is 4 um; five roundings of that at most. */
START_TEST(arrivals_are_the_sum_of_their_terms)
{
    static arrival a;
    float late[AW_BLOCK], heard[AW_BLOCK], linear[2][AW_BLOCK];
    uint64_t state = 600 + (uint64_t)_i;
    set_arrival(&a, (unsigned)_i, &state);
    follow(&a, linear);
    base()->arrive(&a.e, AW_BLOCK, late, heard);
    for (size_t l = 0; l < AW_BLOCK; l++) {
        ck_assert_double_eq_tol((double)late[l], lateness(&a, l), 2e-5);
        arrival level_tag = a;
        level_tag.e.height = NULL;
        for (int k = 0; k < 2; k++)
            ck_assert_double_eq_tol((double)linear[k][l],
                                    (double)l + (double)a.e.gain[k] * lateness(&level_tag, l),
                                    1e-4);
        const bool lost = a.e.fade != NULL && a.e.fade[l] * a.e.fade_sigma > a.e.lost_db;
        ck_assert(heard[l] == (lost ? 0.0f : 1.0f));
    }
}
END_TEST

START_TEST(arrivals_are_the_same_bits)
{
    static arrival a;
    uint64_t state = 700;
    const aw_kernel *one = base(), *other = level(_i);
    for (unsigned terms = 0; other != NULL && terms < 128; terms++) {
        float late[2][AW_BLOCK], heard[2][AW_BLOCK], linear[2][2][AW_BLOCK];
        const size_t lanes = 64 * (1 + (size_t)(test_uniform(&state) * 8));
        set_arrival(&a, terms & 63, &state);
        follow(&a, linear[0]);
        one->arrive(&a.e, lanes, late[0], terms & 64 ? heard[0] : NULL);
        follow(&a, linear[1]);
        other->arrive(&a.e, lanes, late[1], terms & 64 ? heard[1] : NULL);
        ck_assert_mem_eq(late[0], late[1], lanes * sizeof(float));
        ck_assert_mem_eq(linear[0], linear[1], sizeof linear[0]);
        if (terms & 64)
            ck_assert_mem_eq(heard[0], heard[1], lanes * sizeof(float));
    }
}
END_TEST

/* --- fixes --- */

typedef struct problem {
    float x[MOST], y[MOST], z[MOST], straight[MOST], weight[MOST];
    float late[MOST * AW_BLOCK], heard[MOST * AW_BLOCK];
    uint32_t side[AW_BLOCK];
    aw_lane_cell cell;
    aw_lane_sides sides;
    aw_point corner[5];
    aw_polygon outline;
    bool fades, robust;
} problem;

/* Every sixth problem has its anchors in a row, or nearly, in a hall with five corners. */
static void set_row(problem *p, int k, uint64_t *state)
{
    const aw_point corner[5] = {{-33, -21}, {30, -19}, {28, 4}, {9, 19}, {-31, 14}};
    memcpy(p->corner, corner, sizeof corner);
    p->outline = (aw_polygon){p->corner, 5, {-33, -21}, {30, 19}};
    p->sides = (aw_lane_sides){-2.5f, -4, 0, 1, k % 12 == 4, 4, &p->outline, {0.4, -0.3}};
    for (size_t i = 0; i < p->cell.n; i++)
        p->y[i] = -4 + (p->sides.mirrors ? 0 : (float)test_between(state, -0.6, 0.6));
    for (size_t l = 0; l < AW_BLOCK; l++)
        p->side[l] = (uint32_t)(test_uniform(state) * 0x1p32);
    p->cell.start[0] = -2.5f;
    p->cell.start[1] = 3;
    p->cell.sides = &p->sides;
}

/* Anchors thrown into a hall; errors large enough that some lanes are left open. */
static void set_problem(problem *p, int k, uint64_t *state)
{
    const size_t n = 4 + (size_t)k % (MOST - 3);
    p->cell = (aw_lane_cell){.dims = 2 + k % 2,
                             .n = n,
                             .x = p->x,
                             .y = p->y,
                             .z = p->z,
                             .straight = p->straight,
                             .weight = p->weight,
                             .creep = k % 7 == 0 ? 1e30f : (float)test_between(state, 0, 0.5),
                             .implausible = k % 5 == 0 ? 400 : HUGE_VALF,
                             .reach = 40,
                             .lowest = -6,
                             .highest = 12};
    p->cell.sharp = k % 4 == 1 ? 1 : 4;
    p->cell.early = -3.5f;
    p->robust = k % 3 == 1;
    p->fades = k % 4 >= 2;
    for (size_t i = 0; i < n; i++) {
        p->x[i] = (float)test_between(state, -30, 25);
        p->y[i] = (float)test_between(state, -9, 17);
        p->z[i] = (float)test_between(state, -1, 6);
        p->weight[i] = k % 8 < 4 ? 1 : (float)test_between(state, 0.05, 1);
        p->cell.start[0] += p->x[i] / (float)n;
        p->cell.start[1] += p->y[i] / (float)n;
        for (size_t l = 0; l < AW_BLOCK; l++) {
            const double scale = k % 3 == 0 ? 0.1 : k % 3 == 1 ? 1 : 8;
            p->late[i * AW_BLOCK + l] = (float)(scale * test_normal(state));
            p->heard[i * AW_BLOCK + l] = test_uniform(state) < 0.75 ? 1 : 0;
        }
    }
    p->cell.start[2] = -1.2f;
    if (k % 6 == 4)
        set_row(p, k, state);
    for (size_t i = 0; i < n; i++)
        p->straight[i] = sqrtf(p->x[i] * p->x[i] + p->y[i] * p->y[i] + p->z[i] * p->z[i]);
}

typedef struct answer {
    float x[AW_BLOCK], y[AW_BLOCK], z[AW_BLOCK], radius[AW_BLOCK];
    int32_t open[AW_BLOCK], ambiguous[AW_BLOCK];
} answer;

static void solve(const aw_kernel *kernel, const problem *p, size_t lanes, answer *a)
{
    const aw_lane_block block = {
        lanes,   p->late,     p->fades ? p->heard : NULL, a->x, a->y, a->z, a->radius, a->open,
        p->side, a->ambiguous};
    memset(a, 0, sizeof *a);
    kernel->solve(&p->cell, &block);
    if (p->robust)
        kernel->refine(&p->cell, &block);
}

START_TEST(fixes_are_the_same_bits)
{
    static problem p;
    static answer a, b;
    uint64_t state = 800;
    size_t open = 0, ambiguous = 0, all = 0;
    const aw_kernel *one = base(), *other = level(_i);
    for (int k = 0; other != NULL && k < 96; k++) {
        const size_t lanes = 64 * (1 + (size_t)(test_uniform(&state) * 8));
        set_problem(&p, k, &state);
        solve(one, &p, lanes, &a);
        solve(other, &p, lanes, &b);
        ck_assert_mem_eq(a.x, b.x, sizeof a.x);
        ck_assert_mem_eq(a.y, b.y, sizeof a.y);
        ck_assert_mem_eq(a.z, b.z, sizeof a.z);
        ck_assert_mem_eq(a.radius, b.radius, sizeof a.radius);
        ck_assert_mem_eq(a.open, b.open, sizeof a.open);
        ck_assert_mem_eq(a.ambiguous, b.ambiguous, sizeof a.ambiguous);
        for (size_t l = 0; l < lanes; l++)
            open += a.open[l] != 0;
        for (size_t l = 0; l < lanes; l++)
            ambiguous += a.ambiguous[l] != 0;
        all += lanes;
    }
    /* Both kinds of lane were among them. */
    ck_assert(other == NULL || (open > all / 200 && open < all - all / 10));
    ck_assert(other == NULL || ambiguous > all / 100);
}
END_TEST

/* The largest limit at which a lane is held implausible, by halving; -1 if it is open anyway. */
static float last_limit(const aw_kernel *kernel, problem *p, size_t lane, answer *a)
{
    float low = 0, high = HUGE_VALF;
    p->cell.implausible = high;
    solve(kernel, p, 64, a);
    if (a->open[lane] != 0)
        return -1;
    for (high = 1e6f; nextafterf(low, high) < high;) {
        p->cell.implausible = low + (high - low) / 2;
        solve(kernel, p, 64, a);
        *(a->open[lane] != 0 ? &low : &high) = p->cell.implausible;
    }
    return low;
}

/* A lane that has settled waits for others of its vector, and vectors are of different lengths: the
 * sum of squares that is judged must be of the same place all the same, to the last bit. */
START_TEST(what_is_implausible_is_so_at_every_level)
{
    static problem p;
    static answer a;
    uint64_t state = 850;
    const aw_kernel *one = base(), *other = level(_i);
    size_t judged = 0;
    for (int k = 0; other != NULL && k < 24; k++) {
        set_problem(&p, k, &state);
        for (size_t lane = 0; lane < 64; lane += 7) {
            const float limit = last_limit(one, &p, lane, &a);
            ck_assert(last_limit(other, &p, lane, &a) == limit);
            judged += limit > 0;
        }
    }
    ck_assert(other == NULL || judged > 100);
}
END_TEST

/* Lanes turned round by 37 give answers turned round by 37. */
START_TEST(a_lane_does_not_depend_on_its_neighbours)
{
    static problem p, turned;
    static answer a, b;
    uint64_t state = 900 + (uint64_t)_i;
    set_problem(&p, _i, &state);
    set_problem(&turned, _i, &(uint64_t){900 + (uint64_t)_i});
    for (size_t i = 0; i < p.cell.n; i++)
        for (size_t l = 0; l < AW_BLOCK; l++) {
            const size_t to = i * AW_BLOCK + (l + 37) % AW_BLOCK, from = i * AW_BLOCK + l;
            turned.late[to] = p.late[from];
            turned.heard[to] = p.heard[from];
        }
    for (size_t l = 0; l < AW_BLOCK; l++)
        turned.side[(l + 37) % AW_BLOCK] = p.side[l];
    solve(aw_kernel_best(), &p, AW_BLOCK, &a);
    solve(aw_kernel_best(), &turned, AW_BLOCK, &b);
    for (size_t l = 0; l < AW_BLOCK; l++) {
        const size_t to = (l + 37) % AW_BLOCK;
        ck_assert(a.x[l] == b.x[to] && a.y[l] == b.y[to] && a.z[l] == b.z[to]);
        ck_assert((a.open[l] != 0) == (b.open[to] != 0));
        ck_assert(a.ambiguous[l] == b.ambiguous[to]);
    }
}
END_TEST

/* --- counting --- */

static void check_counts(const aw_kernel *kernel, const float v[], size_t n, float low, float high)
{
    static float got[1008];
    size_t most = 0, between = 0;
    float largest = 0;
    double squares = 0;
    for (size_t i = 0; i < n; i++) {
        squares += isfinite(v[i]) ? (double)v[i] * (double)v[i] : 0;
        most += v[i] <= high;
        largest = isfinite(v[i]) && v[i] > largest ? v[i] : largest;
    }
    ck_assert_uint_eq(kernel->count(v, n, high), most);
    ck_assert(kernel->largest(v, n) == largest);
    ck_close(kernel->squares(v, n), squares, 1e-13);
    ck_assert(kernel->squares(v, n) == base()->squares(v, n));
    const size_t held = kernel->gather(v, n, low, high, 1008, got);
    for (size_t i = 0; i < n; i++)
        if (v[i] > low && v[i] <= high)
            ck_assert(between < held && got[between++] == v[i]);
    ck_assert_uint_eq(between, held);
    ck_assert_uint_eq(kernel->gather(v, n, low, high, 3, got), between < 3 ? between : 3);
}

/* Ties, zeros, infinities; limits on values and between them. */
START_TEST(counts_are_those_of_a_plain_loop_at_every_level)
{
    static float v[1008];
    uint64_t state = 41;
    const aw_kernel *kernel = _i == 0 ? base() : level(_i - 1);
    for (size_t n = 16; kernel != NULL && n <= 1008; n += 16) {
        for (size_t i = 0; i < n; i++) {
            const double u = test_uniform(&state);
            v[i] = u < 0.1   ? (float)HUGE_VAL
                   : u < 0.2 ? 0
                   : u < 0.5 ? (float)ceil(10 * u)
                             : (float)exp(3 * test_normal(&state));
        }
        for (int k = 0; k < 8; k++) {
            const float p = v[(size_t)(test_uniform(&state) * (double)n)];
            const float q = k % 2 ? v[(size_t)(test_uniform(&state) * (double)n)]
                                  : (float)test_between(&state, 0, 5);
            check_counts(kernel, v, n, fminf(p, q), fmaxf(p, q));
        }
        check_counts(kernel, v, n, -1, 0);
        check_counts(kernel, v, n, -1, (float)HUGE_VAL);
    }
}
END_TEST

static TCase *streams(void)
{
    TCase *tc = tcase_create("streams");
    tcase_add_test(tc, the_base_level_always_exists_and_others_answer_to_their_names);
    tcase_add_loop_test(tc, words_and_normals_are_the_same_bits, 0, 2);
    tcase_add_test(tc, a_part_of_a_stream_is_that_part_of_the_whole);
    return tc;
}

static TCase *sums(void)
{
    TCase *tc = tcase_create("sums");
    tcase_add_loop_test(tc, arrivals_are_the_sum_of_their_terms, 0, 64);
    tcase_add_loop_test(tc, arrivals_are_the_same_bits, 0, 2);
    tcase_add_loop_test(tc, fixes_are_the_same_bits, 0, 2);
    tcase_add_loop_test(tc, what_is_implausible_is_so_at_every_level, 0, 2);
    tcase_add_loop_test(tc, a_lane_does_not_depend_on_its_neighbours, 0, 16);
    tcase_add_loop_test(tc, counts_are_those_of_a_plain_loop_at_every_level, 0, 3);
    return tc;
}

AW_TEST_MAIN("kernel_levels", streams(), sums())
