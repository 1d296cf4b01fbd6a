/* Freedom to mount as a table with sentences. */
#include "report/freedom.h"

#include <math.h>
#include <string.h>

#include "anchorwise.h"
#include "report/columns.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/told.h"
#include "report/words.h"

static const char *const side_names[AW_SIDES] = {"east", "north", "west", "south", "up", "down"};

static const char *kind_words(aw_limit_kind kind, aw_side side)
{
    switch (kind) {
    case AW_LIMIT_OUTLINE:
        return side == AW_SIDE_UP     ? "the ceiling"
               : side == AW_SIDE_DOWN ? "the floor"
                                      : "the outline";
    case AW_LIMIT_FILLED:
        return "what stands there";
    case AW_LIMIT_FORBIDDEN:
        return "a forbidden area";
    case AW_LIMIT_CROWDED:
        return "the next anchor";
    case AW_LIMIT_CARRIER:
        return "what it hangs by";
    case AW_LIMIT_MOUNT:
        return "the reach of its mount";
    default:
        return "the end of the search";
    }
}

static bool is_same(const aw_limit *a, aw_side s, const aw_limit *b, aw_side t)
{
    if (a->kind != AW_LIMIT_NEED || b->kind != AW_LIMIT_NEED)
        return a->kind == b->kind && strcmp(kind_words(a->kind, s), kind_words(b->kind, t)) == 0;
    return a->zone == b->zone && a->part == b->part;
}

static void add_cause(const aw_limit *l, aw_side side, const aw_scenario *s, aw_text *out)
{
    if (l->kind == AW_LIMIT_NEED)
        aw_text_format(out, "%s by %s", s->zones[l->zone].name, aw_part_rows[l->part].name);
    else
        aw_text_add(out, kind_words(l->kind, side));
}

/* One cause with all its sides, needs first; `told` marks what has been said. */
static void add_group(const aw_freedom *f, const aw_scenario *s, int first, bool told[AW_SIDES],
                      aw_text *out)
{
    int left = 0;
    for (int side = first; side < AW_SIDES; side++)
        left += is_same(&f->sides[first], (aw_side)first, &f->sides[side], (aw_side)side);
    add_cause(&f->sides[first], (aw_side)first, s, out);
    for (int side = first, said = 0; side < AW_SIDES; side++) {
        if (!is_same(&f->sides[first], (aw_side)first, &f->sides[side], (aw_side)side))
            continue;
        aw_text_format(out, "%s%s",
                       said++ == 0    ? " "
                       : said == left ? " and "
                                      : ", ",
                       aw_word("side", side_names[side]));
        told[side] = true;
    }
}

static void add_limits(const aw_freedom *f, const aw_scenario *s, aw_text *out)
{
    bool told[AW_SIDES] = {false}, any = false, cut = f->limiting_zone < s->n_zones;
    for (int needs = 1; needs >= 0; needs--)
        for (int side = 0; side < AW_SIDES; side++) {
            const aw_limit_kind kind = f->sides[side].kind;
            if (told[side] || kind == AW_LIMIT_REACH || (kind == AW_LIMIT_NEED) != (needs == 1))
                continue;
            aw_text_add(out, any ? "; " : "");
            add_group(f, s, side, told, out);
            any = true;
        }
    for (int side = 0; side < AW_SIDES; side++)
        cut = cut &&
              !(f->sides[side].kind == AW_LIMIT_NEED && f->sides[side].zone == f->limiting_zone);
    if (cut)
        aw_text_format(out, "%s%s at a corner", any ? "; " : "", s->zones[f->limiting_zone].name);
    else if (!any)
        aw_text_add(out, "nothing within reach");
}

void aw_left_out_words(const aw_freedoms *all, const aw_scenario *s, aw_text *out)
{
    const char *comma = "";
    for (size_t z = 0; z < s->n_zones; z++) {
        if (all->kept[z] || !aw_need_is_stated(&s->zones[z].need))
            continue;
        aw_text_format(out, "%s%s (", comma, s->zones[z].name);
        aw_reason_words(&all->today[z], out);
        aw_text_add(out, ")");
        comma = ", ";
    }
}

/* --- for people --- */

/* Behind how far it may go to side `item`. */
AW_WORDS(add_end_of_search)
{
    if (((const aw_freedom *)row->of)->sides[item].kind == AW_LIMIT_REACH)
        aw_text_add(out, "+");
}

AW_WORDS(add_ends)
{
    add_limits(row->of, ((const aw_report_run *)row->with)->scenario, out);
}

#define SIDE(name, item_)                                                                          \
    {                                                                                              \
        .key = "sides." name ".free_m", .format = AW_AS_PLACE, .words = add_end_of_search,         \
        .item = (item_)                                                                            \
    }
static const aw_column side_columns[] = {
    {.key = "name", .head = "anchor"},
    {.key = "at_m", .head = "at", .format = AW_AS_SPACE},
    SIDE("west", AW_SIDE_WEST),
    SIDE("east", AW_SIDE_EAST),
    SIDE("south", AW_SIDE_SOUTH),
    SIDE("north", AW_SIDE_NORTH),
    {.key = "area_m2", .format = AW_AS_AREA},
    {.head = "height", .format = AW_AS_PLACE, .low = "height_low_m", .high = "height_high_m"},
};
static const aw_listed sides = AW_LISTED(&aw_freedom_shape, "anchors", NULL, side_columns);

