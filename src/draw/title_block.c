/* The title block with its compass and bar. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "anchorwise.h"
#include "draw/block.h"
#include "draw/floor_sheet.h"

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
    aw_draft_put(d, AW_INK_TABLE_NAME, "N", middle.x + 8 * k * s, middle.y + 8 * k * c + 0.8 * k,
                 AW_AT_MIDDLE);
    aw_draft_put(d, AW_INK_LABEL, "plan north", middle.x, middle.y + 10 * k, AW_AT_MIDDLE);
    aw_draft_put(d, AW_INK_LABEL, d->turned ? "is +y, to the right" : "is +y", middle.x,
                 middle.y + 12.4 * k, AW_AT_MIDDLE);
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
    aw_draft_put(d, AW_INK_LABEL, "0", x, y + 3 * k, AW_AT_LEFT);
    snprintf(text, sizeof text, "%g %s", rounds[n], d->scenario->units == AW_FEET ? "ft" : "m");
    aw_draft_put(d, AW_INK_LABEL, text, x + length, y + 3 * k, AW_AT_RIGHT);
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
        aw_draft_put_cut(d, AW_INK_LABEL, cells[i].label, left + k, y - deep + 2 * k,
                         right - left - 2 * k);
        aw_draft_put_cut(d, AW_INK_TABLE_NAME, cells[i].value, left + k, y - 0.9 * k,
                         right - left - 2 * k);
    }
    return y;
}

static const char *base_name(const char *path)
{
    const char *slash = path != NULL ? strrchr(path, '/') : NULL;
    return slash != NULL ? slash + 1 : path;
}

#define MOST_CELLS 12
/* Of the title, and of what is told under it. */
#define MOST_LINES 4

/* What cells say that stands nowhere else. */
typedef struct cell_texts {
    char label[48], scale[64], seed[32], sheet[32], files[2][320];
} cell_texts;

static void write_file(const aw_checked_file *file, char out[320])
{
    snprintf(out, 320, "%s%s%s", file->name != NULL ? base_name(file->name) : "",
             file->checksum != NULL ? " " : "", file->checksum != NULL ? file->checksum : "");
}

static void write_texts(const aw_draft *d, cell_texts *t)
{
    static const char *const strips[] = {"", "", ", two strips", ", three strips", ", four strips"};
    const aw_chart_options *o = d->options;
    snprintf(t->label, sizeof t->label, "%s%s%s", d->words.flat ? "paper" : "scale",
             strips[d->whole ? 1 : d->n_windows], o->portrait ? ", upright" : "");
    if (d->words.flat)
        snprintf(t->scale, sizeof t->scale, "%s", aw_paper_rows[o->paper].name);
    else
        snprintf(t->scale, sizeof t->scale, "1:%u on %s", d->scale, aw_paper_rows[o->paper].name);
    snprintf(t->seed, sizeof t->seed, "%llu", (unsigned long long)d->scenario->study.seed);
    t->sheet[0] = '\0';
    if (d->n_pages > 1)
        snprintf(t->sheet, sizeof t->sheet, "%zu of %zu", d->page + 1, d->n_pages);
    for (int k = 0; k < 2; k++)
        write_file(&o->files[k], t->files[k]);
}

/* Fields that say something, two short ones beside each other. */
static size_t fill_cells(const aw_draft *d, cell cells[MOST_CELLS], cell_texts *t)
{
    const aw_chart_options *o = d->options;
    const bool two = o->files[1].name != NULL;
    size_t n = 0;
    write_texts(d, t);
    const cell all[] = {{"drawing", o->number, false},
                        {"revision", o->revision, true},
                        {"client", o->client, false},
                        {"site", o->site, false},
                        {"author", o->author, false},
                        {"date", o->date, true},
                        {t->label, t->scale, false},
                        {"seed", t->seed, true},
                        {two ? "file A" : "file", t->files[0], false},
                        {"file B", t->files[1], false},
                        {"drawn by", "anchorwise " AW_VERSION, false},
                        {"sheet", t->sheet, true}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        if (all[i].value == NULL || all[i].value[0] == '\0')
            continue;
        cells[n] = all[i];
        cells[n].half = all[i].half && i > 0 && all[i - 1].value != NULL;
        n++;
    }
    return n;
}

/* A text in as many lines as it takes, of which no sheet needs more than a few; the base line of
 * the one that would follow. */
static double lay_lines(aw_draft *d, aw_ink ink, const char *text, aw_point at, double width,
                        bool draw)
{
    const double lead = aw_sheet_measure(d->sheet, ink, text).y + 0.1;
    double base = at.y;
    for (size_t line = 0; line < MOST_LINES && text[0] != '\0'; line++, base += lead) {
        const bool last = line + 1 == MOST_LINES;
        const size_t n = last ? strlen(text) : aw_block_words(d, ink, text, width);
        char shown[640];
        snprintf(shown, sizeof shown, "%.*s", (int)n, text);
        if (draw)
            aw_draft_put_cut(d, ink, shown, at.x, base, width);
        text += n;
        text += strspn(text, " ");
    }
    return base;
}

double aw_lay_title(aw_draft *d, aw_point at, double width, bool draw)
{
    const bool flat = d->words.flat;
    const double k = aw_draft_type(d), right = at.x + width - (flat ? 0 : 17 * k);
    const double x = at.x + 1.2 * k, wide = right - at.x - 2 * k;
    cell cells[MOST_CELLS];
    cell_texts texts;
    const size_t n = fill_cells(d, cells, &texts);
    double base =
        lay_lines(d, AW_INK_TITLE, d->words.title, (aw_point){x, at.y + 4.6 * k}, wide, draw);
    base = lay_lines(d, AW_INK_TABLE, d->words.facts[0], (aw_point){x, base - 1.2 * k}, wide, draw);
    const aw_box box = {{at.x, base - 1.2 * k}, {right, at.y}};
    const double foot = title_cells(d, cells, n, box, draw);
    const double below = flat ? foot : fmax(foot, at.y + 26 * k) + 5 * k;
    if (!draw)
        return below;
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_FRAME, 0, at, (aw_point){right, foot});
    if (!flat) {
        compass(d, (aw_point){right + 9.5 * k, at.y + 9 * k});
        bars(d, at.x, foot + 2 * k, right - at.x);
    }
    return below;
}
