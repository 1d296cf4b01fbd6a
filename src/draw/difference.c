/* The difference of two layouts as a chart: tints where one is better, plain paper where they are
 * near or not told apart, signed figures, and the anchors of both. */
#include "draw/difference.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/mismatches.h"
#include "report/sentences.h"
#include "report/verdict.h"

/* --- the field --- */

/* Contours of either sign: round differences in m, or in inches for a site in feet. */
#define STEPS 7
static const double steps[2][STEPS] = {{0.1, 0.2, 0.5, 1, 2, 5, 10}, {4, 8, 20, 40, 80, 200, 400}};

static void choose_levels(aw_draft *d)
{
    const bool feet = d->scenario->units == AW_FEET;
    const double *step = steps[feet], unit = feet ? AW_FOOT / 12 : 1;
    double low = 0, high = 0;
    for (size_t i = 0; i < d->field.nx * d->field.ny; i++) {
        low = fmin(low, d->field.value[i]);
        high = fmax(high, d->field.value[i]);
    }
    for (size_t k = STEPS; k-- > 0;)
        if (-step[k] * unit > low)
            d->levels[d->n_levels++] = -step[k] * unit;
    for (size_t k = 0; k < STEPS; k++)
        if (step[k] * unit <= high)
            d->levels[d->n_levels++] = step[k] * unit;
}

/* Lays the compared cells over a field of their grid. */
static bool lay_cells(aw_field *f, aw_contrast *contrast, const aw_compared_cells *cells)
{
    if (!aw_field_create(f, &cells->grid))
        return false;
    contrast->ranking = calloc(f->nx * f->ny, sizeof *contrast->ranking);
    contrast->only = calloc(f->nx * f->ny, sizeof *contrast->only);
    if (contrast->ranking == NULL || contrast->only == NULL)
        return false;
    for (size_t k = 0; k < cells->grid.n; k++) {
        const size_t at = cells->grid.number[k];
        const double a = cells->p95[0][k], b = cells->p95[1][k];
        f->kept[at] = true;
        f->value[at] = b - a;
        contrast->ranking[at] = cells->ranking[k];
        contrast->only[at] = isnan(a) && !isnan(b) ? 'B' : isnan(b) && !isnan(a) ? 'A' : '\0';
    }
    return true;
}

static bool any_only(const aw_draft *d, char letter)
{
    return memchr(d->contrast->only, letter, d->field.nx * d->field.ny) != NULL;
}

/* Whether some cell has a figure in neither layout. */
static bool any_blank(const aw_draft *d)
{
    for (size_t i = 0; i < d->field.nx * d->field.ny; i++)
        if (d->field.kept[i] && isnan(d->field.value[i]) && d->contrast->only[i] == 0)
            return true;
    return false;
}

/* Whether a letter in place of a figure stands within reach of a place. */
static bool has_letter(const aw_draft *d, char letter, aw_point p, double reach)
{
    for (size_t i = 0; i < d->sheet->n; i++) {
        const aw_item *t = &d->sheet->items[i];
        if (t->kind == AW_ITEM_TEXT && t->ink == AW_INK_SOUNDING && t->text[0] == letter &&
            t->text[1] == '\0' &&
            hypot((t->low.x + t->high.x) / 2 - p.x, (t->low.y + t->high.y) / 2 - p.y) < reach)
            return true;
    }
    return false;
}

/* The soundings' lattice may miss small places in which only one layout has a figure: each of them
 * gets its letter too, beside it if there is no room in it. */
static void add_letters(aw_draft *d)
{
    const aw_field *f = &d->field;
    const double reach = 6 * d->sheet->text_size;
    const size_t left_out = d->n_left_out;
    for (size_t at = 0; at < f->nx * f->ny; at++) {
        const char letter[2] = {d->contrast->only[at], '\0'};
        const aw_label label = {AW_INK_SOUNDING, (const char *[]){letter}, 1};
        const aw_point p = aw_draft_to_paper(d, aw_field_centre(f, at));
        if (letter[0] == '\0' || has_letter(d, letter[0], p, reach))
            continue;
        const aw_point size = aw_sheet_measure(d->sheet, AW_INK_SOUNDING, letter);
        const aw_point low = {p.x - size.x / 2, p.y - size.y / 2};
        if (!aw_draft_try_text(d, AW_INK_SOUNDING, letter, low, 0, d->map))
            aw_draft_label(d, &label, p, 1, reach);
    }
    /* Cells without room for a letter count once. */
    d->n_left_out = left_out + (d->n_left_out > left_out);
}

