/* Zone decisions: exact laws of circular errors at borders, corners and strips, first for clouds
 * laid out by quantiles, then for a layout whose errors are all but circular. */
#include "anchorwise/decisions.h"

#include <gsl/gsl_cdf.h>
#include <stdio.h>
#include <string.h>

#include "assess/border.h"
#include "assess/probe.h"
#include "base/plane.h"
#include "links.h"

#define SIGMA 0.19
#define MANY  1000000

static double phi(double x)
{
    return gsl_cdf_ugaussian_P(x);
}

/* nx x ny quantiles of a circular normal law, turned by `turn`: along either axis the share beyond
 * any place is exact within half a quantile. */
static aw_cloud lay_cloud(size_t nx, size_t ny, double turn)
{
    static float x[MANY], y[MANY];
    static double v[MANY];
    for (size_t j = 0; j < ny; j++)
        v[j] = SIGMA * gsl_cdf_ugaussian_Pinv(((double)j + 0.5) / (double)ny);
    for (size_t i = 0; i < nx; i++) {
        const double u = SIGMA * gsl_cdf_ugaussian_Pinv(((double)i + 0.5) / (double)nx);
        for (size_t j = 0; j < ny; j++) {
            x[i * ny + j] = (float)(u * cos(turn) - v[j] * sin(turn));
            y[i * ny + j] = (float)(u * sin(turn) + v[j] * cos(turn));
        }
    }
    return (aw_cloud){x, y, nx * ny};
}

static aw_polygon turned(const aw_point corners[], size_t n, double turn, aw_point room[])
{
    for (size_t i = 0; i < n; i++)
        room[i] = (aw_point){corners[i].x * cos(turn) - corners[i].y * sin(turn),
                             corners[i].x * sin(turn) + corners[i].y * cos(turn)};
    aw_polygon p = {.at = room, .n = n};
    aw_polygon_close(&p);
    return p;
}

/* A rectangle of so many sigma, and the border point `part` along its lower edge from its lower
 * left corner. */
static aw_polygon rectangle(double wide, double deep, double turn, aw_point room[4])
{
    const double w = wide * SIGMA, d = deep * SIGMA;
    return turned((const aw_point[]){{0, 0}, {w, 0}, {w, d}, {0, d}}, 4, turn, room);
}

static aw_border_point border_point(const aw_polygon *zone, double step, size_t k)
{
    static aw_border_point points[4096];
    ck_assert_uint_le(aw_border_count(zone, step), 4096);
    aw_border_walk(zone, step, points);
    return points[k];
}

static const double turns[] = {0, 0.3, 1.1, 2.9, 4};

/* --- circular errors --- */

/* P(right) = Phi(d / sigma): half a quantile of 4000 is 0.000125. */
START_TEST(a_straight_border_is_right_by_the_normal_law)
{
    aw_point room[4];
    const aw_cloud cloud = lay_cloud(25, 4000, turns[_i]);
    const aw_polygon zone = rectangle(30, 30, turns[_i], room);
    const aw_border_point b = border_point(&zone, 15 * SIGMA, 1);
    for (double d = -3; d <= 3; d += 0.25) {
        const aw_point p = {b.at.x + d * SIGMA * b.inward.x, b.at.y + d * SIGMA * b.inward.y};
        ck_assert_double_eq_tol(aw_cloud_share(&cloud, &zone, p), phi(d), 0.00026);
    }
}
END_TEST

/* The 1 % quantile of the normal law is 2.3263 (any table). A quantile of 4000 at its 40th is
 * 0.0094 sigma wide. Outside, the law is the same. */
START_TEST(a_straight_border_asks_for_2_326_sigma)
{
    aw_point room[4];
    const aw_cloud cloud = lay_cloud(25, 4000, turns[_i]);
    const aw_polygon zone = rectangle(30, 30, turns[_i], room);
    const aw_border_point b = border_point(&zone, 15 * SIGMA, 1);
    for (int inside = 0; inside < 2; inside++) {
        const aw_depth d = aw_border_depth(&zone, &b, inside, &cloud);
        ck_assert_double_eq_tol(d.depth / SIGMA, 2.3263, 0.01);
        ck_assert_double_eq_tol(d.share, inside ? 0.99 : 0.01, 0.00026);
    }
}
END_TEST

