/* Panels of bars, one for each zone. Each bar is two: the upper for the low end of the range, the
 * lower for the high one, so that ends on one side of today's figure do not hide each other. */
#include "draw/bars.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <stdlib.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/sensitivity.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/verdict.h"
#include "report/worth.h"
#include "report/words.h"

#define MOST_PANELS 9
/* The scale of a panel ends at so many times the larger of today's figure and the need; what is
 * beyond ends in a figure with an arrow. */
#define MOST_TIMES 2.2
/* In text sizes: pitch of the bars, thickness of one, and what stands over them. */
#define PITCH 2.1
#define THICK 0.75
#define HEAD  5.6
/* Left and right of the bars for their figures. */
#define LEFT  5.5
#define RIGHT 8.5
/* Of the band with tolerances. */
#define BAND 12.0
/* Between the frame and the strip, mm on A3. */
#define UNDER 5.5

typedef struct panel {
    const aw_sensitivity *v;
    size_t zone;
    aw_box box;      /* of the bars, names and chances left and right of them excluded */
    double names;    /* where names begin */
    double chances;  /* where these begin */
    double from, mm; /* figure at the left edge, mm of paper for a metre */
    double today, need, most;
    double unit; /* of figures, for a metre */
} panel;

static double unit_of(const aw_scenario *s)
{
    return s->units == AW_FEET ? 12 / AW_FOOT : 100;
}

static const char *unit_name(const aw_scenario *s)
{
    return s->units == AW_FEET ? "inches" : "cm";
}

/* --- scale --- */

static double lost_or(double p95)
{
    return isnan(p95) ? HUGE_VAL : p95;
}

static double clip(const panel *p, double value)
{
    return fmin(fmax(value, p->from), p->most);
}

static double x_of(const panel *p, double value)
{
    return p->box.low.x + (clip(p, value) - p->from) * p->mm;
}

static void widen(double *low, double *high, double value)
{
    if (isfinite(value)) {
        *low = fmin(*low, value);
        *high = fmax(*high, value);
    }
}

/* From a little under the least to a little over the most, but not beyond a few times today's. */
static void choose_scale(panel *p)
{
    const aw_joint *j = &p->v->joint[p->zone];
    double low = p->today, high = p->today;
    widen(&low, &high, p->need);
    const double most = MOST_TIMES * high;
    widen(&low, &high, j->p05);
    widen(&low, &high, j->p95);
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        for (int end = 0; p->v->assumed[a].present && end < 2; end++)
            widen(&low, &high,
                  aw_sensitivity_at(p->v, p->zone, (aw_assumption)a, end)->result.errors.p95);
    high = fmin(high, most);
    const double room = 0.06 * (high - low) + 1e-3;
    p->from = fmax(0, low - room);
    p->most = high + room;
    p->mm = (p->box.high.x - p->box.low.x) / (p->most - p->from);
}

/* --- one bar --- */

static void set_text(aw_draft *d, const char *text, double x, double middle, int align)
{
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_NOTE, text);
    const double shift = align < 0 ? 0 : align == 0 ? size.x / 2 : size.x;
    aw_draft_set_text(d, AW_INK_NOTE, text, (aw_point){x - shift, middle - size.y / 2});
}

static void draw_half(aw_draft *d, const panel *p, double value, double shade, double y)
{
    const double thick = THICK * d->sheet->text_size;
    const double a = x_of(p, p->today), b = x_of(p, value);
    const aw_point low = {fmin(a, b), y}, high = {fmax(a, b), y + thick};
    if (high.x - low.x < 0.05)
        return;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, shade, low, high);
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_RULE, 0, low, high);
}

/* The figures of both ends at the outer ends of the bar, the low end's first if they stand at one
 * side. */
static void draw_figures(aw_draft *d, const panel *p, const double value[2], double middle)
{
    const double gap = 0.5 * d->sheet->text_size;
    char text[2][32], both[80];
    for (int end = 0; end < 2; end++)
        if (isinf(value[end]))
            snprintf(text[end], sizeof text[end], "none →");
        else
            snprintf(text[end], sizeof text[end], "%.0f%s", value[end] * p->unit,
                     value[end] > p->most ? " →" : "");
    const double least = fmin(value[0], value[1]), most = fmax(value[0], value[1]);
    if (least >= p->today || most <= p->today) {
        const bool right = least >= p->today;
        if (isinf(least))
            snprintf(both, sizeof both, "%s", text[0]);
        else
            snprintf(both, sizeof both, "%s, %s", text[0], text[1]);
        set_text(d, both, x_of(p, right ? fmax(most, p->today) : least) + (right ? gap : -gap),
                 middle, right ? -1 : 1);
        return;
    }
    for (int end = 0; end < 2; end++) {
        const bool right = value[end] > p->today;
        set_text(d, text[end], x_of(p, value[end]) + (right ? gap : -gap), middle, right ? -1 : 1);
    }
}

