/* The law of sites against values computed apart, with SciPy's Student's t and the formulas written
 * there anew from the sites' k; what it asks of stated figures; its coverage; its warnings. */
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "anchorwise/assess.h"
#include "anchorwise/site_law.h"
#include "links.h"

#define HALL                                                                                       \
    "anchorwise: 1\ntitle: Hall\nfloor: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]], "          \
    "ceiling: 6}\nanchors:\n  - {name: a, at: [1, 1, 5]}\n  - {name: b, at: [19, 1, 5]}\n"         \
    "  - {name: c, at: [19, 19, 5]}\n  - {name: d, at: [1, 19, 5]}\n"                              \
    "zones: [{name: z, outline: [[8, 8], [12, 8], [12, 12], [8, 12]], need: {p95: 1}}]\n"

static void read_ranging(aw_scenario *s, const char *ranging)
{
    char text[2000];
    snprintf(text, sizeof text, HALL "ranging: %s\n", ranging);
    read_text(s, text);
}

/* --- the formulas --- */

typedef struct footing {
    unsigned points, days;
    aw_measured_where where;
    double centre, w;
    double factor; /* either way, of nine sites in ten */
    double chance; /* of 1.7 times the stated errors */
} footing;

/* With the terms of the clear hall, 0.2597 m. */
static const footing footings[] = {
    {1, 1, AW_MEASURED_SITE, -0.503880, 0.669891, 3.557870, 0.916785},
    {5, 1, AW_MEASURED_SITE, -0.239042, 0.495722, 2.435762, 0.925604},
    {5, 5, AW_MEASURED_SITE, -0.205319, 0.468924, 2.321312, 0.927578},
    {10, 1, AW_MEASURED_SITE, -0.167212, 0.436667, 2.143350, 0.935211},
    {10, 3, AW_MEASURED_SITE, -0.131457, 0.404066, 2.024762, 0.939591},
    {20, 1, AW_MEASURED_SITE, -0.123808, 0.396745, 1.967365, 0.944463},
    {20, 2, AW_MEASURED_SITE, -0.093478, 0.366274, 1.867729, 0.949841},
    {40, 1, AW_MEASURED_SITE, -0.099762, 0.372792, 1.869725, 0.951199},
    {40, 3, AW_MEASURED_SITE, -0.055592, 0.324214, 1.723308, 0.961436},
    {100, 1, AW_MEASURED_SITE, -0.084485, 0.356740, 1.807524, 0.956212},
    {100, 5, AW_MEASURED_SITE, -0.028303, 0.290165, 1.618479, 0.971624},
    {1, 1, AW_MEASURED_EQUIPMENT, -0.529052, 0.684142, 3.655236, 0.917334},
    {5, 1, AW_MEASURED_EQUIPMENT, -0.324942, 0.558200, 2.724986, 0.923208},
    {5, 5, AW_MEASURED_EQUIPMENT, -0.301113, 0.541592, 2.644907, 0.923574},
    {10, 1, AW_MEASURED_EQUIPMENT, -0.274721, 0.522580, 2.490202, 0.928582},
    {10, 3, AW_MEASURED_EQUIPMENT, -0.250456, 0.504469, 2.412696, 0.929453},
    {20, 1, AW_MEASURED_EQUIPMENT, -0.245327, 0.500557, 2.348460, 0.933407},
    {20, 2, AW_MEASURED_EQUIPMENT, -0.225196, 0.484898, 2.286565, 0.934424},
    {40, 1, AW_MEASURED_EQUIPMENT, -0.229340, 0.488163, 2.269272, 0.936813},
    {40, 3, AW_MEASURED_EQUIPMENT, -0.200509, 0.464975, 2.182642, 0.938647},
    {100, 1, AW_MEASURED_EQUIPMENT, -0.219290, 0.480208, 2.218509, 0.939325},
    {100, 5, AW_MEASURED_EQUIPMENT, -0.183034, 0.450341, 2.111240, 0.941995},
};
#define N_FOOTINGS (sizeof footings / sizeof *footings)

