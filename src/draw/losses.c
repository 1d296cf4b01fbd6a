#include "draw/losses.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/lengths.h"
#include "report/outage.h"
#include "report/stamp.h"

/* A loss that raises p95 by less than this is spare; and where discs and lines end to grow. */
#define COSTS 1.15
#define MOST  20.0
/* mm on A3: of the triangle. */
#define CELL      3.6
#define MOST_SIDE 40 /* anchors */

static const aw_outage *outage_of(const aw_draft *d)
{
    return ((const aw_losses *)d->study)->outage;
}

/* What an anchor's loss comes to. */
typedef struct cost {
    size_t place; /* the zone that suffers most, from 1 on; 0: no zone has a need */
    double factor;
    bool fells;
} cost;

static cost cost_of(const aw_draft *d, size_t anchor)
{
    const aw_outage *o = outage_of(d);
    const size_t loss = anchor + 1, place = aw_outage_sufferer(o, d->scenario, loss);
    return (cost){place, place > 0 ? aw_outage_factor(o, place, loss) : 1,
                  aw_outage_count_felled(o, d->scenario, loss) > 0};
}

static double radius_of(const aw_draft *d, double factor)
{
    return (1.3 + 2 * log10(fmin(fmax(factor, 1), MOST))) * aw_draft_type(d);
}

static aw_point place_of(const aw_draft *d, size_t anchor)
{
    const double *at = d->scenario->anchors[anchor].at;
    return aw_draft_to_paper(d, (aw_point){at[0], at[1]});
}

static bool counts(const cost *c)
{
    return c->fells || c->factor >= COSTS;
}

/* --- the plan --- */

/* The middle of a zone's part of the window. */
static aw_point middle_of(const aw_draft *d, size_t place)
{
    const aw_box w = aw_draft_shown_box(d, &d->scenario->zones[place - 1].outline);
    return (aw_point){(w.low.x + w.high.x) / 2, (w.low.y + w.high.y) / 2};
}

/* A strip of paper as wide as the factor says. */
static void add_line(aw_draft *d, aw_point from, aw_point to, const cost *c)
{
    const double half = (0.3 + 0.25 * log2(fmin(fmax(c->factor, 1), MOST))) / 2;
    const double length = hypot(to.x - from.x, to.y - from.y);
    if (length < 0.1)
        return;
    const aw_point n = {-(to.y - from.y) / length * half, (to.x - from.x) / length * half};
    aw_item *strip = aw_sheet_add(d->sheet, AW_ITEM_FILL, c->fells ? AW_INK_FELLS : AW_INK_DEEP);
    aw_sheet_point(d->sheet, strip, from.x + n.x, from.y + n.y);
    aw_sheet_point(d->sheet, strip, to.x + n.x, to.y + n.y);
    aw_sheet_point(d->sheet, strip, to.x - n.x, to.y - n.y);
    aw_sheet_point(d->sheet, strip, from.x - n.x, from.y - n.y);
    aw_sheet_end_path(d->sheet, strip);
}

static void add_disc(aw_draft *d, size_t anchor, const cost *c)
{
    const aw_point p = place_of(d, anchor);
    const double k = aw_draft_type(d), r = counts(c) ? radius_of(d, c->factor) : 1.1 * k;
    aw_sheet_circle(d->sheet, AW_ITEM_FILL,
                    c->fells    ? AW_INK_STIPPLE
                    : counts(c) ? AW_INK_DISC
                                : AW_INK_PAPER,
                    p, r);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_RING, p, r);
    aw_draft_take(d, (aw_box){{p.x - r, p.y - r}, {p.x + r, p.y + r}});
}

static void add_name(aw_draft *d, size_t anchor, const cost *c)
{
    const double k = aw_draft_type(d), r = counts(c) ? radius_of(d, c->factor) : 1.1 * k;
    char text[300];
    if (!counts(c))
        snprintf(text, sizeof text, "%s", d->scenario->anchors[anchor].name);
    else if (isinf(c->factor))
        snprintf(text, sizeof text, "%s no p95", d->scenario->anchors[anchor].name);
    else
        snprintf(text, sizeof text, "%s ×%.2g", d->scenario->anchors[anchor].name, c->factor);
    const aw_label label = {c->fells ? AW_INK_LIMIT_NAME : AW_INK_NAME, (const char *[]){text}, 1};
    aw_draft_label(d, &label, place_of(d, anchor), r + 0.6, 40);
}

