#include "draw/spot_blocks.h"

#include <math.h>
#include <stdio.h>

#include "draw/beside.h"
#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/lengths.h"
#include "report/verdict.h"

/* mm on A3: pitch of rows, thickness of a bar, where bars begin and what is right of them. */
#define PITCH   4.2
#define THICK   2.2
#define BARS    41.0
#define ASIDE   9.0
#define ZONE    32.0
#define VERDICT 18.0

static const aw_beside *beside_of(const aw_draft *d)
{
    return d->study;
}

/* The need of p95 at the spot by its tag, NaN without one. */
static double need_at_spot(const aw_draft *d)
{
    const aw_beside *what = beside_of(d);
    const aw_scenario *s = what->before.scenario;
    for (size_t i = 0; i < s->n_zones; i++)
        if (!isnan(s->zones[i].need.p95) && s->zones[i].tag == what->tag &&
            aw_draft_is_in(&s->zones[i].outline, what->spot))
            return s->zones[i].need.p95;
    return (double)NAN;
}

static void add_upright(aw_draft *d, aw_ink ink, double x, double top, double foot)
{
    aw_sheet_line(d->sheet, ink, (aw_point){x, top}, (aw_point){x, foot});
}

/* --- causes --- */

static void cause_row(aw_draft *d, const aw_cause *c, const char *name, aw_point at, double mm)
{
    const double k = aw_draft_type(d), x = at.x + BARS * k, today = beside_of(d)->before.p95;
    const aw_point low = {x, at.y - THICK * k}, high = {x + today * mm, at.y};
    const double without = c->without.value;
    aw_draft_put_cut(d, AW_INK_TABLE, name, at.x, at.y - 0.3 * k, (BARS - 1) * k);
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, AW_SHADE_LOW_END, low, high);
    if (!isnan(without))
        aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, AW_SHADE_HIGH_END, low,
                     (aw_point){x + fmin(without, today) * mm, high.y});
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_RULE, 0, low, high);
    aw_draft_put(d, AW_INK_RESULT,
                 isnan(without) ? "none" : aw_sheet_figure(without, NAN, d->scenario->units).text,
                 x + fmax(today, isnan(without) ? 0 : without) * mm + k, at.y - 0.3 * k,
                 AW_AT_LEFT);
}

double aw_lay_causes(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_explanation *e = beside_of(d)->explanation;
    const double k = aw_draft_type(d), today = beside_of(d)->before.p95, need = need_at_spot(d);
    double y = at.y, most = fmax(today, isnan(need) ? 0 : need);
    char text[96];
    if (e == NULL || isnan(today))
        return at.y;
    y = aw_block_head(d,
                      d->scenario->units == AW_FEET ? "P95 WITHOUT A CAUSE, INCHES"
                                                    : "P95 WITHOUT A CAUSE, CM",
                      at, width, draw) +
        1.5 * k;
    for (int i = 0; i < AW_CAUSES; i++)
        if (e->causes[i].present && !isnan(e->causes[i].without.value))
            most = fmax(most, e->causes[i].without.value);
    const double mm = (width - (BARS + ASIDE) * k) / most, top = y;
    for (int i = 0; i < AW_CAUSES; i++) {
        if (!e->causes[i].present)
            continue;
        y += PITCH * k;
        if (draw)
            cause_row(d, &e->causes[i], aw_cause_rows[i].name, (aw_point){at.x, y}, mm);
    }
    if (draw && !isnan(need))
        add_upright(d, AW_INK_NEED, at.x + BARS * k + need * mm, top, y + 1.2 * k);
    y += 3.6 * k;
    snprintf(text, sizeof text, "pale: today, %s",
             aw_sheet_words(today, NAN, d->scenario->units).text);
    if (draw)
        aw_draft_put(d, AW_INK_LABEL, text, at.x, y, AW_AT_LEFT);
    if (draw && !isnan(need))
        aw_draft_put(d, AW_INK_LABEL, "need", at.x + BARS * k + need * mm, y, AW_AT_MIDDLE);
    return y + 1.5 * k;
}

/* --- what a remedy does to the zones --- */