/* Whether a cell has a ranking, and both layouts a figure there, or only one. */
static bool is_ranked(const aw_draft *d, size_t cell, aw_ranking ranking, bool both)
{
    return d->contrast->ranking[cell] == ranking && (d->contrast->only[cell] == 0) == both;
}

/* The cells of one ranking, each run of a row as one box. */
static void add_cells(aw_draft *d, aw_ink ink, aw_ranking ranking, bool both)
{
    const aw_field *f = &d->field;
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_FILL, ink);
    for (size_t j = 0; j < f->ny; j++)
        for (size_t i = 0, end; i < f->nx; i = end + 1) {
            for (end = i; end < f->nx && is_ranked(d, j * f->nx + end, ranking, both);)
                end++;
            if (end == i)
                continue;
            const double y = f->y0 + (double)j * f->step;
            const aw_point low =
                aw_draft_to_paper(d, (aw_point){f->x0 + (double)i * f->step, y + f->step});
            const aw_point high =
                aw_draft_to_paper(d, (aw_point){f->x0 + (double)end * f->step, y});
            aw_sheet_point(d->sheet, item, low.x, low.y);
            aw_sheet_point(d->sheet, item, high.x, low.y);
            aw_sheet_point(d->sheet, item, high.x, high.y);
            aw_sheet_point(d->sheet, item, low.x, high.y);
            aw_sheet_end_path(d->sheet, item);
        }
}

/* --- words --- */

/* Names of what differs beside the anchors; more are counted. */
#define MOST_MISMATCHES 3

static void word_title(aw_draft *d, const aw_difference *what, char subtitle[512])
{
    const aw_scenario *s = what->b;
    const double metre = aw_unit_metres(s->units);
    if (strcmp(what->a->title, s->title) == 0)
        snprintf(d->words.title, sizeof d->words.title, "%s", s->title);
    else
        snprintf(d->words.title, sizeof d->words.title, "%s / %s", what->a->title, s->title);
    aw_draft_fact(d, "Difference chart, %s at %.4g %s", s->tags[0].name, s->tags[0].height / metre,
                  aw_unit_name(s->units));
    snprintf(subtitle, 512, "p95 of B minus p95 of A, %s", s->units == AW_FEET ? "inches" : "cm");
    aw_draft_note(d, "A: %s, %zu anchors. B: %s, %zu anchors.", what->names[0], what->a->n_anchors,
                  what->names[1], s->n_anchors);
}

/* That the anchors are not all that differs. */
static void note_mismatches(aw_draft *d, const aw_difference *what)
{
    aw_mismatches mismatches = {0};
    aw_text names = {0};
    if (!aw_mismatches_find(&mismatches, what->a, what->b))
        d->sheet->failed = true;
    aw_mismatches_words(&mismatches, MOST_MISMATCHES, &names);
    if (mismatches.n > 0)
        aw_draft_note(d, "A and B differ in more than their anchors: %s.",
                      names.at != NULL ? names.at : "");
    d->sheet->failed = d->sheet->failed || names.failed;
    aw_text_free(&names);
    aw_mismatches_free(&mismatches);
}

static void word_notes(aw_draft *d, const aw_difference *what)
{
    const aw_scenario *s = what->b;
    const bool feet = s->units == AW_FEET;
    aw_text said = {0};
    aw_whole_sentence(what->comparison, s, &said);
    aw_draft_note(d, "%s", said.at != NULL ? said.at : "");
    d->sheet->failed = d->sheet->failed || said.failed;
    aw_text_free(&said);
    aw_draft_note(
        d,
        "A cell is tinted where its %u draws tell B from A (step %.4g %s, seed %llu) and its p95 "
        "differ by %.0f %% or more: measured systems nearer than that do not keep the predicted "
        "order.",
        what->a->study.draws, what->a->study.step / (feet ? AW_FOOT : 1), feet ? "ft" : "m",
        (unsigned long long)what->a->study.seed, 100 * AW_NEAR_EQUAL);
    note_mismatches(d, what);
    aw_draft_note_terms(d);
}

