/* Paths of one link: lengths against brute force over points of edges, losses against the formulas.
 */
#include "halls.h"

#include "base/plane.h"
#include "radio/diffraction.h"
#include "radio/paths.h"
#include "radio/power.h"
#include "radio/sight.h"
#include "radio/slab.h"

#define LAMBDA (AW_LIGHT / 6489.6e6)

/* --- Out of a rack's shadow --- */

/* A rack from wall to wall, x 14 to 15, 3 m high, a metal wall at the end and an anchor aside. */
static const char *const shelves =
    "obstacles: [{name: rack, footprint: [[14, 0], [15, 0], [15, 20], [14, 20]], top: 3, "
    "material: metal},\n"
    "  {name: end, footprint: [[39, 0], [40, 0], [40, 20], [39, 20]], material: metal}]\n"
    "anchors: [{name: A, at: [4, 4, 5]}]\n";

/* The shortest way over one or both long edges, by refining grids of crossing points. */
static double brute_excess(const double tag[3], const double anchor[3], double front, double back,
                           double top)
{
    const aw_point corner[4] = {{front, -99}, {back, -99}, {back, 99}, {front, 99}};
    const aw_prism rack = {{corner, 4, {front, -99}, {back, 99}}, 0, top};
    double best = HUGE_VAL, middle[2] = {10, 10};
    for (double step = 1; step > 1e-5; step /= 2) {
        double next[2] = {middle[0], middle[1]};
        for (int i = -15; i <= 15; i++)
            for (int k = -15; k <= 15; k++) {
                const double q[2][3] = {{front, middle[0] + i * step, top},
                                        {back, middle[1] + k * step, top}};
                double ways[3] = {apart(anchor, q[0]) + apart(q[0], q[1]) + apart(q[1], tag),
                                  HUGE_VAL, HUGE_VAL};
                for (int e = 0; e < 2; e++)
                    if (aw_prism_length(&rack, anchor, q[e]) + aw_prism_length(&rack, q[e], tag) <
                        1e-9)
                        ways[1 + e] = apart(anchor, q[e]) + apart(q[e], tag);
                const double way = fmin(ways[0], fmin(ways[1], ways[2]));
                if (way < best) {
                    best = way;
                    next[0] = q[0][1];
                    next[1] = q[1][1];
                }
            }
        middle[0] = next[0];
        middle[1] = next[1];
    }
    return best - apart(tag, anchor);
}

/* The line from (4, 5) over the back edge (15, 3) comes down to 1 m at x = 26. */
START_TEST(out_of_a_racks_shadow_bias_shrinks_to_nothing)
{
    hall h;
    build(&h, false, shelves);
    double last = HUGE_VAL;
    for (double x = 15.2; x < 30; x += 0.4) {
        const double tag[3] = {x, 12, 1};
        const aw_link_trace t = trace_from(&h, x, 12, 1);
        const aw_path *over = find(&t, AW_PATH_OVER);
        if (x > 26) {
            ck_assert_ptr_null(over);
            ck_assert_double_eq(aw_link_bias(&t.link), 0);
            continue;
        }
        const double want = brute_excess(tag, h.scenario.anchors[0].at, 14, 15, 3);
        if (over == NULL) /* too weak beside the mirrored one */
            continue;
        ck_assert_double_eq_tol(over->excess, want, 0.001);
        ck_assert_double_eq_tol(over->loss_db, aw_edge_loss(2 * sqrt(want / LAMBDA)), 0.02);
        ck_assert_double_lt(over->excess, last);
        last = over->excess;
    }
    ck_assert_double_lt(last, 1e-3);
    pull_down(&h);
}
END_TEST

