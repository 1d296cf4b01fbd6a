/* A hall with a press, crates and an office, and spots explained in it. */
#ifndef AW_TESTS_EXPLAINED_H
#define AW_TESTS_EXPLAINED_H

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
    aw_link links[32];
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

#endif
