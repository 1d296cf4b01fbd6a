/* The public face: from a file or a text to a scenario, one key set afterwards, and its end. */
#include "anchorwise/scenario.h"

#include <assert.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "scenario/reader.h"

static void read_root(aw_reader *r, const aw_node *root)
{
    aw_scenario *s = r->scenario;
    if (aw_node_is_null(root)) {
        aw_errors_add(r->errors, AW_ERROR, 0, 0, "the scenario is empty");
        return;
    }
    aw_read_block(r, AW_BLOCK_SCENARIO, root, s);
    if (root->kind != AW_NODE_MAPPING)
        return;
    const aw_node *study = aw_node_find(root, "study");
    const aw_node *placed = study != NULL ? study : root;
    s->study_place = (aw_text_pos){placed->line, placed->column};
    const aw_node *ranging = aw_node_find(root, "ranging");
    if (ranging != NULL)
        s->ranging.place = (aw_text_pos){ranging->line, ranging->column};
    if (s->ranging.solver == AW_SOLVER_UNSAID)
        s->ranging.solver = s->radio.given ? AW_SOLVER_ROBUST : AW_SOLVER_PLAIN;
    aw_scenario_warn(r);
    aw_scenario_warn_idle(r, root);
}

bool aw_scenario_read_tree(aw_scenario *scenario, aw_arena *arena, const aw_node *root,
                           aw_errors *errors)
{
    const size_t errors_before = errors->n_errors;
    aw_reader r = {.arena = arena, .scenario = scenario, .errors = errors, .prefix = ""};
    *scenario = (aw_scenario){0};
    read_root(&r, root);
    if (r.out_of_memory)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    if (errors->n_errors == errors_before)
        return true;
    *scenario = (aw_scenario){0};
    return false;
}

bool aw_scenario_parse(aw_scenario *scenario, const char text[], size_t length, aw_errors *errors)
{
    const size_t errors_before = errors->n_errors;
    *scenario = (aw_scenario){0};
    aw_arena *arena = aw_arena_create();
    if (arena == NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    const aw_node *root = arena != NULL ? aw_yaml_read(arena, text, length, errors) : NULL;
    const bool sound = root != NULL && aw_scenario_read_tree(scenario, arena, root, errors) &&
                       errors->n_errors == errors_before;
    aw_errors_sort(errors);
    if (sound) {
        scenario->memory = arena;
        return true;
    }
    aw_arena_free(arena);
    *scenario = (aw_scenario){0};
    return false;
}

/* Reads one byte more than is allowed, so that too long a file shows. */
static bool read_bytes(FILE *file, char **text, size_t *length)
{
    size_t room = 0;
    *length = 0;
    for (;;) {
        if (*length == room) {
            room = room == 0 ? 65536 : 2 * room;
            char *grown = realloc(*text, room);
            if (grown == NULL)
                return false;
            *text = grown;
        }
        const size_t n = fread(*text + *length, 1, room - *length, file);
        *length += n;
        if (n == 0)
            return !ferror(file);
        if (*length > AW_YAML_BYTES)
            return true;
    }
}

bool aw_file_read(const char *path, char **text, size_t *length, aw_errors *errors)
{
    errno = 0;
    FILE *file = strcmp(path, "-") == 0 ? stdin : fopen(path, "rb");
    const bool done = file != NULL && read_bytes(file, text, length);
    if (!done && errno == ENOMEM)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    else if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "cannot be read: %s", strerror(errno));
    if (file != NULL && file != stdin)
        fclose(file);
    return done;
}

bool aw_scenario_read(aw_scenario *scenario, const char *path, aw_errors *errors)
{
    char *text = NULL;
    size_t length;
    *scenario = (aw_scenario){0};
    const bool sound = aw_file_read(path, &text, &length, errors) &&
                       aw_scenario_parse(scenario, text, length, errors);
    free(text);
    return sound;
}

bool aw_scenario_set_study(aw_scenario *scenario, const char *key, const char *value,
                           aw_errors *errors)
{
    const size_t errors_before = errors->n_errors;
    const aw_field *field = aw_field_find(AW_BLOCK_STUDY, key, strlen(key));
    assert(field != NULL);
    aw_study changed = scenario->study;
    const aw_node node = {.plain = true, .text = value, .length = strlen(value), .size = 1};
    aw_reader r = {.scenario = scenario, .errors = errors, .prefix = "--"};
    aw_read_field(&r, field, &node, &changed);
    if (errors->n_errors != errors_before)
        return false;
    scenario->study = changed;
    return true;
}

void aw_anchor_set_key(aw_anchor anchors[], size_t n, size_t i)
{
    uint32_t key = aw_name_hash(anchors[i].name);
    for (size_t k = 0; k < n; k++)
        if (key == 0 || (k != i && anchors[k].key == key)) {
            key++;
            k = (size_t)-1;
        }
    anchors[i].key = key;
}

void aw_scenario_free(aw_scenario *scenario)
{
    aw_arena_free(scenario->memory);
    *scenario = (aw_scenario){0};
}
