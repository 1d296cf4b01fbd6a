/* Variants in memory against the scenario written by hand, what they leave alone, and both kinds of
 * variant when memory runs out. */
#include "bay.h"
#include "refusing.h"

/* --- one setter each --- */

typedef bool setter(aw_varied *v);

static bool move_an_anchor(aw_varied *v)
{
    return aw_varied_move_anchor(v, 1, (const double[3]){9, 0.5, 3});
}

static bool add_an_anchor(aw_varied *v)
{
    aw_anchor list[6];
    memcpy(list, v->scenario.anchors, 5 * sizeof *list);
    list[5] = (aw_anchor){.name = "P9", .at = {6, 4, 4.9}};
    aw_anchor_set_key(list, 6, 5);
    return aw_varied_add_anchor(v, &list[5]);
}

static bool drop_an_anchor(aw_varied *v)
{
    return aw_varied_drop_anchor(v, 1);
}

static bool drop_the_last_anchor(aw_varied *v)
{
    return aw_varied_drop_anchor(v, 4);
}

static bool drop_an_obstacle(aw_varied *v)
{
    return aw_varied_drop_obstacle(v, 0);
}

static bool move_the_tops(aw_varied *v)
{
    return aw_varied_move_tops(v, 0.25);
}

static bool sink_the_tops(aw_varied *v)
{
    return aw_varied_move_tops(v, -2.25);
}

static bool scale_the_materials(aw_varied *v)
{
    return aw_varied_scale_materials(v, 4, 2) && aw_varied_drop_obstacle(v, 1);
}

static bool change_the_tags(aw_varied *v)
{
    return aw_varied_change_tags(v, 0.5, 3);
}

static bool set_a_need(aw_varied *v)
{
    aw_zone *zones = aw_varied_zones(v);
    if (zones != NULL)
        zones[0].need.p95 = 0.25;
    return zones != NULL;
}

static bool set_an_error(aw_varied *v)
{
    v->scenario.ranging.sigma = 0.25;
    return true;
}

static bool assume_an_error(aw_varied *v)
{
    return aw_varied_assume(v, AW_ASSUME_SIGMA, 0.25);
}

static bool assume_all(aw_varied *v)
{
    double values[AW_ASSUMPTIONS];
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        values[a] = (double)NAN;
    values[AW_ASSUME_SIGMA] = 0.25;
    values[AW_ASSUME_TOPS] = 0.25;
    return aw_varied_assume_all(v, values);
}

/* Tops of 2.5 and 3 m; the rack stands on the floor, the crane half a metre over it. */

static const struct set {
    setter *set;
    const char *piece, *otherwise, *piece_2, *otherwise_2;
} sets[] = {
    {move_an_anchor, "[11.8, 0.2, 4.2]", "[9, 0.5, 3]", NULL, NULL},
    {add_an_anchor, "tags:", "  - {name: P9, at: [6, 4, 4.9]}\ntags:", NULL, NULL},
    {drop_an_anchor, "  - {name: P2, at: [11.8, 0.2, 4.2]} # by the gate\n", "", NULL, NULL},
    {drop_the_last_anchor, "  - {name: 0, at: [6, 8.8, 4.4]}\n", "", NULL, NULL},
    {drop_an_obstacle, CRANE, "", NULL, NULL},
    {move_the_tops, "top: 2.5", "top: 2.75", "top: 3\n", "top: 3.25\n"},
    {sink_the_tops, "top: 2.5", "top: 0.51", "top: 3\n", "top: 0.75\n"},
    {scale_the_materials, "loss_db: 9, delay: 0.1", "loss_db: 36, delay: 0.2", RACK, ""},
    {change_the_tags, "height: 1.2", "height: 1.7", "height: 2,", "height: 2.5,"},
    {set_a_need, "p95: 0.5", "p95: 0.25", NULL, NULL},
    {set_an_error, "sigma: 0.1, spot", "sigma: 0.25, spot", NULL, NULL},
    {assume_an_error, "sigma: 0.1, spot", "sigma: 0.25, spot", NULL, NULL},
    {assume_all, "sigma: 0.1, spot", "sigma: 0.25, spot", "top: 3\n", "top: 3.25\n"},
};

START_TEST(a_variant_is_the_scenario_written_by_hand_and_leaves_the_first_alone)
{
    const struct set *x = &sets[_i];
    aw_scenario s;
    char *hand = written(site, x->piece, x->otherwise);
    if (x->piece_2 != NULL) {
        char *first = hand;
        hand = written(first, x->piece_2, x->otherwise_2);
        free(first);
    }
    if (x->set == assume_all) {
        char *first = hand;
        hand = written(first, "top: 2.5", "top: 2.75");
        free(first);
    }
    read_text(&s, site);
    char *before = tell(&s), *wanted = tell_text(hand);
    aw_varied v = aw_vary(&s);
    ck_assert(x->set(&v));
    char *found = tell(&v.scenario), *after = tell(&s);
    ck_assert_str_eq(found, wanted);
    ck_assert_str_eq(after, before);
    ck_assert_str_ne(found, before);
    free(before);
    free(wanted);
    free(found);
    free(after);
    free(hand);
    aw_varied_free(&v);
    aw_varied_free(&v); /* of a zeroed one */
    aw_scenario_free(&s);
}
END_TEST

