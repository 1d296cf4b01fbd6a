/* Regions on the floor: filled squares with one edge round them, and a label with the heights. */
#include "draw/regions.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/freedom.h"
#include "report/lengths.h"
#include "report/words.h"

/* How near a label stands to its mark or region, and how far it may stand from its mark, mm. */
#define CLOSE 1.6
#define REACH 45.0

/* --- a region --- */

static bool is_in(const aw_freedoms *all, const aw_freedom *f, long i, long j)
{
    if (i < 0 || j < 0 || i >= AW_FREEDOM_SQUARES || j >= AW_FREEDOM_SQUARES)
        return false;
    return all->together ? aw_freedom_shares(all, f, (size_t)i, (size_t)j) : f->square[j][i];
}

static aw_point corner(const aw_draft *d, const aw_freedoms *all, const aw_freedom *f, long i,
                       long j)
{
    const double *at = d->scenario->anchors[f->anchor].at;
    return aw_draft_to_paper(d, all->together
                                    ? aw_freedom_shared_corner(all, f, at, (size_t)i, (size_t)j)
                                    : aw_freedom_corner(all, at, (size_t)i, (size_t)j));
}

/* One path for each run of squares, all of one item, so that no seam shows between them. */
static void fill_region(aw_draft *d, const aw_freedoms *all, const aw_freedom *f)
{
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_FILL, AW_INK_TINT);
    if (item != NULL)
        item->shade = AW_SHADE_REGION;
    for (long j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (long i = 0, end; i < AW_FREEDOM_SQUARES; i = end + 1) {
            for (end = i; is_in(all, f, end, j);)
                end++;
            if (end == i)
                continue;
            const aw_point a = corner(d, all, f, i, j), b = corner(d, all, f, end, j + 1);
            aw_sheet_point(d->sheet, item, a.x, a.y);
            aw_sheet_point(d->sheet, item, b.x, a.y);
            aw_sheet_point(d->sheet, item, b.x, b.y);
            aw_sheet_point(d->sheet, item, a.x, b.y);
            aw_sheet_end_path(d->sheet, item);
        }
}

/* Whether the edge between two squares is one of the region's, and whether a need makes it so: of
 * what all anchors share needs end it everywhere, and nothing is marked. */
static bool is_edge(const aw_freedoms *all, const aw_freedom *f, const long a[2], const long b[2],
                    bool need)
{
    const bool in = is_in(all, f, a[0], a[1]);
    if (in == is_in(all, f, b[0], b[1]))
        return false;
    if (all->together)
        return !need;
    const long *out = in ? b : a;
    const bool known =
        out[0] >= 0 && out[1] >= 0 && out[0] < AW_FREEDOM_SQUARES && out[1] < AW_FREEDOM_SQUARES;
    return need == (known && f->fails[out[1]][out[0]]);
}

/* Every edge between a square and none, runs of them as one line. */
static void edge_region(aw_draft *d, const aw_freedoms *all, const aw_freedom *f, bool upright,
                        bool need)
{
    for (long k = 0; k <= AW_FREEDOM_SQUARES; k++)
        for (long i = 0, end; i < AW_FREEDOM_SQUARES; i = end + 1) {
            for (end = i; end < AW_FREEDOM_SQUARES; end++) {
                const long a[2] = {upright ? k : end, upright ? end : k};
                const long b[2] = {upright ? k - 1 : end, upright ? end : k - 1};
                if (!is_edge(all, f, a, b, need))
                    break;
            }
            if (end > i)
                aw_sheet_line(d->sheet, need ? AW_INK_LIMIT : AW_INK_REGION,
                              upright ? corner(d, all, f, k, i) : corner(d, all, f, i, k),
                              upright ? corner(d, all, f, k, end) : corner(d, all, f, end, k));
        }
}

/* --- its label --- */

