/* aw_fix_find: published examples, what changes nothing, poor problems. */
#include "position/fix.h"
#include "links.h"

#define MOST 12

/* --- published --- */

/* T. Sauer, Numerical Analysis, Reality Check 4: c t_i = |x - A_i| + c d, in km and s. Its second
 * root leaves residuals of some 1e4 km and must not be chosen, whatever the bit. */
START_TEST(sauers_pseudoranges_give_the_published_fix)
{
    double a[4][3] = {
        {15600, 7540, 20140}, {18760, 2750, 18610}, {17610, 14630, 13480}, {19170, 610, 18390}};
    const double t[4] = {0.07074, 0.07220, 0.07690, 0.07242}, c = 299792.458;
    double rho[4], weight[4] = {1, 1, 1, 1};
    for (int i = 0; i < 4; i++)
        rho[i] = c * t[i];
    aw_fix_problem p = {
        .dims = 3, .n = 4, .anchor = a, .weight = weight, .rho = rho, .side = (unsigned)_i};
    const aw_fix fix = aw_fix_find(&p);
    ck_assert(fix.found && !fix.ambiguous);
    ck_assert_double_eq_tol(fix.at[0], -41.77271, 1e-4);
    ck_assert_double_eq_tol(fix.at[1], -16.78919, 1e-4);
    ck_assert_double_eq_tol(fix.at[2], 6370.0596, 1e-4);
    ck_assert_double_eq_tol(fix.offset / c, -3.201566e-3, 1e-9);
}
END_TEST

/* Expected output of an open implementation of S. Bancroft, IEEE T-AES 21(1):56-59, 1985. */
START_TEST(four_satellites_give_the_published_place)
{
    double a[4][3] = {{-12005459.353, 22848755.674, 5796967.796},
                      {-26293588.245, -625514.504, -4190661.86},
                      {-6559774.102, 22208149.128, 13685049.829},
                      {3709341.143, 24439380.765, 9629909.454}};
    double rho[4] = {21103816.114230197, 24293188.495801315, 21325719.850603405, 22938884.45379082};
    double weight[4] = {1, 1, 1, 1};
    const aw_fix_problem p = {
        .dims = 3, .n = 4, .anchor = a, .weight = weight, .rho = rho, .side = (unsigned)_i};
    const aw_fix fix = aw_fix_find(&p);
    ck_assert(fix.found && !fix.ambiguous);
    ck_assert_double_eq_tol(fix.at[0], -3721817.095, 1e-3);
    ck_assert_double_eq_tol(fix.at[1], 3545589.644, 1e-3);
    ck_assert_double_eq_tol(fix.at[2], 3763571.160, 1e-3);
    ck_assert_double_eq_tol(fix.offset / 299792458.0, 4.271441e-7, 1e-13);
}
END_TEST

/* Range differences of two anchors to the first, at (0, 0), (10, 0), (0, 10). */
static aw_fix of_three_corners(const double differences[2], unsigned side, const aw_site *site)
{
    double a[3][3] = {{0, 0, 0}, {10, 0, 0}, {0, 10, 0}}, weight[3] = {100, 130, 80};
    double rho[3] = {17.3, 17.3 + differences[0], 17.3 + differences[1]};
    aw_fix_problem p = {.dims = 2, .n = 3, .anchor = a, .weight = weight, .rho = rho, .side = side};
    if (site != NULL)
        p.site = *site;
    return aw_fix_find(&p);
}

/* Derived from the quadratic (Fang, IEEE T-AES 26(5):748-753, 1990; Schau & Robinson, IEEE T-ASSP
 * 35(8):1223-1225, 1987): both places that fit. */
static const double two_fits[3][6] = {{9.50321102, 9.682504302, -1, -1.2, 0.24394, 0.067409},
                                      {-9.593386622, 4.527383516, 12, -1.5, 10.502685, -0.793376},
                                      {3.93480657, -9.948859337, -0.5, 12, 0.179953, 10.280791}};

