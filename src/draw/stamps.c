/* What is told of a zone where it lies: its letter and name, what it needs and whether that is met,
 * and a buoy at its worst spot. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "draw/floor_sheet.h"
#include "report/lengths.h"
#include "report/stamp.h"

/* mm on A3: lines of a block, the height of a stamp and what is clear in it, the buoy's spar. */
#define NAME_LINE 3.7
#define NEED_LINE 3.0
#define STAMP     3.7
#define INSIDE    0.9
#define SPAR      3.4
/* Places of a block are tried so far apart, mm. */
#define GRID 1.5
/* What of a zone is in a window must be so wide to be named there, mm. */
#define SHOWN 1.0

const aw_zone_result *aw_draft_result(const aw_draft *d, size_t zone)
{
    const aw_zone *z = &d->scenario->zones[zone];
    const bool other = d->options->by_tag && z->tag != d->options->tag;
    return d->assessment != NULL && !other ? &d->assessment->zones[zone] : NULL;
}

static bool is_missed(const aw_draft *d, size_t zone)
{
    const aw_zone_result *r = aw_draft_result(d, zone);
    return r != NULL && r->verdict == AW_NOT_MET;
}

void aw_draft_letter(aw_draft *d, size_t zone, bool missed, aw_point middle)
{
    const double k = aw_draft_type(d), radius = 1.5 * k;
    const aw_letter_text letter = aw_zone_letter(zone);
    const aw_ink ink = missed ? AW_INK_LETTER_MISSED : AW_INK_LETTER;
    const double size = aw_ink_rows[ink].size * d->sheet->text_size;
    const double across = letter.text[1] != '\0' ? 1.35 * radius : radius;
    aw_sheet_ellipse(d->sheet, AW_ITEM_FILL, missed ? AW_INK_STIPPLE : AW_INK_PAPER, middle,
                     (aw_point){across, radius}, 0);
    if (!missed)
        aw_sheet_ellipse(d->sheet, AW_ITEM_LINE, AW_INK_RING, middle, (aw_point){across, radius},
                         0);
    const double wide = aw_sheet_measure(d->sheet, ink, letter.text).x;
    aw_draft_set_text(d, ink, letter.text,
                      (aw_point){middle.x - wide / 2, middle.y + 0.36 * size - 0.92 * size});
}

/* --- worst spots --- */

void aw_draft_worst_mark(aw_draft *d, aw_point foot, bool missed, double lean)
{
    const double k = aw_draft_type(d);
    const aw_point top = {foot.x + lean * k, foot.y - SPAR * k};
    const aw_ink ink = missed ? AW_INK_SPAR_MISSED : AW_INK_SPAR;
    aw_sheet_line(d->sheet, AW_INK_HALO, foot, top);
    aw_sheet_line(d->sheet, ink, (aw_point){foot.x - 1.1 * k, foot.y},
                  (aw_point){foot.x + 1.1 * k, foot.y});
    aw_sheet_line(d->sheet, ink, foot, top);
    aw_sheet_circle(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, foot, 0.5 * k);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, ink, foot, 0.5 * k);
    for (int disc = 0; disc < (missed ? 2 : 1); disc++) {
        const aw_point c = {top.x - lean * k * 0.35 * disc, top.y + 1.25 * k * disc};
        aw_sheet_circle(d->sheet, AW_ITEM_FILL, missed ? AW_INK_STIPPLE : AW_INK_PAPER, c,
                        0.55 * k);
        if (!missed)
            aw_sheet_circle(d->sheet, AW_ITEM_LINE, ink, c, 0.55 * k);
    }
}

/* Where the mark of a zone stands; false without one. */
static bool find_worst(const aw_draft *d, size_t zone, aw_point *foot)
{
    const aw_zone_result *r = aw_draft_result(d, zone);
    if (r == NULL || !isfinite(r->errors.worst_at[0]) || d->options->layer != AW_LAYER_P95)
        return false;
    *foot = aw_draft_to_paper(d, (aw_point){r->errors.worst_at[0], r->errors.worst_at[1]});
    return aw_draft_in_window(d, *foot);
}

/* The spar leans into the map. */
static double lean_of(const aw_draft *d, aw_point foot)
{
    return foot.x > (d->map.low.x + d->map.high.x) / 2 ? -0.9 : 0.9;
}

void aw_draft_worst_spots(aw_draft *d)
{
    const double k = aw_draft_type(d);
    for (size_t i = 0; i < d->scenario->n_zones; i++) {
        aw_point foot;
        if (!find_worst(d, i, &foot))
            continue;
        const double lean = lean_of(d, foot);
        aw_draft_worst_mark(d, foot, is_missed(d, i), lean);
        d->marked[is_missed(d, i) ? AW_SYMBOL_WORST_MISSED : AW_SYMBOL_WORST] = true;
        aw_draft_take(d, (aw_box){{foot.x + fmin(lean, -1.2) * k, foot.y - (SPAR + 0.6) * k},
                                  {foot.x + fmax(lean, 1.2) * k, foot.y + 0.7 * k}});
    }
}