/* Inside a square corner both borders must be kept: Phi(d / sigma)^2 = 0.99 at 2.5747 sigma. The
 * corner itself sticks out: outside it, at s along the diagonal, Phi(-s / sqrt2)^2 = 0.01 at
 * s = 1.8124 sigma. 1000 quantiles along each axis are 0.04 sigma wide there. */
START_TEST(a_square_corner_asks_for_2_575_sigma)
{
    aw_point room[4];
    const aw_cloud cloud = lay_cloud(1000, 1000, turns[_i]);
    const aw_polygon zone = rectangle(30, 30, turns[_i], room);
    const aw_border_point b = border_point(&zone, 15 * SIGMA, 2);
    ck_assert_double_eq_tol(aw_border_depth(&zone, &b, true, &cloud).depth / SIGMA, 2.5747, 0.04);
    ck_assert_double_eq_tol(aw_border_depth(&zone, &b, false, &cloud).depth / SIGMA, 1.8124, 0.02);
}
END_TEST

/* The inner corner of an L is the outer corner of what lies outside. */
START_TEST(an_inner_corner_is_a_corner_seen_from_the_other_side)
{
    aw_point room[6];
    const double w = 30 * SIGMA, h = 15 * SIGMA;
    const aw_point ell[] = {{0, 0}, {w, 0}, {w, h}, {h, h}, {h, w}, {0, w}};
    const aw_cloud cloud = lay_cloud(1000, 1000, turns[_i]);
    const aw_polygon zone = turned(ell, 6, turns[_i], room);
    const aw_border_point b = border_point(&zone, w, 3);
    ck_assert_double_eq_tol(aw_border_depth(&zone, &b, true, &cloud).depth / SIGMA, 1.8124, 0.02);
    ck_assert_double_eq_tol(aw_border_depth(&zone, &b, false, &cloud).depth / SIGMA, 2.5747, 0.04);
}
END_TEST

/* In the middle of a strip 2 Phi(w / 2 sigma) - 1 are right: 0.99 at w = 5.1517 sigma. A narrower
 * one has no depth and says how many its middle gets right; a wider one asks for the depth where
 * Phi(d) + Phi(w - d) - 1 = 0.99, found here by halving. */
START_TEST(a_strip_is_right_only_if_wider_than_5_15_sigma)
{
    aw_point room[4];
    const aw_cloud cloud = lay_cloud(25, 4000, turns[_i]);
    for (double w = 2; w<8; w += w> 4.9 && w < 5.4 ? 0.05 : 0.5) {
        const aw_polygon zone = rectangle(60, w, turns[_i], room);
        const aw_border_point b = border_point(&zone, 30 * SIGMA, 1);
        const aw_depth d = aw_border_depth(&zone, &b, true, &cloud);
        if (fabs(w - 5.1517) < 0.02)
            continue;
        double low = 0, high = w / 2;
        for (int k = 0; k < 60; k++)
            if (phi((low + high) / 2) + phi(w - (low + high) / 2) - 1 < 0.99)
                low = (low + high) / 2;
            else
                high = (low + high) / 2;
        if (w < 5.1517) {
            ck_assert_msg(isnan(d.depth), "a strip of %g sigma", w);
            ck_assert_double_eq_tol(d.share, 2 * phi(w / 2) - 1, 0.0006);
        } else {
            ck_assert_msg(!isnan(d.depth), "a strip of %g sigma", w);
            /* Where the share rises slowly towards the middle, quantiles show more. */
            ck_assert_double_eq_tol(phi(d.depth / SIGMA) + phi(w - d.depth / SIGMA) - 1, 0.99,
                                    0.0006);
            if (w > 5.4)
                ck_assert_double_eq_tol(d.depth / SIGMA, high, 0.02);
        }
    }
}
END_TEST

/* --- walks --- */

/* An edge point nearer to a corner than the setback goes up with the corner: nothing asks for more
 * than the corner, nothing on the edges for less than a straight border, and nothing for none. */