/* The box of a region, its anchor's mark included, mm. */
static aw_box bounds_of(const aw_draft *d, const aw_freedoms *all, const aw_freedom *f,
                        aw_point mark)
{
    aw_box b = {{mark.x - 0.8, mark.y - 0.8}, {mark.x + 0.8, mark.y + 0.8}};
    for (long j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (long i = 0; i < AW_FREEDOM_SQUARES; i++) {
            if (!is_in(all, f, i, j))
                continue;
            const aw_point low = corner(d, all, f, i, j + 1), high = corner(d, all, f, i + 1, j);
            b.low = (aw_point){fmin(b.low.x, low.x), fmin(b.low.y, low.y)};
            b.high = (aw_point){fmax(b.high.x, high.x), fmax(b.high.y, high.y)};
        }
    return b;
}

/* Inside the region under and over the mark, else beside the region, clear of all edges. */
static bool try_label(aw_draft *d, const aw_label *label, aw_box region, aw_point mark,
                      aw_keep_off keep_off)
{
    const aw_point size = aw_draft_label_size(d, label);
    const double x =
        fmax(region.low.x + 0.5, fmin(mark.x - size.x / 2, region.high.x - size.x - 0.5));
    const aw_point lows[] = {{x, mark.y + CLOSE},
                             {x, mark.y - CLOSE - size.y},
                             {x, region.high.y + CLOSE},
                             {x, region.low.y - CLOSE - size.y},
                             {region.high.x + CLOSE, mark.y - size.y / 2},
                             {region.low.x - CLOSE - size.x, mark.y - size.y / 2}};
    for (size_t k = 0; k < sizeof lows / sizeof *lows; k++) {
        const aw_box box = {lows[k], {lows[k].x + size.x, lows[k].y + size.y}};
        if (box.low.x < d->map.low.x || box.high.x > d->map.high.x || box.low.y < d->map.low.y ||
            box.high.y > d->map.high.y || !aw_draft_is_free(d, box) ||
            aw_draft_is_crossed(d, box, keep_off))
            continue;
        aw_draft_set_label(d, label, box);
        return true;
    }
    return false;
}

static void add_label(aw_draft *d, const aw_freedoms *all, const aw_freedom *f)
{
    const aw_anchor *a = &d->scenario->anchors[f->anchor];
    const aw_point mark = aw_draft_to_paper(d, (aw_point){a->at[0], a->at[1]});
    const bool still = all->together && f->shared.half == 0;
    const char *const lines[] = {a->name, still ? "stands still" : "only in its place"};
    const aw_label label = {AW_INK_NAME, lines, f->area > 0 && !still ? 1 : 2};
    const aw_box region = bounds_of(d, all, f, mark);
    if (!try_label(d, &label, region, mark, AW_KEEP_OFF_ALL) &&
        !try_label(d, &label, region, mark, AW_KEEP_OFF_MOST))
        aw_draft_label(d, &label, mark, CLOSE, REACH);
}

/* --- what ends a region --- */

/* From a place outwards along a side of the plan: a stroke with a head. */
static void add_arrow(aw_draft *d, aw_point from, aw_point along)
{
    const double k = aw_draft_type(d), length = 3 * k, wing = 0.8 * k;
    const aw_point tip = {from.x + length * along.x, from.y + length * along.y};
    const aw_point neck = {tip.x - wing * along.x, tip.y - wing * along.y};
    aw_sheet_line(d->sheet, AW_INK_OPEN, from, tip);
    aw_sheet_line(d->sheet, AW_INK_OPEN,
                  (aw_point){neck.x - wing * along.y, neck.y + wing * along.x}, tip);
    aw_sheet_line(d->sheet, AW_INK_OPEN,
                  (aw_point){neck.x + wing * along.y, neck.y - wing * along.x}, tip);
}

/* Directions on paper of the sides of the plan. */
static aw_point direction(const aw_draft *d, int side)
{
    static const aw_point upright[] = {{1, 0}, {0, -1}, {-1, 0}, {0, 1}};
    static const aw_point turned[] = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}};
    return d->turned ? turned[side] : upright[side];
}

/* "dispatch misses 0.91 m of p95 there" in two lines under its distance. */
static void add_limit(aw_draft *d, const aw_limit *limit, aw_point mark, int side)
{
    const aw_units units = d->scenario->units;
    const aw_point u = direction(d, side);
    const aw_point end = {mark.x + limit->distance * d->mm * u.x,
                          mark.y + limit->distance * d->mm * u.y};
    char zone[160], part[96];
    snprintf(zone, sizeof zone, "then %s %s", d->scenario->zones[limit->zone].name,
             limit->verdict == AW_UNDECIDED || limit->in_hand ? "is on the line" : "misses");
    snprintf(part, sizeof part, "its %s", aw_part_rows[limit->part].name);
    const aw_length_text far = aw_distance_words(limit->distance, units);
    const aw_label label = {AW_INK_LIMIT_NAME, (const char *[]){far.text, zone, part}, 3};
    aw_sheet_line(d->sheet, AW_INK_CHANGE, mark, end);
    aw_draft_label(d, &label, end, CLOSE, REACH);
}

/* The nearest limit that a need makes has its distance and reason; open sides have arrows. */
static void add_ends(aw_draft *d, const aw_freedoms *all, const aw_freedom *f)
{
    const double *at = d->scenario->anchors[f->anchor].at;
    const aw_point mark = aw_draft_to_paper(d, (aw_point){at[0], at[1]});
    int nearest = -1;
    for (int side = AW_SIDE_EAST; side <= AW_SIDE_SOUTH && !all->together; side++) {
        const aw_limit *l = &f->sides[side];
        const aw_point u = direction(d, side);
        if (l->kind == AW_LIMIT_REACH)
            add_arrow(
                d,
                (aw_point){mark.x + l->distance * d->mm * u.x, mark.y + l->distance * d->mm * u.y},
                u);
        if (l->kind == AW_LIMIT_NEED && (nearest < 0 || l->distance < f->sides[nearest].distance))
            nearest = side;
    }
    if (nearest >= 0)
        add_limit(d, &f->sides[nearest], mark, nearest);
}

