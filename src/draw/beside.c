/* A spot as it is, and beside it as a change makes it: two windows of one scale about the spot, or
 * one, each with what the spot hears on a rim. One draft draws both: it turns to a panel's window
 * and scenario, and keeps what places texts have taken. */
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
#include "draw/floor_sheet.h"
#include "draw/rim.h"
#include "draw/spot_blocks.h"
#include "report/explain.h"

#define PANELS 2
/* mm on A3: a panel's head over its neat line, between panels, over the strip. */
#define PANEL_HEAD 13.0
#define APART      3.0
#define UNDER      5.5
/* What a window shows at least, round the spot, and round what a change moves, m. */
#define LEAST_SHOWN 25.0
#define ROUND_SPOT  12.0
#define ROUND_MOVED 2.5
/* How far over the floor's outline a window may run, m. */
#define OVER_FLOOR 2.5
/* An ellipse is magnified until it is so much of the rim. */
#define SHARE_OF_RIM 0.8

/* A panel while it is laid out. */
typedef struct side {
    const aw_beside_panel *panel;
    aw_scene *scene; /* owned */
    aw_spot spot;    /* its links are owned */
    aw_error_law spread;
    double head; /* top of its head, mm */
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

/* --- what the windows show --- */

static void reach_to(aw_box *shown, aw_point at, double round)
{
    shown->low = (aw_point){fmin(shown->low.x, at.x - round), fmin(shown->low.y, at.y - round)};
    shown->high = (aw_point){fmax(shown->high.x, at.x + round), fmax(shown->high.y, at.y + round)};
}

/* Spot and what the change moves or adds, and from where if that is not far off, m. */
static aw_box needed(const aw_beside *what)
{
    const aw_scenario *a = what->before.scenario, *b = what->after.scenario;
    aw_box shown = {what->spot, what->spot};
    reach_to(&shown, what->spot, ROUND_SPOT);
    for (size_t i = 0; b != NULL && i < b->n_anchors; i++) {
        const double *now = b->anchors[i].at, *was = NULL;
        for (size_t k = 0; k < a->n_anchors; k++)
            if (strcmp(a->anchors[k].name, b->anchors[i].name) == 0)
                was = a->anchors[k].at;
        if (was != NULL && now[0] == was[0] && now[1] == was[1] && now[2] == was[2])
            continue;
        reach_to(&shown, (aw_point){now[0], now[1]}, ROUND_MOVED);
        if (was != NULL && hypot(was[0] - what->spot.x, was[1] - what->spot.y) < LEAST_SHOWN)
            reach_to(&shown, (aw_point){was[0], was[1]}, ROUND_MOVED);
    }
    return shown;
}

/* Where a window of a width begins along an axis: about the middle of what it must show, but not
 * far over the floor, and where the floor is narrower, about that. */
static double begin_of(double need_low, double need_high, double low, double high, double width)
{
    const double begin = (need_low + need_high - width) / 2;
    if (width >= high - low + 2 * OVER_FLOOR)
        return (low + high - width) / 2;
    return fmin(fmax(begin, low - OVER_FLOOR), high + OVER_FLOOR - width);
}

/* The largest listed scale at which two windows show what they must. */
static void choose_scale(aw_draft *d, const aw_box *shown, double w, double h)
{
    const double wide = fmax(shown->high.x - shown->low.x, LEAST_SHOWN);
    const double deep = fmax(shown->high.y - shown->low.y, LEAST_SHOWN);
    const unsigned *s = aw_listed_scales(d->scenario->units);
    while (s[1] != 0 && (wide * 1000 / *s > w || deep * 1000 / *s > h))
        s++;
    d->scale = *s;
    d->mm = 1000.0 / *s;
}

/* One panel, or two side by side, on a sheet upright one under the other. */
static void lay_windows(aw_draft *d, const aw_beside *what, side sides[PANELS], double foot)
{
    const double k = aw_draft_type(d), neat = AW_NEAT_WIDTH * k, top = AW_HEAD_DEPTH * k;
    const size_t n = count_panels(what), across = d->options->portrait ? 1 : n, down = n / across;
    const aw_polygon *o = &d->scenario->floor.outline;
    const double wide =
        (d->frame.high.x - d->frame.low.x - APART * k * (double)(across - 1)) / (double)across;
    const double deep = (foot - top - APART * k * (double)(down - 1)) / (double)down;
    const double w = wide - 2 * neat, h = deep - 2 * neat - PANEL_HEAD * k;
    const aw_box shown = needed(what);
    choose_scale(d, &shown, w, h);
    const aw_point begin = {begin_of(shown.low.x, shown.high.x, o->low.x, o->high.x, w / d->mm),
                            begin_of(shown.low.y, shown.high.y, o->low.y, o->high.y, h / d->mm)};
    d->n_windows = n;
    for (size_t i = 0; i < n; i++) {
        const double x = d->frame.low.x + (across > 1 ? (wide + APART * k) * (double)i : 0);
        const double y = top + (down > 1 ? (deep + APART * k) * (double)i : 0);
        const aw_point low = {x + neat, y + PANEL_HEAD * k + neat};
        sides[i].head = y;
        d->windows[i] = (aw_window){
            {low, {low.x + w, low.y + h}},
            {low.x - (begin.x - o->low.x) * d->mm, low.y + h - (o->high.y - begin.y) * d->mm}};
    }
}

/* --- a panel --- */

static void word_figure(const aw_draft *d, double p95, char out[48])
{
    char figure[24];
    if (isnan(p95)) {
        snprintf(out, 48, "no p95");
        return;
    }
    aw_draft_figure(d, p95, figure);
    snprintf(out, 48, "%s%s", figure,
             strpbrk(figure, "mf") != NULL   ? ""
             : d->scenario->units == AW_FEET ? " in"
                                             : " cm");
}

static bool has_interval(const aw_beside_panel *p)
{
    return !isnan(p->p95) && !isnan(p->p95_low) && !isnan(p->p95_high);
}

static void word_interval(const aw_draft *d, const aw_beside_panel *p, char out[96])
{
    char low[24], high[24];
    out[0] = '\0';
    if (isnan(p->p95)) {
        snprintf(out, 96, "too few fixes");
        return;
    }
    if (!has_interval(p)) {
        snprintf(out, 96, "p95");
        return;
    }
    aw_draft_figure(d, p->p95_low, low);
    aw_draft_figure(d, p->p95_high, high);
    snprintf(out, 96, "p95 (%s to %s)", low, high);
}

/* "out of range (45 m): S1 S2 S3", as many names as have room. */
static void word_out_of_range(const aw_draft *d, const aw_rim *rim, char out[400])
{
    const aw_scenario *s = d->scenario;
    size_t n = 0, left = 0;
    if (s->radio.given)
        n = (size_t)snprintf(out, 400, "too weak:");
    else
        n = (size_t)snprintf(out, 400,
                             "out of range (%.4g %s):", s->ranging.range / aw_unit_metres(s->units),
                             aw_unit_name(s->units));
    const size_t begin = n;
    for (size_t i = 0; i < s->n_anchors; i++) {
        if (!aw_is_out_of_reach(d, rim, i))
            continue;
        const size_t length = strlen(s->anchors[i].name);
        if (n + length > 90 + begin)
            left++;
        else
            n += (size_t)snprintf(out + n, 400 - n, " %s", s->anchors[i].name);
    }
    if (left > 0)
        snprintf(out + n, 400 - n, " and %zu more", left);
    if (n == begin && left == 0)
        out[0] = '\0';
}

static void draw_head(aw_draft *d, const side *one, const aw_rim *rim, double times, double need)
{
    const double k = aw_draft_type(d), neat = AW_NEAT_WIDTH * k, y = one->head;
    const double left = d->map.low.x - neat, right = d->map.high.x + neat;
    char figure[48], text[96], hdop[24], far[400];
    const bool missed = !(one->panel->p95 <= need);
    const aw_ink big = isnan(need) || !missed ? AW_INK_BIG : AW_INK_BIG_MISSED;
    word_figure(d, one->panel->p95, figure);
    aw_draft_put_cut(d, AW_INK_CAPTION, one->panel->caption, left, y + 3.4 * k,
                     (right - left) * 0.62);
    aw_draft_put(d, big, figure, left, y + 10.4 * k, AW_AT_LEFT);
    word_interval(d, one->panel, text);
    aw_draft_put(d, AW_INK_RESULT, text, left + aw_sheet_measure(d->sheet, big, figure).x + 2 * k,
                 y + 10.4 * k, AW_AT_LEFT);
    const double blind = aw_gap_of(one->spot.links, d->scenario->n_anchors).wide * 180 / M_PI;
    if (isnan(one->spot.bound.hdop))
        snprintf(hdop, sizeof hdop, "no position");
    else
        snprintf(hdop, sizeof hdop, "HDOP %.1f", one->spot.bound.hdop);
    snprintf(text, sizeof text, "%zu of %zu heard, %s, %.0f° blind", one->spot.bound.used,
             d->scenario->n_anchors, hdop, blind);
    aw_draft_put(d, AW_INK_TABLE_NAME, text, right, y + 3 * k, AW_AT_RIGHT);
    word_out_of_range(d, rim, far);
    aw_draft_put(d, AW_INK_LABEL, far, right, y + 6.2 * k, AW_AT_RIGHT);
    if (!isnan(one->spread.major)) {
        snprintf(text, sizeof text, "ellipse of 95 %% drawn ×%g", times);
        aw_draft_put(d, AW_INK_LABEL, text, right, y + 9.4 * k, AW_AT_RIGHT);
    }
}

/* Anchors that `before` has not, or has elsewhere, get their marks; NULL: all are as they are. */
static void draw_panel(aw_draft *d, size_t number, const side *one, const aw_rim *rim,
                       const aw_scenario *before, double times)
{
    const double *at = one->spot.draws.spot;
    d->scenario = one->panel->scenario;
    aw_draft_open_window(d, number);
    aw_draft_water(d);
    aw_draft_land(d);
    aw_draft_zones(d);
    aw_rim_draw(d, rim);
    aw_draft_ellipse(d, &one->spread, (aw_point){at[0], at[1]}, times);
    aw_draft_anchors(d, before);
    aw_draft_zone_blocks(d);
    aw_draft_land_names(d);
    aw_draft_close_window(d);
    aw_draft_neat_line(d);
}

/* --- words --- */

static double need_at(const aw_beside *what)
{
    const aw_scenario *s = what->before.scenario;
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *z = &s->zones[i];
        if (!isnan(z->need.p95) && z->tag == what->tag &&
            aw_polygon_holds(&z->outline, what->spot.x, what->spot.y))
            return z->need.p95;
    }
    return (double)NAN;
}

