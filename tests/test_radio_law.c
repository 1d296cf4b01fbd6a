/* Mirrored paths by brute force over all faces, reciprocity, the law of a link fade by fade. */
#include "halls.h"

#include <complex.h>

#include "base/plane.h"
#include "radio/paths.h"
#include "radio/power.h"
#include "radio/radio_scene.h"
#include "radio/sight.h"
#include "radio/slab.h"

#define BOXES 4
/* A hall with metal boxes, a wooden block and a board, all of them random. */
static void build_random(hall *h, uint64_t *state)
{
    char text[4096], *end = text + sizeof text, *at = text;
    at += snprintf(at, (size_t)(end - at), "obstacles:\n");
    for (int i = 0; i < BOXES + 1; i++) {
        const double x = test_between(state, 3, 33), y = test_between(state, 2, 14);
        const double w = test_between(state, 0.5, 5), d = test_between(state, 0.5, 5);
        at += snprintf(at, (size_t)(end - at),
                       "  - {name: b%d, footprint: [[%.6f, %.6f], [%.6f, %.6f], [%.6f, %.6f], "
                       "[%.6f, %.6f]], top: %.6f, material: %s}\n",
                       i, x, y, x + w, y, x + w, y + d, x, y + d, test_between(state, 1, 7),
                       i < BOXES ? "metal" : "wood");
    }
    const double x = test_between(state, 3, 37);
    at += snprintf(at, (size_t)(end - at),
                   "walls: [{name: board, path: [[%.6f, 3], [%.6f, 17]], thickness: 0.0125, "
                   "material: plasterboard}]\n"
                   "anchors: [{name: A, at: [%.6f, %.6f, %.6f]}]\n",
                   x, x + test_between(state, -2, 2), test_between(state, 0.5, 39.5),
                   test_between(state, 0.5, 19.5), test_between(state, 2, 7.5));
    build(h, true, text);
}

static bool is_inside_a_body(const hall *h, const double at[3])
{
    bool inside = false;
    for (size_t i = 0; i < h->scenario.n_obstacles; i++) {
        const aw_obstacle *o = &h->scenario.obstacles[i];
        inside = inside || (at[2] < o->top && aw_polygon_holds(&o->footprint, at[0], at[1]));
    }
    return inside;
}

/* Whether a leg is free of metal, and what the rest costs; a leg ends 0.1 mm off its face. */
static bool leg_is_free(const hall *h, const double a[3], const double b[3], double *db,
                        double *delay)
{
    const double length = apart(a, b);
    const aw_channel *five = &h->scenario.radio.channel;
    const aw_leaf board = {NULL, {2.73, 0, 0.0085, 0.9395}, 0.0125};
    for (size_t i = 0; i < h->scenario.n_obstacles; i++) {
        const aw_obstacle *o = &h->scenario.obstacles[i];
        const aw_prism p = {o->footprint, o->base, o->top};
        const double inside = aw_prism_length(&p, a, b);
        if (inside <= 1e-3)
            continue;
        if (i < BOXES)
            return false;
        const aw_leaf wood = {NULL, {1.99, 0, 0.0047, 1.0718}, inside};
        *db += aw_slab_loss(&wood, 1, five, 1);
        *delay += inside * (sqrt(1.99) - 1);
    }
    const aw_wall *w = &h->scenario.walls[0];
    const aw_prism p = {w->legs[0], w->base, w->top};
    if (aw_prism_length(&p, a, b) > 1e-3) {
        const double wx = w->path[1].x - w->path[0].x, wy = w->path[1].y - w->path[0].y;
        const double cosine =
            fabs((b[0] - a[0]) * wy - (b[1] - a[1]) * wx) / sqrt(wx * wx + wy * wy) / length;
        *db += aw_slab_loss(&board, 1, five, cosine);
        *delay += aw_slab_delay(&board, 1, five->centre, cosine);
    }
    return true;
}

typedef struct mirror {
    double excess, loss_db, power;
} mirror;

