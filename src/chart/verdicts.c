/* The assessment as a table a person reads, and the sentences that keep it honest. */
#include "anchorwise/output.h"

#include <math.h>

#include "chart/table.h"
#include "chart/words.h"

#define COLUMNS 8

static void add_place(aw_table *t, const aw_pooled *p)
{
    char figure[AW_FIGURE_ROOM];
    if (p->cells == 0)
        aw_table_add(t, "–");
    else if (isnan(p->worst_p95))
        aw_table_add(t, "no p95 at (%.1f, %.1f)", p->worst_at[0], p->worst_at[1]);
    else
        aw_table_add(t, "%s at (%.1f, %.1f)", aw_figure_length(p->worst_p95, figure),
                     p->worst_at[0], p->worst_at[1]);
}

static void add_errors(aw_table *t, const aw_pooled *p, double band)
{
    char figure[AW_FIGURE_ROOM], high[AW_FIGURE_ROOM];
    aw_table_add(t, "%s", aw_figure_length(p->p50, figure));
    aw_table_add(t, "%s", aw_figure_length(p->p95, figure));
    if (isnan(p->p95))
        aw_table_add(t, "–");
    else
        aw_table_add(t, "%s to %s", aw_figure_length(p->p95 / band, figure),
                     aw_figure_length(p->p95 * band, high));
    add_place(t, p);
}

static void add_words(aw_table *t, const aw_text *words)
{
    aw_table_add(t, "%s", words->n > 0 ? words->at : "–");
    t->failed |= words->failed;
}

static void add_need(aw_table *t, const aw_need *need)
{
    aw_text words = {0};
    aw_need_words(need, &words);
    add_words(t, &words);
    aw_text_free(&words);
}

static void add_verdict(aw_table *t, const aw_zone_result *r, bool colour)
{
    static const char *const on[] = {"\033[31m", "\033[32m", "\033[33m"};
    static const char *const told[] = {"NOT MET: ", "met", "undecided: "};
    aw_text words = {0};
    if (r->verdict != AW_NO_NEED) {
        aw_text_add(&words, colour ? on[r->verdict] : "");
        aw_text_add(&words, told[r->verdict]);
        if (r->verdict != AW_MET)
            aw_reason_words(r, &words);
        aw_text_add(&words, colour ? "\033[0m" : "");
    }
    add_words(t, &words);
    aw_text_free(&words);
}

static void add_rows(aw_table *t, const aw_assessment *a, const aw_scenario *s, bool colour)
{
    const double band = aw_prediction_band(s);
    char figure[AW_FIGURE_ROOM];
    const char *const head[COLUMNS] = {
        "", "need", "p50", "p95", "range of p95", "worst p95 (m)", "p95 odds", "verdict"};
    for (size_t i = 0; i < COLUMNS; i++)
        aw_table_add(t, "%s", head[i]);
    aw_table_add(t, "floor");
    aw_table_add(t, "–");
    add_errors(t, &a->floor, band);
    aw_table_add(t, "–");
    aw_table_add(t, "–");
    for (size_t i = 0; i < s->n_zones; i++) {
        aw_table_add(t, "%s", s->zones[i].name);
        add_need(t, &s->zones[i].need);
        add_errors(t, &a->zones[i].errors, band);
        aw_table_add(t, "%s", aw_figure_share(a->zones[i].parts[AW_PART_ODDS].found.value, figure));
        add_verdict(t, &a->zones[i], colour);
    }
}

static void add_height(const char *where, const aw_pooled *p, aw_text *out)
{
    char figure[AW_FIGURE_ROOM];
    aw_text_format(out, "Height error %s: ", where);
    if (isnan(p->vertical_p50))
        aw_text_add(out, "no p50, ");
    else
        aw_text_format(out, "p50 %s m, ", aw_figure_length(p->vertical_p50, figure));
    if (isnan(p->vertical_p95))
        aw_text_add(out, "no p95.\n");
    else
        aw_text_format(out, "p95 %s m.\n", aw_figure_length(p->vertical_p95, figure));
}

static void add_vertical(const aw_assessment *a, const aw_scenario *s, aw_text *out)
{
    if (s->tags[0].fix == AW_FIX_3D)
        add_height("over the floor", &a->floor, out);
    for (size_t i = 0; i < s->n_zones; i++) {
        char where[256]; /* a name has up to 60 characters */
        snprintf(where, sizeof where, "in %s", s->zones[i].name);
        if (s->tags[s->zones[i].tag].fix == AW_FIX_3D)
            add_height(where, &a->zones[i].errors, out);
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
        aw_part_remarks(r, s->zones[i].name, out);
        if (r->verdict == AW_UNDECIDED && !isnan(r->draws_to_settle))
            aw_text_format(out, "%s is on the line; about %.0f draws would settle it.\n",
                           s->zones[i].name, r->draws_to_settle);
        else if (r->verdict == AW_UNDECIDED)
            aw_text_format(out, "%s is on the line, and more draws would not settle it.\n",
                           s->zones[i].name);
    }
}

static void add_footing(const aw_scenario *s, aw_text *out)
{
    aw_bench_warning(s, out);
    aw_start_words(s, out);
    aw_text_format(out,
                   "Lengths in m. The range of p95 is the spread seen between days and sites, a "
                   "factor of %.2g either way.\n",
                   aw_prediction_band(s));
    aw_caution(out);
}

void aw_assessment_table(const aw_assessment *a, const aw_scenario *s, const char *file,
                         bool colour, aw_text *out)
{
    char cells[AW_FIGURE_ROOM];
    aw_table t = {.columns = COLUMNS, .align = "llrrllrl"};
    aw_text_format(out, "%s (%s)\n", s->title, file);
    aw_text_format(out, "%zu anchor%s, %s cells of %.3g m, %u draws, seed %llu, %s figures\n\n",
                   s->n_anchors, s->n_anchors == 1 ? "" : "s",
                   aw_figure_count(a->floor.cells, cells), s->study.step, s->study.draws,
                   (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench");
    add_rows(&t, a, s, colour);
    aw_table_write(&t, out);
    aw_table_free(&t);
    aw_text_add(out, "\n");
    add_remarks(a, s, out);
    add_footing(s, out);
}
