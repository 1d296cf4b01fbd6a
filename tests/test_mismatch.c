/* What two scenarios of one floor differ in: each key of the scenario text changed by itself is
 * told by its name with both values, and what no figure depends on is not told. */
#include "links.h"

#define WHOLE                                                                                      \
    "anchorwise: 1\ntitle: T\n"                                                                    \
    "materials: {brick: {loss_db: 6, delay: 0.1}}\n"                                               \
    "floor: {outline: [[0,0],[30,0],[30,18],[0,18]], ceiling: 7}\n"                                \
    "obstacles:\n  - {name: press, footprint: [[11,6],[17,6],[17,9],[11,9]], top: 3, material: "   \
    "metal}\n"                                                                                     \
    "walls:\n  - {name: low, path: [[3,4],[3,9]], top: 2, material: brick}\n"                      \
    "tags:\n  - {name: cart, height: 1.1, height_sigma: 0.08}\n  - {name: badge, height: 1.3}\n"   \
    "ranging: {sigma: 0.09, spot_sigma: 0.15, tail_share: 0.1, tail_sigma: 0.4, survey_sigma: "    \
    "0.02, delay_sigma: 0.03, range: 26, budget_db: 18, spot_length: 0.5}\n"                       \
    "zones:\n  - {name: west, outline: [[1,1],[9,1],[9,17],[1,17]], tag: cart, need: {p95: 0.9, "  \
    "share: 0.7}}\n"                                                                               \
    "prices: {currency: EUR, anchor: 100, port: 20, cable: 3, cabinet: [1, 2, 3], lift_hour: "     \
    "50}\n"                                                                                        \
    "study: {step: 1.5, draws: 320, seed: 4, odds: 0.9}\n"                                         \
    "anchors: [{name: A, at: [1, 1, 5]}, {name: B, at: [29, 1, 5]}, {name: C, at: [15, 17, 5]}]\n"

