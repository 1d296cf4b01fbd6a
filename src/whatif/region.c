/* From good and bad samples to squares, sides and reasons. */
#include "whatif/region.h"

#include <math.h>
#include <string.h>

#include "anchorwise/candidates.h"
#include "anchorwise/cost.h"
#include "anchorwise/level.h"
#include "base/plane.h"
#include "place/mountable.h"

/* Places looked at along a side of a square for what stands between its samples. */
#define BETWEEN 4
/* A place this near to the outline is on it, m. */
#define ON 1e-6
/* How far an anchor hangs off what carries it, m. */
#define BY     0.5
#define MIDDLE AW_FREEDOM_STEPS

size_t aw_slot_corner(size_t i, size_t j)
{
    return j * AW_CORNERS + i;
}

size_t aw_slot_centre(size_t i, size_t j)
{
    return AW_CORNERS * AW_CORNERS + j * AW_FREEDOM_SQUARES + i;
}

size_t aw_slot_height(bool up, size_t k)
{
    return AW_SLOTS - (up ? 2u : 1u) * AW_FREEDOM_STEPS + k - 1;
}

size_t aw_slot_own(void)
{
    return aw_slot_corner(MIDDLE, MIDDLE);
}

/* --- samples --- */

/* Inside or on the line: which side of it a border counts to is not told by the plan. */
static bool is_on_floor(const aw_polygon *outline, aw_point p)
{
    return aw_polygon_holds(outline, p.x, p.y) || aw_polygon_edge_distance(outline, p) <= ON;
}

static double off_stretch(aw_point p, aw_point a, aw_point b)
{
    const double x = b.x - a.x, y = b.y - a.y, length2 = x * x + y * y;
    const double t = length2 > 0 ? ((p.x - a.x) * x + (p.y - a.y) * y) / length2 : 0;
    const double k = fmin(fmax(t, 0), 1);
    return aw_length(p.x - a.x - k * x, p.y - a.y - k * y);
}

/* Whether p hangs by a stretch by which `own` does. */
static bool shares(aw_point p, aw_point own, aw_point a, aw_point b, double off)
{
    return off_stretch(own, a, b) <= BY + off + ON && off_stretch(p, a, b) <= BY + off + ON;
}

/* Whether a place hangs by some outline, wall or line of candidates by which another does. */
static bool hangs_by_same(const aw_scenario *s, aw_point p, aw_point own)
{
    const aw_polygon *o = &s->floor.outline;
    for (size_t i = 0; i < o->n; i++)
        if (shares(p, own, o->at[i], o->at[(i + 1) % o->n], 0))
            return true;
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            if (shares(p, own, s->walls[i].path[k], s->walls[i].path[k + 1],
                       s->walls[i].thickness / 2))
                return true;
    for (size_t i = 0; i < s->candidates.n_lines; i++) {
        const aw_candidate_line *l = &s->candidates.lines[i];
        for (size_t k = 0; k + 1 < l->n; k++)
            if (shares(p, own, l->path[k], l->path[k + 1], fabs(l->left_offset)))
                return true;
    }
    return false;
}

static aw_limit_kind find_block(const aw_samples *x, const double at[3])
{
    const aw_scenario *s = x->scenario;
    const double *own = s->anchors[x->anchor].at;
    const aw_point p = {at[0], at[1]};
    if (!is_on_floor(&s->floor.outline, p) || at[2] < aw_ground_at(s, p.x, p.y) - ON ||
        at[2] > s->floor.ceiling + ON)
        return AW_LIMIT_OUTLINE;
    if (aw_is_filled(s, p, at[2]))
        return AW_LIMIT_FILLED;
    if (aw_is_forbidden(s, at))
        return AW_LIMIT_FORBIDDEN;
    if (x->carried && !hangs_by_same(s, p, (aw_point){own[0], own[1]}))
        return AW_LIMIT_CARRIER;
    if (x->in_reach && isnan(aw_anchor_price(s, at)))
        return AW_LIMIT_MOUNT;
    return aw_is_crowded(s, p, at[2], x->anchor) ? AW_LIMIT_CROWDED : AW_LIMIT_REACH;
}

