/* The blocks of words of a sheet that shows the floor: zones, notes, anchors, legend, title. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "anchorwise.h"
#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/lengths.h"
#include "report/stamp.h"
#include "report/verdict.h"
#include "report/worth.h"

/* Pitch of tables, mm on A3. */
#define PITCH 3.5
/* More zones than this stand by letter, name and verdict, so many in a row; more anchors than this
 * stand on the plan only. */
#define MOST_ZONES   12
#define SHORT_ZONES  3
#define MOST_ROWS    13
#define ANCHOR_WIDTH 38.0

typedef enum align { LEFT, MIDDLE, RIGHT } align;

/* A text by its baseline. */
static void put(aw_draft *d, aw_ink ink, const char *text, double x, double base, align how)
{
    const double size = aw_ink_rows[ink].size * d->sheet->text_size;
    const double wide = how == LEFT ? 0 : aw_sheet_measure(d->sheet, ink, text).x;
    if (text[0] != '\0')
        aw_draft_set_text(d, ink, text,
                          (aw_point){x - (how == RIGHT    ? wide
                                          : how == MIDDLE ? wide / 2
                                                          : 0),
                                     base - 0.92 * size});
}

/* The same, cut to a width. */
static void put_cut(aw_draft *d, aw_ink ink, const char *text, double x, double base, double width)
{
    char shown[256];
    aw_block_fit(d, ink, text, width, shown, sizeof shown);
    put(d, ink, shown, x, base, LEFT);
}

/* A heading over a rule; the place below. */
static double head(aw_draft *d, const char *text, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    if (draw) {
        put_cut(d, AW_INK_BLOCK_HEAD, text, at.x, at.y + 2.2 * k, width);
        aw_sheet_line(d->sheet, AW_INK_BLOCK_RULE, (aw_point){at.x, at.y + 3.6 * k},
                      (aw_point){at.x + width, at.y + 3.6 * k});
    }
    return at.y + 3.6 * k;
}

/* --- zones --- */

/* Column edges of the long table, mm on A3; heads and figures end at them but for name, tag and
 * place. */
enum { NAME = 5, TAG = 33, NEED = 58, P95 = 68, WITHIN = 82, CHANCE = 96, WORST = 106, AT = 107 };

static void zone_figures(aw_draft *d, const aw_zone_result *r, double x, double base, double width)
{
    const double k = aw_draft_type(d);
    const aw_units units = d->scenario->units;
    const aw_part_result *share = &r->parts[AW_PART_SHARE];
    char text[64] = "–";
    put(d, AW_INK_RESULT,
        aw_error_figure_asked(r->errors.p95, r->parts[AW_PART_P95].asked, units).text, x + P95 * k,
        base, RIGHT);
    if (!isnan(share->found.value))
        snprintf(text, sizeof text, "%s", aw_part_words(share, AW_PART_SHARE, units).text);
    put(d, AW_INK_RESULT, text, x + WITHIN * k, base, RIGHT);
    put(d, AW_INK_RESULT, aw_chance_words(r).text, x + CHANCE * k, base, RIGHT);
    put(d, AW_INK_RESULT,
        isnan(r->errors.worst_p95) ? "no fix" : aw_error_figure(r->errors.worst_p95, units).text,
        x + WORST * k, base, RIGHT);
    snprintf(text, sizeof text, "(%.1f, %.1f)", r->errors.worst_at[0] / aw_unit_metres(units),
             r->errors.worst_at[1] / aw_unit_metres(units));
    if (isfinite(r->errors.worst_at[0]))
        put(d, AW_INK_TABLE, text, x + AT * k, base, LEFT);
    put(d, r->verdict == AW_NOT_MET ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT,
        aw_verdict_word(r->verdict), x + width, base, RIGHT);
}

static void zone_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const aw_zone *z = &d->scenario->zones[i];
    const aw_zone_result *r = aw_draft_result(d, i);
    const double k = aw_draft_type(d);
    aw_draft_letter(d, i, r != NULL && r->verdict == AW_NOT_MET,
                    (aw_point){x + 1.6 * k, base - 0.8 * k});
    put_cut(d, AW_INK_TABLE_NAME, z->name, x + NAME * k, base, (TAG - NAME - 1) * k);
    put_cut(d, AW_INK_TABLE, d->scenario->tags[z->tag].name, x + TAG * k, base,
            (NEED - TAG - 8) * k);
    put(d, AW_INK_TABLE,
        isnan(z->need.p95) ? "–" : aw_small_figure("%.4g", z->need.p95, d->scenario->units).text,
        x + NEED * k, base, RIGHT);
    if (r != NULL)
        zone_figures(d, r, x, base, width);
}

