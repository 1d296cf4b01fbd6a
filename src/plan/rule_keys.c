/* The keys of a rules file. Each row says where its value goes and which roles take it. */
#include "plan/rule_keys.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/text.h"
#include "scenario/yaml.h"

#define OF(role) (1U << (role))

typedef enum value_kind { LENGTH, WORD, EITHER, NEED } value_kind;

typedef struct key_row {
    const char *key;
    unsigned roles;
    value_kind kind;
    size_t offset, word_offset; /* of an `either`: where a word goes */
    double least, most;
} key_row;

#define AT(member) offsetof(aw_rule, member)

static const key_row key_rows[] = {
    {"material", OF(AW_ROLE_WALL) | OF(AW_ROLE_OBSTACLE), WORD, AT(material), 0, 0, 0},
    {"thickness", OF(AW_ROLE_WALL), LENGTH, AT(thickness), 0, 0.001, 10},
    {"base", OF(AW_ROLE_WALL) | OF(AW_ROLE_OBSTACLE) | OF(AW_ROLE_FORBIDDEN), LENGTH, AT(base), 0,
     -100, 1000},
    {"top", OF(AW_ROLE_WALL) | OF(AW_ROLE_OBSTACLE) | OF(AW_ROLE_FORBIDDEN), LENGTH, AT(top), 0,
     -100, 1000},
    {"ceiling", OF(AW_ROLE_OUTLINE), LENGTH, AT(ceiling), 0, 0.1, 1000},
    {"height", OF(AW_ROLE_LEVEL), LENGTH, AT(height), 0, -100, 1000},
    {"height", OF(AW_ROLE_ANCHOR), EITHER, AT(height), AT(height_tag), 0, 1000},
    {"name", OF(AW_ROLE_ANCHOR), WORD, AT(name_tag), 0, 0, 0},
    {"tag", OF(AW_ROLE_ZONE), WORD, AT(tag), 0, 0, 0},
    {"need", OF(AW_ROLE_ZONE), NEED, AT(need), 0, 0, 0},
    {"spacing", OF(AW_ROLE_CANDIDATES), LENGTH, AT(spacing), 0, 0, 1000},
    {"low", OF(AW_ROLE_CANDIDATES), LENGTH, AT(low), 0, 0, 1000},
    {"high", OF(AW_ROLE_CANDIDATES), LENGTH, AT(high), 0, 0, 1000},
    {"step", OF(AW_ROLE_CANDIDATES), LENGTH, AT(step), 0, 0.01, 1000},
};
#define N_KEYS (sizeof key_rows / sizeof *key_rows)

static bool complain(aw_errors *errors, const aw_node *node, const char *what)
{
    aw_errors_add(errors, AW_ERROR, node->line, node->column, "%s", what);
    return false;
}

/* A plain number in a range. */
static bool read_number(const aw_node *node, double least, double most, double *value)
{
    char *end;
    if (node->kind != AW_NODE_SCALAR || !node->plain || node->length == 0 ||
        strspn(node->text, "+-.0123456789eE") != node->length)
        return false;
    *value = strtod(node->text, &end);
    return end == node->text + node->length && *value >= least && *value <= most;
}

static bool take_length(const aw_node *node, const char *key, double least, double most,
                        double *value, aw_errors *errors)
{
    double read;
    if (read_number(node, least, most, &read)) {
        *value = read;
        return true;
    }
    aw_errors_add(errors, AW_ERROR, node->line, node->column, "%s: %s is not a number in [%g, %g]",
                  key, aw_node_shown(node).text, least, most);
    return false;
}