/* Millimetre steps across the shadow line: 6.02 dB there, no step above what a millimetre does. */
START_TEST(loss_is_continuous_across_the_shadow_line)
{
    hall h;
    build(&h, false, shelves);
    double last = (double)NAN, at_line = HUGE_VAL;
    for (int i = 0; i < 4000; i++) {
        const double x = 24 + 0.001 * i;
        const aw_link_trace t = trace_from(&h, x, 12, 1);
        const double db = t.paths[0].loss_db;
        if (i > 0)
            ck_assert_double_eq_tol(db, last, 0.05);
        last = db;
        ck_assert(t.paths[0].kind == (x > 26.0005 ? AW_PATH_DIRECT : t.paths[0].kind));
        if (fabs(x - 26) < 0.0015)
            at_line = fmin(at_line, fabs(db - 20 * log10(2)));
    }
    ck_assert_double_lt(at_line, 0.05);
    ck_assert_double_eq(trace_from(&h, 32, 12, 1).paths[0].loss_db, 0);
    pull_down(&h);
}
END_TEST

/* At a fade of 0 the over path is timed while it clears the noise and the strongest path less the
 * dynamic range; from there on the image in the metal wall at x = 39. */
START_TEST(bias_jumps_once_where_the_over_path_stops_being_found)
{
    hall h;
    build(&h, false, shelves);
    const aw_radio *r = &h.scenario.radio;
    const double noise = aw_noise_dbm(499.2e6) + 6 - 10 * log10(128 * 508);
    int jumps = 0;
    double last = 0;
    for (double x = 30; x > 15.05; x -= 0.01) {
        const double tag[3] = {x, 12, 1}, image[3] = {78 - x, 12, 1};
        const double *anchor = h.scenario.anchors[0].at, range = apart(tag, anchor);
        const double mirrored = apart(image, anchor) - range;
        const double over = x < 26 ? brute_excess(tag, anchor, 14, 15, 3) : 0;
        const double loss = aw_edge_loss(2 * sqrt(over / LAMBDA));
        const double power = aw_eirp_dbm(r) - aw_free_space_db(range + over, 6489.6e6) - loss;
        const double other = aw_eirp_dbm(r) - aw_free_space_db(range + mirrored, 6489.6e6);
        const double margin = power - fmax(noise + 12, other - 25);
        const aw_link_trace t = trace_from(&h, x, 12, 1);
        const double bias = aw_link_bias(&t.link);
        if (fabs(margin) > 0.05)
            ck_assert_double_eq_tol(bias, margin > 0 ? over : mirrored, 0.001);
        jumps += fabs(bias - last) > 1;
        last = bias;
    }
    ck_assert_int_eq(jumps, 1);
    pull_down(&h);
}
END_TEST

/* Anchor 3 m, body 3.6 m high, tag 1 m high and 2 m behind, all in one upright plane. */
START_TEST(behind_a_tram_the_way_goes_over_both_edges)
{
    hall h;
    build(&h, false,
          "obstacles: [{name: tram, footprint: [[14, 0], [16.6, 0], [16.6, 20], [14, 20]], "
          "top: 3.6, material: body}]\n"
          "anchors: [{name: A, at: [8, 10, 3]}]\n");
    const aw_link_trace t = trace_from(&h, 18.6, 10, 1);
    const double both = sqrt(36 + 0.36) + 2.6 + sqrt(4 + 2.6 * 2.6) - sqrt(10.6 * 10.6 + 4);
    const double one = fmin(sqrt(36 + 0.36) + sqrt(4.6 * 4.6 + 2.6 * 2.6),
                            sqrt(8.6 * 8.6 + 0.36) + sqrt(4 + 2.6 * 2.6)) -
                       sqrt(10.6 * 10.6 + 4);
    ck_assert_uint_eq(t.n_paths, 1);
    ck_assert(t.paths[0].kind == AW_PATH_OVER);
    ck_assert_str_eq(t.paths[0].meets, "tram");
    ck_assert_double_eq_tol(t.paths[0].excess, both, 1e-6);
    ck_assert_double_gt(t.paths[0].excess, one + 0.02);
    pull_down(&h);
}
END_TEST

/* A pit 1.4 m deep and a rack beside it: over the rim alone, then over rim and rack; and a clear
 * line that grazes the rim loses 6.02 dB. */