static void zone_heads(aw_draft *d, double x, double base, double width)
{
    static const struct {
        const char *text;
        double at;
        align how;
    } heads[] = {{"zone", NAME, LEFT},           {"tag", TAG, LEFT},
                 {"need", NEED, RIGHT},          {"p95", P95, RIGHT},
                 {"cells in it", WITHIN, RIGHT}, {"chance", CHANCE, RIGHT},
                 {"worst", WORST, RIGHT},        {"at", AT, LEFT}};
    const double k = aw_draft_type(d);
    for (size_t i = 0; i < (d->assessment != NULL ? sizeof heads / sizeof *heads : 3); i++)
        put(d, AW_INK_TABLE_HEAD, heads[i].text, x + heads[i].at * k, base, heads[i].how);
    if (d->assessment != NULL)
        put(d, AW_INK_TABLE_HEAD, "verdict", x + width, base, RIGHT);
}

/* Many zones: letter, name, verdict, in columns. */
static double short_zones(aw_draft *d, double x, double y, double width, bool draw)
{
    const double k = aw_draft_type(d), wide = width / SHORT_ZONES;
    const size_t n = d->scenario->n_zones, rows = (n + SHORT_ZONES - 1) / SHORT_ZONES;
    for (size_t i = 0; i < n && draw; i++) {
        const aw_zone_result *r = aw_draft_result(d, i);
        const bool missed = r != NULL && r->verdict == AW_NOT_MET;
        const double left = x + wide * (double)(i / rows);
        const double base = y + PITCH * k * (double)(i % rows + 1);
        aw_draft_letter(d, i, missed, (aw_point){left + 1.6 * k, base - 0.8 * k});
        put_cut(d, AW_INK_TABLE_NAME, d->scenario->zones[i].name, left + 4 * k, base,
                wide - 20 * k);
        if (r != NULL)
            put(d, missed ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT, aw_verdict_word(r->verdict),
                left + wide - 2 * k, base, RIGHT);
    }
    return y + PITCH * k * (double)rows + 1.5 * k;
}

double aw_lay_zones(aw_draft *d, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    const size_t n = d->scenario->n_zones;
    char text[64];
    if (n == 0)
        return at.y;
    snprintf(text, sizeof text, "ZONES, %s", d->scenario->units == AW_FEET ? "INCHES" : "METRES");
    double y = head(d, text, at, width, draw);
    if (n > MOST_ZONES)
        return short_zones(d, at.x, y, width, draw);
    y += PITCH * k;
    if (draw)
        zone_heads(d, at.x, y, width);
    for (size_t i = 0; i < n; i++) {
        y += PITCH * k;
        if (draw)
            zone_row(d, i, at.x, y, width);
    }
    return y + 1.5 * k;
}

/* --- notes --- */

double aw_lay_notes(aw_draft *d, aw_point at, double width, bool draw)
{
    static const char caution[] =
        "A prediction from stated assumptions, not a promise: measure on site. A position is not a "
        "safety function. Work at height and on mains is for trained people under local codes; "
        "radio rules differ by place.";
    const size_t items = d->sheet->n, taken = d->n_taken;
    const double k = aw_draft_type(d);
    aw_block b = {{at.x, at.y + 0.5 * k}, {at.x + width, d->sheet->height}};
    for (size_t i = 0; i < d->words.n_notes; i++)
        aw_block_text(d, &b, AW_INK_TABLE, d->words.notes[i], AW_NOTE_LINES);
    aw_block_text(d, &b, AW_INK_TABLE, caution, AW_NOTE_LINES);
    if (!draw) {
        aw_sheet_cut(d->sheet, items);
        d->n_taken = taken;
    }
    return b.low.y;
}

double aw_lay_told(aw_draft *d, aw_point at, double width, bool draw)
{
    const double y = aw_lay_zones(d, at, width, draw);
    return aw_lay_notes(d, (aw_point){at.x, y}, width, draw);
}

/* --- anchors --- */

static void anchor_row(aw_draft *d, const aw_anchor *a, double x, double base)
{
    const double k = aw_draft_type(d), unit = aw_unit_metres(d->scenario->units);
    static const double ends[3] = {19, 27, 34};
    char text[32];
    put_cut(d, AW_INK_TABLE_NAME, a->name, x, base, 11 * k);
    for (int axis = 0; axis < 3; axis++) {
        snprintf(text, sizeof text, "%.1f", a->at[axis] / unit);
        put(d, AW_INK_TABLE, text, x + ends[axis] * k, base, RIGHT);
    }
}

