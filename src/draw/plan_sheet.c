#include "draw/plan_sheet.h"

#include <math.h>
#include <stdio.h>

#include "draw/floor_sheet.h"

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
    aw_draft_open_window(d, 0);
    aw_draft_water(d);
    draw_pieces(d, what, false, AW_INK_LEFT_OUT);
    aw_draft_land(d);
    aw_draft_zones(d);
    draw_pieces(d, what, true, AW_INK_CONTOUR);
    for (size_t i = 0; i < what->scenario->n_anchors; i++) {
        const double *at = what->scenario->anchors[i].at;
        aw_draft_anchor_mark(d, AW_SYMBOL_ANCHOR, aw_draft_to_paper(d, (aw_point){at[0], at[1]}));
    }
    aw_draft_zone_blocks(d);
    aw_draft_land_names(d);
    aw_draft_close_window(d);
    aw_draft_neat_line(d);
}

static void word(aw_draft *d, const aw_plan_sheet *what, char headline[512])
{
    const aw_made *m = what->made;
    size_t left = 0;
    for (size_t i = 0; i < m->n_left; i++)
        left += m->left[i].n;
    snprintf(d->words.title, sizeof d->words.title, "%s", what->scenario->title);
    aw_draft_fact(d, "The plan and the scenario made of it");
    aw_draft_note(d, "Unit %s, outline: %s.", aw_plan_unit_names[m->unit],
                  m->outline_is != NULL ? m->outline_is : "none");
    if (left > 0)
        aw_draft_note(d, "%zu pieces of the plan were left out; import lists them by layer.", left);
    snprintf(headline, 512,
             "The plan makes %zu walls, %zu obstacles, %zu zones and %zu anchors. Left out: %zu "
             "pieces.",
             m->counts[AW_ROLE_WALL], m->counts[AW_ROLE_OBSTACLE], m->counts[AW_ROLE_ZONE],
             m->counts[AW_ROLE_ANCHOR], left);
    snprintf(d->words.legend, sizeof d->words.legend, "MARKS");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_CONTOUR, "of the plan, used");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_LEFT_OUT, "of the plan, left out");
    if (what->scenario->n_anchors > 0)
        aw_draft_entry(d, AW_SYMBOL_ANCHOR, AW_INK_ANCHOR, "anchor");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
    d->words.reserved = d->words.n_entries;
}

static const aw_arrangement arrangements[] = {
    {.under = {{aw_lay_notes, 134}, {aw_lay_anchors, 78}, {aw_lay_legend, 80}, {aw_lay_title, 74}}},
    {.beside = {{aw_lay_legend, 64}, {aw_lay_anchors, 0}, {aw_lay_title, 0}},
     .under = {{aw_lay_notes, 150}}},
};

bool aw_plan_sheet_draw(aw_sheet *sheet, const aw_plan_sheet *what, aw_errors *errors)
{
    aw_draft d = {.sheet = sheet,
                  .scenario = what->scenario,
                  .options = &what->options,
                  .common_height = aw_common_height(what->scenario),
                  .whole = true};
    char headline[512];
    if (aw_draft_open(&d)) {
        word(&d, what, headline);
        aw_draft_begin(&d);
        aw_draft_lay_plan(&d, arrangements, sizeof arrangements / sizeof *arrangements);
        draw(&d, what);
        aw_draft_drop_unseen(&d);
        aw_draft_head(&d, "plan and scenario", headline);
        aw_draft_add_blocks(&d);
    }
    return aw_draft_close(&d, errors);
}