static void draw_plan(aw_draft *d)
{
    const size_t n = outage_of(d)->n_singles;
    aw_draft_open_window(d, 0);
    aw_draft_water(d);
    aw_draft_land(d);
    aw_draft_zones(d);
    for (size_t i = 0; i < n; i++) {
        const cost c = cost_of(d, i);
        if (counts(&c) && c.place > 0)
            add_line(d, place_of(d, i), middle_of(d, c.place), &c);
    }
    for (size_t i = 0; i < n; i++) {
        const cost c = cost_of(d, i);
        add_disc(d, i, &c);
    }
    aw_draft_zone_blocks(d);
    for (size_t i = 0; i < n; i++) {
        const cost c = cost_of(d, i);
        add_name(d, i, &c);
    }
    aw_draft_land_names(d);
    aw_draft_close_window(d);
    aw_draft_neat_line(d);
}

/* --- the table of losses --- */

#define ZONE_COLUMN 11.0
#define NAME_COLUMN 16.0
#define MOST_ZONES  6

/* Zones with a need, the first few, as places; how many. */
static size_t list_places(const aw_draft *d, size_t places[MOST_ZONES])
{
    size_t n = 0;
    for (size_t i = 0; i < d->scenario->n_zones && n < MOST_ZONES; i++)
        if (aw_need_is_stated(&d->scenario->zones[i].need))
            places[n++] = i + 1;
    return n;
}

static double column_of(const aw_draft *d, double x, size_t zone)
{
    return x + (NAME_COLUMN + ZONE_COLUMN * ((double)zone + 0.85)) * aw_draft_type(d);
}

static void loss_heads(aw_draft *d, double x, double base, double width)
{
    size_t places[MOST_ZONES];
    const size_t n = list_places(d, places);
    for (size_t k = 0; k < n; k++)
        aw_draft_put(d, AW_INK_TABLE_HEAD, aw_zone_letter(places[k] - 1).text, column_of(d, x, k),
                     base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "so it", x + width, base, AW_AT_RIGHT);
}

/* Row 0 is no loss. */
static void loss_row(aw_draft *d, size_t loss, double x, double base, double width)
{
    const aw_outage *o = outage_of(d);
    const double k = aw_draft_type(d);
    size_t places[MOST_ZONES];
    const size_t n = list_places(d, places);
    const cost c = loss > 0 ? cost_of(d, loss - 1) : (cost){0, 1, false};
    aw_draft_put_cut(d, AW_INK_TABLE_NAME,
                     loss > 0 ? d->scenario->anchors[loss - 1].name : "with all", x, base,
                     (NAME_COLUMN - 1) * k);
    for (size_t i = 0; i < n; i++) {
        const double p95 = aw_outage_at(o, places[i], loss)->p95;
        const bool falls = aw_outage_fells(o, places[i], loss);
        aw_draft_put(d, falls ? AW_INK_VERDICT_MISSED : AW_INK_RESULT,
                     isfinite(p95) ? aw_sheet_figure(p95, NAN, d->scenario->units).text : "none",
                     column_of(d, x, i), base, AW_AT_RIGHT);
    }
    if (loss > 0)
        aw_draft_put(d, c.fells ? AW_INK_VERDICT_MISSED : AW_INK_TABLE,
                     c.fells      ? "fells a need"
                     : counts(&c) ? "costs"
                                  : "is spare",
                     x + width, base, AW_AT_RIGHT);
}

static double lay_losses(aw_draft *d, aw_point at, double width, bool draw)
{
    size_t places[MOST_ZONES];
    const double column = NAME_COLUMN + ZONE_COLUMN * (double)list_places(d, places) + 18;
    const aw_rows rows = {d->scenario->units == AW_FEET ? "P95 WITHOUT IT, INCHES"
                                                        : "P95 WITHOUT IT, CM",
                          outage_of(d)->n_singles + 1, column, loss_heads, loss_row};
    const size_t most = aw_rows_columns(d, &rows, width) * 2 * aw_rows_most(d);
    const aw_box box = {at, {at.x + width, d->sheet->height}};
    return aw_rows_lay(d, &rows, 0, rows.n < most ? rows.n : most, box, draw);
}

/* --- all pairs --- */

/* By the factor on p95 of the zone that suffers most. */
static double shade_of(double factor)
{
    static const double borders[] = {1.15, 2, 5, 10};
    size_t class = 0;
    while (class < 4 && factor >= borders[class])
        class ++;
    return (double)class / (AW_TINTS - 1) * 1.5;
}

static void pair_cell(aw_draft *d, size_t loss, aw_point low, double side)
{
    const aw_outage *o = outage_of(d);
    const size_t place = aw_outage_sufferer(o, d->scenario, loss);
    const double factor = place > 0 ? aw_outage_factor(o, place, loss) : 1;
    const size_t felled = aw_outage_count_felled(o, d->scenario, loss);
    const aw_point high = {low.x + side, low.y + side};
    char text[16];
    if (isinf(factor))
        aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_NO_FIX, 0, low, high);
    else
        aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, shade_of(factor), low, high);
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_CROSS, 0, low, high);
    snprintf(text, sizeof text, "%zu", felled);
    if (felled > 0)
        aw_draft_put(d, AW_INK_FELLED, text, low.x + side / 2, low.y + 0.77 * side, AW_AT_MIDDLE);
}

