/* Frame, title block, notes and schedule round the plan. Widths are measured: what has no room is
 * cut with three dots, and stands whole in the CSV. */
#include "book/installers.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "anchorwise.h"
#include "book/fitting.h"
#include "report/lengths.h"

#define MARGIN AW_INSTALLERS_MARGIN
#define SIDE   AW_INSTALLERS_SIDE
#define ROW    AW_INSTALLERS_ROW
#define HEAD   AW_INSTALLERS_HEAD
#define GAP    6.0 /* mm */
/* Values of --set that are told one by one. */
#define MOST_CHANGES 4

enum {
    ANCHOR,
    EAST_WEST,
    NORTH_SOUTH,
    HEIGHT,
    MOUNT,
    HEIGHTS,
    BUILT_EW,
    BUILT_NS,
    BUILT_HEIGHT,
    DONE,
    COLUMNS
};

/* Headings, and shares of a schedule's width. */
static const struct {
    aw_phrase head;
    double share;
} columns[COLUMNS] = {[ANCHOR] = {AW_SAY_COL_ANCHOR, 0.075},
                      [EAST_WEST] = {AW_SAY_COL_EAST_WEST, 0.16},
                      [NORTH_SOUTH] = {AW_SAY_COL_NORTH_SOUTH, 0.16},
                      [HEIGHT] = {AW_SAY_COL_HEIGHT, 0.065},
                      [MOUNT] = {AW_SAY_COL_MOUNT, 0.15},
                      [HEIGHTS] = {AW_SAY_COL_MAY_HANG, 0.10},
                      [BUILT_EW] = {AW_SAY_COL_BUILT_EW, 0.09},
                      [BUILT_NS] = {AW_SAY_COL_BUILT_NS, 0.075},
                      [BUILT_HEIGHT] = {AW_SAY_COL_BUILT_HEIGHT, 0.075},
                      [DONE] = {AW_SAY_COL_DONE, 0.05}};

typedef struct press {
    double share[COLUMNS]; /* of a schedule's width */
    aw_sheet *sheet;
    const aw_installers *what;
    double width, height;
    bool by_number; /* anchors go by their numbers on the plan */
} press;

static const char *phrase_of(const press *p, aw_phrase phrase)
{
    return p->what->language->phrases[phrase];
}

/* The text as far as it has room. */
static void set_fitting(press *p, aw_ink ink, const char *text, double x, double y, double width)
{
    char cut[AW_FITTING_ROOM];
    aw_sheet_text(p->sheet, ink, aw_fit(p->sheet, ink, text, width, cut), (aw_point){x, y}, 0);
}

/* A paragraph broken at blanks; where its next line would stand. */
static double set_paragraph(press *p, aw_ink ink, const char *text, double x, double y,
                            double width)
{
    char line[512] = "";
    const double lead = 1.42 * p->sheet->text_size * aw_ink_rows[ink].size;
    for (const char *at = text; *at != '\0';) {
        const size_t n = strcspn(at, " ");
        char longer[512];
        snprintf(longer, sizeof longer, "%s%s%.*s", line, *line != '\0' ? " " : "", (int)n, at);
        if (*line != '\0' && aw_sheet_measure(p->sheet, ink, longer).x > width) {
            set_fitting(p, ink, line, x, y, width);
            y += lead;
            snprintf(line, sizeof line, "%.*s", (int)n, at);
        } else {
            snprintf(line, sizeof line, "%s", longer);
        }
        at += n + strspn(at + n, " ");
    }
    if (*line != '\0')
        set_fitting(p, ink, line, x, y, width);
    return y + lead;
}

/* --- the schedule --- */

static void rule(press *p, aw_ink ink, double x0, double x1, double y)
{
    aw_sheet_line(p->sheet, ink, (aw_point){x0, y}, (aw_point){x1, y});
}

