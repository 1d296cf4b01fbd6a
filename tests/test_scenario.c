/* Reading scenarios: what is wrong is said, each time at its place; what is right is read as
 * written. */
#include <dirent.h>
#include <glob.h>
#include <iconv.h>
#include <stdio.h>
#include <string.h>

#include "anchorwise/candidates.h"
#include "anchorwise/scenario.h"
#include "base/plane.h"
#include "scenario/fields.h"
#include "scenario/names.h"
#include "files.h"

static void report(const aw_errors *errors, char **text)
{
    size_t length;
    FILE *out = open_memstream(text, &length);
    ck_assert_ptr_nonnull(out);
    for (size_t i = 0; i < errors->n; i++) {
        const aw_complaint *c = &errors->list[i];
        fputs("#! ", out);
        if (c->line > 0)
            fprintf(out, "%d:%d ", c->line, c->column);
        fprintf(out, "%s%s\n", c->severity == AW_WARNING ? "warning: " : "", c->text);
    }
    fclose(out);
}

static void check_bad_file(const char *name)
{
    char *path = join("bad", name), *complaints;
    size_t length, asked = 0;
    char *text = slurp(path, &length);
    aw_scenario scenario;
    aw_errors errors = {0};
    aw_scenario_read(&scenario, path, &errors);
    report(&errors, &complaints);
    while (strncmp(text + asked, "#! ", 3) == 0)
        asked += strcspn(text + asked, "\n") + 1;
    text[asked] = '\0';
    ck_assert_msg(asked > 0, "%s does not begin with a complaint", name);
    ck_assert_msg(strcmp(text, complaints) == 0, "%s: wanted\n%s\nbut got\n%s", name, text,
                  complaints);
    free(complaints);
    aw_errors_free(&errors);
    aw_scenario_free(&scenario);
    free(text);
    free(path);
}

static int is_yaml(const struct dirent *entry)
{
    const char *dot = strrchr(entry->d_name, '.');
    return dot != NULL && strcmp(dot, ".yaml") == 0;
}

START_TEST(every_wrong_scenario_gets_exactly_its_complaints)
{
    struct dirent **files;
    char *folder = join("bad", "");
    const int n = scandir(folder, &files, is_yaml, alphasort);
    ck_assert_msg(n >= 40, "%s holds %d wrong scenarios", folder, n);
    for (int i = 0; i < n; free(files[i++]))
        check_bad_file(files[i]->d_name);
    free(files);
    free(folder);
}
END_TEST

static void read_good(const char *name, aw_scenario *scenario)
{
    char *path = join("good", name), *complaints;
    aw_errors errors = {0};
    const bool sound = aw_scenario_read(scenario, path, &errors);
    report(&errors, &complaints);
    ck_assert_msg(sound && errors.n == 0, "%s: %s", name, complaints);
    free(complaints);
    aw_errors_free(&errors);
    free(path);
}

static void parse_good(aw_scenario *scenario, const char *text)
{
    aw_errors errors = {0};
    ck_assert(aw_scenario_parse(scenario, text, strlen(text), &errors));
    aw_errors_free(&errors);
}

#define FLOOR                                                                                      \
    "anchorwise: 1\ntitle: Depot\nfloor: {outline: [[0, 0], [9, 0], [9, 9]], ceiling: 4}\n"