static const aw_column end_columns[] = {
    {.key = "name", .head = "anchor"},
    {.head = "what_ends_that", .words = add_ends},
};
static const aw_listed ends = AW_LISTED(&aw_freedom_shape, "anchors", NULL, end_columns);

/* --- all anchors together --- */

AW_WORDS(add_still)
{
    const aw_scenario *s = ((const aw_report_run *)row->with)->scenario;
    const aw_shared *shared = &((const aw_freedom *)row->of)->shared;
    if (shared->still == AW_STILL_ASKED)
        aw_text_add(out, "as asked");
    else if (shared->still == AW_STILL_NO_ROOM)
        aw_text_add(out, "no room of its own");
    if (shared->still == AW_STILL_NO_ROOM && shared->zone < s->n_zones)
        aw_text_add(out, ": ");
    if (shared->zone < s->n_zones)
        aw_text_add(out, s->zones[shared->zone].name);
    if (shared->part < AW_PARTS)
        aw_text_format(out, " by %s", aw_part_rows[shared->part].name);
}

static const aw_column shared_columns[] = {
    {.key = "name", .head = "anchor"},
    {.key = "together.half_m", .head = "to_every_side", .format = AW_AS_PLACE},
    {.head = "height",
     .format = AW_AS_PLACE,
     .low = "together.height_low_m",
     .high = "together.height_high_m"},
    {.head = "stands_still_for", .words = add_still, .blank = true},
};
static const aw_listed shared = AW_LISTED(&aw_freedom_shape, "anchors", NULL, shared_columns);

/* What needs have left, or that they are not held. */
static void add_left(const aw_freedoms *all, const aw_scenario *s, bool held, aw_text *out)
{
    bool any = false;
    for (size_t z = 0; z < s->n_zones; z++) {
        const aw_shared_need *need = &all->shared[z];
        if (!all->kept[z] || need->held != held)
            continue;
        aw_text_add(out, any    ? ", "
                         : held ? "Their needs have left: "
                                : "NOT HELD, since undecided as planned: ");
        aw_text_add(out, s->zones[z].name);
        if (held)
            aw_text_format(out, " %.2g %% (%s)", 100 * need->left, aw_part_rows[need->part].name);
        any = true;
    }
    aw_text_add(out, any ? ".\n" : "");
}

void aw_no_freedom_words(const aw_freedoms *all, const aw_scenario *s, aw_text *out)
{
    size_t least = s->n_zones;
    for (size_t i = 0; i < all->n; i++) {
        const size_t z = all->list[i].shared.zone;
        if (all->list[i].shared.still == AW_STILL_NEED && z < s->n_zones &&
            (least == s->n_zones || all->shared[z].left < all->shared[least].left))
            least = z;
    }
    aw_text_add(out, "No freedom together");
    if (least < s->n_zones)
        aw_text_format(out, ": %s has %.2g %% of its need left", s->zones[least].name,
                       100 * all->shared[least].left);
}

static void add_together(const aw_told_freedoms *t, aw_text *out)
{
    const aw_freedoms *all = t->all;
    aw_text_add(out, "All anchors together, each over what follows of its own region, or up and "
                     "down\n");
    add_left(all, t->run.scenario, true, out);
    add_left(all, t->run.scenario, false, out);
    aw_text_add(out, "\n");
    if (all->corners_met == 0) {
        aw_no_freedom_words(all, t->run.scenario, out);
        aw_text_add(out, ".\n\n");
    }
    aw_listed_write(&shared, &AW_DOCUMENT(*t), false, out);
    if (all->corners_met > 0)
        aw_text_format(out,
                       "%zu of %d simulations with all anchors at corners of these at once, each "
                       "with a seed of\nits own, met every need that moves touch.\n\n",
                       all->corners_met, AW_CORNER_DRAWS);
}

static void add_figure(const aw_limit *l, const aw_scenario *s, aw_text *out)
{
    const aw_part_row *row = &aw_part_rows[l->part];
    const aw_need *need = &s->zones[l->zone].need;
    const double asked = l->part == AW_PART_ODDS     ? s->study.odds
                         : l->part == AW_PART_CHANCE ? aw_need_chance(need, &s->study)
                                                     : aw_need_asks(need, l->part);
    const aw_part_result result = {.asked = asked, .found = l->found};
    aw_text_format(out, "%s %s%s", row->name, aw_part_words(&result, l->part, s->units).text,
                   l->in_hand                   ? ", and no cell in hand"
                   : l->verdict == AW_UNDECIDED ? ", too close to call"
                                                : "");
}

/* Whether an earlier side ends at the same place. */
static bool is_told(const aw_freedom *f, int side)
{
    for (int k = 0; k < side; k++)
        if (f->sides[k].kind == AW_LIMIT_NEED &&
            memcmp(f->sides[k].beyond, f->sides[side].beyond, sizeof f->sides[k].beyond) == 0)
            return true;
    return false;
}

