/* Placings as a table with sentences. */
#include "anchorwise/report.h"

#include <math.h>
#include <stdio.h>

#include "anchorwise.h"
#include "report/columns.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/told.h"
#include "report/verdict.h"
#include "report/words.h"
#include "report/worth.h"

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

static const aw_column anchor_columns[] = {
    {.key = "name", .head = "anchor"},        {.key = "at_m.0", .format = AW_AS_PLACE},
    {.key = "at_m.1", .format = AW_AS_PLACE}, {.key = "at_m.2", .format = AW_AS_PLACE},
    {.key = "price", .format = AW_AS_AMOUNT},
};
static const aw_listed layout = AW_LISTED(&aw_placing_shape, "anchors", NULL, anchor_columns);

static double price_of(const aw_placing *p)
{
    return isnan(p->price) ? (double)p->n_anchors : p->price;
}

static bool is_worth_telling(const aw_placing *p)
{
    return isfinite(p->bound) && p->bound >= AW_BOUND_WORTH * price_of(p);
}

/* What no layout can be under. */
static void add_bound(const aw_placing *p, const aw_scenario *s, aw_text *out)
{
    const bool priced = aw_has_prices(s);
    const char *none =
        "Lower bound (linear estimate): no layout of these candidates can meet the needs";
    if (isinf(p->bound)) {
        aw_text_format(out, "%s.\n\n", none);
    } else if (aw_placing_is_sufficient(p) && p->is_least) {
        aw_text_format(out, "%s %s.\n\n", none,
                       priced ? "for less than this one" : "with fewer anchors than this");
    } else if (aw_placing_is_sufficient(p) && is_worth_telling(p)) {
        aw_text_add(out, "Lower bound (linear estimate): at least ");
        if (priced)
            aw_text_format(out, "%.0f %s", floor(p->bound), s->prices.currency);
        else
            aw_text_format(out, "%.0f anchors", p->bound);
        aw_text_format(out, "; this layout is at most %.2f times that.\n\n",
                       ceil(100 * price_of(p) / p->bound) / 100);
    }
}

/* Zone row->i by the study's draws, 0, or by independent ones, 1. Of what was not drawn nothing is
 * known. */
static const aw_zone_result *result_of(const aw_subject *row, size_t again)
{
    const aw_placing *p = ((const aw_told_placings *)row->with)->placings;
    return again ? &p->confirmed[row->i] : &p->zones[row->i];
}

static aw_verdict verdict_of(const aw_subject *row, size_t again)
{
    return result_of(row, again)->verdict;
}

AW_WORDS(add_p95)
{
    const aw_zone_result *r = result_of(row, item);
    const aw_scenario *s = ((const aw_report_run *)row->with)->scenario;
    if (r->verdict != AW_NO_NEED)
        aw_text_add(out,
                    aw_error_figure_asked(r->errors.p95, s->zones[row->i].need.p95, units).text);
}

AW_WORDS(add_verdict)
{
    aw_text_add(out, aw_zone_verdict_word(result_of(row, item)));
}

static const aw_column zone_columns[] = {
    {.key = "name", .head = "zone"},
    {.head = "need", .words = aw_add_zone_need},
    {.head = "p95_m", .format = AW_AS_ERROR, .words = add_p95},
    {.head = "verdict", .words = add_verdict, .colour = verdict_of},
    {.head = "p95_again", .format = AW_AS_ERROR, .words = add_p95, .item = 1},
    {.head = "verdict_again", .words = add_verdict, .colour = verdict_of, .item = 1},
};
static const aw_listed zones = AW_LISTED(&aw_placing_shape, "zones", NULL, zone_columns);

static void add_zones(const aw_told_placings *t, bool colour, aw_text *out)
{
    const aw_scenario *s = t->run.scenario;
    const aw_subject document = AW_DOCUMENT(*t);
    aw_listing list = {.what = &zones, .document = &document, .table = {.colour = colour}};
    for (size_t i = 0; i < s->n_zones; i++)
        if (aw_need_is_stated(&s->zones[i].need))
            aw_listing_add_row(&list, &(aw_subject){&t->placings->zones[i], t, i, 0});
    if (t->sturdy)
        aw_text_add(out, "Zones with the anchor lost that each of them misses most:\n");
    aw_listing_write(&list, out);
}

