/* Any bytes as a scenario: no crash, no leak, and what is promised of every answer holds. */
#include "anchorwise/edit.h"
#include "anchorwise/report.h"
#include "anchorwise/level.h"
#include "anchorwise/scenario.h"
#include "fuzz/fuzz.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void demand(bool holds)
{
    if (!holds)
        abort();
}

/* One place for every complaint, sorted, on a line that the text has; no control characters. */
static void check_complaints(const aw_errors *errors, size_t most_lines)
{
    for (size_t i = 0; i < errors->n; i++) {
        const aw_complaint *c = &errors->list[i];
        demand(c->line >= 0 && (size_t)c->line <= most_lines && (c->line == 0) == (c->column == 0));
        demand(i == 0 || c[-1].line <= c->line);
        for (const char *byte = c->text; *byte != '\0'; byte++)
            demand((unsigned char)*byte >= 0x20 && *byte != 0x7F);
    }
}

static void check_spot(double x, double y)
{
    demand(fabs(x) <= 1e5 && fabs(y) <= 1e5);
}

static void check_polygon(const aw_polygon *polygon)
{
    demand(polygon->n >= 3 && polygon->n <= 10000);
    for (size_t i = 0; i < polygon->n; i++)
        check_spot(polygon->at[i].x, polygon->at[i].y);
}

static void check_scenario(const aw_scenario *s)
{
    demand(s->title != NULL && s->floor.ceiling > 0 && s->floor.ceiling <= 1000);
    demand(s->n_anchors >= 1 && s->n_anchors <= 1024 && s->n_tags >= 1);
    check_polygon(&s->floor.outline);
    for (size_t i = 0; i < s->n_anchors; i++) {
        check_spot(s->anchors[i].at[0], s->anchors[i].at[1]);
        const double *at = s->anchors[i].at;
        demand(at[2] >= fmin(0, aw_floor_at(s, at[0], at[1])) && at[2] <= s->floor.ceiling);
        demand(s->anchors[i].key != 0);
    }
    for (size_t i = 0; i < s->n_levels; i++) {
        check_polygon(&s->levels[i].outline);
        demand(fabs(s->levels[i].height) <= 1000 && s->levels[i].height < s->floor.ceiling);
    }
    for (size_t i = 0; i < s->n_materials; i++)
        demand(s->materials[i].loss_db >= 0 && s->materials[i].delay >= 0);
    demand(s->floor.material < s->n_materials && s->floor.ceiling_material < s->n_materials);
    demand(s->floor.wall_material < s->n_materials);
    for (size_t i = 0; i < s->n_obstacles; i++) {
        check_polygon(&s->obstacles[i].footprint);
        demand(s->obstacles[i].top > s->obstacles[i].base);
        demand(s->obstacles[i].material < s->n_materials);
    }
    for (size_t i = 0; i < s->n_walls; i++) {
        demand(s->walls[i].n >= 2 && s->walls[i].legs != NULL);
        demand(s->walls[i].top > s->walls[i].base && s->walls[i].material < s->n_materials);
    }
    for (size_t i = 0; i < s->n_tags; i++)
        demand(s->tags[i].height >= 0 && s->tags[i].height <= s->floor.ceiling);
    for (size_t i = 0; i < s->n_zones; i++) {
        check_polygon(&s->zones[i].outline);
        demand(s->zones[i].tag < s->n_tags);
    }
    demand(s->study.draws >= 1 && s->study.step > 0 && s->study.seed < (uint64_t)1 << 63);
    demand(aw_scenario_is_site(s) || !aw_scenario_has_installation(s));
}

/* What is asked of a scenario once it has been read. */
static void check_answers(aw_scenario *s)
{
    aw_errors errors = {0};
    for (size_t i = 0; i < s->n_anchors; i++) {
        const double *at = s->anchors[i].at;
        const aw_mount *mount = aw_mount_at(&s->prices, at[2]);
        demand(aw_floor_at(s, at[0], at[1]) >= aw_lowest_floor(s));
        demand(aw_tag_at(s, 0, at[0], at[1]) >= aw_lowest_floor(s));
        demand(mount == NULL || mount->up_to >= at[2]);
    }
    demand(aw_scenario_set_study(s, "draws", "12", &errors) && s->study.draws == 12);
    demand(!aw_scenario_set_study(s, "step", "-1", &errors) && s->study.step > 0);
    aw_errors_free(&errors);
}

static size_t count_lines(const uint8_t *data, size_t size)
{
    size_t n = 2; /* the first, and the one after the last */
    for (size_t i = 0; i < size; i++)
        n += data[i] == '\n' || data[i] == '\r' || data[i] >= 0x80;
    return n;
}

/* Edits of whatever can be read as YAML: done or refused with one complaint, which leaves the text
 * as it was. */
static void check_edits(const char text[], size_t length)
{
    static const char *const paths[] = {"study.seed",    "anchors[0]", "anchors[1].at",
                                        "zones[name=a]", "floor",      "[0]"};
    aw_errors errors = {0};
    aw_edit *e = aw_edit_create(text, length, &errors);
    for (size_t i = 0; e != NULL && i < sizeof paths / sizeof *paths; i++) {
        const size_t before = errors.n;
        size_t was, is;
        aw_edit_text(e, &was);
        const bool done = i % 3 == 0   ? aw_edit_set(e, paths[i], "7", &errors)
                          : i % 3 == 1 ? aw_edit_insert(e, paths[i], "{a: [1]}", &errors)
                                       : aw_edit_remove(e, paths[i], &errors);
        aw_edit_text(e, &is);
        demand(done ? errors.n == before : errors.n_errors > 0 && is == was);
    }
    aw_edit_free(e);
    aw_errors_free(&errors);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    aw_scenario scenario;
    aw_errors errors = {0};
    aw_text text = {0};
    char *copy = malloc(size + !size);
    demand(copy != NULL);
    memcpy(copy, data, size); /* of exactly this size, so that a byte too far is seen */
    const bool sound = aw_scenario_parse(&scenario, copy, size, &errors);
    if (size < 65536)
        check_edits(copy, size);
    free(copy);
    demand(sound == (errors.n_errors == 0) && sound == (scenario.memory != NULL));
    check_complaints(&errors, count_lines(data, size));
    if (sound) {
        check_scenario(&scenario);
        aw_scenario_summary(&scenario, "fuzz", &text);
        aw_scenario_summary_json(&scenario, "fuzz", NULL, &errors, &text);
        demand(!text.failed && text.n > 0);
        check_answers(&scenario);
    }
    aw_text_free(&text);
    aw_errors_free(&errors);
    aw_scenario_free(&scenario);
    return 0;
}
