/* The part that decides is the first that stands as the whole does; of a need that is met the share
 * of cells, or else p95. */
#include "report/stamp.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/columns.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/verdict.h"

const char *aw_stamp_word(const aw_zone_result *r)
{
    return aw_word("stamp", aw_zone_verdict_name(r));
}

static bool is_asked(const aw_zone_result *r, int part)
{
    return !isnan(r->parts[part].asked) && r->parts[part].verdict != AW_NO_NEED;
}

/* AW_PARTS if nothing is asked. */
static int deciding_part(const aw_zone_result *r)
{
    const bool met = r->verdict == AW_MET;
    int first = AW_PARTS;
    for (int part = AW_PARTS; part-- > 0;)
        if (is_asked(r, part) && (met ? part != AW_PART_CHANCE && part != AW_PART_ODDS
                                      : r->parts[part].verdict == r->verdict))
            first = part;
    return met && is_asked(r, AW_PART_SHARE) ? AW_PART_SHARE : first;
}

/* "87 of 95 %": the unit once. */
static void add_share(const aw_part_result *p, aw_text *out)
{
    char found[AW_FIGURE_ROOM], asked[AW_FIGURE_ROOM];
    aw_figure_share_asked(p->found.value, p->asked, found);
    char *unit = strstr(found, " %");
    if (unit != NULL)
        *unit = '\0';
    aw_text_format(out, "%s of %s", found, aw_figure_share(p->asked, asked));
}

/* A length that was found, and over its need that too. */
static void add_length(const aw_part_result *p, aw_units units, aw_stood where, bool met,
                       aw_text *out)
{
    const double is = p->found.value, asked = p->asked;
    const bool sheet = where == AW_ON_A_SHEET;
    if (met)
        aw_text_add(out, sheet ? aw_sheet_words(is, asked, units).text
                               : aw_error_words_asked(is, asked, units).text);
    else if (sheet)
        aw_text_format(out, "%s of %s %s", aw_sheet_figure(is, asked, units).text,
                       aw_sheet_need(asked, units).text, aw_sheet_unit(units));
    else
        aw_text_format(out, "%s of %s", aw_error_figure_asked(is, asked, units).text,
                       aw_small_words("%.6g", asked, units).text);
}

void aw_stamp_part(const aw_zone_result *r, aw_units units, aw_stood where, aw_text *out)
{
    const int part = deciding_part(r);
    if (r->verdict == AW_NO_NEED || part == AW_PARTS)
        return;
    const aw_part_result *p = &r->parts[part];
    if (part == AW_PART_SHARE) {
        add_share(p, out);
        aw_text_add(out, " of cells");
    } else if (!aw_part_rows[part].is_length) {
        aw_text_format(out, "%s ", aw_part_rows[part].name);
        add_share(p, out);
    } else if (isnan(p->found.value)) {
        aw_text_format(out, "no %s: too few fixes", aw_part_rows[part].name);
    } else {
        aw_text_format(out, "%s ", aw_part_rows[part].name);
        add_length(p, units, where, r->verdict == AW_MET, out);
    }
}

double aw_zone_lack(const aw_zone_result *r)
{
    double most = 0;
    for (int part = 0; part < AW_PARTS; part++) {
        const aw_part_result *p = &r->parts[part];
        if (!is_asked(r, part) || p->verdict == AW_MET)
            continue;
        const double value = p->found.value;
        const double lack = isnan(value)                   ? HUGE_VAL
                            : aw_part_rows[part].is_length ? value / p->asked - 1
                                                           : 1 - value / p->asked;
        most = fmax(most, lack);
    }
    return most;
}

void aw_headline_words(const aw_assessment *a, const aw_scenario *s, aw_stood where, aw_text *out)
{
    size_t needs = 0, met = 0, worst = s->n_zones;
    char share[AW_FIGURE_ROOM];
    const size_t from = out->n;
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone_result *r = &a->zones[i];
        needs += r->verdict != AW_NO_NEED;
        met += r->verdict == AW_MET;
        if (r->verdict == AW_NOT_MET || r->verdict == AW_UNDECIDED)
            worst =
                worst == s->n_zones || aw_zone_lack(r) > aw_zone_lack(&a->zones[worst]) ? i : worst;
    }
    if (needs == 0)
        aw_text_add(out, "No zone states a need.");
    else if (met == needs)
        aw_text_format(out,
                       needs == 1   ? "The need is met."
                       : needs == 2 ? "Both needs are met."
                                    : "All %zu needs are met.",
                       needs);
    else
        aw_text_format(out, "%zu of %zu needs %s met.", met, needs, met == 1 ? "is" : "are");
    if (worst < s->n_zones) {
        const aw_zone_result *r = &a->zones[worst];
        aw_text_format(out, " %s is %s: ", s->zones[worst].name,
                       r->verdict == AW_NOT_MET ? "not" : "undecided");
        aw_stamp_part(r, s->units, where, out);
        aw_text_add(out, ".");
    }
    if (a->floor.fix_share < 1)
        aw_text_format(out, " No fix in %s of the floor's draws.",
                       aw_figure_share(1 - a->floor.fix_share, share));
    aw_isolate_names(out, from);
}

aw_letter_text aw_zone_letter(size_t zone)
{
    aw_letter_text t;
    if (zone < 26)
        snprintf(t.text, sizeof t.text, "%c", (char)('A' + zone));
    else
        snprintf(t.text, sizeof t.text, "%c%c", (char)('A' + (zone / 26 - 1) % 26),
                 (char)('A' + zone % 26));
    return t;
}
