/* Explanations: causes against scenarios written without them, remedies against brute force and
 * against draws that had no part in choosing. */
#include "map/spot.h"
#include "position/trials.h"
#include "links.h"

#define FLOOR                                                                                      \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[30,0],[30,18],[0,18]], ceiling: 7}\n"
#define THINGS                                                                                     \
    "materials:\n  crate stack: {loss_db: 8, delay: 0.4}\nobstacles:\n"                            \
    "  - {name: press, footprint: [[11,6],[17,6],[17,9],[11,9]], top: 3, material: metal}\n"       \
    "  - {name: crates, footprint: [[20,11],[24,11],[24,13],[20,13]], top: 4, material: crate "    \
    "stack}\n"                                                                                     \
    "walls:\n  - {name: office, path: [[0,12],[6,12],[6,18]], thickness: 0.12, material: "         \
    "plasterboard}\n"
/* The same with no delay: built-in plasterboard loses 0.8 dB and delays by 8 mm. */
#define ON_TIME                                                                                    \
    "materials:\n  crate stack: {loss_db: 8}\n  plasterboard: {loss_db: 0.8}\nobstacles:\n"        \
    "  - {name: press, footprint: [[11,6],[17,6],[17,9],[11,9]], top: 3, material: metal}\n"       \
    "  - {name: crates, footprint: [[20,11],[24,11],[24,13],[20,13]], top: 4, material: crate "    \
    "stack}\n"                                                                                     \
    "walls:\n  - {name: office, path: [[0,12],[6,12],[6,18]], thickness: 0.12, material: "         \
    "plasterboard}\n"
#define RANGING(more) "ranging: {sigma: 0.09, range: 26" more "}\n"
#define SPOT          ", spot_sigma: 0.15, tail_share: 0.1, tail_sigma: 0.4"
#define INSTALLATION  ", survey_sigma: 0.06, delay_sigma: 0.08"
#define TAG(height)   "tags:\n  - {name: t, height: 1.1, height_sigma: " #height "}\n"
#define ANCHORS                                                                                    \
    "anchors:\n  - {name: A1, at: [0.3, 0.4, 5]}\n  - {name: A2, at: [29.6, 0.5, 4.6]}\n"          \
    "  - {name: A3, at: [29.2, 17.7, 5.5]}\n  - {name: A4, at: [0.5, 17.2, 5.1]}\n"                \
    "  - {name: A5, at: [14.2, 17.6, 6]}\n  - {name: A6, at: [13.1, 0.2, 4]}\n"
#define STUDY(draws) "study: {step: 1, draws: " #draws ", seed: 4}\n"
#define WHOLE        FLOOR THINGS RANGING(SPOT INSTALLATION) TAG(0.3) ANCHORS

static void explain(aw_explanation *e, const aw_scenario *s, double x, double y)
{
    aw_errors errors = {0};
    ck_assert(aw_explain_run(e, s, (aw_point){x, y}, 0, &(aw_run){2, NULL, &errors}));
    ck_assert_uint_eq(errors.n_errors, 0);
}

/* p95 of a spot by so many draws of another seed, by the map's own way. */
static double drawn_p95(const aw_scenario *s, double x, double y, uint64_t seed, uint32_t draws)
{
    aw_scenario other = *s;
    aw_link links[16];
    aw_spot spot = {.links = links};
    aw_scene *scene = aw_scene_create(s);
    aw_trials *trials = aw_trials_create(s->n_anchors, draws, NULL);
    other.study.seed = seed;
    other.study.draws = draws;
    aw_spot_prepare_at(&spot, scene, &other, 0, (aw_point){x, y}, 77);
    aw_trials_run(trials, &spot.draws);
    const double p95 = aw_trials_percentile(trials, 0.95, false);
    aw_trials_free(trials);
    aw_scene_free(scene);
    return p95;
}

/* --- causes --- */

