#include "plan/write.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/plane.h"

#define ASSUMED_CEILING 6.0
#define GUESSED_ANCHORS 8
#define FROM_CORNER     0.4

/* The lists of a scenario, in its order. */
static const struct {
    const char *key, *inner; /* a list inside a block */
    aw_role role;
} lists[] = {
    {"levels", NULL, AW_ROLE_LEVEL},
    {"obstacles", NULL, AW_ROLE_OBSTACLE},
    {"walls", NULL, AW_ROLE_WALL},
    {"anchors", NULL, AW_ROLE_ANCHOR},
    {"zones", NULL, AW_ROLE_ZONE},
    {"candidates", "lines", AW_ROLE_CANDIDATES},
    {"candidates", "forbidden", AW_ROLE_FORBIDDEN},
};
#define N_LISTS (sizeof lists / sizeof *lists)

/* To the millimetre; no -0. */
static void add_metres(aw_text *out, double x)
{
    aw_text_number(out, round(x * 1000) / 1000 + 0.0);
}

static void add_points(aw_text *out, const aw_point at[], size_t n)
{
    aw_text_add(out, "[");
    for (size_t i = 0; i < n; i++) {
        aw_text_add(out, i > 0 ? ", [" : "[");
        add_metres(out, at[i].x);
        aw_text_add(out, ", ");
        add_metres(out, at[i].y);
        aw_text_add(out, "]");
    }
    aw_text_add(out, "]");
}

static void add_length(aw_text *out, const char *key, double value)
{
    if (isnan(value))
        return;
    aw_text_format(out, ", %s: ", key);
    add_metres(out, value);
}

static void add_word(aw_text *out, const char *key, const char *value)
{
    if (value == NULL)
        return;
    aw_text_format(out, ", %s: ", key);
    aw_edit_quote(out, value);
}

/* One item, as it stands behind the dash. */
static void add_item(aw_text *out, const aw_made_item *item)
{
    const aw_rule *rule = item->rule;
    const bool path = item->role == AW_ROLE_WALL || item->role == AW_ROLE_CANDIDATES;
    aw_text_add(out, "{name: ");
    aw_edit_quote(out, item->name);
    if (item->role == AW_ROLE_ANCHOR) {
        aw_text_add(out, ", at: [");
        add_metres(out, item->at[0].x);
        aw_text_add(out, ", ");
        add_metres(out, item->at[0].y);
        aw_text_add(out, ", ");
        add_metres(out, item->height);
        aw_text_add(out, "]}");
        return;
    }
    aw_text_format(out, ", %s: ",
                   path                             ? "path"
                   : item->role == AW_ROLE_OBSTACLE ? "footprint"
                                                    : "outline");
    add_points(out, item->at, item->n);
    add_length(out, "thickness", item->thickness);
    add_length(out, "base", rule->base);
    add_length(out, "top", rule->top);
    add_word(out, "material", rule->material);
    if (item->role == AW_ROLE_LEVEL)
        add_length(out, "height", rule->height);
    add_word(out, "tag", item->tag);
    if (rule->need != NULL)
        aw_text_format(out, ", need: %s", rule->need);
    add_length(out, "spacing", rule->spacing);
    add_length(out, "low", rule->low);
    add_length(out, "high", rule->high);
    add_length(out, "rise", rule->step);
    aw_text_add(out, "}");
}

/* What ends a line for YAML must not stand in a comment; names hold no such thing. */
static void add_source(aw_text *out, const aw_made_item *item, const char *indent)
{
    aw_text_format(out, "%s# %s %s%s\n", indent, item->from_block ? "block" : "layer", item->source,
                   item->rule->assumed ? ": material and heights are assumed" : "");
}

/* The items of a role, one a line, with comments that name where they come from. */
static void add_items(aw_text *out, const aw_made *made, aw_role role, const char *indent)
{
    const char *source = NULL;
    for (size_t i = 0; i < made->n_items; i++) {
        const aw_made_item *item = &made->items[i];
        if (item->role != role)
            continue;
        if (item->source != source)
            add_source(out, item, indent);
        source = item->source;
        aw_text_format(out, "%s- ", indent);
        add_item(out, item);
        aw_text_add(out, "\n");
    }
}