/* --- heights --- */

/* mm on A3: where bars begin and end, and the column of figures. */
enum { PLANNED = 22, BAR = 25, BAR_END = 46, WIDTH = 64 };

static const aw_freedoms *freedoms_of(const aw_draft *d)
{
    return ((const aw_regions *)d->study)->freedoms;
}

static void height_heads(aw_draft *d, double x, double base, double width)
{
    const double k = aw_draft_type(d);
    char ceiling[32];
    snprintf(ceiling, sizeof ceiling, "%.1f",
             d->scenario->floor.ceiling / aw_unit_metres(d->scenario->units));
    aw_draft_put(d, AW_INK_TABLE_HEAD, "planned", x + PLANNED * k, base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "0", x + BAR * k, base, AW_AT_LEFT);
    aw_draft_put(d, AW_INK_TABLE_HEAD, ceiling, x + BAR_END * k, base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "from … to", x + width, base, AW_AT_RIGHT);
}

static void height_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const aw_freedoms *all = freedoms_of(d);
    const aw_freedom *f = &all->list[i];
    const aw_anchor *a = &d->scenario->anchors[f->anchor];
    const double k = aw_draft_type(d), unit = aw_unit_metres(d->scenario->units);
    const double half = all->together ? f->shared.half : HUGE_VAL;
    const double low = fmax(f->low, a->at[2] - half), high = fmin(f->high, a->at[2] + half);
    const double mm = (BAR_END - BAR) * k / d->scenario->floor.ceiling, from = x + BAR * k;
    const double fine = all->together ? 100 : 10;
    char text[64];
    aw_draft_put_cut(d, AW_INK_TABLE_NAME, a->name, x, base, 14 * k);
    snprintf(text, sizeof text, "%.1f", a->at[2] / unit);
    aw_draft_put(d, AW_INK_TABLE, text, x + PLANNED * k, base, AW_AT_RIGHT);
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){from, base - 0.8 * k},
                  (aw_point){x + BAR_END * k, base - 0.8 * k});
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_BETTER, 0,
                 (aw_point){from + low * mm, base - 1.5 * k},
                 (aw_point){from + high * mm, base - 0.1 * k});
    aw_sheet_line(d->sheet, AW_INK_SHORE, (aw_point){from + a->at[2] * mm, base - 1.6 * k},
                  (aw_point){from + a->at[2] * mm, base});
    /* Rounded to the inner side. */
    snprintf(text, sizeof text, "%.*f … %.*f", all->together ? 2 : 1,
             ceil(fine * low / unit - 1e-6) / fine, all->together ? 2 : 1,
             floor(fine * high / unit + 1e-6) / fine);
    aw_draft_put(d, AW_INK_RESULT, text, x + width, base, AW_AT_RIGHT);
}

static double lay_heights(aw_draft *d, aw_point at, double width, bool draw)
{
    const bool feet = d->scenario->units == AW_FEET;
    const aw_rows rows = {feet ? "ANCHORS, HEIGHT BAND IN FT" : "ANCHORS, HEIGHT BAND IN M",
                          freedoms_of(d)->n, WIDTH, height_heads, height_row};
    const aw_box box = {at, {at.x + width, d->sheet->height}};
    return rows.n == 0 ? at.y : aw_rows_lay(d, &rows, 0, rows.n, box, draw);
}

/* --- the sheet --- */

static void word_together(aw_draft *d, const aw_regions *what)
{
    const aw_freedoms *all = what->freedoms;
    aw_text none = {0};
    if (all->corners_met > 0) {
        aw_draft_note(d,
                      "All anchors at once, each over its region at its own height or up and down "
                      "at its own place: %zu of %d simulations with all of them at corners met "
                      "every need; whether there is something to mount on is seen on site.",
                      all->corners_met, AW_CORNER_DRAWS);
        return;
    }
    aw_no_freedom_words(all, what->scenario, &none);
    if (none.n > 0)
        aw_draft_note(d, "%s.", none.at);
    d->sheet->failed = d->sheet->failed || none.failed;
    aw_text_free(&none);
}

static void word_limits(aw_draft *d, const aw_regions *what)
{
    const aw_freedoms *all = what->freedoms;
    aw_text left = {0};
    aw_left_out_words(all, what->scenario, &left);
    if (left.n > 0)
        aw_draft_note(d, "NOT KEPT, since not met with the anchors as planned: %s.", left.at);
    d->sheet->failed = d->sheet->failed || left.failed;
    aw_text_free(&left);
    if (all->n == 0)
        aw_draft_note(d,
                      "No zone's need is stated and met as planned, so no anchor was looked at.");
    else if (all->together)
        word_together(d, what);
    else
        aw_draft_note(d,
                      "One anchor at a time: over its region at its own height, or up and down at "
                      "its own place, not both. No need fails there; whether there is something to "
                      "mount on is seen on site.");
    aw_draft_note_terms(d);
}