/* The text with one piece put in another's place. */
static void read_changed(aw_scenario *s, const char *text, const char *from, const char *to)
{
    char changed[4096];
    const char *at = strstr(text, from);
    ck_assert_ptr_nonnull(at);
    ck_assert_ptr_null(strstr(at + 1, from));
    snprintf(changed, sizeof changed, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
    read_text(s, changed);
}

static const struct {
    const char *from, *to, *what;
    double a, b; /* 0, 0: words */
    const char *words[2];
} changes[] = {
    {"sigma: 0.09", "sigma: 0.1", "ranging: sigma", 0.09, 0.1, {NULL, NULL}},
    {"spot_sigma: 0.15", "spot_sigma: 0.2", "ranging: spot_sigma", 0.15, 0.2, {NULL, NULL}},
    {"tail_share: 0.1", "tail_share: 0.2", "ranging: tail_share", 0.1, 0.2, {NULL, NULL}},
    {"tail_sigma: 0.4", "tail_sigma: 0.5", "ranging: tail_sigma", 0.4, 0.5, {NULL, NULL}},
    {"survey_sigma: 0.02", "survey_sigma: 0", "ranging: survey_sigma", 0.02, 0, {NULL, NULL}},
    {"delay_sigma: 0.03", "delay_sigma: 0.1", "ranging: delay_sigma", 0.03, 0.1, {NULL, NULL}},
    {"range: 26", "range: 26, solver: robust", "ranging: solver", 0, 0, {"plain", "robust"}},
    {"range: 26", "range: 30", "ranging: range", 26, 30, {NULL, NULL}},
    {"budget_db: 18", "budget_db: 30", "ranging: budget_db", 18, 30, {NULL, NULL}},
    {"ceiling: 7", "ceiling: 8", "floor: ceiling", 7, 8, {NULL, NULL}},
    {"p95: 0.9", "p95: 0.5", "need of west: p95", 0.9, 0.5, {NULL, NULL}},
    {"share: 0.7}", "share: 0.8}", "need of west: share", 0.7, 0.8, {NULL, NULL}},
    {"share: 0.7}", "share: 0.7, p50: 0.3}", "need of west: p50", NAN, 0.3, {NULL, NULL}},
    {"anchor: 100", "anchor: 110", "prices: anchor", 100, 110, {NULL, NULL}},
    {"cabinet: [1, 2, 3]", "cabinet: [1, 5, 3]", "prices: cabinet y", 2, 5, {NULL, NULL}},
    {"step: 1.5", "step: 2", "study: step", 1.5, 2, {NULL, NULL}},
    {"draws: 320", "draws: 64", "study: draws", 320, 64, {NULL, NULL}},
    {"odds: 0.9}", "odds: 0.8}", "study: odds", 0.9, 0.8, {NULL, NULL}},
    {"seed: 4", "seed: 5", "study: seed", 0, 0, {"4", "5"}},
    {"EUR", "SEK", "prices: currency", 0, 0, {"EUR", "SEK"}},
    {"loss_db: 6", "loss_db: 9", "material brick", 0, 0, {"6 dB, delay 0.1 m", "9 dB, delay"}},
    {"top: 3", "top: 4", "obstacle press", 0, 0, {"0 m to 3 m, metal", "0 m to 4 m, metal"}},
    {"[11,9]]", "[12,9]]", "obstacle press", 0, 0, {"18.0 m²", "16.5 m²"}},
    {"name: press", "name: lathe", "obstacle lathe", 0, 0, {"none", "18.0 m²"}},
    {"top: 2", "top: 1", "wall low", 0, 0, {"0 m to 2 m, brick", "0 m to 1 m, brick"}},
    {"height: 1.1", "height: 1.2", "tag cart", 0, 0, {"1.1 m up", "1.2 m up"}},
    {"height: 1.3}", "height: 1.3, fix: 3d}", "tag badge", 0, 0, {"2d fix", "3d fix"}},
    {"tag: cart", "tag: badge", "zone west: tag", 0, 0, {"cart", "badge"}},
    {"study:",
     "radio: {channel: 5, environment: office}\nstudy:",
     "radio: block",
     0,
     0,
     {"none", "given"}},
};

/* The last of the list has the name: `press` gone comes before `lathe` come, and the solver that a
 * radio brings along before the radio. */
START_TEST(each_change_is_told_by_its_name_with_both_values)
{
    aw_scenario a, b;
    aw_errors errors = {0};
    aw_mismatches m = {0};
    read_text(&a, WHOLE);
    read_changed(&b, WHOLE, changes[_i].from, changes[_i].to);
    ck_assert(aw_same_floor(&a, &b, &errors));
    ck_assert(aw_mismatches_find(&m, &a, &b));
    const bool two = strcmp(changes[_i].what, "obstacle lathe") == 0 ||
                     strcmp(changes[_i].what, "radio: block") == 0;
    ck_assert_uint_eq(m.n, two ? 2 : 1);
    const aw_mismatch *last = &m.list[m.n - 1];
    ck_assert_str_eq(last->what, changes[_i].what);
    ck_assert_int_eq(last->unit == NULL, changes[_i].words[0] != NULL);
    for (int k = 0; k < 2; k++) {
        const double want = k == 0 ? changes[_i].a : changes[_i].b;
        if (last->unit == NULL)
            ck_assert_ptr_nonnull(strstr(last->words[k], changes[_i].words[k]));
        else
            ck_assert(isnan(want) ? isnan(last->number[k]) : last->number[k] == want);
    }
    aw_mismatches_free(&m);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

static const char *const idle[][2] = {
    {"title: T", "title: U"},
    {"spot_length: 0.5", "spot_length: 1"},
    {"[29, 1, 5]", "[29, 2, 6]"},
    {"study:", "candidates: {points: [{name: X, at: [1, 1, 1]}]}\nstudy:"},
};

START_TEST(anchors_and_what_no_figure_depends_on_are_not_told)
{
    aw_scenario a, b;
    aw_mismatches m = {0};
    read_text(&a, WHOLE);
    read_changed(&b, WHOLE, idle[_i][0], idle[_i][1]);
    ck_assert(aw_mismatches_find(&m, &a, &b));
    ck_assert_uint_eq(m.n, 0);
    aw_mismatches_free(&m);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

#define RADIO(more) "radio: {channel: 5, environment: office" more "}\n"

static const struct {
    const char *more, *what;
} radios[] = {
    {", mode: anchors send", "radio: mode"},
    {", density_dbm_mhz: -45", "radio: density_dbm_mhz"},
    {", backoff_db: 2", "radio: backoff_db"},
    {", frame_gain_db: 1", "radio: frame_gain_db"},
    {", arrival_floor: 0.05", "radio: arrival_floor"},
    {", receiver: {noise_figure_db: 7}", "radio: noise_figure_db"},
    {", receiver: {preamble: 256}", "radio: preamble"},
    {", receiver: {sensitivity_dbm: -90}", "radio: sensitivity_dbm"},
    {", receiver: {detect_db: 15}", "radio: detect_db"},
    {", receiver: {dynamic_db: 20}", "radio: dynamic_db"},
};

/* Sigma, range and budget count for nothing under a radio. */
START_TEST(keys_of_two_radios_are_told_and_what_they_replace_is_not)
{
    aw_scenario a, b;
    aw_mismatches m = {0};
    char text[4096];
    read_text(&a, WHOLE RADIO(""));
    snprintf(text, sizeof text, "%s" RADIO("%s"), WHOLE, radios[_i].more);
    read_changed(&b, text, "range: 26", "range: 39");
    ck_assert(aw_mismatches_find(&m, &a, &b));
    ck_assert_uint_eq(m.n, 1);
    ck_assert_str_eq(m.list[0].what, radios[_i].what);
    aw_mismatches_free(&m);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

static TCase *mismatches(void)
{
    TCase *tc = tcase_create("mismatches");
    tcase_add_loop_test(tc, each_change_is_told_by_its_name_with_both_values, 0,
                        sizeof changes / sizeof *changes);
    tcase_add_loop_test(tc, anchors_and_what_no_figure_depends_on_are_not_told, 0,
                        sizeof idle / sizeof *idle);
    tcase_add_loop_test(tc, keys_of_two_radios_are_told_and_what_they_replace_is_not, 0,
                        sizeof radios / sizeof *radios);
    return tc;
}

AW_TEST_MAIN("mismatch", mismatches())