static const char *copy_word(aw_rules *r, const aw_node *node, const char *key, aw_errors *errors)
{
    char why[AW_WHY_ROOM];
    if (node->kind != AW_NODE_SCALAR || node->length == 0 || node->length > 240 ||
        !aw_text_is_printable(node->text, node->length, why)) {
        aw_errors_add(errors, AW_ERROR, node->line, node->column, "%s: %s is not a name", key,
                      aw_node_shown(node).text);
        return NULL;
    }
    const char *copy = aw_arena_copy_text(r->memory, node->text, node->length);
    if (copy == NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the rules");
    return copy;
}

/* {p95: 0.8, share: 0.9}: numbers under words; what they mean is the scenario's business. */
static const char *copy_need(aw_rules *r, const aw_node *node, aw_errors *errors)
{
    aw_text text = {0};
    double number;
    bool fine = node->kind == AW_NODE_MAPPING;
    aw_text_add(&text, "{");
    for (size_t i = 0; fine && i < node->n; i += 2) {
        fine =
            node->children[i]->length < 40 && read_number(node->children[i + 1], 0, 1e6, &number);
        aw_text_format(&text, "%s%s: %s", i > 0 ? ", " : "", node->children[i]->text,
                       fine ? node->children[i + 1]->text : "");
    }
    aw_text_add(&text, "}");
    const char *copy = !fine || text.failed ? NULL : aw_arena_copy_text(r->memory, text.at, text.n);
    if (copy == NULL)
        complain(errors, node,
                 fine ? "out of memory for the rules"
                      : "need: not a mapping of numbers such as {p95: 0.8}");
    aw_text_free(&text);
    return copy;
}

static bool set_word(aw_rule *rule, size_t offset, const char *word)
{
    memcpy((char *)rule + offset, &word, sizeof word);
    return word != NULL;
}

static bool take_key(aw_rules *r, aw_rule *rule, const aw_node *key, const aw_node *value,
                     aw_errors *errors)
{
    const key_row *row = NULL;
    double number;
    for (size_t i = 0; i < N_KEYS; i++)
        if (strcmp(key_rows[i].key, key->text) == 0 && (key_rows[i].roles & OF(rule->role)))
            row = &key_rows[i];
    if (row == NULL) {
        aw_errors_add(errors, AW_ERROR, key->line, key->column, "unknown key '%s' of %s",
                      aw_text_shown(key->text, key->length).text, aw_role_names[rule->role]);
        return false;
    }
    if (row->kind == NEED)
        return set_word(rule, row->offset, copy_need(r, value, errors));
    if (row->kind == WORD || (row->kind == EITHER && !read_number(value, -1e300, 1e300, &number)))
        return set_word(rule, row->kind == WORD ? row->offset : row->word_offset,
                        copy_word(r, value, row->key, errors));
    if (!take_length(value, row->key, row->least, row->most, &number, errors))
        return false;
    memcpy((char *)rule + row->offset, &number, sizeof number);
    return true;
}

/* What a role cannot do without. */
static bool is_whole(aw_rule *rule, const aw_node *node, aw_errors *errors)
{
    const bool solid = rule->role == AW_ROLE_WALL || rule->role == AW_ROLE_OBSTACLE;
    if (solid && rule->material == NULL)
        return complain(errors, node, "needs a material, such as {material: brick}");
    if (rule->role == AW_ROLE_LEVEL && isnan(rule->height))
        return complain(errors, node, "a level needs its height, such as {height: -1.2}");
    if (rule->role == AW_ROLE_ANCHOR && isnan(rule->height) && rule->height_tag == NULL)
        return complain(errors, node,
                        "an anchor needs a height: metres, or the attribute that has it");
    if (rule->role == AW_ROLE_CANDIDATES && isnan(rule->low))
        return complain(errors, node, "candidates need a height, such as {low: 6}");
    if (rule->base >= rule->top)
        return complain(errors, node, "top is not above base");
    return true;
}

/* `ignore`, or {wall: {…}}. */
static bool take_role(aw_rules *r, aw_rule *rule, const aw_node *node, aw_errors *errors)
{
    const bool alone = node->kind == AW_NODE_SCALAR,
               pair = node->kind == AW_NODE_MAPPING && node->n == 2;
    const aw_node *word = pair ? node->children[0] : node, *keys = pair ? node->children[1] : NULL;
    const size_t before = errors->n_errors;
    rule->role = AW_ROLE_NONE;
    for (int role = 1; (alone || pair) && role < AW_ROLES; role++)
        if (strcmp(aw_role_names[role], word->text) == 0)
            rule->role = (aw_role)role;
    if (rule->role == AW_ROLE_NONE) {
        aw_errors_add(errors, AW_ERROR, node->line, node->column,
                      "%s is not a role: outline, wall, obstacle, zone, level, anchor, candidates, "
                      "forbidden or ignore",
                      aw_node_shown(node).text);
        return false;
    }
    if (keys != NULL && !aw_node_is_null(keys) && keys->kind != AW_NODE_MAPPING)
        return complain(errors, keys, "not a mapping such as {material: brick}");
    for (size_t i = 0; keys != NULL && i + 1 < keys->n; i += 2)
        take_key(r, rule, keys->children[i], keys->children[i + 1], errors);
    return errors->n_errors == before && is_whole(rule, node, errors);
}

static bool take_rules(aw_rules *r, const aw_node *node, bool of_blocks, aw_errors *errors)
{
    if (node->kind != AW_NODE_MAPPING)
        return complain(errors, node, "not a mapping of names to roles");
    for (size_t i = 0; i + 1 < node->n; i += 2) {
        aw_rule rule = aw_rule_empty();
        const aw_node *key = node->children[i];
        rule.of_blocks = of_blocks;
        rule.place = (aw_text_pos){key->line, key->column};
        rule.pattern = copy_word(r, key, "a name", errors);
        if (rule.pattern != NULL && take_role(r, &rule, node->children[i + 1], errors) &&
            !aw_rule_add(r, &rule))
            return complain(errors, node, "out of memory for the rules");
    }
    return true;
}

static void take_join(aw_rules *r, const aw_node *node, aw_errors *errors)
{
    const struct {
        const char *key;
        double *value;
        double least, most;
    } rows[] = {{"gap", &r->join.gap, 0.001, 1},
                {"thinnest", &r->join.thinnest, 0.01, 1},
                {"thickest", &r->join.thickest, 0.05, 3},
                {"door", &r->join.door, 0.1, 5}};
    if (node->kind != AW_NODE_MAPPING)
        complain(errors, node, "join: not a mapping such as {gap: 0.02}");
    for (size_t i = 0; node->kind == AW_NODE_MAPPING && i + 1 < node->n; i += 2) {
        bool known = false;
        for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
            if (strcmp(rows[k].key, node->children[i]->text) == 0) {
                known = true;
                take_length(node->children[i + 1], rows[k].key, rows[k].least, rows[k].most,
                            rows[k].value, errors);
            }
        if (!known)
            complain(errors, node->children[i], "unknown key of join");
    }
}

static void take_origin(aw_rules *r, const aw_node *node, aw_errors *errors)
{
    r->has_origin = node->kind == AW_NODE_LIST && node->n == 2 &&
                    read_number(node->children[0], -1e8, 1e8, &r->origin[0]) &&
                    read_number(node->children[1], -1e8, 1e8, &r->origin[1]);
    if (!r->has_origin)
        complain(errors, node, "origin: not two lengths such as [0, 0]");
}

static void take_head(aw_rules *r, const aw_node *key, const aw_node *value, aw_errors *errors)
{
    double one;
    const char *text = value->kind == AW_NODE_SCALAR ? value->text : "";
    if (strcmp(key->text, "layers") == 0 || strcmp(key->text, "blocks") == 0)
        take_rules(r, value, key->text[0] == 'b', errors);
    else if (strcmp(key->text, "join") == 0)
        take_join(r, value, errors);
    else if (strcmp(key->text, "origin") == 0)
        take_origin(r, value, errors);
    else if (strcmp(key->text, "drawing") == 0 && !read_number(value, 1, 1, &one))
        complain(errors, value, "drawing: the version is not 1");
    else if (strcmp(key->text, "unit") == 0 && (r->unit = aw_unit_named(text)) == AW_PLAN_UNSURE)
        complain(errors, value, "unit: not one of mm, cm, m, in, ft");
    else if (strcmp(key->text, "turn") == 0 && !aw_rules_read_turn(r, text))
        complain(errors, value, "turn: not degrees, auto or none");
    else if (strcmp(key->text, "hidden") == 0) {
        r->hidden = strcmp(text, "true") == 0;
        if (!r->hidden && strcmp(text, "false") != 0)
            complain(errors, value, "hidden: not true or false");
    } else if (strcmp(key->text, "drawing") != 0 && strcmp(key->text, "unit") != 0 &&
               strcmp(key->text, "turn") != 0) {
        aw_errors_add(errors, AW_ERROR, key->line, key->column, "unknown key '%s'",
                      aw_text_shown(key->text, key->length).text);
    }
}

bool aw_rules_read(aw_rules *r, const char text[], size_t length, aw_errors *errors)
{
    aw_arena *arena = aw_arena_create();
    const size_t before = errors->n_errors;
    const aw_node *root = arena != NULL ? aw_yaml_read(arena, text, length, errors) : NULL;
    if (arena == NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the rules");
    else if (root != NULL && root->kind != AW_NODE_MAPPING)
        complain(errors, root, "not a mapping such as layers: {WALLS: ignore}");
    else if (root != NULL && aw_node_find(root, "drawing") == NULL)
        complain(errors, root, "drawing is missing: the version of rules, 1");
    else if (root != NULL)
        for (size_t i = 0; i + 1 < root->n; i += 2)
            take_head(r, root->children[i], root->children[i + 1], errors);
    aw_arena_free(arena);
    return errors->n_errors == before;
}

bool aw_rules_add(aw_rules *r, const char *given, aw_errors *errors)
{
    const char *equals = strchr(given, '=');
    aw_arena *arena = aw_arena_create();
    aw_errors found = {0};
    aw_text text = {0};
    aw_rule rule = aw_rule_empty();
    bool fine = false;
    if (equals == NULL || equals == given) {
        aw_errors_add(errors, AW_ERROR, 0, 0,
                      "'%s' is not NAME=ROLE, as in \"A-WALL=wall: "
                      "{material: brick}\"",
                      given);
        aw_arena_free(arena);
        return false;
    }
    const bool bare = strchr(equals, ':') != NULL && equals[1] != '{';
    aw_text_format(&text, bare ? "{%s}" : "%s", equals + 1);
    const aw_node *node =
        arena != NULL && !text.failed ? aw_yaml_read(arena, text.at, text.n, &found) : NULL;
    rule.pattern = aw_arena_copy_text(r->memory, given, (size_t)(equals - given));
    if (node != NULL && found.n_errors == 0 && rule.pattern != NULL)
        fine = take_role(r, &rule, node, &found) && aw_rule_add(r, &rule);
    if (!fine)
        aw_errors_add(errors, AW_ERROR, 0, 0, "'%s': %s", given,
                      found.n > 0 ? found.list[0].text : "out of memory for the rules");
    aw_errors_free(&found);
    aw_text_free(&text);
    aw_arena_free(arena);
    return fine;
}