START_TEST(three_anchors_that_fit_two_places_are_ambiguous)
{
    const double *c = two_fits[_i];
    bool seen[2] = {false, false};
    for (unsigned side = 0; side < 2; side++) {
        const aw_fix fix = of_three_corners(c, side, NULL);
        ck_assert(fix.found && fix.ambiguous);
        ck_assert_double_lt(fix.residual, 1e-6);
        const int which = hypot(fix.at[0] - c[2], fix.at[1] - c[3]) < 1e-5 ? 0 : 1;
        ck_assert_double_eq_tol(fix.at[0], c[2 + 2 * which], 1e-5);
        ck_assert_double_eq_tol(fix.at[1], c[3 + 2 * which], 1e-5);
        ck_assert(fix.at[2] == 0);
        seen[which] = true;
    }
    ck_assert(seen[0] && seen[1]);
}
END_TEST

/* The same differences, and an outline that holds only one of the places. */
START_TEST(an_outline_that_holds_one_of_two_places_leaves_no_doubt)
{
    const double *c = two_fits[_i];
    for (int which = 0; which < 2; which++) {
        const double x = c[2 + 2 * which], y = c[3 + 2 * which];
        const aw_point corner[4] = {
            {x - 0.3, y - 0.4}, {x + 0.5, y - 0.4}, {x + 0.5, y + 0.2}, {x - 0.3, y + 0.2}};
        const aw_polygon outline = {corner, 4, corner[0], corner[2]};
        const aw_site site = {&outline, 5, 0};
        for (unsigned side = 0; side < 2; side++) {
            const aw_fix fix = of_three_corners(c, side, &site);
            ck_assert(fix.found && !fix.ambiguous);
            ck_assert_double_eq_tol(fix.at[0], x, 1e-5);
            ck_assert_double_eq_tol(fix.at[1], y, 1e-5);
        }
    }
}
END_TEST

/* The other root of the quadratic would need a negative range. */
START_TEST(three_anchors_that_fit_one_place_are_not_ambiguous)
{
    const double differences[2] = {3.062257749, 1.708203932};
    for (unsigned side = 0; side < 2; side++) {
        const aw_fix fix = of_three_corners(differences, side, NULL);
        ck_assert(fix.found && !fix.ambiguous);
        ck_assert_double_eq_tol(fix.at[0], 3, 1e-5);
        ck_assert_double_eq_tol(fix.at[1], 4, 1e-5);
    }
}
END_TEST

/* --- laws --- */

typedef struct blink {
    aw_fix_problem p;
    double anchor[MOST][3], weight[MOST], rho[MOST];
} blink;

/* One blink of a ragged site with anchors all round the tag; odd seeds are fixed in space. */
static void make_blink(blink *b, uint64_t seed)
{
    uint64_t state = seed * 6151 + 3;
    const size_t n = 6 + (size_t)(test_uniform(&state) * 6);
    const double turn = test_between(&state, 0, 6);
    for (size_t i = 0; i < n; i++) {
        const double t = turn + 2 * M_PI * ((double)i + 0.6 * test_uniform(&state)) / (double)n;
        const double r = test_between(&state, 6, 29);
        b->anchor[i][0] = r * cos(t);
        b->anchor[i][1] = r * sin(t);
        b->anchor[i][2] = i % 2 ? test_between(&state, 4, 7) : test_between(&state, -0.4, 0.9);
        b->weight[i] = pow(test_between(&state, 0.06, 0.2), -2);
        b->rho[i] = hypot(r, b->anchor[i][2]) + 0.1 * test_normal(&state);
    }
    b->p = (aw_fix_problem){.dims = seed % 2 ? 3 : 2,
                            .n = n,
                            .anchor = b->anchor,
                            .weight = b->weight,
                            .rho = b->rho,
                            .spot = {31.7, 12.9, 1.1}};
}

static void ck_same_place(const aw_fix *fix, const double at[3])
{
    ck_assert(fix->found);
    for (int k = 0; k < 3; k++)
        ck_assert_double_eq_tol(fix->at[k], at[k], 1e-4);
}

/* Nobody knows when the tag sent. */
START_TEST(a_later_blink_gives_the_same_place)
{
    blink b;
    make_blink(&b, (uint64_t)_i);
    const aw_fix before = aw_fix_find(&b.p);
    for (size_t i = 0; i < b.p.n; i++)
        b.rho[i] += 8123.75;
    const aw_fix after = aw_fix_find(&b.p);
    ck_same_place(&after, before.at);
    ck_assert_double_eq_tol(after.offset, before.offset + 8123.75, 1e-4);
    ck_close(after.residual, before.residual, 1e-4);
}
END_TEST