START_TEST(a_measurement_moves_and_narrows_the_law_as_computed_apart)
{
    for (size_t i = 0; i < N_FOOTINGS; i++) {
        const footing *f = &footings[i];
        char ranging[200];
        aw_scenario s;
        snprintf(ranging, sizeof ranging,
                 "{start: clear hall, measured: {points: %u, days: %u, where: %s}}", f->points,
                 f->days, f->where == AW_MEASURED_SITE ? "site" : "equipment");
        read_ranging(&s, ranging);
        const aw_site_factor found = aw_site_factor_of(&s, false);
        const aw_site_range range = aw_site_range_of(&s, false);
        ck_assert_double_eq_tol(found.centre, f->centre, 2e-5);
        ck_assert_double_eq_tol(found.w, f->w, 2e-5);
        ck_assert_double_eq(found.nu, 6 + f->points);
        ck_assert_double_eq_tol(sqrt(range.high / range.low), f->factor, 2e-4);
        ck_assert_double_eq_tol(aw_site_chance(&found, 1.7), f->chance, 2e-5);
        aw_scenario_free(&s);
    }
}
END_TEST

START_TEST(without_a_measurement_the_law_is_that_of_the_sites_whatever_the_terms)
{
    /* Chances of so many times the stated errors, SciPy's Student's t. */
    static const double chances[][2] = {
        {0.1, 0.0502566}, {0.5, 0.5482610}, {1, 0.8256390}, {2, 0.9473565}, {4, 0.9843313}};
    aw_scenario s, small;
    read_ranging(&s, "{start: clear hall}");
    read_ranging(&small, "{sigma: 0.01, spot_sigma: 0.01}");
    const aw_site_factor f = aw_site_factor_of(&s, false), g = aw_site_factor_of(&small, false);
    const aw_site_range range = aw_site_range_of(&s, false);
    ck_assert_double_eq_tol(f.centre, -0.7916840, 2e-5);
    ck_assert_double_eq_tol(range.low, 0.0997127, 1e-5);
    ck_assert_double_eq_tol(range.high, 2.0587394, 1e-4);
    for (size_t i = 0; i < sizeof chances / sizeof *chances; i++)
        ck_assert_double_eq_tol(aw_site_chance(&f, chances[i][0]), chances[i][1], 2e-5);
    /* A small sigma buys no chance: of a length that is asked it is the same. */
    for (double k = 0.05; k < 1; k *= 1.5)
        ck_assert_double_eq_tol(
            aw_site_chance(&f, k / aw_ranging_rms(&s.ranging, &s.radio)),
            aw_site_chance(&g, k / aw_ranging_rms(&small.ranging, &small.radio)), 1e-12);
    aw_scenario_free(&s);
    aw_scenario_free(&small);
}
END_TEST

/* SciPy: the height's factor 4.9029; with metal 6.7580, and 0.7747562 of the sites no worse. */
START_TEST(the_height_and_metal_widen_the_law)
{
    aw_scenario clear, metal;
    read_ranging(&clear, "{start: clear hall}");
    read_ranging(&metal, "{start: metal nearby}");
    const aw_site_range up = aw_site_range_of(&clear, true);
    const aw_site_range about = aw_site_range_of(&metal, false);
    ck_assert_double_eq_tol(sqrt(up.high / up.low), 4.902855, 1e-3);
    ck_assert_double_eq_tol(sqrt(about.high / about.low), 6.757978, 1e-3);
    ck_assert_double_eq_tol(aw_terms_share(&metal), 0.774756, 2e-5);
    /* What the two starts differ by. */
    ck_assert_double_eq_tol(
        log(aw_start_rms(metal.ranging.start) / aw_start_rms(clear.ranging.start)), AW_METAL_SHIFT,
        0.005);
    aw_scenario_free(&clear);
    aw_scenario_free(&metal);
}
END_TEST

START_TEST(another_visit_is_within_the_factor_of_visits)
{
    /* The normal law: 1.645 standard deviations. */
    ck_assert_double_eq_tol(exp(1.6449 * AW_VISIT_SPREAD), AW_VISIT_FACTOR, 0.02);
}
END_TEST

/* Three systems of spread 0.7 and one more site, as the law is used. */
START_TEST(nine_sites_in_ten_lie_in_the_range_if_the_spread_is_as_assumed)
{
    uint64_t state = 4;
    size_t held = 0;
    const size_t n = 20000;
    for (size_t i = 0; i < n; i++) {
        double x[3];
        for (int k = 0; k < 3; k++)
            x[k] = 0.7 * test_normal(&state);
        const aw_site_law law = aw_site_law_of(x, 3);
        held += fabs(0.7 * test_normal(&state) - law.m) <= law.w * gsl_cdf_tdist_Pinv(0.95, law.nu);
    }
    ck_assert_double_eq_tol((double)held / (double)n, 0.90, 0.01);
}
END_TEST

/* --- what is asked --- */