double aw_lay_anchors(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_scenario *s = d->scenario;
    const double k = aw_draft_type(d);
    const char *unit = s->units == AW_FEET ? "FT" : "M";
    const size_t fit = (size_t)fmax(1, floor(width / (ANCHOR_WIDTH * k)));
    const size_t most = fit * (fit > 1 ? MOST_ROWS : 2 * MOST_ROWS);
    const size_t shown = s->n_anchors < most ? s->n_anchors : most;
    const size_t columns = shown > 6 ? fit : 1, rows = (shown + columns - 1) / columns;
    char text[128];
    if (isnan(d->common_height))
        snprintf(text, sizeof text, "ANCHORS, %s", unit);
    else
        snprintf(text, sizeof text, "ANCHORS, ALL %.1f %s UP UNLESS MARKED",
                 d->common_height / aw_unit_metres(s->units), unit);
    double y = head(d, text, at, width, draw) + PITCH * k;
    for (size_t c = 0; c < columns && draw; c++) {
        const double x = at.x + (double)c * width / (double)fit;
        put(d, AW_INK_TABLE_HEAD, "x", x + 19 * k, y, RIGHT);
        put(d, AW_INK_TABLE_HEAD, "y", x + 27 * k, y, RIGHT);
        put(d, AW_INK_TABLE_HEAD, "z", x + 34 * k, y, RIGHT);
    }
    for (size_t i = 0; i < shown && draw; i++)
        anchor_row(d, &s->anchors[i], at.x + (double)(i / rows) * width / (double)fit,
                   y + PITCH * k * (double)(i % rows + 1));
    y += PITCH * k * (double)rows;
    if (shown < s->n_anchors) {
        y += PITCH * k;
        snprintf(text, sizeof text, "and %zu more, on the plan", s->n_anchors - shown);
        if (draw)
            put(d, AW_INK_TABLE_HEAD, text, at.x, y, LEFT);
    }
    return y + 1.5 * k;
}

/* --- legend --- */

double aw_lay_legend(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_words *w = &d->words;
    const double k = aw_draft_type(d), pitch = 4.1 * k, t = d->sheet->text_size;
    const size_t most = w->n_entries > w->reserved ? w->n_entries : w->reserved;
    const size_t rows = (most + 1) / 2;
    double y = head(d, w->legend, at, width, draw) + 1.6 * k;
    if (draw)
        aw_draft_ramp(d, (aw_box){{at.x, y}, {at.x + width, y}});
    y += 7.6 * k;
    for (size_t i = 0; i < w->n_entries && draw; i++) {
        const aw_point p = {at.x + width / 2 * (double)(i / rows), y + pitch * (double)(i % rows)};
        aw_draft_symbol(d, &w->entries[i], p);
        put_cut(d, AW_INK_TABLE, w->entries[i].text, p.x + 4.4 * t, p.y + 2 * k,
                width / 2 - 4.8 * t);
    }
    return y + pitch * (double)rows;
}

/* --- title --- */

typedef struct cell {
    const char *label, *value;
    bool half; /* beside the one before */
} cell;

static void compass(aw_draft *d, aw_point middle)
{
    const double k = aw_draft_type(d), radius = 6 * k, turn = d->turned ? M_PI / 2 : 0;
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_ROSE, middle, radius);
    for (int i = 0; i < 36; i++) {
        const double a = M_PI / 18 * i + turn, s = sin(a), c = -cos(a);
        const double inner = i % 9 == 0 ? radius - 2.2 * k : radius - 1 * k;
        aw_sheet_line(d->sheet, AW_INK_ROSE, (aw_point){middle.x + inner * s, middle.y + inner * c},
                      (aw_point){middle.x + radius * s, middle.y + radius * c});
    }
    const double s = sin(turn), c = -cos(turn);
    aw_item *needle = aw_sheet_add(d->sheet, AW_ITEM_FILL, AW_INK_STIPPLE);
    aw_sheet_point(d->sheet, needle, middle.x + 5.4 * k * s, middle.y + 5.4 * k * c);
    aw_sheet_point(d->sheet, needle, middle.x - 1 * k * c, middle.y + 1 * k * s);
    aw_sheet_point(d->sheet, needle, middle.x + 1 * k * c, middle.y - 1 * k * s);
    aw_sheet_end_path(d->sheet, needle);
    put(d, AW_INK_TABLE_NAME, "N", middle.x + 8 * k * s, middle.y + 8 * k * c + 0.8 * k, MIDDLE);
    put(d, AW_INK_LABEL, "plan north", middle.x, middle.y + 10 * k, MIDDLE);
    put(d, AW_INK_LABEL, d->turned ? "is +y, to the right" : "is +y", middle.x, middle.y + 12.4 * k,
        MIDDLE);
}