START_TEST(weights_matter_only_by_their_ratios)
{
    blink b;
    make_blink(&b, (uint64_t)_i);
    const aw_fix before = aw_fix_find(&b.p);
    for (size_t i = 0; i < b.p.n; i++)
        b.weight[i] *= 0.0137;
    const aw_fix after = aw_fix_find(&b.p);
    ck_same_place(&after, before.at);
    ck_close(after.residual / before.residual, 0.0137, 1e-4);
}
END_TEST

START_TEST(the_order_of_the_arrivals_does_not_matter)
{
    blink b, c;
    make_blink(&b, (uint64_t)_i);
    make_blink(&c, (uint64_t)_i);
    for (size_t i = 0; i < b.p.n; i++) {
        const size_t from = (i * 5 + 3) % b.p.n;
        const size_t j = b.p.n % 5 ? from : b.p.n - 1 - i;
        memcpy(c.anchor[i], b.anchor[j], sizeof c.anchor[i]);
        c.weight[i] = b.weight[j];
        c.rho[i] = b.rho[j];
    }
    const aw_fix before = aw_fix_find(&b.p), after = aw_fix_find(&c.p);
    ck_same_place(&after, before.at);
}
END_TEST

/* Turned about the vertical and seen from another origin; the height of a 2d tag stays known, and a
 * 3d one starts on the same floor. */
START_TEST(the_fix_moves_with_the_site)
{
    blink b;
    make_blink(&b, (uint64_t)_i);
    const aw_fix before = aw_fix_find(&b.p);
    const double a = 0.7 + 0.9 * _i, c = cos(a), s = sin(a);
    const double shift[3] = {4.3, -7.7, b.p.dims == 3 ? 0.6 : 0};
    for (size_t i = 0; i < b.p.n; i++) {
        const double x = b.anchor[i][0], y = b.anchor[i][1];
        b.anchor[i][0] = c * x - s * y + shift[0];
        b.anchor[i][1] = s * x + c * y + shift[1];
        b.anchor[i][2] += shift[2];
    }
    b.p.spot[2] -= shift[2];
    const double want[3] = {c * before.at[0] - s * before.at[1] + shift[0],
                            s * before.at[0] + c * before.at[1] + shift[1],
                            before.at[2] + shift[2]};
    const aw_fix after = aw_fix_find(&b.p);
    ck_same_place(&after, want);
}
END_TEST

/* --- outcomes --- */

/* Points on both sides of a turned line, `ratio` of their spread along it across it. */
static void make_footprint(double points[6][3], double ratio, double turn)
{
    const double along[6] = {-31, -17, -6, 5, 18, 31}, across[6] = {1, -2, 1, 1, -2, 1};
    double aa = 0, cc = 0;
    for (int i = 0; i < 6; i++) {
        aa += along[i] * along[i];
        cc += across[i] * across[i];
    }
    for (int i = 0; i < 6; i++) {
        const double v = across[i] * ratio * sqrt(aa / cc);
        points[i][0] = 41 + along[i] * cos(turn) - v * sin(turn);
        points[i][1] = -13 + along[i] * sin(turn) + v * cos(turn);
        points[i][2] = 2 + i % 3;
    }
}

/* The ratio of the footprint's singular values, whatever the direction of the line. */
START_TEST(a_footprint_is_a_line_under_five_percent)
{
    const double turn = 0.37 * _i;
    double points[6][3];
    aw_line line;
    make_footprint(points, 0.06, turn);
    ck_assert(!aw_footprint_is_line(points, 6, NULL));
    ck_assert(!aw_footprint_is_line(points, 6, &line));
    make_footprint(points, 0.04, turn);
    ck_assert(aw_footprint_is_line(points, 6, NULL));
    ck_assert(aw_footprint_is_line(points, 6, &line));
    double spread = 0, slip = 0;
    for (int i = 0; i < 6; i++) {
        const double dx = points[i][0] - 41, dy = points[i][1] + 13;
        spread += pow(dx * cos(turn) + dy * sin(turn), 2) / 6;
        slip += dx / 6 * cos(turn) + dy / 6 * sin(turn);
    }
    ck_assert_double_eq_tol(slip, 0, 1e-12);
    ck_close(line.x, 41, 1e-12);
    ck_close(line.y, -13, 1e-12);
    ck_close(line.spread, sqrt(spread), 1e-2);
    ck_close(hypot(line.normal_x, line.normal_y), 1, 1e-12);
    ck_assert_double_lt(fabs(line.normal_x * cos(turn) + line.normal_y * sin(turn)), 0.01);
}
END_TEST