START_TEST(a_need_of_figures_is_the_chance_read_backwards)
{
    static const double chances[] = {0.5, 0.8, 0.9, 0.95};
    aw_scenario s;
    read_ranging(&s, "{start: not measured}");
    const aw_site_factor f = aw_site_factor_of(&s, false);
    for (size_t i = 0; i < sizeof chances / sizeof *chances; i++) {
        s.study.chance = chances[i];
        const aw_need need = aw_need_of_figures(&s.zones[0].need, &s);
        ck_assert_double_le(need.p95, 1);
        if (need.p95 < 1)
            ck_assert_double_eq_tol(aw_site_chance(&f, 1 / need.p95), chances[i], 1e-9);
        else
            ck_assert_double_ge(aw_site_chance(&f, 1), chances[i] - 1e-3);
    }
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_margin_stands_in_the_place_of_a_chance)
{
    aw_scenario s;
    read_ranging(&s, "{start: not measured}");
    aw_need need = s.zones[0].need;
    ck_assert_double_eq(aw_need_chance(&need, &s.study), 0.8);
    need.chance = 0.6;
    ck_assert_double_eq(aw_need_chance(&need, &s.study), 0.6);
    need.margin = 2;
    ck_assert(isnan(aw_need_chance(&need, &s.study)));
    ck_assert_double_eq(aw_need_of_figures(&need, &s).p95, 0.5);
    s.study.over_needs = true; /* as an option does */
    ck_assert_double_eq(aw_need_chance(&need, &s.study), 0.8);
    const aw_need none = {.p50 = (double)NAN,
                          .p95 = (double)NAN,
                          .p99 = (double)NAN,
                          .vertical_p95 = (double)NAN,
                          .fix_share = 0.9,
                          .chance = 0.9};
    ck_assert(isnan(aw_need_chance(&none, &s.study)));
    aw_scenario_free(&s);
}
END_TEST

/* --- warnings --- */

static size_t warnings_of(const char *ranging, const char *more, const char *piece)
{
    char text[3000];
    aw_scenario s;
    aw_errors errors = {0};
    size_t found = 0;
    snprintf(text, sizeof text, HALL "%sranging: %s\n", more, ranging);
    read_text(&s, text);
    aw_site_warn(&s, &errors);
    for (size_t i = 0; i < errors.n; i++)
        found += strstr(errors.list[i].text, piece) != NULL && errors.list[i].line > 0;
    aw_errors_free(&errors);
    aw_scenario_free(&s);
    return found;
}

#define RACK                                                                                       \
    "obstacles: [{name: rack, footprint: [[2, 2], [3, 2], [3, 3], [2, 3]], top: 2, "               \
    "material: metal}]\n"

START_TEST(errors_that_flatter_are_told)
{
    ck_assert_uint_eq(warnings_of("{start: static tag}", "", "best 16 %"), 1);
    ck_assert_uint_eq(warnings_of("{sigma: 0.1}", "", "of the sites measured"), 1);
    ck_assert_uint_eq(warnings_of("{start: not measured}", "", ""), 0);
    ck_assert_uint_eq(warnings_of("{start: clear hall}", "", ""), 0);
    ck_assert_uint_eq(
        warnings_of("{sigma: 0.03, spot_sigma: 0.05, measured: {points: 20}}", "", ""), 0);
    ck_assert_uint_eq(warnings_of("{start: clear hall}", RACK, "without metal"), 1);
    ck_assert_uint_eq(warnings_of("{start: not measured}", RACK, ""), 0);
    ck_assert_uint_eq(warnings_of("{start: metal nearby}", RACK, "without metal"), 0);
    ck_assert_uint_eq(warnings_of("{start: clear hall, measured: {points: 20}}", "", "fitted"), 1);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("site law");
    tcase_add_test(c, a_measurement_moves_and_narrows_the_law_as_computed_apart);
    tcase_add_test(c, without_a_measurement_the_law_is_that_of_the_sites_whatever_the_terms);
    tcase_add_test(c, the_height_and_metal_widen_the_law);
    tcase_add_test(c, another_visit_is_within_the_factor_of_visits);
    tcase_add_test(c, nine_sites_in_ten_lie_in_the_range_if_the_spread_is_as_assumed);
    tcase_add_test(c, a_need_of_figures_is_the_chance_read_backwards);
    tcase_add_test(c, a_margin_stands_in_the_place_of_a_chance);
    tcase_add_test(c, errors_that_flatter_are_told);
    return c;
}

AW_TEST_MAIN("site law", all())
