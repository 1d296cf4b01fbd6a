/* Changes laid over a scenario's text against the text written by hand, and their complaints.
 * Variants in memory are in test_varied.c. */
#include "anchorwise.h"
#include "scenario/yaml.h"
#include "files.h"
#include "bay.h"

/* --- what a change does --- */

static const struct made {
    const char *path, *value, *piece, *otherwise;
} made[] = {
    {"obstacles.crane.base", "1.6", "base: 0.5", "base: 1.6"},
    {"obstacles.\"rack no. 1\".top", "2", "top: 3\n", "top: 2\n"},
    {"obstacles.1.top", "2", "top: 3\n", "top: 2\n"},
    {"obstacles[1].top", "2", "top: 3\n", "top: 2\n"},
    {"obstacles[name=rack no. 1].top", "2", "top: 3\n", "top: 2\n"},
    {"obstacles.\"rack no. 1\".base", "1", "top: 3\n", "base: 1\n    top: 3\n"},
    {"obstacles.crane.material", "metal", "material: tram body", "material: metal"},
    {"obstacles.crane.present", "false", CRANE, ""},
    {"obstacles.\"rack no. 1\".present", "false", RACK, ""},
    {"obstacles.crane.present", "true", "crane", "crane"},
    {"obstacles.crane.base.present", "false", "base: 0.5, ", ""},
    {"obstacles", "[]", "obstacles:\n" CRANE RACK, "obstacles: []\n"},
    {"anchors.P3.at", "[3, 4, 5]", "[11.7, 8.8, 4]", "[3, 4, 5]"},
    {"anchors.P3.at[2]", "4.5", "8.8, 4]", "8.8, 4.5]"},
    {"anchors.P3.at.2", "4.5", "8.8, 4]", "8.8, 4.5]"},
    {"anchors.P2.present", "false", "  - {name: P2, at: [11.8, 0.2, 4.2]} # by the gate\n", ""},
    {"anchors.0.at", "[6, 0.3, 3]", "[6, 8.8, 4.4]", "[6, 0.3, 3]"}, /* the name goes first */
    {"anchors[0].at", "[1, 1, 3]", "[0.2, 0.3, 4]", "[1, 1, 3]"},
    {"anchors[]", "{name: P9, at: [6, 4, 4.9]}", "tags:", "  - {name: P9, at: [6, 4, 4.9]}\ntags:"},
    {"tags.0.height", "1.5", "1.2", "1.5"},
    {"tags.hook.fix", "2d", "3d", "2d"},
    {"zones.\"bogie bay\".need.p95", "0.4", "p95: 0.5", "p95: 0.4"},
    {"zones.bogie bay.need.p95", "0.4", "p95: 0.5", "p95: 0.4"},
    {"zones.\"bogie bay\".need.share", "0.8", "p95: 0.5", "p95: 0.5, share: 0.8"},
    {"zones.lane.need.p95", "0.7", "tag: hook", "tag: hook, need: {p95: 0.7}"},
    {"zones.lane.need", "{p95: 0.7, share: 0.9}", "tag: hook",
     "tag: hook, need: {p95: 0.7, share: 0.9}"},
    {"materials.\"tram body\".loss_db", "40", "loss_db: 9", "loss_db: 40"},
    {"materials.metal", "{loss_db: 5, delay: 3}", "materials:\n",
     "materials:\n  metal: {loss_db: 5, delay: 3}\n"},
    {"ranging.sigma", "0.2", "sigma: 0.1, spot", "sigma: 0.2, spot"},
    {"ranging.survey_sigma", "0.02", "spot_sigma: 0.1", "spot_sigma: 0.1, survey_sigma: 0.02"},
    {"radio.receiver.detect_db", "9", "ranging:", "radio: {receiver: {detect_db: 9}}\nranging:"},
    {"study.draws", "40", "24", "40"},
    {"study.seed", "7", "24", "24, seed: 7"},
    {"  study.draws ", "  40  ", "24", "40"},
    {"title", "\"Hall: B, east\"", "title: bay", "title: \"Hall: B, east\""},
    {"units", "ft", "title: bay", "title: bay\nunits: ft"},
    {"floor.ceiling", "4.5", "ceiling: 5", "ceiling: 4.5"},
};

