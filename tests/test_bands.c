/* Bands over and around by themselves: against brute force over points of edges and faces, and what
 * must hold of any shortest way. */
#include "halls.h"

#include "base/plane.h"
#include "radio/band.h"
#include "radio/paths.h"
#include "radio/sight.h"

#define BOXES 5

/* A hall with a row of boxes, turned, sized and raised at random. */
typedef struct row {
    hall h;
    uint64_t state;
} row;

static void build_row(row *r, uint64_t seed)
{
    char *text = NULL;
    size_t length;
    FILE *out = open_memstream(&text, &length);
    r->state = seed;
    fputs("obstacles:\n", out);
    for (int i = 0; i < BOXES; i++) {
        const double x = 8 + 6 * i, y = test_between(&r->state, 8, 12);
        const double w = test_between(&r->state, 0.2, 1.6), d = test_between(&r->state, 0.2, 3);
        const double turn = test_between(&r->state, 0, M_PI), c = cos(turn), s = sin(turn);
        fprintf(out,
                "  - {name: b%d, material: metal, top: %.17g, footprint: [[%.17g, %.17g], [%.17g, "
                "%.17g], [%.17g, %.17g], [%.17g, %.17g]]}\n",
                i, test_between(&r->state, 2, 5), x - w * c + d * s, y - w * s - d * c,
                x + w * c + d * s, y + w * s - d * c, x + w * c - d * s, y + w * s + d * c,
                x - w * c - d * s, y - w * s + d * c);
    }
    fputs("anchors: [{name: A, at: [4, 4, 5]}]\n", out);
    fclose(out);
    build(&r->h, false, text);
    free(text);
}

static const aw_prism *box_of(const row *r, uint32_t i)
{
    return &r->h.scene->bodies[i].prisms[0];
}

/* Two places on either side of a box between which it stands for a decimetre or more. */
static void stand_across(row *r, uint32_t i, double a[3], double b[3])
{
    const double x = 8 + 6.0 * i;
    do {
        a[0] = x - test_between(&r->state, 3.5, 6);
        b[0] = x + test_between(&r->state, 3.5, 6);
        a[1] = test_between(&r->state, 5, 15);
        b[1] = test_between(&r->state, 5, 15);
        a[2] = test_between(&r->state, 0.3, 2);
        b[2] = test_between(&r->state, 0.3, 7);
    } while (aw_prism_length(box_of(r, i), a, b) < 0.1);
}

/* --- Brute force over --- */

typedef struct side {
    double from[3], to[3];
} side;

/* The top edges that the plan of a-b meets, of a convex footprint: two. */
static void edges_under(const aw_prism *p, const double a[3], const double b[3], side found[2])
{
    double at[2] = {0};
    int n = 0;
    for (size_t i = 0; i < 4; i++) {
        const aw_point c = p->footprint.at[i], d = p->footprint.at[(i + 1) % 4];
        const double dx = b[0] - a[0], dy = b[1] - a[1];
        const double sc = dx * (c.y - a[1]) - dy * (c.x - a[0]);
        const double sd = dx * (d.y - a[1]) - dy * (d.x - a[0]);
        if (sc * sd > 0)
            continue;
        ck_assert_int_lt(n, 2);
        at[n] = (c.x + sc / (sc - sd) * (d.x - c.x) - a[0]) * dx +
                (c.y + sc / (sc - sd) * (d.y - c.y) - a[1]) * dy;
        found[n++] = (side){{c.x, c.y, p->top}, {d.x, d.y, p->top}};
    }
    ck_assert_int_eq(n, 2);
    if (at[0] > at[1]) {
        const side first = found[0];
        found[0] = found[1];
        found[1] = first;
    }
}

static void on_side(const side *s, double share, double q[3])
{
    const double t = fmin(fmax(share, 0), 1);
    for (int k = 0; k < 3; k++)
        q[k] = s->from[k] + t * (s->to[k] - s->from[k]);
}