START_TEST(out_of_a_pit_the_way_goes_over_its_rim)
{
    hall h;
    build(&h, false,
          "levels: [{name: pit, outline: [[20, 5], [24, 5], [24, 15], [20, 15]], height: -1.4}]\n"
          "obstacles: [{name: rack, footprint: [[12, 0], [13, 0], [13, 20], [12, 20]], top: 1.2, "
          "material: metal}]\n"
          "anchors: [{name: A, at: [16, 10, 2]}, {name: B, at: [4, 10, 2]}]\n");
    const double deep[3] = {21, 10, -1}, far[3] = {23, 10, -1}, *a = h.scenario.anchors[0].at,
                 *b = h.scenario.anchors[1].at;
    const double rim = sqrt(1 + 1);
    aw_link_trace t = trace_from(&h, 21, 10, -1);
    ck_assert_uint_eq(t.n_paths, 1);
    ck_assert(t.paths[0].kind == AW_PATH_OVER);
    ck_assert_str_eq(t.paths[0].meets, "pit");
    ck_assert_double_eq_tol(t.paths[0].excess, rim + sqrt(16 + 4) - apart(deep, a), 1e-9);
    aw_link_trace_at(h.scene, far, &h.scenario.anchors[1], &t);
    ck_assert_uint_eq(t.n_paths, 1);
    ck_assert_uint_eq(t.paths[0].n_meets, 2);
    ck_assert_double_eq_tol(t.paths[0].excess,
                            sqrt(9 + 1) + sqrt(49 + 1.44) + sqrt(81 + 0.64) - apart(far, b), 1e-9);
    t = trace_from(&h, 22.002, 10, -1);
    ck_assert(t.paths[0].kind == AW_PATH_DIRECT);
    ck_assert_str_eq(t.paths[0].meets, "pit");
    ck_assert_double_eq_tol(t.paths[0].loss_db, 20 * log10(2), 0.05);
    pull_down(&h);
}
END_TEST

/* --- Bands around --- */

/* The shortest way in plan past the corners of a rectangle on one side, over all sequences of up to
 * two of them. */
static double brute_around(const aw_polygon *p, aw_point a, aw_point b, bool left)
{
    const aw_prism prism = {*p, -1, 1};
    const double sign = left ? 1 : -1;
    double best = HUGE_VAL;
    for (size_t i = 0; i < p->n; i++)
        for (size_t k = 0; k < p->n; k++) {
            const double way[4][3] = {{a.x, a.y, 0},
                                      {p->at[i].x, p->at[i].y, 0},
                                      {p->at[k].x, p->at[k].y, 0},
                                      {b.x, b.y, 0}};
            double length = 0, inside = 0;
            for (int s = 0; s < 3; s++) {
                length += apart(way[s], way[s + 1]);
                inside += aw_prism_length(&prism, way[s], way[s + 1]);
            }
            for (int s = 1; s < 3; s++)
                if (sign * ((b.x - a.x) * (way[s][1] - a.y) - (b.y - a.y) * (way[s][0] - a.x)) <= 0)
                    inside = HUGE_VAL;
            if (inside < 1e-6)
                best = fmin(best, length);
        }
    return best;
}