static void set_row(press *p, size_t anchor, double x, double y, double width)
{
    aw_installers_row row;
    aw_installers_row_make(&row, p->what, anchor);
    char number[24];
    aw_text name = {0};
    snprintf(number, sizeof number, "%zu", anchor + 1);
    const char *own = p->what->scenario->anchors[anchor].name;
    aw_phrase_fill(p->what->language, p->by_number ? AW_SAY_NUMBERED : AW_SAY_NAME,
                   (const char *const[]){p->by_number ? number : own, own, NULL}, &name);
    const char *const texts[] = {name.at,       row.east_west.at, row.north_south.at,
                                 row.height.at, row.mount.at,     row.heights.at};
    for (int k = 0; k < COLUMNS; k++) {
        const double wide = p->share[k] * width;
        if (k <= HEIGHTS && texts[k] != NULL)
            set_fitting(p, k == ANCHOR ? AW_INK_TABLE_NAME : AW_INK_TABLE, texts[k], x, y + 1.1,
                        wide - 1.5);
        else if (k == DONE)
            aw_sheet_box(p->sheet, AW_ITEM_LINE, AW_INK_RULE, 0, (aw_point){x + 1, y + 1},
                         (aw_point){x + 4.2, y + 4.2});
        else if (k > HEIGHTS)
            rule(p, AW_INK_RULE, x, x + wide - 2, y + ROW - 1.2);
        x += wide;
    }
    rule(p, AW_INK_CROSS, x - width, x, y + ROW);
    p->sheet->failed |= name.failed;
    aw_text_free(&name);
    aw_installers_row_free(&row);
}

/* Anchors `from` to `to` of a part in one column of the sheet. */
static void set_schedule(press *p, const aw_installers_part *part, const size_t span[2],
                         aw_point place, double width)
{
    const size_t from = span[0], to = span[1];
    const bool again = from > 0;
    const double x = place.x, y = place.y;
    double at = x;
    aw_sheet_text(p->sheet, AW_INK_HEADING,
                  phrase_of(p, again ? AW_SAY_SCHEDULE_CONTINUED : AW_SAY_SCHEDULE),
                  (aw_point){x, y}, 0);
    for (int k = 0; k < COLUMNS; k++) {
        set_fitting(p, AW_INK_TABLE_HEAD, phrase_of(p, columns[k].head), at, y + 6.5,
                    p->share[k] * width - 1);
        at += p->share[k] * width;
    }
    rule(p, AW_INK_BLOCK_RULE, x, x + width, y + HEAD - 2);
    for (size_t i = from; i < to; i++)
        set_row(p, part->anchors[i], x, y + HEAD - 2 + ROW * (double)(i - from), width);
}

/* Two columns beside each other, so many rows high, from an anchor of the part on. */
static void set_schedules(press *p, const aw_installers_part *part, size_t from, size_t rows,
                          aw_point place)
{
    const double width = (place.x - MARGIN - 4 - GAP) / 2;
    for (size_t k = 0; k < 2 && from + k * rows < part->n; k++) {
        const size_t first = from + k * rows,
                     last = first + rows < part->n ? first + rows : part->n;
        set_schedule(p, part, (const size_t[]){first, last},
                     (aw_point){MARGIN + 4 + (double)k * (width + GAP), place.y}, width);
    }
}

/* --- beside the plan --- */

static void set_field(press *p, aw_phrase label, const char *text, double x, double *y)
{
    const double width = SIDE - 4;
    aw_sheet_text(p->sheet, AW_INK_LABEL, phrase_of(p, label), (aw_point){x, *y + 0.8}, 0);
    if (text != NULL)
        set_fitting(p, AW_INK_TABLE, text, x + 20, *y + 0.2, width - 20);
    rule(p, AW_INK_RULE, x + 19, x + width, *y + 4.4);
    *y += 7;
}

