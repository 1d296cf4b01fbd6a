/* Placings as a table with sentences. */
#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/verdict.h"
#include "report/words.h"

#define LAYOUT_COLUMNS 5
#define ZONE_COLUMNS   6
#define ROW_COLUMNS    7

/* "9 anchors, 4120 EUR". */
static void add_price(const aw_placing *p, const aw_scenario *s, aw_text *out)
{
    aw_text_format(out, "%zu anchor%s", p->n_anchors, p->n_anchors == 1 ? "" : "s");
    if (!isnan(p->price))
        aw_text_format(out, ", %.0f %s", p->price, s->prices.currency);
}

static void add_candidates(const aw_placing *p, aw_text *out)
{
    const aw_candidates *c = &p->candidates;
    aw_text_format(out, "%zu candidates, %s", c->n,
                   c->stated ? "of the scenario"
                             : "along outline and walls, since the scenario lists none");
    if (c->n_kept > 0)
        aw_text_format(out, "; %zu anchor%s kept", c->n_kept, c->n_kept == 1 ? "" : "s");
    if (c->n_forbidden + c->n_filled + c->n_out_of_reach > 0)
        aw_text_format(out,
                       "; left out are %zu in forbidden areas, %zu inside something, %zu above "
                       "every mount",
                       c->n_forbidden, c->n_filled, c->n_out_of_reach);
    aw_text_add(out, "\n\n");
}

static void add_layout(const aw_placing *p, const aw_scenario *s, aw_text *out)
{
    aw_table t = {.columns = LAYOUT_COLUMNS, .align = "lrrrr", .heads = 1};
    aw_table_add(&t, "anchor");
    for (int k = 0; k < 3; k++)
        aw_table_add(&t, "%c (%s)", 'x' + k, aw_coordinate_unit(s->units));
    aw_table_add(&t, "price");
    for (size_t i = 0; i < p->n_anchors; i++) {
        const double *at = p->anchors[i].at, price = aw_anchor_price(s, at);
        aw_table_add(&t, "%s", p->anchors[i].name);
        for (int k = 0; k < 3; k++)
            aw_table_add(&t, "%s", aw_coordinate_figure("%.2f", at[k], s->units).text);
        if (isnan(price))
            aw_table_add(&t, "–");
        else
            aw_table_add(&t, "%.0f", price);
    }
    aw_table_write(&t, out);
    out->failed = out->failed || t.failed;
    aw_table_free(&t);
    aw_text_add(out, "\n");
}

/* What no layout can be under. */
static void add_bound(const aw_placing *p, const aw_scenario *s, aw_text *out)
{
    const bool priced = aw_has_prices(s);
    if (isinf(p->bound)) {
        aw_text_add(
            out,
            "Lower bound (linear estimate): no layout of these candidates can meet the needs.\n");
        return;
    }
    if (isnan(p->bound))
        return;
    aw_text_add(out, "Lower bound (linear estimate): no layout of these candidates can meet the "
                     "needs ");
    if (p->is_least)
        aw_text_add(out, priced ? "for less than this one.\n" : "with fewer anchors than this.\n");
    else if (priced)
        aw_text_format(out, "for less than %.0f %s.\n", floor(p->bound), s->prices.currency);
    else
        aw_text_format(out, "with fewer than %.0f anchors.\n", p->bound);
}

/* Of what was not drawn nothing is known. */
static void add_drawn(aw_table *t, const aw_zone_result *r, double asked, aw_units units)
{
    const bool drawn = r->verdict != AW_NO_NEED;
    aw_table_add(t, "%s", drawn ? aw_error_figure_asked(r->errors.p95, asked, units).text : "–");
    aw_table_add(t, "%s", aw_verdict_word(r->verdict));
}

