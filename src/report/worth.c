/* The sentences here say one thing each and are said once under a table: where sites lie, and on
 * what that rests. */
#include "report/worth.h"

#include "anchorwise/report.h"
#include "report/figures.h"
#include "report/table.h"

#include <math.h>

/* Beyond these a chance says more than few systems can show. */
#define MOST  0.95
#define LEAST 0.05

aw_length_text aw_chance_words(const aw_zone_result *r)
{
    const aw_part_result *p = &r->parts[AW_PART_CHANCE];
    const double chance = p->found.value;
    aw_length_text t;
    if (isnan(chance))
        snprintf(t.text, sizeof t.text, "–");
    else if (chance >= MOST)
        snprintf(t.text, sizeof t.text, "> 95 %%");
    else if (chance <= LEAST)
        snprintf(t.text, sizeof t.text, "< 5 %%");
    else
        aw_figure_share_asked(chance, p->asked, t.text);
    return t;
}

void aw_range_sentence(const aw_scenario *s, const char *figures, aw_text *out)
{
    const aw_site_range range = aw_site_range_of(s, false);
    aw_text_format(out, "Nine sites in ten are expected between %.2g and %.2g times %s.", range.low,
                   range.high, figures);
}

const char *const aw_footing_words_list[] = {"none", "equipment", "site", NULL};

const char *aw_footing_word(const aw_scenario *s)
{
    const aw_measured *m = &s->ranging.measured;
    return aw_footing_words_list[m->points == 0 ? 0 : m->where == AW_MEASURED_EQUIPMENT ? 1 : 2];
}

/* "20:1" */
static void add_ratio(const aw_scenario *s, aw_text *out)
{
    const aw_site_range range = aw_site_range_of(s, false);
    aw_text_format(out, "%.2g:1", range.high / range.low);
}

static void add_advice(const aw_scenario *s, aw_text *out)
{
    aw_scenario measured = *s;
    measured.ranging.measured = (aw_measured){20, 1, AW_MEASURED_SITE};
    aw_text_add(out, "Twenty spots measured at this site in one day would narrow the range from ");
    add_ratio(s, out);
    aw_text_add(out, " to ");
    add_ratio(&measured, out);
    aw_text_add(out, ".\n");
}

static void add_measured(const aw_scenario *s, aw_text *out)
{
    const aw_measured *m = &s->ranging.measured;
    const aw_site_range range = aw_site_range_of(s, false);
    const bool here = m->where == AW_MEASURED_SITE;
    aw_text_format(out,
                   "Measured %s: %u spot%s on %u day%s. %s is expected within a factor of %.2g.\n",
                   here ? "at this site" : "with the same equipment elsewhere", m->points,
                   m->points == 1 ? "" : "s", m->days, m->days == 1 ? "" : "s",
                   here ? "Another day" : "This site", sqrt(range.high / range.low));
}

void aw_footing_words(const aw_scenario *s, aw_text *out)
{
    const aw_site_range range = aw_site_range_of(s, false);
    if (s->ranging.measured.points > 0) {
        add_measured(s, out);
    } else {
        aw_text_format(
            out,
            "No measurement at this site. The range of p95 is where nine sites in ten are "
            "expected: %.2g to %.2g times what the stated errors give. Footing: %zu "
            "systems of %zu labs, and an assumption of how much sites differ. ",
            range.low, range.high, aw_measured_systems_n, aw_measured_systems_n);
        add_advice(s, out);
    }
    aw_text_add(out, "The chance says of 100 sites, equipped and built as this file says, how many "
                     "would meet what a zone asks of errors");
    if (!isnan(s->study.margin))
        aw_text_format(out, "; none is asked, but that errors times %.3g meet it", s->study.margin);
    else
        aw_text_format(out, "; %.3g %% is asked", 100 * s->study.chance);
    aw_text_add(out, ".\n");
}

void aw_chance_asked_words(const aw_scenario *s, aw_text *out)
{
    double least = HUGE_VAL, most = 0;
    for (size_t i = 0; i < s->n_zones; i++) {
        const double chance = aw_need_chance(&s->zones[i].need, &s->study);
        if (isnan(chance))
            continue;
        least = fmin(least, chance);
        most = fmax(most, chance);
    }
    if (most > 0 && least == most)
        aw_text_format(out, " with a chance of %.3g %% or more", 100 * least);
    else if (most > 0)
        aw_text_add(out, " with the chance that it asks");
}

/* --- starting points --- */

static void add_start(aw_table *t, const aw_start *start)
{
    aw_table_add(t, "%s", start->name);
    aw_table_add(t, "%.3g", start->sigma);
    aw_table_add(t, "%.3g", start->spot_sigma);
    if (start->tail_share > 0)
        aw_table_add(t, "%.3g %% at %.3g", 100 * start->tail_share, start->tail_sigma);
    else
        aw_table_add(t, "–");
    aw_table_add(t, "%.3f", aw_start_rms(start));
    aw_table_add(t, "%.0f %%%s", 100 * aw_start_share(start),
                 start->room == AW_ROOM_WITH_METAL ? "*" : "");
    aw_table_add(t, "%s", start->lab);
    aw_table_add(t, "%s, %s", start->equipment, start->date);
    aw_table_end_row(t);
}

void aw_starts_reference(aw_text *out)
{
    static const char *const heads[] = {"start",   "white (m)",      "spot (m)", "tail (m)",
                                        "rms (m)", "sites no worse", "where",    "what, when"};
    aw_table t = {.columns = sizeof heads / sizeof *heads, .align = "lrrrrrll"};
    aw_text_add(out,
                "Starting points of `ranging`: errors to assume, none of them measured at your "
                "site. For a bid take 'not measured'.\n\n");
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        aw_table_add(&t, "%s", heads[i]);
    for (size_t i = 0; i < aw_starts_n; i++)
        add_start(&t, &aw_starts[i]);
    aw_table_write(&t, out);
    aw_table_free(&t);
    aw_text_add(out, "\n* of sites with metal in the room\n\n");
    for (size_t i = 0; i < aw_starts_n; i++)
        aw_text_format(out, "%s: %s (%s).\n", aw_starts[i].name, aw_starts[i].measured,
                       aw_starts[i].source);
    aw_text_format(
        out,
        "\nSites no worse: the share of sites that are expected to have no larger errors, by "
        "%zu "
        "measured systems and an assumption of how much sites differ. All were measured in "
        "laboratories of 3 to 10 m; published means of industrial places are larger.\n",
        aw_measured_systems_n);
}