static void word_legend(aw_draft *d, const aw_difference *what)
{
    const aw_area_result *floor = &what->comparison->floor;
    snprintf(d->words.legend, sizeof d->words.legend, "P95 OF B MINUS P95 OF A, %s",
             d->scenario->units == AW_FEET ? "INCHES" : "CM");
    aw_draft_entry(d, AW_SYMBOL_SOUNDING, AW_INK_SOUNDING, "minus: less with B");
    if (d->n_levels > 0)
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_CONTOUR, "contour");
    if (floor->better > 0)
        aw_draft_entry(d, AW_SYMBOL_BETTER, AW_INK_BETTER, "B is better");
    if (floor->worse > 0)
        aw_draft_entry(d, AW_SYMBOL_WORSE, AW_INK_WORSE, "B is worse");
    if (floor->better + floor->worse < floor->cells)
        aw_draft_entry(d, AW_SYMBOL_PLAIN, AW_INK_PAPER,
                       floor->near > 0 ? "under 15 %% or tied" : "not told apart");
    if (any_only(d, 'A'))
        aw_draft_entry(d, AW_SYMBOL_ONLY_A, AW_INK_SOUNDING, "only A has a p95");
    if (any_only(d, 'B'))
        aw_draft_entry(d, AW_SYMBOL_ONLY_B, AW_INK_SOUNDING, "only B has a p95");
    if (any_blank(d))
        aw_draft_entry(d, AW_SYMBOL_BLANK, AW_INK_NO_FIX, "neither has a p95");
    aw_draft_list_land(d);
    aw_draft_list_zones(d);
}

/* --- the table of zones --- */

/* Column edges, mm on A3. */
enum {
    NAME = 5,
    TAG = 34,
    OF_A = 65,
    OF_B = 76,
    CHANGE = 89,
    BETTER = 102,
    WORSE = 114,
    WIDTH = 134
};

static const aw_comparison *compared(const aw_draft *d)
{
    return ((const aw_difference *)d->study)->comparison;
}

static void zone_heads(aw_draft *d, double x, double base, double width)
{
    static const struct {
        const char *text;
        double at;
    } heads[] = {{"p95 of A", OF_A},
                 {"of B", OF_B},
                 {"change", CHANGE},
                 {"better", BETTER},
                 {"worse", WORSE}};
    const double k = aw_draft_type(d);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "zone", x + NAME * k, base, AW_AT_LEFT);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "tag", x + TAG * k, base, AW_AT_LEFT);
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        aw_draft_put(d, AW_INK_TABLE_HEAD, heads[i].text, x + heads[i].at * k, base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "with B", x + width, base, AW_AT_RIGHT);
}

static void zone_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const aw_zone *z = &d->scenario->zones[i];
    const aw_area_result *r = &compared(d)->zones[i];
    const aw_verdict verdict = compared(d)->judged[1][i].verdict;
    const aw_units units = d->scenario->units;
    const double k = aw_draft_type(d), change = 100 * (r->p95[1] / r->p95[0] - 1);
    const bool missed = verdict == AW_NOT_MET;
    char figure[32] = "–", count[AW_FIGURE_ROOM];
    aw_draft_letter(d, i, missed, (aw_point){x + 1.6 * k, base - 0.8 * k});
    aw_draft_put_cut(d, AW_INK_TABLE_NAME, z->name, x + NAME * k, base, (TAG - NAME - 1) * k);
    aw_draft_put_cut(d, AW_INK_TABLE, d->scenario->tags[z->tag].name, x + TAG * k, base, 21 * k);
    aw_draft_put(d, AW_INK_RESULT, aw_sheet_figure(r->p95[0], NAN, units).text, x + OF_A * k, base,
                 AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_RESULT, aw_sheet_figure(r->p95[1], NAN, units).text, x + OF_B * k, base,
                 AW_AT_RIGHT);
    if (isfinite(change))
        snprintf(figure, sizeof figure, "%s%.0f %%",
                 fabs(change) < 0.5 ? ""
                 : change < 0       ? "−"
                                    : "+",
                 fabs(change));
    aw_draft_put(d, AW_INK_RESULT, figure, x + CHANGE * k, base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_RESULT, aw_figure_count(r->better, count), x + BETTER * k, base,
                 AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_RESULT, aw_figure_count(r->worse, count), x + WORSE * k, base,
                 AW_AT_RIGHT);
    aw_draft_put(d, missed ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT, aw_verdict_word(verdict),
                 x + width, base, AW_AT_RIGHT);
}

