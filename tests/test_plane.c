/* Plane geometry: points and rows, lengths, polygons that cross themselves or one another. */
#include "links.h"
#include "stars.h"

#include <time.h>

#include "base/plane.h"
#include "base/strips.h"

START_TEST(rows_and_points_agree_to_the_bit)
{
    uint64_t state = 500 + (uint64_t)_i;
    aw_point corner[20];
    double xs[20];
    const size_t n = 4 + (size_t)_i % 16;
    const aw_polygon p = star(&state, corner, n);
    for (size_t k = 0; k < 40 + n; k++) {
        const double y = k < n ? corner[k].y : test_between(&state, 0, 10);
        const size_t m = aw_polygon_row(&p, y, xs);
        ck_assert_uint_eq(m % 2, 0);
        for (int i = 0; i < 60; i++) {
            const double x = i < (int)m ? xs[i] : test_between(&state, 0, 10);
            size_t above = 0;
            for (size_t j = 0; j < m; j++)
                above += x < xs[j];
            ck_assert_int_eq(above % 2 == 1, aw_polygon_holds(&p, x, y));
        }
    }
}
END_TEST

static double turn(aw_point a, aw_point b, aw_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/* All pairs of edges, crossing at an inner point of both. */
static bool crosses(const aw_point c[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++) {
            const aw_point p = c[i], q = c[(i + 1) % n], r = c[j], s = c[(j + 1) % n];
            if (turn(p, q, r) * turn(p, q, s) < 0 && turn(r, s, p) * turn(r, s, q) < 0)
                return true;
        }
    return false;
}

START_TEST(self_crossing_is_found_and_nothing_else)
{
    uint64_t state = 900;
    size_t edges[2];
    const aw_point bow[4] = {{0, 0}, {4, 4}, {4, 0}, {0, 4}};
    const aw_point touch[6] = {{0, 0}, {6, 0}, {6, 4}, {3, 0}, {0, 4}, {-1, 2}};
    const aw_point fold[4] = {{0, 0}, {6, 0}, {3, 0}, {3, 4}};
    const aw_point flat[3] = {{1, 1}, {7, 4}, {5, 3}};
    const aw_point twice[6] = {{0, 0}, {4, 0}, {2, 2}, {4, 4}, {0, 4}, {2, 2}};
    const aw_point ell[6] = {{0, 0}, {6, 0}, {6, 2}, {2, 2}, {2, 6}, {0, 6}};
    ck_assert(aw_polygon_crosses_itself(bow, 4, edges));
    ck_assert(edges[0] == 0 && edges[1] == 2);
    ck_assert(aw_polygon_crosses_itself(touch, 6, edges));
    ck_assert(aw_polygon_crosses_itself(fold, 4, edges));
    ck_assert(aw_polygon_crosses_itself(flat, 3, edges));
    ck_assert(aw_polygon_crosses_itself(twice, 6, edges));
    ck_assert(!aw_polygon_crosses_itself(ell, 6, edges));
    for (int i = 0; i < 200; i++) {
        aw_point corner[40];
        const size_t n = 5 + (size_t)(test_uniform(&state) * 35);
        star(&state, corner, n);
        ck_assert(!aw_polygon_crosses_itself(corner, n, edges));
        const aw_point swap = corner[1];
        corner[1] = corner[3];
        corner[3] = swap;
        ck_assert_int_eq(aw_polygon_crosses_itself(corner, n, edges), crosses(corner, n));
    }
}
END_TEST

/* Two parts cross at once: the pair that is named is one that does. */
START_TEST(the_edges_that_are_named_do_conflict)
{
    uint64_t state = 901;
    size_t edges[2], crossed = 0;
    for (int i = 0; i < 400; i++) {
        aw_point c[9];
        const size_t n = 4 + (size_t)i % 6;
        for (size_t k = 0; k < n; k++)
            c[k] = (aw_point){test_between(&state, 0, 10), test_between(&state, 0, 10)};
        const bool got = aw_polygon_crosses_itself(c, n, edges);
        ck_assert_int_eq(got, crosses(c, n));
        if (!got)
            continue;
        crossed++;
        ck_assert(edges[0] < edges[1] && edges[1] < n);
        const aw_point p = c[edges[0]], q = c[edges[0] + 1];
        const aw_point r = c[edges[1]], s = c[(edges[1] + 1) % n];
        ck_assert(turn(p, q, r) * turn(p, q, s) < 0 && turn(r, s, p) * turn(r, s, q) < 0);
    }
    ck_assert_uint_gt(crossed, 100);
    ck_assert_uint_lt(crossed, 390);
}
END_TEST

/* Two crossings: the one further left is named, whatever its edges' numbers. */
START_TEST(of_two_crossings_the_left_one_is_named)
{
    const aw_point bows[8] = {{0, 0}, {2, 2}, {8, 2}, {10, 0}, {10, 2}, {8, 0}, {2, 0}, {0, 2}};
    for (size_t from = 0; from < 8; from++) {
        aw_point c[8];
        size_t edges[2];
        for (size_t k = 0; k < 8; k++)
            c[k] = bows[(from + k) % 8];
        ck_assert(aw_polygon_crosses_itself(c, 8, edges));
        const size_t e = (edges[0] + from) % 8, f = (edges[1] + from) % 8;
        ck_assert(edges[0] < edges[1]);
        ck_assert((e == 0 && f == 6) || (e == 6 && f == 0));
    }
}
END_TEST

/* --- measures --- */

/* Area by the trapezoids under the edges; distance by points close together along them. */
START_TEST(areas_and_distances_are_those_of_plain_sums)
{
    uint64_t state = 300 + (uint64_t)_i;
    aw_point corner[15];
    const size_t n = 4 + (size_t)_i % 12;
    const aw_polygon p = star(&state, corner, n);
    const aw_point q = {test_between(&state, -2, 12), test_between(&state, -2, 12)};
    double area = 0, nearest = HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        const aw_point a = corner[i], b = corner[(i + 1) % n];
        area += (a.x - b.x) * (a.y + b.y) / 2;
        for (int k = 0; k <= 2000; k++) {
            const double t = k / 2000.0;
            nearest =
                fmin(nearest, hypot(a.x + t * (b.x - a.x) - q.x, a.y + t * (b.y - a.y) - q.y));
        }
        ck_assert(p.low.x <= a.x && a.x <= p.high.x && p.low.y <= a.y && a.y <= p.high.y);
    }
    ck_assert_double_gt(area, 0);
    ck_close(aw_polygon_area(corner, n), area, 1e-12);
    /* Steps of at most 4 mm: a foot between two of them is at most 2 mm off, and only if the point
     * is that close does it show. */
    ck_assert_double_le(aw_polygon_edge_distance(&p, q), nearest + 1e-12);
    ck_assert_double_ge(aw_polygon_edge_distance(&p, q), nearest - 0.002);
    ck_close(aw_polygon_edge_distance(&p, corner[n / 2]), 0, 1e-12);
}
END_TEST

