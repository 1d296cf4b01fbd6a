/* The assessment as a table a person reads, and the sentences that keep it honest. */
#include "anchorwise/report.h"

#include <math.h>

#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/table.h"
#include "report/verdict.h"
#include "report/words.h"

#define COLUMNS 8

static void add_place(aw_table *t, const aw_pooled *p, aw_units units)
{
    const aw_length_text at = aw_spot_figure(p->worst_at, 2, units);
    if (p->cells == 0)
        aw_table_add(t, "–");
    else if (isnan(p->worst_p95))
        aw_table_add(t, "no p95 at %s", at.text);
    else
        aw_table_add(t, "%s at %s", aw_error_figure(p->worst_p95, units).text, at.text);
}

static void add_errors(aw_table *t, const aw_pooled *p, const aw_need *need, double band,
                       aw_units units)
{
    aw_table_add(t, "%s", aw_error_figure_asked(p->p50, need->p50, units).text);
    aw_table_add(t, "%s", aw_error_figure_asked(p->p95, need->p95, units).text);
    if (isnan(p->p95))
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%s to %s", aw_error_figure(p->p95 / band, units).text,
                     aw_error_figure(p->p95 * band, units).text);
    add_place(t, p, units);
}

static void add_words(aw_table *t, const aw_text *words)
{
    aw_table_add(t, "%s", words->n > 0 ? words->at : "–");
    t->failed |= words->failed;
}

static void add_need(aw_table *t, const aw_need *need, aw_units units)
{
    aw_text words = {0};
    aw_need_words(need, units, &words);
    add_words(t, &words);
    aw_text_free(&words);
}

static void add_verdict(aw_table *t, const aw_zone_result *r, bool colour)
{
    aw_text words = {0};
    if (r->verdict != AW_NO_NEED) {
        aw_text_add(&words, aw_verdict_colour(r->verdict, colour));
        aw_text_add(&words, aw_verdict_word(r->verdict));
        aw_text_add(&words, r->verdict != AW_MET ? ": " : "");
        if (r->verdict != AW_MET)
            aw_reason_words(r, &words);
        aw_text_add(&words, aw_verdict_colour_end(r->verdict, colour));
    }
    add_words(t, &words);
    aw_text_free(&words);
}

static void add_rows(aw_table *t, const aw_assessment *a, const aw_scenario *s, bool colour)
{
    const aw_need nothing = {.p50 = (double)NAN, .p95 = (double)NAN};
    const double band = aw_prediction_band(s);
    char name[AW_ROW_NAME_ROOM];
    const char *unit = aw_small_unit(s->units);
    aw_table_add(t, "%s", "");
    aw_table_add(t, "need");
    aw_table_add(t, "p50 (%s)", unit);
    aw_table_add(t, "p95 (%s)", unit);
    aw_table_add(t, "range of p95 (%s)", unit);
    aw_table_add(t, "worst p95 (%s), at (%s)", unit, aw_coordinate_unit(s->units));
    aw_table_add(t, "p95 odds");
    aw_table_add(t, "verdict");
    aw_table_add(t, "floor");
    aw_table_add(t, "–");
    add_errors(t, &a->floor, &nothing, band, s->units);
    aw_table_add(t, "–");
    aw_table_add(t, "–");
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_part_result *odds = &a->zones[i].parts[AW_PART_ODDS];
        aw_table_add(t, "%s", aw_row_name(s, i, name));
        add_need(t, &s->zones[i].need, s->units);
        add_errors(t, &a->zones[i].errors, &s->zones[i].need, band, s->units);
        aw_table_add(t, "%s", aw_part_words(odds, AW_PART_ODDS, s->units).text);
        add_verdict(t, &a->zones[i], colour);
    }
}

static void add_height(const char *where, const aw_pooled *p, double asked, aw_units units,
                       aw_text *out)
{
    aw_text_format(out, "Height error %s: ", where);
    if (isnan(p->vertical_p50))
        aw_text_add(out, "no p50, ");
    else
        aw_text_format(out, "p50 %s, ", aw_error_words(p->vertical_p50, units).text);
    if (isnan(p->vertical_p95))
        aw_text_add(out, "no p95.\n");
    else
        aw_text_format(out, "p95 %s.\n", aw_error_words_asked(p->vertical_p95, asked, units).text);
}