static void word_title(aw_draft *d, const aw_beside *what, char subtitle[512])
{
    const aw_scenario *a = what->before.scenario, *b = last_panel(what)->scenario;
    const aw_tag *tag = &b->tags[what->tag];
    const double metre = aw_unit_metres(b->units);
    if (strcmp(a->title, b->title) == 0)
        snprintf(d->words.title, sizeof d->words.title, "%s", b->title);
    else
        snprintf(d->words.title, sizeof d->words.title, "%s / %s", a->title, b->title);
    aw_draft_fact(d,
                  count_panels(what) == 2 ? "Spot sheet: one spot in two layouts" : "Spot sheet");
    snprintf(subtitle, 512, "spot (%.2f, %.2f) %s · %s, %.4g %s, %dd fix", what->spot.x / metre,
             what->spot.y / metre, aw_unit_name(b->units), tag->name, tag->height / metre,
             aw_unit_name(b->units), (int)tag->fix);
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
    const bool interval = has_interval(&what->before) || has_interval(last);
    if (!isnan(what->before.p95) || !isnan(last->p95))
        aw_draft_note(d, "By the stated errors: nine sites in ten have %.2g to %.2g times these.%s",
                      range.low, range.high,
                      interval ? " In brackets what the draws alone leave open." : "");
    if (near_equal(what))
        aw_draft_note(d,
                      "The two p95 are less than %.0f %% apart: measured systems that near do not "
                      "keep the predicted order.",
                      100 * AW_NEAR_EQUAL);
    d->scenario = bench ? what->before.scenario : last->scenario;
    aw_draft_note_terms(d);
}

