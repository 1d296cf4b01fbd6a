/* Two layouts of one floor in two panels, or one in one, each with the bearings of the same spot.
 * One draft draws both: it turns to a panel's place and scenario, and keeps what places texts have
 * taken. */
#include "draw/beside.h"

#include "anchorwise/assess.h"
#include "anchorwise/site_law.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/plane.h"
#include "draw/block.h"
#include "draw/draft.h"

#define PANELS 2
/* Between a panel's head and its floor, in text sizes: room for a label. */
#define CLEAR_OF_FLOOR 2.4

/* A panel while it is laid out. */
typedef struct side {
    const aw_beside_panel *panel;
    aw_scene *scene; /* owned */
    aw_spot spot;    /* its links are owned */
    aw_error_law spread;
    aw_box map;      /* where the floor may be drawn */
    aw_point origin; /* paper place of the outline's low.x, high.y */
} side;

/* --- the two spots --- */

static bool prepare(side *one, const aw_beside_panel *panel, const aw_beside *what)
{
    const aw_scenario *s = panel->scenario;
    assert(what->tag < s->n_tags);
    one->panel = panel;
    one->scene = aw_scene_create(s);
    one->spot.links = calloc(s->n_anchors, sizeof *one->spot.links);
    if (one->scene == NULL || one->spot.links == NULL)
        return false;
    /* No draw is made, so no cell has to name random numbers. */
    aw_spot_prepare_at(&one->spot, one->scene, s, what->tag, what->spot, 0);
    one->spread = aw_spot_error_law(s, what->tag, one->spot.links, &one->spot.bound);
    return true;
}

static size_t count_panels(const aw_beside *what)
{
    return what->after.scenario != NULL ? 2 : 1;
}

/* The layout that is drawn last. */
static const aw_beside_panel *last_panel(const aw_beside *what)
{
    return what->after.scenario != NULL ? &what->after : &what->before;
}

/* The magnification that suits the larger of the ellipses. */
static double common_magnification(const aw_draft *d, const side sides[PANELS], size_t n)
{
    const double a = sides[0].spread.major, b = sides[1].spread.major;
    return aw_draft_magnification(d, &sides[n == 2 && (isnan(a) || b > a)].spread);
}

/* --- where the panels stand --- */

/* Depth of what stands over a panel's floor: its caption and two lines of figures. */
static double head_depth(const aw_draft *d)
{
    return aw_sheet_measure(d->sheet, AW_INK_ZONE_NAME, "X").y +
           2 * aw_sheet_measure(d->sheet, AW_INK_NOTE, "X").y + 1.2 * d->sheet->text_size;
}

static aw_box part_of(aw_box whole, bool stacked, size_t k)
{
    const double wide = whole.high.x - whole.low.x, deep = whole.high.y - whole.low.y;
    const aw_point size = {stacked ? wide : wide / PANELS, stacked ? deep / PANELS : deep};
    const aw_point low = {whole.low.x + (stacked ? 0 : (double)k * size.x),
                          whole.low.y + (stacked ? (double)k * size.y : 0)};
    return (aw_box){low, {low.x + size.x, low.y + size.y}};
}

/* Scale and place of the floor in a panel, under its head. */
static void fit_floor(aw_draft *d, aw_box panel)
{
    d->map = panel;
    d->map.low.y += head_depth(d);
    aw_draft_choose_scale(d);
}

static void draw_divide(aw_draft *d, bool stacked, aw_point low)
{
    const double frame = 3 * d->sheet->text_size;
    if (stacked)
        aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){d->strip.low.x, low.y},
                      (aw_point){d->strip.high.x, low.y});
    else
        aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){low.x, frame},
                      (aw_point){low.x, d->strip.low.y});
}

/* Side by side or one above the other, whichever gives the larger scale. The second panel is the
 * first one moved, so that both have one scale. */