static void set_mark(press *p, aw_phrase words, double x, double *y)
{
    const aw_point at = {x + 4, *y + 1.6};
    if (words == AW_SAY_MARK_ANCHOR) {
        aw_sheet_circle(p->sheet, AW_ITEM_LINE, AW_INK_NEAT, at, 1.25);
        aw_sheet_circle(p->sheet, AW_ITEM_FILL, AW_INK_ANCHOR, at, 0.45);
    } else if (words == AW_SAY_MARK_MAY_HANG) {
        aw_sheet_box(p->sheet, AW_ITEM_FILL, AW_INK_TINT, 0.6, (aw_point){at.x - 4, at.y - 0.85},
                     (aw_point){at.x + 4, at.y + 0.85});
    } else {
        aw_sheet_box(p->sheet, words == AW_SAY_MARK_THING ? AW_ITEM_FILL : AW_ITEM_LINE,
                     words == AW_SAY_MARK_THING ? AW_INK_LAND : AW_INK_OVERHEAD, 0,
                     (aw_point){at.x - 4, at.y - 1.3}, (aw_point){at.x + 4, at.y + 1.3});
    }
    aw_sheet_text(p->sheet, AW_INK_TABLE, phrase_of(p, words), (aw_point){x + 11, *y}, 0);
    *y += 4.6;
}

/* An arrow to plan north, and a bar of a round length. */
static void set_north(press *p, double x, double y)
{
    aw_item *arrow = aw_sheet_add(p->sheet, AW_ITEM_FILL, AW_INK_ANCHOR);
    aw_sheet_point(p->sheet, arrow, x, y);
    aw_sheet_point(p->sheet, arrow, x + 2, y + 8);
    aw_sheet_point(p->sheet, arrow, x, y + 6.4);
    aw_sheet_point(p->sheet, arrow, x - 2, y + 8);
    aw_sheet_end_path(p->sheet, arrow);
    if (arrow != NULL)
        arrow->closed = true;
    const char *words = phrase_of(p, AW_SAY_PLAN_NORTH);
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_LABEL, words);
    aw_sheet_text(p->sheet, AW_INK_LABEL, words, (aw_point){x - size.x / 2, y + 9}, 0);
}

static void set_bar(press *p, double scale, double x, double y)
{
    const double unit = aw_unit_metres(p->what->scenario->units), mm = 1000 * unit / scale;
    static const double lengths[] = {1, 2, 5, 10, 20, 50, 100, 200, 500};
    double length = 1;
    char words[32];
    for (size_t k = 0; k < sizeof lengths / sizeof *lengths; k++)
        length = lengths[k] * mm <= SIDE - 12 ? lengths[k] : length;
    for (int k = 0; k < 5; k++)
        aw_sheet_box(p->sheet, k % 2 == 0 ? AW_ITEM_FILL : AW_ITEM_LINE,
                     k % 2 == 0 ? AW_INK_ANCHOR : AW_INK_RULE, 0,
                     (aw_point){x + length * mm * k / 5, y},
                     (aw_point){x + length * mm * (k + 1) / 5, y + 1.2});
    snprintf(words, sizeof words, "%g %s", length, aw_unit_name(p->what->scenario->units));
    aw_sheet_text(p->sheet, AW_INK_LABEL, "0", (aw_point){x, y + 1.8}, 0);
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_LABEL, words);
    aw_sheet_text(p->sheet, AW_INK_LABEL, words, (aw_point){x + length * mm - size.x / 2, y + 1.8},
                  0);
}

static double say(press *p, aw_ink ink, aw_phrase phrase, const char *const args[], double x,
                  double y)
{
    aw_text text = {0};
    aw_phrase_fill(p->what->language, phrase, args, &text);
    p->sheet->failed |= text.failed;
    y = set_paragraph(p, ink, text.at != NULL ? text.at : "", x, y, SIDE - 4);
    aw_text_free(&text);
    return y;
}

/* What a sheet is of: a part, and which sheet of how many. */
typedef struct leaf {
    const aw_installers_part *part;
    size_t number, of;
} leaf;

