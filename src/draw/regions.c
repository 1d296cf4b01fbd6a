/* Regions on the floor: filled squares with one edge round them, and a label with the heights. */
#include "draw/regions.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "draw/draft.h"
#include "report/freedom.h"
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

/* Of what all share two digits count. */
static void add_band(char band[], size_t room, double low, double high, bool fine, bool feet)
{
    const double unit = fine ? 100 : 10;
    snprintf(band, room, "%.*f to %.*f %s up", fine ? 2 : 1, ceil(unit * low - 1e-6) / unit,
             fine ? 2 : 1, floor(unit * high + 1e-6) / unit, feet ? "ft" : "m");
}

static void add_label(aw_draft *d, const aw_freedoms *all, const aw_freedom *f)
{
    const bool feet = d->scenario->units == AW_FEET;
    const double metre = feet ? AW_FOOT : 1;
    const aw_anchor *a = &d->scenario->anchors[f->anchor];
    const aw_point mark = aw_draft_to_paper(d, (aw_point){a->at[0], a->at[1]});
    const double half = all->together ? f->shared.half : HUGE_VAL;
    const double low = fmax(f->low, a->at[2] - half), high = fmin(f->high, a->at[2] + half);
    char name[320], band[64], plan[64];
    snprintf(name, sizeof name, "%s %.1f %s", a->name, a->at[2] / metre, feet ? "ft" : "m");
    if (half > 0)
        add_band(band, sizeof band, low / metre, high / metre, all->together, feet);
    else
        snprintf(band, sizeof band, "stands still");
    snprintf(plan, sizeof plan, "only in its place");
    const aw_label label = {AW_INK_NAME, (const char *[]){name, band, plan},
                            f->area > 0 || half == 0 ? 2 : 3};
    const aw_box region = bounds_of(d, all, f, mark);
    if (!try_label(d, &label, region, mark, AW_KEEP_OFF_ALL) &&
        !try_label(d, &label, region, mark, AW_KEEP_OFF_MOST))
        aw_draft_label(d, &label, mark, CLOSE, REACH);
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

static bool has_limit(const aw_sheet *sheet)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].ink == AW_INK_LIMIT)
            return true;
    return false;
}

static void word(aw_draft *d, const aw_regions *what)
{
    const aw_scenario *s = what->scenario;
    const bool feet = s->units == AW_FEET;
    const double metre = feet ? AW_FOOT : 1;
    snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    aw_draft_fact(d,
                  what->freedoms->together
                      ? "Freedom to mount: where all anchors may hang at once while no need fails"
                      : "Freedom to mount: where each anchor may hang while no need fails");
    aw_draft_fact(d, "Looked at: %.3g %s to every side, in squares of %.2g %s",
                  what->freedoms->reach / metre, feet ? "ft" : "m", what->freedoms->step / metre,
                  feet ? "ft" : "m");
    aw_draft_fact(d, "%s, seed %llu", aw_draws_words(&s->study).text,
                  (unsigned long long)s->study.seed);
    word_limits(d, what);
    snprintf(d->words.legend, sizeof d->words.legend, "Legend");
    aw_draft_list_anchors(d);
    if (what->freedoms->n > 0)
        aw_draft_entry(d, AW_SYMBOL_REGION, AW_INK_REGION, "where the anchor in it may hang");
    if (has_limit(d->sheet))
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_LIMIT, "beyond this edge a need fails");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
}

static void draw(aw_draft *d, const aw_regions *what)
{
    const aw_freedoms *all = what->freedoms;
    const aw_scenario *s = what->scenario;
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
    aw_draft_zone_names(d, true);
    aw_draft_land_names(d);
}

bool aw_regions_draw(aw_sheet *sheet, const aw_regions *what, aw_errors *errors)
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
