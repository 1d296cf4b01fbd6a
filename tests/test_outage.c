/* Outages: linear estimates against a fresh computation without the anchors, verdicts against the
 * assessment of the layout without the anchor. */
#include "links.h"

#define HEAD                                                                                       \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[30,0],[30,18],[0,18]], ceiling: 7}\n"       \
    "obstacles:\n  - {name: press, footprint: [[11,6],[17,6],[17,9],[11,9]], top: 3, material: "   \
    "metal}\n"                                                                                     \
    "ranging: {sigma: 0.09, spot_sigma: 0.15, tail_share: 0.1, tail_sigma: 0.4, survey_sigma: "    \
    "0.02, delay_sigma: 0.02, range: 26}\n"                                                        \
    "tags:\n  - {name: t, height: 1.1, height_sigma: 0.08}\n"                                      \
    "zones:\n  - {name: west, outline: [[1,1],[9,1],[9,17],[1,17]], need: {p95: 0.9}}\n"           \
    "  - {name: east, outline: [[20,2],[29,2],[29,16],[20,16]], need: {p95: 1.5, share: 0.8}}\n"   \
    "study: {step: 1, draws: 320, seed: 4}\nanchors:\n"
#define A1    "  - {name: A1, at: [0.3, 0.4, 5]}\n"
#define A2    "  - {name: A2, at: [29.6, 0.5, 4.6]}\n"
#define A3    "  - {name: A3, at: [29.2, 17.7, 5.5]}\n"
#define A4    "  - {name: A4, at: [0.5, 17.2, 5.1]}\n"
#define A5    "  - {name: A5, at: [14.2, 17.6, 6]}\n"
#define A6    "  - {name: A6, at: [13.1, 0.2, 4]}\n"
#define FAR   "  - {name: far, at: [30, 900, 4]}\n"
#define EVERY A1 A2 A3 A4 A5 A6

static void run(aw_outage *o, aw_scenario *s, const char *yaml)
{
    aw_errors errors = {0};
    read_text(s, yaml);
    ck_assert(aw_outage_run(o, s, &(aw_run){2, NULL, &errors}));
    ck_assert_uint_eq(errors.n_errors, 0);
}

/* Mean share within a radius over a zone's cells without some anchors, each cell by a fresh pass
 * over its links and 64-point quadrature. */
static double share_without(const aw_scenario *s, const aw_zone *z, const aw_loss *loss,
                            double radius)
{
    aw_errors errors = {0};
    aw_grid grid;
    aw_link links[16];
    aw_scene *scene = aw_scene_create(s);
    double sum = 0;
    ck_assert(aw_grid_lay_zone(&grid, s, z, &errors));
    for (size_t i = 0; i < grid.n; i++) {
        const aw_point at = aw_grid_centre(&grid, grid.number[i]);
        const double spot[3] = {at.x, at.y, s->tags[0].height};
        aw_links_at(scene, spot, links);
        for (size_t k = 0; k < loss->n; k++)
            links[loss->anchor[k]].n_outcomes = 0;
        const aw_bound b = aw_bound_at(links, s->n_anchors, AW_FIX_2D);
        const aw_error_law law = aw_bound_error_law(&b, s->tags[0].height_sigma);
        if (b.status == AW_BOUND_OK)
            sum += aw_error_law_share(&law, radius);
    }
    sum /= (double)grid.n;
    aw_grid_free(&grid);
    aw_scene_free(scene);
    return sum;
}

