/* Regions on the floor: filled squares with one edge round them, a gauge of heights, a label. */
#include "anchorwise/regions.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "chart/draft.h"
#include "chart/freed.h"

/* Of a gauge, mm; and how far a label may stand from its anchor. */
#define WIDE  1.4
#define TALL  9.0
#define REACH 45.0

/* --- a region --- */

static bool is_in(const aw_freedom *f, long i, long j)
{
    return i >= 0 && j >= 0 && i < AW_FREEDOM_SQUARES && j < AW_FREEDOM_SQUARES && f->square[j][i];
}

static aw_point corner(const aw_draft *d, const aw_freedoms *all, const aw_freedom *f, long i,
                       long j)
{
    return aw_draft_place(
        d, aw_freedom_corner(all, d->scenario->anchors[f->anchor].at, (size_t)i, (size_t)j));
}

static void fill_region(aw_draft *d, const aw_freedoms *all, const aw_freedom *f)
{
    for (long j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (long i = 0, end; i < AW_FREEDOM_SQUARES; i = end + 1) {
            for (end = i; is_in(f, end, j);)
                end++;
            if (end == i)
                continue;
            const aw_point a = corner(d, all, f, i, j), b = corner(d, all, f, end, j + 1);
            aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, AW_SHADE_HIGH_END,
                         (aw_point){a.x, b.y}, (aw_point){b.x, a.y});
        }
}

/* Every edge between a square and none, runs of them as one line. */
static void edge_region(aw_draft *d, const aw_freedoms *all, const aw_freedom *f, bool upright)
{
    for (long k = 0; k <= AW_FREEDOM_SQUARES; k++)
        for (long i = 0, end; i < AW_FREEDOM_SQUARES; i = end + 1) {
            for (end = i; end < AW_FREEDOM_SQUARES; end++)
                if (upright ? is_in(f, k, end) == is_in(f, k - 1, end)
                            : is_in(f, end, k) == is_in(f, end, k - 1))
                    break;
            if (end > i)
                aw_sheet_line(d->sheet, AW_INK_REGION,
                              upright ? corner(d, all, f, k, i) : corner(d, all, f, i, k),
                              upright ? corner(d, all, f, k, end) : corner(d, all, f, end, k));
        }
}

/* --- its gauge and label --- */

void aw_draft_gauge(aw_draft *d, aw_box box, double low, double high, double mark)
{
    const double deep = box.high.y - box.low.y;
    const aw_point foot = {box.low.x, box.high.y - fmax(low, 0) * deep};
    const aw_point head = {box.high.x, box.high.y - fmin(high, 1) * deep};
    const double y = box.high.y - mark * deep;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, 0, box.low, box.high);
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, AW_SHADE_HIGH_END, (aw_point){foot.x, head.y},
                 (aw_point){head.x, foot.y});
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_RULE, 0, box.low, box.high);
    aw_sheet_line(d->sheet, AW_INK_REGION, (aw_point){box.low.x, foot.y},
                  (aw_point){box.high.x, foot.y});
    aw_sheet_line(d->sheet, AW_INK_REGION, (aw_point){box.low.x, head.y},
                  (aw_point){box.high.x, head.y});
    aw_sheet_line(d->sheet, AW_INK_CHANGE, (aw_point){box.low.x - 0.5, y},
                  (aw_point){box.high.x + 0.5, y});
}

/* Beside the mark, on the side with room; nothing if there is none. */
static void add_gauge(aw_draft *d, const aw_freedom *f, aw_point mark)
{
    const double *at = d->scenario->anchors[f->anchor].at, ceiling = d->scenario->floor.ceiling;
    for (int k = 0; k < 12; k++) {
        const double off = (1.8 + 1.6 * (double)(k / 2)) * (k % 2 ? -1 : 1);
        const double x = mark.x + off - (k % 2 ? WIDE : 0);
        for (int up = 0; up < 3; up++) {
            const double y = mark.y + (up == 0 ? -TALL / 2 : up == 1 ? -TALL : 0);
            const aw_box box = {{x, y}, {x + WIDE, y + TALL}};
            const aw_box room = {{x - 0.6, y - 0.3}, {x + WIDE + 0.6, y + TALL + 0.3}};
            if (!aw_draft_is_free(d, room) || room.low.x < d->map.low.x ||
                room.high.x > d->map.high.x || room.low.y < d->map.low.y ||
                room.high.y > d->map.high.y)
                continue;
            aw_draft_gauge(d, box, f->low / ceiling, f->high / ceiling, at[2] / ceiling);
            aw_draft_take(d, room);
            return;
        }
    }
    d->n_left_out++;
}