static void add_ring(aw_draft *d, aw_point at, bool filled)
{
    const double r = 0.8 * aw_draft_type(d);
    aw_sheet_circle(d->sheet, AW_ITEM_FILL, filled ? AW_INK_ANCHOR : AW_INK_PAPER, at, r);
    if (!filled)
        aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_RING, at, r);
}

static void effect_row(aw_draft *d, size_t zone, aw_point at, double width, double mm)
{
    const aw_explanation *e = beside_of(d)->explanation;
    const aw_zone_result *was = &e->zones[zone], *then = &e->remedies[0].zones[zone];
    const double k = aw_draft_type(d), x = at.x + ZONE * k, y = at.y - 0.9 * k;
    const double before = was->errors.p95, after = then->errors.p95;
    const double need = d->scenario->zones[zone].need.p95;
    const bool missed = then->verdict == AW_NOT_MET;
    aw_draft_letter(d, zone, missed, (aw_point){at.x + 1.6 * k, y});
    aw_draft_put_cut(d, AW_INK_TABLE_NAME, d->scenario->zones[zone].name, at.x + 4.5 * k, at.y,
                     (ZONE - 5.5) * k);
    aw_sheet_line(d->sheet, AW_INK_CROSS, (aw_point){x, y},
                  (aw_point){at.x + width - VERDICT * k, y});
    if (!isnan(need))
        add_upright(d, AW_INK_NEED, x + need * mm, y - 1.5 * k, y + 1.5 * k);
    if (!isnan(before) && !isnan(after))
        aw_sheet_line(d->sheet, AW_INK_SPAR, (aw_point){x + before * mm, y},
                      (aw_point){x + after * mm, y});
    if (!isnan(before))
        add_ring(d, (aw_point){x + before * mm, y}, false);
    if (!isnan(after))
        add_ring(d, (aw_point){x + after * mm, y}, true);
    aw_draft_put(d, missed ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT, aw_verdict_word(then->verdict),
                 at.x + width, at.y, AW_AT_RIGHT);
}

static double widest(const aw_draft *d, const aw_explanation *e)
{
    double most = 0.1;
    for (size_t i = 0; i < d->scenario->n_zones; i++) {
        const double p95[] = {e->zones[i].errors.p95, e->remedies[0].zones[i].errors.p95,
                              d->scenario->zones[i].need.p95};
        for (int k = 0; k < 3; k++)
            if (!isnan(p95[k]))
                most = fmax(most, p95[k]);
    }
    return most;
}

double aw_lay_effects(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_explanation *e = beside_of(d)->explanation;
    const double k = aw_draft_type(d);
    const size_t most = aw_rows_most(d),
                 n = d->scenario->n_zones < most ? d->scenario->n_zones : most;
    char text[160], price[64] = "";
    if (e == NULL || e->n_remedies == 0 || n == 0)
        return at.y;
    double y = aw_block_head(d, "WHAT IT DOES TO EVERY ZONE'S P95", at, width, draw) + 1.2 * k;
    const double mm = (width - (ZONE + VERDICT) * k) / (1.05 * widest(d, e));
    for (size_t i = 0; i < n; i++) {
        y += PITCH * k;
        if (draw)
            effect_row(d, i, (aw_point){at.x, y}, width, mm);
    }
    y += 3.4 * k;
    if (!isnan(e->remedies[0].price) && d->scenario->prices.currency != NULL)
        snprintf(price, sizeof price, " Price: %s %.0f.", d->scenario->prices.currency,
                 e->remedies[0].price);
    snprintf(text, sizeof text, "ring: as planned; dot: then; bar: need; axis 0 … %s.%s",
             aw_sheet_words(1.05 * widest(d, e), NAN, d->scenario->units).text, price);
    if (draw)
        aw_draft_put_cut(d, AW_INK_LABEL, text, at.x, y, width);
    return y + 1.5 * k;
}

/* --- words --- */

double aw_lay_marks_and_notes(aw_draft *d, aw_point at, double width, bool draw)
{
    const double y = aw_lay_legend(d, at, width, draw);
    return aw_lay_notes(d, (aw_point){at.x, y}, width, draw);
}