static void word(aw_draft *d, const aw_regions *what, char subtitle[512])
{
    const aw_scenario *s = what->scenario;
    const double metre = aw_unit_metres(s->units);
    snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    aw_draft_fact(d, what->freedoms->together ? "Freedom sheet: all anchors at once"
                                              : "Freedom sheet: one anchor at a time");
    snprintf(subtitle, 512, "%s · searched %.3g %s to every side",
             what->freedoms->together ? "all anchors at once" : "one anchor at a time",
             what->freedoms->reach / metre, aw_unit_name(s->units));
    word_limits(d, what);
    aw_draft_note(d, "Squares of %.2g %s. %s, seed %llu.", what->freedoms->step / metre,
                  aw_unit_name(s->units), aw_draws_words(&s->study).text,
                  (unsigned long long)s->study.seed);
    snprintf(d->words.legend, sizeof d->words.legend, "MARKS");
    aw_draft_entry(d, AW_SYMBOL_ANCHOR, AW_INK_ANCHOR, "anchor");
    if (what->freedoms->n > 0)
        aw_draft_entry(d, AW_SYMBOL_REGION, AW_INK_REGION, "where it may hang");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_LIMIT, "beyond it a need fails");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_CHANGE, "to the nearest limit");
    aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_OPEN, "open: search ended");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
    d->words.reserved = d->words.n_entries;
}

static void draw(aw_draft *d, const aw_regions *what)
{
    const aw_freedoms *all = what->freedoms;
    const aw_scenario *s = what->scenario;
    aw_draft_open_window(d, 0);
    aw_draft_water(d);
    for (size_t i = 0; i < all->n; i++)
        fill_region(d, all, &all->list[i]);
    aw_draft_land(d);
    aw_draft_zones(d);
    for (size_t i = 0; i < all->n; i++)
        for (int need = 0; need < 2; need++) {
            edge_region(d, all, &all->list[i], false, need);
            edge_region(d, all, &all->list[i], true, need);
        }
    for (size_t i = 0; i < s->n_anchors; i++) {
        const aw_point p =
            aw_draft_to_paper(d, (aw_point){s->anchors[i].at[0], s->anchors[i].at[1]});
        aw_draft_anchor_mark(d, AW_SYMBOL_ANCHOR, p);
        aw_draft_take(d, (aw_box){{p.x - 0.8, p.y - 0.8}, {p.x + 0.8, p.y + 0.8}});
        d->marked[AW_SYMBOL_ANCHOR] = true;
    }
    for (size_t i = 0; i < all->n; i++)
        add_label(d, all, &all->list[i]);
    for (size_t i = 0; i < all->n; i++)
        add_ends(d, all, &all->list[i]);
    aw_draft_zone_blocks(d);
    aw_draft_land_names(d);
    aw_draft_close_window(d);
    aw_draft_neat_line(d);
}

static const aw_arrangement arrangements[] = {
    {.under = {{aw_lay_notes, 134}, {lay_heights, 78}, {aw_lay_legend, 80}, {aw_lay_title, 74}}},
    {.beside = {{lay_heights, 64}, {aw_lay_legend, 0}},
     .under = {{aw_lay_notes, 150}, {aw_lay_title, 75}}},
    {.beside = {{lay_heights, 64}, {aw_lay_legend, 0}, {aw_lay_title, 0}},
     .under = {{aw_lay_notes, 150}}},
};

static void draw_sheet(aw_draft *d, const aw_regions *what)
{
    aw_text headline = {0};
    char subtitle[512];
    word(d, what, subtitle);
    aw_freedom_headline(what->freedoms, what->scenario, &headline);
    d->sheet->failed |= headline.failed;
    if (!d->sheet->failed) {
        aw_draft_begin(d);
        aw_draft_lay_plan(d, arrangements, sizeof arrangements / sizeof *arrangements);
        draw(d, what);
        aw_draft_drop_unseen(d);
        aw_draft_head(d, subtitle, headline.at);
        aw_draft_add_blocks(d);
    }
    aw_text_free(&headline);
}

bool aw_regions_draw(aw_sheet *sheet, const aw_regions *what, aw_errors *errors)
{
    aw_draft d = {.sheet = sheet,
                  .scenario = what->scenario,
                  .options = &what->options,
                  .study = what,
                  .whole = true};
    if (aw_draft_open(&d))
        draw_sheet(&d, what);
    return aw_draft_close(&d, errors);
}