START_TEST(ways_around_are_those_of_all_corner_sequences)
{
    uint64_t state = 100 + (uint64_t)_i;
    size_t seen = 0;
    for (int i = 0; i < 40; i++) {
        char text[512];
        hall h;
        const double x = test_between(&state, 14, 22), y = test_between(&state, 7, 12);
        const double w = test_between(&state, 0.3, 2), d = test_between(&state, 0.3, 2);
        const double turn = test_between(&state, 0, M_PI), c = cos(turn), s = sin(turn);
        snprintf(text, sizeof text,
                 "obstacles: [{name: box, footprint: [[%.17g, %.17g], [%.17g, %.17g], [%.17g, "
                 "%.17g], [%.17g, %.17g]], material: metal}]\n"
                 "anchors: [{name: A, at: [4, 9, 6]}]\n",
                 x - w * c + d * s, y - w * s - d * c, x + w * c + d * s, y + w * s - d * c,
                 x + w * c - d * s, y + w * s + d * c, x - w * c - d * s, y - w * s + d * c);
        build(&h, false, text);
        const double tag[3] = {test_between(&state, 26, 38), test_between(&state, 7, 12), 1};
        const aw_link_trace t = trace_from(&h, tag[0], tag[1], tag[2]);
        const aw_point a = {tag[0], tag[1]}, b = {4, 9};
        const double rise = 5, range = apart(tag, h.scenario.anchors[0].at);
        for (size_t k = 0; k < t.n_paths; k++) {
            if (t.paths[k].kind != AW_PATH_AROUND)
                continue;
            double off = HUGE_VAL;
            for (int left = 0; left < 2; left++) {
                const double plan =
                    brute_around(&h.scenario.obstacles[0].footprint, a, b, left != 0);
                const double want = sqrt(plan * plan + rise * rise) - range;
                off = fmin(off, fabs(want - t.paths[k].excess));
            }
            ck_assert_double_lt(off, 1e-6);
            seen++;
        }
        pull_down(&h);
    }
    ck_assert_uint_gt(seen, 15);
}
END_TEST

/* A corridor's end: no way round what stands against the outline, and no way over what reaches the
 * ceiling. */
START_TEST(what_closes_a_hall_off_lets_nothing_by)
{
    hall h;
    build(&h, false,
          "walls: [{name: wall, path: [[15, 0], [15, 20]], material: metal}]\n"
          "anchors: [{name: A, at: [4, 9, 6]}]\n");
    const aw_link_trace t = trace_from(&h, 20, 9, 1);
    ck_assert_uint_eq(t.n_paths, 0);
    ck_assert_uint_eq(t.link.n_outcomes, 0);
    ck_assert(t.link.state == AW_LINK_LOST);
    ck_assert_double_eq(t.received, 0);
    ck_assert(isnan(t.bias));
    pull_down(&h);
}
END_TEST

/* --- Through --- */

static aw_link_trace through(const char *what, double x, double y, double z)
{
    static char met[64]; /* the name outlives its scenario */
    char text[1024];
    hall h;
    snprintf(text, sizeof text, "%s\nanchors: [{name: A, at: [4, 10, 1]}]\n", what);
    build(&h, false, text);
    aw_link_trace t = trace_from(&h, x, y, z);
    ck_assert_uint_ge(t.n_paths, 1);
    ck_assert(t.paths[0].kind == AW_PATH_THROUGH);
    snprintf(met, sizeof met, "%s", t.paths[0].meets);
    t.paths[0].meets = met;
    pull_down(&h);
    return t;
}

#define AT "footprint: [[10, 5], [10.5, 5], [10.5, 18], [10, 18]], top: 4"