static double set_part(press *p, const aw_installers_part *part, double x, double y)
{
    char n[24], m[24];
    snprintf(n, sizeof n, "%zu", part->number);
    snprintf(m, sizeof m, "%zu", part->of);
    if (part->level != NULL) {
        const aw_length_text height =
            aw_coordinate_words("%+.4g", part->level->height, p->what->scenario->units);
        y = say(p, AW_INK_TABLE, AW_SAY_SHEET_LEVEL,
                (const char *const[]){part->level->name, height.text, NULL}, x, y);
    }
    if (part->of > 1)
        y = say(p, AW_INK_TABLE, AW_SAY_SHEET_PART, (const char *const[]){n, m, NULL}, x, y);
    return y;
}

/* Scale 0: the sheet has no plan. */
static double set_title(press *p, double scale, const leaf *page, double x, double y)
{
    const aw_installers *w = p->what;
    char ratio[32], n[24], m[24];
    snprintf(ratio, sizeof ratio, "1:%.0f", scale);
    snprintf(n, sizeof n, "%zu", page->number);
    snprintf(m, sizeof m, "%zu", page->of);
    y = set_paragraph(p, AW_INK_TITLE, w->scenario->title, x, y, SIDE - 4) + 1;
    y = say(p, AW_INK_HEADLINE, AW_SAY_WHERE_ANCHORS_HANG, (const char *const[]){NULL}, x, y) + 1;
    y = set_part(p, page->part, x, y);
    if (scale > 0)
        y = say(p, AW_INK_TABLE, AW_SAY_SCALE,
                (const char *const[]){ratio, aw_paper_rows[w->paper].name,
                                      aw_unit_name(w->scenario->units), NULL},
                x, y);
    return say(p, AW_INK_TABLE, AW_SAY_SHEET_OF, (const char *const[]){n, m, NULL}, x, y) + 1.5;
}

/* What was changed on the command line, as far as it is told one by one. */
static double set_changes(press *p, double x, double y)
{
    const aw_scenario *s = p->what->scenario;
    char more[24];
    for (size_t i = 0; i < s->n_changes && i < MOST_CHANGES; i++)
        y = say(p, AW_INK_TABLE, AW_SAY_NOTE_SET,
                (const char *const[]){s->changes[i].path, s->changes[i].value, NULL}, x, y + 0.5);
    if (s->n_changes <= MOST_CHANGES)
        return y;
    snprintf(more, sizeof more, "%zu", s->n_changes - MOST_CHANGES);
    return say(p, AW_INK_TABLE, AW_SAY_SO_MANY_MORE, (const char *const[]){more, NULL}, x, y);
}

static bool is_measured_from_lines(const aw_installers_part *part, const aw_scenario *s)
{
    aw_offset offset;
    for (size_t i = 0; i < part->n; i++)
        for (int axis = 0; axis < 2; axis++)
            if (aw_offset_find(&offset, s, s->anchors[part->anchors[i]].at, axis) &&
                offset.face.is_line)
                return true;
    return false;
}

/* The whole, with the part darkened. */
static void set_key_plan(press *p, const aw_installers_part *part, double x, double y)
{
    const aw_polygon *o = &p->what->scenario->floor.outline;
    const double mm = fmin((SIDE - 8) / (o->high.x - o->low.x), 30 / (o->high.y - o->low.y));
    const double bottom = y + (o->high.y - o->low.y) * mm;
    aw_sheet_box(
        p->sheet, AW_ITEM_FILL, AW_INK_TINT, 0.6,
        (aw_point){x + (part->low.x - o->low.x) * mm, bottom - (part->high.y - o->low.y) * mm},
        (aw_point){x + (part->high.x - o->low.x) * mm, bottom - (part->low.y - o->low.y) * mm});
    aw_item *item = aw_sheet_add(p->sheet, AW_ITEM_LINE, AW_INK_NEAT);
    for (size_t i = 0; i < o->n; i++)
        aw_sheet_point(p->sheet, item, x + (o->at[i].x - o->low.x) * mm,
                       bottom - (o->at[i].y - o->low.y) * mm);
    aw_sheet_end_path(p->sheet, item);
    if (item != NULL)
        item->closed = true;
}