START_TEST(no_point_of_a_wide_zone_asks_for_more_than_its_corners)
{
    aw_point room[6];
    const double w = 30 * SIGMA, h = 15 * SIGMA;
    const aw_point ell[] = {{0, 0}, {w, 0}, {w, h}, {h, h}, {h, w}, {0, w}};
    const aw_cloud cloud = lay_cloud(100, 100, turns[_i]);
    const aw_polygon zone = turned(ell, 6, turns[_i], room);
    double most[2] = {0, 0};
    for (size_t k = 0; k < aw_border_count(&zone, 1.5 * SIGMA); k++)
        for (int inside = 0; inside < 2; inside++) {
            const aw_border_point b = border_point(&zone, 1.5 * SIGMA, k);
            const aw_depth d = aw_border_depth(&zone, &b, inside, &cloud);
            ck_assert_msg(!isnan(d.depth), "point %zu, %d", k, inside);
            ck_assert_double_ge(d.depth / SIGMA, 1.75);
            most[inside] = fmax(most[inside], d.depth / SIGMA);
        }
    ck_assert_double_eq_tol(most[0], 2.5747, 0.15);
    ck_assert_double_eq_tol(most[1], 2.5747, 0.15);
}
END_TEST

/* Two rooms of 20 sigma, joined by a corridor of 4 sigma; and the corridor as a gap between two
 * zones' arms. */
START_TEST(a_corridor_is_too_narrow_while_its_rooms_are_not)
{
    aw_point room[12];
    const double s = SIGMA;
    const aw_point corners[] = {{0, 0},           {20 * s, 0},      {20 * s, 8 * s},
                                {40 * s, 8 * s},  {40 * s, 0},      {60 * s, 0},
                                {60 * s, 20 * s}, {40 * s, 20 * s}, {40 * s, 12 * s},
                                {20 * s, 12 * s}, {20 * s, 20 * s}, {0, 20 * s}};
    const aw_cloud cloud = lay_cloud(300, 300, turns[_i]);
    const aw_polygon zone = turned(corners, 12, turns[_i], room);
    const aw_border_point far = border_point(&zone, 10 * s, 0);
    const aw_border_point edge = border_point(&zone, 10 * s, 1);
    const aw_border_point narrow = border_point(&zone, 10 * s, 4);
    ck_assert_double_eq_tol(narrow.at.x * cos(turns[_i]) + narrow.at.y * sin(turns[_i]), 30 * s,
                            1e-9);
    ck_assert_double_eq_tol(aw_border_depth(&zone, &far, true, &cloud).depth / s, 2.5747, 0.15);
    ck_assert_double_eq_tol(aw_border_depth(&zone, &edge, true, &cloud).depth / s, 2.3263, 0.15);
    const aw_depth d = aw_border_depth(&zone, &narrow, true, &cloud);
    ck_assert(isnan(d.depth));
    ck_assert_double_eq_tol(d.share, 2 * phi(2) - 1, 0.004);
}
END_TEST

START_TEST(a_gap_between_the_arms_of_a_zone_is_never_surely_outside)
{
    aw_point room[8];
    const double s = SIGMA;
    const aw_point corners[] = {{0, 0},           {30 * s, 0},     {30 * s, 60 * s},
                                {17 * s, 60 * s}, {17 * s, 9 * s}, {13 * s, 9 * s},
                                {13 * s, 60 * s}, {0, 60 * s}};
    const aw_cloud cloud = lay_cloud(300, 300, turns[_i]);
    const aw_polygon zone = turned(corners, 8, turns[_i], room);
    size_t k = 0;
    while (fabs(border_point(&zone, 10 * s, k).at.x * cos(turns[_i]) +
                border_point(&zone, 10 * s, k).at.y * sin(turns[_i]) - 17 * s) > 1e-9 ||
           fabs(border_point(&zone, 10 * s, k).at.y * cos(turns[_i]) -
                border_point(&zone, 10 * s, k).at.x * sin(turns[_i]) - 34.5 * s) > 6 * s)
        k++;
    const aw_border_point gap = border_point(&zone, 10 * s, k);
    const aw_depth d = aw_border_depth(&zone, &gap, false, &cloud);
    ck_assert(isnan(d.depth));
    ck_assert_double_eq_tol(d.share, 2 * phi(-2), 0.004);
}
END_TEST

START_TEST(a_failed_fix_is_not_reported_anywhere)
{
    aw_point room[4];
    const float x[] = {0, NAN, 0, NAN}, y[] = {0, NAN, 0, NAN};
    const aw_cloud cloud = {x, y, 4};
    const aw_polygon zone = rectangle(30, 30, 0, room);
    const aw_border_point b = border_point(&zone, 15 * SIGMA, 1);
    const aw_depth in = aw_border_depth(&zone, &b, true, &cloud);
    const aw_depth off = aw_border_depth(&zone, &b, false, &cloud);
    ck_assert(isnan(in.depth));
    ck_assert_double_eq(in.share, 0.5);
    ck_assert_double_le(off.depth, 0.01);
    ck_assert_double_eq(off.share, 0);
}
END_TEST