static const char *ordinal(size_t n, char room[32])
{
    static const char *const words[] = {"first", "second", "third", "fourth", "fifth"};
    snprintf(room, 32, "%zuth", n);
    return n >= 1 && n <= 5 ? words[n - 1] : room;
}

/* How the layout was chosen. */
static void add_looks(const aw_placing *p, aw_text *out)
{
    char room[32];
    if (p->end == AW_PLACING_LEFT || p->n_layouts == 0)
        return;
    if (p->end == AW_PLACING_FOUND)
        aw_text_format(out, "Confirmed at the %s layout that held; ",
                       ordinal(p->n_confirmations, room));
    aw_text_format(out, "%zu look%s at %zu layout%s, %zu of %zu looks at this one met.\n\n",
                   p->n_looks, p->n_looks == 1 ? "" : "s", p->n_layouts,
                   p->n_layouts == 1 ? "" : "s", p->n_own_met, p->n_own);
}

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

static const char *quantity(const aw_part_row *row)
{
    return row->quantity != NULL ? row->quantity : row->name;
}

/* One part that a layout misses, and what all candidates together make of it: no layout can be
 * asked for much more than they give. */
static void add_miss(const aw_placing *p, const aw_scenario *s, size_t zone, aw_part part,
                     aw_text *out)
{
    const aw_part_row *row = &aw_part_rows[part];
    const aw_part_result *own = &p->zones[zone].parts[part];
    const aw_part_result *all = &p->all[zone].parts[part];
    aw_text_format(out, "  %s: %s ", s->zones[zone].name, quantity(row));
    add_amount(row, own->found.value, s->units, out);
    aw_text_format(out, ", %s ", row->is_length ? "at most" : "at least");
    add_amount(row, own->asked, s->units, out);
    aw_text_format(out, " asked (%s)", aw_verdict_word(own->verdict));
    if (p->all[zone].verdict != AW_NO_NEED && all->verdict != AW_NO_NEED) {
        aw_text_format(out, "; all %zu candidates together ", p->candidates.n);
        add_amount(row, all->found.value, s->units, out);
        aw_text_format(out, ", weakest at %s",
                       aw_spot_figure(p->all[zone].errors.worst_at, 2, s->units).text);
    }
    aw_text_add(out, "\n");
}

static void add_not_found(const aw_placing *p, const aw_scenario *s, aw_text *out)
{
    aw_text_add(out,
                "NOT FOUND: of the layouts drawn, this one is the cheapest that misses least:\n");
    for (size_t i = 0; i < s->n_zones; i++)
        for (int part = 0; part < AW_PARTS; part++) {
            const aw_verdict v = p->zones[i].parts[part].verdict;
            if (p->zones[i].verdict != AW_NO_NEED && (v == AW_NOT_MET || v == AW_UNDECIDED))
                add_miss(p, s, i, (aw_part)part, out);
        }
    aw_text_add(out, "It takes a need that they reach, or candidates that reach further.");
}

static void add_on_line(const aw_placing *p, aw_text *out)
{
    if (p->confirmed_verdict == AW_NO_NEED)
        aw_text_add(out, "UNDECIDED: no layout holds; of those drawn this one is met most often. ");
    else
        aw_text_format(out,
                       "UNDECIDED: every need holds by its value, in an independent simulation too "
                       "(seed %llu),\nbut the interval of a share of cells is too wide to tell. ",
                       (unsigned long long)p->seed);
    aw_text_add(out, "Run more draws, relax the need or add candidates.");
}

static void add_met(const aw_placing *p, const aw_scenario *s, bool sturdy, aw_text *out)
{
    aw_text_format(out, "%sMET: every need%s",
                   p->stopped ? "STOPPED before its lower bound was known. " : "",
                   sturdy ? " with any one anchor lost" : "");
    aw_chance_asked_words(s, out);
    aw_text_format(out, ", confirmed by an independent simulation (seed %llu).",
                   (unsigned long long)p->seed);
}