/* The whole and the scenario written without one cause. */
static const struct {
    aw_cause_kind kind;
    const char *yaml;
} written[] = {
    {AW_CAUSE_OBSTACLES, FLOOR RANGING(SPOT INSTALLATION) TAG(0.3) ANCHORS STUDY(1000)},
    {AW_CAUSE_BIAS, FLOOR ON_TIME RANGING(SPOT INSTALLATION) TAG(0.3) ANCHORS STUDY(1000)},
    {AW_CAUSE_HEIGHT, FLOOR THINGS RANGING(SPOT INSTALLATION) TAG(0) ANCHORS STUDY(1000)},
    {AW_CAUSE_SPOT, FLOOR THINGS RANGING(INSTALLATION) TAG(0.3) ANCHORS STUDY(1000)},
    {AW_CAUSE_INSTALLATION, FLOOR THINGS RANGING(SPOT) TAG(0.3) ANCHORS STUDY(1000)},
};

START_TEST(a_cause_taken_away_is_the_scenario_without_it)
{
    aw_scenario s, t;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(1000));
    read_text(&t, written[_i].yaml);
    explain(&e, &s, 18.3, 7.1);
    const aw_cause *c = &e.causes[written[_i].kind];
    ck_assert(c->present);
    /* 64 000 draws of another seed against 16 000: within 1.5 times the interval's half width. */
    const double want = drawn_p95(&t, 18.3, 7.1, 91, 64000);
    const double reach = 0.75 * (c->without.high - c->without.low);
    ck_assert_double_le(fabs(c->without.value - want), reach);
    ck_assert_double_eq(c->alone, e.p95.value - c->without.value);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

/* The usable anchors of a bare hall, each at its height and distance, written at even bearings in
 * the order they had. */
