/* Formulas of the radio against printed figures and against quadrature. Figures of slabs, edges,
 * noise and laws without another source named: computed apart from this program from the
 * recommendations themselves, two ways where two ways exist. */
#include "aw_test.h"

#include "radio/diffraction.h"
#include "radio/law.h"
#include "radio/power.h"
#include "radio/slab.h"
#include "scenario/fields.h"

static const aw_channel five = {5, 6489.6e6, 499.2e6}, nine = {9, 7987.2e6, 499.2e6};

/* ITU-R P.2040-3 (08/2023), Table 3. */
static const aw_dielectric concrete = {5.24, 0, 0.0462, 0.7822}, brick = {3.91, 0, 0.0238, 0.16},
                           plasterboard = {2.73, 0, 0.0085, 0.9395},
                           wood = {1.99, 0, 0.0047, 1.0718}, glass = {6.31, 0, 0.0036, 1.3394},
                           chipboard = {2.58, 0, 0.0217, 0.78}, board = {1.48, 0, 0.0011, 1.075},
                           metal = {1, 0, 1e7, 0};

/* dB at 0 degrees at the centre and over the band, at 45 degrees over the band, TE and TM, on
 * channels 5 and 9; mm of excess at 0 and 45 degrees. */
static const struct slab_row {
    const aw_dielectric *of;
    double thickness, db[2][4], mm[2];
} slabs[] = {
    {&concrete, 0.1, {{15.65, 15.67, 17.60, 15.57}, {18.20, 18.20, 20.24, 18.21}}, {128.9, 147.0}},
    {&concrete, 0.2, {{29.93, 29.90, 32.53, 30.51}, {34.96, 34.93, 37.81, 35.80}}, {257.8, 294.0}},
    {&brick, 0.11, {{4.33, 4.04, 4.91, 3.46}, {4.39, 4.13, 4.97, 3.55}}, {107.5, 125.3}},
    {&brick, 0.22, {{6.71, 6.86, 8.10, 6.59}, {6.94, 7.05, 8.34, 6.81}}, {215.0, 250.7}},
    {&plasterboard, 0.0125, {{.760, .763, 1.492, .757}, {.949, .952, 1.041, .844}}, {8.2, 9.8}},
    {&wood, 0.04, {{2.04, 2.03, 2.25, 1.90}, {2.12, 2.13, 3.23, 2.39}}, {16.4, 20.5}},
    {&glass, 0.006, {{2.86, 2.85, 4.95, 1.50}, {1.59, 1.59, 3.30, 0.96}}, {9.1, 10.2}},
    {&chipboard, 0.018, {{2.27, 2.27, 2.61, 1.99}, {2.76, 2.76, 3.83, 2.42}}, {10.9, 13.2}},
    {&board, 0.015, {{0.22, 0.22, 0.58, 0.21}, {0.21, 0.21, 0.43, 0.26}}, {3.2, 4.2}},
};

static double db_of(double share)
{
    return -10 * log10(share);
}

/* Power that passes at 45 degrees, averaged over 1001 frequencies. */
static double over_band(const aw_leaf *leaf, const aw_channel *on, bool tm)
{
    double sum = 0;
    for (int i = 0; i < 1001; i++)
        sum += aw_slab_wave(leaf, 1, on->centre + on->bandwidth * ((i + 0.5) / 1001 - 0.5),
                            M_SQRT1_2, tm)
                   .through;
    return sum / 1001;
}

START_TEST(slabs_cost_what_the_recommendation_says)
{
    const struct slab_row *row = &slabs[_i];
    const aw_leaf leaf = {NULL, *row->of, row->thickness};
    for (int c = 0; c < 2; c++) {
        const aw_channel *on = c == 0 ? &five : &nine;
        const double *want = row->db[c];
        ck_assert_double_eq_tol(db_of(aw_slab_wave(&leaf, 1, on->centre, 1, false).through),
                                want[0], 0.02);
        ck_assert_double_eq_tol(aw_slab_loss(&leaf, 1, on, 1), want[1], 0.02);
        for (int tm = 0; tm < 2; tm++)
            ck_assert_double_eq_tol(db_of(over_band(&leaf, on, tm != 0)), want[2 + tm], 0.02);
        ck_assert_double_eq_tol(
            aw_slab_loss(&leaf, 1, on, M_SQRT1_2),
            db_of((over_band(&leaf, on, false) + over_band(&leaf, on, true)) / 2), 0.002);
        /* Both polarisations fall together at right angles, and average in power at others. */
        ck_close(aw_slab_wave(&leaf, 1, on->centre, 1, true).through,
                 aw_slab_wave(&leaf, 1, on->centre, 1, false).through, 1e-12);
        ck_assert_double_eq_tol(1e3 * aw_slab_delay(&leaf, 1, on->centre, 1), row->mm[0], 0.1);
        ck_assert_double_eq_tol(1e3 * aw_slab_delay(&leaf, 1, on->centre, M_SQRT1_2), row->mm[1],
                                0.1);
    }
}
END_TEST

