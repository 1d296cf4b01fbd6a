/* What stands and hangs on the floor, each by its name. All lengths are metres. */
#include <math.h>

#include "anchorwise.h"
#include "live/scene_told.h"
#include "report/lengths.h"
#include "report/stamp.h"

bool aw_get_point(const aw_point points[], size_t n, size_t i, aw_value *v)
{
    if (i >= n)
        return false;
    v->own[0] = points[i].x;
    v->own[1] = points[i].y;
    v->numbers = v->own;
    v->n = 2;
    return true;
}

/* --- things on the floor --- */

#define POLYGON(name, type, member)                                                                \
    AW_GETTER(name)                                                                                \
    {                                                                                              \
        const type *of = s->of;                                                                    \
        return aw_get_point(of->member.at, of->member.n, i, v);                                    \
    }
POLYGON(get_level_polygon, aw_level, outline)
POLYGON(get_obstacle_polygon, aw_obstacle, footprint)
POLYGON(get_zone_polygon, aw_zone, outline)
POLYGON(get_forbidden_polygon, aw_forbidden, outline)

static const aw_member level_members[] = {
    AW_TEXT("name", aw_level, name, "unique"),
    AW_GOT("polygon", ROWS, get_level_polygon, "m", "its corners"),
    AW_NUMBER("height", aw_level, height, "m", "of its floor"),
};
const aw_shape aw_live_level_shape = AW_SHAPE("live_level", "A level", level_members);

AW_GETTER(get_wall_point)
{
    const aw_wall *w = s->of;
    return aw_get_point(w->path, w->n, i, v);
}

AW_GETTER(get_wall_material)
{
    v->text = aw_scenario_of(s)->materials[((const aw_wall *)s->of)->material].name;
    return true;
}

static const aw_member wall_members[] = {
    AW_TEXT("name", aw_wall, name, "unique"),
    AW_GOT("points", ROWS, get_wall_point, "m", "of its middle line"),
    AW_NUMBER("thickness", aw_wall, thickness, "m", ""),
    AW_NUMBER("base", aw_wall, base, "m", ""),
    AW_NUMBER("top", aw_wall, top, "m", ""),
    AW_GOT("material", TEXT, get_wall_material, "", ""),
};
const aw_shape aw_live_wall_shape = AW_SHAPE("live_wall", "A wall", wall_members);

AW_GETTER(get_obstacle_material)
{
    v->text = aw_scenario_of(s)->materials[((const aw_obstacle *)s->of)->material].name;
    return true;
}

/* Over the tag that is shown, where it stands on the finished floor. */
AW_GETTER(get_overhead)
{
    v->truth =
        ((const aw_obstacle *)s->of)->base > aw_scenario_of(s)->tags[aw_told_of(s)->tag].height;
    return true;
}

static const aw_member obstacle_members[] = {
    AW_TEXT("name", aw_obstacle, name, "unique"),
    AW_GOT("polygon", ROWS, get_obstacle_polygon, "m", "its corners"),
    AW_NUMBER("base", aw_obstacle, base, "m", ""),
    AW_NUMBER("top", aw_obstacle, top, "m", ""),
    AW_GOT("material", TEXT, get_obstacle_material, "", ""),
    AW_GOT("overhead", TRUTH, get_overhead, "", "over the tag shown"),
};
const aw_shape aw_live_obstacle_shape = AW_SHAPE("live_obstacle", "An obstacle", obstacle_members);

AW_GETTER(get_letter)
{
    aw_text_add(&v->room, aw_zone_letter(s->i).text);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_zone_tag)
{
    v->text = aw_scenario_of(s)->tags[((const aw_zone *)s->of)->tag].name;
    return true;
}

/* "p95 <= 0.8 m on 95 % of places". */
AW_GETTER(get_need)
{
    const aw_zone *z = s->of;
    for (int part = 0; part < AW_PARTS; part++) {
        const aw_part_row *row = &aw_part_rows[part];
        const double asked = aw_need_asks(&z->need, (aw_part)part);
        if (isnan(asked) || row->ask == NULL)
            continue;
        aw_text_add(&v->room, v->room.n > 0 ? ", " : "");
        if (part == AW_PART_SHARE)
            aw_text_format(&v->room, "on %.4g %% of places", 100 * asked);
        else if (row->is_length)
            aw_text_format(&v->room, "%s%s", row->ask,
                           aw_small_words("%.6g", asked, aw_scenario_of(s)->units).text);
        else
            aw_text_format(&v->room, "%s%.4g %%", row->ask, 100 * asked);
    }
    v->text = v->room.at;
    return v->room.n > 0;
}