START_TEST(only_what_changes_is_copied)
{
    aw_scenario s;
    read_text(&s, site);
    aw_varied v = aw_vary(&s);
    ck_assert_ptr_null(v.scenario.memory);
    ck_assert(aw_varied_move_anchor(&v, 0, (const double[3]){1, 1, 1}));
    const aw_anchor *own = v.scenario.anchors;
    ck_assert_ptr_ne(own, s.anchors);
    ck_assert_ptr_eq(v.scenario.obstacles, s.obstacles);
    ck_assert_ptr_eq(v.scenario.walls, s.walls);
    ck_assert_ptr_eq(v.scenario.materials, s.materials);
    ck_assert_ptr_eq(v.scenario.tags, s.tags);
    ck_assert_ptr_eq(v.scenario.zones, s.zones);
    ck_assert(aw_varied_move_anchor(&v, 1, (const double[3]){2, 2, 2}));
    ck_assert_ptr_eq(v.scenario.anchors, own); /* once */
    ck_assert(v.scenario.anchors[0].at[0] == 1 && v.scenario.anchors[1].at[0] == 2);
    ck_assert_ptr_nonnull(aw_varied_walls(&v)); /* there are none */
    ck_assert_uint_eq(v.scenario.n_walls, 0);
    aw_varied_free(&v);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(every_anchor_may_go)
{
    aw_scenario s;
    read_text(&s, site);
    aw_varied v = aw_vary(&s);
    for (size_t n = s.n_anchors; n > 0; n--) {
        ck_assert_uint_eq(v.scenario.n_anchors, n);
        ck_assert_str_eq(v.scenario.anchors[n - 1].name, s.anchors[s.n_anchors - 1].name);
        ck_assert(aw_varied_drop_anchor(&v, 0));
    }
    ck_assert_uint_eq(v.scenario.n_anchors, 0);
    ck_assert(aw_varied_add_anchor(&v, &s.anchors[2]));
    ck_assert_str_eq(v.scenario.anchors[0].name, "P3");
    aw_varied_free(&v);
    aw_scenario_free(&s);
}
END_TEST

static TCase *in_memory(void)
{
    TCase *tc = tcase_create("in memory");
    tcase_add_loop_test(tc, a_variant_is_the_scenario_written_by_hand_and_leaves_the_first_alone, 0,
                        (int)(sizeof sets / sizeof *sets));
    tcase_add_test(tc, only_what_changes_is_copied);
    tcase_add_test(tc, every_anchor_may_go);
    return tc;
}

/* --- memory that runs out --- */

#ifdef FAILING_ALLOCATOR

static void read_varied(outcome *o, const aw_change changes[], size_t n)
{
    aw_errors errors = {0};
    aw_scenario s;
    aw_text text = {0};
    aw_text_add(&text, site);
    if (text.failed) { /* once more, so that it is not all that is asked for */
        text = (aw_text){0};
        aw_text_add(&text, site);
    }
    if (!text.failed) {
        o->done = aw_scenario_vary(&s, &text, changes, n, &errors);
        if (o->done)
            aw_scenario_summary(&s, "site", &o->text);
        aw_text_add(&o->text, text.at);
        aw_scenario_free(&s);
    }
    o->blamed = text.failed || o->text.failed || aw_errors_out_of_memory(&errors);
    for (size_t i = 0; i < errors.n; i++)
        aw_text_format(&o->text, "%s\n", errors.list[i].text);
    o->blamed = o->blamed || o->text.failed;
    aw_text_free(&text);
    aw_errors_free(&errors);
}

static void vary_soundly(outcome *o)
{
    static const aw_change changes[] = {{"obstacles.crane.base", "1"},
                                        {"zones.lane.need.p95", "0.5"},
                                        {"obstacles.1.present", "false"},
                                        {"anchors[]", "{name: P9, at: [6, 4, 4.9]}"}};
    read_varied(o, changes, 4);
}

static void vary_wrongly(outcome *o)
{
    static const aw_change unknown[] = {{"obstacles.crnae.base", "1"}};
    static const aw_change low[] = {{"obstacles.crane.base", "99"}};
    outcome first = {0};
    read_varied(&first, unknown, 1);
    read_varied(o, low, 1);
    o->blamed = o->blamed || first.blamed;
    aw_text_free(&first.text);
}

START_TEST(a_text_is_varied_or_memory_is_blamed)
{
    refuse_each(vary_soundly);
    refuse_each(vary_wrongly);
}
END_TEST

/* Without memory a setter says so, and the variant is as it was. */
START_TEST(a_variant_without_memory_is_as_it_was)
{
    aw_scenario s;
    read_text(&s, site);
    for (size_t k = 0; k < sizeof sets / sizeof *sets; k++) {
        if (sets[k].set == set_an_error || sets[k].set == assume_an_error ||
            sets[k].set == assume_all)
            continue; /* these take none, or have changed something by then */
        const long before = atomic_load(&live);
        aw_varied v = aw_vary(&s);
        start_refusing(0, true);
        const bool done = sets[k].set(&v);
        ck_assert_int_gt(stop_refusing(), 0);
        ck_assert(!done);
        ck_assert_ptr_eq(v.scenario.anchors, s.anchors);
        ck_assert_uint_eq(v.scenario.n_anchors, s.n_anchors);
        ck_assert_ptr_eq(v.scenario.obstacles, s.obstacles);
        ck_assert_uint_eq(v.scenario.n_obstacles, s.n_obstacles);
        ck_assert_ptr_eq(v.scenario.tags, s.tags);
        aw_varied_free(&v);
        ck_assert_int_eq(atomic_load(&live), before);
    }
    aw_scenario_free(&s);
}
END_TEST

static TCase *without_memory(void)
{
    TCase *tc = tcase_create("without memory");
    tcase_add_test(tc, a_text_is_varied_or_memory_is_blamed);
    tcase_add_test(tc, a_variant_without_memory_is_as_it_was);
    return tc;
}

#else

static TCase *without_memory(void)
{
    return tcase_create("without memory");
}

#endif

AW_TEST_MAIN("varied", in_memory(), without_memory())