/* Read with the change, read again from the text that is handed back, and read as written by hand:
 * all the same, and not what it was but where nothing should change. */
START_TEST(a_varied_text_is_the_text_written_by_hand)
{
    const struct made *m = &made[_i];
    const aw_change change = {m->path, m->value};
    const bool changes = strcmp(m->piece, m->otherwise) != 0;
    aw_errors errors = {0};
    aw_scenario varied;
    aw_text text;
    char *hand = written(site, m->piece, m->otherwise);
    ck_assert_msg(vary(&varied, &text, site, &change, 1, &errors), "%s",
                  errors.n > 0 ? errors.list[0].text : "?");
    char *found = tell(&varied), *again = tell_text(text.at), *wanted = tell_text(hand);
    char *before = tell_text(site);
    ck_assert_str_eq(found, wanted);
    ck_assert_str_eq(again, wanted);
    ck_assert(changes == (strcmp(before, wanted) != 0));
    ck_assert_uint_eq(text.n, strlen(text.at));
    free(found);
    free(again);
    free(wanted);
    free(before);
    free(hand);
    aw_scenario_free(&varied);
    aw_text_free(&text);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(changes_are_made_one_after_the_other_and_remembered)
{
    const aw_change changes[] = {{" obstacles.crane.name ", " \"lift, old\""},
                                 {"obstacles.\"lift, old\".base", "1"},
                                 {"obstacles.0.base", "1.5"},
                                 {"anchors[]", "{name: P9, at: [6, 4, 4.9]}"},
                                 {"anchors.P9.at", "[6, 4, 4.5]"}};
    const size_t n = sizeof changes / sizeof *changes;
    aw_errors errors = {0};
    aw_scenario s;
    aw_text text;
    ck_assert(vary(&s, &text, site, changes, n, &errors));
    ck_assert_str_eq(s.obstacles[0].name, "lift, old");
    ck_assert(s.obstacles[0].base == 1.5);
    ck_assert_uint_eq(s.n_anchors, 6);
    ck_assert(s.anchors[5].at[2] == 4.5);
    ck_assert_uint_eq(s.n_changes, n);
    ck_assert_str_eq(s.changes[0].path, "obstacles.crane.name");
    ck_assert_str_eq(s.changes[0].value, "\"lift, old\"");
    ck_assert_str_eq(s.changes[2].value, "1.5");
    ck_assert_ptr_null(strstr(text.at, "crane"));
    aw_scenario_free(&s);
    aw_text_free(&text);
    ck_assert(vary(&s, &text, site, changes, 0, &errors));
    ck_assert_uint_eq(s.n_changes, 0);
    ck_assert_str_eq(text.at, site);
    aw_scenario_free(&s);
    aw_text_free(&text);
}
END_TEST

/* --- what is refused --- */

static const struct refused {
    const char *path, *value, *complaint; /* "LINE:COLUMN text" if the place is in the file */
} refused[] = {
    {"obstacles.crane.base", "-9e9", "base: -9e9 is outside [-100000, 100000] m"},
    {"obstacles.crane.base", "high", "base: needs a number in [-100000, 100000] m, not 'high'"},
    {"obstacles.crane.base", "1.6 m", "base: needs a number in [-100000, 100000] m, not '1.6 m'"},
    {"obstacles.crane.base", "1,6", "'1,6' is not a value on one line"},
    {"obstacles.crane.base", "1 # low", "'1 # low' is not a value on one line"},
    {"obstacles.crane.base", "*x", "'*x' is not a value on one line"},
    {"zones.lane.need.p95", "1, share: 0.9", "'1, share: 0.9' is not a value on one line"},
    {"title", "Hall: B", "'Hall: B' is not a value on one line"},
    {"obstacles.crane.bse", "1", "unknown key 'bse' in an obstacle; did you mean 'base'?"},
    {"obstcles.crane.base", "1",
     "unknown key 'obstcles' in the scenario; did you mean "
     "'obstacles'?"},
    {"obstacles.crnae.base", "1", "unknown name 'crnae' in obstacles; did you mean 'crane'?"},
    {"obstacles.x.base", "1", "unknown name 'x' in obstacles; known are crane, rack no. 1"},
    {"obstacles.x.present", "true", "unknown name 'x' in obstacles; known are crane, rack no. 1"},
    {"obstacles.x", "{name: x}", "unknown name 'x' in obstacles; known are crane, rack no. 1"},
    {"obstacles.2.base", "1", "obstacles has 2 items, counted from 0"},
    {"obstacles[2].base", "1", "obstacles has 2 items, counted from 0"},
    {"obstacles.crane.footprint.a", "1", "footprint has 4 items, counted from 0"},
    {"obstacles.crane.base.x", "1", "leads nowhere"},
    {"obstacles.crane[0]", "1", "leads nowhere"},
    {"obstacles..base", "1", "is not a path"},
    {"obstacles[", "1", "is not a path"},
    {"obstacles[].base", "1", "is not a path"},
    {"zones.lane.need[0]", "1", "leads nowhere"},
    {"\"obstacles", "1", "is not a path"},
    {"", "1", "is not a path"},
    {"present", "false",
     "unknown key 'present' in the scenario; known are anchorwise, title, "
     "units, plan, materials, floor, levels, obstacles, walls, anchors, tags, "
     "ranging, radio, zones, candidates, prices, assumptions, study"},
    {"radio.present", "false", "present: what that names is not written"},
    {"obstacles.crane.present", "no", "present: needs true or false, not 'no'"},
    {"walls.north.top", "2", "walls: none are written; walls=[...] writes them"},
    {"materials.brick.loss_db", "2",
     "'brick' is built in and not written; "
     "materials.brick={based_on: brick, ...} writes it"},
    {"materials.tram bdy.loss_db", "2",
     "unknown name 'tram bdy' in materials; did you mean "
     "'tram body'?"},
    {"anchors", "[]", "anchors: 0 entries are outside [1, 1024]"},
    {"anchors.P3.at", "[3, 4, 5.5]", "z: 5.5 is outside [0, 5] m (the ceiling)"},
    {"anchors.P3.name", "P1", "name 'P1' is used twice; first at line 13"},
    {"anchors.P1.name", "P3", "15:12 name 'P3' is used twice"},
    {"obstacles.crane.base", "99", "7:80 top: 2.5 must be above base (99 m)"},
    {"obstacles.\"rack no. 1\".base", "4", "10:10 top: 3 must be above base (4 m)"},
    {"tags.hook.present", "false", "22:68 unknown tag 'hook'; known are cart"},
    {"obstacles.crane.footprint.present", "false", "7:5 an obstacle needs 'footprint'"},
    {"study.draws.present", "maybe", "present: needs true or false, not 'maybe'"},
};

START_TEST(a_mistake_names_its_change_or_its_place)
{
    const struct refused *r = &refused[_i];
    const aw_change change = {r->path, r->value};
    aw_errors errors = {0};
    aw_scenario s;
    aw_text text, wanted = {0}, found = {0};
    int line, column, head;
    ck_assert(!vary(&s, &text, site, &change, 1, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_ptr_null(s.memory);
    ck_assert_str_eq(text.at, site);
    const bool placed = sscanf(r->complaint, "%d:%d %n", &line, &column, &head) == 2;
    if (placed)
        aw_text_add_bytes(&wanted, r->complaint, (size_t)head);
    aw_text_format(&wanted, "%s--set %s=%s: %s", placed ? "with " : "", r->path, r->value,
                   r->complaint + (placed ? head : 0));
    const aw_complaint *c = &errors.list[0];
    if (c->line != 0)
        aw_text_format(&found, "%d:%d ", c->line, c->column);
    aw_text_add(&found, c->text);
    ck_assert_str_eq(found.at, wanted.at);
    aw_text_free(&wanted);
    aw_text_free(&found);
    aw_text_free(&text);
    aw_errors_free(&errors);
}
END_TEST

/* Lines that a change takes away or puts in do not move the places of complaints. */
START_TEST(a_complaint_elsewhere_has_its_place_in_the_file)
{
    const aw_change changes[] = {{"obstacles.\"rack no. 1\".present", "false"},
                                 {"anchors[]", "{name: P9, at: [6, 4, 4.9]}"},
                                 {"obstacles.crane.base", "x"},
                                 {"units", "m"}};
    char *wrong = written(site, "draws: 24", "draws: none");
    aw_errors errors = {0};
    aw_scenario s;
    aw_text text;
    ck_assert(!vary(&s, &text, wrong, changes, 4, &errors));
    ck_assert_uint_eq(errors.n, 2);
    ck_assert_int_eq(errors.list[0].line, 0);
    ck_assert_str_eq(errors.list[0].text, "--set obstacles.crane.base=x: base: needs a number in "
                                          "[-100000, 100000] m, not 'x'");
    ck_assert_int_eq(errors.list[1].line, 23);
    ck_assert_int_eq(errors.list[1].column, 25);
    ck_assert_str_eq(text.at, wrong);
    free(wrong);
    aw_text_free(&text);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(a_warning_of_a_change_names_it)
{
    const aw_change change = {"anchors.P3.at", "[3.5, 3.5, 1]"}; /* inside the crane */
    aw_errors errors = {0};
    aw_scenario s;
    aw_text text;
    ck_assert(vary(&s, &text, site, &change, 1, &errors));
    ck_assert_uint_ge(errors.n, 1);
    bool named = false;
    for (size_t i = 0; i < errors.n; i++) {
        ck_assert_int_eq(errors.list[i].severity, AW_WARNING);
        ck_assert_int_ge(errors.list[i].line, 0);
        named = named || strstr(errors.list[i].text, "P3") != NULL;
    }
    ck_assert(named);
    aw_scenario_free(&s);
    aw_text_free(&text);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(what_an_alias_shares_is_not_changed_by_half)
{
    static const char shared[] = "anchorwise: 1\ntitle: bay\n"
                                 "floor: {outline: [[0, 0], [9, 0], [9, 9]], ceiling: 5}\n"
                                 "anchors: [{name: a, at: &p [1, 0, 3]}, {name: b, at: *p}]\n";
    const aw_change changes[] = {{"anchors.a.at.0", "2"}, {"anchors.b.at.0", "2"}};
    static const char *const why[] = {
        "--set anchors.a.at.0=2: an alias copies this elsewhere; an edit would change the copy as "
        "well",
        "--set anchors.b.at.0=2: stands in an alias; an edit would change what it names as well"};
    for (size_t k = 0; k < 2; k++) {
        aw_errors errors = {0};
        aw_scenario s;
        aw_text text;
        ck_assert(!vary(&s, &text, shared, &changes[k], 1, &errors));
        ck_assert_uint_eq(errors.n, 1);
        ck_assert_str_eq(errors.list[0].text, why[k]);
        aw_text_free(&text);
        aw_errors_free(&errors);
    }
}
END_TEST

START_TEST(a_change_is_cut_at_its_first_bare_equals_sign)
{
    static const struct {
        const char *text, *value;
    } cases[] = {{"a.b=1", "1"},
                 {"a.b = 1", " 1"},
                 {"a=b=c", "b=c"},
                 {"a[name=x=y].b=2", "2"},
                 {"a.\"x=y\".b=2", "2"},
                 {"a.\"x\\\"=y\".b=2", "2"},
                 {"a[\"]=\"]=2", "2"},
                 {"a", NULL},
                 {"a=", NULL},
                 {"a=  ", NULL},
                 {"=1", NULL},
                 {"  =1", NULL},
                 {"", NULL},
                 {"a[=1", NULL},
                 {"a\"=1", NULL},
                 {"\"\\", NULL}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const char *value = aw_change_value(cases[k].text);
        ck_assert_msg((value == NULL) == (cases[k].value == NULL), "%s", cases[k].text);
        if (value != NULL)
            ck_assert_str_eq(value, cases[k].value);
    }
}
END_TEST

/* --- a law --- */

#define MOST_LEAVES 4000

/* The values of a text that are no lists or mappings: their paths, and how they are written. */
typedef struct leaves {
    char *path[MOST_LEAVES], *value[MOST_LEAVES];
    size_t n;
} leaves;

static void add_step(aw_text *path, const char *step)
{
    if (path->n > 0)
        aw_text_add(path, ".");
    if (strpbrk(step, ".[=\"") == NULL) {
        aw_text_add(path, step);
        return;
    }
    aw_text_add(path, "\"");
    for (; *step != '\0'; step++)
        aw_text_format(path, *step == '"' || *step == '\\' ? "\\%c" : "%c", *step);
    aw_text_add(path, "\"");
}

static void gather(leaves *l, const char *yaml, const aw_node *node, const aw_text *path)
{
    if (node->kind == AW_NODE_SCALAR && node->end > node->begin && l->n < MOST_LEAVES) {
        l->path[l->n] = strdup(path->at);
        l->value[l->n++] = strndup(yaml + node->begin, node->end - node->begin);
    }
    for (size_t i = 0; i < node->n; i++) {
        aw_text longer = {0};
        char number[24];
        const aw_node *child = node->children[i];
        const aw_node *name = child->kind == AW_NODE_MAPPING ? aw_node_find(child, "name") : NULL;
        if (node->kind == AW_NODE_MAPPING && i % 2 == 0)
            continue;
        if (path->n > 0)
            aw_text_add(&longer, path->at);
        snprintf(number, sizeof number, "%zu", i);
        add_step(&longer, node->kind == AW_NODE_MAPPING ? node->children[i - 1]->text
                          : name != NULL                ? name->text
                                                        : number);
        gather(l, yaml, child, &longer);
        aw_text_free(&longer);
    }
}

static const char *const demos[] = {"crate-hall",       "parts-store",  "tram-hall",
                                    "tram-hall-places", "washing-shed", "wheel-pit"};

START_TEST(a_value_set_to_what_it_is_changes_no_byte)
{
    static leaves l;
    char name[80];
    size_t length;
    aw_errors errors = {0};
    snprintf(name, sizeof name, "%s.yaml", demos[_i]);
    char *path = join("../scenarios", name), *yaml = slurp(path, &length);
    aw_arena *arena = aw_arena_create();
    const aw_text no_path = {0};
    l.n = 0;
    gather(&l, yaml, aw_yaml_read(arena, yaml, length, &errors), &no_path);
    ck_assert_uint_gt(l.n, 60);
    uint64_t state = 17 + (uint64_t)_i;
    for (int k = 0; k < 100; k++) {
        const size_t i = (size_t)(test_uniform(&state) * (double)l.n);
        const aw_change change = {l.path[i], l.value[i]};
        aw_scenario s;
        aw_text text;
        ck_assert_msg(vary(&s, &text, yaml, &change, 1, &errors), "%s=%s: %s", l.path[i],
                      l.value[i], errors.n > 0 ? errors.list[0].text : "?");
        ck_assert_str_eq(text.at, yaml);
        ck_assert_str_eq(s.changes[0].path, l.path[i]);
        aw_scenario_free(&s);
        aw_text_free(&text);
        aw_errors_free(&errors);
    }
    for (size_t i = 0; i < l.n; i++) {
        free(l.path[i]);
        free(l.value[i]);
    }
    aw_arena_free(arena);
    free(yaml);
    free(path);
}
END_TEST

static TCase *text_cases(void)
{
    TCase *tc = tcase_create("text");
    tcase_add_loop_test(tc, a_varied_text_is_the_text_written_by_hand, 0,
                        (int)(sizeof made / sizeof *made));
    tcase_add_test(tc, changes_are_made_one_after_the_other_and_remembered);
    tcase_add_loop_test(tc, a_mistake_names_its_change_or_its_place, 0,
                        (int)(sizeof refused / sizeof *refused));
    tcase_add_test(tc, a_complaint_elsewhere_has_its_place_in_the_file);
    tcase_add_test(tc, a_warning_of_a_change_names_it);
    tcase_add_test(tc, what_an_alias_shares_is_not_changed_by_half);
    tcase_add_test(tc, a_change_is_cut_at_its_first_bare_equals_sign);
    tcase_add_loop_test(tc, a_value_set_to_what_it_is_changes_no_byte, 0,
                        (int)(sizeof demos / sizeof *demos));
    return tc;
}

AW_TEST_MAIN("vary", text_cases())
