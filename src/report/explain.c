/* Why a spot is as it is: sentences and tables for people. */
#include "report/explain.h"

#include "anchorwise/report.h"

#include <math.h>
#include <string.h>

#include "anchorwise.h"
#include "base/plane.h"
#include "report/columns.h"
#include "report/figures.h"
#include "report/explain.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/told.h"
#include "report/verdict.h"
#include "report/words.h"
#include "report/worth.h"

/* An ellipse nearer to a circle than this has no direction worth a word. */
#define ROUND 1.25
/* A fan without anchors wider than this is told. */
#define WIDE (M_PI * 100 / 180)

static double degrees(double radians)
{
    return radians * 180 / M_PI;
}

/* One of eight winds, for a bearing clockwise from plan north. */
static const char *wind(double bearing)
{
    static const char *const winds[8] = {"north", "north_east", "east", "south_east",
                                         "south", "south_west", "west", "north_west"};
    return aw_word("wind", winds[(int)floor(bearing / (M_PI / 4) + 0.5) & 7]);
}

/* The two winds that an axis joins, for an azimuth from +x towards +y. */
static const char *axis(double azimuth)
{
    static const char *const axes[4] = {"east_west", "south_west_north_east", "north_south",
                                        "south_east_north_west"};
    return aw_word("axis", axes[(int)floor(azimuth / (M_PI / 4) + 0.5) & 3]);
}

/* --- for people --- */

static void add_figures(const aw_explanation *e, const aw_scenario *s, aw_text *out)
{
    const aw_units units = s->units;
    const aw_site_range range = aw_site_range_of(s, false);
    char share[AW_FIGURE_ROOM];
    if (isnan(e->p95.value)) {
        aw_text_format(out, "There is no p95 here: only %.1f %% of the draws give a fix.\n",
                       100 * e->fix_share);
        return;
    }
    aw_text_format(out, "95 of 100 fixes here err by at most %s, half of them by at most %s.\n",
                   aw_error_words(e->p95.value, units).text, aw_error_words(e->p50, units).text);
    aw_text_format(out,
                   "So by the stated errors; nine sites in ten are expected to have %s to %s.\n",
                   aw_error_figure(e->p95.value * range.low, units).text,
                   aw_error_words(e->p95.value * range.high, units).text);
    if (e->along < ROUND * e->across)
        aw_text_add(out, "The error is much alike in all directions.\n");
    else if (!isnan(e->along))
        aw_text_format(out,
                       "The error lies mostly %s: 95 of 100 fixes are within %s that way and %s "
                       "across.\n",
                       axis(e->spread.azimuth), aw_error_words(e->along, units).text,
                       aw_error_words(e->across, units).text);
    if (!isnan(e->vertical_p50))
        aw_text_format(out, "In height, half of the fixes err by at most %s, 95 of 100 by %s.\n",
                       aw_error_words(e->vertical_p50, units).text,
                       aw_error_words(e->vertical_p95, units).text);
    if (e->fix_share < 1)
        aw_text_format(out, "%s of the draws give no fix.\n",
                       aw_figure_share(1 - e->fix_share, share));
    if (e->ambiguous_share > 0)
        aw_text_format(out, "%s of the draws fit two places equally well.\n",
                       aw_figure_share(e->ambiguous_share, share));
}

static void add_anchors(const aw_explanation *e, const aw_scenario *s, aw_text *out)
{
    aw_text_format(out, "%zu of %zu anchor%s %s usable here", e->used, s->n_anchors,
                   s->n_anchors == 1 ? "" : "s", e->used == 1 ? "is" : "are");
    if (e->used > 1 && e->gap > WIDE)
        aw_text_format(out, "; largest gap: %.0f°, clockwise from %s to %s", degrees(e->gap),
                       wind(e->gap_from), wind(e->gap_to));
    const size_t needed = (size_t)s->tags[e->tag].fix + 1;
    if (e->used < needed)
        aw_text_format(out, "; a %dd fix needs %zu", (int)s->tags[e->tag].fix, needed);
    aw_text_add(out, ".\n\n");
}

/* How an arrival that is not direct comes, at a fade of 0. */
static const char *way_of(const aw_link *link)
{
    const aw_outcome *o = &link->outcomes[0];
    for (size_t k = 1; k < link->n_outcomes && link->outcomes[k].fade_db <= 0; k++)
        o = &link->outcomes[k];
    if (aw_link_bias(link) < o->excess)
        return "scattered, past";
    return strcmp(o->name, "mirrored") == 0 ? "by a mirror, past" : o->name;
}

