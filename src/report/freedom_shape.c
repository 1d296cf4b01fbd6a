/* Freedom to mount, for programs. */
#include <math.h>

#include "anchorwise.h"
#include "report/parts.h"
#include "report/told.h"

typedef aw_told_freedoms told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

/* --- a side --- */

static const char *const ends[] = {
    [AW_LIMIT_REACH] = "reach",     [AW_LIMIT_OUTLINE] = "outline",
    [AW_LIMIT_FILLED] = "obstacle", [AW_LIMIT_FORBIDDEN] = "forbidden",
    [AW_LIMIT_CROWDED] = "anchor",  [AW_LIMIT_CARRIER] = "carrier",
    [AW_LIMIT_MOUNT] = "mount",     [AW_LIMIT_NEED] = "need",
    [AW_LIMIT_NEED + 1] = NULL};

AW_GETTER(get_end)
{
    v->text = ends[((const aw_limit *)s->of)->kind];
    return true;
}

AW_GETTER(get_zone_of_limit)
{
    const aw_limit *l = s->of;
    v->text = l->kind == AW_LIMIT_NEED ? told_of(s)->run.scenario->zones[l->zone].name : NULL;
    return true;
}

AW_GETTER(get_part)
{
    const aw_limit *l = s->of;
    v->text = l->kind == AW_LIMIT_NEED ? aw_part_rows[l->part].key : NULL;
    return true;
}

static const aw_member limit_members[] = {
    AW_NUMBER("free_m", aw_limit, distance, "m", "how far the anchor may go"),
    AW_WORD("ends_by", get_end, ends, "what ends it; reach: nothing that was looked at"),
    AW_NUMBERS("beyond_m", aw_limit, beyond, 3, "m", "the first place that does not do"),
    AW_GOT("zone", TEXT, get_zone_of_limit, "", "the zone whose need fails there"),
    AW_GOT("part", TEXT, get_part, "", "the part of it that fails, by its key"),
    AW_NUMBER("found", aw_limit, found.value, "", "that part's value there"),
    AW_NUMBER("found_low", aw_limit, found.low, "", "lower end of its 95 % simulation interval"),
    AW_NUMBER("found_high", aw_limit, found.high, "", "upper end"),
    AW_VERDICT("met", aw_limit, verdict, "whether that part is met there; null: undecided"),
    AW_TRUTH("lacks_cell_in_hand", aw_limit, in_hand,
             "whether it holds, but without the cell to spare that it has as planned"),
};
static const aw_shape limit_shape =
    AW_SHAPE("side", "How far an anchor may go to one side", limit_members);

AW_GETTER(get_side)
{
    v->object = (aw_subject){&((const aw_freedom *)s->of)->sides[i], s->with, s->i, 0};
    return true;
}

#define SIDE(key, side) AW_WHICH_OBJECT(key, get_side, side, &limit_shape, "to that side")
static const aw_member sides_members[] = {SIDE("east", AW_SIDE_EAST), SIDE("north", AW_SIDE_NORTH),
                                          SIDE("west", AW_SIDE_WEST), SIDE("south", AW_SIDE_SOUTH),
                                          SIDE("up", AW_SIDE_UP),     SIDE("down", AW_SIDE_DOWN)};
static const aw_shape sides_shape = AW_SHAPE("sides", "All sides of an anchor", sides_members);

/* --- an anchor --- */

static const aw_anchor *anchor_of(const aw_subject *s)
{
    return &told_of(s)->run.scenario->anchors[((const aw_freedom *)s->of)->anchor];
}

AW_GETTER(get_name)
{
    v->text = anchor_of(s)->name;
    return true;
}

AW_GETTER(get_at)
{
    v->numbers = anchor_of(s)->at;
    v->n = 3;
    return true;
}

/* A region, or what is left of it while all move, as rectangles, each a run of squares of one row:
 * [x0, y0, x1, y1]. */
enum { WHOLE, SHARED };

static bool is_in(const aw_subject *s, size_t x, size_t y, int which)
{
    const aw_freedom *f = s->of;
    return which == SHARED ? aw_freedom_shares(told_of(s)->all, f, x, y) : f->square[y][x];
}