void aw_draft_worst_figures(aw_draft *d)
{
    const double k = aw_draft_type(d);
    for (size_t i = 0; i < d->scenario->n_zones; i++) {
        aw_point foot;
        char figure[24] = "no fix", text[48];
        if (!find_worst(d, i, &foot))
            continue;
        const double worst = aw_draft_result(d, i)->errors.worst_p95;
        if (!isnan(worst))
            aw_draft_figure(d, worst, figure);
        snprintf(text, sizeof text, "%s %s", aw_zone_letter(i).text, figure);
        const aw_label label = {AW_INK_WORST, (const char *[]){text}, 1};
        aw_draft_label(d, &label, (aw_point){foot.x, foot.y - SPAR / 2 * k}, 2.2 * k, 40);
    }
}

/* --- blocks --- */

/* Which lines a block has: fallbacks have fewer. */
typedef struct block {
    char name[160], need[160], part[128];
    const char *word;
    aw_verdict verdict;
    bool missed, well, has_name, has_need, has_stamp;
    aw_ink ink; /* of the stamp's word */
    aw_point size;
    double stamp_width;
} block;

static void word_need(const aw_draft *d, const aw_zone *z, char out[160])
{
    const aw_units units = d->scenario->units;
    int n = 0;
    out[0] = '\0';
    if (d->options->by_tag && z->tag != d->options->tag)
        n = snprintf(out, 160, "need of another tag");
    else if (!isnan(z->need.p95))
        n = snprintf(out, 160, "p95 ≤ %s %s", aw_sheet_need(z->need.p95, units).text,
                     aw_sheet_unit(units));
    else if (aw_need_is_stated(&z->need))
        n = snprintf(out, 160, "need: see the table of assess");
    if (n > 0 && !isnan(z->need.p95) && !isnan(z->need.share))
        n += snprintf(out + n, 160 - (size_t)n, " in %.3g %% of cells", 100 * z->need.share);
    if (z->tag != 0)
        snprintf(out + n, 160 - (size_t)n, "%s%s", n > 0 ? ", " : "",
                 d->scenario->tags[z->tag].name);
}

static void word_block(const aw_draft *d, size_t zone, block *b)
{
    const aw_zone *z = &d->scenario->zones[zone];
    const aw_zone_result *r = aw_draft_result(d, zone);
    aw_text part = {0};
    *b = (block){.verdict = AW_NO_NEED, .has_name = true};
    snprintf(b->name, sizeof b->name, "%s", z->name);
    word_need(d, z, b->need);
    b->has_need = b->need[0] != '\0';
    if (r == NULL || d->options->layer != AW_LAYER_P95)
        return;
    b->has_stamp = true;
    b->verdict = r->verdict;
    b->well = r->with_margin;
    b->missed = r->verdict == AW_NOT_MET;
    b->word = aw_stamp_word(r);
    b->ink = b->missed                  ? AW_INK_STAMP_MISSED
             : r->verdict == AW_NO_NEED ? AW_INK_STAMP_SOFT
                                        : AW_INK_STAMP;
    aw_stamp_part(r, d->scenario->units, AW_ON_A_SHEET, &part);
    snprintf(b->part, sizeof b->part, "%s", part.at != NULL ? part.at : "");
    aw_text_free(&part);
}

static void measure_block(const aw_draft *d, block *b)
{
    const double k = aw_draft_type(d);
    b->size = (aw_point){3.2 * k, b->has_name ? NAME_LINE * k : 3.2 * k};
    if (b->has_name)
        b->size.x += aw_sheet_measure(d->sheet, AW_INK_ZONE_NAME, b->name).x + 0.8 * k;
    if (b->has_need) {
        b->size.x = fmax(b->size.x, aw_sheet_measure(d->sheet, AW_INK_ZONE_NEED, b->need).x);
        b->size.y += NEED_LINE * k;
    }
    if (b->has_stamp) {
        b->stamp_width = aw_sheet_measure(d->sheet, b->ink, b->word).x + 2 * INSIDE * k;
        if (b->part[0] != '\0')
            b->stamp_width += aw_sheet_measure(d->sheet, AW_INK_STAMP_PART, b->part).x + 1.2 * k;
        b->size.x = fmax(b->size.x, b->stamp_width + 0.6 * k);
        b->size.y += (STAMP + 0.8) * k;
    }
}

static aw_ink rule_of(const block *b)
{
    return b->missed                    ? AW_INK_NOT_MET
           : b->verdict == AW_NO_NEED   ? AW_INK_UNASKED
           : b->verdict == AW_UNDECIDED ? AW_INK_UNDECIDED
           : b->well                    ? AW_INK_MET_WELL
                                        : AW_INK_MET;
}

