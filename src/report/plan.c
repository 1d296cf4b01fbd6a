/* A plan that was listed or imported, for people. */
#include "report/plan.h"

#include <math.h>
#include <string.h>

#include "report/names.h"
#include "report/table.h"

#define MOST_BLOCKS 40
#define MOST_NOTES  20

static void add_unit(const aw_told_plan *t, aw_text *out)
{
    const aw_unit_verdict *v = t->verdict;
    aw_table table = {.columns = 2 + AW_PLAN_UNITS, .align = "llrrrrr", .heads = 1};
    if (v->unit == AW_PLAN_UNSURE)
        aw_text_add(out, "\nunit unsure: say it with --unit mm, cm, m, in or ft\n");
    else
        aw_text_format(out, "\nunit %s\n", aw_plan_unit_names[v->unit]);
    aw_table_add(&table, " ");
    aw_table_add(&table, "witness");
    for (int u = 0; u < AW_PLAN_UNITS; u++)
        aw_table_add(&table, "%s", aw_plan_unit_names[u]);
    for (size_t i = 0; i < v->n; i++) {
        aw_table_add(&table, " ");
        aw_table_add(&table, "%s", v->witnesses[i].says);
        for (int u = 0; u < AW_PLAN_UNITS; u++)
            aw_table_add(&table, "%g", v->witnesses[i].points[u]);
    }
    aw_table_add(&table, " ");
    aw_table_add(&table, "together");
    for (int u = 0; u < AW_PLAN_UNITS; u++)
        aw_table_add(&table, "%g", v->sum[u]);
    aw_table_write(&table, out);
    aw_table_free(&table);
}

static void add_amount(aw_table *t, size_t n)
{
    if (n > 0)
        aw_table_add(t, "%zu", n);
    else
        aw_table_add(t, "–");
}

static void add_extent(aw_table *t, const aw_plan *p, const aw_plan_layer *l)
{
    if (l->low.x > l->high.x)
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%.10g,%.10g to %.10g,%.10g", l->low.x + p->base[0], l->low.y + p->base[1],
                     l->high.x + p->base[0], l->high.y + p->base[1]);
}

static void add_role(aw_table *t, const aw_told_plan *told, const aw_plan_layer *l)
{
    const aw_rule *rule = aw_rules_of_layer(told->rules, l->name);
    if (rule == NULL || rule->role == AW_ROLE_NONE)
        aw_table_add(t, "no role");
    else if (*rule->why != '\0')
        aw_table_add(t, "%s (%s)", aw_role_names[rule->role], rule->why);
    else
        aw_table_add(t, "%s", aw_role_names[rule->role]);
}

static void add_layers(const aw_told_plan *told, aw_text *out)
{
    static const char *const heads[] = {"layer", "role",   "open lines", "closed lines", "areas",
                                        "texts", "points", "blocks",     "hidden",       "extent"};
    const aw_plan *p = told->plan;
    aw_table t = {.columns = 10, .align = "llrrrrrrrl", .heads = 1};
    for (size_t k = 0; k < sizeof heads / sizeof *heads; k++)
        aw_table_add(&t, "%s", heads[k]);
    for (size_t i = 0; i < p->n_layers; i++) {
        const aw_plan_layer *l = &p->layers[i];
        aw_table_add(&t, "%s%s", l->name, l->hidden ? " (off)" : "");
        add_role(&t, told, l);
        add_amount(&t, l->counts[AW_PIECE_LINE]);
        add_amount(&t, l->counts[AW_PIECE_RING]);
        add_amount(&t, l->counts[AW_PIECE_AREA]);
        add_amount(&t, l->counts[AW_PIECE_TEXT]);
        add_amount(&t, l->counts[AW_PIECE_POINT]);
        add_amount(&t, l->n_inserts);
        add_amount(&t, l->n_hidden);
        add_extent(&t, p, l);
    }
    aw_text_format(out, "\n%s\n",
                   told->guessed ? "layers, with the roles that their names suggest"
                                 : "layers, with the roles that the rules give");
    aw_table_write(&t, out);
    aw_table_free(&t);
}

static bool is_first(const aw_plan *p, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (strcmp(p->inserts[k].block, p->inserts[i].block) == 0)
            return false;
    return *p->inserts[i].block != '\0';
}

