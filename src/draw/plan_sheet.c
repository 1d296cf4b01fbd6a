#include "draw/plan_sheet.h"

#include <math.h>
#include <stdio.h>

#include "draw/draft.h"

/* How far beyond the map's box of paper lines of the plan may run, mm: strays would draw over all.
 */
static bool is_on_paper(const aw_draft *d, aw_point p)
{
    return p.x >= d->map.low.x && p.x <= d->map.high.x && p.y >= d->map.low.y &&
           p.y <= d->map.high.y;
}

/* Whether a rule makes something of a piece. */
static bool is_used(const aw_plan_sheet *what, const aw_piece *piece)
{
    const aw_rule *rule = NULL;
    if (piece->hidden && !what->rules->hidden)
        return false;
    if (piece->insert != AW_NO_INSERT)
        rule = aw_rules_of_block(what->rules, what->plan->inserts[piece->insert].block);
    if (rule == NULL)
        rule = aw_rules_of_layer(what->rules, what->plan->layers[piece->layer].name);
    return rule != NULL && rule->role != AW_ROLE_NONE && rule->role != AW_ROLE_IGNORE;
}

/* Parts of a piece between points that are on the map. */
static void draw_piece(aw_draft *d, const aw_plan_sheet *what, const aw_piece *piece, aw_ink ink)
{
    const bool ring = piece->kind == AW_PIECE_RING || piece->kind == AW_PIECE_AREA;
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_LINE, ink);
    bool open = false;
    for (size_t k = 0; item != NULL && k < piece->n + ring; k++) {
        const aw_point p = aw_draft_to_paper(
            d, aw_frame_site(&what->made->frame, what->plan->at[piece->first + k % piece->n]));
        const bool on = is_on_paper(d, p);
        if (on)
            aw_sheet_point(d->sheet, item, p.x, p.y);
        else if (open)
            aw_sheet_end_path(d->sheet, item);
        open = on;
    }
    if (open)
        aw_sheet_end_path(d->sheet, item);
}

static void draw_pieces(aw_draft *d, const aw_plan_sheet *what, bool used, aw_ink ink)
{
    for (size_t i = 0; i < what->plan->n_pieces; i++) {
        const aw_piece *piece = &what->plan->pieces[i];
        if (piece->n > 1 && piece->kind != AW_PIECE_TEXT && is_used(what, piece) == used)
            draw_piece(d, what, piece, ink);
    }
}

static void draw(aw_draft *d, const aw_plan_sheet *what)
{
    draw_pieces(d, what, false, AW_INK_RULE);
    aw_draft_land(d);
    aw_draft_zones(d);
    draw_pieces(d, what, true, AW_INK_CONTOUR);
    for (size_t i = 0; i < what->scenario->n_anchors; i++) {
        const double *at = what->scenario->anchors[i].at;
        aw_draft_anchor_mark(d, AW_SYMBOL_ANCHOR, aw_draft_to_paper(d, (aw_point){at[0], at[1]}));
    }
    aw_draft_zone_names(d, false);
    aw_draft_land_names(d);
}

static void word(aw_draft *d, const aw_plan_sheet *what)
{
    const aw_made *m = what->made;
    size_t left = 0;
    snprintf(d->words.title, sizeof d->words.title, "%s", what->scenario->title);
    aw_draft_fact(d, "The plan and the scenario made of it");
    aw_draft_fact(d, "Unit %s, outline: %s", aw_plan_unit_names[m->unit],
                  m->outline_is != NULL ? m->outline_is : "none");
    aw_draft_fact(d, "%zu walls, %zu obstacles, %zu zones, %zu anchors", m->counts[AW_ROLE_WALL],
                  m->counts[AW_ROLE_OBSTACLE], m->counts[AW_ROLE_ZONE], m->counts[AW_ROLE_ANCHOR]);
    for (size_t i = 0; i < m->n_left; i++)
        left += m->left[i].n;
    snprintf(d->words.legend, sizeof d->words.legend, "Legend");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_CONTOUR, "lines of the plan that were used");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_RULE, "lines of the plan that were left out");
    if (what->scenario->n_anchors > 0)
        aw_draft_entry(d, AW_SYMBOL_ANCHOR, AW_INK_ANCHOR, "anchor");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
    if (left > 0)
        aw_draft_note(d, "%zu pieces of the plan were left out; import lists them by layer.", left);
}

bool aw_plan_sheet_draw(aw_sheet *sheet, const aw_plan_sheet *what, aw_errors *errors)
{
    aw_draft d = {.sheet = sheet,
                  .scenario = what->scenario,
                  .options = &what->options,
                  .words = {.depth = 19.5, .legend_depth = 12.5}};
    if (aw_draft_open(&d)) {
        aw_draft_lay_frame(&d);
        draw(&d, what);
        word(&d, what);
        aw_draft_frame(&d);
    }
    return aw_draft_close(&d, errors);
}