static aw_leaf some_leaf(uint64_t *state, bool lossless)
{
    const double a = test_between(state, 1, 10);
    const double c = lossless ? 0 : pow(10, test_between(state, -4, 0));
    return (aw_leaf){NULL, {a, 0, c, test_between(state, 0, 1)}, test_between(state, 0.001, 0.4)};
}

START_TEST(no_power_is_made_and_none_is_lost_without_loss)
{
    uint64_t state = 17;
    for (int i = 0; i < 4000; i++) {
        const bool lossless = i % 2 == 0;
        const size_t n = 1 + (size_t)(test_uniform(&state) * 6);
        aw_leaf leaves[6];
        for (size_t k = 0; k < n; k++)
            leaves[k] = some_leaf(&state, lossless);
        const aw_wave w = aw_slab_wave(leaves, n, test_between(&state, 1e9, 10e9),
                                       test_between(&state, 0.02, 1), i % 4 < 2);
        ck_assert_double_le(w.through + w.back, 1 + 1e-9);
        ck_assert(w.through > 0 || !lossless);
        if (lossless)
            ck_assert_double_eq_tol(w.through + w.back, 1, 1e-9);
    }
}
END_TEST

START_TEST(a_pile_of_like_leaves_is_one_slab)
{
    uint64_t state = 23;
    for (int i = 0; i < 2000; i++) {
        const aw_leaf whole = some_leaf(&state, i % 5 == 0);
        const size_t n = 2 + (size_t)(test_uniform(&state) * 4);
        aw_leaf part[6];
        double left = whole.thickness;
        for (size_t k = 0; k < n; k++) {
            part[k] = whole;
            part[k].thickness = k + 1 < n ? left * test_uniform(&state) : left;
            left -= part[k].thickness;
        }
        const double hz = test_between(&state, 1e9, 10e9), cosine = test_between(&state, 0.02, 1);
        const aw_wave a = aw_slab_wave(&whole, 1, hz, cosine, i % 2 != 0);
        const aw_wave b = aw_slab_wave(part, n, hz, cosine, i % 2 != 0);
        ck_assert_double_eq_tol(a.through, b.through, 1e-9 * a.through + 1e-300);
        ck_assert_double_eq_tol(a.back, b.back, 1e-9);
        ck_close(aw_slab_delay(&whole, 1, hz, cosine), aw_slab_delay(part, n, hz, cosine), 1e-12);
    }
}
END_TEST

/* Leaves with a hollow between them pass alike from either side. */
START_TEST(a_wall_passes_as_much_one_way_as_the_other)
{
    const aw_dielectric air = {1, 0, 0, 0};
    const aw_leaf there[3] = {
        {NULL, plasterboard, 0.0125}, {NULL, air, 0.075}, {NULL, brick, 0.11}};
    const aw_leaf back[3] = {there[2], there[1], there[0]};
    for (int i = 1; i <= 20; i++)
        ck_close(aw_slab_loss(there, 3, &five, i / 20.0), aw_slab_loss(back, 3, &five, i / 20.0),
                 1e-12);
    ck_assert_double_eq(aw_slab_loss(&(aw_leaf){NULL, air, 0.3}, 1, &five, 0.5), 0);
}
END_TEST