/* The numbers are those of the interface's table. */
START_TEST(what_is_not_given_has_its_default)
{
    aw_scenario s;
    parse_good(&s, FLOOR "anchors: [{name: a, at: [1, 1, 2]}]\nmaterials: {felt: {}}\n"
                         "obstacles: [{name: o, footprint: [[1, 1], [2, 1], [2, 2]], "
                         "material: felt}]\n"
                         "walls: [{name: w, path: [[3, 1], [4, 1]], material: felt}]\n"
                         "zones: [{name: z, outline: [[1, 1], [2, 1], [2, 2]]}]\n");
    ck_assert(s.units == AW_METRES && s.n_tags == 1 && s.n_zones == 1);
    ck_assert(s.obstacles[0].base == 0 && s.obstacles[0].top == 4);
    ck_assert(s.walls[0].base == 0 && s.walls[0].top == 4 && s.walls[0].thickness == 0.1);
    const aw_material *felt = &s.materials[s.walls[0].material];
    ck_assert(strcmp(felt->name, "felt") == 0 && felt->loss_db == 0 && felt->delay == 0);
    ck_assert_str_eq(s.tags[0].name, "tag");
    ck_assert(s.tags[0].height == 1.0 && s.tags[0].fix == AW_FIX_2D && s.tags[0].height_sigma == 0);
    const aw_ranging r = s.ranging;
    ck_assert(r.sigma == 0.10 && r.range == 40 && r.budget_db == 20 && r.spot_sigma == 0);
    ck_assert(r.spot_length == 0.4 && r.tail_share == 0 && r.tail_sigma == 0);
    ck_assert(r.survey_sigma == 0 && r.delay_sigma == 0);
    ck_assert(s.zones[0].tag == 0 && isnan(s.zones[0].need.p95) && isnan(s.zones[0].need.share));
    ck_assert(s.study.step == 0.5 && s.study.draws == 1000 && s.study.seed == 1);
    ck_assert(isnan(s.study.odds) && s.study.chance == 0.8 && isnan(s.study.margin));
    ck_assert(s.ranging.measured.points == 0);
    ck_assert(s.study_place.line == 1 && s.study_place.column == 1);
    ck_assert(!aw_scenario_is_site(&s) && !aw_scenario_has_installation(&s));
    aw_scenario_free(&s);
}
END_TEST

START_TEST(built_in_materials_are_those_of_the_slab_formula)
{
    aw_scenario s;
    char got[600] = "";
    read_good("smallest.yaml", &s);
    for (size_t i = 0, n = 0; i < s.n_materials; i++)
        n += (size_t)snprintf(got + n, sizeof got - n, "%s %g %g; ", s.materials[i].name,
                              s.materials[i].loss_db, s.materials[i].delay);
    ck_assert_str_eq(got,
                     "plasterboard 0.8 0.008; glass 2.9 0.009; wood 2 0.016; "
                     "chipboard 2.3 0.011; brick 4 0.108; concrete 29.9 0.258; "
                     "metal 100 0; air 0 0; ceiling board 0.2 0.003; "
                     "plywood 6.5 0.012; marble 3 0.033; empty rack 2 0.02; mixed rack 5 0.12; "
                     "loaded rack 9 0.25; machine tool 100 0; vehicle 100 0; "
                     "glazed partition 8.3 0.018; coated glazing 33.3 0.018; "
                     "plasterboard partition 1.7 0.016; reinforced concrete 37.9 0.258; ");
    aw_scenario_free(&s);
}
END_TEST

static void same_polygons(const aw_polygon *a, const aw_polygon *b)
{
    ck_assert_uint_eq(a->n, b->n);
    ck_assert(memcmp(a->at, b->at, a->n * sizeof *a->at) == 0);
    ck_assert(a->low.x == b->low.x && a->low.y == b->low.y);
    ck_assert(a->high.x == b->high.x && a->high.y == b->high.y);
}

static void same_prisms(const aw_scenario *f, const aw_scenario *m)
{
    for (size_t i = 0; i < f->n_obstacles; i++) {
        const aw_obstacle *a = &f->obstacles[i], *b = &m->obstacles[i];
        same_polygons(&a->footprint, &b->footprint);
        ck_assert(a->base == b->base && a->top == b->top && a->material == b->material);
    }
    for (size_t i = 0; i < f->n_walls; i++) {
        const aw_wall *a = &f->walls[i], *b = &m->walls[i];
        ck_assert_uint_eq(a->n, b->n);
        ck_assert(memcmp(a->path, b->path, a->n * sizeof *a->path) == 0);
        for (size_t k = 0; k + 1 < a->n; k++)
            same_polygons(&a->legs[k], &b->legs[k]);
        ck_assert(a->base == b->base && a->top == b->top && a->thickness == b->thickness);
    }
}

