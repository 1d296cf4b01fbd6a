/* A tag stands on whatever floor is at its place. Who asks about one that is under a level or
 * inside something is told what the figures are for. */
#include "report/standing.h"

#include "report/columns.h"

#include "anchorwise/level.h"
#include "anchorwise/report.h"

#include <math.h>
#include <stdio.h>

void aw_taken_words(const aw_taken *taken, aw_text *out)
{
    static const char *const names[] = {[AW_TAKEN_BY_NOTHING] = "nothing",
                                        [AW_OFF_THE_FLOOR] = "edge",
                                        [AW_OVER_THE_CEILING] = "ceiling",
                                        [AW_IN_AN_OBSTACLE] = "obstacle",
                                        [AW_IN_A_WALL] = "wall"};
    aw_text_add(out, aw_word("taken", names[taken->by]));
    if (taken->name != NULL)
        aw_text_format(out, " '%s'", taken->name);
}

void aw_get_taken(const aw_taken *taken, aw_value *v)
{
    if (taken->by == AW_TAKEN_BY_NOTHING)
        return;
    aw_taken_words(taken, &v->room);
    v->text = v->room.at;
}

/* The level that a spot lies on, if a tag as high over the floor below it would be under it. */
static const aw_level *level_under(const aw_scenario *s, const double spot[3])
{
    const aw_level *level = aw_level_at(s, spot[0], spot[1]);
    return level != NULL && spot[2] > level->height && level->slab.thickness > 0 &&
                   level->height - level->slab.thickness > spot[2] - level->height
               ? level
               : NULL;
}

void aw_spot_remarks(const aw_scenario *s, const double spot[3], aw_text *out)
{
    const aw_taken taken = aw_taken_at(s, spot[0], spot[1], spot[2]);
    const aw_level *level = level_under(s, spot);
    if (taken.by == AW_OFF_THE_FLOOR || taken.by == AW_OVER_THE_CEILING) {
        aw_text_format(out, "NO TAG CAN BE HERE: the spot is %s.\n",
                       taken.by == AW_OFF_THE_FLOOR ? "off the floor" : "over the ceiling");
    } else if (taken.by != AW_TAKEN_BY_NOTHING) {
        aw_text_add(out, "NO TAG CAN BE HERE: the spot is inside ");
        aw_taken_words(&taken, out);
        aw_text_add(out, ".\n");
    }
    if (level != NULL)
        aw_text_format(out,
                       "Figures are for a tag standing on level '%s'; a tag under it is not "
                       "computed.\n",
                       level->name);
    if (taken.by != AW_TAKEN_BY_NOTHING || level != NULL)
        aw_text_add(out, "\n");
}

void aw_get_spot_taken(const aw_scenario *s, const double spot[3], aw_value *v)
{
    const aw_taken taken = aw_taken_at(s, spot[0], spot[1], spot[2]);
    aw_get_taken(&taken, v);
}

const char *aw_spot_level_name(const aw_scenario *s, const double spot[3])
{
    const aw_level *level = level_under(s, spot);
    return level != NULL ? level->name : NULL;
}

const char *aw_level_over_name(const aw_scenario *s, size_t zone)
{
    const aw_level *level = aw_level_over(s, &s->zones[zone]);
    return level != NULL ? level->name : NULL;
}

const char *aw_row_name(const aw_scenario *s, size_t zone, char out[AW_ROW_NAME_ROOM])
{
    snprintf(out, AW_ROW_NAME_ROOM, "%s%s", s->zones[zone].name,
             aw_level_over_name(s, zone) != NULL ? " *" : "");
    return out;
}

void aw_level_remarks(const aw_scenario *s, aw_text *out)
{
    for (size_t i = 0; i < s->n_zones; i++) {
        const char *level = aw_level_over_name(s, i);
        if (level != NULL)
            aw_text_format(out,
                           "* %s: figures are for a tag standing on level '%s'; a tag under it is "
                           "not computed.\n",
                           s->zones[i].name, level);
    }
}