static bool is_moved(const aw_frame *f)
{
    return f->origin[0] != 0 || f->origin[1] != 0 || f->turn != 0;
}

static void add_frame(aw_text *out, const aw_made *made)
{
    aw_text_format(out, "{unit: %s", aw_plan_unit_names[made->unit]);
    if (is_moved(&made->frame)) {
        aw_text_add(out, ", east: ");
        aw_text_number(out, made->frame.origin[0]);
        aw_text_add(out, ", north: ");
        aw_text_number(out, made->frame.origin[1]);
        aw_text_add(out, ", turn: ");
        aw_text_number(out, made->frame.turn);
    }
    aw_text_add(out, "}");
}

static bool needs_outline(const aw_made *made, aw_errors *errors)
{
    if (made->outline != NULL)
        return true;
    aw_errors_add(errors, AW_ERROR, 0, 0,
                  "the plan gives no outline of the floor: give a layer the role outline, or wall");
    return false;
}

/* --- a new one --- */

/* The corner that is farthest from those chosen. */
static size_t farthest_corner(const aw_made *made, const size_t chosen[], size_t n)
{
    size_t best = 0;
    double most = -1;
    for (size_t i = 0; i < made->n_outline; i++) {
        double nearest = INFINITY;
        for (size_t k = 0; k < n; k++)
            nearest = fmin(nearest, aw_length(made->outline[i].x - made->outline[chosen[k]].x,
                                              made->outline[i].y - made->outline[chosen[k]].y));
        if (nearest > most) {
            most = nearest;
            best = i;
        }
    }
    return best;
}

/* From a corner into the floor, along the line that halves its angle. */
static aw_point inside_of(const aw_made *made, size_t i)
{
    const size_t n = made->n_outline;
    const aw_point *o = made->outline, at = o[i];
    aw_polygon floor = {.at = o, .n = n};
    aw_polygon_close(&floor);
    for (int k = 0; k < 8; k++) {
        const double angle = M_PI / 4 * (k + 0.5);
        const aw_point p = {at.x + FROM_CORNER * cos(angle), at.y + FROM_CORNER * sin(angle)};
        if (aw_polygon_holds(&floor, p.x, p.y))
            return p;
    }
    return at;
}

static void add_guessed_anchors(aw_text *out, const aw_made *made, double ceiling)
{
    size_t chosen[GUESSED_ANCHORS] = {0};
    const size_t n = made->n_outline < GUESSED_ANCHORS ? made->n_outline : GUESSED_ANCHORS;
    aw_text_add(out, "anchors:\n  # none in the plan: a first guess in corners; 'place' finds "
                     "better ones\n");
    for (size_t i = 0; i < n; i++) {
        chosen[i] = i == 0 ? 0 : farthest_corner(made, chosen, i);
        const aw_point p = inside_of(made, chosen[i]);
        aw_text_format(out, "  - {name: A%zu, at: [", i + 1);
        add_metres(out, p.x);
        aw_text_add(out, ", ");
        add_metres(out, p.y);
        aw_text_add(out, ", ");
        add_metres(out, ceiling - fmin(0.5, ceiling / 4));
        aw_text_add(out, "]}\n");
    }
}

/* Kinds of tags that zones name; what they are like is not in a plan. */
static void add_tags(aw_text *out, const aw_made *made)
{
    bool begun = false;
    for (size_t i = 0; i < made->n_items; i++) {
        bool known = made->items[i].tag == NULL || made->items[i].role != AW_ROLE_ZONE;
        for (size_t k = 0; !known && k < i; k++)
            known = made->items[k].role == AW_ROLE_ZONE && made->items[k].tag != NULL &&
                    strcmp(made->items[k].tag, made->items[i].tag) == 0;
        if (known)
            continue;
        aw_text_add(out, begun ? "  - {name: " : "tags:\n  - {name: ");
        begun = true;
        aw_edit_quote(out, made->items[i].tag);
        aw_text_add(out, ", height: 1}   # assumed\n");
    }
}

static void add_title(aw_text *out, const char *from)
{
    const char *slash = strrchr(from, '/');
    char title[120];
    char why[AW_WHY_ROOM];
    snprintf(title, sizeof title, "%s", slash != NULL ? slash + 1 : from);
    aw_text_add(out, "title: ");
    aw_edit_quote(out,
                  aw_text_is_printable(title, strlen(title), why) && title[0] ? title : "plan");
    aw_text_add(out, "\n");
}