/* The path by the plane axis = value, seen from `side`, its point within low..high on all axes. */
static bool by_plane(const hall *h, const double tag[3], int axis, double value, double side,
                     const double low[3], const double high[3], const aw_dielectric *stuff,
                     mirror *out)
{
    const double *anchor = h->scenario.anchors[0].at;
    double image[3] = {anchor[0], anchor[1], anchor[2]}, at[3];
    if (side * (anchor[axis] - value) <= 0 || side * (tag[axis] - value) <= 0)
        return false;
    image[axis] = 2 * value - anchor[axis];
    const double t = (value - tag[axis]) / (image[axis] - tag[axis]), length = apart(tag, image);
    for (int k = 0; k < 3; k++) {
        at[k] = tag[k] + t * (image[k] - tag[k]);
        if (k != axis && (at[k] < low[k] || at[k] > high[k]))
            return false;
    }
    at[axis] = value + side * 1e-4;
    double db = aw_face_mirror_loss(stuff, &h->scenario.radio.channel,
                                    fabs(image[axis] - tag[axis]) / length);
    double delay = 0;
    if (!leg_is_free(h, tag, at, &db, &delay) || !leg_is_free(h, at, anchor, &db, &delay))
        return false;
    const double excess = length - apart(tag, anchor) + delay;
    *out = (mirror){excess, db,
                    aw_eirp_dbm(&h->scenario.radio) -
                        aw_free_space_db(apart(tag, anchor) + excess, 6489.6e6) - db};
    return true;
}

/* Every face of every metal box, floor, ceiling and outline. */
static size_t all_mirrors(const hall *h, const double tag[3], mirror list[])
{
    static const aw_dielectric metal = {1, 0, 1e7, 0}, concrete = {5.24, 0, 0.0462, 0.7822};
    const double low[3] = {0, 0, 0}, high[3] = {40, 20, 8};
    size_t n = 0;
    n += by_plane(h, tag, 2, 0, 1, low, high, &concrete, &list[n]);
    n += by_plane(h, tag, 2, 8, -1, low, high, &concrete, &list[n]);
    for (int axis = 0; axis < 2; axis++) {
        n += by_plane(h, tag, axis, low[axis], 1, low, high, &concrete, &list[n]);
        n += by_plane(h, tag, axis, high[axis], -1, low, high, &concrete, &list[n]);
    }
    for (size_t i = 0; i < BOXES; i++) {
        const aw_obstacle *o = &h->scenario.obstacles[i];
        const double from[3] = {o->footprint.low.x, o->footprint.low.y, o->base};
        const double to[3] = {o->footprint.high.x, o->footprint.high.y, o->top};
        for (int axis = 0; axis < 3; axis++) {
            n += by_plane(h, tag, axis, to[axis], 1, from, to, &metal, &list[n]);
            if (axis < 2)
                n += by_plane(h, tag, axis, from[axis], -1, from, to, &metal, &list[n]);
        }
    }
    return n;
}

/* Whether some path listed is shorter or as short, and as strong. Solids are read from a table that
 * beyond 0.4 m takes the absorption at the middle of the band: 0.1 dB where 40 are lost. */
static bool is_hidden(const aw_link_trace *t, const mirror *m)
{
    for (size_t i = 0; i < t->n_paths; i++)
        if (t->paths[i].excess <= m->excess + 1e-9 && t->paths[i].power_dbm >= m->power - 0.1)
            return true;
    return false;
}

START_TEST(mirrored_paths_are_those_of_every_face)
{
    uint64_t state = 1000 + (uint64_t)_i;
    size_t mirrored = 0;
    for (int hall_no = 0; hall_no < 50; hall_no++) {
        hall h;
        build_random(&h, &state);
        for (int k = 0; k < 10; k++) {
            const double tag[3] = {test_between(&state, 0.5, 39.5), test_between(&state, 0.5, 19.5),
                                   test_between(&state, 0.5, 3)};
            if (is_inside_a_body(&h, tag) || is_inside_a_body(&h, h.scenario.anchors[0].at))
                continue;
            mirror list[6 + 5 * BOXES];
            const size_t n = all_mirrors(&h, tag, list);
            const aw_link_trace t = trace_from(&h, tag[0], tag[1], tag[2]);
            for (size_t i = 0; i < t.n_paths; i++) {
                double off = t.paths[i].kind == AW_PATH_MIRRORED ? HUGE_VAL : 0;
                for (size_t m = 0; m < n; m++)
                    off = fmin(off, fabs(t.paths[i].excess - list[m].excess) +
                                        1e-3 * fabs(t.paths[i].loss_db - list[m].loss_db));
                ck_assert_double_lt(off, 1e-4);
                mirrored += t.paths[i].kind == AW_PATH_MIRRORED;
            }
            /* What is left out is hidden by a path that is listed, too weak beside the strongest,
             * or not found once in a million fades. */
            const double noise = aw_noise_dbm(499.2e6) + 6 - 10 * log10(128 * 508);
            const double never = noise + 12 - 4.75 * 4.3;
            const double strongest = t.n_paths > 0 ? t.paths[t.n_paths - 1].power_dbm : -HUGE_VAL;
            for (size_t m = 0; m < n && t.n_paths < AW_OUTCOMES; m++)
                ck_assert(is_hidden(&t, &list[m]) || list[m].power < strongest - 24.9 ||
                          list[m].power < never + 0.1);
        }
        pull_down(&h);
    }
    ck_assert_uint_gt(mirrored, 50);
}
END_TEST

