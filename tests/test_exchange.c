/* The sweep's quick figure: against the bound in double precision, and the same bits at every
 * level. */
#include <string.h>

#include "anchorwise/bound.h"
#include "position/exchange.h"
#include "position/kernel.h"
#include "aw_test.h"

#define CELLS AW_EXCHANGE_CELLS
#define N     9

/* Cells with seven anchors each and n more to choose from; the links of cell `l` too. */
typedef struct scene {
    float left[10 * CELLS], more[N * 10 * CELLS], flat[CELLS], tall[CELLS];
    aw_link links[CELLS][7 + N];
} scene;

static void add(float *planes, size_t n, size_t l, const aw_link *k)
{
    const double w = 1 / (k->believed * k->believed), *u = k->u;
    const double value[10] = {w,
                              w * u[0],
                              w * u[1],
                              w * u[0] * u[0],
                              w * u[0] * u[1],
                              w * u[1] * u[1],
                              w * u[2],
                              w * u[0] * u[2],
                              w * u[1] * u[2],
                              w * u[2] * u[2]};
    for (size_t p = 0; p < n; p++)
        planes[p * CELLS + l] += (float)value[p];
}

static void make_scene(scene *s, aw_fix_kind dims)
{
    uint64_t state = 3;
    const size_t planes = aw_exchange_planes(dims) * CELLS;
    memset(s, 0, sizeof *s);
    for (size_t l = 0; l < CELLS; l++) {
        s->flat[l] = 3;
        s->tall[l] = dims == AW_FIX_3D ? 1.5F : 0;
        for (size_t i = 0; i < 7 + N; i++) {
            aw_link *k = &s->links[l][i];
            const double at[3] = {test_between(&state, -20, 20), test_between(&state, -20, 20),
                                  test_between(&state, 0, 9)};
            *k = (aw_link){.n_outcomes = 1, .white = test_between(&state, 0.1, 0.4)};
            k->believed = k->white;
            aw_link_aim(k, at, (const double[3]){0, 0, 1});
            if (i < 7)
                add(s->left, planes / CELLS, l, k);
            else
                add(s->more + (i - 7) * planes, planes / CELLS, l, k);
        }
    }
}

static void check(aw_fix_kind dims)
{
    static scene s;
    float score[N];
    make_scene(&s, dims);
    aw_exchange_score(dims, s.left, s.more, N, &(aw_exchange_need){s.flat, s.tall}, score);
    for (size_t c = 0; c < N; c++) {
        double sum = 0;
        for (size_t l = 0; l < CELLS; l++) {
            aw_link links[8];
            memcpy(links, s.links[l], 7 * sizeof *links);
            links[7] = s.links[l][7 + c];
            const aw_bound b = aw_bound_at(links, 8, dims);
            double q = 3 * (b.fix[0][0] + b.fix[1][1]);
            q += dims == AW_FIX_3D ? 1.5 * b.fix[2][2] : 0;
            sum += q * q / (1 + q * q);
        }
        ck_close((double)score[c], sum, 1e-3);
    }
}

START_TEST(the_figure_is_that_of_the_bound)
{
    check(AW_FIX_2D);
    check(AW_FIX_3D);
}
END_TEST

START_TEST(every_level_gives_the_same_bits)
{
    static const char *const levels[] = {"v3", "v4"};
    static scene s;
    for (int dims = 2; dims <= 3; dims++) {
        float base[N], other[N];
        make_scene(&s, (aw_fix_kind)dims);
        const aw_exchange_need need = {s.flat, s.tall};
        aw_kernel_named("base")->exchange((aw_fix_kind)dims, s.left, s.more, N, &need, base);
        for (size_t i = 0; i < 2; i++) {
            const aw_kernel *kernel = aw_kernel_named(levels[i]);
            if (kernel == NULL)
                continue;
            kernel->exchange((aw_fix_kind)dims, s.left, s.more, N, &need, other);
            ck_assert_int_eq(memcmp(base, other, sizeof base), 0);
        }
    }
}
END_TEST

START_TEST(padding_counts_nothing)
{
    float left[6 * CELLS] = {0}, flat[CELLS] = {0}, score;
    aw_exchange_score(AW_FIX_2D, left, left, 1, &(aw_exchange_need){flat, flat}, &score);
    ck_assert(score == 0);
}
END_TEST

static TCase *all(void)
{
    TCase *tc = tcase_create("exchange");
    tcase_add_test(tc, the_figure_is_that_of_the_bound);
    tcase_add_test(tc, every_level_gives_the_same_bits);
    tcase_add_test(tc, padding_counts_nothing);
    return tc;
}

AW_TEST_MAIN("exchange", all())