AW_GETTER(get_zone_height)
{
    v->number = aw_scenario_of(s)->tags[((const aw_zone *)s->of)->tag].height;
    return true;
}

AW_GETTER(get_asked)
{
    v->number = aw_need_asks(&((const aw_zone *)s->of)->need, (aw_part)i);
    return !isnan(v->number);
}

static const aw_member zone_members[] = {
    AW_TEXT("name", aw_zone, name, "unique"),
    AW_GOT("letter", TEXT, get_letter, "", "on every sheet"),
    AW_GOT("polygon", ROWS, get_zone_polygon, "m", "its corners"),
    AW_GOT("tag", TEXT, get_zone_tag, "", "used here"),
    AW_GOT("height", NUMBER, get_zone_height, "m", "of that tag, over the floor"),
    AW_MAY("need", TEXT, get_need, 0, NULL, "in words"),
    AW_MAY("need_p95_m", NUMBER, get_asked, AW_PART_P95, NULL, "what is asked of p95"),
    AW_MAY("need_share", NUMBER, get_asked, AW_PART_SHARE, NULL, "of cells within it"),
};
const aw_shape aw_live_zone_shape = AW_SHAPE("live_area", "A zone", zone_members);

AW_GETTER(get_mount)
{
    const aw_scenario *all = aw_scenario_of(s);
    const aw_mount *mount =
        aw_has_prices(all) ? aw_mount_at(&all->prices, ((const aw_anchor *)s->of)->at[2]) : NULL;
    v->text = mount != NULL ? mount->name : NULL;
    return v->text != NULL;
}

static const aw_member anchor_members[] = {
    AW_TEXT("name", aw_anchor, name, "unique"),
    AW_NUMBERS("at", aw_anchor, at, 3, "m", "where it hangs"),
    AW_MAY("mount", TEXT, get_mount, 0, NULL, "what holds it, by the prices"),
};
const aw_shape aw_live_anchor_shape = AW_SHAPE("live_anchor", "An anchor", anchor_members);

static const aw_member tag_members[] = {
    AW_TEXT("name", aw_tag, name, "unique"),
    AW_NUMBER("height", aw_tag, height, "m", "over the floor"),
};
const aw_shape aw_live_tag_shape = AW_SHAPE("live_tag", "A kind of tag", tag_members);

AW_GETTER(get_line_point)
{
    const aw_candidate_line *line = s->of;
    if (!aw_get_point(line->path, line->n, i, v))
        return false;
    v->own[2] = line->low;
    v->n = 3;
    return true;
}

static const aw_member line_members[] = {
    AW_TEXT("name", aw_candidate_line, name, "unique"),
    AW_GOT("points", ROWS, get_line_point, "m", "of its path, at its lowest height"),
    AW_NUMBER("high", aw_candidate_line, high, "m", "its highest height"),
};
const aw_shape aw_live_line_shape = AW_SHAPE("live_line", "A mounting line", line_members);

static const aw_member forbidden_members[] = {
    AW_TEXT("name", aw_forbidden, name, "unique"),
    AW_GOT("polygon", ROWS, get_forbidden_polygon, "m", "its corners"),
    AW_NUMBER("base", aw_forbidden, base, "m", ""),
    AW_NUMBER("top", aw_forbidden, top, "m", ""),
};
const aw_shape aw_live_forbidden_shape =
    AW_SHAPE("live_forbidden", "Where no anchor may be", forbidden_members);

AW_GETTER(get_pin)
{
    const aw_floor_picture *p = s->of;
    if (i >= 2)
        return false;
    v->own[0] = p->pins[i].px;
    v->own[1] = p->pins[i].py;
    v->own[2] = p->pins[i].x;
    v->own[3] = p->pins[i].y;
    v->numbers = v->own;
    v->n = 4;
    return true;
}

static const aw_member picture_members[] = {
    AW_TEXT("file", aw_floor_picture, file, "from the scenario's folder"),
    AW_COUNT("page", aw_floor_picture, page, "", "of a PDF"),
    AW_GOT("points", ROWS, get_pin, "", "px, py of the picture, x, y in m"),
};
const aw_shape aw_live_picture_shape =
    AW_SHAPE("live_picture", "The client's plan under the chart", picture_members);
