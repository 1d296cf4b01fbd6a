/* Needs are told by loops over the table of parts; the rest keeps every output honest. */
#include "report/words.h"

#include <math.h>

#include "anchorwise.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/names.h"

void aw_need_words(const aw_need *need, aw_units units, aw_text *out)
{
    const char *comma = "";
    for (int part = 0; part < AW_PARTS; part++) {
        const aw_part_row *row = &aw_part_rows[part];
        const double asked = aw_need_asks(need, (aw_part)part);
        if (isnan(asked))
            continue;
        aw_text_format(out, "%s%s", comma, row->ask);
        if (row->is_length)
            aw_text_add(out, aw_small_words("%.6g", asked, units).text);
        else
            aw_text_format(out, "%.6g %%", 100 * asked);
        comma = ", ";
    }
    if (!isnan(need->margin) && *comma != '\0')
        aw_text_format(out, ", margin %.3g", need->margin);
    else if (!isnan(need->chance) && *comma != '\0')
        aw_text_format(out, ", chance >= %.3g %%", 100 * need->chance);
}

/* The odds are of p95, the chance is of errors: where these decide, they add nothing. */
static bool decides(const aw_zone_result *r, int part)
{
    bool error = r->parts[AW_PART_P95].verdict == r->verdict;
    if (r->parts[part].verdict != r->verdict)
        return false;
    for (int i = 0; part == AW_PART_CHANCE && i < AW_PARTS; i++)
        error = error || (aw_part_rows[i].is_length && r->parts[i].verdict == r->verdict) ||
                (i == AW_PART_SHARE && r->parts[i].verdict == r->verdict);
    return !((part == AW_PART_ODDS || part == AW_PART_CHANCE) && error);
}

/* " 64 % of 80 % asked" */
static void add_chance(const aw_part_result *p, aw_text *out)
{
    char found[AW_FIGURE_ROOM], asked[AW_FIGURE_ROOM];
    aw_text_format(out, " %s of %s asked", aw_figure_share_asked(p->found.value, p->asked, found),
                   aw_figure_share(p->asked, asked));
}

void aw_reason_words(const aw_zone_result *result, aw_text *out)
{
    int left = 0;
    for (int part = 0; part < AW_PARTS; part++)
        left += decides(result, part);
    for (int part = 0; part < AW_PARTS; part++)
        if (decides(result, part)) {
            left--;
            aw_text_add(out, aw_part_rows[part].name);
            if (part == AW_PART_CHANCE && result->verdict == AW_NOT_MET)
                add_chance(&result->parts[part], out);
            aw_text_add(out, left > 1 ? ", " : left == 1 ? " and " : "");
        }
}

void aw_behind_verdict(const aw_zone_result *result, aw_text *out)
{
    if (result->with_margin)
        aw_text_add(out, "with margin");
    else if (result->verdict == AW_NOT_MET || result->verdict == AW_UNDECIDED)
        aw_reason_words(result, out);
}

aw_length_text aw_part_words(const aw_part_result *result, aw_part part, aw_units units)
{
    const double value = result->found.value, asked = result->asked;
    aw_length_text words;
    if (aw_part_rows[part].is_length)
        return aw_error_words_asked(value, asked, units);
    aw_figure_share_asked(value, asked, words.text);
    return words;
}

void aw_bench_warning(const aw_scenario *scenario, aw_text *out)
{
    if (!aw_scenario_is_site(scenario))
        aw_text_add(out, "BENCH FIGURES: no spot or installation error is stated, so the error on "
                         "site will be several times larger.\n");
}

void aw_start_words(const aw_scenario *scenario, aw_text *out)
{
    const aw_start *start = scenario->ranging.start;
    const aw_units units = scenario->units;
    if (start != NULL)
        aw_text_format(
            out, "Errors start from '%s': white %s, spot %s, %s in %.3g %% of spots. From %s.\n",
            start->name, aw_small_words("%.3g", start->sigma, units).text,
            aw_small_words("%.3g", start->spot_sigma, units).text,
            aw_small_words("%.3g", start->tail_sigma, units).text, 100 * start->tail_share,
            start->source);
}

void aw_caution(aw_text *out)
{
    aw_text_add(out,
                "A prediction from the stated assumptions, not a promise; measure on site, and "
                "never let safety depend on a position.\n");
}

aw_draws_text aw_draws_words(const aw_study *study)
{
    aw_draws_text t;
    const int n = snprintf(t.text, sizeof t.text, "%u draws", study->draws);
    if (!isnan(study->precision))
        snprintf(t.text + n, sizeof t.text - (size_t)n, " (zones: p95 to %.2g %%)",
                 100 * study->precision);
    return t;
}

void aw_settings_words(const aw_scenario *s, aw_text *out)
{
    aw_text_format(out, "%s, seed %llu, %s figures", aw_draws_words(&s->study).text,
                   (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench");
    if (s->radio.given || s->ranging.solver != AW_SOLVER_PLAIN)
        aw_text_format(out, ", %s fix", aw_solver_name(s->ranging.solver));
    if (s->radio.given && !s->radio.scattered)
        aw_text_add(out, ", nothing scattered");
}

void aw_run_words(const aw_scenario *s, aw_text *out)
{
    aw_settings_words(s, out);
    aw_text_add(out, "\n\n");
}

const char *aw_area_name(const aw_scenario *scenario, size_t place)
{
    return place == 0 ? "floor" : scenario->zones[place - 1].name;
}

void aw_changes_words(const aw_scenario *s, aw_text *out)
{
    const size_t from = out->n;
    for (size_t k = 0; k < s->n_changes; k++)
        aw_text_format(out, "set: %s = %s\n", s->changes[k].path, s->changes[k].value);
    aw_isolate_names(out, from);
}

void aw_title_words(const aw_scenario *s, const char *file, aw_text *out)
{
    aw_text_format(out, "%s (%s)\n", s->title, file);
    aw_changes_words(s, out);
}
