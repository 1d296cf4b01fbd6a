#include "plan/rules.h"

#include <ctype.h>
#include <fnmatch.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "anchorwise/edit.h"
#include "plan/grow.h"
#include "plan/names.h"
#include "plan/rule_keys.h"

const char *const aw_role_names[] = {"",           "ignore",    "outline", "wall",
                                     "obstacle",   "zone",      "level",   "anchor",
                                     "candidates", "forbidden", NULL};

/* What is assumed of what is not said: the most that such things take from a link. */
#define ASSUMED_TOP     6.0
#define ASSUMED_CEILING 6.0

bool aw_rules_create(aw_rules *r, aw_errors *errors)
{
    *r = (aw_rules){.unit = AW_PLAN_UNSURE,
                    .turn = (double)NAN,
                    .join = {.gap = 0.02, .thinnest = 0.05, .thickest = 0.62, .door = 0.7},
                    .memory = aw_arena_create()};
    if (r->memory == NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the rules");
    return r->memory != NULL;
}

void aw_rules_free(aw_rules *r)
{
    free(r->list);
    aw_arena_free(r->memory);
    *r = (aw_rules){0};
}

bool aw_rules_read_turn(aw_rules *r, const char *text)
{
    char *end;
    if (strcmp(text, "auto") == 0) {
        r->turn_auto = true;
        return true;
    }
    r->turn_auto = false;
    r->turn = strcmp(text, "none") == 0 ? 0 : strtod(text, &end);
    return strcmp(text, "none") == 0 ||
           (end > text && *end == '\0' && strspn(text, "+-.0123456789eE") == strlen(text) &&
            fabs(r->turn) <= 360);
}

bool aw_rule_add(aw_rules *r, const aw_rule *rule)
{
    if (!aw_grow(&r->list, r->n, &r->room, sizeof *r->list))
        return false;
    r->list[r->n++] = *rule;
    return true;
}

aw_rule aw_rule_empty(void)
{
    const double none = (double)NAN;
    return (aw_rule){.thickness = none,
                     .base = none,
                     .top = none,
                     .ceiling = none,
                     .height = none,
                     .spacing = none,
                     .low = none,
                     .high = none,
                     .step = none,
                     .why = ""};
}

/* --- which counts --- */

static const aw_rule *find(const aw_rules *r, const char *name, bool of_blocks)
{
    for (size_t i = 0; i < r->n; i++)
        if (r->list[i].of_blocks == of_blocks &&
            (strcasecmp(r->list[i].pattern, name) == 0 ||
             fnmatch(r->list[i].pattern, name, FNM_CASEFOLD | FNM_NOESCAPE) == 0))
            return &r->list[i];
    return NULL;
}

const aw_rule *aw_rules_of_layer(const aw_rules *r, const char *layer)
{
    return find(r, layer, false);
}

const aw_rule *aw_rules_of_block(const aw_rules *r, const char *block)
{
    return find(r, block, true);
}

/* --- guesses --- */

static void assume(aw_rule *rule, aw_thing thing)
{
    rule->assumed = true;
    switch (thing) {
    case AW_THING_WALL:
        rule->role = AW_ROLE_WALL;
        rule->material = "concrete";
        break;
    case AW_THING_COLUMN:
        rule->role = AW_ROLE_OBSTACLE;
        rule->material = "concrete";
        break;
    case AW_THING_RACK:
    case AW_THING_MACHINE:
        rule->role = AW_ROLE_OBSTACLE;
        rule->material = "metal";
        rule->top = thing == AW_THING_RACK ? 4 : 2.5;
        break;
    case AW_THING_CRANE:
        rule->role = AW_ROLE_FORBIDDEN;
        break;
    case AW_THING_OUTLINE:
        rule->role = AW_ROLE_OUTLINE;
        rule->ceiling = ASSUMED_CEILING;
        break;
    case AW_THING_ZONE:
        rule->role = AW_ROLE_ZONE;
        rule->assumed = false;
        break;
    default:
        rule->role = thing == AW_THING_UNKNOWN ? AW_ROLE_NONE : AW_ROLE_IGNORE;
        rule->assumed = false;
    }
}

/* A name as a pattern that fits nothing else. */
static const char *as_pattern(aw_arena *memory, const char *name)
{
    aw_text text = {0};
    for (; *name != '\0'; name++) {
        if (*name == '[')
            aw_text_add(&text, "?");
        else
            aw_text_add_bytes(&text, name, 1);
    }
    const char *copy =
        text.failed ? NULL : aw_arena_copy_text(memory, text.n ? text.at : "", text.n);
    aw_text_free(&text);
    return copy;
}

bool aw_rules_guess(aw_rules *r, const aw_plan *plan, aw_errors *errors)
{
    for (size_t i = 0; i < plan->n_layers; i++) {
        aw_rule rule = aw_rule_empty();
        char why[64], reason[160];
        const aw_thing thing = aw_name_thing(plan->layers[i].name, why);
        assume(&rule, thing);
        rule.pattern = as_pattern(r->memory, plan->layers[i].name);
        if (thing == AW_THING_UNKNOWN)
            snprintf(reason, sizeof reason, "its name says nothing");
        else
            snprintf(reason, sizeof reason, "%s: %s", why, aw_thing_names[thing]);
        rule.why = aw_arena_copy_text(r->memory, reason, strlen(reason));
        if (rule.pattern == NULL || rule.why == NULL || !aw_rule_add(r, &rule)) {
            aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the rules");
            return false;
        }
    }
    return true;
}

/* --- written --- */

static void add_length(aw_text *out, const char **comma, const char *key, double value)
{
    if (isnan(value))
        return;
    aw_text_format(out, "%s%s: ", *comma, key);
    aw_text_number(out, value);
    *comma = ", ";
}

static void add_word(aw_text *out, const char **comma, const char *key, const char *value)
{
    if (value == NULL)
        return;
    aw_text_format(out, "%s%s: ", *comma, key);
    aw_edit_quote(out, value);
    *comma = ", ";
}

static void add_role(aw_text *out, const aw_rule *rule)
{
    const char *comma = "";
    aw_text inner = {0};
    add_word(&inner, &comma, "material", rule->material);
    add_length(&inner, &comma, "thickness", rule->thickness);
    add_length(&inner, &comma, "base", rule->base);
    add_length(&inner, &comma, "top", rule->top);
    add_length(&inner, &comma, "ceiling", rule->ceiling);
    add_word(&inner, &comma, "name", rule->name_tag);
    add_word(&inner, &comma, "height", rule->height_tag);
    add_length(&inner, &comma, "height", rule->height);
    add_word(&inner, &comma, "tag", rule->tag);
    if (rule->need != NULL)
        aw_text_format(&inner, "%sneed: %s", comma, rule->need);
    add_length(&inner, &comma, "spacing", rule->spacing);
    add_length(&inner, &comma, "low", rule->low);
    add_length(&inner, &comma, "high", rule->high);
    add_length(&inner, &comma, "step", rule->step);
    if (inner.n == 0)
        aw_text_add(out, aw_role_names[rule->role]);
    else
        aw_text_format(out, "{%s: {%s}}", aw_role_names[rule->role], inner.at);
    out->failed |= inner.failed;
    aw_text_free(&inner);
}

static void add_name(aw_text *out, const char *pattern)
{
    aw_text_add(out, "\"");
    for (; *pattern != '\0'; pattern++) {
        if (*pattern == '"' || *pattern == '\\')
            aw_text_add(out, "\\");
        aw_text_add_bytes(out, pattern, 1);
    }
    aw_text_add(out, "\"");
}

static void add_rules(aw_text *out, const aw_rules *r, bool of_blocks)
{
    bool begun = false;
    for (size_t i = 0; i < r->n; i++) {
        const aw_rule *rule = &r->list[i];
        if (rule->of_blocks != of_blocks)
            continue;
        if (!begun)
            aw_text_add(out, of_blocks ? "blocks:\n" : "layers:\n");
        begun = true;
        aw_text_add(out, rule->role == AW_ROLE_NONE ? "  # " : "  ");
        add_name(out, rule->pattern);
        aw_text_add(out, ": ");
        if (rule->role != AW_ROLE_NONE)
            add_role(out, rule);
        if (*rule->why != '\0')
            aw_text_format(out, "   # %s%s", rule->why, rule->assumed ? "; figures assumed" : "");
        aw_text_add(out, "\n");
    }
}

void aw_rules_write(const aw_rules *r, const aw_plan *plan, const aw_unit_verdict *v, aw_text *out)
{
    const aw_plan_unit unit = r->unit != AW_PLAN_UNSURE ? r->unit : v->unit;
    const char *header = aw_plan_header_name(plan->header_unit);
    aw_text_add(out, "drawing: 1\n");
    if (unit == AW_PLAN_UNSURE)
        aw_text_add(out, "# unit: mm     # unsure: say which\n");
    else
        aw_text_format(out, "unit: %s          # the header says %s\n", aw_plan_unit_names[unit],
                       header != NULL ? header : "none");
    if (!isnan(r->turn)) {
        aw_text_add(out, "turn: ");
        aw_text_number(out, r->turn);
        aw_text_add(out, "\n");
    }
    if (r->hidden)
        aw_text_add(out, "hidden: true\n");
    add_rules(out, r, true);
    add_rules(out, r, false);
    aw_text_format(out, "join: {gap: %g, thinnest: %g, thickest: %g, door: %g}\n", r->join.gap,
                   r->join.thinnest, r->join.thickest, r->join.door);
}