START_TEST(what_is_crossed_costs_what_its_stuff_says)
{
    const aw_channel five = aw_channel_of(5);
    const double hz = five.centre;
    const aw_leaf board = {NULL, {2.73, 0, 0.0085, 0.9395}, 0.0125};
    const aw_leaf timber = {NULL, {1.99, 0, 0.0047, 1.0718}, 0.5};
    const aw_leaf leaves[3] = {board, {NULL, {1, 0, 0, 0}, 0.075}, {NULL, timber.dielectric, 0.02}};
    /* A board at 45 degrees. */
    aw_link_trace t = through(
        "walls: [{name: w, path: [[10, 1], [10, 19]], material: plasterboard, thickness: 0.0125}]",
        12, 18, 1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(&board, 1, &five, M_SQRT1_2), 0.005);
    ck_assert_double_eq_tol(t.paths[0].excess, aw_slab_delay(&board, 1, hz, M_SQRT1_2), 1e-9);
    ck_assert_str_eq(t.paths[0].meets, "w");
    ck_assert_uint_eq(t.paths[0].n_meets, 1);
    /* A leaved wall, head on. */
    t = through("walls: [{name: w, path: [[10, 1], [10, 19]], material: case}]", 12, 10, 1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(leaves, 3, &five, 1), 1e-9);
    ck_assert_double_eq_tol(t.paths[0].excess, aw_slab_delay(leaves, 3, hz, 1), 1e-12);
    /* A solid block of half a metre: more than the table holds, so within what 0.1 m of absorption
     * may differ from the slab. */
    t = through("obstacles: [{name: o, material: wood, " AT "}]", 12, 10, 1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(&timber, 1, &five, 1), 0.1);
    ck_assert_double_eq_tol(t.paths[0].excess, 0.5 * (sqrt(1.99) - 1), 1e-12);
    /* The same with goods in it, and as measured. */
    const double bare = t.paths[0].loss_db;
    t = through("obstacles: [{name: o, material: full, " AT "}]", 12, 10, 1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, bare + 7, 1e-9);
    ck_assert_double_eq_tol(t.paths[0].excess, 0.5 * (sqrt(1.99) - 1) + 0.1, 1e-12);
    t = through("obstacles: [{name: o, material: dull, " AT "}]", 12, 10, 1);
    ck_assert_double_eq(t.paths[0].loss_db, 3);
    ck_assert_double_eq(t.paths[0].excess, 0.02);
    /* An empty case of boards is two boards; from inside it is one. */
    t = through("obstacles: [{name: o, material: plasterboard, shell: 0.0125, " AT "}]", 12, 10, 1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, 2 * aw_slab_loss(&board, 1, &five, 1), 1e-9);
    ck_assert_double_eq_tol(t.paths[0].excess, 2 * aw_slab_delay(&board, 1, hz, 1), 1e-12);
    t = through("obstacles: [{name: o, material: plasterboard, shell: 0.0125, " AT "}]", 10.2, 10,
                1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(&board, 1, &five, 1), 1e-9);
}
END_TEST

/* Two legs of a wall met far from each other are two slabs; at their corner they are one. */
START_TEST(legs_in_touch_are_one_slab)
{
    const aw_channel five = aw_channel_of(5);
    const aw_leaf brick = {NULL, {3.91, 0, 0.0238, 0.16}, 0.11};
    const char *wedge = "walls: [{name: w, path: [[10, 2], [14, 10], [10, 18]], thickness: 0.11, "
                        "top: 5, material: brick}]";
    const double cosine = 2 / sqrt(5);
    const aw_link_trace corner = through(wedge, 18, 10, 1);
    ck_assert_double_eq_tol(corner.paths[0].loss_db, aw_slab_loss(&brick, 1, &five, cosine), 0.01);
    char text[1024];
    hall h;
    snprintf(text, sizeof text, "%s\nanchors: [{name: A, at: [12, 1, 1]}]\n", wedge);
    build(&h, false, text);
    const aw_link_trace both = trace_from(&h, 12, 19, 1);
    ck_assert_double_eq_tol(both.paths[0].loss_db, 2 * aw_slab_loss(&brick, 1, &five, 1 / sqrt(5)),
                            0.02);
    pull_down(&h);
}
END_TEST

/* --- Thin sheets --- */

/* Cladding bends and mirrors as its own thickness would, to what 2 mm of geometry may add; by brute
 * force over points of its top, the corners of its end and its image. */