START_TEST(a_scenario_in_feet_equals_its_metric_twin)
{
    aw_scenario f, m;
    read_good("hall_feet.yaml", &f);
    read_good("hall_metres.yaml", &m);
    ck_assert(f.units == AW_FEET && m.units == AW_METRES);
    same_polygons(&f.floor.outline, &m.floor.outline);
    ck_assert(f.floor.ceiling == m.floor.ceiling);
    ck_assert(f.materials[8].delay == m.materials[8].delay);
    ck_assert(f.materials[8].loss_db == m.materials[8].loss_db);
    ck_assert(f.n_obstacles == 2 && m.n_obstacles == 2 && f.n_walls == 1 && m.n_walls == 1);
    same_prisms(&f, &m);
    ck_assert(f.n_anchors == 4 && m.n_anchors == 4);
    for (size_t i = 0; i < 4; i++)
        ck_assert(memcmp(f.anchors[i].at, m.anchors[i].at, sizeof f.anchors[i].at) == 0);
    for (size_t i = 0; i < 2; i++)
        ck_assert(f.tags[i].height == m.tags[i].height && f.tags[i].fix == m.tags[i].fix &&
                  f.tags[i].height_sigma == m.tags[i].height_sigma);
    ck_assert(memcmp(&f.ranging, &m.ranging, sizeof f.ranging) == 0);
    same_polygons(&f.zones[0].outline, &m.zones[0].outline);
    ck_assert(memcmp(&f.zones[0].need, &m.zones[0].need, sizeof f.zones[0].need) == 0);
    ck_assert(f.study.step == m.study.step && f.study.draws == 500 && f.study.seed == 7);
    ck_assert(aw_scenario_is_site(&f) && aw_scenario_has_installation(&f));
    aw_scenario_free(&f);
    aw_scenario_free(&m);
}
END_TEST