START_TEST(many_slabs_are_each_slab_to_the_bit)
{
    const aw_dielectric *const of[] = {&wood, &concrete, &metal, &plasterboard};
    double thickness[40], db[40];
    for (size_t k = 0; k < 40; k++)
        thickness[k] = 0.01 * (double)k;
    for (size_t i = 0; i < 4; i++) {
        aw_slab_losses(of[i], &five, thickness, 40, db);
        for (size_t k = 0; k < 40; k++) {
            const aw_leaf leaf = {NULL, *of[i], thickness[k]};
            ck_assert_double_eq(db[k], aw_slab_loss(&leaf, 1, &five, 1));
        }
        ck_assert_double_gt(db[39], db[0] + 1);
    }
}
END_TEST

/* Metal: 1 - |R|^2 = 4 sqrt(pi f eps0 / sigma) and little more. 10 m of concrete in eight leaves
 * overflow nothing. Absorption alone: 20 lg e x alpha, alpha = sigma 60 pi / sqrt(eps') where
 * losses are small. */
START_TEST(metal_mirrors_all_and_the_thick_is_dark)
{
    const double lost = 4 * sqrt(M_PI * five.centre * 8.8541878128e-12 / 1e7);
    ck_assert_double_eq_tol(aw_face_mirror_loss(&metal, &five, 1), 10 * log10(1 + lost), 1e-4);
    ck_assert_double_lt(aw_face_mirror_loss(&metal, &five, 0.1), 0.05);
    aw_leaf thick[8];
    for (int i = 0; i < 8; i++)
        thick[i] = (aw_leaf){NULL, concrete, 10};
    const double db = db_of(aw_slab_wave(thick, 1, five.centre, 1, false).through);
    const double faces = -20 * log10(1 - pow((sqrt(5.24) - 1) / (sqrt(5.24) + 1), 2));
    ck_assert_double_eq_tol(db, 10 * aw_dielectric_absorption(&concrete, five.centre) + faces, 0.1);
    ck_assert(aw_slab_loss(thick, 8, &five, 1) > 1000);
    ck_assert(aw_slab_loss(&(aw_leaf){NULL, metal, 0.001}, 1, &five, 1) > 1000);
    const double sigma = wood.c * pow(6.4896, wood.d);
    ck_assert_double_eq_tol(aw_dielectric_absorption(&wood, five.centre),
                            8.685890 * sigma * 60 * M_PI / sqrt(wood.a), 0.05);
}
END_TEST

/* A thick slab's front face is all that mirrors: concrete in the dark behind. */
START_TEST(a_face_mirrors_like_a_slab_that_is_dark)
{
    const aw_leaf leaf = {NULL, concrete, 2};
    for (int i = 1; i <= 10; i++)
        ck_assert_double_eq_tol(aw_face_mirror_loss(&concrete, &five, i / 10.0),
                                aw_slab_mirror_loss(&leaf, 1, &five, i / 10.0), 1e-6);
    /* At right angles ((sqrt(eps') - 1) / (sqrt(eps') + 1))^2 without loss. */
    const double r = (sqrt(5.24) - 1) / (sqrt(5.24) + 1);
    const aw_dielectric clean = {5.24, 0, 0, 0};
    ck_assert_double_eq_tol(aw_face_mirror_loss(&clean, &five, 1), -20 * log10(r), 1e-9);
}
END_TEST

/* C(v) and S(v) by Simpson's rule. */
static double edge_by_quadrature(double v)
{
    const int n = 20000;
    double c = 0, s = 0;
    for (int i = 0; i <= n; i++) {
        const double t = v * i / n, w = i == 0 || i == n ? 1 : i % 2 != 0 ? 4 : 2;
        c += w * cos(M_PI / 2 * t * t) * v / (3 * n);
        s += w * sin(M_PI / 2 * t * t) * v / (3 * n);
    }
    return -20 * log10(sqrt(pow(1 - c - s, 2) + pow(c - s, 2)) / 2);
}