static double ceiling_of(const aw_made *made)
{
    return isnan(made->ceiling) ? ASSUMED_CEILING : made->ceiling;
}

bool aw_made_write(const aw_made *made, const char *from, aw_text *out, aw_errors *errors)
{
    bool begun = false;
    if (!needs_outline(made, errors))
        return false;
    aw_text_add(out, "# Made from a plan; comments name its layers.\nanchorwise: 1\n");
    add_title(out, from);
    aw_text_add(out, "units: m\nplan: ");
    add_frame(out, made);
    aw_text_add(out, "\n\nfloor:\n  outline: ");
    add_points(out, made->outline, made->n_outline);
    aw_text_format(out, "   # %s\n  ceiling: ", made->outline_is);
    add_metres(out, ceiling_of(made));
    aw_text_add(out, isnan(made->ceiling) || made->ceiling_assumed ? "   # assumed\n" : "\n");
    for (size_t i = 0; i < N_LISTS; i++) {
        if (lists[i].role == AW_ROLE_ZONE)
            add_tags(out, made);
        if (lists[i].role == AW_ROLE_ANCHOR && made->counts[AW_ROLE_ANCHOR] == 0)
            add_guessed_anchors(out, made, ceiling_of(made));
        if (made->counts[lists[i].role] == 0)
            continue;
        if (lists[i].inner == NULL || !begun)
            aw_text_format(out, "\n%s:\n", lists[i].key);
        begun |= lists[i].inner != NULL;
        if (lists[i].inner != NULL)
            aw_text_format(out, "  %s:\n", lists[i].inner);
        add_items(out, made, lists[i].role, lists[i].inner != NULL ? "    " : "  ");
    }
    return true;
}

/* --- patches --- */

static bool set_value(aw_edit *edit, const char *path, const char *key, const aw_text *value,
                      aw_errors *errors)
{
    char inner[64];
    snprintf(inner, sizeof inner, "%s%s%s", path, *path != '\0' ? "." : "", key);
    return aw_edit_has(edit, inner) ? aw_edit_set(edit, inner, value->at, errors)
                                    : aw_edit_insert(edit, inner, value->at, errors);
}

static bool patch_floor(const aw_made *made, aw_edit *edit, aw_errors *errors)
{
    aw_text outline = {0}, ceiling = {0}, floor = {0};
    const bool there = aw_edit_has(edit, "floor");
    const bool says = !isnan(made->ceiling) || !there || !aw_edit_has(edit, "floor.ceiling");
    bool fine = true;
    add_points(&outline, made->outline, made->n_outline);
    add_metres(&ceiling, ceiling_of(made));
    aw_text_format(&floor, "{outline: %s, ceiling: %s}", outline.at, ceiling.at);
    if (outline.failed || ceiling.failed || floor.failed)
        fine = false;
    else if (!there)
        fine = aw_edit_insert(edit, "floor", floor.at, errors);
    else
        fine = set_value(edit, "floor", "outline", &outline, errors) &&
               (!says || set_value(edit, "floor", "ceiling", &ceiling, errors));
    aw_text_free(&outline);
    aw_text_free(&ceiling);
    aw_text_free(&floor);
    return fine;
}

bool aw_made_patch(const aw_made *made, const char *from, aw_edit *edit, aw_errors *errors)
{
    aw_text frame = {0};
    char remark[200];
    add_frame(&frame, made);
    snprintf(remark, sizeof remark, "lists with comments that name layers are from %.120s", from);
    bool fine = !frame.failed && set_value(edit, "", "plan", &frame, errors) &&
                (made->outline == NULL || patch_floor(made, edit, errors));
    for (size_t i = 0; fine && i < N_LISTS; i++) {
        aw_text items = {0};
        if (made->counts[lists[i].role] > 0) {
            add_items(&items, made, lists[i].role, "");
            fine = !items.failed &&
                   aw_edit_set_list(edit, lists[i].key, lists[i].inner, items.at, errors);
        }
        aw_text_free(&items);
    }
    aw_text_free(&frame);
    return fine && aw_edit_remark(edit, "# import: ", remark, errors);
}