START_TEST(aliases_stand_for_what_they_name)
{
    aw_scenario s;
    read_good("aliases.yaml", &s);
    same_polygons(&s.obstacles[0].footprint, &s.zones[0].outline);
    ck_assert(s.anchors[1].at[2] == 5.5);
    ck_assert(s.zones[0].tag == 1 && s.zones[1].tag == 0);
    ck_assert(s.zones[1].need.p95 == 0.5 && s.zones[1].need.share == 0.9);
    ck_assert_uint_eq(s.study.seed, 9223372036854775807u);
    ck_assert_int_eq(s.obstacles[0].place.line, 9);
    ck_assert_int_eq(s.obstacles[0].place.column, 5);
    ck_assert_int_eq(s.study_place.line, 24);
    ck_assert_int_eq(s.study_place.column, 3);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(footprints_and_the_legs_of_walls_run_counter_clockwise)
{
    aw_scenario s;
    read_good("aliases.yaml", &s);
    const aw_polygon *p = &s.obstacles[0].footprint;
    ck_assert(p->n == 4 && p->low.x == 10 && p->low.y == 5 && p->high.x == 16 && p->high.y == 8);
    ck_assert(aw_polygon_area(p->at, 4) == 18);
    const aw_polygon *leg = &s.walls[0].legs[0];
    ck_assert(s.walls[0].n == 2 && leg->n == 4);
    ck_close(leg->low.x, 19.9, 1e-15);
    ck_close(leg->high.x, 20.1, 1e-15);
    ck_assert(leg->low.y == 0 && leg->high.y == 6);
    ck_close(aw_polygon_area(leg->at, 4), 1.2, 1e-12);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_material_given_replaces_the_whole_row)
{
    aw_scenario s;
    read_good("aliases.yaml", &s);
    ck_assert_uint_eq(s.n_materials, 21);
    const aw_material *glass = &s.materials[s.walls[0].material];
    ck_assert(strcmp(glass->name, "glass") == 0 && glass->loss_db == 0 && glass->delay == 0.05);
    ck_assert_str_eq(s.materials[s.obstacles[0].material].name, "tram body");
    aw_scenario_free(&s);
}
END_TEST

/* The vectors are those published with the hash. */
START_TEST(anchor_keys_are_the_published_hash_of_the_name)
{
    aw_scenario s;
    ck_assert_uint_eq(aw_name_hash(""), 0x811C9DC5u);
    ck_assert_uint_eq(aw_name_hash("a"), 0xE40C292Cu);
    ck_assert_uint_eq(aw_name_hash("foobar"), 0xBF9CF968u);
    read_good("smallest.yaml", &s);
    ck_assert_uint_eq(s.anchors[0].key, 0xE40C292Cu);
    ck_assert_uint_eq(s.anchors[1].key, 0xBF9CF968u);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(an_anchor_keeps_its_key_among_others)
{
    aw_scenario s, t;
    parse_good(&s, FLOOR "anchors: [{name: gate, at: [1, 1, 2]}, {name: rail, at: [5, 1, 2]}]");
    parse_good(&t, FLOOR "anchors: [{name: new, at: [1, 1, 2]}, {name: rail, at: [5, 1, 2]}, "
                         "{name: gate, at: [2, 1, 2]}]");
    ck_assert(s.anchors[0].key != 0 && s.anchors[0].key == t.anchors[2].key);
    ck_assert(s.anchors[1].key != 0 && s.anchors[1].key == t.anchors[1].key);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

/* "costarring" and "liquid" have one hash: the best known pair of English words. */
START_TEST(the_later_of_two_equal_hashes_moves_on)
{
    aw_scenario s;
    const uint32_t hash = aw_name_hash("costarring");
    ck_assert_uint_eq(hash, aw_name_hash("liquid"));
    parse_good(&s, FLOOR "anchors: [{name: liquid, at: [1, 1, 2]}, "
                         "{name: costarring, at: [5, 1, 2]}]");
    ck_assert_uint_eq(s.anchors[1].key, hash);
    ck_assert_uint_eq(s.anchors[0].key, hash + 1);
    aw_scenario_free(&s);
}
END_TEST

/* In a file in feet; without a complaint the value is taken. */
static void check_option(const char *key, const char *value, const char *complaint, aw_study *study)
{
    aw_scenario s;
    aw_errors errors = {0};
    read_good("hall_feet.yaml", &s);
    *study = s.study;
    ck_assert(aw_scenario_set_study(&s, key, value, &errors) == (complaint == NULL));
    if (complaint != NULL) {
        ck_assert(errors.n == 1 && errors.list[0].line == 0);
        ck_assert_str_eq(errors.list[0].text, complaint);
        ck_assert(memcmp(study, &s.study, sizeof s.study) == 0);
    }
    *study = s.study;
    aw_errors_free(&errors);
    aw_scenario_free(&s);
}

START_TEST(options_obey_the_scenarios_ranges_and_units)
{
    aw_study s;
    check_option("step", "10", NULL, &s);
    ck_assert(s.step == 10 * AW_FOOT && s.draws == 500 && s.seed == 7 && s.odds == 0.8);
    check_option("draws", "1000000", NULL, &s);
    ck_assert_uint_eq(s.draws, 1000000);
    check_option("seed", "9223372036854775807", NULL, &s);
    ck_assert_uint_eq(s.seed, 9223372036854775807u);
    check_option("odds", "1", NULL, &s);
    ck_assert(s.odds == 1);
    check_option("step", "0", "--step: 0 is outside (0, 328.084] ft", &s);
    check_option("step", "wide", "--step: needs a number in (0, 328.084] ft, not 'wide'", &s);
    check_option("draws", "0", "--draws: 0 is outside [1, 1000000]", &s);
    check_option("draws", "", "--draws: needs a whole number in [1, 1000000], not nothing", &s);
    check_option("seed", "9223372036854775808", "--seed: 9223372036854775808 is outside [0, 2^63)",
                 &s);
    check_option("odds", "1.1", "--odds: 1.1 is outside (0, 1]", &s);
}
END_TEST

/* Whether a hall with these keys of `radio` is read; else `rule` must stand in a complaint. */
static bool radio_is_read(const char *keys, const char *rule, aw_radio *radio)
{
    char text[512];
    aw_scenario s;
    aw_errors errors = {0};
    snprintf(text, sizeof text, FLOOR "anchors: [{name: a, at: [1, 1, 2]}]\nradio: {%s}\n", keys);
    const bool sound = aw_scenario_parse(&s, text, strlen(text), &errors);
    bool named = false;
    for (size_t i = 0; i < errors.n; i++)
        named = named || strstr(errors.list[i].text, rule) != NULL;
    ck_assert_msg(sound != named, "%s", keys);
    *radio = s.radio;
    aw_errors_free(&errors);
    aw_scenario_free(&s);
    return sound;
}

/* 47 CFR 15.517(c): at most -41.3 dBm/MHz, within 3100 to 10600 MHz; (e): a peak of at most 0 dBm
 * in 50 MHz, which -26.98 dBm/MHz + 10 dB + 10 lg 50 = 0.0097 dBm exceeds. */
START_TEST(a_licence_lifts_the_limits_of_unlicensed_operation)
{
    aw_radio radio;
    ck_assert(radio_is_read("density_dbm_mhz: -41.3", "15.517", &radio));
    ck_assert(!radio_is_read("density_dbm_mhz: -41.299", "47 CFR 15.517(c)", &radio));
    ck_assert(!radio_is_read("channel: 0", "47 CFR 15.517(c)", &radio));
    ck_assert(!radio_is_read("density_dbm_mhz: -26.98, frame_gain_db: 10, receiver: {preamble: 32}",
                             "47 CFR 15.517(e)", &radio));
    ck_assert(radio_is_read("density_dbm_mhz: -26.98, frame_gain_db: 10, receiver: {preamble: 32}, "
                            "channel: 0, licensed: true",
                            "15.517", &radio));
    ck_assert(radio.licensed && radio.density_dbm_mhz == -26.98 && radio.frame_gain_db == 10);
    ck_assert_uint_eq(radio.channel.number, 0);
    ck_assert(!radio_is_read("density_dbm_mhz: -30, licensed: false", "47 CFR 15.517(c)", &radio));
}
END_TEST

START_TEST(a_file_that_cannot_be_read_is_an_error_without_a_place)
{
    static const char *const paths[] = {"/dev/null/hall.yaml", "/"};
    for (size_t i = 0; i < 2; i++) {
        aw_scenario s;
        aw_errors errors = {0};
        ck_assert(!aw_scenario_read(&s, paths[i], &errors));
        ck_assert(errors.n == 1 && errors.list[0].line == 0);
        ck_assert(strncmp(errors.list[0].text, "cannot be read: ", 16) == 0);
        aw_errors_free(&errors);
    }
}
END_TEST

START_TEST(the_reference_names_every_key)
{
    static const char *const keys[] = {"anchorwise", "ceiling",      "loss_db",     "footprint",
                                       "thickness",  "height_sigma", "spot_length", "share",
                                       "odds",       "concrete"};
    char *text;
    size_t length;
    FILE *out = open_memstream(&text, &length);
    aw_scenario_reference_write(out);
    fclose(out);
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
        ck_assert_msg(strstr(text, keys[i]) != NULL, "%s is missing", keys[i]);
    free(text);
}
END_TEST

static void find_word(const char *dictionary, const char *word, const char *end)
{
    char entry[128];
    snprintf(entry, sizeof entry, "\n\"%s%s\"\n", word, end);
    ck_assert_msg(strstr(dictionary, entry) != NULL, "tests/fuzz/words.dict lacks \"%s%s\"", word,
                  end);
}

/* The tables that the reader itself reads by. */
START_TEST(the_fuzzing_knows_every_key_and_word)
{
    char *path = join("fuzz", "words.dict");
    size_t length;
    char *dictionary = slurp(path, &length);
    for (size_t i = 0; i < aw_fields_n; i++) {
        const aw_field *field = &aw_fields[i];
        find_word(dictionary, field->key, ": ");
        for (const aw_choice *c = field->choices; c != NULL && c->text != NULL; c++)
            find_word(dictionary, c->text, "");
        if (field->type == AW_FIELD_FLAG) {
            find_word(dictionary, "true", "");
            find_word(dictionary, "false", "");
        }
    }
    for (size_t i = 0; i < aw_materials_built_in_n; i++)
        find_word(dictionary, aw_materials_built_in[i].name, "");
    for (size_t i = 0; i < aw_starts_n; i++)
        find_word(dictionary, aw_starts[i].name, "");
    free(dictionary);
    free(path);
}
END_TEST

/* What the demos write is meant. */
START_TEST(no_demo_gets_a_warning)
{
    glob_t demos;
    char *pattern = join("..", "scenarios/*.yaml"), *complaints;
    ck_assert_int_eq(glob(pattern, 0, NULL, &demos), 0);
    ck_assert_uint_ge(demos.gl_pathc, 9);
    for (size_t i = 0; i < demos.gl_pathc; i++) {
        aw_scenario s;
        aw_errors errors = {0};
        ck_assert(aw_scenario_read(&s, demos.gl_pathv[i], &errors));
        ck_assert(aw_candidates_warn(&s, &errors));
        report(&errors, &complaints);
        ck_assert_msg(errors.n == 0, "%s: %s", demos.gl_pathv[i], complaints);
        free(complaints);
        aw_errors_free(&errors);
        aw_scenario_free(&s);
    }
    globfree(&demos);
    free(pattern);
}
END_TEST

/* The C library turns a sound scenario into UTF-16. Names of the C library's encodings: "UTF-16LE"
 * and "UTF-16BE" write no byte order mark. */
static void check_utf_16(const char *encoding, const char *mark)
{
    char wanted[] = FLOOR "anchors: [{name: bay, at: [1, 1, 2]}]", text[2 * sizeof wanted + 2];
    char *from = wanted, *to = text + strlen(mark);
    size_t left = strlen(wanted), room = sizeof text - strlen(mark);
    aw_scenario s;
    aw_errors errors = {0};
    const iconv_t descriptor = iconv_open(encoding, "UTF-8");
    ck_assert(descriptor != (iconv_t)-1);
    memcpy(text, mark, strlen(mark));
    ck_assert_uint_eq(iconv(descriptor, &from, &left, &to, &room), 0);
    iconv_close(descriptor);
    ck_assert(!aw_scenario_parse(&s, text, (size_t)(to - text), &errors));
    ck_assert_uint_eq(errors.n, 1);
    ck_assert_str_eq(errors.list[0].text, "the text is UTF-16; save it as UTF-8");
    ck_assert_int_eq(errors.list[0].line, 1);
    ck_assert_int_eq(errors.list[0].column, 1);
    aw_errors_free(&errors);
}

START_TEST(a_scenario_in_utf_16_is_to_be_saved_as_utf_8)
{
    check_utf_16("UTF-16LE", "");
    check_utf_16("UTF-16BE", "");
    check_utf_16("UTF-16LE", "\xFF\xFE");
    check_utf_16("UTF-16BE", "\xFE\xFF");
}
END_TEST

static TCase *complaints_and_meaning(void)
{
    TCase *tests = tcase_create("complaints and meaning");
    tcase_add_test(tests, every_wrong_scenario_gets_exactly_its_complaints);
    tcase_add_test(tests, options_obey_the_scenarios_ranges_and_units);
    tcase_add_test(tests, a_licence_lifts_the_limits_of_unlicensed_operation);
    tcase_add_test(tests, a_file_that_cannot_be_read_is_an_error_without_a_place);
    tcase_add_test(tests, no_demo_gets_a_warning);
    tcase_add_test(tests, a_scenario_in_utf_16_is_to_be_saved_as_utf_8);
    tcase_add_test(tests, what_is_not_given_has_its_default);
    tcase_add_test(tests, built_in_materials_are_those_of_the_slab_formula);
    tcase_add_test(tests, a_scenario_in_feet_equals_its_metric_twin);
    tcase_add_test(tests, aliases_stand_for_what_they_name);
    tcase_add_test(tests, footprints_and_the_legs_of_walls_run_counter_clockwise);
    tcase_add_test(tests, a_material_given_replaces_the_whole_row);
    tcase_add_test(tests, anchor_keys_are_the_published_hash_of_the_name);
    tcase_add_test(tests, an_anchor_keeps_its_key_among_others);
    tcase_add_test(tests, the_later_of_two_equal_hashes_moves_on);
    tcase_add_test(tests, the_reference_names_every_key);
    tcase_add_test(tests, the_fuzzing_knows_every_key_and_word);
    return tests;
}

AW_TEST_MAIN("scenario", complaints_and_meaning())