static void add_zones(const aw_placing *p, const aw_scenario *s, bool sturdy, aw_text *out)
{
    aw_table t = {.columns = ZONE_COLUMNS, .align = "llrlrl", .heads = 1};
    const char *unit = aw_small_unit(s->units);
    aw_table_add(&t, sturdy ? "zone, worst loss" : "zone");
    aw_table_add(&t, "need");
    aw_table_add(&t, "p95 (%s)", unit);
    aw_table_add(&t, "verdict");
    aw_table_add(&t, "p95 again (%s)", unit);
    aw_table_add(&t, "verdict again");
    for (size_t i = 0; i < s->n_zones; i++) {
        const double asked = s->zones[i].need.p95;
        aw_text need = {0};
        if (!aw_need_is_stated(&s->zones[i].need))
            continue;
        aw_need_words(&s->zones[i].need, s->units, &need);
        aw_table_add(&t, "%s", s->zones[i].name);
        aw_table_add(&t, "%s", need.n > 0 ? need.at : "");
        add_drawn(&t, &p->zones[i], asked, s->units);
        add_drawn(&t, &p->confirmed[i], asked, s->units);
        t.failed |= need.failed;
        aw_text_free(&need);
    }
    aw_table_write(&t, out);
    out->failed = out->failed || t.failed;
    aw_table_free(&t);
    aw_text_add(out, "\n");
}

static void add_end(const aw_placing *p, bool sturdy, bool colour, aw_text *out)
{
    const aw_verdict v = p->end == AW_PLACING_NOT_FOUND ? AW_NOT_MET : p->confirmed_verdict;
    const char *lost = sturdy ? " with any one anchor lost" : "";
    aw_text_add(out, aw_verdict_colour(v, colour));
    if (p->stopped)
        aw_text_add(out, "STOPPED: this is the best so far.");
    else if (p->end == AW_PLACING_NOT_FOUND)
        aw_text_add(out, "NOT FOUND: of the layouts tried, this one misses least.");
    else if (v == AW_MET)
        aw_text_format(out,
                       "MET: every need%s, confirmed by an independent simulation (seed %llu).",
                       lost, (unsigned long long)p->seed);
    else
        aw_text_format(out,
                       "%s in an independent simulation (seed %llu): a need%s is too close to "
                       "call.\nRun more draws, relax the need or add an anchor.",
                       v == AW_NOT_MET ? "NOT MET" : "UNDECIDED", (unsigned long long)p->seed,
                       lost);
    aw_text_format(out, "%s\n\n", aw_verdict_colour_end(v, colour));
}