/* Zones whose need fails as drawn are not protected by the freedom. */
static double set_freedom_notes(press *p, double x, double y)
{
    const aw_freedoms *f = p->what->freedoms;
    const aw_scenario *s = p->what->scenario;
    if (f == NULL || f->n == 0)
        return say(p, AW_INK_TABLE, AW_SAY_NOTE_NO_FREEDOM, (const char *const[]){NULL}, x, y);
    const aw_length_text reach = aw_coordinate_words("%.3g", f->reach, s->units);
    y = say(p, AW_INK_TABLE, AW_SAY_NOTE_FREEDOM, (const char *const[]){reach.text, NULL}, x, y);
    for (size_t z = 0; z < s->n_zones; z++)
        if (f->today[z].verdict != AW_NO_NEED && !f->kept[z])
            y = say(p, AW_INK_TABLE, AW_SAY_NOTE_NOT_KEPT,
                    (const char *const[]){s->zones[z].name, NULL}, x, y);
    return y;
}

static double set_notes(press *p, const aw_installers_part *part, double x, double y)
{
    static const aw_phrase notes[] = {AW_SAY_NOTE_FACES, AW_SAY_NOTE_HEIGHTS, AW_SAY_NOTE_STEEL,
                                      AW_SAY_NOTE_BUILT, AW_SAY_NOTE_CARE};
    static const aw_phrase marks[] = {AW_SAY_MARK_ANCHOR, AW_SAY_MARK_MAY_HANG, AW_SAY_MARK_THING,
                                      AW_SAY_MARK_OVERHEAD};
    for (size_t i = 0; i < sizeof notes / sizeof *notes; i++)
        y = say(p, AW_INK_TABLE, notes[i], (const char *const[]){NULL}, x, y + 0.5);
    if (is_measured_from_lines(part, p->what->scenario))
        y = say(p, AW_INK_TABLE, AW_SAY_NOTE_LINES, (const char *const[]){NULL}, x, y + 0.5);
    if (aw_installers_by_number(p->sheet, p->what->scenario))
        y = say(p, AW_INK_TABLE, AW_SAY_NOTE_NUMBERS, (const char *const[]){NULL}, x, y + 0.5);
    y = set_changes(p, x, y);
    y = set_freedom_notes(p, x, y + 0.5) + 2;
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        set_mark(p, marks[i], x, &y);
    return y;
}

static void set_side(press *p, double scale, const leaf *page)
{
    const aw_installers *w = p->what;
    const double x = p->width - MARGIN - SIDE;
    double y = set_title(p, scale, page, x, MARGIN + 5);
    rule(p, AW_INK_BLOCK_RULE, x, x + SIDE - 4, y - 1);
    y = set_notes(p, page->part, x, y);
    set_bar(p, scale, x, y + 2);
    set_north(p, x + SIDE - 10, y - 16);
    y += 9;
    const char *own[2] = {w->revision, w->date};
    char program[64], revision[160];
    snprintf(program, sizeof program, "anchorwise %s", AW_VERSION);
    snprintf(revision, sizeof revision, "%s%s%s", own[0] != NULL ? own[0] : "",
             own[0] != NULL && own[1] != NULL ? ", " : "", own[1] != NULL ? own[1] : "");
    set_field(p, AW_SAY_FIELD_CLIENT, w->client, x, &y);
    set_field(p, AW_SAY_FIELD_AUTHOR, w->author, x, &y);
    set_field(p, AW_SAY_FIELD_REVISION, revision, x, &y);
    set_field(p, AW_SAY_FIELD_FILE, w->checksum, x, &y);
    set_field(p, AW_SAY_FIELD_PROGRAM, program, x, &y);
    set_field(p, AW_SAY_FIELD_HUNG_BY, NULL, x, &y);
    set_field(p, AW_SAY_FIELD_SIGNED, NULL, x, &y);
    if (page->part->of > 1)
        set_key_plan(p, page->part, x + 2, y + 4);
}

/* --- sheets --- */