/* The way over a place of one edge, infinite where it runs into the box, or over one of each. */
static double way_over(const aw_prism *p, const double a[3], const double b[3], const side edge[2],
                       int which, const double share[2])
{
    double q[2][3];
    on_side(&edge[0], share[0], q[0]);
    on_side(&edge[1], share[1], q[1]);
    if (which == 2)
        return apart(a, q[0]) + apart(q[0], q[1]) + apart(q[1], b);
    const bool free = aw_prism_length(p, a, q[which]) + aw_prism_length(p, q[which], b) < 1e-9;
    return free ? apart(a, q[which]) + apart(q[which], b) : HUGE_VAL;
}

/* Over one edge, the other, or (2) both, by refining grids of places to far below a millimetre. */
static double brute_over(const aw_prism *p, const double a[3], const double b[3], int which)
{
    side edge[2];
    double best = HUGE_VAL, middle[2] = {0.5, 0.5};
    edges_under(p, a, b, edge);
    for (double step = 0.05; step > 1e-6; step /= 2) {
        const double from[2] = {middle[0], middle[1]};
        for (int i = -12; i <= 12; i++)
            for (int k = -12; k <= 12; k++) {
                const double share[2] = {fmin(fmax(from[0] + i * step, 0), 1),
                                         fmin(fmax(from[1] + k * step, 0), 1)};
                const double way = way_over(p, a, b, edge, which, share);
                if (way < best) {
                    best = way;
                    middle[0] = share[0];
                    middle[1] = share[1];
                }
            }
    }
    return best;
}

static double cut_by(const aw_prism *p, const aw_band *band, const double a[3], const double b[3])
{
    const double *last = a;
    double cut = 0;
    for (size_t k = 0; k <= band->n; k++) {
        const double *at = k < band->n ? band->bends[k].at : b;
        cut += aw_prism_length(p, last, at);
        last = at;
    }
    return cut;
}

/* A way by the end of an edge may be shorter than that over its inside: it slips past the corner,
 * and the way around, free in height, is shorter still. */
START_TEST(a_band_over_is_the_shortest_over_all_places_on_its_edges)
{
    row r;
    build_row(&r, 900 + (uint64_t)_i);
    for (uint32_t i = 0; i < BOXES; i++) {
        double a[3], b[3], way[3], least = HUGE_VAL;
        aw_band band, side_band;
        stand_across(&r, i, a, b);
        const aw_prism *p = box_of(&r, i);
        ck_assert(aw_band_over(&band, r.h.scene, a, b, &i, 1));
        for (int which = 0; which < 3; which++) {
            way[which] = brute_over(p, a, b, which);
            least = fmin(least, way[which]);
        }
        const double own = fmin(fabs(band.length - way[0]), fabs(band.length - way[1]));
        ck_assert_double_lt(band.n == 2 ? fabs(band.length - way[2]) : own, 1e-5);
        ck_assert_double_lt(cut_by(p, &band, a, b), 1e-9);
        double found = band.length;
        for (int left = 0; left < 2; left++)
            if (aw_band_around(&side_band, r.h.scene, a, b, &i, 1, left != 0))
                found = fmin(found, side_band.length);
        ck_assert_double_lt(found, least + 1e-5);
    }
    pull_down(&r.h);
}
END_TEST

/* --- What holds of any shortest way --- */

/* m: crossings slide until they move less than 1 um, which a length feels only squared. */
#define SLID 1e-7