START_TEST(an_edge_costs_j_of_v)
{
    const double printed[][2] = {{-.78, -.011}, {-.5, 1.859},  {0, 6.021},  {.5, 10.234},
                                 {1, 13.864},   {1.5, 16.777}, {2, 19.091}, {2.4, 20.618},
                                 {3, 22.522},   {4, 25.003},   {5, 26.936}, {10, 32.954}};
    for (size_t i = 0; i < sizeof printed / sizeof printed[0]; i++)
        ck_assert_double_eq_tol(aw_edge_loss(printed[i][0]), printed[i][1], 0.001);
    for (double v = -0.9; v < 12; v += 0.0371)
        ck_assert_double_eq_tol(aw_edge_loss(v), edge_by_quadrature(v), 0.0002);
    ck_assert_double_eq_tol(aw_edge_loss(3 - 1e-9), aw_edge_loss(3), 1e-4);
    /* h = 0.3 m, 4 m and 6 m away: v = 1.2742, 15.546 dB, 18.7 mm. */
    const double detour = sqrt(16 + 0.09) + sqrt(36 + 0.09) - 10, lambda = AW_LIGHT / 6489.6e6;
    ck_assert_double_eq_tol(detour, 0.0187, 5e-5);
    ck_assert_double_eq_tol(0.3 * sqrt(2 * 10 / (lambda * 24)), 1.2742, 5e-5);
    ck_assert_double_eq_tol(aw_edge_loss(1.2742), 15.546, 5e-4);
    ck_assert_double_eq_tol(aw_edge_v(detour, lambda), 1.2742, 2e-3);
}
END_TEST

static aw_radio usual_radio(const aw_channel *channel)
{
    return (aw_radio){.given = true,
                      .channel = *channel,
                      .density_dbm_mhz = -41.3,
                      .receiver = {.preamble = 128},
                      .arrival_floor = 0.03};
}

START_TEST(a_budget_is_made_of_printed_figures)
{
    aw_radio radio = usual_radio(&five);
    const double lengths[4] = {1, 10, 30, 100}, db[4] = {48.692, 68.692, 78.235, 88.692};
    for (int i = 0; i < 4; i++)
        ck_assert_double_eq_tol(aw_free_space_db(lengths[i], five.centre), db[i], 0.0005);
    ck_assert_double_eq_tol(aw_free_space_db(1, nine.centre), 50.496, 0.0005);
    ck_assert_double_eq_tol(aw_noise_dbm(499.2e6), -86.992, 0.0005);
    ck_assert_double_eq_tol(aw_eirp_dbm(&radio), -14.317, 0.0005);
    /* 128 symbols of 508 chips, one sample a chip. */
    ck_assert_double_eq_tol(aw_processing_gain_db(&radio), 10 * log10(128 * 508), 1e-9);
    radio.backoff_db = 2;
    radio.frame_gain_db = 7;
    ck_assert_double_eq_tol(aw_eirp_dbm(&radio), -9.317, 0.0005);
    ck_assert_double_eq_tol(aw_dbm_sum(-90, -90), -90 + 10 * log10(2), 1e-12);
    ck_assert_double_eq(aw_dbm_sum(-90, -HUGE_VAL), -90);
}
END_TEST

START_TEST(arrivals_are_as_sure_as_their_bound)
{
    const double bandwidth[3] = {499.2e6, 1081.6e6, 1331.2e6};
    const double bound[3][4] = {{.234122, .074036, .023412, .007404},
                                {.108056, .034170, .010806, .003417},
                                {.087796, .027763, .008780, .002776}};
    for (int b = 0; b < 3; b++)
        for (int s = 0; s < 4; s++)
            ck_assert_double_eq_tol(aw_arrival_bound(10 * s, bandwidth[b]), bound[b][s], 6e-7);
    /* beta = 1.5 GHz, 0 dB: 22.5 mm (Gezici 2005). */
    ck_assert_double_eq_tol(aw_arrival_bound(0, 1.5e9 * sqrt(12)), 0.0225, 5e-5);
    const aw_radio radio = usual_radio(&five);
    ck_assert_double_eq_tol(aw_arrival_sigma(&radio, 20), sqrt(.023412 * .023412 + .0009), 1e-6);
}
END_TEST