static double lay_zones(aw_draft *d, aw_point at, double width, bool draw)
{
    const bool feet = d->scenario->units == AW_FEET;
    const aw_rows rows = {feet ? "ZONES, INCHES AND CELLS" : "ZONES, CM AND CELLS",
                          d->scenario->n_zones, WIDTH, zone_heads, zone_row};
    const size_t most = aw_rows_most(d) * aw_rows_columns(d, &rows, width);
    const aw_box box = {at, {at.x + width, d->sheet->height}};
    return rows.n == 0 ? at.y : aw_rows_lay(d, &rows, 0, rows.n < most ? rows.n : most, box, draw);
}

static double lay_told(aw_draft *d, aw_point at, double width, bool draw)
{
    const double y = lay_zones(d, at, width, draw);
    return aw_lay_notes(d, (aw_point){at.x, y}, width, draw);
}

/* --- the sheet --- */

static const aw_arrangement arrangements[] = {
    {.under = {{lay_told, 134}, {aw_lay_anchors, 78}, {aw_lay_legend, 80}, {aw_lay_title, 74}}},
    {.beside = {{aw_lay_legend, 68}, {aw_lay_anchors, 0}, {aw_lay_title, 0}},
     .under = {{lay_zones, 134}, {aw_lay_notes, 84}}},
    {.beside = {{aw_lay_legend, 68}, {aw_lay_anchors, 0}},
     .under = {{lay_zones, 134}, {aw_lay_notes, 84}, {aw_lay_title, 75}}},
};

static void draw_plan(aw_draft *d, const aw_difference *what)
{
    aw_draft_open_window(d, 0);
    aw_draft_gaps(d);
    /* Where only one layout has a figure, over the water without a fix. */
    for (int both = 0; both <= 1; both++) {
        aw_draft_open_floor(d, both ? AW_DEPTH_GROUND : AW_DEPTH_NO_FIX);
        add_cells(d, AW_INK_BETTER, AW_B_BETTER, both);
        add_cells(d, AW_INK_WORSE, AW_B_WORSE, both);
        aw_draft_close_floor(d);
    }
    aw_draft_land(d);
    aw_draft_zones(d);
    aw_draft_anchors(d, what->a);
    aw_draft_zone_blocks(d);
    aw_draft_land_names(d);
    aw_draft_contours(d);
    aw_draft_soundings(d);
    add_letters(d);
    aw_draft_shoals(d);
    aw_draft_close_window(d);
    aw_draft_neat_line(d);
}

static void draw(aw_draft *d, const aw_difference *what)
{
    aw_text headline = {0};
    char subtitle[512];
    choose_levels(d);
    word_title(d, what, subtitle);
    word_notes(d, what);
    word_legend(d, what);
    aw_change_headline(what->comparison, what->b, &headline);
    d->sheet->failed |= headline.failed;
    if (!d->sheet->failed) {
        d->words.reserved = d->words.n_entries + 4; /* marks of anchors are known when drawn */
        aw_draft_begin(d);
        aw_draft_lay_plan(d, arrangements, sizeof arrangements / sizeof *arrangements);
        draw_plan(d, what);
        aw_draft_list_anchors(d);
        aw_draft_drop_unseen(d);
        aw_draft_head(d, subtitle, headline.at);
        aw_draft_add_blocks(d);
    }
    aw_text_free(&headline);
}

bool aw_difference_draw(aw_sheet *sheet, const aw_difference *what, aw_errors *errors)
{
    aw_chart_options options = what->options;
    aw_contrast contrast = {0};
    aw_surface surface = {0};
    /* Stamps are those of b. */
    const aw_assessment judged = {.zones = what->comparison->judged[1]};
    aw_draft d = {.sheet = sheet,
                  .assessment = &judged,
                  .scenario = what->b,
                  .options = &options,
                  .contrast = &contrast,
                  .surface = &surface,
                  .study = what,
                  .whole = true};
    options.layer = AW_LAYER_P95;
    options.n_spots = 0;
    if (aw_draft_open(&d)) {
        d.common_height = aw_common_height(what->b);
        if (lay_cells(&d.field, &contrast, &what->comparison->cells) &&
            aw_surface_make(&surface, &d.field, what->b, 0, false))
            draw(&d, what);
        else
            sheet->failed = true;
    }
    aw_surface_free(&surface);
    aw_field_free(&d.field);
    free(contrast.ranking);
    free(contrast.only);
    return aw_draft_close(&d, errors);
}