static void draw_chances(aw_draft *d, const panel *p, const aw_sensitivity_end *low,
                         const aw_sensitivity_end *high, double middle)
{
    char text[160];
    if (isnan(low->result.parts[AW_PART_CHANCE].found.value) &&
        isnan(high->result.parts[AW_PART_CHANCE].found.value))
        return;
    const aw_length_text chances[2] = {aw_chance_words(&low->result),
                                       aw_chance_words(&high->result)};
    const bool same = strcmp(chances[0].text, chances[1].text) == 0;
    snprintf(text, sizeof text, "%s%s%s", chances[0].text, same ? "" : ", ",
             same ? "" : chances[1].text);
    set_text(d, text, p->chances, middle, -1);
}

static void draw_name(aw_draft *d, const panel *p, aw_assumption a, double middle)
{
    const aw_assumption_range *x = &p->v->assumed[a];
    const aw_assumption_row *row = &aw_assumption_rows[a];
    char low[AW_ASSUMED_ROOM], high[AW_ASSUMED_ROOM], text[128], shown[160];
    aw_assumption_range_words(row, x->low, d->scenario->units, low);
    aw_assumption_range_words(row, x->high, d->scenario->units, high);
    snprintf(text, sizeof text, "%s, %s … %s", row->name, low, high);
    aw_block_fit(d, AW_INK_NOTE, text, p->box.low.x - p->names - LEFT * d->sheet->text_size, shown,
                 sizeof shown);
    set_text(d, shown, p->names, middle, -1);
}

static void draw_bar(aw_draft *d, const panel *p, aw_assumption a, double y)
{
    const aw_sensitivity_end *low = aw_sensitivity_at(p->v, p->zone, a, 0);
    const aw_sensitivity_end *high = aw_sensitivity_at(p->v, p->zone, a, 1);
    const double value[2] = {lost_or(low->result.errors.p95), lost_or(high->result.errors.p95)};
    const double thick = THICK * d->sheet->text_size, middle = y + thick;
    draw_half(d, p, value[0], AW_SHADE_LOW_END, y);
    draw_half(d, p, value[1], AW_SHADE_HIGH_END, y + thick);
    draw_name(d, p, a, middle);
    draw_figures(d, p, value, middle);
    draw_chances(d, p, low, high, middle);
}

static void draw_joint(aw_draft *d, const panel *p, double y)
{
    const aw_joint *j = &p->v->joint[p->zone];
    const double thick = THICK * d->sheet->text_size, middle = y + thick;
    const aw_point low = {x_of(p, j->p05), y + thick / 2},
                   high = {x_of(p, j->p95), y + 1.5 * thick};
    char text[64], share[AW_FIGURE_ROOM];
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_LAND, 0, low, high);
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_RULE, 0, low, high);
    set_text(d, "all together, nine draws of ten", p->names, middle, -1);
    snprintf(text, sizeof text, "%.0f", j->p05 * p->unit);
    set_text(d, text, low.x - 0.5 * d->sheet->text_size, middle, 1);
    if (isinf(j->p95))
        snprintf(text, sizeof text, "none →");
    else
        snprintf(text, sizeof text, "%.0f%s", j->p95 * p->unit, j->p95 > p->most ? " →" : "");
    set_text(d, text, high.x + 0.5 * d->sheet->text_size, middle, -1);
    if (!isnan(j->holding.value)) {
        snprintf(text, sizeof text, "holds in %s", aw_figure_share(j->holding.value, share));
        set_text(d, text, p->chances, middle, -1);
    }
}

/* --- one panel --- */

static void draw_mark(aw_draft *d, const panel *p, aw_ink ink, double value, double foot)
{
    if (!isnan(value) && value >= p->from && value <= p->most)
        aw_sheet_line(d->sheet, ink, (aw_point){x_of(p, value), p->box.low.y},
                      (aw_point){x_of(p, value), foot});
}