START_TEST(laws_are_those_published)
{
    const double hz = 6489.6e6;
    bool outside;
    /* At 5 GHz the frequency term is 0. */
    ck_assert_double_eq_tol(aw_law_db(AW_OFFICE, true, 10, 5e9, &outside), 51.70, 0.005);
    ck_assert(!outside);
    ck_assert_double_eq_tol(aw_law_db(AW_OFFICE, false, 10, 5e9, NULL), 88.60, 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_INDUSTRIAL, true, 10, 5e9, &outside), 68.70, 0.005);
    ck_assert(outside);
    ck_assert_double_eq_tol(aw_law_db(AW_INDUSTRIAL, false, 10, 5e9, NULL), 78.20, 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_OFFICE, true, 10, hz, NULL), 51.70 + 2.333, 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_OFFICE, true, 10, nine.centre, NULL), 51.70 + 4.191,
                            0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_RESIDENTIAL, true, 1, 5e9, NULL), 43.9, 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_OUTDOOR, false, 100, 5e9, NULL), 123.0, 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_OPEN_OUTDOOR, true, 10, 5e9, &outside), 64.76, 0.005);
    ck_assert(outside);
    const double factory[5] = {75.244, 82.421, 81.291, 78.568, 78.367};
    /* Dense and low: 81.29 by its own line, raised to sparse and low's 82.42. */
    ck_assert_double_eq_tol(aw_law_db(AW_INF_SH, true, 20, hz, &outside), factory[0], 0.005);
    ck_assert(!outside);
    ck_assert_double_eq_tol(aw_law_db(AW_INF_SL, false, 20, hz, NULL), factory[1], 0.01);
    ck_assert_double_eq_tol(18.6 + 35.7 * log10(20) + 20 * log10(6.4896), factory[2], 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_INF_DL, false, 20, hz, NULL), factory[1], 0.01);
    ck_assert_double_eq_tol(aw_law_db(AW_INF_SH, false, 20, hz, NULL), factory[3], 0.005);
    ck_assert_double_eq_tol(aw_law_db(AW_INF_DH, false, 20, hz, NULL), factory[4], 0.005);
    ck_assert_double_eq(aw_law_shadowing(AW_INF_DH, true), 4.3);
    ck_assert_double_eq(aw_law_shadowing(AW_INDUSTRIAL, true), 6.0);
    static const double beyond[] = {5.7, 7.2, 5.9, 4.0}; /* TR 38.901, Table 7.4.1-1 */
    for (int i = 0; i < 4; i++)
        ck_assert_double_eq(aw_law_shadowing(AW_INF_SL + (aw_environment)i, false), beyond[i]);
    ck_assert_double_eq(aw_law_shadowing(AW_OFFICE, false), 3.9);
}
END_TEST

/* The figures without a radio of what stands for things as they are built are those of its leaves
 * at the channel, as the table prints them, and what is added. */
START_TEST(rows_of_what_is_built_cost_what_their_leaves_do)
{
    size_t layered = 0;
    for (size_t i = 0; i < aw_materials_built_in_n; i++) {
        const aw_material *m = &aw_materials_built_in[i];
        const aw_leaf slab = {m->name, m->dielectric, m->default_thickness};
        const bool thick = m->kind == AW_MATERIAL_LAYERED;
        const aw_leaf *leaves = thick ? m->leaves : &slab;
        const size_t n = thick ? m->n_leaves : 1;
        if (aw_material_note(i) == NULL || m->kind == AW_MATERIAL_FIXED || m->opaque)
            continue;
        ck_assert_double_eq_tol(m->loss_db, aw_slab_loss(leaves, n, &five, 1) + m->added_db, 0.051);
        ck_assert_double_eq_tol(m->delay, aw_slab_delay(leaves, n, five.centre, 1), 6e-4);
        layered++;
    }
    ck_assert_uint_eq(layered, 4);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("formulas");
    tcase_add_loop_test(c, slabs_cost_what_the_recommendation_says, 0,
                        sizeof slabs / sizeof slabs[0]);
    tcase_add_test(c, no_power_is_made_and_none_is_lost_without_loss);
    tcase_add_test(c, a_pile_of_like_leaves_is_one_slab);
    tcase_add_test(c, a_wall_passes_as_much_one_way_as_the_other);
    tcase_add_test(c, many_slabs_are_each_slab_to_the_bit);
    tcase_add_test(c, metal_mirrors_all_and_the_thick_is_dark);
    tcase_add_test(c, a_face_mirrors_like_a_slab_that_is_dark);
    tcase_add_test(c, an_edge_costs_j_of_v);
    tcase_add_test(c, a_budget_is_made_of_printed_figures);
    tcase_add_test(c, arrivals_are_as_sure_as_their_bound);
    tcase_add_test(c, laws_are_those_published);
    tcase_add_test(c, rows_of_what_is_built_cost_what_their_leaves_do);
    return c;
}

AW_TEST_MAIN("radio: formulas", all())