static void draw_stamp(aw_draft *d, const block *b, aw_point low)
{
    const double k = aw_draft_type(d);
    const aw_point high = {low.x + b->stamp_width, low.y + STAMP * k};
    const double word = aw_sheet_measure(d->sheet, b->ink, b->word).x;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, 0, low, high);
    if (b->missed)
        aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_NOT_MET_INNER, 0,
                     (aw_point){low.x + 0.45 * k, low.y + 0.45 * k},
                     (aw_point){high.x - 0.45 * k, high.y - 0.45 * k});
    aw_sheet_box(d->sheet, AW_ITEM_LINE, rule_of(b), 0, low, high);
    aw_sheet_text(d->sheet, b->ink, b->word, (aw_point){low.x + INSIDE * k, low.y + 0.55 * k}, 0);
    if (b->part[0] != '\0')
        aw_sheet_text(d->sheet, AW_INK_STAMP_PART, b->part,
                      (aw_point){low.x + INSIDE * k + word + 1.2 * k, low.y + 0.85 * k}, 0);
}

static void draw_block(aw_draft *d, size_t zone, const block *b, aw_point low)
{
    const double k = aw_draft_type(d);
    double y = low.y + (b->has_name ? NAME_LINE : 3.2) * k;
    const size_t taken = d->n_taken;
    aw_draft_letter(d, zone, b->missed, (aw_point){low.x + 1.6 * k, low.y + 1.8 * k});
    if (b->has_name)
        aw_sheet_text(d->sheet, AW_INK_ZONE_NAME, b->name,
                      (aw_point){low.x + 4 * k, low.y + 0.1 * k}, 0);
    if (b->has_need) {
        aw_sheet_text(d->sheet, AW_INK_ZONE_NEED, b->need, (aw_point){low.x + 0.2 * k, y + 0.1 * k},
                      0);
        y += NEED_LINE * k;
    }
    if (b->has_stamp)
        draw_stamp(d, b, (aw_point){low.x + 0.3 * k, y + 0.4 * k});
    d->n_taken = taken;
    aw_draft_take(d, (aw_box){low, {low.x + b->size.x, low.y + b->size.y}});
}

/* Row by row from the upper left corner of the zone. */
static bool try_block(aw_draft *d, size_t zone, block *b, aw_keep_off keep_off)
{
    const aw_polygon *o = &d->scenario->zones[zone].outline;
    const aw_box w = aw_draft_shown_box(d, o);
    measure_block(d, b);
    for (double y = w.low.y + 0.8; y + b->size.y < w.high.y; y += GRID)
        for (double x = w.low.x + 0.8; x + b->size.x < w.high.x; x += GRID) {
            const aw_box box = {{x, y}, {x + b->size.x, y + b->size.y}};
            if (!aw_draft_is_free(d, box) || !aw_draft_is_on(d, o, box) ||
                !aw_draft_on_water(d, box) || aw_draft_is_crossed(d, box, keep_off))
                continue;
            draw_block(d, zone, b, box.low);
            return true;
        }
    return false;
}

/* The letter by itself, if need be beside the zone with a line to it. */
static void set_letter(aw_draft *d, size_t zone, block *b)
{
    const aw_box w = aw_draft_shown_box(d, &d->scenario->zones[zone].outline);
    const aw_point p = {(w.low.x + w.high.x) / 2, (w.low.y + w.high.y) / 2};
    b->has_name = b->has_need = b->has_stamp = false;
    if (try_block(d, zone, b, AW_KEEP_OFF_MOST) || try_block(d, zone, b, AW_KEEP_OFF_NONE))
        return;
    for (double off = 0; off < 120; off += 1.5)
        for (int k = 0; k < 16; k++) {
            const aw_point c = {p.x + off * cos(M_PI / 8 * k), p.y + off * sin(M_PI / 8 * k)};
            const aw_box box = {{c.x - b->size.x / 2, c.y - b->size.y / 2},
                                {c.x + b->size.x / 2, c.y + b->size.y / 2}};
            if (box.low.x < d->map.low.x || box.high.x > d->map.high.x ||
                box.low.y < d->map.low.y || box.high.y > d->map.high.y || !aw_draft_is_free(d, box))
                continue;
            if (off > 3)
                aw_sheet_line(d->sheet, AW_INK_LEADER, p, c);
            draw_block(d, zone, b, box.low);
            return;
        }
    d->n_left_out++;
}

/* All of it; without the need; the name; the letter. */
void aw_draft_zone_blocks(aw_draft *d)
{
    for (size_t i = 0; i < d->scenario->n_zones; i++) {
        const aw_box w = aw_draft_shown_box(d, &d->scenario->zones[i].outline);
        block b;
        if (w.high.x - w.low.x < SHOWN || w.high.y - w.low.y < SHOWN)
            continue;
        word_block(d, i, &b);
        const bool stamp = b.has_stamp;
        if (try_block(d, i, &b, AW_KEEP_OFF_ALL) || try_block(d, i, &b, AW_KEEP_OFF_MOST))
            continue;
        b.has_need = false;
        if (stamp && try_block(d, i, &b, AW_KEEP_OFF_MOST))
            continue;
        b.has_stamp = false;
        if (try_block(d, i, &b, AW_KEEP_OFF_MOST))
            continue;
        set_letter(d, i, &b);
    }
}