static void set_corner(double out[2], const aw_subject *s, size_t x, size_t y, int which)
{
    const aw_freedoms *all = told_of(s)->all;
    const aw_point p = which == SHARED
                           ? aw_freedom_shared_corner(all, s->of, anchor_of(s)->at, x, y)
                           : aw_freedom_corner(all, anchor_of(s)->at, x, y);
    out[0] = p.x;
    out[1] = p.y;
}

static bool find_box(const aw_subject *s, size_t i, int which, aw_value *v)
{
    for (size_t y = 0; y < AW_FREEDOM_SQUARES; y++)
        for (size_t x = 0, end; x < AW_FREEDOM_SQUARES; x = end + 1) {
            for (end = x; end < AW_FREEDOM_SQUARES && is_in(s, end, y, which);)
                end++;
            if (end == x || i-- > 0)
                continue;
            set_corner(v->own, s, x, y, which);
            set_corner(v->own + 2, s, end, y + 1, which);
            v->numbers = v->own;
            v->n = 4;
            return true;
        }
    return false;
}

AW_GETTER(get_box)
{
    return find_box(s, i, WHOLE, v);
}

AW_GETTER(get_shared_box)
{
    return find_box(s, i, SHARED, v);
}

AW_GETTER(get_cut)
{
    const aw_freedom *f = s->of;
    const aw_scenario *all = told_of(s)->run.scenario;
    v->text = f->limiting_zone < all->n_zones ? all->zones[f->limiting_zone].name : NULL;
    return true;
}

AW_GETTER(get_sides)
{
    v->object = *s;
    return true;
}

/* --- an anchor while all move --- */

static const char *const stills[] = {[AW_STILL_NOT] = "nothing",
                                     [AW_STILL_ASKED] = "asked",
                                     [AW_STILL_NO_ROOM] = "no_room",
                                     [AW_STILL_NEED] = "need",
                                     [AW_STILL_NEED + 1] = NULL};

AW_GETTER(get_still)
{
    v->text = stills[((const aw_freedom *)s->of)->shared.still];
    return true;
}

AW_GETTER(get_still_zone)
{
    const aw_scenario *all = told_of(s)->run.scenario;
    const size_t zone = ((const aw_freedom *)s->of)->shared.zone;
    v->text = zone < all->n_zones ? all->zones[zone].name : NULL;
    return true;
}

AW_GETTER(get_still_part)
{
    const aw_part part = ((const aw_freedom *)s->of)->shared.part;
    v->text = part < AW_PARTS ? aw_part_rows[part].key : NULL;
    return true;
}

enum { LOWEST, HIGHEST };

AW_GETTER(get_shared_height)
{
    const aw_freedom *f = s->of;
    const double own = anchor_of(s)->at[2], half = f->shared.half;
    v->number = i == LOWEST ? fmax(f->low, own - half) : fmin(f->high, own + half);
    return true;
}

static const aw_member shared_members[] = {
    AW_NUMBER("half_m", aw_freedom, shared.half, "m",
              "so far to every side, where its own region goes that far; 0: it stands still"),
    AW_GOT("region_m", ROWS, get_shared_box, "m",
           "where it may hang at its height: rectangles x0, y0, x1, y1"),
    AW_WHICH("height_low_m", NUMBER, get_shared_height, LOWEST, "m",
             "lowest height at its own place"),
    AW_WHICH("height_high_m", NUMBER, get_shared_height, HIGHEST, "m", "highest height there"),
    AW_WORD(
        "held_by", get_still, stills,
        "what makes it stand still; no_room: its own region is none; need: under 5 cm are left"),
    AW_GOT("zone", TEXT, get_still_zone, "", "the zone whose need that is"),
    AW_GOT("part", TEXT, get_still_part, "", "the part of it, by its key"),
};
static const aw_shape shared_shape =
    AW_SHAPE("shared_anchor", "Where an anchor may hang while all move", shared_members);

AW_GETTER(get_shared)
{
    if (!told_of(s)->all->together)
        return false;
    v->object = *s;
    return true;
}

