/* Frame, title block, scale bar, legend, notes and cautions: what makes a drawing a document. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/block.h"
#include "draw/draft.h"
#include "draw/font.h"

/* Round scales, times powers of ten. */
static const double rounds[] = {1, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5};

/* With room for labels round the floor. */
void aw_draft_choose_scale(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double wide = o->high.x - o->low.x, deep = o->high.y - o->low.y;
    const double room = 3.2 * d->sheet->text_size;
    const double w = d->map.high.x - d->map.low.x - 2 * room;
    const double h = d->map.high.y - d->map.low.y - 2 * room;
    d->scale = 10;
    for (double power = 10; power < 1e8; power *= 10)
        for (size_t k = 0; k < sizeof rounds / sizeof *rounds; k++) {
            d->scale = (unsigned)(rounds[k] * power + 0.5);
            d->mm = 1000.0 / d->scale;
            if (wide * d->mm <= w && deep * d->mm <= h) {
                d->origin.x = (d->map.low.x + d->map.high.x - wide * d->mm) / 2;
                d->origin.y = (d->map.low.y + d->map.high.y - deep * d->mm) / 2;
                return;
            }
        }
}

/* Bytes of changes that fit a note's lines; the rest is counted. */
#define CHANGES_SHOWN 230

void aw_changes_note(const aw_scenario *s, char out[AW_NOTE_ROOM])
{
    size_t n = 0;
    out[0] = '\0';
    for (size_t k = 0; k < s->n_changes; k++) {
        const aw_change *c = &s->changes[k];
        const size_t length = strlen(c->path) + strlen(c->value);
        if (n + length > CHANGES_SHOWN) {
            snprintf(out + n, AW_NOTE_ROOM - n,
                     n > 0 ? " and %zu more." : "Set: too long to stand here, changes: %zu.",
                     s->n_changes - k);
            return;
        }
        n += (size_t)snprintf(out + n, AW_NOTE_ROOM - n, "%s%s = %s%s", k == 0 ? "Set: " : " ",
                              c->path, c->value, k + 1 < s->n_changes ? ";" : ".");
    }
}

/* What the strip is deeper by for the note on changes, in text sizes. */
static double changes_depth(const aw_draft *d)
{
    const double t = d->sheet->text_size, wide = d->sheet->width - 6 * t;
    const double box = wide * (d->options->portrait ? 0.5 : 0.29) - 2 * t;
    char note[AW_NOTE_ROOM];
    aw_changes_note(d->scenario, note);
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_NOTE, note);
    const double lines = fmin(ceil(1.2 * size.x / box), AW_NOTE_LINES);
    return note[0] == '\0' ? 0 : lines * (size.y + 0.2) / t + 0.25;
}

void aw_draft_begin(aw_draft *d)
{
    const aw_paper_row *paper = &aw_paper_rows[d->options->paper];
    const bool portrait = d->options->portrait;
    d->sheet->title = strdup(d->scenario->title);
    d->sheet->date = d->options->date ? strdup(d->options->date) : NULL;
    if (d->sheet->title == NULL || (d->options->date != NULL && d->sheet->date == NULL))
        d->sheet->failed = true;
    d->sheet->width = portrait ? paper->height : paper->width;
    d->sheet->height = portrait ? paper->width : paper->height;
    d->sheet->text_size = fmax(paper->text_size, d->options->least_text);
    d->sheet->depth = AW_DEPTH_GROUND;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, 0, (aw_point){0, 0},
                 (aw_point){d->sheet->width, d->sheet->height});
    d->sheet->depth = AW_DEPTH_OVER;
}

void aw_draft_lay_frame(aw_draft *d)
{
    const bool portrait = d->options->portrait;
    aw_draft_begin(d);
    const double t = d->sheet->text_size, margin = 3 * t;
    d->words.depth += changes_depth(d);
    const double strip = (d->words.depth + (portrait ? d->words.legend_depth : 0)) * t;
    d->map = (aw_box){{margin + 1.5, margin + 1.5},
                      {d->sheet->width - margin - 1.5, d->sheet->height - margin - strip - 1.5}};
    d->strip = (aw_box){{margin, d->sheet->height - margin - strip},
                        {d->sheet->width - margin, d->sheet->height - margin}};
    d->common_height = (double)NAN;
    aw_draft_choose_scale(d);
}