/* What draws say of the first places that fail. */
static void add_failures(const aw_freedoms *all, const aw_scenario *s, aw_text *out)
{
    bool any = false;
    for (size_t i = 0; i < all->n; i++)
        for (int side = 0; side < AW_SIDES; side++) {
            const aw_limit *l = &all->list[i].sides[side];
            if (l->kind != AW_LIMIT_NEED || is_told(&all->list[i], side))
                continue;
            if (!any)
                aw_text_format(out, "The first places beyond (%s), by draws:\n",
                               aw_coordinate_unit(s->units));
            any = true;
            aw_text_format(out, "  %s at %s: %s, ", s->anchors[all->list[i].anchor].name,
                           aw_spot_figure(l->beyond, 3, s->units).text, s->zones[l->zone].name);
            add_figure(l, s, out);
            aw_text_add(out, "\n");
        }
    aw_text_add(out, any ? "\n" : "");
}

static void add_kept(const aw_freedoms *all, const aw_scenario *s, aw_text *out)
{
    aw_text left = {0};
    for (size_t z = 0; z < s->n_zones; z++)
        if (all->kept[z]) {
            aw_text_format(out, "Kept: %s, ", s->zones[z].name);
            aw_need_words(&s->zones[z].need, s->units, out);
            aw_text_add(out, all->today[z].verdict == AW_MET
                                 ? "\n"
                                 : " (by its value; undecided as planned)\n");
        }
    aw_left_out_words(all, s, &left);
    if (left.n > 0)
        aw_text_format(out, "NOT KEPT, since not met with the anchors as planned: %s\n", left.at);
    aw_text_add(out, "\n");
    out->failed = out->failed || left.failed;
    aw_text_free(&left);
}

void aw_freedom_table(const aw_freedoms *all, const aw_scenario *s, const char *file, aw_text *out)
{
    const aw_told_freedoms t = {{s, file}, all};
    aw_title_words(s, file, out);
    const size_t from = out->n;
    aw_text_format(out, "each anchor by itself, up to %s from its place in squares of %s; ",
                   aw_coordinate_words("%.2g", all->reach, s->units).text,
                   aw_coordinate_words("%.2g", all->step, s->units).text);
    aw_run_words(s, out);
    add_kept(all, s, out);
    if (all->n_kept == 0)
        aw_text_add(out,
                    "No zone's need is stated and met as planned, so no anchor is looked at.\n");
    else {
        aw_listed_write(&sides, &AW_DOCUMENT(t), false, out);
        aw_listed_write(&ends, &AW_DOCUMENT(t), false, out);
        add_failures(all, s, out);
        if (all->together)
            add_together(&t, out);
        aw_text_add(out, "+ is the end of the search. One anchor at a time: over the region at "
                         "its own height, or up\nand down at its own place, not both. Linear "
                         "estimates set to the draws; the border was drawn.\n"
                         "Work at height is for licensed people under local rules.\n");
    }
    aw_bench_warning(s, out);
    aw_caution(out);
    aw_isolate_names(out, from);
}

static bool is_limited(const aw_freedom *f, int *side)
{
    *side = AW_SIDES;
    for (int k = 0; k < AW_SIDES; k++)
        if (f->sides[k].kind == AW_LIMIT_NEED &&
            (*side == AW_SIDES || f->sides[k].distance < f->sides[*side].distance))
            *side = k;
    return *side < AW_SIDES;
}

void aw_freedom_headline(const aw_freedoms *all, const aw_scenario *s, aw_text *out)
{
    const size_t from = out->n;
    const aw_freedom *tightest = NULL;
    size_t open = 0, still = 0;
    int side = AW_SIDES, nearest = AW_SIDES;
    for (size_t i = 0; i < all->n; i++) {
        const aw_freedom *f = &all->list[i];
        const bool limited = is_limited(f, &side);
        open += !limited;
        still += f->shared.half == 0;
        if (limited &&
            (tightest == NULL || f->sides[side].distance < tightest->sides[nearest].distance)) {
            tightest = f;
            nearest = side;
        }
    }
    if (all->n == 0)
        aw_text_add(out, "No need is stated and met, so there is nothing to keep.");
    else if (all->together)
        aw_text_format(out, "%zu of %zu anchors may be off their places, all at once.",
                       all->n - still, all->n);
    else if (open == all->n)
        aw_text_format(out, "%s may hang anywhere that was searched: no need ends it.",
                       all->n == 1 ? s->anchors[all->list[0].anchor].name : "Every anchor");
    else
        aw_text_format(out, "No need limits %zu of %zu anchors.", open, all->n);
    if (tightest != NULL && !all->together)
        aw_text_format(out, " %s is the tightest: %s, then %s fails.",
                       s->anchors[tightest->anchor].name,
                       aw_distance_words(tightest->sides[nearest].distance, s->units).text,
                       s->zones[tightest->sides[nearest].zone].name);
    aw_isolate_names(out, from);
}
