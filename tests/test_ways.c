/* Ways round bodies: known objects, continuity along walks, ways that only a mix of edges gives. */
#include "halls.h"

#include "radio/diffraction.h"
#include "radio/way_loss.h"

#define ANCHOR "anchors: [{name: A, at: [4, 10, 5]}]\n"

/* --- Known objects --- */

/* Channel 5, tag 2 m before, anchor 8 m (the pier: 6 m) behind, centred, both 1 m high: through, by
 * the slab at right angles, and round one side. Computed apart from this program. */
static const struct object {
    const char *what;
    double depth, half, anchor;
    double through_db, through_m, round_db, round_m;
} objects[] = {
    {"concrete", 0.4, 0.2, 8, 58.3, 0.516, 16.8, 0.012},
    {"wood", 1.2, 0.6, 8, 48.4, 0.493, 30.6, 0.111},
    {"brick", 0.24, 0.12, 6, 7.3, 0.235, 13.2, 0.005},
};

START_TEST(through_and_round_are_told_apart)
{
    const struct object *o = &objects[_i];
    char text[1024];
    hall h;
    const double near = 12, far = near + o->depth;
    snprintf(text, sizeof text,
             "obstacles: [{name: o, material: %s, footprint: [[%.17g, %.17g], [%.17g, %.17g], "
             "[%.17g, %.17g], [%.17g, %.17g]]}]\nanchors: [{name: A, at: [%.17g, 10, 1]}]\n",
             o->what, near, 10 - o->half, far, 10 - o->half, far, 10 + o->half, near, 10 + o->half,
             far + o->anchor);
    build(&h, false, text);
    const aw_link_trace t = trace_from(&h, near - 2, 10, 1);
    const aw_path *through = find(&t, AW_PATH_THROUGH), *round = find(&t, AW_PATH_AROUND);
    ck_assert_ptr_nonnull(round);
    ck_assert_double_eq_tol(round->loss_db, o->round_db, 0.4);
    ck_assert_double_eq_tol(round->excess, o->round_m, 0.001);
    /* What is later and weaker is not told. */
    ck_assert((through == NULL) == (o->through_db > o->round_db));
    if (through != NULL) {
        ck_assert_double_eq_tol(through->loss_db, o->through_db, 0.4);
        ck_assert_double_eq_tol(through->excess, o->through_m, 0.001);
    }
    pull_down(&h);
}
END_TEST

/* A screen of 3 dB, 2 mm thick, from wall to wall, tag and anchor 5 m from it and h below its top:
 * v = h sqrt(2 d / (lambda a b)). What goes over it loses J(v), what goes through it J(-v) besides,
 * for behind half a screen the field that goes by is F(v), what does not is 1 - F(v) = F(-v); at
 * v = 0 that is half the field of each, at 0.3 8.60 and 3.45 dB (worked out apart from this
 * program). */
START_TEST(what_goes_through_is_what_does_not_go_by)
{
    static const double known[][3] = {{0.001, 6.03, 6.01}, {0.3, 8.60, 3.45}, {0.6, 11.02, 1.13}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        char text[512];
        hall h;
        const double below = known[i][0] / sqrt(2 * 10 / (0.046196 * 25)), z = 2 - below;
        snprintf(text, sizeof text,
                 "walls: [{name: w, path: [[15, 0], [15, 20]], thickness: 0.002, top: 2, material: "
                 "dull}]\nanchors: [{name: A, at: [10, 10, %.17g]}]\n",
                 z);
        build(&h, false, text);
        const aw_link_trace t = trace_from(&h, 20, 10, z);
        const aw_path *through = find(&t, AW_PATH_THROUGH), *over = find(&t, AW_PATH_OVER);
        ck_assert_ptr_nonnull(over);
        ck_assert_double_eq_tol(over->loss_db, known[i][1], 0.06);
        /* Later by its delay of 20 mm; at the top it is weaker too, and not told. */
        ck_assert((through == NULL) == (i == 0));
        if (through != NULL)
            ck_assert_double_eq_tol(through->loss_db, 3 + known[i][2], 0.06);
        pull_down(&h);
    }
}
END_TEST

/* Along the top of a block as wide as it is far to either end: two edges at grazing leave a third
 * of the field, 20 lg 3 = 9.54 dB (S. W. Lee, J. Math. Phys. 19:1414, 1978, from memory); along its
 * side likewise. */
