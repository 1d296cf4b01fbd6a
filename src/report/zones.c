/* Zone decisions as tables. */
#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "report/borders.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/verdict.h"
#include "report/words.h"

/* Zones side by side in one table; more are put below. */
#define ABREAST 8

/* --- for people --- */

static void add_name(aw_table *t, const aw_scenario *s, size_t zone)
{
    char name[AW_ROW_NAME_ROOM];
    aw_table_add(t, "%s", aw_row_name(s, zone, name));
}

static void add_share(aw_table *t, const aw_estimate *e)
{
    char figure[AW_FIGURE_ROOM];
    aw_table_add(t, "%s", aw_figure_share(e->value, figure));
}

/* Columns of the zones from `first` on, and behind the last of them elsewhere and no fix. */
static void add_block(const aw_decisions *d, const aw_scenario *s, size_t first, aw_text *out)
{
    const size_t last = first + ABREAST < s->n_zones ? first + ABREAST : s->n_zones;
    const bool ends = last == s->n_zones;
    aw_table t = {.columns = last - first + 1 + (ends ? 2 : 0), .align = "lrrrrrrrrrr", .heads = 1};
    aw_table_add(&t, "a tag in");
    for (size_t i = first; i < last; i++)
        aw_table_add(&t, "%s", s->zones[i].name);
    if (ends) {
        aw_table_add(&t, "elsewhere");
        aw_table_add(&t, "no fix");
    }
    for (size_t row = 0; row < s->n_zones; row++) {
        add_name(&t, s, row);
        for (size_t i = first; i < last; i++)
            add_share(&t, &d->zones[row].reported[i]);
        if (ends) {
            add_share(&t, &d->zones[row].elsewhere);
            add_share(&t, &d->zones[row].no_fix);
        }
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
    aw_text_add(out, "\n");
}

static void add_setback(aw_table *t, const aw_setback *b, aw_units units)
{
    if (isnan(b->at[0])) {
        aw_table_add(t, "–");
        aw_table_add(t, "–");
        return;
    }
    aw_table_add(t, "%s", isnan(b->depth) ? "none" : aw_distance_figure(b->depth, units).text);
    aw_table_add(t, "%s", aw_spot_figure(b->at, 2, units).text);
}

static void add_setbacks(const aw_decisions *d, const aw_scenario *s, aw_text *out)
{
    static const char *const head[] = {"",        "inside (%s)",     "at (%s)", "outside (%s)",
                                       "at (%s)", "area 99 %% right"};
    char figure[AW_FIGURE_ROOM];
    aw_table t = {.columns = 6, .align = "lrlrlr", .heads = 1};
    for (size_t i = 0; i < 6; i++)
        aw_table_add(&t, head[i], aw_coordinate_unit(s->units));
    for (size_t i = 0; i < s->n_zones; i++) {
        add_name(&t, s, i);
        add_setback(&t, &d->zones[i].inside, s->units);
        add_setback(&t, &d->zones[i].outside, s->units);
        aw_table_add(&t, "%s", aw_figure_share(d->zones[i].right_share, figure));
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
    aw_text_add(out, "\n");
}

static void add_verdicts(const aw_verdict verdicts[], const aw_scenario *s, aw_text *out)
{
    bool any = false;
    for (size_t i = 0; i < s->n_zones; i++) {
        if (verdicts[i] == AW_NO_NEED)
            continue;
        aw_text_format(out, "%s: need ", s->zones[i].name);
        aw_need_words(&s->zones[i].need, s->units, out);
        aw_text_format(out, ": %s\n", aw_verdict_word(verdicts[i]));
        any = true;
    }
    if (any)
        aw_text_add(out, "\n");
}

void aw_decisions_table(const aw_decisions *d, const aw_verdict verdicts[], const aw_scenario *s,
                        const char *file, aw_text *out)
{
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out, "%zu anchor%s, cells of %s, %s, seed %llu, %s figures\n\n", s->n_anchors,
                   s->n_anchors == 1 ? "" : "s",
                   aw_coordinate_words("%.3g", s->study.step, s->units).text,
                   aw_draws_words(&s->study).text, (unsigned long long)s->study.seed,
                   aw_scenario_is_site(s) ? "site" : "bench");
    aw_text_add(out, "Where it is reported, for tags spread evenly over the zone they are in:\n\n");
    for (size_t first = 0; first < s->n_zones; first += ABREAST)
        add_block(d, s, first, out);
    aw_overlap_remark(s, out);
    aw_text_add(out, "How far from the border a tag inside is reported inside in 99 % of cases, "
                     "and one outside in\nat most 1 %, and the border point that asks for it:\n\n");
    add_setbacks(d, s, out);
    add_verdicts(verdicts, s, out);
    aw_level_remarks(s, out);
    aw_border_remarks(d, s, out);
    aw_bench_warning(s, out);
    aw_text_format(out,
                   "Errors differ between days and sites by a factor of %.2g either way, and "
                   "setbacks with them.\n",
                   aw_prediction_band(s));
    aw_caution(out);
    aw_isolate_names(out, from);
}
