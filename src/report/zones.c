/* Zone decisions as tables. */
#include "anchorwise/report.h"

#include "report/borders.h"
#include "report/columns.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/told.h"
#include "report/words.h"
#include "report/worth.h"

/* Zones named in a row, and the share from which a zone is. */
#define MOST_NAMED  4
#define LEAST_NAMED 0.005

static const aw_estimate *reported_of(const aw_subject *row)
{
    return ((const aw_zone_decisions *)row->of)->reported;
}

AW_WORDS(add_own_share)
{
    char figure[AW_FIGURE_ROOM];
    aw_text_add(out, aw_figure_share(reported_of(row)[row->i].value, figure));
}

/* The zone whose share is the next smaller one, of equal ones the next in their order; n if there
 * is none. */
static size_t next_zone(const aw_subject *row, size_t n, size_t after)
{
    const aw_estimate *r = reported_of(row);
    size_t best = n;
    for (size_t z = 0; z < n; z++) {
        const bool follows = after == n || r[z].value < r[after].value ||
                             (r[z].value == r[after].value && z > after);
        if (z != row->i && follows && (best == n || r[z].value > r[best].value))
            best = z;
    }
    return best;
}

/* "parts store 3 %, paint shop 1 %", the largest first. */
AW_WORDS(add_other_zones)
{
    const aw_scenario *s = ((const aw_report_run *)row->with)->scenario;
    const aw_estimate *r = reported_of(row);
    char figure[AW_FIGURE_ROOM];
    size_t n = 0;
    for (size_t z = next_zone(row, s->n_zones, s->n_zones);
         z < s->n_zones && r[z].value >= LEAST_NAMED; z = next_zone(row, s->n_zones, z))
        if (n++ < MOST_NAMED)
            aw_text_format(out, "%s%s %s", n > 1 ? ", " : "", s->zones[z].name,
                           aw_figure_share(r[z].value, figure));
    if (n > MOST_NAMED)
        aw_text_format(out, " and %zu more", n - MOST_NAMED);
}

static const aw_column report_columns[] = {
    {.key = "name", .head = "tag_in", .words = aw_add_level_star},
    {.head = "reported_in_it", .format = AW_AS_SHARE, .words = add_own_share},
    {.key = "elsewhere.share", .format = AW_AS_SHARE},
    {.key = "no_fix.share", .format = AW_AS_SHARE},
    {.head = "other_zones", .words = add_other_zones},
};
static const aw_listed reports = AW_LISTED(&aw_decisions_shape, "zones", NULL, report_columns);

static const aw_column setback_columns[] = {
    {.key = "name", .head = "zone", .words = aw_add_level_star},
    {.key = "inside.setback_m", .format = AW_AS_DISTANCE, .none = "none"},
    {.key = "inside.at_m", .head = "at", .format = AW_AS_SPOT},
    {.key = "outside.setback_m", .format = AW_AS_DISTANCE, .none = "none"},
    {.key = "outside.at_m", .head = "at", .format = AW_AS_SPOT},
    {.key = "right_area_share", .format = AW_AS_SHARE},
};
static const aw_listed setbacks = AW_LISTED(&aw_decisions_shape, "zones", NULL, setback_columns);

static const aw_column need_columns[] = {
    {.key = "name", .head = "zone"},
    {.head = "need", .words = aw_add_zone_need},
    {.key = "met", .head = "verdict", .format = AW_AS_VERDICT},
};
static const aw_listed needs = AW_LISTED(&aw_decisions_shape, "zones", "met", need_columns);

void aw_decisions_table(const aw_decisions *d, const aw_verdict verdicts[], const aw_scenario *s,
                        const char *file, bool colour, aw_text *out)
{
    const aw_told_decisions t = {{s, file}, d, verdicts};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out, "%zu anchor%s, cells of %s, ", s->n_anchors, s->n_anchors == 1 ? "" : "s",
                   aw_coordinate_words("%.3g", s->study.step, s->units).text);
    aw_run_words(s, out);
    aw_text_add(out, "Where it is reported, for tags spread evenly over the zone they are in:\n\n");
    aw_listed_write(&reports, &AW_DOCUMENT(t), colour, out);
    aw_overlap_remark(s, out);
    aw_text_add(out, "How far from the border a tag inside is reported inside in 99 % of cases, "
                     "and one outside in\nat most 1 %, and the border point that asks for it:\n\n");
    aw_listed_write(&setbacks, &AW_DOCUMENT(t), colour, out);
    aw_listed_write(&needs, &AW_DOCUMENT(t), colour, out);
    aw_level_remarks(s, out);
    aw_border_remarks(d, s, out);
    aw_bench_warning(s, out);
    aw_range_sentence(s, "the stated errors, and setbacks with them", out);
    aw_text_add(out, "\n");
    aw_caution(out);
    aw_isolate_names(out, from);
}