static void draw_head(aw_draft *d, const panel *p, double y)
{
    const aw_zone *z = &p->v->zones[p->zone];
    const aw_zone_result *r = &p->v->today[p->zone];
    const bool has_chance = !isnan(r->parts[AW_PART_CHANCE].found.value);
    char line[320], today[AW_FIGURE_ROOM];
    aw_block b = {{p->names, y}, {d->map.high.x, p->box.low.y}};
    b.high.x = p->chances + 11.5 * d->sheet->text_size;
    aw_block_text(d, &b, AW_INK_ZONE_NAME, z->name, 1);
    snprintf(today, sizeof today, "%.0f", p->today * p->unit);
    aw_figure_tell_apart(p->today * p->unit, p->need * p->unit, true, "", today);
    int n = snprintf(line, sizeof line, isnan(p->today) ? "no p95 today" : "p95 %s %s today", today,
                     unit_name(d->scenario));
    if (!isnan(p->need))
        n += snprintf(line + n, sizeof line - (size_t)n, ", need %.6g %s", p->need * p->unit,
                      unit_name(d->scenario));
    if (has_chance)
        n += snprintf(line + n, sizeof line - (size_t)n, ", chance %s", aw_chance_words(r).text);
    if (r->verdict != AW_NO_NEED)
        snprintf(line + n, sizeof line - (size_t)n, ": %s", aw_zone_verdict_word(r));
    aw_block_text(d, &b, AW_INK_NOTE, line, 1);
    if (has_chance && !isnan(p->today))
        set_text(d, "chance", p->chances, p->box.low.y - 0.7 * d->sheet->text_size, -1);
}

/* How many bars fit, of those there are, over that of all together. */
static size_t bars_that_fit(const aw_draft *d, const panel *p, size_t n)
{
    const double room = p->box.high.y - p->box.low.y;
    const double fit = floor(room / (PITCH * d->sheet->text_size)) - 1;
    return fit < 0 ? 0 : fit < (double)n ? (size_t)fit : n;
}

/* Returns how many bars were left out. */
static size_t draw_panel(aw_draft *d, const aw_sensitivity *v, size_t zone, aw_box box)
{
    const double t = d->sheet->text_size, wide = box.high.x - box.low.x;
    const double names = fmin(29 * t, 0.45 * wide);
    panel p = {.v = v,
               .zone = zone,
               .names = box.low.x + t,
               .chances = box.high.x - 11.5 * t,
               .today = v->today[zone].errors.p95,
               .need = v->zones[zone].need.p95,
               .unit = unit_of(d->scenario)};
    aw_assumption order[AW_ASSUMPTIONS];
    const size_t n = aw_sensitivity_rank(v, zone, order);
    p.box = (aw_box){{box.low.x + t + names, box.low.y + HEAD * t},
                     {p.chances - RIGHT * t, box.high.y - 0.5 * t}};
    draw_head(d, &p, box.low.y + 0.8 * t);
    if (isnan(p.today)) {
        aw_block b = {{p.names, p.box.low.y}, {p.chances, p.box.high.y}};
        aw_block_text(d, &b, AW_INK_NOTE, "No bars without a p95 today: the table has the ends.",
                      2);
        return 0;
    }
    choose_scale(&p);
    const size_t shown = bars_that_fit(d, &p, n);
    const double foot = p.box.low.y + (double)(shown + 1) * PITCH * t;
    draw_mark(d, &p, AW_INK_RULE, p.today, foot);
    draw_mark(d, &p, AW_INK_NEED, p.need, foot);
    for (size_t k = 0; k < shown; k++)
        draw_bar(d, &p, order[k], p.box.low.y + ((double)k * PITCH + 0.3) * t);
    draw_joint(d, &p, p.box.low.y + ((double)shown * PITCH + 0.3) * t);
    return n - shown;
}

/* --- tolerances --- */

static void draw_tolerances(aw_draft *d, const aw_sensitivity *v, aw_box box)
{
    const double t = d->sheet->text_size;
    aw_block b = {{box.low.x + t, box.low.y + 0.8 * t}, {box.high.x - 2 * t, box.high.y}};
    aw_block_text(d, &b, AW_INK_ZONE_NAME, "Tolerances with which every need is met", 1);
    aw_block_text(d, &b, AW_INK_NOTE,
                  "1 sigma, one at a time, all else as today; what that takes "
                  "is common practice",
                  2);
    for (int kind = 0; kind < AW_TOLERANCES; kind++) {
        const aw_tolerance *x = &v->tolerances[kind];
        const char *name = aw_tolerance_rows[kind].name;
        aw_text limit = {0};
        char line[512];
        aw_tolerance_limit_words(v, x, &limit);
        if (isnan(x->most))
            snprintf(line, sizeof line, "%s: no room (%s)", name, limit.n > 0 ? limit.at : "");
        else
            snprintf(line, sizeof line, "%s: %s %.3g %s: %s", name,
                     x->most >= AW_MOST_TOLERANCE ? "even" : "at most",
                     x->most * unit_of(d->scenario), unit_name(d->scenario),
                     aw_tolerance_words((aw_tolerance_kind)kind, x->most));
        b.low.y += 0.5 * t;
        aw_block_text(d, &b, AW_INK_NOTE, line, 3);
        d->sheet->failed = d->sheet->failed || limit.failed;
        aw_text_free(&limit);
    }
}

/* --- the sheet --- */