void aw_sightline_words(const aw_sightline *l, aw_units units, aw_text *out)
{
    const double received = aw_link_expect(&l->link).received;
    const char *more = l->crossed > 1 ? " and more" : "";
    if (l->link.state == AW_LINK_CLEAR)
        aw_text_add(out, "clear");
    else if (l->too_far)
        aw_text_add(out, "lost: out of range");
    else if (l->link.state == AW_LINK_LOST && l->crossed == 0)
        aw_text_add(out, "lost: too weak");
    else if (l->link.state == AW_LINK_LOST)
        aw_text_format(out, "lost behind %s%s", l->blocker, more);
    else
        aw_text_format(out, "%s %s%s, %s late", way_of(&l->link),
                       l->crossed > 0 ? l->blocker : "an edge", more,
                       aw_small_words("%.2f", aw_link_bias(&l->link), units).text);
    if (l->link.state == AW_LINK_LOST && l->crossed > 0 && !l->too_far && isfinite(l->link.loss_db))
        aw_text_format(out, " (%.0f dB)", l->link.loss_db);
    if (l->link.state != AW_LINK_LOST && l->link.fade_sigma > 0 && received < 0.995)
        aw_text_format(out, ", %.0f %% received", 100 * received);
}

AW_WORDS(add_state)
{
    aw_sightline_words(row->of, units, out);
}

static const aw_column line_columns[] = {
    {.key = "anchor"},
    {.key = "bearing_deg", .format = AW_AS_DEGREES},
    {.key = "elevation_deg", .head = "up", .format = AW_AS_DEGREES},
    {.key = "range_m", .format = AW_AS_RANGE},
    {.head = "line_of_sight", .words = add_state},
};
static const aw_listed lines = AW_LISTED(&aw_explanation_shape, "lines", NULL, line_columns);

/* --- causes --- */

/* Rows beside those of causes. */
enum { AS_PLANNED = AW_CAUSES, ALL_OF_THEM };

AW_WORDS(name_cause)
{
    aw_text_add(out, row->i == AS_PLANNED    ? "as planned"
                     : row->i == ALL_OF_THEM ? "all of these"
                                             : aw_cause_rows[row->i].name);
}

enum { GAIN, FAIR_PART };

/* A part that is smaller than half the interval of the difference of both estimates is none. */
AW_WORDS(add_part)
{
    const aw_cause *c = row->of;
    const double part = item == GAIN ? c->removal_gain : c->shapley;
    const aw_estimate *a = &((const aw_told_explanation *)row->with)->explanation->p95;
    const double noise = hypot(a->high - a->low, c->without.high - c->without.low) / 2;
    if (isnan(part) || isnan(noise))
        return;
    if (fabs(part) < noise && row->i < AW_CAUSES)
        aw_text_add(out, "about 0");
    else
        aw_text_format(out, "%s%s", part < -0.005 ? "-" : "",
                       aw_error_figure(fabs(part), units).text);
}

static const aw_column cause_columns[] = {
    {.head = "why", .words = name_cause},
    {.key = "p95_without_m.0", .format = AW_AS_ERROR},
    {.head = "gain_m", .format = AW_AS_ERROR, .words = add_part, .item = GAIN},
    {.head = "fair_part_m", .format = AW_AS_ERROR, .words = add_part, .item = FAIR_PART},
};
static const aw_listed causes = AW_LISTED(&aw_explanation_shape, "causes", NULL, cause_columns);

static void add_causes(const aw_told_explanation *t, const aw_subject *document, aw_text *out)
{
    const aw_explanation *e = t->explanation;
    const double whole = e->p95.value - e->p95_without_all;
    const aw_cause as_planned = {
        .without = e->p95, .removal_gain = (double)NAN, .shapley = (double)NAN};
    const aw_cause all = {.without = {e->p95_without_all, e->p95_without_all, e->p95_without_all},
                          .removal_gain = whole,
                          .shapley = whole};
    aw_listing list = {.what = &causes, .document = document};
    aw_listing_add_row(&list, &(aw_subject){&as_planned, t, AS_PLANNED, 0});
    aw_listing_add_rows(&list);
    aw_listing_add_row(&list, &(aw_subject){&all, t, ALL_OF_THEM, 0});
    aw_listing_write(&list, out);
    aw_text_add(out, "Each cause is taken away alone and the spot drawn again.");
    if (!isnan(whole))
        aw_text_add(out, " Causes overlap, so the gains do not add up;\nthe fair parts, the mean "
                         "over all orders of taking them away, do.");
    aw_text_add(out, "\n\n");
}