static void add_label(aw_draft *d, const aw_freedom *f, aw_point mark)
{
    const bool feet = d->scenario->units == AW_FEET;
    const double metre = feet ? AW_FOOT : 1;
    const aw_anchor *a = &d->scenario->anchors[f->anchor];
    char name[320], band[64], plan[64];
    snprintf(name, sizeof name, "%s %.1f %s", a->name, a->at[2] / metre, feet ? "ft" : "m");
    snprintf(band, sizeof band, "height %.1f to %.1f", f->low / metre, f->high / metre);
    snprintf(plan, sizeof plan, "only in its place");
    const char *const lines[] = {name, band, plan};
    aw_draft_label(d, AW_INK_NAME, lines, f->area > 0 ? 2 : 3, mark, 1.6, REACH);
}

/* --- the sheet --- */

static void word_limits(aw_draft *d, const aw_regions *what)
{
    const aw_freedoms *all = what->freedoms;
    aw_text left = {0};
    aw_left_out_words(all, what->scenario, &left);
    if (left.n > 0)
        aw_draft_note(d, "NOT KEPT, since not met with the anchors as planned: %s.", left.at);
    d->sheet->failed = d->sheet->failed || left.failed;
    aw_text_free(&left);
    aw_draft_note(
        d, "One anchor at a time: over its region at its own height, or up and down at its own "
           "place, not both. A region says that no need fails, not that there is "
           "something to mount on. The table of 'freedom' tells which need ends each "
           "side.");
    aw_draft_note(d,
                  "Licensed people only, under local rules: work at height, mains, and mounting in "
                  "hazardous areas.");
    aw_draft_note_terms(d);
}

static void word(aw_draft *d, const aw_regions *what)
{
    const aw_scenario *s = what->scenario;
    const bool feet = s->units == AW_FEET;
    const double metre = feet ? AW_FOOT : 1;
    snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    aw_draft_fact(d, "Freedom to mount: where each anchor may hang while no need fails");
    aw_draft_fact(d, "Looked at: %.3g %s to every side, in squares of %.2g %s",
                  what->freedoms->reach / metre, feet ? "ft" : "m", what->freedoms->step / metre,
                  feet ? "ft" : "m");
    aw_draft_fact(d, "%u draws, seed %llu", s->study.draws, (unsigned long long)s->study.seed);
    word_limits(d, what);
    snprintf(d->words.legend, sizeof d->words.legend, "Legend");
    aw_draft_list_anchors(d);
    aw_draft_entry(d, AW_SYMBOL_REGION, AW_INK_REGION, "region of the anchor in it");
    aw_draft_entry(d, AW_SYMBOL_GAUGE, AW_INK_REGION, "its heights, floor to ceiling; now");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
}

static void draw(aw_draft *d, const aw_regions *what)
{
    const aw_freedoms *all = what->freedoms;
    const aw_scenario *s = what->scenario;
    aw_draft_open_floor(d);
    aw_draft_land(d);
    aw_draft_zones(d);
    for (size_t i = 0; i < all->n; i++) {
        fill_region(d, all, &all->list[i]);
        edge_region(d, all, &all->list[i], false);
        edge_region(d, all, &all->list[i], true);
    }
    for (size_t i = 0; i < s->n_anchors; i++) {
        const aw_point p = aw_draft_place(d, (aw_point){s->anchors[i].at[0], s->anchors[i].at[1]});
        aw_draft_anchor_mark(d, AW_SYMBOL_ANCHOR, p);
        aw_draft_take(d, (aw_box){{p.x - 0.8, p.y - 0.8}, {p.x + 0.8, p.y + 0.8}});
        d->marked[AW_SYMBOL_ANCHOR] = true;
    }
    for (int labels = 0; labels < 2; labels++)
        for (size_t i = 0; i < all->n; i++) {
            const double *at = s->anchors[all->list[i].anchor].at;
            const aw_point mark = aw_draft_place(d, (aw_point){at[0], at[1]});
            if (labels)
                add_label(d, &all->list[i], mark);
            else
                add_gauge(d, &all->list[i], mark);
        }
    aw_draft_zone_names(d, true);
    aw_draft_land_names(d);
}

bool aw_regions_draw(aw_sheet *sheet, const aw_regions *what, aw_errors *errors)
{
    aw_draft d = {.sheet = sheet,
                  .scenario = what->scenario,
                  .options = &what->options,
                  .words = {.depth = 19.5, .legend_depth = 12.5}};
    *sheet = (aw_sheet){.grey = what->options.grey};
    aw_draft_lay_frame(&d);
    draw(&d, what);
    word(&d, what);
    aw_draft_frame(&d);
    aw_sheet_texts_last(sheet);
    free(d.taken);
    if (sheet->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the chart");
    return !sheet->failed;
}