START_TEST(bands_are_the_same_the_other_way)
{
    row r;
    build_row(&r, 1900 + (uint64_t)_i);
    for (uint32_t i = 0; i + 1 < BOXES; i++) {
        const uint32_t two[2] = {i, i + 1}, turned[2] = {i + 1, i};
        double a[3], b[3];
        aw_band there, back;
        stand_across(&r, i, a, b);
        b[0] += 6;
        const bool over = aw_band_over(&there, r.h.scene, a, b, two, 2);
        ck_assert(over == aw_band_over(&back, r.h.scene, b, a, turned, 2));
        if (over) {
            ck_assert_double_eq_tol(there.length, back.length, SLID);
            ck_assert_uint_eq(there.n, back.n);
        }
        for (int left = 0; left < 2; left++) {
            const bool any = aw_band_around(&there, r.h.scene, a, b, two, 2, left != 0);
            ck_assert(any == aw_band_around(&back, r.h.scene, b, a, turned, 2, left == 0));
            if (any)
                ck_assert_double_eq_tol(there.length, back.length, SLID);
        }
    }
    pull_down(&r.h);
}
END_TEST

/* One rack from wall to wall; the tag 6 m before it, the anchor 6 m behind. */
static double excess_over(double thick, double top, const double a[3], const double b[3])
{
    char text[512];
    hall h;
    aw_band band;
    snprintf(text, sizeof text,
             "obstacles: [{name: o, material: metal, top: %.17g, footprint: [[%.17g, 0], [%.17g, "
             "0], [%.17g, 20], [%.17g, 20]]}]\nanchors: [{name: A, at: [4, 4, 5]}]\n",
             top, 20 - thick / 2, 20 + thick / 2, 20 + thick / 2, 20 - thick / 2);
    build(&h, false, text);
    const bool any = aw_band_over(&band, h.scene, a, b, &(uint32_t){0}, 1);
    pull_down(&h);
    return any ? band.length - apart(a, b) : 0;
}

START_TEST(a_higher_or_thicker_rack_never_shortens_the_way)
{
    uint64_t state = 50 + (uint64_t)_i;
    const double a[3] = {14, test_between(&state, 2, 18), test_between(&state, 0.3, 2)};
    const double b[3] = {26, test_between(&state, 2, 18), test_between(&state, 0.3, 4)};
    double last = 0;
    for (double top = 0.5; top < 7; top += 0.25) {
        const double excess = excess_over(1, top, a, b);
        ck_assert_double_ge(excess, last - 1e-9);
        last = excess;
    }
    ck_assert_double_gt(last, 1);
    last = 0;
    for (double thick = 0.1; thick < 6; thick += 0.3) {
        const double excess = excess_over(thick, 5, a, b);
        ck_assert_double_ge(excess, last - 1e-9);
        last = excess;
    }
}
END_TEST

/* A straight line at right angles to a thin rack whose top stands h above it, d before and e
 * behind: the way over is two hypotenuses and the top, h^2/2 (1/d + 1/e) longer to second order. */
START_TEST(detour_fades_with_the_square_of_the_depth_in_the_shadow)
{
    const double a[3] = {14, 10, 2}, b[3] = {28, 10, 2};
    const double thick = 2e-3, d = 6 - thick / 2, e = 8 - thick / 2;
    for (double h = 0.2; h > 1e-3; h /= 2) {
        const double got = excess_over(thick, 2 + h, a, b);
        ck_assert_double_eq_tol(got, aw_length(d, h) + thick + aw_length(e, h) - 14, 1e-9);
        ck_assert_double_eq_tol(got, h * h / 2 * (1 / d + 1 / e), h * h * h * h / 36 + 1e-9);
    }
    ck_assert_double_eq(excess_over(thick, 2 - 1e-9, a, b), 0);
}
END_TEST

static TCase *over(void)
{
    TCase *c = tcase_create("over");
    tcase_add_loop_test(c, a_band_over_is_the_shortest_over_all_places_on_its_edges, 0, 40);
    return c;
}

static TCase *laws(void)
{
    TCase *c = tcase_create("laws");
    tcase_add_loop_test(c, bands_are_the_same_the_other_way, 0, 40);
    tcase_add_loop_test(c, a_higher_or_thicker_rack_never_shortens_the_way, 0, 10);
    tcase_add_test(c, detour_fades_with_the_square_of_the_depth_in_the_shadow);
    return c;
}

AW_TEST_MAIN("radio: bands", over(), laws())