/* --- a layout whose error is circular --- */

#define ANCHORS 24

/* In the plane of N anchors evenly round it, HDOP is 2 / sqrt(N) (Levanon 2000), so the error along
 * each axis is sigma sqrt(2 / N): 0.1443 m. The zones are within 2 m of the middle of a ring of
 * 40 m, where the curvature of the ranges bends this by less than 1 %. */
static const double axis = 0.1443375673;

static void read_ring(aw_scenario *s, const char *zones, unsigned draws)
{
    static char yaml[8192];
    size_t n = (size_t)snprintf(yaml, sizeof yaml,
                                "anchorwise: 1\ntitle: ring\nfloor: {outline: [[-45, -45], [45, "
                                "-45], [45, 45], [-45, 45]], ceiling: 5}\nranging: {sigma: 0.5, "
                                "range: 90}\ntags: [{name: t, height: 1}]\nstudy: {step: 0.25, "
                                "draws: %u}\nanchors:\n",
                                draws);
    for (int i = 0; i < ANCHORS; i++)
        n +=
            (size_t)snprintf(yaml + n, sizeof yaml - n, "  - {name: a%d, at: [%.9f, %.9f, 1]}\n", i,
                             40 * cos(2 * M_PI * i / ANCHORS), 40 * sin(2 * M_PI * i / ANCHORS));
    snprintf(yaml + n, sizeof yaml - n, "zones:\n%s", zones);
    read_text(s, yaml);
}

static void decide(aw_decisions *d, const aw_scenario *s, unsigned threads)
{
    aw_errors errors = {0};
    ck_assert(aw_map_check(s, &errors));
    ck_assert(aw_decisions_run(d, s, &(aw_run){threads, NULL, &errors}));
    ck_assert_uint_eq(errors.n, 0);
}

#define LEFT  "  - {name: left, outline: [[-2, -1], [0, -1], [0, 1], [-2, 1]]}\n"
#define RIGHT "  - {name: right, outline: [[0, -1], [2, -1], [2, 1], [0, 1]]}\n"

/* Along one axis, of tags spread evenly over a length a, sigma / sqrt(2 pi) / a are lost over each
 * end; 256 000 draws leave 0.0006, and the errors' circle is within 1 %. What is lost over the
 * common border is reported next door. */
static void check_reports(const aw_decisions *d)
{
    const double lost = axis / sqrt(2 * M_PI) / 2, kept = 1 - 2 * lost;
    for (size_t i = 0; i < 2; i++) {
        const aw_zone_decisions *z = &d->zones[i];
        ck_assert_double_eq_tol(z->reported[i].value, kept * kept, 0.003);
        ck_assert_double_eq_tol(z->reported[1 - i].value, lost * kept, 0.002);
        ck_assert_double_eq_tol(z->elsewhere.value, 1 - kept * (kept + lost), 0.003);
        ck_assert_double_eq(z->no_fix.value, 0);
        ck_assert_double_lt(z->reported[i].low, z->reported[i].value);
        ck_assert_double_gt(z->reported[i].high, z->reported[i].value);
        ck_assert_double_lt(z->reported[i].high - z->reported[i].low, 0.005);
    }
}

/* The largest of the five weakest of 64 000 draws: each within 0.015 sigma of its law, the largest
 * of five a little above it, and the chosen numbers (of 4000 draws, 0.06 sigma) are gone. Corners
 * ask for 2.575 sigma inside, edges for 2.326 sigma outside. Decisions are right in what is left
 * when the borders are moved in: within the corner's and the border's depth, by quarters of a
 * quarter step. */
static void check_setbacks(const aw_decisions *d)
{
    for (size_t i = 0; i < 2; i++) {
        const aw_zone_decisions *z = &d->zones[i];
        ck_assert_double_eq_tol(z->inside.depth / axis, 2.5747, 0.06);
        ck_assert_double_eq_tol(z->outside.depth / axis, 2.3263, 0.06);
        ck_assert_double_eq_tol(z->inside.share, 0.99, 1e-4);
        ck_assert_double_eq_tol(z->outside.share, 0.01, 1e-4);
        ck_assert_double_le(fabs(fabs(z->inside.at[1]) - 1), 0.3);
        const double most = 1 - 2.3263 * axis + 0.05, least = 1 - 2.5747 * axis - 0.07;
        ck_assert_double_le(z->right_share, most * most);
        ck_assert_double_ge(z->right_share, least * least);
    }
}