static void lay_two(aw_draft *d, side sides[PANELS])
{
    const aw_box whole = d->map;
    fit_floor(d, part_of(whole, true, 0));
    const double above = d->mm;
    fit_floor(d, part_of(whole, false, 0));
    const bool stacked = above > d->mm;
    fit_floor(d, part_of(whole, stacked, 0));
    const aw_point first = part_of(whole, stacked, 0).low, second = part_of(whole, stacked, 1).low;
    const double x = second.x - first.x, y = second.y - first.y;
    sides[0].map = sides[1].map = d->map;
    sides[1].map.low = (aw_point){d->map.low.x + x, d->map.low.y + y};
    sides[1].map.high = (aw_point){d->map.high.x + x, d->map.high.y + y};
    sides[0].origin = d->origin;
    sides[1].origin = (aw_point){d->origin.x + x, d->origin.y + y};
    draw_divide(d, stacked, second);
}

static void lay_panels(aw_draft *d, side sides[PANELS], size_t n)
{
    if (n == 2) {
        lay_two(d, sides);
        return;
    }
    fit_floor(d, d->map);
    sides[0].map = d->map;
    sides[0].origin = d->origin;
}

/* --- a panel --- */

static bool has_interval(const aw_beside_panel *p)
{
    return !isnan(p->p95) && !isnan(p->p95_low) && !isnan(p->p95_high);
}

static void word_p95(const aw_draft *d, const aw_beside_panel *p, char out[96])
{
    const bool feet = d->scenario->units == AW_FEET;
    const double unit = feet ? 12 / AW_FOOT : 100;
    const char *name = feet ? "in" : "cm";
    if (isnan(p->p95))
        snprintf(out, 96, "no p95: too few fixes");
    else if (!has_interval(p))
        snprintf(out, 96, "p95 %.0f %s", p->p95 * unit, name);
    else
        snprintf(out, 96, "p95 %.0f %s (%.0f to %.0f %s)", p->p95 * unit, name, p->p95_low * unit,
                 p->p95_high * unit, name);
}

static void word_geometry(const aw_bound *bound, size_t n, char out[96])
{
    const int used =
        snprintf(out, 96, "%zu of %zu anchor%s usable, ", bound->used, n, n == 1 ? "" : "s");
    if (isnan(bound->hdop))
        snprintf(out + used, 96 - (size_t)used, "no position");
    else
        snprintf(out + used, 96 - (size_t)used, "HDOP %.1f", bound->hdop);
}

/* Right over the floor, whose labels stay below it. */
static void draw_head(aw_draft *d, const side *one)
{
    char p95[96], geometry[96];
    const double foot = d->origin.y - CLEAR_OF_FLOOR * d->sheet->text_size;
    aw_block b = {{d->origin.x, foot - head_depth(d)}, {one->map.high.x, foot}};
    word_p95(d, one->panel, p95);
    word_geometry(&one->spot.bound, d->scenario->n_anchors, geometry);
    aw_block_text(d, &b, AW_INK_ZONE_NAME, one->panel->caption, 1);
    aw_block_text(d, &b, AW_INK_NOTE, p95, 1);
    aw_block_text(d, &b, AW_INK_NOTE, geometry, 1);
    d->map.low.y = foot;
}

static void turn_to(aw_draft *d, const side *one)
{
    d->scenario = one->panel->scenario;
    d->origin = one->origin;
    d->map = one->map;
}

/* Anchors that `before` has not, or has elsewhere, get their marks; NULL: all are as they are. */
static void draw_panel(aw_draft *d, const side *one, const aw_scenario *before, double times)
{
    const double *at = one->spot.draws.spot;
    turn_to(d, one);
    draw_head(d, one);
    aw_draft_land(d);
    aw_draft_zones(d);
    aw_draft_sight(d, one->scene, &one->spot);
    aw_draft_ellipse(d, &one->spread, (aw_point){at[0], at[1]}, times);
    aw_draft_anchors(d, before);
    aw_draft_zone_names(d, false);
    aw_draft_land_names(d);
}

/* --- words --- */

static void word_title(aw_draft *d, const aw_beside *what)
{
    const aw_scenario *a = what->before.scenario, *b = last_panel(what)->scenario;
    const aw_tag *tag = &b->tags[what->tag];
    const bool feet = b->units == AW_FEET;
    const double metre = feet ? AW_FOOT : 1;
    if (strcmp(a->title, b->title) == 0)
        snprintf(d->words.title, sizeof d->words.title, "%s", b->title);
    else
        snprintf(d->words.title, sizeof d->words.title, "%s / %s", a->title, b->title);
    aw_draft_fact(d, count_panels(what) == 2 ? "Bearings of one spot in two layouts"
                                             : "Bearings of one spot");
    aw_draft_fact(d, "Spot: %.2f, %.2f %s", what->spot.x / metre, what->spot.y / metre,
                  feet ? "ft" : "m");
    aw_draft_fact(d, "Tag: %s at %.4g %s, %dd fix", tag->name, tag->height / metre,
                  feet ? "ft" : "m", (int)tag->fix);
}