static void add_zone(const aw_zone_result *now, const aw_zone_result *then, const char *name,
                     aw_units units, aw_text *out)
{
    const double was = now->errors.p95, is = then->errors.p95;
    aw_text_format(out, "     %s: ", name);
    if (isnan(is))
        aw_text_add(out, "no p95");
    else
        aw_text_format(out, "p95 %s", aw_error_words(is, units).text);
    if (isnan(was) != isnan(is))
        aw_text_format(out, ", was %s", isnan(was) ? "none" : aw_error_words(was, units).text);
    else if (!isnan(was))
        aw_text_format(out, ", was %s", aw_error_words(was, units).text);
    if (then->verdict != AW_NO_NEED && now->verdict != then->verdict)
        aw_text_format(out, "; its need then %s, was %s", aw_verdict_phrase(then->verdict),
                       aw_verdict_phrase(now->verdict));
    else if (then->verdict != AW_NO_NEED)
        aw_text_format(out, "; its need %s as before", aw_verdict_phrase(then->verdict));
    aw_text_add(out, "\n");
}

/* Whether a zone's change is worth a line. */
static bool is_changed(const aw_zone_result *now, const aw_zone_result *then)
{
    const double was = now->errors.p95, is = then->errors.p95;
    return now->verdict != then->verdict || isnan(was) != isnan(is) ||
           fabs(is - was) > AW_NEAR_EQUAL * fmax(is, was);
}

static void name_remedy(const aw_remedy *r, const aw_scenario *s, aw_text *out)
{
    const aw_length_text at = aw_spot_figure(r->at, 2, s->units);
    const aw_length_text up = aw_coordinate_words("%.1f", r->at[2], s->units);
    const char *name = r->kind == AW_REMEDY_ADD ? "" : s->anchors[r->anchor].name;
    const double was = r->kind == AW_REMEDY_ADD ? 0 : s->anchors[r->anchor].at[2];
    if (r->kind == AW_REMEDY_ADD)
        aw_text_format(out, "one more anchor at %s %s, %s up", at.text,
                       aw_coordinate_unit(s->units), up.text);
    else if (r->kind == AW_REMEDY_MOVE)
        aw_text_format(out, "%s moved to %s %s, %s up", name, at.text, aw_coordinate_unit(s->units),
                       up.text);
    else
        aw_text_format(out, "%s %s from %s to %s", name, r->at[2] > was ? "raised" : "lowered",
                       aw_coordinate_figure("%.1f", was, s->units).text, up.text);
    if (r->carried == AW_CARRIED_UNSTATED)
        aw_text_add(out, ", if something carries it there");
}

/* "C3 0.2 m further east": what is a little off. */
static void name_shift(const aw_remedy *r, const aw_scenario *s, aw_text *out)
{
    static const char *const sides[3][2] = {{"west", "east"}, {"south", "north"}, {"down", "up"}};
    const aw_shift *w = &r->worst;
    const aw_length_text by = aw_coordinate_words("%.1f", fabs(w->by), s->units);
    const size_t along = w->kind == AW_SHIFT_BASE || w->kind == AW_SHIFT_TOP ? 2 : w->of;
    const char *where = aw_word("towards", sides[along][w->by > 0]);
    if (w->kind == AW_SHIFT_PLACE)
        aw_text_format(out, "the anchor %s %s", by.text, where);
    else if (w->kind == AW_SHIFT_SPOT)
        aw_text_format(out, "the spot %s %s", by.text, where);
    else if (w->kind == AW_SHIFT_BASE)
        aw_text_format(out, "base of %s %s %s", s->obstacles[w->of].name, by.text, where);
    else
        aw_text_format(out, "top of %s %s %s", s->obstacles[w->of].name, by.text, where);
}

/* Whether the worst shift leaves something of what a remedy gains. */
static bool is_less(const aw_remedy *r, const aw_explanation *e)
{
    return r->worst_p95.value < e->p95.value;
}

/* What is left of a remedy where something is a little off. */
static void add_worst(const aw_remedy *r, const aw_explanation *e, const aw_scenario *s,
                      aw_text *out)
{
    if (r->worst.kind == AW_SHIFT_NONE)
        return;
    if (r->robust)
        aw_text_format(out, "     holds with any one thing %s off, least with ",
                       aw_coordinate_words("%.1f", AW_SHIFT_BY, s->units).text);
    else
        aw_text_add(out, is_less(r, e) ? "     gains less than 15 % with " : "     LOST with ");
    name_shift(r, s, out);
    if (isnan(r->worst_p95.value))
        aw_text_add(out, ": no p95\n");
    else
        aw_text_format(out, ": p95 %s\n", aw_error_words(r->worst_p95.value, s->units).text);
}