/* A bar of round length. */
static void bars(aw_draft *d, double x, double y, double width)
{
    const double k = aw_draft_type(d), unit = aw_unit_metres(d->scenario->units) * d->mm;
    static const double rounds[] = {1000, 500, 200, 100, 50, 20, 10, 5, 2, 1, 0.5};
    size_t n = 0;
    char text[32];
    while (n + 1 < sizeof rounds / sizeof *rounds && rounds[n] * unit > width)
        n++;
    const double length = rounds[n] * unit;
    for (int i = 0; i < 4; i++)
        aw_sheet_box(d->sheet, i % 2 ? AW_ITEM_LINE : AW_ITEM_FILL,
                     i % 2 ? AW_INK_RULE : AW_INK_ANCHOR, 0, (aw_point){x + length * i / 4, y},
                     (aw_point){x + length * (i + 1) / 4, y + 0.8 * k});
    put(d, AW_INK_LABEL, "0", x, y + 3 * k, LEFT);
    snprintf(text, sizeof text, "%g %s", rounds[n], d->scenario->units == AW_FEET ? "ft" : "m");
    put(d, AW_INK_LABEL, text, x + length, y + 3 * k, RIGHT);
}

static double title_cells(aw_draft *d, const cell cells[], size_t n, aw_box box, bool draw)
{
    const double k = aw_draft_type(d), deep = 5.6 * k, middle = (box.low.x + box.high.x) / 2;
    double y = box.low.y;
    for (size_t i = 0; i < n; i++) {
        const bool beside = cells[i].half;
        const bool halved = beside || (i + 1 < n && cells[i + 1].half);
        const double left = beside ? middle : box.low.x,
                     right = halved && !beside ? middle : box.high.x;
        if (!beside)
            y += deep;
        if (!draw)
            continue;
        if (!beside)
            aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){box.low.x, y - deep},
                          (aw_point){box.high.x, y - deep});
        else
            aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){middle, y - deep},
                          (aw_point){middle, y});
        put_cut(d, AW_INK_LABEL, cells[i].label, left + k, y - deep + 2 * k, right - left - 2 * k);
        put_cut(d, AW_INK_TABLE_NAME, cells[i].value, left + k, y - 0.9 * k, right - left - 2 * k);
    }
    return y;
}

static const char *base_name(const char *path)
{
    const char *slash = path != NULL ? strrchr(path, '/') : NULL;
    return slash != NULL ? slash + 1 : path;
}

/* Fields that say something, two short ones beside each other. */
static size_t fill_cells(const aw_draft *d, cell cells[], char scale[64], char seed[32])
{
    const aw_chart_options *o = d->options;
    size_t n = 0;
    snprintf(scale, 64, "1:%u on %s%s", d->scale, aw_paper_rows[o->paper].name,
             o->portrait ? ", portrait" : "");
    snprintf(seed, 32, "%llu", (unsigned long long)d->scenario->study.seed);
    const cell all[] = {{"drawing", o->number, false},
                        {"revision", o->revision, true},
                        {"client", o->client, false},
                        {"site", o->site, false},
                        {"author", o->author, false},
                        {"date", o->date, true},
                        {"scale", scale, false},
                        {"seed", seed, true},
                        {"file", base_name(o->file), false},
                        {"drawn by", "anchorwise " AW_VERSION, false}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        if (all[i].value == NULL || all[i].value[0] == '\0')
            continue;
        cells[n] = all[i];
        cells[n].half = all[i].half && i > 0 && all[i - 1].value != NULL;
        n++;
    }
    return n;
}

double aw_lay_title(aw_draft *d, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d), right = at.x + width - 17 * k;
    cell cells[10];
    char scale[64], seed[32];
    const size_t n = fill_cells(d, cells, scale, seed);
    const aw_box box = {{at.x, at.y + 9.6 * k}, {right, at.y}};
    const double foot = title_cells(d, cells, n, box, draw);
    if (!draw)
        return fmax(foot, at.y + 26 * k) + 5 * k;
    put_cut(d, AW_INK_TITLE, d->words.title, at.x + 1.2 * k, at.y + 4.6 * k, right - at.x - 2 * k);
    put_cut(d, AW_INK_TABLE, d->words.facts[0], at.x + 1.2 * k, at.y + 8 * k, right - at.x - 2 * k);
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_FRAME, 0, at, (aw_point){right, foot});
    compass(d, (aw_point){right + 9.5 * k, at.y + 9 * k});
    bars(d, at.x, foot + 2 * k, right - at.x);
    return fmax(foot, at.y + 26 * k) + 5 * k;
}