static void set_slot(aw_samples *x, size_t slot, double dx, double dy, double dz)
{
    const double *own = x->scenario->anchors[x->anchor].at;
    const double at[3] = {own[0] + dx * x->step, own[1] + dy * x->step, own[2] + dz * x->step};
    memcpy(x->at[slot], at, sizeof at);
    x->blocked[slot] = slot == aw_slot_own() ? AW_LIMIT_REACH : find_block(x, at);
}

static aw_limit_kind find_rough(const aw_samples *x, size_t i, size_t j)
{
    const double *low = x->at[aw_slot_corner(i, j)];
    for (size_t a = 0; a <= BETWEEN; a++)
        for (size_t b = 0; b <= BETWEEN; b++) {
            const double at[3] = {low[0] + x->step * (double)a / BETWEEN,
                                  low[1] + x->step * (double)b / BETWEEN, low[2]};
            const bool own =
                hypot(at[0] - x->at[aw_slot_own()][0], at[1] - x->at[aw_slot_own()][1]) < 1e-9;
            const aw_limit_kind kind = own ? AW_LIMIT_REACH : find_block(x, at);
            if (kind != AW_LIMIT_REACH)
                return kind;
        }
    return AW_LIMIT_REACH;
}

void aw_samples_lay(aw_samples *x, const aw_scenario *s, size_t anchor, double step)
{
    x->scenario = s;
    x->anchor = anchor;
    x->step = step;
    const double *own = s->anchors[anchor].at;
    const aw_point p = {own[0], own[1]};
    x->carried = hangs_by_same(s, p, p);
    x->in_reach = aw_has_prices(s) && !isnan(aw_anchor_price(s, own));
    for (size_t j = 0; j < AW_CORNERS; j++)
        for (size_t i = 0; i < AW_CORNERS; i++)
            set_slot(x, aw_slot_corner(i, j), (double)i - MIDDLE, (double)j - MIDDLE, 0);
    for (size_t j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (size_t i = 0; i < AW_FREEDOM_SQUARES; i++)
            set_slot(x, aw_slot_centre(i, j), (double)i + 0.5 - MIDDLE, (double)j + 0.5 - MIDDLE,
                     0);
    for (size_t k = 1; k <= AW_FREEDOM_STEPS; k++) {
        set_slot(x, aw_slot_height(true, k), 0, 0, (double)k);
        set_slot(x, aw_slot_height(false, k), 0, 0, -(double)k);
    }
    for (size_t j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (size_t i = 0; i < AW_FREEDOM_SQUARES; i++)
            x->rough[j][i] = find_rough(x, i, j);
}

/* How much too much a sample uses of a zone's need, 0 if it keeps to it. */
static double offence_of(const aw_samples *x, size_t zone, size_t slot)
{
    const double share = x->uses[zone * AW_SLOTS + slot].share, level = x->level[zone];
    const aw_drawn drawn = (aw_drawn)x->drawn[zone * AW_SLOTS + slot];
    if (!x->kept[zone] || drawn == AW_DRAWN_HOLDS || (drawn == AW_DRAWN_NOT && share <= level))
        return 0;
    return isfinite(share) && isfinite(level) ? fmax(share / level, 1) : HUGE_VAL;
}

size_t aw_sample_offends(const aw_samples *x, size_t slot)
{
    size_t worst = x->scenario->n_zones;
    double most = 0;
    for (size_t z = 0; z < x->scenario->n_zones; z++)
        if (offence_of(x, z, slot) > most) {
            worst = z;
            most = offence_of(x, z, slot);
        }
    return worst;
}

bool aw_sample_is_good(const aw_samples *x, size_t slot)
{
    return x->blocked[slot] == AW_LIMIT_REACH && aw_sample_offends(x, slot) == x->scenario->n_zones;
}

/* --- squares --- */

static void list_slots(size_t i, size_t j, size_t slots[5])
{
    const size_t list[5] = {aw_slot_corner(i, j), aw_slot_corner(i + 1, j),
                            aw_slot_corner(i, j + 1), aw_slot_corner(i + 1, j + 1),
                            aw_slot_centre(i, j)};
    memcpy(slots, list, sizeof list);
}

static bool is_good_square(const aw_samples *x, size_t i, size_t j)
{
    size_t slots[5];
    list_slots(i, j, slots);
    for (int k = 0; k < 5; k++)
        if (!aw_sample_is_good(x, slots[k]))
            return false;
    return x->rough[j][i] == AW_LIMIT_REACH;
}

/* Whether nothing but a need keeps an anchor from a square. */
static bool fails_by_need(const aw_samples *x, size_t i, size_t j)
{
    size_t slots[5];
    bool all = true;
    list_slots(i, j, slots);
    for (int k = 0; k < 5; k++) {
        if (x->blocked[slots[k]] != AW_LIMIT_REACH)
            return false;
        all = all && aw_sample_is_good(x, slots[k]);
    }
    return !all && x->rough[j][i] == AW_LIMIT_REACH;
}

/* Whether a square touches one that is taken already. */
static bool is_joined(const aw_freedom *f, size_t i, size_t j)
{
    const size_t last = AW_FREEDOM_SQUARES - 1;
    return (i > 0 && f->square[j][i - 1]) || (i < last && f->square[j][i + 1]) ||
           (j > 0 && f->square[j - 1][i]) || (j < last && f->square[j + 1][i]);
}

/* The zone whose need fails in a square beside the region, the first one there is. */
static size_t find_cut(const aw_freedom *f, const aw_samples *x)
{
    size_t slots[5];
    for (size_t j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (size_t i = 0; i < AW_FREEDOM_SQUARES; i++) {
            list_slots(i, j, slots);
            for (int k = 0; k < 5 && f->fails[j][i] && is_joined(f, i, j); k++)
                if (!aw_sample_is_good(x, slots[k]))
                    return aw_sample_offends(x, slots[k]);
        }
    return x->scenario->n_zones;
}

static bool is_middle(size_t i, size_t j)
{
    return (i == MIDDLE || i == MIDDLE - 1) && (j == MIDDLE || j == MIDDLE - 1);
}

/* Grows from the middle four until nothing more is joined. */
static void fill_squares(aw_freedom *f, const aw_samples *x)
{
    bool grown = true;
    memset(f->square, 0, sizeof f->square);
    f->area = 0;
    while (grown) {
        grown = false;
        for (size_t j = 0; j < AW_FREEDOM_SQUARES; j++)
            for (size_t i = 0; i < AW_FREEDOM_SQUARES; i++)
                if (!f->square[j][i] && (is_middle(i, j) || is_joined(f, i, j)) &&
                    is_good_square(x, i, j)) {
                    f->square[j][i] = grown = true;
                    f->area += x->step * x->step;
                }
    }
}

/* --- sides --- */

/* Number k from 1 outwards of the two squares along a side's axis, the one at its left first. */
static void side_squares(aw_side side, size_t k, size_t square[2][2])
{
    const size_t out = MIDDLE + k - 1, in = MIDDLE - k;
    for (size_t across = 0; across < 2; across++) {
        const size_t near = MIDDLE - across;
        square[across][0] = side == AW_SIDE_EAST ? out : side == AW_SIDE_WEST ? in : near;
        square[across][1] = side == AW_SIDE_NORTH ? out : side == AW_SIDE_SOUTH ? in : near;
    }
}

/* Slot k steps out along a side. */
static size_t side_slot(aw_side side, size_t k)
{
    if (side == AW_SIDE_UP || side == AW_SIDE_DOWN)
        return k > 0 ? aw_slot_height(side == AW_SIDE_UP, k) : aw_slot_own();
    return side == AW_SIDE_EAST    ? aw_slot_corner(MIDDLE + k, MIDDLE)
           : side == AW_SIDE_WEST  ? aw_slot_corner(MIDDLE - k, MIDDLE)
           : side == AW_SIDE_NORTH ? aw_slot_corner(MIDDLE, MIDDLE + k)
                                   : aw_slot_corner(MIDDLE, MIDDLE - k);
}

static bool goes_on(const aw_freedom *f, const aw_samples *x, aw_side side, size_t k)
{
    size_t square[2][2];
    if (side == AW_SIDE_UP || side == AW_SIDE_DOWN)
        return aw_sample_is_good(x, side_slot(side, k));
    side_squares(side, k, square);
    return f->square[square[0][1]][square[0][0]] || f->square[square[1][1]][square[1][0]];
}

/* Sets what is wrong with a sample; false if nothing is, or if needs are asked for and it is not
 * one. */
static bool blame(aw_limit *limit, const aw_samples *x, size_t slot, bool needs)
{
    const aw_limit_kind kind = x->blocked[slot];
    if (aw_sample_is_good(x, slot) || (needs && kind != AW_LIMIT_REACH))
        return false;
    memcpy(limit->beyond, x->at[slot], sizeof limit->beyond);
    limit->kind = kind != AW_LIMIT_REACH ? kind : AW_LIMIT_NEED;
    if (limit->kind == AW_LIMIT_NEED) {
        limit->zone = aw_sample_offends(x, slot);
        limit->part = x->uses[limit->zone * AW_SLOTS + slot].part;
    }
    return true;
}

/* The next sample on the axis if it is bad; else a sample of the two next squares, a need first;
 * else what stands between these. */
static void blame_squares(aw_limit *limit, const aw_samples *x, aw_side side, size_t k)
{
    size_t square[2][2], slots[5];
    if (blame(limit, x, side_slot(side, k), false))
        return;
    memcpy(limit->beyond, x->at[side_slot(side, k)], sizeof limit->beyond);
    if (side == AW_SIDE_UP || side == AW_SIDE_DOWN)
        return;
    side_squares(side, k, square);
    for (int needs = 1; needs >= 0; needs--)
        for (int across = 0; across < 2; across++) {
            list_slots(square[across][0], square[across][1], slots);
            for (int i = 0; i < 5; i++)
                if (blame(limit, x, slots[i], needs))
                    return;
        }
    for (int across = 0; across < 2 && limit->kind == AW_LIMIT_REACH; across++)
        limit->kind = x->rough[square[across][1]][square[across][0]];
}

static void fill_side(aw_freedom *f, const aw_samples *x, aw_side side)
{
    aw_limit *limit = &f->sides[side];
    const double none = (double)NAN;
    size_t k = 1;
    while (k <= AW_FREEDOM_STEPS && goes_on(f, x, side, k))
        k++;
    *limit = (aw_limit){.kind = AW_LIMIT_REACH,
                        .distance = (double)(k - 1) * x->step,
                        .beyond = {none, none, none},
                        .part = AW_PARTS,
                        .found = {none, none, none},
                        .verdict = AW_NO_NEED};
    if (k <= AW_FREEDOM_STEPS)
        blame_squares(limit, x, side, k);
}

void aw_region_fill(aw_freedom *f, const aw_samples *x)
{
    const double height = x->scenario->anchors[x->anchor].at[2];
    f->anchor = x->anchor;
    fill_squares(f, x);
    for (size_t j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (size_t i = 0; i < AW_FREEDOM_SQUARES; i++)
            f->fails[j][i] = !f->square[j][i] && fails_by_need(x, i, j);
    f->limiting_zone = find_cut(f, x);
    for (int side = 0; side < AW_SIDES; side++)
        fill_side(f, x, (aw_side)side);
    f->low = height - f->sides[AW_SIDE_DOWN].distance;
    f->high = height + f->sides[AW_SIDE_UP].distance;
}

size_t aw_region_last(const aw_freedom *f, aw_side side, double step)
{
    return side_slot(side, (size_t)lround(f->sides[side].distance / step));
}
