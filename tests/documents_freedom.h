/* What freedom prints, line by line. */
#ifndef AW_TESTS_DOCUMENTS_FREEDOM_H
#define AW_TESTS_DOCUMENTS_FREEDOM_H

#include "documents_site.h"

static void say_freedom(aw_text *out)
{
    aw_freedom_json(&all.freedoms, &all.s, "a.yaml", out);
}

static void hold_sides(document *d, size_t i)
{
    static const char *const sides[] = {"east", "north", "west", "south", "up", "down"};
    static const char *const ends[] = {
        [AW_LIMIT_REACH] = "reach",     [AW_LIMIT_OUTLINE] = "outline",
        [AW_LIMIT_FILLED] = "obstacle", [AW_LIMIT_FORBIDDEN] = "forbidden",
        [AW_LIMIT_CROWDED] = "anchor",  [AW_LIMIT_CARRIER] = "carrier",
        [AW_LIMIT_MOUNT] = "mount",     [AW_LIMIT_NEED] = "need"};
    char p[96];
    for (int side = 0; side < AW_SIDES; side++) {
        const aw_limit *l = &all.freedoms.list[i].sides[side];
        const bool need = l->kind == AW_LIMIT_NEED;
#define SIDE(key) (snprintf(p, sizeof p, "anchors.%zu.sides.%s.%s", i, sides[side], key), p)
        number(d, SIDE("free_m"), l->distance);
        text(d, SIDE("ends_by"), ends[l->kind]);
        numbers(d, SIDE("beyond_m"), l->beyond, 3);
        text(d, SIDE("zone"), need ? all.s.zones[l->zone].name : NULL);
        text(d, SIDE("part"), need ? aw_part_rows[l->part].key : NULL);
        number(d, SIDE("found"), l->found.value);
        number(d, SIDE("found_low"), l->found.low);
        number(d, SIDE("found_high"), l->found.high);
        truth(d, SIDE("met"), met(l->verdict));
        truth(d, SIDE("lacks_cell_in_hand"), l->in_hand);
    }
}

/* The boxes cover as many squares as the region has, and each lies in it. */
static void hold_region(document *d, size_t i)
{
    const aw_freedom *f = &all.freedoms.list[i];
    const json_t *boxes = find(d, at("anchors.%zu.%s", i, "region_m"));
    size_t squares = 0, k;
    json_t *box;
    double area = 0;
    for (size_t y = 0; y < AW_FREEDOM_SQUARES; y++)
        for (size_t x = 0; x < AW_FREEDOM_SQUARES; x++)
            squares += f->square[y][x];
    json_array_foreach(boxes, k, box)
    {
        double c[4];
        for (size_t n = 0; n < 4; n++)
            c[n] = json_number_value(json_array_get(box, n));
        area += (c[2] - c[0]) * (c[3] - c[1]);
        if (!aw_freedom_holds(&all.freedoms, f, &all.s,
                              (aw_point){(c[0] + c[2]) / 2, (c[1] + c[3]) / 2}))
            complain(d, "region_m", "holds what the region does not");
    }
    note(d, at("anchors.%zu.region_m.%s", i, "0.0"));
    if (fabs(area - (double)squares * all.freedoms.step * all.freedoms.step) > 1e-9)
        complain(d, "region_m", "has another area");
}

/* The area of a region within a square of so many m to every side of the anchor's place. */
static double area_within(const aw_freedom *f, double half)
{
    const double step = all.freedoms.step;
    double area = 0;
    for (int y = 0; y < AW_FREEDOM_SQUARES; y++)
        for (int x = 0; x < AW_FREEDOM_SQUARES; x++) {
            const double west = (x - AW_FREEDOM_STEPS) * step,
                         south = (y - AW_FREEDOM_STEPS) * step;
            const double wide = fmin(west + step, half) - fmax(west, -half),
                         deep = fmin(south + step, half) - fmax(south, -half);
            area += f->square[y][x] ? fmax(wide, 0) * fmax(deep, 0) : 0;
        }
    return area;
}