START_TEST(uneven_directions_are_the_same_anchors_turned_to_even_bearings)
{
    const double x = 3.1, y = 4.2;
    aw_scenario s;
    aw_explanation e;
    read_text(&s, FLOOR RANGING(SPOT INSTALLATION) TAG(0) ANCHORS STUDY(1000));
    explain(&e, &s, x, y);
    aw_anchor even[8];
    size_t used = 0;
    double first = 0;
    for (size_t i = 0; i < s.n_anchors; i++) {
        const double *at = s.anchors[i].at, azimuth = atan2(at[1] - y, at[0] - x);
        size_t before = 0;
        if (e.lines[i].link.n_outcomes == 0)
            continue;
        for (size_t k = 0; k < s.n_anchors; k++)
            before += e.lines[k].link.n_outcomes > 0 &&
                      atan2(s.anchors[k].at[1] - y, s.anchors[k].at[0] - x) < azimuth;
        even[used] = s.anchors[i];
        even[used].at[0] = (double)before; /* its place in the order, until all are known */
        first = before == 0 ? azimuth : first;
        even[used].at[1] = hypot(at[0] - x, at[1] - y);
        used++;
    }
    ck_assert_uint_ge(used, 4);
    for (size_t k = 0; k < used; k++) {
        const double turn = first + 2 * M_PI * even[k].at[0] / (double)used, far = even[k].at[1];
        even[k].at[0] = x + far * cos(turn);
        even[k].at[1] = y + far * sin(turn);
    }
    aw_scenario t = s;
    t.anchors = even;
    t.n_anchors = used;
    const aw_cause *c = &e.causes[AW_CAUSE_DIRECTIONS];
    const double want = drawn_p95(&t, x, y, 92, 64000);
    ck_assert_double_le(fabs(c->without.value - want), 0.75 * (c->without.high - c->without.low));
    ck_assert_double_gt(c->alone, e.p95.high - e.p95.low);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(fair_parts_add_up_to_the_whole)
{
    static const double at[][2] = {{18.3, 7.1}, {2.2, 15.1}, {28.8, 9.4}, {9.7, 3.3}};
    aw_scenario s;
    aw_explanation e;
    double sum = 0;
    size_t present = 0;
    read_text(&s, WHOLE STUDY(100));
    explain(&e, &s, at[_i][0], at[_i][1]);
    for (int k = 0; k < AW_CAUSES; k++)
        if (e.causes[k].present) {
            sum += e.causes[k].fair;
            present++;
        }
    ck_assert_uint_ge(present, 5);
    ck_assert_double_le(fabs(sum - (e.p95.value - e.left)), 1e-12);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* What a scenario does not have is no cause. */
START_TEST(a_bare_hall_has_no_cause_but_its_directions)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s, FLOOR RANGING("") TAG(0) ANCHORS STUDY(200));
    explain(&e, &s, 3.1, 4.2);
    for (int k = 0; k < AW_CAUSES; k++)
        ck_assert_int_eq(e.causes[k].present, k == AW_CAUSE_DIRECTIONS);
    ck_assert_double_eq(e.causes[AW_CAUSE_DIRECTIONS].fair, e.p95.value - e.left);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* Anchors of one height and distance that lie evenly gain nothing by being spread evenly: the same
 * law, drawn twice. */
START_TEST(an_even_ring_gains_nothing_by_being_spread)
{
    aw_scenario s;
    aw_explanation e;
    read_text(
        &s,
        FLOOR RANGING("") TAG(
            0) "anchors:\n  - {name: A, at: [21, 9, 4]}\n  - {name: B, at: [12, 14.196152423, 4]}\n"
               "  - {name: C, at: [12, 3.803847577, 4]}\n  - {name: D, at: [9, 9, 4]}\n"
               "  - {name: E, at: [18, 14.196152423, 4]}\n  - {name: F, at: [18, 3.803847577, "
               "4]}\n" STUDY(1000));
    explain(&e, &s, 15, 9);
    const aw_cause *c = &e.causes[AW_CAUSE_DIRECTIONS];
    ck_assert_double_le(fabs(c->alone),
                        0.75 * (e.p95.high - e.p95.low + c->without.high - c->without.low));
    /* A circle of sigma sqrt(2 / 6) x 0.09 in plan, cosine of the elevation 6 / hypot(6, 2.9). */
    const double cosine = 6 / hypot(6, 2.9), sigma = 0.09 * sqrt(2.0 / 6) / cosine;
    ck_assert_double_le(fabs(e.p95.value / (sigma * sqrt(-2 * log(0.05))) - 1), 0.03);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* --- lines of sight --- */

START_TEST(each_line_says_what_is_in_its_way)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(64));
    explain(&e, &s, 10, 7.5);
    /* Due east of the spot the press reaches from 11 to 17 m, 3 m high. */
    ck_assert_str_eq(e.lines[1].blocker, "press");
    ck_assert_int_eq(e.lines[1].link.state, AW_LINK_LOST);
    ck_assert_uint_eq(e.lines[1].crossed, 1);
    ck_assert_ptr_null(e.lines[0].blocker);
    ck_assert_str_eq(e.lines[3].blocker, "office");
    ck_assert_int_eq(e.lines[3].link.state, AW_LINK_THROUGH);
    /* A1 lies at (-9.7, -7.1): atan2(-9.7, -7.1) clockwise from north. */
    ck_close(e.lines[0].bearing, atan2(-9.7, -7.1) + 2 * M_PI, 1e-12);
    ck_close(e.lines[0].elevation, atan2(3.9, hypot(9.7, 7.1)), 1e-12);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(the_widest_gap_is_between_neighbouring_bearings)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(64));
    explain(&e, &s, 10, 7.5);
    for (size_t i = 0; i < s.n_anchors; i++) {
        double turn = e.lines[i].bearing - e.gap_from;
        turn += turn < -1e-12 ? 2 * M_PI : 0;
        if (e.lines[i].link.n_outcomes > 0)
            ck_assert(turn < 1e-12 || turn > e.gap - 1e-12);
    }
    double turn = e.gap_to - e.gap_from;
    turn += turn < 0 ? 2 * M_PI : 0;
    ck_close(turn, e.gap, 1e-12);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* --- remedies --- */