static void add_blocks(const aw_told_plan *told, aw_text *out)
{
    const aw_plan *p = told->plan;
    aw_table t = {.columns = 4, .align = "lrll", .heads = 1};
    size_t shown = 0;
    aw_table_add(&t, "block");
    aw_table_add(&t, "times");
    aw_table_add(&t, "attributes");
    aw_table_add(&t, "role");
    for (size_t i = 0; i < p->n_inserts && shown < MOST_BLOCKS; i++) {
        aw_text tags = {0};
        size_t n = 0;
        if (!is_first(p, i))
            continue;
        shown++;
        for (size_t k = i; k < p->n_inserts; k++)
            n += strcmp(p->inserts[k].block, p->inserts[i].block) == 0;
        for (size_t k = 0; k < p->inserts[i].n_attributes; k++)
            aw_text_format(&tags, "%s%s", k > 0 ? ", " : "", p->inserts[i].attributes[k].tag);
        const aw_rule *rule = aw_rules_of_block(told->rules, p->inserts[i].block);
        aw_table_add(&t, "%s", p->inserts[i].block);
        aw_table_add(&t, "%zu", n);
        aw_table_add(&t, "%s", tags.n > 0 ? tags.at : "–");
        aw_table_add(&t, "%s", rule != NULL ? aw_role_names[rule->role] : "as its layers");
        t.failed |= tags.failed;
        aw_text_free(&tags);
    }
    if (shown > 0)
        aw_text_add(out, "\n");
    aw_table_write(&t, out);
    aw_table_free(&t);
    if (shown == MOST_BLOCKS)
        aw_text_format(out, "the first %d blocks; --json lists all\n", MOST_BLOCKS);
}

static void add_made(const aw_made *m, aw_text *out)
{
    static const aw_role shown[] = {AW_ROLE_WALL,     AW_ROLE_OBSTACLE, AW_ROLE_ZONE,
                                    AW_ROLE_LEVEL,    AW_ROLE_ANCHOR,   AW_ROLE_CANDIDATES,
                                    AW_ROLE_FORBIDDEN};
    static const char *const plural[] = {"walls",          "obstacles", "zones",
                                         "levels",         "anchors",   "lines of candidates",
                                         "forbidden areas"};
    aw_table t = {.columns = 4, .align = "lrrl", .heads = 1};
    aw_text_add(out, "\nmade of it\n");
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++)
        if (m->counts[shown[i]] > 0)
            aw_text_format(out, "  %zu %s\n", m->counts[shown[i]], plural[i]);
    aw_text_format(out, "  outline: %s\n", m->outline_is != NULL ? m->outline_is : "none");
    aw_table_add(&t, "layer or block");
    aw_table_add(&t, "pieces");
    aw_table_add(&t, "length");
    aw_table_add(&t, "left out");
    for (size_t i = 0; i < m->n_left; i++) {
        aw_table_add(&t, "%s", *m->left[i].source != '\0' ? m->left[i].source : "all");
        aw_table_add(&t, "%zu", m->left[i].n);
        if (isnan(m->left[i].length))
            aw_table_add(&t, "–");
        else
            aw_table_add(&t, "%.1f m", m->left[i].length);
        aw_table_add(&t, "%s", m->left[i].what);
    }
    if (m->n_left > 0)
        aw_text_add(out, "\n");
    aw_table_write(&t, out);
    aw_table_free(&t);
}

static void add_notes(const aw_errors *notes, aw_text *out)
{
    for (size_t i = 0; i < notes->n && i < MOST_NOTES; i++)
        aw_text_format(out, "note: %s\n", notes->list[i].text);
    if (notes->n + notes->n_dropped > MOST_NOTES)
        aw_text_format(out, "and %zu more notes\n", notes->n + notes->n_dropped - MOST_NOTES);
}

void aw_plan_words(const aw_told_plan *told, aw_text *out)
{
    const aw_plan *p = told->plan;
    aw_text_format(out, "plan %s: %s%s%s\n", told->file, p->form == AW_PLAN_DXF ? "DXF" : "GeoJSON",
                   p->version[0] != '\0' ? " " : "", p->version);
    const size_t from = out->n;
    add_unit(told, out);
    add_layers(told, out);
    add_blocks(told, out);
    if (told->made != NULL)
        add_made(told->made, out);
    if (p->n_inserts > 0 && !p->names_by_piece)
        aw_text_add(out, "note: entities have no handles: pieces of blocks cannot be told apart by "
                         "block, only by layer\n");
    add_notes(&p->notes, out);
    if (told->made != NULL)
        add_notes(&told->made->notes, out);
    aw_isolate_names(out, from);
}