static const aw_member anchor_members[] = {
    AW_GOT("name", TEXT, get_name, "", "its name"),
    AW_GOT("at_m", NUMBERS, get_at, "m", "x, y, height as planned"),
    AW_GOT("region_m", ROWS, get_box, "m",
           "where it may hang at its height: rectangles x0, y0, x1, y1"),
    AW_NUMBER("area_m2", aw_freedom, area, "m²", "area of that"),
    AW_GOT("cut_by", TEXT, get_cut, "", "the zone whose need ends the region somewhere"),
    AW_NUMBER("height_low_m", aw_freedom, low, "m", "lowest height at its own place"),
    AW_NUMBER("height_high_m", aw_freedom, high, "m", "highest height there"),
    AW_OBJECT("sides", get_sides, &sides_shape, "how far it may go to each side"),
    AW_MAY("together", OBJECT, get_shared, 0, &shared_shape,
           "where it may hang while all move; only with --together"),
};
static const aw_shape anchor_shape =
    AW_SHAPE("free_anchor", "Where an anchor may hang", anchor_members);

AW_GETTER(get_anchor)
{
    const told *t = s->of;
    if (i >= t->all->n)
        return false;
    v->object = (aw_subject){&t->all->list[i], t, i, 0};
    return true;
}

/* --- the document --- */

AW_GETTER(get_kept)
{
    v->truth = told_of(s)->all->kept[s->i];
    return true;
}

/* --- what a need shares out --- */

static const aw_shared_need *need_of(const aw_subject *s)
{
    return &told_of(s)->all->shared[s->i];
}

AW_GETTER(get_held)
{
    v->truth = need_of(s)->held;
    return true;
}

AW_GETTER(get_left)
{
    v->number = need_of(s)->left;
    return true;
}

AW_GETTER(get_left_part)
{
    v->text = need_of(s)->part < AW_PARTS ? aw_part_rows[need_of(s)->part].key : NULL;
    return true;
}

static const aw_member need_members[] = {
    AW_GOT("held", TRUTH, get_held, "", "whether it is met as planned, so that it is held"),
    AW_GOT("left_share", NUMBER, get_left, "share",
           "what is left of what is asked by its tightest part: of a length, or of what a share "
           "may lack"),
    AW_GOT("part", TEXT, get_left_part, "", "that part, by its key"),
};
static const aw_shape need_shape =
    AW_SHAPE("shared_need", "What a need has left for all anchors together", need_members);

AW_GETTER(get_need)
{
    if (!told_of(s)->all->together)
        return false;
    v->object = *s;
    return true;
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_GOT("kept", TRUTH, get_kept, "", "whether its need holds as planned, so that it is kept"),
    AW_VERDICT("met_as_planned", aw_zone_result, verdict,
               "whether it is met as planned; null: undecided, or none is stated"),
    AW_PARTS_MEMBER(aw_zone_result, ),
    AW_MAY("together", OBJECT, get_need, 0, &need_shape,
           "what its need has left to share; only with --together"),
};
static const aw_shape zone_shape = AW_SHAPE("kept_zone", "A zone of which is kept", zone_members);

AW_GETTER(get_zone)
{
    const told *t = s->of;
    if (i >= t->run.scenario->n_zones)
        return false;
    v->object = (aw_subject){&t->all->today[i], t, i, 0};
    return true;
}

AW_GETTER(get_reach)
{
    v->number = told_of(s)->all->reach;
    return true;
}

AW_GETTER(get_step)
{
    v->number = told_of(s)->all->step;
    return true;
}

AW_GETTER(get_corners)
{
    v->count = told_of(s)->all->corners_met;
    return told_of(s)->all->together;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_GOT("reach_m", NUMBER, get_reach, "m", "how far was looked"),
    AW_GOT("step_m", NUMBER, get_step, "m", "side of a square of the region"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
    AW_LIST("anchors", get_anchor, &anchor_shape, "the anchors that were looked at"),
    AW_MAY("corners_met", COUNT, get_corners, 0, NULL,
           "of 200 draws of all anchors at corners of what they share, those in which every need "
           "that they touch was met; 0: all stand still; only with --together"),
    AW_RUN_END,
};
const aw_shape aw_freedom_shape = AW_SHAPE("freedom", "Freedom to mount", members);

void aw_freedom_json(const aw_freedoms *all, const aw_scenario *s, const char *file, aw_text *out)
{
    const told t = {{s, file}, all};
    aw_document_json(&aw_freedom_shape, &AW_DOCUMENT(t), out);
}