/* Whether the hall's wall at y = 20 is among the mirrors of a link past a screen. */
static bool is_mirrored_beside(const char *outline, const char *wall)
{
    static const double spot[3] = {35, 18, 1}, image[3] = {5, 32, 3};
    char text[1024];
    aw_scenario s;
    aw_link_trace t;
    bool found = false;
    snprintf(
        text, sizeof text,
        "anchorwise: 1\ntitle: hall\nradio: {scattered: false, receiver: {sensitivity_dbm: -200}}\n"
        "floor: {outline: [[0, 0], [40, 0], [40, 20], %s], ceiling: 8, material: air, "
        "ceiling_material: air, wall_material: %s}\n"
        "walls: [{name: w, path: [[30.5, 14.5], [30.5, 16.8]], thickness: 0.2, material: "
        "metal}]\nanchors: [{name: A, at: [5, 8, 3]}]\ntags: [{name: t}]\n",
        outline, wall);
    read_text(&s, text);
    aw_scene *scene = aw_scene_create(&s);
    aw_link_trace_at(scene, spot, &s.anchors[0], &t);
    const double excess = apart(spot, image) - apart(spot, s.anchors[0].at);
    for (size_t i = 0; i < t.n_paths; i++)
        found = found ||
                (t.paths[i].kind == AW_PATH_MIRRORED && fabs(t.paths[i].excess - excess) < 1e-9 &&
                 strcmp(t.paths[i].meets, "outline") == 0);
    aw_scene_free(scene);
    aw_scenario_free(&s);
    return found;
}

/* From (30.7, 20) to (5, 8) the leg leaves a hall whose corner at (20, 10) is cut out. */
START_TEST(the_outline_mirrors_what_stays_within_it)
{
    ck_assert(is_mirrored_beside("[0, 20]", "concrete"));
    ck_assert(is_mirrored_beside("[0, 20]", "metal"));
    ck_assert(!is_mirrored_beside("[0, 20]", "air"));
    ck_assert(!is_mirrored_beside("[20, 20], [20, 10], [0, 10]", "concrete"));
}
END_TEST

/* The link past a wall of that material, and what the wall's face mirrors head on. */
static aw_link_trace past_a_wall(const char *material, double *mirrored_db)
{
    char text[1024];
    hall h;
    snprintf(text, sizeof text,
             "walls: [{name: w, path: [[2, 12], [36, 12]], thickness: 0.1, top: 5, material: %s}]\n"
             "anchors: [{name: A, at: [20, 16, 1]}]\n",
             material);
    build(&h, false, text);
    aw_link_trace behind = trace_from(&h, 20, 10, 1);
    ck_assert_uint_gt(h.scene->air->n_faces, 0);
    *mirrored_db = aw_loss_by_angle_at(h.scene->air->faces[0].angles, 1);
    pull_down(&h);
    for (size_t i = 0; i < behind.n_paths; i++)
        behind.paths[i].meets = NULL; /* the name went with its scenario */
    return behind;
}

/* Board of thickness d on a conductor, head on: with R of its face from air and p = e^(-j2q) the
 * field turned back is (R - p)/(1 - R p). */
static double backed_board_db(void)
{
    const aw_channel five = aw_channel_of(5);
    double power = 0;
    for (int i = 0; i < 32; i++) {
        const double hz = five.centre + five.bandwidth * ((i + 0.5) / 32 - 0.5);
        const double sigma = 0.0085 * pow(hz * 1e-9, 0.9395);
        const double complex root =
            csqrt(2.73 - (double complex)I * sigma / (2 * M_PI * hz * 8.8541878128e-12));
        const double complex r = (1 - root) / (1 + root);
        const double complex p =
            cexp((double complex)I * -4 * M_PI * hz / AW_LIGHT * 0.0125 * root);
        power += pow(cabs((r - p) / (1 - r * p)), 2) / 32;
    }
    return -10 * log10(power);
}

