/* The table of zones: letter, name, what is needed, what was reached, verdict. Too many for the
 * sheet of the plan stand there by letter, name and verdict, and in full on a sheet of their own.
 */
#include <math.h>
#include <stdio.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "draw/rows.h"
#include "report/lengths.h"
#include "report/stamp.h"
#include "report/verdict.h"
#include "report/worth.h"

/* Column edges of the long table, mm on A3; heads and figures end at them but for name, tag and
 * place. */
enum { NAME = 5, TAG = 33, NEED = 57, P95 = 66, WITHIN = 79, CHANCE = 91, WORST = 100, AT = 101 };
#define LONG_WIDTH  134.0
#define SHORT_WIDTH 42.0

static void zone_figures(aw_draft *d, const aw_zone_result *r, double x, double base, double width)
{
    const double k = aw_draft_type(d);
    const aw_units units = d->scenario->units;
    const aw_part_result *share = &r->parts[AW_PART_SHARE];
    char text[64] = "–";
    aw_draft_put(d, AW_INK_RESULT,
                 aw_sheet_figure(r->errors.p95, r->parts[AW_PART_P95].asked, units).text,
                 x + P95 * k, base, AW_AT_RIGHT);
    if (!isnan(share->found.value))
        snprintf(text, sizeof text, "%s", aw_part_words(share, AW_PART_SHARE, units).text);
    aw_draft_put(d, AW_INK_RESULT, text, x + WITHIN * k, base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_RESULT, aw_chance_words(r).text, x + CHANCE * k, base, AW_AT_RIGHT);
    aw_draft_put(d, AW_INK_RESULT,
                 isnan(r->errors.worst_p95) ? "no fix"
                                            : aw_sheet_figure(r->errors.worst_p95, NAN, units).text,
                 x + WORST * k, base, AW_AT_RIGHT);
    snprintf(text, sizeof text, "(%.1f, %.1f)", r->errors.worst_at[0] / aw_unit_metres(units),
             r->errors.worst_at[1] / aw_unit_metres(units));
    if (isfinite(r->errors.worst_at[0]))
        aw_draft_put(d, AW_INK_TABLE, text, x + AT * k, base, AW_AT_LEFT);
    aw_draft_put(d, r->verdict == AW_NOT_MET ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT,
                 aw_zone_verdict_word(r), x + width, base, AW_AT_RIGHT);
}

static void zone_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const aw_zone *z = &d->scenario->zones[i];
    const aw_zone_result *r = aw_draft_result(d, i);
    const double k = aw_draft_type(d);
    aw_draft_letter(d, i, r != NULL && r->verdict == AW_NOT_MET,
                    (aw_point){x + 1.6 * k, base - 0.8 * k});
    aw_draft_put_cut(d, AW_INK_TABLE_NAME, z->name, x + NAME * k, base, (TAG - NAME - 1) * k);
    aw_draft_put_cut(d, AW_INK_TABLE, d->scenario->tags[z->tag].name, x + TAG * k, base,
                     (NEED - TAG - 8) * k);
    aw_draft_put(d, AW_INK_TABLE,
                 isnan(z->need.p95) ? "–" : aw_sheet_need(z->need.p95, d->scenario->units).text,
                 x + NEED * k, base, AW_AT_RIGHT);
    if (r != NULL)
        zone_figures(d, r, x, base, width);
}

static void zone_heads(aw_draft *d, double x, double base, double width)
{
    static const struct {
        const char *text;
        double at;
        aw_align how;
    } heads[] = {{"zone", NAME, AW_AT_LEFT},           {"tag", TAG, AW_AT_LEFT},
                 {"need", NEED, AW_AT_RIGHT},          {"p95", P95, AW_AT_RIGHT},
                 {"cells in it", WITHIN, AW_AT_RIGHT}, {"chance", CHANCE, AW_AT_RIGHT},
                 {"worst", WORST, AW_AT_RIGHT},        {"at", AT, AW_AT_LEFT}};
    const double k = aw_draft_type(d);
    for (size_t i = 0; i < (d->assessment != NULL ? sizeof heads / sizeof *heads : 3); i++)
        aw_draft_put(d, AW_INK_TABLE_HEAD, heads[i].text, x + heads[i].at * k, base, heads[i].how);
    if (d->assessment != NULL)
        aw_draft_put(d, AW_INK_TABLE_HEAD, "verdict", x + width, base, AW_AT_RIGHT);
}

static void short_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const aw_zone_result *r = aw_draft_result(d, i);
    const double k = aw_draft_type(d);
    const bool missed = r != NULL && r->verdict == AW_NOT_MET;
    const char *word = r != NULL ? aw_zone_verdict_word(r) : "";
    const aw_ink ink = missed ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT;
    const double taken = 4.5 * k + aw_sheet_measure(d->sheet, ink, word).x + k;
    aw_draft_letter(d, i, missed, (aw_point){x + 1.6 * k, base - 0.8 * k});
    aw_draft_put_cut(d, AW_INK_TABLE_NAME, d->scenario->zones[i].name, x + 4.5 * k, base,
                     width - taken);
    aw_draft_put(d, ink, word, x + width, base, AW_AT_RIGHT);
}

static void no_heads(aw_draft *d, double x, double base, double width)
{
    (void)d, (void)x, (void)base, (void)width;
}

aw_rows aw_zone_rows(const aw_draft *d)
{
    return (aw_rows){d->scenario->units == AW_FEET ? "ZONES, INCHES" : "ZONES, CM",
                     d->scenario->n_zones, LONG_WIDTH, zone_heads, zone_row};
}

double aw_lay_zones(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_rows all = aw_zone_rows(d);
    const aw_rows brief = {"ZONES", all.n, SHORT_WIDTH, no_heads, short_row};
    const aw_rows *rows = aw_rows_fit(d, &all, width) ? &all : &brief;
    const size_t most = aw_rows_columns(d, rows, width) * aw_rows_most(d);
    const size_t n = all.n < most ? all.n : most;
    const aw_box box = {at, {at.x + width, d->sheet->height}};
    char text[64];
    if (all.n == 0)
        return at.y;
    const double y = aw_rows_lay(d, rows, 0, n, box, draw);
    if (rows == &all)
        return y;
    if (n < all.n)
        snprintf(text, sizeof text, "and %zu more; needs and figures on sheet 2", all.n - n);
    else
        snprintf(text, sizeof text, "needs and figures on sheet 2");
    if (draw)
        aw_draft_put(d, AW_INK_TABLE_HEAD, text, at.x, y + aw_draft_type(d), AW_AT_LEFT);
    return y + 2.5 * aw_draft_type(d);
}

double aw_lay_told(aw_draft *d, aw_point at, double width, bool draw)
{
    const double y = aw_lay_zones(d, at, width, draw);
    return aw_lay_notes(d, (aw_point){at.x, y}, width, draw);
}