bool aw_draft_open(aw_draft *d)
{
    *d->sheet =
        (aw_sheet){.grey = d->options->grey, .depth = AW_DEPTH_OVER, .failed = !aw_font_has_room()};
    return !d->sheet->failed;
}

bool aw_draft_close(aw_draft *d, aw_errors *errors)
{
    free(d->taken);
    if (!d->sheet->failed)
        aw_sheet_order(d->sheet);
    if (d->sheet->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the chart");
    return !d->sheet->failed;
}

/* --- words --- */

void aw_draft_fact(aw_draft *d, const char *format, ...)
{
    aw_words *w = &d->words;
    va_list arguments;
    va_start(arguments, format);
    if (w->n_facts < AW_MOST_FACTS)
        vsnprintf(w->facts[w->n_facts++], sizeof w->facts[0], format, arguments);
    va_end(arguments);
}

void aw_draft_note(aw_draft *d, const char *format, ...)
{
    aw_words *w = &d->words;
    va_list arguments;
    va_start(arguments, format);
    if (w->n_notes < AW_MOST_NOTES)
        vsnprintf(w->notes[w->n_notes++], sizeof w->notes[0], format, arguments);
    va_end(arguments);
}

void aw_draft_note_terms(aw_draft *d)
{
    char changes[AW_NOTE_ROOM];
    aw_changes_note(d->scenario, changes);
    if (changes[0] != '\0')
        aw_draft_note(d, "%s", changes);
    aw_draft_note(d, "%s",
                  aw_scenario_is_site(d->scenario)
                      ? "Site figures: with the spot and installation errors that are stated."
                      : "BENCH FIGURES: no spot or installation error is stated; on site the error "
                        "will be several times larger.");
}

/* --- title block --- */

static void draw_bar(aw_draft *d, double unit, const char *name, aw_point at, double most)
{
    double length = 1;
    char text[32];
    while (length * 10 * unit * d->mm <= most)
        length *= 10;
    while (length * unit * d->mm > most)
        length /= 10;
    length *= length * 5 * unit * d->mm <= most ? 5 : length * 2 * unit * d->mm <= most ? 2 : 1;
    const double end = at.x + length * unit * d->mm, t = d->sheet->text_size;
    for (int k = 0; k < 4; k++)
        aw_sheet_box(d->sheet, k % 2 ? AW_ITEM_LINE : AW_ITEM_FILL,
                     k % 2 ? AW_INK_RULE : AW_INK_ANCHOR, 0,
                     (aw_point){at.x + (end - at.x) * k / 4, at.y},
                     (aw_point){at.x + (end - at.x) * (k + 1) / 4, at.y + 0.35 * t});
    aw_draft_set_text(d, AW_INK_NOTE, "0", (aw_point){at.x, at.y + 0.45 * t});
    snprintf(text, sizeof text, "%g %s", length, name);
    aw_draft_set_text(
        d, AW_INK_NOTE, text,
        (aw_point){end - aw_sheet_measure(d->sheet, AW_INK_NOTE, "0").x, at.y + 0.45 * t});
}

/* The scenario's +y points up the sheet. */
static void draw_north(aw_draft *d, aw_point tip)
{
    const double t = d->sheet->text_size;
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){tip.x, tip.y + 4 * t}, tip);
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){tip.x - 0.6 * t, tip.y + 1.2 * t}, tip);
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){tip.x + 0.6 * t, tip.y + 1.2 * t}, tip);
    const double width = aw_sheet_measure(d->sheet, AW_INK_NOTE, "plan north").x;
    aw_draft_set_text(d, AW_INK_NOTE, "plan north", (aw_point){tip.x - width / 2, tip.y + 4.2 * t});
}