START_TEST(along_a_face_both_edges_take_part)
{
    hall h;
    build(&h, false,
          "obstacles: [{name: b, footprint: [[14, 0], [17, 0], [17, 11], [14, 11]], top: 3, "
          "material: metal}]\nanchors: [{name: A, at: [11, 8, 3.0002]}, {name: B, at: [11, "
          "11.0002, 1]}]\n");
    const double beside[3] = {20, 11.0002, 1};
    aw_link_trace t = trace_from(&h, 20, 8, 3.0002);
    ck_assert(t.paths[0].kind == AW_PATH_DIRECT);
    ck_assert_double_eq_tol(t.paths[0].loss_db, 9.54, 0.05);
    aw_link_trace_at(h.scene, beside, &h.scenario.anchors[1], &t);
    ck_assert(t.paths[0].kind == AW_PATH_DIRECT);
    ck_assert_double_eq_tol(t.paths[0].loss_db, 9.54, 0.05);
    pull_down(&h);
}
END_TEST

/* --- Continuity --- */

/* Walks in steps of a millimetre past tops, ends and undersides, of what stops waves and what does
 * not. */
static const struct walk {
    const char *obstacles;
    double from[3], to[3];
} walks[] = {
    /* Out from behind a rack, under its shadow line. */
    {"{name: r, footprint: [[14, 2], [15, 2], [15, 18], [14, 18]], top: 3, material: metal}",
     {20, 12, 1},
     {30, 12, 1}},
    /* Past the ends of a rack, high and low. */
    {"{name: r, footprint: [[14, 2], [15, 2], [15, 12], [14, 12]], top: 7, material: metal}",
     {18, 10, 1},
     {18, 16, 1}},
    {"{name: r, footprint: [[14, 2], [15, 2], [15, 12], [14, 12]], top: 3, material: metal}",
     {18, 10, 1},
     {18, 16, 1}},
    /* Up behind a parapet. */
    {"{name: r, footprint: [[14, 2], [14.1, 2], [14.1, 18], [14, 18]], top: 2, material: metal}",
     {18, 10, 0.2},
     {18, 10, 3}},
    {"{name: r, footprint: [[14, 2], [14.1, 2], [14.1, 18], [14, 18]], top: 2, material: "
     "concrete}",
     {18, 10, 0.2},
     {18, 10, 3}},
    /* Behind a cabinet, a column and a pallet, from side to side. */
    {"{name: r, footprint: [[14, 9], [15, 9], [15, 10.2], [14, 10.2]], top: 2.2, material: metal}",
     {17, 7, 1},
     {17, 13, 1}},
    {"{name: r, footprint: [[14, 9.8], [14.4, 9.8], [14.4, 10.2], [14, 10.2]], material: concrete}",
     {17, 7, 1},
     {17, 13, 1}},
    {"{name: r, footprint: [[14, 9.4], [15.2, 9.4], [15.2, 10.6], [14, 10.6]], material: wood}",
     {17, 7, 1},
     {17, 13, 1}},
    /* Out from above what hangs. */
    {"{name: r, footprint: [[14, 6], [18, 6], [18, 14], [14, 14]], base: 2.5, top: 3.5, material: "
     "metal}",
     {19, 10, 1},
     {27, 10, 1}},
    /* Between two trams, over one and round the other. */
    {"{name: r, footprint: [[10, 2], [12.6, 2], [12.6, 14], [10, 14]], top: 3.6, material: metal}, "
     "{name: q, footprint: [[16, 6], [18.6, 6], [18.6, 18], [16, 18]], top: 3.6, material: metal}",
     {22, 5, 1},
     {22, 9, 1}},
};

/* The path of the step before that is the same, only a step on. */
static const aw_path *same_as(const aw_link_trace *before, const aw_path *now)
{
    for (size_t i = 0; i < before->n_paths; i++)
        if (before->paths[i].kind == now->kind &&
            fabs(before->paths[i].excess - now->excess) < 0.001)
            return &before->paths[i];
    return NULL;
}