START_TEST(thin_cladding_hides_bends_and_mirrors)
{
    static const double thickness[] = {1e-6, 0.0005, 0.0007, 0.0009, 0.002};
    aw_path first[8];
    size_t n_first = 0;
    for (size_t k = 0; k < sizeof thickness / sizeof *thickness; k++) {
        char text[1024];
        hall h;
        const double half = thickness[k] / 2, spot[3] = {24, 10, 1};
        snprintf(text, sizeof text,
                 "walls: [{name: sheet, path: [[20, 2], [20, 14]], thickness: %.9g, top: 5, "
                 "material: metal},\n  {name: gate, path: [[28, 6], [28, 14]], thickness: %.9g, "
                 "material: metal}]\nanchors: [{name: A, at: [8, 10, 4]}]\n",
                 thickness[k], thickness[k]);
        build(&h, false, text);
        const aw_link_trace t = trace_from(&h, spot[0], spot[1], spot[2]);
        const double *a = h.scenario.anchors[0].at, range = apart(spot, a);
        const aw_path *over = find(&t, AW_PATH_OVER), *by = find(&t, AW_PATH_MIRRORED);
        const double image[3] = {2 * (28 - half) - spot[0], 10, 1};
        ck_assert_ptr_null(find(&t, AW_PATH_DIRECT));
        ck_assert_ptr_nonnull(over);
        ck_assert_double_eq_tol(over->excess, brute_excess(spot, a, 20 - half, 20 + half, 5), 5e-4);
        /* What is mirrored by the gate comes over the sheet too, or not at all. */
        if (by != NULL)
            ck_assert_double_ge(by->excess, apart(image, a) - range - 0.002);
        if (k == 0)
            n_first = t.n_paths;
        ck_assert_uint_eq(t.n_paths, n_first);
        for (size_t i = 0; i < t.n_paths; i++) {
            if (k == 0)
                first[i] = t.paths[i];
            ck_assert(t.paths[i].kind == first[i].kind);
            ck_assert_double_eq(t.paths[i].power_dbm, first[i].power_dbm);
            ck_assert_double_eq(t.paths[i].excess, first[i].excess);
        }
        pull_down(&h);
    }
}
END_TEST

/* The formula takes a pane's and a deck's own thickness, at right angles and aslant. */
START_TEST(thin_sheets_cost_what_their_own_thickness_does)
{
    const aw_channel five = aw_channel_of(5);
    const double hz = five.centre;
    const aw_leaf pane = {NULL, {6.31, 0, 0.0036, 1.3394}, 0.0007};
    aw_leaf deck = {NULL, {1.99, 0, 0.0047, 1.0718}, 0.0005};
    const char *sheet =
        "walls: [{name: w, path: [[10, 1], [10, 19]], material: glass, thickness: 0.0007}]";
    aw_link_trace t = through(sheet, 12, 10, 1);
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(&pane, 1, &five, 1), 1e-6);
    ck_assert_double_eq_tol(t.paths[0].excess, aw_slab_delay(&pane, 1, hz, 1), 1e-12);
    t = through(sheet, 16, 19, 1);
    const double cosine = 12 / sqrt(12 * 12 + 9 * 9);
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(&pane, 1, &five, cosine), 0.005);
    ck_assert_double_eq_tol(t.paths[0].excess, aw_slab_delay(&pane, 1, hz, cosine), 1e-12);
    /* Up through a deck: 5 m aside for 4 m of height. */
    t = through("obstacles: [{name: deck, material: wood, footprint: [[2, 2], [20, 2], [20, 18], "
                "[2, 18]], base: 3, top: 3.0005}]",
                9, 10, 5);
    deck.thickness *= sqrt(41) / 4;
    ck_assert_double_eq_tol(t.paths[0].loss_db, aw_slab_loss(&deck, 1, &five, 1), 0.01);
    ck_assert_double_eq_tol(t.paths[0].excess, deck.thickness * (sqrt(1.99) - 1), 1e-12);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("paths");
    tcase_add_test(c, out_of_a_racks_shadow_bias_shrinks_to_nothing);
    tcase_add_test(c, loss_is_continuous_across_the_shadow_line);
    tcase_add_test(c, bias_jumps_once_where_the_over_path_stops_being_found);
    tcase_add_test(c, behind_a_tram_the_way_goes_over_both_edges);
    tcase_add_test(c, out_of_a_pit_the_way_goes_over_its_rim);
    tcase_add_loop_test(c, ways_around_are_those_of_all_corner_sequences, 0, 3);
    tcase_add_test(c, what_closes_a_hall_off_lets_nothing_by);
    tcase_add_test(c, what_is_crossed_costs_what_its_stuff_says);
    tcase_add_test(c, legs_in_touch_are_one_slab);
    tcase_add_test(c, thin_cladding_hides_bends_and_mirrors);
    tcase_add_test(c, thin_sheets_cost_what_their_own_thickness_does);
    return c;
}

AW_TEST_MAIN("radio: paths", all())