/* Room is kept for every mark; those that are not on the sheet are taken away when it is drawn. */
static void word_legend(aw_draft *d)
{
    snprintf(d->words.legend, sizeof d->words.legend, "MARKS");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_HEARD, "heard");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_HEARD_THROUGH, "heard through it");
    aw_draft_entry(d, AW_SYMBOL_CROSS, AW_INK_END, "lost, at what hides it");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_ARC, "blind arc");
    aw_draft_entry(d, AW_SYMBOL_ELLIPSE, AW_INK_ELLIPSE, "error ellipse, 95 %%");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
    d->words.reserved = d->words.n_entries + 4;
}

/* --- the sheet --- */

static double magnification(const side sides[PANELS], size_t n, double radius, double mm)
{
    static const double steps[] = {1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 500};
    double major = 0, best = 1;
    for (size_t i = 0; i < n; i++)
        if (!isnan(sides[i].spread.major))
            major = fmax(major, sides[i].spread.major);
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (AW_SIGMAS_95 * major * mm * steps[i] <= SHARE_OF_RIM * radius)
            best = steps[i];
    return best;
}

static void draw(aw_draft *d, const aw_beside *what, side sides[PANELS], const char *subtitle)
{
    const size_t n = count_panels(what);
    aw_text headline = {0};
    double radius = 0;
    aw_rim rims[PANELS];
    for (size_t i = n; i-- > 0;) {
        d->scenario = sides[i].panel->scenario;
        d->map = d->windows[i].map;
        d->origin = d->windows[i].origin;
        rims[i] = (aw_rim){sides[i].scene, &sides[i].spot, 0};
        radius = fmax(radius, i == 0 ? aw_rim_radius(d, &rims[i]) : 0);
    }
    const double times = magnification(sides, n, radius, d->mm);
    for (size_t i = 0; i < n; i++) {
        rims[i].radius = radius;
        draw_panel(d, i, &sides[i], &rims[i], i > 0 ? what->before.scenario : NULL, times);
        draw_head(d, &sides[i], &rims[i], times, need_at(what));
    }
    aw_draft_drop_unseen(d);
    aw_draft_list_anchors(d);
    if (what->explanation != NULL)
        aw_spot_headline(what->explanation, what->before.scenario, &headline);
    d->sheet->failed |= headline.failed;
    aw_draft_head(d, subtitle, headline.at != NULL ? headline.at : "");
    aw_draft_add_blocks(d);
    aw_text_free(&headline);
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

static const aw_block_of strip[] = {{aw_lay_causes, 78}, {aw_lay_effects, 82},
                                    {aw_lay_where, 38},  {aw_lay_marks_and_notes, 84},
                                    {aw_lay_title, 74},  {NULL, 0}};

bool aw_beside_draw(aw_sheet *sheet, const aw_beside *what, aw_errors *errors)
{
    side sides[PANELS] = {0};
    char subtitle[512];
    aw_chart_options options = what->options;
    options.layer = AW_LAYER_P95; /* figures are errors */
    aw_draft d = {.sheet = sheet,
                  .scenario = last_panel(what)->scenario,
                  .options = &options,
                  .tag = what->tag,
                  .common_height = aw_common_height(what->before.scenario),
                  .study = what,
                  .whole = true};
    *sheet = (aw_sheet){0};
    if (!check_spot(what, errors))
        return false;
    if (aw_draft_open(&d)) {
        word_title(&d, what, subtitle);
        word_notes(&d, what);
        word_legend(&d);
        aw_draft_begin(&d);
        const double foot = aw_draft_lay_strip(&d, strip) - UNDER * aw_draft_type(&d);
        lay_windows(&d, what, sides, foot);
        if (prepare(&sides[0], &what->before, what) &&
            (count_panels(what) == 1 || prepare(&sides[1], &what->after, what)))
            draw(&d, what, sides, subtitle);
        else
            sheet->failed = true;
    }
    for (size_t k = 0; k < PANELS; k++) {
        aw_scene_free(sides[k].scene);
        free(sides[k].spot.links);
    }
    return aw_draft_close(&d, errors);
}