START_TEST(no_loss_jumps_along_a_walk)
{
    const struct walk *w = &walks[_i];
    char text[2048];
    hall h;
    snprintf(text, sizeof text, "obstacles: [%s]\n" ANCHOR, w->obstacles);
    build(&h, false, text);
    const int steps = (int)(apart(w->from, w->to) * 1000);
    aw_link_trace last = {.n_paths = 0};
    int followed = 0;
    for (int i = 0; i <= steps; i++) {
        const double s = (double)i / steps;
        const aw_link_trace t = trace_from(&h, w->from[0] + s * (w->to[0] - w->from[0]),
                                           w->from[1] + s * (w->to[1] - w->from[1]),
                                           w->from[2] + s * (w->to[2] - w->from[2]));
        size_t alike = 0;
        for (size_t k = 0; k < t.n_paths; k++) {
            const aw_path *before = same_as(&last, &t.paths[k]);
            /* Left and right of what stands in the middle are as long as each other. */
            for (size_t m = 0; m < t.n_paths; m++)
                alike += m != k && t.paths[m].kind == t.paths[k].kind;
            if (before == NULL || alike > 0)
                continue;
            ck_assert_msg(fabs(before->loss_db - t.paths[k].loss_db) < 0.1,
                          "%d mm on, %s: %.3f to %.3f dB", i, aw_path_kind_name(t.paths[k].kind),
                          before->loss_db, t.paths[k].loss_db);
            followed++;
        }
        last = t;
    }
    ck_assert_int_gt(followed, steps / 2);
    pull_down(&h);
}
END_TEST

/* Six low screens, each so far under the line from the anchor to a tag 1 m high that it is passed
 * at v = -0.78, where one edge takes no part any more: all leave the way together as the tag rises.
 */
START_TEST(the_edges_of_a_low_row_fade_out)
{
    char text[4096], *end = text + sizeof text, *at = text;
    hall h;
    at += snprintf(at, (size_t)(end - at), "obstacles:\n");
    for (int i = 0; i < 6; i++) {
        const double x = 7 + 2.5 * i, before = x - 4, after = 24 - x, wave = 299792458 / 6489.6e6;
        const double below = 0.78 * sqrt(wave * before * after / (2 * 20));
        at += snprintf(at, (size_t)(end - at),
                       "  - {name: s%d, footprint: [[%.6f, 1], [%.6f, 1], [%.6f, 19], [%.6f, 19]], "
                       "top: %.6f, material: metal}\n",
                       i, x, x + 0.02, x + 0.02, x, 5 - before / 5 - below);
    }
    snprintf(at, (size_t)(end - at), ANCHOR);
    build(&h, false, text);
    double last = (double)NAN, least = HUGE_VAL, most = -HUGE_VAL;
    for (int i = 0; i < 900; i++) {
        const aw_link_trace t = trace_from(&h, 24, 10, 0.7 + i / 1000.0);
        const aw_path *line = find(&t, AW_PATH_DIRECT);
        if (line == NULL)
            continue;
        if (!isnan(last))
            ck_assert_double_lt(fabs(line->loss_db - last), 0.2);
        last = line->loss_db;
        least = fmin(least, last);
        most = fmax(most, last);
    }
    ck_assert_double_gt(least, -1);
    ck_assert_double_gt(most, 3);
    ck_assert_double_eq(last, 0);
    pull_down(&h);
}
END_TEST

/* --- What edges can do at most --- */

/* A hall with boxes of metal, standing and hung. */
static void build_boxes(hall *h, uint64_t *state)
{
    char text[4096], *end = text + sizeof text, *at = text;
    at += snprintf(at, (size_t)(end - at), "obstacles:\n");
    for (int i = 0; i < 8; i++) {
        const double x = test_between(state, 3, 33), y = test_between(state, 2, 14);
        const double w = test_between(state, 0.1, 5), d = test_between(state, 0.1, 5);
        const double base = test_between(state, 0, 1) < 0.3 ? test_between(state, 1, 4) : 0;
        at += snprintf(at, (size_t)(end - at),
                       "  - {name: b%d, footprint: [[%.6f, %.6f], [%.6f, %.6f], [%.6f, %.6f], "
                       "[%.6f, %.6f]], base: %.6f, top: %.6f, material: metal}\n",
                       i, x, y, x + w, y, x + w, y + d, x, y + d, base,
                       base + test_between(state, 0.3, 3.5));
    }
    snprintf(at, (size_t)(end - at), "anchors: [{name: A, at: [%.6f, %.6f, %.6f]}]\n",
             test_between(state, 0.5, 39.5), test_between(state, 0.5, 19.5),
             test_between(state, 2, 7.5));
    build(h, false, text);
}

typedef struct least {
    const hall *hall;
    size_t ways;
    double db, beyond_one; /* the least loss, and the least beyond one edge of the whole detour */
} least;

static double note_loss(void *context, const aw_way *way)
{
    least *l = context;
    const double db = aw_way_lose(l->hall->scene, way).db;
    const double excess = fmax(way->length - apart(way->at[0], way->at[way->n + 1]), 0);
    l->db = fmin(l->db, db);
    l->beyond_one =
        fmin(l->beyond_one, db - aw_edge_loss(aw_edge_v(excess, l->hall->scene->air->wavelength)));
    return ++l->ways % 4 != 0 ? HUGE_VAL : 0;
}

