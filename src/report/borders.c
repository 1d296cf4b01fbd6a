/* Every reason is told with the figures it rests on. */
#include "report/borders.h"

#include <math.h>

#include "base/plane.h"
#include "report/lengths.h"
#include "report/standing.h"
#include "report/table.h"
#include "report/figures.h"

/* Pairs of zones that are named. */
#define NAMED 12

static void add_spot(const double at[2], aw_units units, aw_text *out)
{
    aw_text_format(out, "%s %s", aw_spot_figure(at, 2, units).text, aw_coordinate_unit(units));
}

/* --- setbacks --- */

static void add_beyond(const aw_setback *b, aw_text *out)
{
    if (b->beyond.by == AW_TAKEN_BY_NOTHING)
        return;
    aw_text_add(out, " A border next to it runs along ");
    aw_taken_words(&b->beyond, out);
    if (b->beyond.by == AW_OFF_THE_FLOOR)
        aw_text_add(out, ": no tag is beyond it, and a zone drawn further out would count these "
                         "reports as inside");
    aw_text_add(out, ".");
}

static void tell_inside(const aw_setback *b, const char *name, aw_units units, aw_text *out)
{
    const aw_setback_reason why = aw_setback_why(b, true);
    const double off = 100 * (1 - b->share - b->no_fix);
    if (why == AW_SETBACK_NO_TAG)
        aw_text_format(out,
                       "%s has no setback inside: no tag can be just inside any of its border, "
                       "where the floor ends or something stands.\n",
                       name);
    if (why != AW_SETBACK_NARROW && why != AW_SETBACK_NO_FIX && why != AW_SETBACK_NARROW_AND_NO_FIX)
        return;
    aw_text_format(out, "%s has no setback: on the way in from ", name);
    add_spot(b->at, units, out);
    aw_text_add(out, " the best place is ");
    add_spot(b->place, units, out);
    if (why == AW_SETBACK_NARROW)
        aw_text_format(out,
                       ", and the zone is too narrow there for the errors: only %.1f %% are "
                       "reported inside.",
                       100 * b->share);
    else if (why == AW_SETBACK_NO_FIX)
        aw_text_format(out, ", and %.1f %% of the draws have no fix there.", 100 * b->no_fix);
    else
        aw_text_format(out,
                       ", where %.1f %% of the draws have no fix and %.1f %% are reported outside.",
                       100 * b->no_fix, off);
    if (why != AW_SETBACK_NO_FIX)
        add_beyond(b, out);
    aw_text_add(out, "\n");
}

static void tell_outside(const aw_setback *b, const char *name, aw_units units, aw_text *out)
{
    const aw_setback_reason why = aw_setback_why(b, false);
    if (why == AW_SETBACK_NO_TAG) {
        aw_text_format(out,
                       "%s has no setback outside: no tag can be just outside any of its border, "
                       "where the floor ends or something stands.\n",
                       name);
    } else if (why == AW_SETBACK_NARROW) {
        aw_text_format(out, "No tag beside %s at ", name);
        add_spot(b->at, units, out);
        aw_text_add(out, " is surely outside: even at the best place of the gap there, ");
        add_spot(b->place, units, out);
        aw_text_format(out, ", %.1f %% are reported inside.\n", 100 * b->share);
    }
}

static void tell_cramped(const aw_setback *b, const char *name, bool inside, aw_units units,
                         aw_text *out)
{
    if (b->cramped == 0)
        return;
    aw_text_format(out, "%s %s, %zu border point%s no setback, since no tag can be %s: at ",
                   inside ? "Inside" : "Outside", name, b->cramped,
                   b->cramped == 1 ? " asks for" : "s ask for", inside ? "so deep" : "so far off");
    add_spot(b->cramped_at, units, out);
    aw_text_format(out,
                   " even at the best place, before the floor ends or something stands, %s%.1f %% "
                   "are reported inside.\n",
                   inside ? "only " : "", 100 * b->cramped_share);
}

void aw_border_remarks(const aw_decisions *d, const aw_scenario *s, aw_text *out)
{
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone_decisions *z = &d->zones[i];
        const char *name = s->zones[i].name;
        tell_inside(&z->inside, name, s->units, out);
        tell_outside(&z->outside, name, s->units, out);
        tell_cramped(&z->inside, name, true, s->units, out);
        tell_cramped(&z->outside, name, false, s->units, out);
        if (isnan(z->no_fix.value) || isnan(z->right_share))
            aw_text_format(out,
                           "%s is too small for the cells: where it has a dash no tag of theirs "
                           "stands in it. A finer step would do.\n",
                           name);
    }
}

/* --- overlaps --- */

bool aw_zones_overlap(const aw_scenario *s, size_t a, size_t b)
{
    const aw_polygon *p = &s->zones[a].outline, *q = &s->zones[b].outline;
    return p->low.x < q->high.x && q->low.x < p->high.x && p->low.y < q->high.y &&
           q->low.y < p->high.y && aw_polygons_overlap(p, q);
}

void aw_overlap_remark(const aw_scenario *s, aw_text *out)
{
    size_t pairs = 0;
    for (size_t a = 0; a < s->n_zones; a++)
        for (size_t b = a + 1; b < s->n_zones; b++) {
            if (!aw_zones_overlap(s, a, b) || pairs++ >= NAMED)
                continue;
            aw_text_format(out, "%s%s and %s", pairs == 1 ? "Zones overlap: " : "; ",
                           s->zones[a].name, s->zones[b].name);
        }
    if (pairs > NAMED)
        aw_text_format(out, "; and %zu more pairs", pairs - NAMED);
    if (pairs > 0)
        aw_text_add(out, ". A fix where they do counts in each, so the rows may sum to more than "
                         "100 %.\n\n");
}