static void word(aw_draft *d, const aw_sensitivity *v)
{
    const aw_scenario *s = d->scenario;
    char share[AW_FIGURE_ROOM];
    d->words.flat = true;
    snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    aw_draft_fact(d, "Sensitivity of p95, %s", unit_name(s));
    snprintf(d->words.legend, sizeof d->words.legend, "HOW TO READ IT");
    aw_draft_entry(d, AW_SYMBOL_LOW_END, AW_INK_TINT, "upper: low end of the range");
    aw_draft_entry(d, AW_SYMBOL_HIGH_END, AW_INK_TINT, "lower: high end");
    aw_draft_entry(d, AW_SYMBOL_JOINT, AW_INK_LAND, "all together");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_RULE, "p95 today");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_NEED, "the need");
    d->words.reserved = d->words.n_entries;
    aw_draft_note(d,
                  "At the bars p95 with the assumption at its low and its high end (→ beyond the "
                  "scale, none: no p95), right the chance likewise. The table tells what the "
                  "ranges rest on.");
    if (!isnan(v->holding.value))
        aw_draft_note(d, "Every need holds in %s of %d draws of all together.",
                      aw_figure_share(v->holding.value, share), AW_JOINT);
    aw_draft_note(d, "%s%s, seed %llu.", aw_draws_words(&s->study).text,
                  isnan(s->study.precision) ? " in every cell" : "",
                  (unsigned long long)s->study.seed);
    aw_draft_note_terms(d);
}

/* Columns that come nearest to panels twice as wide as deep. */
static size_t choose_columns(const aw_draft *d, size_t n)
{
    const double wide = d->map.high.x - d->map.low.x, deep = d->map.high.y - d->map.low.y;
    size_t best = 1;
    double least = HUGE_VAL;
    for (size_t columns = 1; columns <= 3 && columns <= n; columns++) {
        const double rows = ceil((double)n / (double)columns);
        const double off = fabs(log(wide / (double)columns / (deep / rows) / 2));
        if (off < least) {
            best = columns;
            least = off;
        }
    }
    return best;
}

/* Tolerances take the cell that the panels leave free, else a band under them. */
static size_t draw_panels(aw_draft *d, const aw_sensitivity *v)
{
    const bool needs = !isnan(v->holding.value);
    const size_t n = v->n_zones < MOST_PANELS ? v->n_zones : MOST_PANELS;
    const size_t columns = choose_columns(d, n), rows = (n + columns - 1) / columns;
    const bool under = needs && n == rows * columns;
    const aw_point low = d->map.low, high = d->map.high;
    const double band = under ? BAND * d->sheet->text_size : 0;
    const double wide = (high.x - low.x) / (double)columns;
    const double deep = (high.y - band - low.y) / (double)rows;
    size_t left_out = v->n_zones - n;
    for (size_t i = 0; i < rows * columns; i++) {
        const aw_point at = {low.x + wide * (double)(i % columns),
                             low.y + deep * (double)(i / columns)};
        const aw_box box = {at, {at.x + wide, at.y + deep}};
        if (i < n)
            left_out += draw_panel(d, v, i, box);
        else if (i == n && needs)
            draw_tolerances(d, v, box);
    }
    if (under)
        draw_tolerances(d, v, (aw_box){{low.x, high.y - band}, high});
    return left_out;
}

static const aw_block_of strip[] = {
    {aw_lay_legend, 92}, {aw_lay_notes, 150}, {aw_lay_title, 75}, {NULL, 0}};

static void draw(aw_draft *d, const aw_sensitivity *v)
{
    aw_text headline = {0};
    char subtitle[160];
    word(d, v);
    aw_draft_begin(d);
    const double k = aw_draft_type(d), foot = aw_draft_lay_strip(d, strip) - UNDER * k;
    d->map = (aw_box){{d->frame.low.x, AW_HEAD_DEPTH * k}, {d->frame.high.x, foot}};
    const size_t left_out = draw_panels(d, v);
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_NEAT, 0, d->map.low, d->map.high);
    if (left_out > 0)
        snprintf(subtitle, sizeof subtitle, "%zu bars or zones are in the table only", left_out);
    else
        snprintf(subtitle, sizeof subtitle, "every assumption at both ends of its range");
    aw_sensitivity_headline(v, &headline);
    d->sheet->failed |= headline.failed;
    aw_draft_head(d, subtitle, headline.at != NULL ? headline.at : "");
    aw_draft_add_blocks(d);
    aw_text_free(&headline);
}

bool aw_bars_draw(aw_sheet *sheet, const aw_bars *what, aw_errors *errors)
{
    aw_draft d = {.sheet = sheet, .scenario = what->scenario, .options = &what->options};
    if (aw_draft_open(&d))
        draw(&d, what->sensitivity);
    return aw_draft_close(&d, errors);
}