/* Each anchor's name at the end of its row and over its column's first cell. */
static double lay_pairs(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_outage *o = outage_of(d);
    const size_t n = o->n_singles;
    const double k = aw_draft_type(d), names = 9 * k;
    const double side = fmin(CELL * k, (width - 2 * names) / (double)n);
    if (n < 2 || n > MOST_SIDE || o->n_losses <= n + 1)
        return at.y;
    const double top =
        aw_block_head(d, "BOTH LOST: NEEDS THAT FALL, ON TINTS OF P95", at, width, draw) + 3 * k;
    for (size_t loss = n + 1; draw && loss < o->n_losses; loss++) {
        const aw_loss *pair = &o->losses[loss];
        const size_t i = pair->anchor[0] < pair->anchor[1] ? pair->anchor[0] : pair->anchor[1];
        const size_t j = pair->anchor[0] + pair->anchor[1] - i;
        pair_cell(d, loss,
                  (aw_point){at.x + names + side * (double)i, top + side * (double)(j - 1)}, side);
    }
    for (size_t i = 0; draw && i < n; i++) {
        const double base = top + side * ((double)i - 0.23);
        const char *name = d->scenario->anchors[i].name;
        if (i > 0)
            aw_draft_put_cut(d, AW_INK_LABEL, name, at.x, base, names - k);
        if (i + 1 < n)
            aw_draft_put_cut(d, AW_INK_LABEL, name, at.x + names + side * (double)i + 0.3 * k,
                             top + side * ((double)i - 0.23), names - k);
    }
    return top + side * (double)(n - 1) + 1.5 * k;
}

/* --- the sheet --- */

static void word(aw_draft *d, char subtitle[512])
{
    const aw_scenario *s = d->scenario;
    snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    aw_draft_fact(d, "Outage sheet: what each anchor's loss costs");
    snprintf(subtitle, 512, "%zu anchors, one or two lost", s->n_anchors);
    aw_draft_note(d,
                  "A disc is as large as what its loss does to p95 of the zone that suffers most, "
                  "by linear estimates; a line leads to that zone. Zones without a need, and needs "
                  "that are not met with all anchors, count for none.");
    aw_draft_note(d, "In the triangle from pale to deep: up to 1.15, 2, 5, 10 times, and over.");
    aw_draft_note_terms(d);
    snprintf(d->words.legend, sizeof d->words.legend, "MARKS");
    aw_draft_entry(d, AW_SYMBOL_DISC_FELLS, AW_INK_STIPPLE, "a need that is met falls");
    aw_draft_entry(d, AW_SYMBOL_DISC, AW_INK_DISC, "p95 grows by 15 %% or more");
    aw_draft_entry(d, AW_SYMBOL_DISC_SPARE, AW_INK_PAPER, "spare");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
    d->words.reserved = d->words.n_entries;
}

static double lay_marks_and_notes(aw_draft *d, aw_point at, double width, bool draw)
{
    const double y = aw_lay_legend(d, at, width, draw);
    return aw_lay_notes(d, (aw_point){at.x, y}, width, draw);
}

static const aw_arrangement arrangements[] = {
    {.beside = {{lay_losses, 80}},
     .under = {{lay_pairs, 96}, {lay_marks_and_notes, 100}, {aw_lay_title, 75}}},
    {.beside = {{lay_losses, 80}, {aw_lay_title, 0}},
     .under = {{lay_pairs, 96}, {lay_marks_and_notes, 130}}},
    {.under = {{lay_losses, 100}, {lay_pairs, 96}, {lay_marks_and_notes, 90}, {aw_lay_title, 75}}},
};

bool aw_losses_draw(aw_sheet *sheet, const aw_losses *what, aw_errors *errors)
{
    const aw_assessment intact = {.zones = what->outage->intact};
    aw_chart_options options = what->options;
    options.layer = AW_LAYER_P95; /* stamps are of p95 */
    aw_draft d = {.sheet = sheet,
                  .scenario = what->scenario,
                  .options = &options,
                  .assessment = &intact,
                  .study = what,
                  .whole = true};
    aw_text headline = {0};
    char subtitle[512];
    if (aw_draft_open(&d)) {
        word(&d, subtitle);
        aw_outage_headline(what->outage, what->scenario, &headline);
        sheet->failed |= headline.failed;
        if (!sheet->failed) {
            aw_draft_begin(&d);
            aw_draft_lay_plan(&d, arrangements, sizeof arrangements / sizeof *arrangements);
            draw_plan(&d);
            aw_draft_drop_unseen(&d);
            aw_draft_head(&d, subtitle, headline.at);
            aw_draft_add_blocks(&d);
        }
    }
    aw_text_free(&headline);
    return aw_draft_close(&d, errors);
}
