/* Begin and end of a sheet, and the words that every sheet has. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/draft.h"
#include "draw/font.h"

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
