/* A level has a sheet; where names or figures would stand far from their places its plan is split
 * into more and more equal parts until they do not, each drawn at the largest scale that fits. */
#include <stdlib.h>
#include <string.h>

#include "book/installers.h"
#include "anchorwise/level.h"

/* Columns and rows of the parts of a wide plan, in the order of the trials. */
static const struct {
    size_t columns, rows;
} splits[] = {{1, 1}, {2, 1}, {2, 2}, {3, 2}, {4, 2}, {4, 3}, {5, 3}, {6, 4}};
#define SPLITS (sizeof splits / sizeof *splits)

/* The level that an anchor hangs over: in a pit under the finished floor, or over a mezzanine. */
static const aw_level *level_of(const aw_scenario *s, const double at[3])
{
    const aw_level *level = aw_level_at(s, at[0], at[1]);
    return level != NULL && at[2] >= level->height && (level->height > 0 || at[2] < 0) ? level
                                                                                       : NULL;
}

static bool is_wide(const aw_scenario *s)
{
    const aw_polygon *o = &s->floor.outline;
    return o->high.x - o->low.x >= o->high.y - o->low.y;
}

/* Cell k of so many equal ones, row by row from the north-west, as they are read. */
static aw_installers_part cut(const aw_scenario *s, const aw_level *level, size_t k, size_t columns,
                              size_t rows)
{
    const aw_polygon *o = &s->floor.outline;
    const double wide = (o->high.x - o->low.x) / (double)columns,
                 tall = (o->high.y - o->low.y) / (double)rows;
    const double x = o->low.x + wide * (double)(k % columns),
                 y = o->high.y - tall * (double)(k / columns + 1);
    return (aw_installers_part){.level = level, .low = {x, y}, .high = {x + wide, y + tall}};
}

/* Its cell among them: the borders belong to the east and the north, the hall's edge to the last.
 * What hangs outside the hall goes to the nearest. */
static size_t cell_of(const aw_scenario *s, const double at[3], size_t columns, size_t rows)
{
    const aw_polygon *o = &s->floor.outline;
    const double x = (at[0] - o->low.x) / (o->high.x - o->low.x) * (double)columns,
                 y = (at[1] - o->low.y) / (o->high.y - o->low.y) * (double)rows;
    const size_t column = x <= 0 ? 0 : x >= (double)columns ? columns - 1 : (size_t)x;
    const size_t row = y <= 0 ? 0 : y >= (double)rows ? rows - 1 : (size_t)y;
    return (rows - 1 - row) * columns + column;
}

/* The anchors of a level by their cells, behind `anchors`; parts without one are left out. */
static size_t split(aw_installers_part list[], size_t *anchors, const aw_scenario *s,
                    const aw_level *level, size_t trial)
{
    const size_t columns = is_wide(s) ? splits[trial].columns : splits[trial].rows,
                 rows = is_wide(s) ? splits[trial].rows : splits[trial].columns;
    size_t n = 0;
    for (size_t k = 0; k < columns * rows; k++) {
        aw_installers_part part = cut(s, level, k, columns, rows);
        part.anchors = anchors;
        for (size_t i = 0; i < s->n_anchors; i++)
            if (level_of(s, s->anchors[i].at) == level &&
                cell_of(s, s->anchors[i].at, columns, rows) == k)
                anchors[part.n++] = i;
        anchors += part.n;
        if (part.n > 0)
            list[n++] = part;
    }
    for (size_t k = 0; k < n; k++) {
        list[k].number = k + 1;
        list[k].of = n;
    }
    return n;
}

/* Drawn for a trial on a sheet that is thrown away. */
static bool is_crowded(const aw_installers *w, const aw_installers_part *part, bool *failed)
{
    const aw_installers_place place = aw_installers_place_of(w, part);
    aw_sheet sheet = {
        .width = place.high.x, .height = place.high.y, .text_size = AW_INSTALLERS_TEXT};
    const aw_installers_drawn drawn = aw_installers_plan(&sheet, w, part, place.low, place.high);
    *failed = *failed || sheet.failed;
    aw_sheet_free(&sheet);
    return drawn.is_crowded;
}

static bool add_level(aw_installers_parts *parts, size_t *anchors, const aw_installers *w,
                      const aw_level *level)
{
    aw_installers_part *list = parts->list + parts->n;
    const size_t room = AW_INSTALLERS_PARTS - parts->n;
    size_t n = 0;
    bool crowded = true, failed = false;
    for (size_t trial = 0; crowded && trial < SPLITS; trial++) {
        if (splits[trial].columns * splits[trial].rows > room)
            break;
        crowded = false;
        n = split(list, anchors, w->scenario, level, trial);
        for (size_t k = 0; !crowded && k < n; k++)
            crowded = is_crowded(w, &list[k], &failed);
    }
    parts->n += n;
    return !failed;
}

static size_t count_on(const aw_installers_parts *parts)
{
    size_t n = 0;
    for (size_t k = 0; k < parts->n; k++)
        n += parts->list[k].n;
    return n;
}

bool aw_installers_parts_make(aw_installers_parts *parts, const aw_installers *w)
{
    const aw_scenario *s = w->scenario;
    *parts = (aw_installers_parts){.anchors = calloc(s->n_anchors, sizeof *parts->anchors)};
    bool done = parts->anchors != NULL && add_level(parts, parts->anchors, w, NULL);
    for (size_t i = 0; done && i < s->n_levels; i++)
        done = add_level(parts, parts->anchors + count_on(parts), w, &s->levels[i]);
    return done;
}

void aw_installers_parts_free(aw_installers_parts *parts)
{
    free(parts->anchors);
    *parts = (aw_installers_parts){.anchors = NULL};
}

aw_installers_place aw_installers_place_of(const aw_installers *w, const aw_installers_part *part)
{
    const aw_paper_row *paper = &aw_paper_rows[w->paper];
    const double under = AW_INSTALLERS_HEAD + AW_INSTALLERS_ROW * (double)((part->n + 1) / 2) + 2;
    const bool fits = part->n <= AW_INSTALLERS_UNDER && under < 0.55 * paper->height;
    return (aw_installers_place){{AW_INSTALLERS_MARGIN, AW_INSTALLERS_MARGIN},
                                 {paper->width - AW_INSTALLERS_MARGIN - AW_INSTALLERS_SIDE,
                                  paper->height - AW_INSTALLERS_MARGIN - (fits ? under : 0)},
                                 fits};
}