START_TEST(circular_errors_are_reported_and_give_setbacks_by_the_normal_law)
{
    aw_scenario s;
    aw_decisions d;
    read_ring(&s, LEFT RIGHT, 4000);
    decide(&d, &s, 2);
    check_reports(&d);
    check_setbacks(&d);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

/* 4.85 sigma wide: 2 Phi(2.425) - 1 = 0.9847 are right in the middle; 64 000 draws leave 0.0005. */
START_TEST(a_narrow_zone_has_no_setback_and_no_place_that_is_right)
{
    aw_scenario s;
    aw_decisions d;
    read_ring(&s, "  - {name: aisle, outline: [[-2, -0.35], [2, -0.35], [2, 0.35], [-2, 0.35]]}\n",
              4000);
    decide(&d, &s, 1);
    ck_assert(isnan(d.zones[0].inside.depth));
    ck_assert_double_le(d.zones[0].inside.share, 2 * phi(0.35 / axis) - 1 + 0.003);
    ck_assert_double_le(d.zones[0].right_share, 0.02);
    ck_assert_double_eq_tol(d.zones[0].outside.depth / axis, 2.3263, 0.06);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(zones_within_zones_are_both_reported)
{
    aw_scenario s;
    aw_decisions d;
    read_ring(&s, LEFT "  - {name: all, outline: [[-9, -9], [9, -9], [9, 9], [-9, 9]]}\n", 256);
    decide(&d, &s, 2);
    ck_assert_double_eq(d.zones[0].reported[1].value, 1);
    ck_assert_double_eq(d.zones[0].elsewhere.value, 0);
    ck_assert_double_lt(d.zones[0].reported[0].value, 1);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(without_fixes_nothing_is_reported)
{
    aw_scenario s;
    aw_decisions d;
    read_ring(&s, LEFT, 64);
    s.ranging.range = 1;
    decide(&d, &s, 2);
    ck_assert_double_eq(d.zones[0].reported[0].value, 0);
    ck_assert_double_eq(d.zones[0].no_fix.value, 1);
    ck_assert(isnan(d.zones[0].inside.depth));
    ck_assert_double_eq(d.zones[0].inside.share, 0);
    ck_assert_double_eq(d.zones[0].outside.depth, 0);
    ck_assert_double_eq(d.zones[0].right_share, 0);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

/* Against the floor's edge there is no outside for a tag to be at: the left and lower borders of
 * this zone ask for nothing outside. */
START_TEST(where_no_tag_can_be_there_is_no_setback)
{
    aw_scenario s;
    aw_decisions d;
    read_ring(&s,
              "  - {name: floor, outline: [[-45, -45], [45, -45], [45, 45], [-45, 45]]}\n"
              "  - {name: corner, outline: [[-45, -45], [-43, -45], [-43, -44], [-45, -44]]}\n",
              64);
    s.study.step = 1;
    decide(&d, &s, 2);
    ck_assert(isnan(d.zones[0].outside.depth) && isnan(d.zones[0].outside.at[0]));
    ck_assert(d.zones[1].outside.at[0] >= -43 || d.zones[1].outside.at[1] >= -44);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

/* A screen and a block that no signal notices, so that the law is that of the open floor. */
static const double ends[][2] = {{0.1, 0.2}, {0.2, 0.6}, {0.1, 1.5}};

/* Outside the right border of LEFT, 2.326 sigma = 0.336 m. Something from 0.1 to 0.2 m off changes
 * nothing; from 0.2 to 0.6 m off no tag can be where it is not yet right, so 0.2 m do; and where it
 * is thicker than a metre nothing beyond it is asked, and 1 - Phi(0.1 / sigma) = 24.4 %
 * are reported inside just before it. */
START_TEST(what_stands_outside_a_border_is_passed_over_or_ends_the_way)
{
    static const double want[] = {2.3263 * 0.1443375673, 0.2, 0};
    aw_scenario s;
    aw_errors errors = {0};
    aw_grid grid;
    char zones[512];
    snprintf(zones, sizeof zones,
             LEFT "materials: {air: {loss_db: 0, delay: 0}}\nobstacles:\n  - {name: block, "
                  "footprint: [[%g, -3], [%g, -3], [%g, 3], [%g, 3]], top: 2, material: air}\n",
             ends[_i][0], ends[_i][1], ends[_i][1], ends[_i][0]);
    read_ring(&s, zones, 1000);
    ck_assert(lay_at(&grid, &s, 1, &errors));
    aw_scene *scene = aw_scene_create(&s);
    const aw_run run = {1, NULL, &errors};
    aw_prober w = {.run = &run, .scenario = &s, .zone = &s.zones[0], .scene = scene, .grid = &grid};
    w.x = malloc(16000 * sizeof *w.x);
    w.y = malloc(16000 * sizeof *w.y);
    w.trials = aw_trials_create(ANCHORS, 1000, NULL);
    w.spot.links = calloc(ANCHORS, sizeof *w.spot.links);
    aw_probe p = {.point = {{0, 0.25}, {-1, 0}}};
    aw_probe_seek(&p, &w);
    aw_probe_confirm(&p, &w, 16);
    if (want[_i] > 0) {
        ck_assert_int_eq(p.end, AW_PROBE_RIGHT);
        ck_assert_double_eq_tol(p.depth, want[_i], 0.04 * want[_i]);
    } else {
        ck_assert_int_eq(p.end, AW_PROBE_BLOCKED);
        ck_assert_double_eq_tol(p.share, phi(-0.1 / axis), 0.015);
    }
    free(w.x);
    free(w.y);
    free(w.spot.links);
    aw_trials_free(w.trials);
    aw_scene_free(scene);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(decisions_are_the_same_for_any_number_of_threads)
{
    aw_scenario s;
    aw_decisions a, b;
    read_ring(&s, LEFT RIGHT, 100);
    decide(&a, &s, 1);
    decide(&b, &s, 5);
    ck_assert_int_eq(memcmp(a.shares, b.shares, 4 * sizeof *a.shares), 0);
    for (size_t i = 0; i < 2; i++) {
        ck_assert_int_eq(memcmp(&a.zones[i].inside, &b.zones[i].inside, sizeof(aw_setback)), 0);
        ck_assert_int_eq(memcmp(&a.zones[i].outside, &b.zones[i].outside, sizeof(aw_setback)), 0);
        ck_assert_double_eq(a.zones[i].right_share, b.zones[i].right_share);
    }
    aw_decisions_free(&a);
    aw_decisions_free(&b);
    aw_scenario_free(&s);
}
END_TEST

static TCase *clouds(void)
{
    TCase *tc = tcase_create("clouds");
    tcase_add_loop_test(tc, a_straight_border_is_right_by_the_normal_law, 0, 5);
    tcase_add_loop_test(tc, a_straight_border_asks_for_2_326_sigma, 0, 5);
    tcase_add_loop_test(tc, a_square_corner_asks_for_2_575_sigma, 0, 2);
    tcase_add_loop_test(tc, an_inner_corner_is_a_corner_seen_from_the_other_side, 0, 2);
    tcase_add_loop_test(tc, a_strip_is_right_only_if_wider_than_5_15_sigma, 0, 2);
    tcase_add_loop_test(tc, no_point_of_a_wide_zone_asks_for_more_than_its_corners, 0, 5);
    tcase_add_loop_test(tc, a_corridor_is_too_narrow_while_its_rooms_are_not, 0, 5);
    tcase_add_loop_test(tc, a_gap_between_the_arms_of_a_zone_is_never_surely_outside, 0, 5);
    tcase_add_test(tc, a_failed_fix_is_not_reported_anywhere);
    return tc;
}

static TCase *layouts(void)
{
    TCase *tc = tcase_create("layouts");
    tcase_add_test(tc, circular_errors_are_reported_and_give_setbacks_by_the_normal_law);
    tcase_add_test(tc, a_narrow_zone_has_no_setback_and_no_place_that_is_right);
    tcase_add_test(tc, zones_within_zones_are_both_reported);
    tcase_add_test(tc, without_fixes_nothing_is_reported);
    tcase_add_test(tc, where_no_tag_can_be_there_is_no_setback);
    tcase_add_loop_test(tc, what_stands_outside_a_border_is_passed_over_or_ends_the_way, 0, 3);
    tcase_add_test(tc, decisions_are_the_same_for_any_number_of_threads);
    return tc;
}

AW_TEST_MAIN("decisions", clouds(), layouts())