START_TEST(a_leaf_of_metal_stops_and_mirrors)
{
    double of_metal, of_panel, of_board;
    const aw_link_trace metal = past_a_wall("metal", &of_metal);
    const aw_link_trace panel = past_a_wall("panel", &of_panel);
    const aw_link_trace board = past_a_wall("foiled", &of_board);
    ck_assert_uint_gt(metal.n_paths, 0);
    ck_assert_uint_eq(panel.n_paths, metal.n_paths);
    ck_assert_uint_eq(board.n_paths, metal.n_paths);
    for (size_t i = 0; i < metal.n_paths; i++) {
        ck_assert(metal.paths[i].kind == AW_PATH_OVER || metal.paths[i].kind == AW_PATH_AROUND);
        ck_assert_double_eq(panel.paths[i].power_dbm, metal.paths[i].power_dbm);
        ck_assert_double_eq(board.paths[i].excess, metal.paths[i].excess);
    }
    ck_assert_double_eq_tol(of_panel, of_metal, 1e-6);
    ck_assert_double_eq_tol(of_board, backed_board_db(), 0.005);
    ck_assert_double_gt(of_board, of_metal + 0.01);
}
END_TEST

/* The same list with tag and anchor exchanged, whatever its paths. */
START_TEST(paths_are_the_same_the_other_way)
{
    uint64_t state = 2000 + (uint64_t)_i;
    size_t kinds[AW_PATH_MIXED + 1] = {0};
    for (int hall_no = 0; hall_no < 60; hall_no++) {
        hall h;
        build_random(&h, &state);
        for (int k = 0; k < 10; k++) {
            aw_anchor other = h.scenario.anchors[0];
            const double tag[3] = {test_between(&state, 0.5, 39.5), test_between(&state, 0.5, 19.5),
                                   test_between(&state, 0.5, 3)};
            if (is_inside_a_body(&h, tag) || is_inside_a_body(&h, other.at))
                continue;
            const aw_link_trace there = trace_from(&h, tag[0], tag[1], tag[2]);
            aw_link_trace back;
            const double from[3] = {other.at[0], other.at[1], other.at[2]};
            for (int c = 0; c < 3; c++)
                other.at[c] = tag[c];
            aw_link_trace_at(h.scene, from, &other, &back);
            ck_assert_uint_eq(there.n_paths, back.n_paths);
            for (size_t i = 0; i < there.n_paths; i++) {
                ck_assert(there.paths[i].kind == back.paths[i].kind);
                ck_assert_double_eq_tol(there.paths[i].excess, back.paths[i].excess, 1e-9);
                ck_assert_double_eq_tol(there.paths[i].power_dbm, back.paths[i].power_dbm, 1e-6);
                kinds[there.paths[i].kind]++;
            }
        }
        pull_down(&h);
    }
    for (int k = 0; k <= AW_PATH_MIXED; k++)
        ck_assert_msg(kinds[k] > 2 || k == AW_PATH_UNDER, "%d: %zu", k, kinds[k]);
}
END_TEST

/* Rows ask only the bodies in whose shadow a place lies; the links are those of single spots. */
START_TEST(rows_and_spots_agree_to_the_bit)
{
    uint64_t state = 2500 + (uint64_t)_i;
    for (int hall_no = 0; hall_no < 20; hall_no++) {
        hall h;
        build_random(&h, &state);
        const double first[3] = {0.25, test_between(&state, 0.5, 19.5),
                                 test_between(&state, 0.5, 3)};
        aw_shadows *shadows = aw_shadows_create(h.scene);
        aw_shadows_cast(shadows, first, 0.5, 79);
        for (size_t i = 0; i < 79; i++) {
            const double spot[3] = {first[0] + (double)i * 0.5, first[1], first[2]};
            aw_link row = {0}, alone = {0};
            aw_links_in_row(shadows, i, spot, &row);
            aw_links_at(h.scene, spot, &alone);
            ck_assert(row.state == alone.state && row.n_outcomes == alone.n_outcomes);
            ck_assert(row.white == alone.white && row.believed == alone.believed);
            ck_assert(row.lost_db == alone.lost_db && row.loss_db == alone.loss_db);
            for (size_t k = 0; k < row.n_outcomes; k++)
                ck_assert(row.outcomes[k].excess == alone.outcomes[k].excess &&
                          row.outcomes[k].fade_db == alone.outcomes[k].fade_db &&
                          row.outcomes[k].name == alone.outcomes[k].name);
        }
        aw_shadows_free(shadows);
        pull_down(&h);
    }
}
END_TEST