START_TEST(instant_figures_equal_a_fresh_pass_without_the_anchors)
{
    aw_scenario s;
    aw_outage o;
    run(&o, &s, HEAD EVERY);
    ck_assert_uint_eq(o.n_losses, 1 + 6 + 15);
    for (size_t zone = 0; zone < 2; zone++) {
        /* With none lost the scaled figure is the draws' own. */
        ck_close(aw_outage_at(&o, zone + 1, 0)->p95, o.intact[zone].errors.p95, 1e-6);
        for (size_t loss = 1; loss < o.n_losses; loss++) {
            const aw_loss_figures *f = aw_outage_at(&o, zone + 1, loss);
            const double none = aw_outage_at(&o, zone + 1, 0)->p95;
            if (!isfinite(f->p95)) {
                ck_assert_double_lt(share_without(&s, &s.zones[zone], &o.losses[loss], 1e4), 0.95);
                continue;
            }
            /* The scale cancels in the ratio of two linear estimates. */
            double low = 0, high = 50;
            const aw_loss nothing = {0};
            for (int i = 0; i < 40; i++) {
                const double r = (low + high) / 2;
                if (share_without(&s, &s.zones[zone], &nothing, r) < 0.95)
                    low = r;
                else
                    high = r;
            }
            const double plain = low * f->p95 / none;
            ck_assert_double_le(
                fabs(share_without(&s, &s.zones[zone], &o.losses[loss], plain) - 0.95), 5e-5);
        }
    }
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

static const char *const without[] = {HEAD A2 A3 A4 A5 A6, HEAD A1 A3 A4 A5 A6,
                                      HEAD A1 A2 A4 A5 A6, HEAD A1 A2 A3 A5 A6,
                                      HEAD A1 A2 A3 A4 A6, HEAD A1 A2 A3 A4 A5};

/* The layout written without the anchor, assessed: the confirmed loss is it to the last bit, and
 * no other single loss has a worse verdict. */
START_TEST(a_verdict_is_that_of_the_layout_without_the_anchor)
{
    static const int badness[] = {
        [AW_NO_NEED] = 0, [AW_MET] = 1, [AW_UNDECIDED] = 2, [AW_NOT_MET] = 3};
    aw_scenario s, t;
    aw_outage o;
    aw_errors errors = {0};
    run(&o, &s, HEAD EVERY);
    for (size_t zone = 0; zone < 2; zone++) {
        const aw_sturdy *sturdy = &o.sturdy[zone];
        int worst = 0;
        for (size_t i = 0; i < 6; i++) {
            aw_zone_result r;
            read_text(&t, without[i]);
            ck_assert(aw_assess_zone(&r, &t, &t.zones[zone], &(aw_run){1, NULL, &errors}));
            worst = badness[r.verdict] > worst ? badness[r.verdict] : worst;
            if (sturdy->loss == i + 1) {
                ck_assert_double_eq(r.errors.p95, sturdy->confirmed.errors.p95);
                ck_assert_int_eq(r.verdict, sturdy->verdict);
            }
            aw_scenario_free(&t);
        }
        ck_assert_int_eq(badness[sturdy->verdict], worst);
    }
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

/* Drawn figures stand where losses were drawn and nowhere else, and there they judge. */
START_TEST(drawn_figures_stand_beside_the_estimates_where_losses_were_drawn)
{
    aw_scenario s;
    aw_outage o;
    size_t drawn = 0;
    run(&o, &s, HEAD EVERY);
    for (size_t place = 0; place < o.n_places; place++)
        for (size_t loss = 0; loss < o.n_losses; loss++) {
            const aw_loss_figures *f = aw_outage_at(&o, place, loss);
            drawn += f->is_drawn;
            ck_assert_int_eq(f->is_drawn, !isnan(f->drawn_fix_share));
            ck_assert(f->is_drawn || isnan(f->drawn_p95));
            ck_assert(!f->is_drawn || loss <= o.n_singles);
        }
    ck_assert_uint_ge(drawn, 3 + 2 * 3); /* none for each place, at least three for each zone */
    ck_assert_uint_le(drawn, 3 + 2 * 6);
    for (size_t zone = 0; zone < 2; zone++) {
        const aw_loss_figures *f = aw_outage_at(&o, zone + 1, o.sturdy[zone].loss);
        ck_assert_double_eq(f->drawn_p95, o.sturdy[zone].confirmed.errors.p95);
        ck_assert_int_eq(f->falls_short, o.sturdy[zone].verdict == AW_NOT_MET);
    }
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

/* In space, with one anchor high up: its loss leaves the plan almost as it was and takes the
 * height, which the linear estimates of the height must point to. */
#define SPACE                                                                                      \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[20,0],[20,14],[0,14]], ceiling: 12}\n"      \
    "ranging: {sigma: 0.09, spot_sigma: 0.12}\ntags:\n  - {name: t, height: 1, fix: 3d}\n"         \
    "zones:\n  - {name: all, outline: [[3,3],[17,3],[17,11],[3,11]], need: {p95: 1.5, "            \
    "vertical_p95: 1.3}}\nstudy: {step: 1, draws: 320}\nanchors:\n"                                \
    "  - {name: L1, at: [0.3, 0.4, 4]}\n  - {name: L2, at: [19.6, 0.5, 4.4]}\n"                    \
    "  - {name: L3, at: [19.2, 13.7, 3.8]}\n  - {name: L4, at: [0.5, 13.2, 4.2]}\n"                \
    "  - {name: L5, at: [10.3, 0.2, 4.1]}\n  - {name: L6, at: [9.1, 13.6, 3.9]}\n"
#define HIGH "  - {name: H, at: [10.2, 7.1, 11.5]}\n"

START_TEST(the_loss_that_takes_the_height_is_found)
{
    aw_scenario s, t;
    aw_outage o;
    aw_errors errors = {0};
    aw_zone_result r;
    run(&o, &s, SPACE HIGH);
    read_text(&t, SPACE);
    ck_assert(aw_assess_zone(&r, &t, &t.zones[0], &(aw_run){1, NULL, &errors}));
    ck_assert_int_eq(r.verdict, AW_NOT_MET);
    ck_assert_int_eq(r.parts[AW_PART_P95].verdict, AW_MET);
    ck_assert_int_eq(o.intact[0].verdict, AW_MET);
    ck_assert_int_eq(o.sturdy[0].verdict, AW_NOT_MET);
    ck_assert_uint_eq(o.sturdy[0].loss, 7);
    ck_assert_double_eq(o.sturdy[0].confirmed.errors.vertical_p95, r.errors.vertical_p95);
    ck_assert(aw_outage_at(&o, 1, 7)->falls_short);
    ck_close(aw_outage_at(&o, 1, 0)->vertical_p95, o.intact[0].errors.vertical_p95, 1e-5);
    aw_outage_free(&o);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

/* One question, one figure: with all anchors, drawn figures are those of the assessment. */
START_TEST(what_is_drawn_with_all_anchors_is_what_assess_says)
{
    aw_scenario s;
    aw_outage o;
    aw_assessment a;
    aw_errors errors = {0};
    run(&o, &s, _i == 0 ? HEAD EVERY : SPACE HIGH);
    ck_assert(aw_assess_run(&a, &s, &(aw_run){2, NULL, &errors}));
    ck_assert_double_eq(aw_outage_at(&o, 0, 0)->drawn_p95, a.floor.p95);
    ck_assert_double_eq(aw_outage_at(&o, 0, 0)->drawn_fix_share, a.floor.fix_share);
    ck_assert_int_eq(isnan(a.floor.worst_p95), _i == 0);
    ck_assert(isnan(o.worst[0].p95) || o.worst[0].p95 == a.floor.worst_p95);
    ck_assert_int_eq(isnan(o.worst[0].p95), isnan(a.floor.worst_p95));
    ck_assert_mem_eq(o.worst[0].at, a.floor.worst_at, sizeof a.floor.worst_at);
    for (size_t zone = 0; zone < s.n_zones; zone++) {
        const aw_loss_figures *f = aw_outage_at(&o, zone + 1, 0);
        ck_assert_double_eq(f->drawn_p95, a.zones[zone].errors.p95);
        ck_assert_double_eq(f->drawn_share, a.zones[zone].parts[AW_PART_SHARE].found.value);
        ck_assert_double_eq(f->drawn_fix_share, a.zones[zone].errors.fix_share);
        ck_assert_int_eq(f->falls_short, a.zones[zone].verdict == AW_NOT_MET);
    }
    aw_assessment_free(&a);
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(an_anchor_that_nobody_hears_changes_nothing)
{
    aw_scenario s;
    aw_outage o;
    run(&o, &s, HEAD EVERY FAR);
    ck_assert(aw_outage_is_idle(&o, 7));
    for (size_t loss = 1; loss < 7; loss++)
        ck_assert(!aw_outage_is_idle(&o, loss));
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(two_of_four_anchors_lost_leave_no_position)
{
    aw_scenario s;
    aw_outage o;
    run(&o, &s, HEAD A1 A2 A3 A4);
    for (size_t loss = 5; loss < o.n_losses; loss++) {
        ck_assert_uint_eq(o.losses[loss].n, 2);
        ck_assert_double_eq(aw_outage_at(&o, 0, loss)->no_fix, 1);
        ck_assert(isinf(aw_outage_at(&o, 1, loss)->p95));
        ck_assert(aw_outage_at(&o, 1, loss)->falls_short);
    }
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

/* What one loss does alone is not put down to a pair. */
START_TEST(a_pair_matters_only_where_neither_anchor_does_alone)
{
    aw_scenario s;
    aw_outage o;
    size_t mattering = 0;
    run(&o, &s, HEAD EVERY);
    for (size_t place = 1; place < o.n_places; place++)
        for (size_t loss = 7; loss < o.n_losses; loss++) {
            const aw_loss *l = &o.losses[loss];
            const bool alone = aw_outage_at(&o, place, 1 + l->anchor[0])->falls_short ||
                               aw_outage_at(&o, place, 1 + l->anchor[1])->falls_short;
            ck_assert_int_eq(aw_outage_pair_matters(&o, place, loss),
                             aw_outage_at(&o, place, loss)->falls_short && !alone);
            mattering += aw_outage_pair_matters(&o, place, loss);
        }
    ck_assert_uint_gt(mattering, 0);
    aw_outage_free(&o);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(threads_change_nothing)
{
    aw_scenario s;
    aw_outage one, three;
    aw_errors errors = {0};
    read_text(&s, HEAD EVERY);
    ck_assert(aw_outage_run(&one, &s, &(aw_run){1, NULL, &errors}));
    ck_assert(aw_outage_run(&three, &s, &(aw_run){3, NULL, &errors}));
    for (size_t i = 0; i < one.n_losses * one.n_places; i++) {
        ck_assert_mem_eq(&one.figures[i].p95, &three.figures[i].p95, sizeof(double));
        ck_assert_mem_eq(&one.figures[i].share, &three.figures[i].share, sizeof(double));
    }
    for (size_t i = 0; i <= one.n_singles; i++)
        ck_assert_mem_eq(&one.worst[i], &three.worst[i], sizeof one.worst[i]);
    aw_outage_free(&one);
    aw_outage_free(&three);
    aw_scenario_free(&s);
}
END_TEST

static TCase *outages(void)
{
    TCase *tc = tcase_create("outages");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, instant_figures_equal_a_fresh_pass_without_the_anchors);
    tcase_add_test(tc, a_verdict_is_that_of_the_layout_without_the_anchor);
    tcase_add_loop_test(tc, what_is_drawn_with_all_anchors_is_what_assess_says, 0, 2);
    tcase_add_test(tc, drawn_figures_stand_beside_the_estimates_where_losses_were_drawn);
    tcase_add_test(tc, the_loss_that_takes_the_height_is_found);
    tcase_add_test(tc, an_anchor_that_nobody_hears_changes_nothing);
    tcase_add_test(tc, two_of_four_anchors_lost_leave_no_position);
    tcase_add_test(tc, a_pair_matters_only_where_neither_anchor_does_alone);
    tcase_add_test(tc, threads_change_nothing);
    return tc;
}

AW_TEST_MAIN("outage", outages())