/* The names have what they need, up to a third; the other columns share the rest. */
static void share_out(press *p)
{
    const double width = (p->width - SIDE - 2 * MARGIN - 8 - GAP) / 2; /* where it has least */
    double widest = columns[ANCHOR].share;
    for (size_t i = 0; i < p->what->scenario->n_anchors; i++)
        widest = fmax(
            widest,
            (aw_sheet_measure(p->sheet, AW_INK_TABLE_NAME, p->what->scenario->anchors[i].name).x +
             2) /
                width);
    p->share[ANCHOR] = fmin(widest, 1.0 / 3);
    for (int k = ANCHOR + 1; k < COLUMNS; k++)
        p->share[k] = columns[k].share * (1 - p->share[ANCHOR]) / (1 - columns[ANCHOR].share);
}

static press begin(aw_sheet *sheet, const aw_installers *w)
{
    const aw_paper_row *paper = &aw_paper_rows[w->paper];
    *sheet =
        (aw_sheet){.width = paper->width, .height = paper->height, .text_size = AW_INSTALLERS_TEXT};
    aw_sheet_box(sheet, AW_ITEM_LINE, AW_INK_NEAT, 0, (aw_point){MARGIN, MARGIN},
                 (aw_point){sheet->width - MARGIN, sheet->height - MARGIN});
    sheet->title = strdup(w->scenario->title);
    sheet->date = w->date != NULL ? strdup(w->date) : NULL;
    sheet->failed |= sheet->title == NULL;
    press p = {.sheet = sheet, .what = w, .width = sheet->width, .height = sheet->height};
    share_out(&p);
    p.by_number = aw_installers_by_number(sheet, w->scenario);
    return p;
}

/* Rows of a column of a sheet that has nothing but the schedule. */
static size_t most_rows(const aw_installers *w)
{
    return (size_t)((aw_paper_rows[w->paper].height - 2 * MARGIN - HEAD - 14) / ROW);
}

static size_t sheets_of(const aw_installers *w, const aw_installers_part *part)
{
    const size_t both = 2 * most_rows(w);
    return aw_installers_place_of(w, part).has_schedule ? 1 : 1 + (part->n + both - 1) / both;
}

/* The plan of a part with its schedule under it, or on the sheets behind. */
static void draw_part(aw_sheet sheets[], const aw_installers *w, leaf page)
{
    const aw_installers_part *part = page.part;
    const aw_installers_place place = aw_installers_place_of(w, part);
    const size_t rows = most_rows(w), n = sheets_of(w, part);
    press p = begin(&sheets[0], w);
    const double scale = aw_installers_plan(p.sheet, w, part, place.low, place.high).scale;
    set_side(&p, scale, &page);
    if (place.has_schedule)
        set_schedules(&p, part, 0, (part->n + 1) / 2,
                      (aw_point){p.width - MARGIN - 4, place.high.y});
    for (size_t k = 1; k < n; k++) {
        p = begin(&sheets[k], w);
        page.number++;
        set_title(&p, 0, &page, p.width - MARGIN - SIDE, MARGIN + 5);
        set_schedules(&p, part, (k - 1) * 2 * rows, rows,
                      (aw_point){p.width - MARGIN - SIDE - 4, MARGIN + 5});
    }
}

bool aw_installers_draw(aw_sheet sheets[AW_INSTALLERS_SHEETS], size_t *n, const aw_installers *w,
                        aw_errors *errors)
{
    aw_installers_parts parts;
    size_t all = 0;
    bool done = aw_installers_parts_make(&parts, w);
    *n = 0;
    for (size_t k = 0; k < parts.n; k++)
        all += sheets_of(w, &parts.list[k]);
    for (size_t k = 0; done && k < parts.n; k++) {
        draw_part(&sheets[*n], w, (leaf){&parts.list[k], *n + 1, all});
        *n += sheets_of(w, &parts.list[k]);
    }
    for (size_t k = 0; k < *n; k++) {
        aw_sheet_order(&sheets[k]);
        done = done && !sheets[k].failed;
    }
    aw_installers_parts_free(&parts);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the sheets");
    return done;
}