/* What an anchor shares: its boxes lie in its own region and within its size. */
static void hold_shared(document *d, size_t i)
{
    static const char *const stills[] = {[AW_STILL_NOT] = "nothing",
                                         [AW_STILL_ASKED] = "asked",
                                         [AW_STILL_NO_ROOM] = "no_room",
                                         [AW_STILL_NEED] = "need"};
    const aw_freedom *f = &all.freedoms.list[i];
    const aw_shared *shared = &f->shared;
    const double *own = all.s.anchors[f->anchor].at;
#define SHARED(key) at("anchors.%zu.together.%s", i, key)
    number(d, SHARED("half_m"), shared->half);
    number(d, SHARED("height_low_m"), fmax(f->low, own[2] - shared->half));
    number(d, SHARED("height_high_m"), fmin(f->high, own[2] + shared->half));
    text(d, SHARED("held_by"), stills[shared->still]);
    text(d, SHARED("zone"), shared->zone < 3 ? all.s.zones[shared->zone].name : NULL);
    text(d, SHARED("part"), shared->part < AW_PARTS ? aw_part_rows[shared->part].key : NULL);
    const json_t *boxes = find(d, SHARED("region_m"));
    double area = 0;
    size_t k;
    json_t *box;
    if (shared->half > 0)
        note(d, at("anchors.%zu.together.region_m.%s", i, "0.0"));
    json_array_foreach(boxes, k, box)
    {
        double c[4];
        for (size_t n = 0; n < 4; n++)
            c[n] = json_number_value(json_array_get(box, n));
        area += (c[2] - c[0]) * (c[3] - c[1]);
        const bool near = c[0] >= own[0] - shared->half - 1e-9 &&
                          c[2] <= own[0] + shared->half + 1e-9 &&
                          c[1] >= own[1] - shared->half - 1e-9 &&
                          c[3] <= own[1] + shared->half + 1e-9 && c[0] < c[2] && c[1] < c[3];
        if (!near || !aw_freedom_holds(&all.freedoms, f, &all.s,
                                       (aw_point){(c[0] + c[2]) / 2, (c[1] + c[3]) / 2}))
            complain(d, "together.region_m", "holds what is not shared");
    }
    if (fabs(area - area_within(f, shared->half)) > 1e-9)
        complain(d, "together.region_m", "has another area");
}

static void hold_freedom(document *d)
{
    hold_run(d);
    number(d, "reach_m", all.freedoms.reach);
    number(d, "step_m", all.freedoms.step);
    length(d, "zones", 3);
    for (size_t z = 0; z < 3; z++) {
        text(d, Z("name"), all.s.zones[z].name);
        truth(d, Z("kept"), all.freedoms.kept[z]);
        truth(d, Z("met_as_planned"), met(all.freedoms.today[z].verdict));
        hold_parts(d, at("zones.%zu%s", z, ""), &all.freedoms.today[z]);
        const aw_shared_need *need = &all.freedoms.shared[z];
        truth(d, Z("together.held"), need->held);
        number(d, Z("together.left_share"), need->left);
        text(d, Z("together.part"), need->part < AW_PARTS ? aw_part_rows[need->part].key : NULL);
    }
    number(d, "corners_met", (double)all.freedoms.corners_met);
    length(d, "anchors", 5);
    for (size_t i = 0; i < 5; i++) {
        const aw_freedom *f = &all.freedoms.list[i];
#define F(key) at("anchors.%zu.%s", i, key)
        text(d, F("name"), all.s.anchors[f->anchor].name);
        numbers(d, F("at_m"), all.s.anchors[f->anchor].at, 3);
        hold_region(d, i);
        number(d, F("area_m2"), f->area);
        text(d, F("cut_by"), f->limiting_zone < 3 ? all.s.zones[f->limiting_zone].name : NULL);
        number(d, F("height_low_m"), f->low);
        number(d, F("height_high_m"), f->high);
        hold_sides(d, i);
        hold_shared(d, i);
    }
}

#endif