static void add_remedy(const aw_explanation *e, const aw_scenario *s, size_t i, aw_text *out)
{
    const aw_remedy *r = &e->remedies[i];
    size_t told = 0;
    aw_text_format(out, "  %zu. ", i + 1);
    name_remedy(r, s, out);
    aw_text_format(out, ": p95 here %s (%s to %s)", aw_error_words(r->p95.value, s->units).text,
                   aw_error_figure(r->p95.low, s->units).text,
                   aw_error_figure(r->p95.high, s->units).text);
    if (e->tag < s->n_tags && s->tags[e->tag].fix == AW_FIX_3D)
        aw_text_format(out, ", in height %s", aw_error_words(r->vertical_p95, s->units).text);
    if (!isnan(r->price))
        aw_text_format(out, ", %+.0f %s", r->price, s->prices.currency);
    aw_text_add(out, r->breaks  ? "; BREAKS a need that is met now\n"
                     : r->harms ? "; at the cost of a zone\n"
                                : "\n");
    add_worst(r, e, s, out);
    for (size_t z = 0; z < s->n_zones; z++) {
        const bool here = aw_polygon_holds(&s->zones[z].outline, e->spot[0], e->spot[1]);
        if (!here && !is_changed(&e->zones[z], &r->zones[z]))
            continue;
        add_zone(&e->zones[z], &r->zones[z], s->zones[z].name, s->units, out);
        told++;
    }
    if (told < s->n_zones)
        aw_text_format(out, "     %s changes by 15 %% or more\n",
                       told > 0 ? "no other zone's p95" : "no zone's p95");
}

static void add_remedies(const aw_explanation *e, const aw_scenario *s, aw_text *out)
{
    if (e->n_remedies == 0) {
        aw_text_add(out, "No single anchor added, raised, lowered or moved lowers its p95 by "
                         "more than 15 %.\n\n");
        return;
    }
    aw_text_add(out, "What would mend it, best first:\n");
    for (size_t i = 0; i < e->n_remedies; i++)
        add_remedy(e, s, i, out);
    aw_text_add(out, "\n");
}

void aw_explanation_table(const aw_explanation *e, const aw_scenario *s, const char *file,
                          aw_text *out)
{
    char draws[AW_FIGURE_ROOM];
    aw_title_words(s, file, out);
    const size_t from = out->n;
    const aw_told_explanation t = {{s, file}, e};
    const aw_subject document = AW_DOCUMENT(t);
    aw_text_format(out, "spot %s %s, %s at %s; %s draws, seed %llu, %s figures\n\n",
                   aw_spot_figure(e->spot, 2, s->units).text, aw_coordinate_unit(s->units),
                   s->tags[e->tag].name, aw_coordinate_words("%.2f", e->spot[2], s->units).text,
                   aw_figure_count(e->draws, draws), (unsigned long long)s->study.seed,
                   aw_scenario_is_site(s) ? "site" : "bench");
    aw_spot_remarks(s, e->spot, out);
    add_figures(e, s, out);
    add_anchors(e, s, out);
    aw_listed_write(&lines, &document, false, out);
    add_causes(&t, &document, out);
    add_remedies(e, s, out);
    aw_text_add(out,
                "North is plan north, up the page. Bearings are clockwise from it. 95 % intervals "
                "are of the\nsimulation. Figures of remedies come from draws that did not choose "
                "them.\n");
    aw_bench_warning(s, out);
    aw_caution(out);
    aw_isolate_names(out, from);
}

void aw_remedy_words(const aw_remedy *remedy, const aw_scenario *scenario, aw_text *out)
{
    name_remedy(remedy, scenario, out);
}

void aw_spot_headline(const aw_explanation *e, const aw_scenario *s, aw_text *out)
{
    const size_t from = out->n;
    if (isnan(e->p95.value))
        aw_text_add(out, "There is no p95: too few fixes. ");
    else
        aw_text_format(out, "p95 is %s. ", aw_sheet_words(e->p95.value, NAN, s->units).text);
    aw_text_format(out, "%zu of %zu anchors are heard", e->used, s->n_anchors);
    if (!isnan(e->gap))
        aw_text_format(out, ", and %.0f° of the horizon are blind", e->gap * 180 / M_PI);
    aw_text_add(out, ".");
    if (e->n_remedies > 0) {
        aw_text_add(out, " With ");
        name_remedy(&e->remedies[0], s, out);
        aw_text_format(out, " it is %s.",
                       aw_sheet_words(e->remedies[0].p95.value, NAN, s->units).text);
    } else {
        aw_text_add(out, " Nothing that was tried mends it.");
    }
    aw_isolate_names(out, from);
}