static void add_footing(const aw_scenario *s, aw_text *out)
{
    aw_text_add(out, "Mounting at height is work for licensed people under local rules.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
}

static void add_heading(const aw_scenario *s, const char *file, aw_text *out)
{
    aw_title_words(s, file, out);
    aw_text_format(out, "%s, seed %llu, %s figures\n", aw_draws_words(&s->study).text,
                   (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench");
}

void aw_placing_table(const aw_placing *p, const aw_scenario *s, const char *file, bool sturdy,
                      bool colour, aw_text *out)
{
    add_heading(s, file, out);
    const size_t from = out->n;
    add_candidates(p, out);
    if (p->end == AW_PLACING_LEFT) {
        aw_text_add(out, "The layout as it is meets every need, so it is left alone: ");
        add_price(p, s, out);
        aw_text_add(out, ".\n'--afresh' looks for a cheaper one.\n\n");
    } else {
        add_price(p, s, out);
        aw_text_add(out, "\n\n");
        add_layout(p, s, out);
        add_bound(p, s, out);
        aw_text_add(out, "\n");
    }
    add_zones(p, s, sturdy, out);
    add_end(p, sturdy, colour, out);
    add_footing(s, out);
    aw_isolate_names(out, from);
}

void aw_placings_table(const aw_placing placings[], const double p95[], size_t n,
                       const aw_scenario *s, const char *file, bool sturdy, aw_text *out)
{
    const bool priced = aw_has_prices(s);
    const char *unit = aw_small_unit(s->units);
    aw_table t = {.columns = ROW_COLUMNS, .align = "rrrrrll", .heads = 1};
    add_heading(s, file, out);
    const size_t from = out->n;
    add_candidates(&placings[0], out);
    aw_table_add(&t, "p95 asked (%s)", unit);
    aw_table_add(&t, "anchors");
    aw_table_add(&t, "%s", priced ? "price" : "");
    aw_table_add(&t, "no less than");
    aw_table_add(&t, "p95 of the worst zone (%s)", unit);
    aw_table_add(&t, "verdict");
    aw_table_add(&t, "verdict again");
    for (size_t k = 0; k < n; k++) {
        const aw_placing *p = &placings[k];
        double worst = 0;
        for (size_t i = 0; i < s->n_zones; i++)
            if (p->zones[i].verdict != AW_NO_NEED && !(p->zones[i].errors.p95 <= worst))
                worst = p->zones[i].errors.p95;
        aw_table_add(&t, "%s", aw_small_figure("%.3g", p95[k], s->units).text);
        aw_table_add(&t, "%zu", p->n_anchors);
        if (priced)
            aw_table_add(&t, "%.0f %s", p->price, s->prices.currency);
        else
            aw_table_add(&t, "%s", "");
        if (isfinite(p->bound))
            aw_table_add(&t, "%.0f", priced ? floor(p->bound) : p->bound);
        else
            aw_table_add(&t, "%s", isinf(p->bound) ? "none meets it" : "–");
        aw_table_add(&t, "%s", aw_error_figure_asked(worst, p95[k], s->units).text);
        aw_table_add(&t, "%s",
                     p->end == AW_PLACING_NOT_FOUND ? "NOT FOUND" : aw_verdict_word(p->verdict));
        aw_table_add(&t, "%s", aw_verdict_word(p->confirmed_verdict));
    }
    aw_table_write(&t, out);
    out->failed = out->failed || t.failed;
    aw_table_free(&t);
    aw_text_format(out,
                   "\nEvery zone with a need is asked the p95 of the row%s. "
                   "A layout that was not found is the one that misses least of those tried.\n",
                   sturdy ? ", with any one anchor lost" : "");
    add_footing(s, out);
    aw_isolate_names(out, from);
}

/* --- what falls short --- */

/* In so many digits that a figure is not taken for what is asked. */
static void add_amount(const aw_part_row *row, double value, aw_units units, aw_text *out)
{
    if (!isfinite(value))
        aw_text_add(out, "none");
    else if (row->is_length)
        aw_text_add(out, aw_small_words("%.4g", value, units).text);
    else
        aw_text_format(out, "%.4g %%", 100 * value);
}

/* "z: p95 is 0.4523 m (95 % interval 0.4412 m to 0.4631 m), at most 0.4 m asked: NOT MET with seed
 * 5". */
void aw_zone_shortfall(const aw_zone_result *r, const char *zone, uint64_t seed, aw_units units,
                       aw_text *out)
{
    for (int part = 0; part < AW_PARTS; part++) {
        const aw_part_row *row = &aw_part_rows[part];
        const aw_part_result *p = &r->parts[part];
        if (p->verdict != AW_NOT_MET && p->verdict != AW_UNDECIDED)
            continue;
        aw_text_format(out, "%s: %s is ", zone, row->quantity ? row->quantity : row->name);
        add_amount(row, p->found.value, units, out);
        if (isfinite(p->found.low) && isfinite(p->found.high)) {
            aw_text_add(out, " (95 % interval ");
            add_amount(row, p->found.low, units, out);
            aw_text_add(out, " to ");
            add_amount(row, p->found.high, units, out);
            aw_text_add(out, ")");
        }
        aw_text_add(out, row->is_length ? ", at most " : ", at least ");
        add_amount(row, p->asked, units, out);
        aw_text_format(out, " asked: %s with seed %llu\n", aw_verdict_word(p->verdict),
                       (unsigned long long)seed);
    }
}

void aw_placing_shortfall(const aw_placing *p, const aw_scenario *s, bool sturdy, aw_text *out)
{
    if (aw_placing_is_sufficient(p))
        return;
    aw_text_format(out, "NOT FOUND SUFFICIENT%s: %s\n", sturdy ? " with any one anchor lost" : "",
                   p->stopped ? "stopped before all of it was drawn; it is the best so far"
                   : p->end == AW_PLACING_NOT_FOUND ? "of the layouts tried, it misses least"
                                                    : "a need is too close to call");
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *z = &s->zones[i];
        if (!aw_need_is_stated(&z->need))
            continue;
        if (p->zones[i].verdict == AW_NO_NEED)
            aw_text_format(out, "%s: not drawn\n", z->name);
        else
            aw_zone_shortfall(&p->zones[i], z->name, s->study.seed, s->units, out);
        if (p->confirmed[i].verdict != AW_NO_NEED)
            aw_zone_shortfall(&p->confirmed[i], z->name, p->seed, s->units, out);
    }
}