/* A part [t0, t1] of a chord is what the chord to t1 has more than the chord to t0. */
START_TEST(parts_of_a_chord_add_up)
{
    uint64_t state = 3100 + (uint64_t)_i;
    aw_point corner[15];
    double whole = 0;
    const aw_polygon p = star(&state, corner, 4 + (size_t)_i % 12);
    for (int k = 0; k < 40; k++) {
        const aw_point a = {test_between(&state, 0, 10), test_between(&state, 0, 10)};
        const aw_point b = {test_between(&state, 0, 10), test_between(&state, 0, 10)};
        const double cut = test_uniform(&state), all = aw_polygon_chord(&p, a, b, 0, 1);
        ck_close(aw_polygon_chord(&p, a, b, 0, cut) + aw_polygon_chord(&p, a, b, cut, 1), all,
                 1e-12);
        ck_close(aw_polygon_chord(&p, b, a, 0, 1), all, 1e-12);
        whole += all;
    }
    ck_assert_double_gt(whole, 1);
}
END_TEST

/* --- two polygons --- */

/* Edges that cross, or a corner of one in the other: for shapes in general position there is no
 * other way to meet. */
static bool meet(const aw_polygon *a, const aw_polygon *b)
{
    for (size_t i = 0; i < a->n; i++)
        for (size_t j = 0; j < b->n; j++) {
            const aw_point p = a->at[i], q = a->at[(i + 1) % a->n];
            const aw_point r = b->at[j], s = b->at[(j + 1) % b->n];
            if (turn(p, q, r) * turn(p, q, s) < 0 && turn(r, s, p) * turn(r, s, q) < 0)
                return true;
        }
    return aw_polygon_holds(b, a->at[0].x, a->at[0].y) ||
           aw_polygon_holds(a, b->at[0].x, b->at[0].y);
}