/* --- a picture --- */

/* Tints at the left, a few marks at the right. */
static void picture_legend(aw_draft *d, aw_point at, double width)
{
    const double k = aw_draft_type(d), t = d->sheet->text_size, right = at.x + 0.56 * width;
    size_t shown = 0;
    aw_draft_ramp(d, (aw_box){at, {at.x + 0.5 * width, at.y}});
    for (size_t i = 0; i < d->words.n_entries && shown < 4; i++) {
        const aw_entry *e = &d->words.entries[i];
        if (e->ink != AW_INK_NEED && e->symbol != AW_SYMBOL_BLANK && e->symbol != AW_SYMBOL_SHOAL &&
            e->symbol != AW_SYMBOL_LAND)
            continue;
        const aw_point p = {right + 0.22 * width * (double)(shown % 2),
                            at.y + 4 * k * (double)(shown / 2)};
        aw_draft_symbol(d, e, p);
        const char *text = e->ink == AW_INK_NEED          ? "the need"
                           : e->symbol == AW_SYMBOL_BLANK ? "no fix"
                           : e->symbol == AW_SYMBOL_SHOAL ? "need missed"
                                                          : "walls, racks";
        put_cut(d, AW_INK_NOTE, text, p.x + 4.2 * t, p.y + 2.2 * k, 0.22 * width - 4.6 * t);
        shown++;
    }
}

/* Letters and names one after the other, those whose need is missed with that; their depth. */
static double picture_zones(aw_draft *d, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    double x = at.x, y = at.y + 3.2 * k;
    for (size_t i = 0; i < d->scenario->n_zones; i++) {
        const aw_zone_result *r = aw_draft_result(d, i);
        const bool missed = r != NULL && r->verdict == AW_NOT_MET;
        char name[200];
        snprintf(name, sizeof name, "%s %s", d->scenario->zones[i].name,
                 r != NULL && r->verdict != AW_NO_NEED ? aw_verdict_word(r->verdict) : "");
        const aw_ink ink = missed ? AW_INK_PICTURE_MISSED : AW_INK_NOTE;
        const double wide = fmin(aw_sheet_measure(d->sheet, ink, name).x, width - 5 * k) + 7 * k;
        if (x > at.x && x + wide > at.x + width) {
            x = at.x;
            y += 4.4 * k;
        }
        if (draw) {
            aw_draft_letter(d, i, missed, (aw_point){x + 1.8 * k, y - 0.8 * k});
            put_cut(d, ink, name, x + 4.4 * k, y, width - 5 * k);
        }
        x += wide;
    }
    return y + 1.4 * k;
}

double aw_lay_picture(aw_draft *d, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    if (draw)
        picture_legend(d, (aw_point){at.x, at.y + 1 * k}, width);
    return picture_zones(d, (aw_point){at.x, at.y + 8.4 * k}, width, draw);
}

/* --- head --- */

void aw_draft_head(aw_draft *d, const char *subtitle, const char *headline)
{
    const bool picture = aw_draft_is_picture(d);
    const double k = aw_draft_type(d), left = d->map.low.x - AW_NEAT_WIDTH * k;
    const double right = d->sheet->width - left, base = (picture ? 6.6 : 15.2) * k;
    const double aside = aw_sheet_measure(d->sheet, AW_INK_SUBTITLE, subtitle).x + 6 * k;
    char capitals[256];
    aw_capitals(d->words.title, capitals, sizeof capitals);
    const double title = aw_sheet_measure(d->sheet, AW_INK_SHEET_TITLE, capitals).x;
    const bool both = title + aside <= right - left;
    if (title <= right - left)
        put(d, AW_INK_SHEET_TITLE, capitals, left, base, LEFT);
    else
        put_cut(d, AW_INK_TITLE, d->words.title, left, base, right - left);
    if (both)
        put(d, AW_INK_SUBTITLE, subtitle, right, base, RIGHT);
    else if (!picture)
        put_cut(d, AW_INK_SUBTITLE, subtitle, left, 8.6 * k, right - left);
    put_cut(d, AW_INK_HEADLINE, headline, left, base + (picture ? 5 : 6.2) * k, right - left);
}