/* What the receiver times at a fade: the first path above noise and dynamic range, if the frame is
 * received at all; NaN if not. */
static double timed_at(const aw_link_trace *t, const aw_radio *r, double fade)
{
    const double noise =
        aw_noise_dbm(r->channel.bandwidth) + r->receiver.noise_figure_db - aw_processing_gain_db(r);
    double total = -HUGE_VAL, strongest = -HUGE_VAL;
    for (size_t i = 0; i < t->n_paths; i++) {
        total = aw_dbm_sum(total, t->paths[i].power_dbm - fade);
        strongest = fmax(strongest, t->paths[i].power_dbm - fade);
    }
    for (size_t i = 0; i < t->n_paths && total >= r->receiver.sensitivity_dbm; i++) {
        const double power = t->paths[i].power_dbm - fade;
        if (power >= noise + r->receiver.detect_db && power >= strongest - r->receiver.dynamic_db)
            return t->paths[i].excess;
    }
    return (double)NAN;
}

static double outcome_at(const aw_link *link, double fade)
{
    double excess = (double)NAN;
    for (size_t k = 0; k < link->n_outcomes && fade <= link->lost_db; k++)
        if (fade >= link->outcomes[k].fade_db)
            excess = link->outcomes[k].excess;
    return excess;
}

START_TEST(a_law_times_what_the_receiver_finds_first)
{
    uint64_t state = 3000 + (uint64_t)_i;
    size_t lost = 0, several = 0;
    for (int hall_no = 0; hall_no < 60; hall_no++) {
        hall h;
        build_random(&h, &state);
        h.scenario.radio.receiver.sensitivity_dbm = hall_no % 2 == 0 ? -94 : -110;
        for (int k = 0; k < 10; k++) {
            const aw_link_trace t =
                trace_from(&h, test_between(&state, 0.5, 39.5), test_between(&state, 0.5, 19.5),
                           test_between(&state, 0.5, 3));
            double bias = 0, received = 0, first[AW_OUTCOMES] = {0};
            const int n = 8001;
            for (int i = 0; i < n; i++) {
                const double z = -5 + 10.0 * i / (n - 1),
                             share = exp(-z * z / 2) * 10 / (n - 1) / sqrt(2 * M_PI);
                const double fade = z * t.link.fade_sigma,
                             want = timed_at(&t, &h.scenario.radio, fade);
                const double got = outcome_at(&t.link, fade);
                if (t.received > 1e-3)
                    ck_assert(isnan(got) == isnan(want) || share < 1e-7);
                if (isnan(want))
                    continue;
                received += share;
                bias += share * want;
                for (size_t p = 0; p < t.n_paths; p++)
                    first[p] += t.paths[p].excess == want ? share : 0;
            }
            ck_assert_double_eq_tol(t.received, received, 1e-3);
            for (size_t p = 0; p < t.n_paths; p++)
                ck_assert_double_eq_tol(t.paths[p].first, first[p], 1e-3);
            if (received > 0.01)
                ck_assert_double_eq_tol(t.bias, bias / received, 1e-2 * (1 + t.bias));
            lost += t.link.n_outcomes == 0;
            several += t.link.n_outcomes > 1;
        }
        pull_down(&h);
    }
    ck_assert_uint_gt(lost, 10);
    ck_assert_uint_gt(several, 10);
}
END_TEST

/* A clear link of 20 m and one through a board: power, signal to noise, white and believed errors
 * by hand. */
START_TEST(errors_of_a_link_follow_from_its_power)
{
    hall h;
    build(&h, false,
          "ranging: {spot_sigma: 0.1, survey_sigma: 0.02}\n"
          "anchors: [{name: A, at: [4, 10, 1]}]\n");
    const aw_link_trace t = trace_from(&h, 24, 10, 1);
    /* -14.317 dBm, 74.713 dB: -89.030 dBm; noise -86.992 + 6 - 48.131: -129.123 dBm. */
    ck_assert_double_eq_tol(t.paths[0].power_dbm, -89.030, 0.001);
    ck_assert_double_eq_tol(t.snr_db, 40.093, 0.001);
    const double bound = 0.234122 / pow(10, 40.093 / 20);
    ck_assert_double_eq_tol(t.link.white, sqrt(bound * bound + 0.0009), 1e-6);
    ck_assert_double_eq_tol(t.link.believed, sqrt(bound * bound + 0.0009 + 0.01 + 0.0004), 1e-6);
    ck_assert_double_eq(t.link.fade_sigma, 4.3);
    ck_assert_double_eq_tol(t.path_loss_db, 74.713, 0.001);
    ck_assert_double_eq_tol(t.law_db, 75.244, 0.001);
    ck_assert(!t.law_extrapolated);
    pull_down(&h);
}
END_TEST

