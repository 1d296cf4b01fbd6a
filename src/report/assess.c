/* The assessment as a table a person reads, and the sentences that keep it honest. */
#include "anchorwise/report.h"

#include <math.h>

#include "report/columns.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/told.h"
#include "report/words.h"
#include "report/worth.h"

/* A star behind the name of a zone with a level over it, which aw_level_remarks() explains. */
static const aw_column error_columns[] = {
    {.key = "name", .head = "zone", .words = aw_add_level_star},
    {.key = "p50_m", .format = AW_AS_ERROR, .asked = "need.p50_m"},
    {.key = "p95_m", .format = AW_AS_ERROR, .asked = "need.p95_m"},
    {.head = "range", .format = AW_AS_ERROR, .low = "band_low_m", .high = "band_high_m"},
    {.key = "worst_cell_p95_m", .format = AW_AS_ERROR, .none = "no p95"},
    {.key = "worst_at_m", .head = "at", .format = AW_AS_SPOT},
    {.key = "vertical_p50_m", .format = AW_AS_ERROR},
    {.key = "vertical_p95_m", .format = AW_AS_ERROR, .asked = "need.vertical_p95_m"},
    {.head = "vertical_range",
     .format = AW_AS_ERROR,
     .low = "vertical_band_low_m",
     .high = "vertical_band_high_m"},
};

static const aw_listed errors = AW_LISTED(&aw_assessment_shape, "zones", NULL, error_columns);

/* Parts whose value is not among the errors stand here where they are asked. */
#define PART(key_, format_)                                                                        \
    .key = "parts." key_ ".value", .head = key_, .asked = "parts." key_ ".asked", .format = format_
#define PART_ENDS(key_) .low = "parts." key_ ".low", .high = "parts." key_ ".high"
static const aw_column need_columns[] = {
    {.key = "name", .head = "zone", .words = aw_add_level_star},
    {.key = "need", .words = aw_add_zone_need},
    {.key = "met", .head = "verdict", .format = AW_AS_VERDICT, .words = aw_add_reasons},
    {.head = "chance", .words = aw_add_chance},
    {PART("share", AW_AS_SHARE), PART_ENDS("share")},
    {PART("p99_m", AW_AS_ERROR)},
    {PART("fix_share", AW_AS_SHARE), PART_ENDS("fix_share")},
    {PART("zone_share", AW_AS_SHARE), PART_ENDS("zone_share")},
    {PART("odds", AW_AS_SHARE)},
};

static const aw_listed needs = AW_LISTED(&aw_assessment_shape, "zones", "need", need_columns);

/* The floor and its zones, then the needs. */
static void add_tables(const aw_told_assessment *t, bool colour, aw_text *out)
{
    const aw_subject document = AW_DOCUMENT(*t);
    aw_listing list = {.what = &errors, .document = &document};
    aw_listing_add(&list, "floor");
    aw_listing_add_rows(&list);
    aw_listing_write(&list, out);
    aw_listed_write(&needs, &document, colour, out);
}

/* What the tables cannot say in a cell: fixes that fail or may stand on the wrong side, zones on
 * the line. */
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
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone_result *r = &a->zones[i];
        if (r->verdict == AW_UNDECIDED && !isnan(r->draws_to_settle))
            aw_text_format(out, "%s is too close to call; about %.0f draws would decide it%s.\n",
                           s->zones[i].name, r->draws_to_settle,
                           isnan(s->study.precision) ? "" : ", without a precision");
        else if (r->verdict == AW_UNDECIDED)
            aw_text_format(out, "%s is too close to call, and more draws would not decide it.\n",
                           s->zones[i].name);
    }
}

/* --- why a zone lacks a figure --- */

static bool has_no_p95(const aw_zone_result *r, __attribute__((unused)) const aw_zone *z)
{
    return isnan(r->errors.p95);
}

static bool has_no_need(__attribute__((unused)) const aw_zone_result *r, const aw_zone *z)
{
    return !aw_need_is_stated(&z->need);
}

static bool has_no_chance(const aw_zone_result *r, const aw_zone *z)
{
    return aw_need_is_stated(&z->need) && isnan(r->parts[AW_PART_CHANCE].found.value);
}

/* One line for each reason that occurs, with the zones that it concerns. */
static void add_reasons(const aw_assessment *a, const aw_scenario *s, aw_text *out)
{
    static const struct {
        bool (*holds)(const aw_zone_result *r, const aw_zone *z);
        const char *what, *why;
    } reasons[] = {
        {has_no_need, "No verdict", "no need is stated"},
        {has_no_p95, "No p95", "more than 5 % of the draws give no fix"},
        {has_no_chance, "No chance",
         "it takes a need of errors without a margin, and a verdict that no other part decides "
         "against"},
    };
    for (size_t k = 0; k < sizeof reasons / sizeof *reasons; k++) {
        size_t n = 0;
        for (size_t i = 0; i < s->n_zones; i++)
            if (reasons[k].holds(&a->zones[i], &s->zones[i])) {
                if (n++ == 0)
                    aw_text_format(out, "%s in ", reasons[k].what);
                aw_text_format(out, "%s%s", n > 1 ? ", " : "", s->zones[i].name);
            }
        if (n > 0)
            aw_text_format(out, ": %s.\n", reasons[k].why);
    }
}

static void add_footing(const aw_scenario *s, aw_text *out)
{
    aw_bench_warning(s, out);
    aw_start_words(s, out);
    aw_footing_words(s, out);
    aw_caution(out);
}

void aw_assessment_table(const aw_assessment *a, const aw_scenario *s, const char *file,
                         bool colour, aw_text *out)
{
    char cells[AW_FIGURE_ROOM];
    const aw_told_assessment t = {{s, file}, a};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out, "%zu anchor%s, %s cells of %s, ", s->n_anchors,
                   s->n_anchors == 1 ? "" : "s", aw_figure_count(a->floor.cells, cells),
                   aw_coordinate_words("%.3g", s->study.step, s->units).text);
    aw_run_words(s, out);
    add_tables(&t, colour, out);
    add_reasons(a, s, out);
    aw_level_remarks(s, out);
    add_remarks(a, s, out);
    add_footing(s, out);
    aw_isolate_names(out, from);
}