/* Whether both layouts have a p95 and the two are too near each other to be ranked. */
static bool near_equal(const aw_beside *what)
{
    const double a = what->before.p95, b = what->after.p95;
    return count_panels(what) == 2 && fabs(b - a) < AW_NEAR_EQUAL * fmax(a, b);
}

static void word_notes(aw_draft *d, const aw_beside *what)
{
    const bool bench = !aw_scenario_is_site(what->before.scenario);
    const aw_beside_panel *last = last_panel(what);
    const aw_site_range range = aw_site_range_of(what->before.scenario, false);
    if (!isnan(what->before.p95) || !isnan(last->p95))
        aw_draft_note(d,
                      "p95: 95 of 100 fixes at the spot err by no more, by the stated "
                      "errors: nine sites in ten have %.2g to %.2g times these.%s",
                      range.low, range.high,
                      has_interval(&what->before) || has_interval(last)
                          ? " In brackets its 95 % simulation interval, which is "
                            "chance of the draws alone."
                          : "");
    if (near_equal(what))
        aw_draft_note(d,
                      "The two p95 are less than %.0f %% apart: measured systems that near do not "
                      "keep the predicted order.",
                      100 * AW_NEAR_EQUAL);
    d->scenario = bench ? what->before.scenario : last->scenario;
    aw_draft_note_terms(d);
}

static void word_legend(aw_draft *d, double times)
{
    char ellipse[64] = "error ellipse, 95 %, true size";
    if (times > 1)
        snprintf(ellipse, sizeof ellipse, "error ellipse, 95 %%, drawn %gx", times);
    snprintf(d->words.legend, sizeof d->words.legend, "Legend");
    aw_draft_list_bearings(d, ellipse);
    aw_draft_list_anchors(d);
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
}

/* --- the sheet --- */

static void draw(aw_draft *d, const aw_beside *what, side sides[PANELS])
{
    const size_t n = count_panels(what);
    lay_panels(d, sides, n);
    const double times = common_magnification(d, sides, n);
    draw_panel(d, &sides[0], NULL, times);
    if (n == 2)
        draw_panel(d, &sides[1], what->before.scenario, times);
    word_title(d, what);
    word_notes(d, what);
    word_legend(d, times);
    aw_draft_frame(d);
}

static bool check_spot(const aw_beside *what, aw_errors *errors)
{
    const aw_scenario *s = what->before.scenario;
    const double metre = aw_unit_metres(s->units);
    if (aw_polygon_holds(&s->floor.outline, what->spot.x, what->spot.y))
        return true;
    aw_errors_add(errors, AW_ERROR, 0, 0, "the spot %.6g,%.6g %s is off the floor",
                  what->spot.x / metre, what->spot.y / metre, aw_unit_name(s->units));
    return false;
}

bool aw_beside_draw(aw_sheet *sheet, const aw_beside *what, aw_errors *errors)
{
    side sides[PANELS] = {0};
    aw_draft d = {.sheet = sheet,
                  .scenario = last_panel(what)->scenario,
                  .options = &what->options,
                  .tag = what->tag,
                  .words = {.depth = 18.5, .legend_depth = 14.5}};
    *sheet = (aw_sheet){0};
    if (!check_spot(what, errors))
        return false;
    if (aw_draft_open(&d)) {
        aw_draft_lay_frame(&d);
        if (prepare(&sides[0], &what->before, what) &&
            (count_panels(what) == 1 || prepare(&sides[1], &what->after, what)))
            draw(&d, what, sides);
        else
            sheet->failed = true;
    }
    for (size_t k = 0; k < PANELS; k++) {
        aw_scene_free(sides[k].scene);
        free(sides[k].spot.links);
    }
    return aw_draft_close(&d, errors);
}