static double p95_with(const aw_scenario *s, const aw_remedy *r, double x, double y, uint64_t seed,
                       uint32_t draws)
{
    aw_varied then;
    ck_assert(aw_remedy_apply(&then, r, s));
    const double p95 = drawn_p95(&then.scenario, x, y, seed, draws);
    aw_varied_free(&then);
    return p95;
}

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The first remedy's p95 again, by 16 times the draws of another seed, at 50 spots: a 95 % interval
 * holds it at 44 or more in all but 1 % of such tests. */
START_TEST(what_a_remedy_promises_comes_true)
{
    uint64_t state = 2026;
    size_t held = 0, n = 0;
    double miss[50];
    aw_scenario s;
    read_text(&s, WHOLE STUDY(64));
    while (n < 50) {
        const double x = test_between(&state, 0.5, 29.5), y = test_between(&state, 0.5, 17.5);
        aw_explanation e;
        explain(&e, &s, x, y);
        if (e.n_remedies > 0) {
            const aw_remedy *r = &e.remedies[0];
            const double again = p95_with(&s, r, x, y, 5000 + n, 16 * e.draws);
            held += again >= r->p95.low && again <= r->p95.high;
            miss[n++] = fabs(again / r->p95.value - 1);
        }
        aw_explanation_free(&e);
    }
    qsort(miss, 50, sizeof *miss, compare_doubles);
    ck_assert_uint_ge(held, 44);
    ck_assert_double_le((miss[24] + miss[25]) / 2, 0.10);
    aw_scenario_free(&s);
}
END_TEST

/* Every mountable place is drawn; the best of them, drawn again, does not beat the remedy told by
 * more than its interval. */
START_TEST(no_place_tried_by_brute_force_is_better)
{
    static const double at[][2] = {{18.3, 7.1}, {2.2, 15.1}, {28.8, 9.4}, {19, 15}};
    const double x = at[_i][0], y = at[_i][1];
    static double places[4096][3];
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(1000));
    explain(&e, &s, x, y);
    const aw_remedy *told = NULL;
    for (size_t i = 0; i < e.n_remedies; i++)
        if (e.remedies[i].kind == AW_REMEDY_ADD)
            told = &e.remedies[i];
    const size_t n = aw_mountable(&s, places, 4096);
    ck_assert_uint_gt(n, 100);
    ck_assert_uint_le(n, 4096);
    aw_remedy tried = {.kind = AW_REMEDY_ADD, .anchor = s.n_anchors}, best = tried;
    double least = HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        memcpy(tried.at, places[i], sizeof tried.at);
        const double p95 = p95_with(&s, &tried, x, y, 300, 8000);
        if (p95 < least) {
            least = p95;
            memcpy(best.at, places[i], sizeof best.at);
        }
    }
    /* Without a remedy, no place lowers p95 by more than 15 %. */
    const double limit = told != NULL ? told->p95.low : (1 - AW_NEAR_EQUAL) * e.p95.low;
    ck_assert_double_ge(p95_with(&s, &best, x, y, 301, 64000), limit);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(an_anchor_hangs_only_where_something_holds_it)
{
    static double places[4096][3];
    aw_scenario s;
    read_text(&s, WHOLE STUDY(64));
    const size_t n = aw_mountable(&s, places, 4096);
    for (size_t i = 0; i < n; i++) {
        const double *p = places[i];
        const double edge = fmin(fmin(p[0], 30 - p[0]), fmin(p[1], 18 - p[1]));
        /* The office walls run along y = 12 and x = 6, 0.12 m thick. */
        const bool wall = fabs(fabs(p[1] - 12) - 0.36) < 1e-9 || fabs(fabs(p[0] - 6) - 0.36) < 1e-9;
        bool used = false;
        for (size_t k = 0; k < s.n_anchors; k++)
            used = used || fabs(s.anchors[k].at[2] - p[2]) < 0.05;
        ck_assert(used);
        ck_assert_double_gt(edge, 0);
        ck_assert(fabs(edge - 0.3) < 1e-9 || wall);
    }
    aw_scenario_free(&s);
}
END_TEST