/* The link of docs/radio.md, figure by figure. */
START_TEST(a_link_worked_by_hand)
{
    aw_link_trace t;
    aw_scenario s;
    read_text(&s,
              "anchorwise: 1\ntitle: One link by hand\nfloor: {outline: [[0, 0], [40, 0], [40, "
              "20], [0, 20]], ceiling: 8}\n"
              "radio: {channel: 5, receiver: {sensitivity_dbm: -106}}\n"
              "obstacles: [{name: tram, footprint: [[14, 4], [16.6, 4], [16.6, 16], [14, 16]], "
              "top: 3.6, material: metal}]\n"
              "walls: [{name: gate, path: [[28, 6], [28, 14]], thickness: 0.1, material: metal}]\n"
              "anchors: [{name: A, at: [8, 10, 7]}]\ntags: [{name: t, height: 1}]\n");
    aw_scene *scene = aw_scene_create(&s);
    aw_link_trace_at(scene, (double[3]){20, 10, 1}, &s.anchors[0], &t);
    ck_assert_double_eq_tol(t.link.range, 13.416, 5e-4);
    const aw_path *over = &t.paths[0], *mirrored = &t.paths[1], *scattered = &t.paths[2];
    ck_assert(t.n_paths == 3 && over->kind == AW_PATH_OVER && mirrored->kind == AW_PATH_MIRRORED &&
              scattered->kind == AW_PATH_SCATTERED);
    ck_assert_double_eq_tol(scattered->power_dbm, -91.78, 5e-3);
    ck_assert(!strcmp(over->meets, "tram") && !strcmp(mirrored->meets, "gate"));
    ck_assert_double_eq_tol(over->excess, 0.1115, 5e-5);
    ck_assert_double_eq_tol(over->loss_db, 22.82, 5e-3);
    ck_assert_double_eq_tol(over->power_dbm, -108.457, 5e-4);
    ck_assert_double_eq_tol(mirrored->excess, 15.121, 5e-4);
    ck_assert_double_eq_tol(mirrored->loss_db, 0.002, 5e-4);
    ck_assert_double_eq_tol(mirrored->power_dbm, -92.120, 5e-4);
    ck_assert_double_eq_tol(t.link.outcomes[1].fade_db, 8.667, 2e-3);
    ck_assert_double_eq_tol(over->found, 0.985, 5e-4);
    ck_assert_double_eq_tol(mirrored->first, 0, 1e-9);
    ck_assert_double_eq_tol(scattered->first, 0.0151, 5e-5);
    ck_assert_double_eq_tol(t.link.lost_db, 17.113, 2e-3);
    ck_assert_double_eq_tol(t.received, 1, 5e-5);
    ck_assert_double_eq_tol(t.bias, 0.116, 5e-4);
    ck_assert_double_eq_tol(t.snr_db, 20.67, 5e-3);
    ck_assert_double_eq_tol(t.link.white, 0.0370, 5e-5);
    ck_assert_double_eq_tol(t.link.believed, 0.0300, 5e-5);
    ck_assert_double_eq_tol(t.law_db, 74.57, 5e-3);
    ck_assert_double_eq_tol(t.path_loss_db, t.law_db, 1e-9);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("law");
    tcase_add_loop_test(c, mirrored_paths_are_those_of_every_face, 0, 4);
    tcase_add_test(c, the_outline_mirrors_what_stays_within_it);
    tcase_add_test(c, a_leaf_of_metal_stops_and_mirrors);
    tcase_add_loop_test(c, paths_are_the_same_the_other_way, 0, 2);
    tcase_add_loop_test(c, rows_and_spots_agree_to_the_bit, 0, 2);
    tcase_add_loop_test(c, a_law_times_what_the_receiver_finds_first, 0, 2);
    tcase_add_test(c, a_link_worked_by_hand);
    tcase_add_test(c, errors_of_a_link_follow_from_its_power);
    return c;
}

AW_TEST_MAIN("radio: law", all())