START_TEST(overlap_is_found_and_nothing_else)
{
    uint64_t state = 5000;
    size_t overlaps = 0;
    for (int i = 0; i < 600; i++) {
        aw_point corner[2][12];
        aw_polygon p = star(&state, corner[0], 4 + (size_t)i % 9);
        aw_polygon q = star(&state, corner[1], 4 + (size_t)i % 7);
        const double scale = i % 3 == 0 ? 0.15 : 1, x = test_between(&state, -7, 9);
        for (size_t k = 0; k < q.n; k++)
            corner[1][k] = (aw_point){scale * corner[1][k].x + x, scale * corner[1][k].y + x / 2};
        aw_polygon_close(&q);
        const bool want = meet(&p, &q);
        ck_assert_int_eq(aw_polygons_overlap(&p, &q), want);
        ck_assert_int_eq(aw_polygons_overlap(&q, &p), want);
        overlaps += want;
    }
    ck_assert_uint_gt(overlaps, 150);
    ck_assert_uint_lt(overlaps, 450);
}
END_TEST

static aw_polygon square(aw_point corner[4], double x, double y, double size)
{
    const aw_point at[4] = {{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}};
    memcpy(corner, at, sizeof at);
    aw_polygon p = {.at = corner, .n = 4};
    aw_polygon_close(&p);
    return p;
}

START_TEST(touching_is_not_overlapping)
{
    aw_point a[4], b[4];
    const double other[][4] = {{4, 0, 4, 0}, {0, 4, 4, 0},  {4, 4, 4, 0}, {9, 0, 4, 0},
                               {3, 3, 4, 1}, {1, 1, 2, 1},  {0, 0, 4, 1}, {-1, -1, 9, 1},
                               {0, 1, 4, 1}, {3.9, 1, 2, 1}};
    const aw_polygon first = square(a, 0, 0, 4);
    for (size_t i = 0; i < sizeof other / sizeof *other; i++) {
        const aw_polygon second = square(b, other[i][0], other[i][1], other[i][2]);
        ck_assert_msg(aw_polygons_overlap(&first, &second) == (other[i][3] > 0), "case %zu", i);
        ck_assert_msg(aw_polygons_overlap(&second, &first) == (other[i][3] > 0), "case %zu", i);
    }
}
END_TEST

/* --- two polygons on a lattice: corners on edges, edges along edges --- */