START_TEST(too_few_or_too_many_arrivals_give_no_fix)
{
    static double a[1025][3], weight[1025], rho[1025];
    uint64_t state = 88;
    for (size_t i = 0; i < 1025; i++) {
        double squared = 0;
        for (int k = 0; k < 3; k++) {
            a[i][k] = test_between(&state, -20, 20);
            squared += a[i][k] * a[i][k];
        }
        weight[i] = 1;
        rho[i] = sqrt(squared);
    }
    aw_fix_problem p = {.dims = _i, .anchor = a, .weight = weight, .rho = rho};
    for (p.n = 0; p.n <= (size_t)_i; p.n++)
        ck_assert(!aw_fix_find(&p).found);
    p.n = 1025;
    ck_assert(!aw_fix_find(&p).found);
    p.n = 1024;
    const aw_fix fix = aw_fix_find(&p);
    ck_same_place(&fix, (const double[3]){0, 0, 0});
}
END_TEST

/* In plan just below an anchor, and exactly where one is: the range has no gradient there. */
START_TEST(a_tag_at_an_anchor_is_found)
{
    const double lift[3] = {2.1, 1e-4, 0};
    double a[6][3] = {{-9, -7, 3}, {11, -5, 1}, {8, 9, 4}, {-7, 8, 0.5}, {2, -11, 6}, {0, 0, 0}};
    double weight[6] = {100, 90, 80, 70, 60, 50}, rho[6];
    a[5][2] = lift[_i / 2];
    for (size_t i = 0; i < 6; i++)
        rho[i] = sqrt(a[i][0] * a[i][0] + a[i][1] * a[i][1] + a[i][2] * a[i][2]) - 3.7;
    const aw_fix_problem p = {
        .dims = _i % 2 ? 3 : 2, .n = 6, .anchor = a, .weight = weight, .rho = rho};
    const aw_fix fix = aw_fix_find(&p);
    ck_same_place(&fix, (const double[3]){0, 0, 0});
    ck_assert_double_eq_tol(fix.offset, -3.7, 1e-4);
}
END_TEST

/* By symmetry: the tag's image behind the upright plane of a row has the same ranges. */
START_TEST(a_row_of_anchors_leaves_the_tag_and_its_image)
{
    uint64_t state = 300 + (uint64_t)_i;
    const double turn = 0.51 * _i, c = cos(turn), s = sin(turn);
    const double t = test_between(&state, 5, 33), off = test_between(&state, 2, 14);
    const double place[2][2] = {{t * c - off * s, t * s + off * c},
                                {t * c + off * s, t * s - off * c}};
    double a[7][3], weight[7], rho[7];
    for (size_t i = 0; i < 7; i++) {
        const double along = test_between(&state, 0, 40), up = test_between(&state, 2, 5);
        const double anchor[3] = {along * c, along * s, up};
        memcpy(a[i], anchor, sizeof anchor);
        weight[i] = test_between(&state, 40, 200);
        rho[i] = sqrt(pow(along - t, 2) + off * off + up * up) + 61.7;
    }
    aw_fix_problem p = {.dims = 2, .n = 7, .anchor = a, .weight = weight, .rho = rho};
    bool seen[2] = {false, false};
    for (p.side = 0; p.side < 2; p.side++) {
        const aw_fix fix = aw_fix_find(&p);
        ck_assert(fix.found && fix.ambiguous);
        const int which = hypot(fix.at[0] - place[0][0], fix.at[1] - place[0][1]) < 1 ? 0 : 1;
        ck_same_place(&fix, (const double[3]){place[which][0], place[which][1], 0});
        seen[which] = true;
    }
    ck_assert(seen[0] && seen[1]);
    /* A floor on one side of the row. */
    const aw_point corner[4] = {{-5 * c, -5 * s},
                                {45 * c, 45 * s},
                                {45 * c - 20 * s, 45 * s + 20 * c},
                                {-5 * c - 20 * s, -5 * s + 20 * c}};
    const aw_polygon outline = {corner, 4, {-60, -60}, {60, 60}};
    p.site = (aw_site){&outline, 6, 0};
    for (p.side = 0; p.side < 2; p.side++) {
        const aw_fix fix = aw_fix_find(&p);
        ck_assert(!fix.ambiguous);
        ck_same_place(&fix, (const double[3]){place[0][0], place[0][1], 0});
    }
}
END_TEST