static void add_end(const aw_placing *p, const aw_scenario *s, bool sturdy, bool colour,
                    aw_text *out)
{
    const aw_verdict v = p->end == AW_PLACING_NOT_FOUND ? AW_NOT_MET
                         : p->end == AW_PLACING_ON_LINE ? AW_UNDECIDED
                                                        : AW_MET;
    aw_text_add(out, aw_verdict_colour(v, colour));
    if (p->stopped && !aw_placing_is_sufficient(p))
        aw_text_add(out, "STOPPED: this is the best so far.");
    else if (p->end == AW_PLACING_NOT_FOUND)
        add_not_found(p, s, out);
    else if (p->end == AW_PLACING_ON_LINE)
        add_on_line(p, out);
    else
        add_met(p, s, sturdy, out);
    aw_text_format(out, "%s\n", aw_verdict_colour_end(v, colour));
    add_looks(p, out);
    if (p->end == AW_PLACING_LEFT)
        aw_text_add(out, "\n");
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
    aw_settings_words(s, out);
    aw_text_add(out, "\n");
}

void aw_placing_table(const aw_placing *p, const aw_scenario *s, const char *file, bool sturdy,
                      bool colour, aw_text *out)
{
    const aw_told_placings t = {{s, file}, sturdy, p, NULL, 1};
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
        aw_listed_write(&layout, &AW_DOCUMENT(t), colour, out);
        add_bound(p, s, out);
    }
    add_zones(&t, colour, out);
    add_end(p, s, sturdy, colour, out);
    add_footing(s, out);
    aw_isolate_names(out, from);
}

/* --- price against accuracy: placing row->k --- */

static const aw_placing *placing_of(const aw_subject *row)
{
    return &((const aw_told_placings *)row->with)->placings[row->k];
}

AW_WORDS(add_asked)
{
    aw_text_add(
        out,
        aw_small_figure("%.3g", ((const aw_told_placings *)row->with)->p95[row->k], units).text);
}

AW_WORDS(add_count)
{
    aw_text_format(out, "%zu", placing_of(row)->n_anchors);
}

AW_WORDS(add_least)
{
    const double bound = placing_of(row)->bound;
    const bool priced = aw_has_prices(((const aw_report_run *)row->with)->scenario);
    if (isinf(bound))
        aw_text_add(out, "none meets it");
    else if (is_worth_telling(placing_of(row)))
        aw_text_format(out, "%.0f", priced ? floor(bound) : bound);
}

AW_WORDS(add_worst)
{
    const aw_told_placings *t = row->with;
    const aw_placing *p = placing_of(row);
    double worst = 0;
    for (size_t i = 0; i < t->run.scenario->n_zones; i++)
        if (p->zones[i].verdict != AW_NO_NEED && !(p->zones[i].errors.p95 <= worst))
            worst = p->zones[i].errors.p95;
    aw_text_add(out, aw_error_figure_asked(worst, t->p95[row->k], units).text);
}

AW_WORDS(add_found)
{
    const aw_placing *p = placing_of(row);
    aw_text_add(out, p->end == AW_PLACING_NOT_FOUND ? "NOT FOUND" : aw_verdict_word(p->verdict));
}

static const aw_column placing_columns[] = {
    {.head = "p95_asked_m", .format = AW_AS_ERROR, .words = add_asked},
    {.head = "anchors", .format = AW_AS_COUNT, .words = add_count},
    {.key = "price", .format = AW_AS_AMOUNT},
    {.head = "bound", .format = AW_AS_FIGURE, .words = add_least},
    {.head = "p95_of_worst", .format = AW_AS_ERROR, .words = add_worst},
    {.head = "verdict", .words = add_found},
    {.key = "confirmed_met", .head = "verdict_again", .format = AW_AS_VERDICT},
};
static const aw_listed several = AW_LISTED(&aw_placings_shape, "placings", NULL, placing_columns);

void aw_placings_table(const aw_placings *p, const aw_scenario *s, const char *file, bool colour,
                       aw_text *out)
{
    const aw_told_placings t = {{s, file}, p->sturdy, p->list, p->p95, p->n};
    add_heading(s, file, out);
    const size_t from = out->n;
    add_candidates(&p->list[0], out);
    aw_listed_write(&several, &AW_DOCUMENT(t), colour, out);
    aw_text_format(out,
                   "Every zone with a need is asked the p95 of the row%s. "
                   "A layout that was not found is the one that misses least of those tried.\n",
                   p->sturdy ? ", with any one anchor lost" : "");
    add_footing(s, out);
    aw_isolate_names(out, from);
}

/* --- what falls short --- */

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
        aw_text_format(out, "%s: %s is ", zone, quantity(row));
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
                   : p->end == AW_PLACING_NOT_FOUND
                       ? "of the layouts drawn, it is the cheapest that misses least"
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