static void add_vertical(const aw_assessment *a, const aw_scenario *s, aw_text *out)
{
    if (s->tags[0].fix == AW_FIX_3D)
        add_height("over the floor", &a->floor, (double)NAN, s->units, out);
    for (size_t i = 0; i < s->n_zones; i++) {
        char where[256]; /* a name has up to 60 characters */
        snprintf(where, sizeof where, "in %s", s->zones[i].name);
        if (s->tags[s->zones[i].tag].fix == AW_FIX_3D)
            add_height(where, &a->zones[i].errors, s->zones[i].need.vertical_p95, s->units, out);
    }
}

/* What the table cannot say in a cell: fixes that fail or may stand on the wrong side, pockets,
 * zones on the line. */
static void add_remarks(const aw_assessment *a, const aw_scenario *s, aw_text *out)
{
    char figure[AW_FIGURE_ROOM];
    if (a->floor.fix_share < 1)
        aw_text_format(out, "Over the floor, %s of the draws give no fix.\n",
                       aw_figure_share(1 - a->floor.fix_share, figure));
    if (a->floor.ambiguous_share > 0)
        aw_text_format(out,
                       "Over the floor, %s of the draws fit two places equally well and may stand "
                       "on the wrong one.\n",
                       aw_figure_share(a->floor.ambiguous_share, figure));
    add_vertical(a, s, out);
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone_result *r = &a->zones[i];
        aw_part_remarks(r, s->zones[i].name, s->units, out);
        if (r->verdict == AW_UNDECIDED && !isnan(r->draws_to_settle))
            aw_text_format(out, "%s is too close to call; about %.0f draws would decide it%s.\n",
                           s->zones[i].name, r->draws_to_settle,
                           isnan(s->study.precision) ? "" : ", without a precision");
        else if (r->verdict == AW_UNDECIDED)
            aw_text_format(out, "%s is too close to call, and more draws would not decide it.\n",
                           s->zones[i].name);
    }
}

/* --- why a zone has a "–" --- */

static bool has_no_p95(const aw_zone_result *r, const aw_zone *z)
{
    (void)z;
    return isnan(r->errors.p95);
}

static bool has_no_need(const aw_zone_result *r, const aw_zone *z)
{
    (void)r;
    return !aw_need_is_stated(&z->need);
}

static bool has_no_odds(const aw_zone_result *r, const aw_zone *z)
{
    return aw_need_is_stated(&z->need) && isnan(r->parts[AW_PART_ODDS].found.value);
}

/* One line for each reason that occurs, with the zones that it concerns. */
static void add_dashes(const aw_assessment *a, const aw_scenario *s, aw_text *out)
{
    static const struct {
        bool (*holds)(const aw_zone_result *r, const aw_zone *z);
        const char *why;
    } reasons[] = {
        {has_no_need, "no need is stated, so there is no verdict"},
        {has_no_p95, "no p95, for more than 5 % of the draws give no fix"},
        {has_no_odds, "no odds, which take a need for p95 and a survey or delay error"},
    };
    for (size_t k = 0; k < sizeof reasons / sizeof *reasons; k++) {
        size_t n = 0;
        for (size_t i = 0; i < s->n_zones; i++)
            if (reasons[k].holds(&a->zones[i], &s->zones[i]))
                aw_text_format(out, "%s%s", n++ > 0 ? ", " : "– in ", s->zones[i].name);
        if (n > 0)
            aw_text_format(out, ": %s.\n", reasons[k].why);
    }
}

static void add_footing(const aw_scenario *s, aw_text *out)
{
    aw_bench_warning(s, out);
    aw_start_words(s, out);
    aw_text_format(out,
                   "The range of p95 is the spread seen between days and sites, a "
                   "factor of %.2g either way.\n",
                   aw_prediction_band(s));
    aw_caution(out);
}

void aw_assessment_table(const aw_assessment *a, const aw_scenario *s, const char *file,
                         bool colour, aw_text *out)
{
    char cells[AW_FIGURE_ROOM];
    aw_table t = {.columns = COLUMNS, .align = "llrrllrl"};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out, "%zu anchor%s, %s cells of %s, %s, seed %llu, %s figures\n\n", s->n_anchors,
                   s->n_anchors == 1 ? "" : "s", aw_figure_count(a->floor.cells, cells),
                   aw_coordinate_words("%.3g", s->study.step, s->units).text,
                   aw_draws_words(&s->study).text, (unsigned long long)s->study.seed,
                   aw_scenario_is_site(s) ? "site" : "bench");
    add_rows(&t, a, s, colour);
    aw_table_write(&t, out);
    aw_table_free(&t);
    aw_text_add(out, "\n");
    add_dashes(a, s, out);
    aw_level_remarks(s, out);
    add_remarks(a, s, out);
    add_footing(s, out);
    aw_isolate_names(out, from);
}