/* The descent starts exactly at an anchor, where its range has no gradient. */
START_TEST(a_start_at_an_anchor_is_no_trap)
{
    double a[5][3] = {{0, 0, 0}, {9, 7, 2}, {-9, -7, 4.5}, {-8, 6, 1}, {8, -6, 3}};
    double weight[5] = {64, 64, 64, 64, 64}, rho[5];
    const double tag[3] = {3.1, -1.7, 0};
    for (size_t i = 0; i < 5; i++)
        rho[i] = sqrt(pow(a[i][0] - tag[0], 2) + pow(a[i][1] - tag[1], 2) + a[i][2] * a[i][2]);
    const aw_fix_problem p = {
        .dims = _i, .n = 5, .anchor = a, .weight = weight, .rho = rho, .spot = {20, 20, 0}};
    const aw_fix fix = aw_fix_find(&p);
    ck_same_place(&fix, tag);
}
END_TEST

/* Exact arrivals of a tag above low anchors. The descent from the floor ends in the mirror root
 * under it, and stays there where a fix may stand anywhere; a site with a floor is sought again. */
START_TEST(a_3d_fix_under_the_floor_is_sought_again_in_the_mirror)
{
    double a[3][6][3] = {{{3.3, 12.1, 1.8},
                          {5.9, 4.9, 1.2},
                          {14.1, 35.0, 1.2},
                          {10.4, 37.9, 1.9},
                          {18.2, 2.1, 1.7},
                          {16.4, 11.8, 1.5}},
                         {{4.2, 24.3, 1.3},
                          {0.4, 11.5, 1.0},
                          {3.5, 31.3, 1.5},
                          {8.9, 39.2, 1.0},
                          {9.9, 2.7, 1.4},
                          {2.8, 34.9, 1.5}},
                         {{59.4, 44.9, 1.1},
                          {15.4, 5.8, 1.0},
                          {16.2, 4.5, 1.3},
                          {24.5, 22.7, 1.5},
                          {34.3, 37.6, 1.1},
                          {10.0, 26.5, 1.5}}};
    double weight[3][6] = {{68.8, 136.0, 66.6, 65.4, 48.6, 111.5},
                           {59.5, 84.1, 46.6, 56.8, 60.0, 46.7},
                           {47.0, 149.6, 51.6, 65.5, 104.1, 63.0}};
    const double tag[3][3] = {{20.1, 36.8, 2.1}, {1.4, 10.2, 2.4}, {41.8, 41.8, 2.3}};
    const double size[3][3] = {{23.7, 48.2, 2.51}, {10.3, 41.1, 3.16}, {61.2, 68.4, 3.69}};
    const double w = size[_i][0], d = size[_i][1];
    const aw_point corner[4] = {{0, 0}, {w, 0}, {w, d}, {0, d}};
    const aw_polygon outline = {corner, 4, corner[0], corner[2]};
    double rho[6];
    for (size_t i = 0; i < 6; i++) {
        const double *b = a[_i][i], *t = tag[_i];
        rho[i] = sqrt(pow(b[0] - t[0], 2) + pow(b[1] - t[1], 2) + pow(b[2] - t[2], 2)) + 7.25;
    }
    aw_fix_problem p = {.dims = 3, .n = 6, .anchor = a[_i], .weight = weight[_i], .rho = rho};
    const aw_fix anywhere = aw_fix_find(&p);
    ck_assert(anywhere.found);
    ck_assert_double_lt(anywhere.at[2], -0.2);
    p.site = (aw_site){&outline, size[_i][2], 0};
    const aw_fix inside = aw_fix_find(&p);
    ck_same_place(&inside, tag[_i]);
    ck_assert_double_lt(inside.residual, 1e-6);
}
END_TEST