static void add_facts(aw_draft *d, aw_block *b)
{
    const aw_chart_options *o = d->options;
    char line[512];
    for (size_t i = 0; i < d->words.n_facts; i++)
        aw_block_text(d, b, AW_INK_NOTE, d->words.facts[i], 2);
    snprintf(line, sizeof line, "Scale 1:%u on %s %s", d->scale, aw_paper_rows[o->paper].name,
             o->portrait ? "portrait" : "landscape");
    if (!d->words.flat)
        aw_block_text(d, b, AW_INK_HEADING, line, 1);
    snprintf(line, sizeof line, "Date: %s     Revision: %s", o->date ? o->date : "-",
             o->revision ? o->revision : "-");
    aw_block_text(d, b, AW_INK_NOTE, line, 1);
}

static void draw_title(aw_draft *d, aw_box box)
{
    const double t = d->sheet->text_size;
    aw_block b = aw_block_begin(d, box);
    aw_block_text(d, &b, AW_INK_TITLE, d->words.title, 2);
    add_facts(d, &b);
    if (d->words.flat)
        return;
    /* A long title pushes the bars down, as far as there is room. */
    const double y = fmin(fmax(box.high.y - 6.4 * t, b.low.y + 0.4 * t), box.high.y - 5.2 * t);
    draw_bar(d, 1, "m", (aw_point){b.low.x, y}, (b.high.x - b.low.x) * 0.58);
    draw_bar(d, AW_FOOT, "ft", (aw_point){b.low.x, y + 3 * t}, (b.high.x - b.low.x) * 0.58);
    draw_north(d, (aw_point){b.high.x - 4.5 * t, box.high.y - 6.8 * t});
}

/* --- notes --- */

static void draw_notes(aw_draft *d, aw_box box)
{
    char line[640];
    aw_block b = aw_block_begin(d, box);
    aw_block_text(d, &b, AW_INK_HEADING, "Figures", 1);
    for (size_t i = 0; i < d->words.n_notes; i++)
        aw_block_text(d, &b, AW_INK_NOTE, d->words.notes[i], AW_NOTE_LINES);
    if (d->n_left_out > 0) {
        snprintf(line, sizeof line, "%zu label%s left out for want of room.", d->n_left_out,
                 d->n_left_out == 1 ? " is" : "s are");
        aw_block_text(d, &b, AW_INK_NOTE, line, 1);
    }
    aw_block_text(d, &b, AW_INK_HEADING, "Cautions", 1);
    aw_block_text(
        d, &b, AW_INK_NOTE,
        "A prediction from stated assumptions, not a promise: measure on site. A position "
        "is not a safety function. Work at height and on mains is for trained people "
        "under local codes; radio rules differ by place.",
        6);
}

/* --- frame --- */

void aw_draft_frame(aw_draft *d)
{
    const aw_sheet *s = d->sheet;
    const double outer = 1.2 * s->text_size, inner = 3 * s->text_size;
    const aw_box t = d->strip;
    const double wide = t.high.x - t.low.x;
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_RULE, 0, (aw_point){outer, outer},
                 (aw_point){s->width - outer, s->height - outer});
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_FRAME, 0, (aw_point){inner, inner},
                 (aw_point){s->width - inner, s->height - inner});
    aw_sheet_line(d->sheet, AW_INK_FRAME, t.low, (aw_point){t.high.x, t.low.y});
    if (d->options->portrait) {
        const double y = t.low.y + d->words.depth * s->text_size, x = t.low.x + wide * 0.5;
        aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){t.low.x, y}, (aw_point){t.high.x, y});
        aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){x, t.low.y}, (aw_point){x, y});
        aw_draft_legend(d, (aw_box){{t.low.x, y}, t.high});
        draw_notes(d, (aw_box){t.low, {x, y}});
        draw_title(d, (aw_box){{x, t.low.y}, {t.high.x, y}});
        return;
    }
    const double a = t.low.x + wide * 0.38, b = t.low.x + wide * 0.67;
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){a, t.low.y}, (aw_point){a, t.high.y});
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){b, t.low.y}, (aw_point){b, t.high.y});
    aw_draft_legend(d, (aw_box){t.low, {a, t.high.y}});
    draw_notes(d, (aw_box){{a, t.low.y}, {b, t.high.y}});
    draw_title(d, (aw_box){{b, t.low.y}, t.high});
}