static int compare_heights(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Whether the inner parts meet on the row at y. */
static bool meet_on_row(const aw_polygon *a, const aw_polygon *b, double y)
{
    double xs[2][64];
    const size_t n = aw_polygon_row(a, y, xs[0]), m = aw_polygon_row(b, y, xs[1]);
    for (size_t i = 0; i + 1 < n; i += 2)
        for (size_t j = 0; j + 1 < m; j += 2)
            if (fmin(xs[0][i + 1], xs[1][j + 1]) - fmax(xs[0][i], xs[1][j]) > 1e-9)
                return true;
    return false;
}

/* Between neighbouring heights at which a corner lies or two edges meet, what is inside both is a
 * stack of trapezia: a row halfway between them meets each. */
static bool meet_by_rows(const aw_polygon *a, const aw_polygon *b)
{
    double y[64 + 32 * 32];
    size_t n = 0;
    for (size_t i = 0; i < a->n; i++)
        y[n++] = a->at[i].y;
    for (size_t j = 0; j < b->n; j++)
        y[n++] = b->at[j].y;
    for (size_t i = 0; i < a->n; i++)
        for (size_t j = 0; j < b->n; j++) {
            const aw_point p = a->at[i], q = a->at[(i + 1) % a->n];
            const aw_point r = b->at[j], s = b->at[(j + 1) % b->n];
            const double from = turn(r, s, p), to = turn(r, s, q);
            if (from * to < 0)
                y[n++] = p.y + from / (from - to) * (q.y - p.y);
        }
    qsort(y, n, sizeof *y, compare_heights);
    for (size_t i = 0; i + 1 < n; i++)
        if (y[i + 1] - y[i] > 1e-9 && meet_on_row(a, b, (y[i] + y[i + 1]) / 2))
            return true;
    return false;
}

/* A simple polygon with corners on the lattice. */
static aw_polygon lattice_star(uint64_t *state, aw_point corner[], size_t n)
{
    aw_polygon p = {.at = corner, .n = n};
    size_t edges[2];
    do {
        star(state, corner, n);
        const double x = floor(test_between(state, -3, 4)), y = floor(test_between(state, -3, 4));
        for (size_t i = 0; i < n; i++)
            corner[i] = (aw_point){x + round(corner[i].x), y + round(corner[i].y)};
    } while (aw_polygon_crosses_itself(corner, n, edges) || aw_polygon_area(corner, n) <= 0);
    aw_polygon_close(&p);
    return p;
}

static void turn_by(double angle, const aw_polygon *p, aw_point to[], aw_polygon *turned)
{
    for (size_t i = 0; i < p->n; i++)
        to[i] = (aw_point){71.3 + cos(angle) * p->at[i].x - sin(angle) * p->at[i].y,
                           38.9 + sin(angle) * p->at[i].x + cos(angle) * p->at[i].y};
    *turned = (aw_polygon){.at = to, .n = p->n};
    aw_polygon_close(turned);
}

/* Turned by any angle, corners that lay on an edge miss it by a rounding. */
START_TEST(shapes_on_a_lattice_overlap_as_their_rows_do)
{
    uint64_t state = 77 + (uint64_t)_i;
    size_t overlaps = 0, touches = 0;
    for (int i = 0; i < 1500; i++) {
        aw_point corner[2][12], other[2][12];
        aw_polygon turned[2];
        const aw_polygon p = lattice_star(&state, corner[0], 3 + (size_t)i % 6);
        const aw_polygon q = lattice_star(&state, corner[1], 3 + (size_t)i % 5);
        const bool want = meet_by_rows(&p, &q);
        const double angle = test_between(&state, 0, 6.3);
        ck_assert_msg(aw_polygons_overlap(&p, &q) == want, "pair %d: not %d", i, want);
        ck_assert_msg(aw_polygons_overlap(&q, &p) == want, "pair %d back: not %d", i, want);
        turn_by(angle, &p, other[0], &turned[0]);
        turn_by(angle, &q, other[1], &turned[1]);
        ck_assert_msg(aw_polygons_overlap(&turned[0], &turned[1]) == want, "turned pair %d", i);
        overlaps += want;
        for (size_t k = 0; k < p.n && !want; k++)
            touches += aw_polygon_edge_distance(&q, p.at[k]) == 0;
    }
    ck_assert_uint_gt(overlaps, 300);
    ck_assert_uint_lt(overlaps, 1200);
    ck_assert_uint_gt(touches, 100);
}
END_TEST

/* Boundaries that meet only in corners or along edges, and share 4 m2, 4 m2 and 7 m2; a polygon and
 * itself; a frame's notch filled by what fits it, which shares nothing. */
START_TEST(overlap_without_crossing_edges_is_found)
{
    aw_point a[][8] = {{{10, 5}, {14, 5}, {14, 26}, {10, 26}},
                       {{4, 1}, {10, 0}, {10, 4}, {4, 3}, {3, 2}},
                       {{0, 0}, {6, 0}, {6, 4}, {0, 4}},
                       {{0, 0}, {6, 0}, {6, 4}, {4, 4}, {4, 2}, {2, 2}, {2, 4}, {0, 4}}};
    aw_point b[][8] = {{{10, 25}, {14, 25}, {14, 45}, {10, 45}},
                       {{0, 0}, {4, 0}, {4, 4}, {0, 4}},
                       {{0, 0}, {6, 0}, {6, 4}, {0, 4}},
                       {{2, 2}, {4, 2}, {4, 4}, {2, 4}}};
    const size_t n[][2] = {{4, 4}, {5, 4}, {4, 4}, {8, 4}};
    for (size_t i = 0; i < 4; i++) {
        aw_polygon p = {.at = a[i], .n = n[i][0]}, q = {.at = b[i], .n = n[i][1]};
        aw_polygon_close(&p);
        aw_polygon_close(&q);
        ck_assert_msg(aw_polygons_overlap(&p, &q) == (i < 3), "case %zu", i);
        ck_assert_msg(aw_polygons_overlap(&q, &p) == (i < 3), "case %zu back", i);
    }
}
END_TEST

/* Saw teeth of 5000 points along x or y, which fit one another and are then pushed together by 1
 * cm. The limit is over 20 times what it takes. */
START_TEST(overlap_of_ten_thousand_corners_takes_well_under_a_second)
{
    enum { N = 10000 };
    static aw_point corner[2][N];
    aw_polygon low = {.at = corner[0], .n = N}, high = {.at = corner[1], .n = N};
    for (size_t k = 0; k < N - 2; k++) {
        corner[0][N - 1 - k] = corner[1][k] =
            (aw_point){100.0 * (double)k / (N - 3), k % 2 ? 21 : 20};
    }
    corner[0][0] = (aw_point){0, 0};
    corner[0][1] = (aw_point){100, 0};
    corner[1][N - 2] = (aw_point){100, 40};
    corner[1][N - 1] = (aw_point){0, 40};
    for (size_t k = 0; k < N && _i == 1; k++)
        for (int i = 0; i < 2; i++)
            corner[i][k] = (aw_point){-corner[i][k].y, corner[i][k].x};
    aw_polygon_close(&low);
    aw_polygon_close(&high);
    const clock_t began = clock();
    ck_assert(!aw_polygons_overlap(&low, &high));
    for (size_t k = 0; k < N - 2; k++)
        *(_i == 1 ? &corner[1][k].x : &corner[1][k].y) += _i == 1 ? 0.01 : -0.01;
    aw_polygon_close(&high);
    ck_assert(aw_polygons_overlap(&low, &high));
    ck_assert_double_lt((double)(clock() - began) / CLOCKS_PER_SEC, 0.5);
}
END_TEST

/* --- strips --- */

/* Those that reach the heights asked for are all there, and no edge twice. */
START_TEST(strips_give_every_edge_that_reaches_a_height)
{
    uint64_t state = 640 + (uint64_t)_i;
    aw_point corner[200];
    size_t edges[200], given = 0;
    aw_strips strips;
    const size_t n = 3 + 9 * (size_t)_i;
    aw_polygon p = star(&state, corner, n);
    for (size_t k = 0; k < n && _i % 2; k++)
        corner[k].y = round(corner[k].y); /* level edges, and corners where strips end */
    aw_polygon_close(&p);
    ck_assert(aw_strips_make(&strips, &p));
    for (int k = 0; k < 100; k++) {
        bool found[200] = {false};
        const double low = k % 3 ? test_between(&state, -2, 12) : corner[(size_t)k % n].y;
        const double high = low + (k % 2 ? test_between(&state, 0, 4) : 0);
        const size_t many = aw_strips_between(&strips, low, high, edges);
        for (size_t i = 0; i < many; i++) {
            ck_assert(edges[i] < n && !found[edges[i]]);
            found[edges[i]] = true;
        }
        for (size_t i = 0; i < n; i++) {
            const double y = corner[i].y, z = corner[(i + 1) % n].y;
            ck_assert(found[i] || fmax(y, z) < low || fmin(y, z) > high);
        }
        given += k % 2 ? 0 : many;
    }
    ck_assert(n < 20 || given < 50 * n / 2);
    aw_strips_free(&strips);
}
END_TEST

static TCase *points(void)
{
    TCase *tc = tcase_create("points");
    tcase_add_loop_test(tc, rows_and_points_agree_to_the_bit, 0, 30);
    tcase_add_loop_test(tc, areas_and_distances_are_those_of_plain_sums, 0, 40);
    tcase_add_loop_test(tc, strips_give_every_edge_that_reaches_a_height, 0, 22);
    tcase_add_loop_test(tc, parts_of_a_chord_add_up, 0, 40);
    return tc;
}

static TCase *shapes(void)
{
    TCase *tc = tcase_create("shapes");
    tcase_add_test(tc, self_crossing_is_found_and_nothing_else);
    tcase_add_test(tc, the_edges_that_are_named_do_conflict);
    tcase_add_test(tc, of_two_crossings_the_left_one_is_named);
    tcase_add_test(tc, overlap_is_found_and_nothing_else);
    tcase_add_test(tc, touching_is_not_overlapping);
    tcase_add_loop_test(tc, shapes_on_a_lattice_overlap_as_their_rows_do, 0, 4);
    tcase_add_test(tc, overlap_without_crossing_edges_is_found);
    tcase_add_loop_test(tc, overlap_of_ten_thousand_corners_takes_well_under_a_second, 0, 2);
    return tc;
}

AW_TEST_MAIN("plane", points(), shapes())