/* Anchors in one place or in one row, weights ten decades apart, arrivals from nowhere: whatever is
 * found is a number, and found again. */
START_TEST(no_problem_gives_a_fix_that_is_not_a_number)
{
    uint64_t state = 60000 + (uint64_t)_i;
    const aw_point corner[4] = {{-30, -30}, {30, -30}, {30, 30}, {-30, 30}};
    const aw_polygon outline = {corner, 4, corner[0], corner[2]};
    int found = 0;
    for (int k = 0; k < 400; k++) {
        double a[MOST][3], weight[MOST], rho[MOST];
        const int kind = k % 4;
        const double wild = pow(10, test_between(&state, -3, 5));
        aw_fix_problem p = {.dims = 2 + k / 4 % 2, .anchor = a, .weight = weight, .rho = rho};
        p.n = 3 + (size_t)(test_uniform(&state) * 9);
        p.side = (unsigned)k / 8 % 2;
        if (k / 16 % 2)
            p.site = (aw_site){&outline, 6, 0};
        for (size_t i = 0; i < p.n; i++) {
            const double along = kind == 0 ? 0 : test_between(&state, -25, 25);
            const double off = kind < 2 ? 0 : test_between(&state, -25, 25);
            const double place[3] = {2 + along, 3 + 0.4 * along + off, 1 + off * 0.1};
            memcpy(a[i], place, sizeof place);
            weight[i] = pow(10, test_between(&state, -4, 6));
            rho[i] = wild * test_normal(&state);
        }
        const aw_fix fix = aw_fix_find(&p), again = aw_fix_find(&p);
        found += fix.found;
        ck_assert(again.found == fix.found && again.ambiguous == fix.ambiguous);
        if (!fix.found)
            continue;
        ck_assert(isfinite(fix.at[0]) && isfinite(fix.at[1]) && isfinite(fix.at[2]));
        ck_assert(isfinite(fix.offset) && fix.residual >= 0 && isfinite(fix.residual));
        ck_assert(p.dims == 3 || fix.at[2] == 0);
        ck_assert(memcmp(again.at, fix.at, sizeof fix.at) == 0);
    }
    ck_assert_int_gt(found, 0);
    ck_assert_int_lt(found, 400);
}
END_TEST

static TCase *published(void)
{
    TCase *tc = tcase_create("published");
    tcase_add_loop_test(tc, sauers_pseudoranges_give_the_published_fix, 0, 2);
    tcase_add_loop_test(tc, four_satellites_give_the_published_place, 0, 2);
    tcase_add_loop_test(tc, three_anchors_that_fit_two_places_are_ambiguous, 0, 3);
    tcase_add_loop_test(tc, an_outline_that_holds_one_of_two_places_leaves_no_doubt, 0, 3);
    tcase_add_test(tc, three_anchors_that_fit_one_place_are_not_ambiguous);
    return tc;
}

static TCase *laws(void)
{
    TCase *tc = tcase_create("laws");
    tcase_add_loop_test(tc, a_later_blink_gives_the_same_place, 0, 40);
    tcase_add_loop_test(tc, weights_matter_only_by_their_ratios, 0, 40);
    tcase_add_loop_test(tc, the_order_of_the_arrivals_does_not_matter, 0, 40);
    tcase_add_loop_test(tc, the_fix_moves_with_the_site, 0, 40);
    return tc;
}

static TCase *outcomes(void)
{
    TCase *tc = tcase_create("outcomes");
    tcase_add_loop_test(tc, a_footprint_is_a_line_under_five_percent, 0, 17);
    tcase_add_loop_test(tc, too_few_or_too_many_arrivals_give_no_fix, 2, 4);
    tcase_add_loop_test(tc, a_tag_at_an_anchor_is_found, 0, 6);
    tcase_add_loop_test(tc, a_row_of_anchors_leaves_the_tag_and_its_image, 0, 12);
    tcase_add_loop_test(tc, a_start_at_an_anchor_is_no_trap, 2, 4);
    tcase_add_loop_test(tc, a_3d_fix_under_the_floor_is_sought_again_in_the_mirror, 0, 3);
    tcase_add_loop_test(tc, no_problem_gives_a_fix_that_is_not_a_number, 0, 5);
    return tc;
}

AW_TEST_MAIN("fix", published(), laws(), outcomes())
