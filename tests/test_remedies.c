/* Remedies against brute force and against draws that had no part in choosing, as they are and with
 * everything that may be a little off. */
#include "explained.h"
#include "place/mountable.h"

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

/* --- what is a little off, by scenarios varied here --- */

#define OFF 0.2

/* p95 of the spot where number k of all that may be off is off, a remedy done or not; NaN if that
 * cannot be, or k is past the last. Ten of place and spot, four of each obstacle. */
static double p95_off(const aw_scenario *s, const aw_remedy *r, double x, double y, size_t k,
                      uint32_t draws)
{
    const double by = k % 2 == 0 ? -OFF : OFF;
    aw_remedy moved = *r;
    aw_varied off = aw_vary(s);
    double p95 = (double)NAN;
    bool can = true;
    if (k < 6) {
        moved.at[k / 2] += by;
        const double *at = moved.at;
        can = at[0] > 0 && at[0] < 30 && at[1] > 0 && at[1] < 18 && at[2] < 7;
    } else if (k < 10) {
        x += k < 8 ? by : 0;
        y += k < 8 ? 0 : by;
        can = x > 0 && x < 30 && y > 0 && y < 18;
    } else {
        aw_obstacle *o = &aw_varied_obstacles(&off)[(k - 10) / 4];
        const bool base = (k - 10) % 4 < 2;
        can = !base || by > 0; /* both stand on the floor */
        o->base += base ? by : 0;
        o->top += base ? 0 : by;
    }
    if (can)
        p95 = p95_with(&off.scenario, &moved, x, y, 900, draws);
    aw_varied_free(&off);
    return p95;
}

static double worst_off(const aw_scenario *s, const aw_remedy *r, double x, double y,
                        uint32_t draws)
{
    double worst = p95_with(s, r, x, y, 900, draws);
    for (size_t k = 0; k < 10 + 4 * s->n_obstacles; k++)
        worst = fmax(worst, p95_off(s, r, x, y, k, draws));
    return worst;
}

static const double mended[][2] = {{18.3, 7.1}, {2.2, 15.1}, {28.8, 9.4}, {19, 15}};

/* Whether a remedy holds is asked of everything that may be off, not of the three things that the
 * search drew; 3 % are left to chance. */
START_TEST(what_holds_does_so_with_anything_a_little_off)
{
    const double x = mended[_i][0], y = mended[_i][1];
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(1000));
    explain(&e, &s, x, y);
    for (size_t i = 0; i < e.n_remedies; i++) {
        const aw_remedy *r = &e.remedies[i];
        const double worst = worst_off(&s, r, x, y, 16000), line = 0.85 * e.p95.value;
        if (r->robust)
            ck_assert_double_lt(worst, 1.03 * line);
        else
            ck_assert_double_gt(worst, 0.97 * line);
        ck_assert_double_lt(fabs(worst / r->worst_p95.value - 1), 0.05);
    }
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

static double weight_of(const aw_remedy *r)
{
    return r->carried == AW_CARRIED_UNSTATED ? 1.15 : 1;
}

typedef struct tried {
    aw_remedy remedy;
    double p95;
} tried;

static int compare_tried(const void *a, const void *b)
{
    return compare_doubles(&((const tried *)a)->p95, &((const tried *)b)->p95);
}

/* One more anchor at every place of a grid of 1 m along the outline and, up to 3 m under the
 * ceiling, over the floor, each metre, in the whole size each half metre, in height. What nobody
 * has said to carry an anchor counts for 15 % more. Of the best, none is left with 15 % less when
 * something is a little off than what is told first of its kind. */
START_TEST(no_place_tried_by_brute_force_is_better)
{
    static tried all[8192];
    const double x = mended[_i][0], y = mended[_i][1];
    const bool whole = getenv("AW_WHOLE") != NULL;
    size_t n = 0;
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(1000));
    explain(&e, &s, x, y);
    const aw_remedy *told = NULL;
    for (size_t i = 0; i < e.n_remedies; i++)
        if (e.remedies[i].kind == AW_REMEDY_ADD)
            told = &e.remedies[i];
    for (int column = 0; column <= 30; column++)
        for (int row = 0; row <= 18; row++)
            for (double z = 1; z <= 6.7; z += whole ? 0.5 : 1) {
                const double at[3] = {fmin(fmax(column, 0.3), 29.7), fmin(fmax(row, 0.3), 17.7), z};
                const aw_point p = {at[0], at[1]};
                const bool outline = column == 0 || column == 30 || row == 0 || row == 18;
                if (!outline && z < 4)
                    continue;
                if (aw_is_filled(&s, p, z) || aw_is_crowded(&s, p, z, s.n_anchors))
                    continue;
                tried *t = &all[n++];
                *t = (tried){{.kind = AW_REMEDY_ADD, .anchor = s.n_anchors}, 0};
                t->remedy.carried = outline ? AW_CARRIED_WALL : AW_CARRIED_UNSTATED;
                memcpy(t->remedy.at, at, sizeof at);
                t->p95 =
                    p95_with(&s, &t->remedy, x, y, 300, whole ? 1000 : 400) * weight_of(&t->remedy);
            }
    ck_assert_uint_gt(n, whole ? 3000 : 1500);
    qsort(all, n, sizeof *all, compare_tried);
    double least = HUGE_VAL;
    for (size_t i = 0; i < (whole ? 40 : 8); i++)
        least = fmin(least, worst_off(&s, &all[i].remedy, x, y, 16000) * weight_of(&all[i].remedy));
    /* Without a remedy, no place lowers p95 by more than 15 %. */
    ck_assert_double_ge(
        least, 0.85 * (told != NULL ? told->worst_p95.value * weight_of(told) : e.p95.value));
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

static TCase *remedies(void)
{
    TCase *tc = tcase_create("remedies");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, what_a_remedy_promises_comes_true);
    tcase_add_loop_test(tc, what_holds_does_so_with_anything_a_little_off, 0, 4);
    tcase_add_loop_test(tc, no_place_tried_by_brute_force_is_better, 0,
                        getenv("AW_WHOLE") != NULL ? 4 : 2);
    tcase_add_test(tc, an_anchor_hangs_only_where_something_holds_it);
    tcase_add_test(tc, what_harms_a_zone_stands_last);
    tcase_add_test(tc, threads_change_nothing);
    return tc;
}

AW_TEST_MAIN("remedies", remedies())