/* A move that mends the spot by robbing a zone is told to do so and stands behind what does not. */
START_TEST(what_harms_a_zone_stands_last)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s,
              WHOLE "zones:\n  - {name: west, outline: [[1,1],[8,1],[8,10],[1,10]], need: {p95: "
                    "0.75}}\n  - {name: north, outline: [[8,10],[19,10],[19,17],[8,17]], need: "
                    "{p95: 0.8}}\n" STUDY(200));
    explain(&e, &s, 28.8, 9.4);
    ck_assert_uint_ge(e.n_remedies, 2);
    for (size_t i = 0; i < e.n_remedies; i++) {
        const aw_remedy *r = &e.remedies[i];
        bool harms = false, breaks = false;
        for (size_t z = 0; z < 2; z++) {
            const aw_zone_result *now = &e.zones[z], *then = &r->zones[z];
            breaks = breaks || (now->verdict == AW_MET && then->verdict == AW_NOT_MET);
            harms = harms || breaks || then->errors.p95 > 1.15 * now->errors.p95;
        }
        ck_assert_int_eq(r->harms, harms);
        ck_assert_int_eq(r->breaks, breaks);
        if (i > 0)
            ck_assert(r->harms || !e.remedies[i - 1].harms);
    }
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(threads_change_nothing)
{
    aw_scenario s;
    aw_explanation one, three;
    aw_errors errors = {0};
    const aw_point at = {2.2, 15.1};
    read_text(&s, WHOLE STUDY(100));
    ck_assert(aw_explain_run(&one, &s, at, 0, &(aw_run){1, NULL, &errors}));
    ck_assert(aw_explain_run(&three, &s, at, 0, &(aw_run){3, NULL, &errors}));
    ck_assert_mem_eq(&one.p95, &three.p95, sizeof one.p95);
    ck_assert_mem_eq(one.causes, three.causes, sizeof one.causes);
    ck_assert_uint_eq(one.n_remedies, three.n_remedies);
    for (size_t i = 0; i < one.n_remedies; i++) {
        ck_assert_mem_eq(one.remedies[i].at, three.remedies[i].at, sizeof one.remedies[i].at);
        ck_assert_mem_eq(&one.remedies[i].p95, &three.remedies[i].p95, sizeof(aw_estimate));
    }
    aw_explanation_free(&one);
    aw_explanation_free(&three);
    aw_scenario_free(&s);
}
END_TEST

static TCase *causes(void)
{
    TCase *tc = tcase_create("causes");
    tcase_set_timeout(tc, 60);
    tcase_add_loop_test(tc, a_cause_taken_away_is_the_scenario_without_it, 0, 5);
    tcase_add_test(tc, uneven_directions_are_the_same_anchors_turned_to_even_bearings);
    tcase_add_loop_test(tc, fair_parts_add_up_to_the_whole, 0, 4);
    tcase_add_test(tc, a_bare_hall_has_no_cause_but_its_directions);
    tcase_add_test(tc, an_even_ring_gains_nothing_by_being_spread);
    return tc;
}

static TCase *lines(void)
{
    TCase *tc = tcase_create("lines of sight");
    tcase_add_test(tc, each_line_says_what_is_in_its_way);
    tcase_add_test(tc, the_widest_gap_is_between_neighbouring_bearings);
    return tc;
}

static TCase *remedies(void)
{
    TCase *tc = tcase_create("remedies");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, what_a_remedy_promises_comes_true);
    tcase_add_loop_test(tc, no_place_tried_by_brute_force_is_better, 0, 4);
    tcase_add_test(tc, an_anchor_hangs_only_where_something_holds_it);
    tcase_add_test(tc, what_harms_a_zone_stands_last);
    tcase_add_test(tc, threads_change_nothing);
    return tc;
}

AW_TEST_MAIN("explain", causes(), lines(), remedies())