/* Screens take; only in stripes beside a shadow's edge do they give a little, which is left out
 * where v < -0.78. And a way over several edges loses no less than one edge of its whole detour:
 * the search ends by that. */
START_TEST(edges_take_and_the_more_the_more)
{
    uint64_t state = 500 + (uint64_t)_i;
    least l = {.db = HUGE_VAL, .beyond_one = HUGE_VAL};
    for (int i = 0; i < 25; i++) {
        hall h;
        build_boxes(&h, &state);
        l.hall = &h;
        const aw_barriers barriers = {.scene = h.scene};
        aw_way line = {.n = 0};
        memcpy(line.at[1], h.scenario.anchors[0].at, sizeof line.at[1]);
        for (int k = 0; k < 60; k++) {
            aw_met met;
            line.at[0][0] = test_between(&state, 0.5, 39.5);
            line.at[0][1] = test_between(&state, 0.5, 19.5);
            line.at[0][2] = test_between(&state, 0.5, 3);
            aw_ways_find(&barriers, line.at[0], line.at[1], HUGE_VAL, note_loss, &l);
            if (!aw_barriers_meet(&barriers, line.at[0], line.at[1], &met))
                l.db = fmin(l.db, aw_way_lose(h.scene, &line).db);
        }
        pull_down(&h);
    }
    ck_assert_uint_gt(l.ways, 100);
    ck_assert_double_gt(l.db, -0.1);
    ck_assert_double_gt(l.beyond_one, -2);
}
END_TEST

/* --- Mixed ways --- */

static double take_first(void *context, const aw_way *way)
{
    *(aw_way *)context = *way;
    return 0;
}

static aw_way first_way(const hall *h, const double tag[3])
{
    const aw_barriers barriers = {.scene = h->scene};
    aw_way way = {.n = 0};
    aw_ways_find(&barriers, tag, h->scenario.anchors[0].at, HUGE_VAL, take_first, &way);
    return way;
}

/* Left of one long block and right of the next: no way on one side is near as short. */
START_TEST(a_gap_between_two_blocks_is_found)
{
    hall h;
    build(&h, false,
          "obstacles: [{name: a, footprint: [[10, 0], [11, 0], [11, 12], [10, 12]], material: "
          "metal},\n  {name: b, footprint: [[16, 8], [17, 8], [17, 20], [16, 20]], material: "
          "metal}]\nanchors: [{name: A, at: [4, 8, 1]}]\n");
    const double tag[3] = {24, 12, 1};
    const aw_way way = first_way(&h, tag);
    const double want = sqrt(49 + 16) + 1 + sqrt(25 + 16) + 1 + sqrt(36 + 16);
    ck_assert_uint_eq(way.n, 4);
    ck_assert_double_eq_tol(way.length, want, 1e-6);
    pull_down(&h);
}
END_TEST

/* A beam from wall to wall that hangs at the height of both: under it. */
START_TEST(what_hangs_is_passed_below)
{
    hall h;
    build(&h, false,
          "obstacles: [{name: beam, footprint: [[14, 0], [15, 0], [15, 20], [14, 20]], base: 3, "
          "material: metal}]\nanchors: [{name: A, at: [4, 8, 5]}]\n");
    const double tag[3] = {24, 8, 5};
    const aw_way way = first_way(&h, tag);
    ck_assert_uint_eq(way.n, 2);
    ck_assert(way.edge[0]->kind == AW_EDGE_UNDER);
    ck_assert_double_eq_tol(way.length, sqrt(81 + 4) + 1 + sqrt(100 + 4), 1e-6);
    pull_down(&h);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("ways");
    tcase_set_timeout(c, 60);
    tcase_add_loop_test(c, through_and_round_are_told_apart, 0, 3);
    tcase_add_test(c, what_goes_through_is_what_does_not_go_by);
    tcase_add_test(c, along_a_face_both_edges_take_part);
    tcase_add_loop_test(c, no_loss_jumps_along_a_walk, 0, 10);
    tcase_add_test(c, the_edges_of_a_low_row_fade_out);
    tcase_add_loop_test(c, edges_take_and_the_more_the_more, 0, 4);
    tcase_add_test(c, a_gap_between_two_blocks_is_found);
    tcase_add_test(c, what_hangs_is_passed_below);
    return c;
}

AW_TEST_MAIN("radio: ways", all())
