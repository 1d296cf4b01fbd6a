/* The words of every heading, by the name of its column. Another language is another such table. */
#include "report/columns.h"

#include <assert.h>
#include <string.h>

static const struct {
    const char *name, *words;
} headings[] = {
    {"at", "at"},
    {"cost_of_loss", "what it costs"},
    {"elsewhere.share", "in none"},
    {"fall_short", "fall short"},
    {"fix_share", "fix share"},
    {"floor", "floor"},
    {"floor_p95", "p95 of floor"},
    {"inside.setback_m", "inside"},
    {"lost", "lost"},
    {"met_with_all", "with all"},
    {"need", "need"},
    {"no_fix.share", "no fix"},
    {"odds", "p95 odds"},
    {"other_zones", "in another"},
    {"outside.setback_m", "outside"},
    {"p50_m", "p50"},
    {"p95_m", "p95"},
    {"p95_then_m", "p95 then"},
    {"p99_m", "p99"},
    {"places.0.no_position_share", "no position"},
    {"range", "range of p95"},
    {"reported_in_it", "in it"},
    {"right_area_share", "area 99 % right"},
    {"share", "cells within"},
    {"sturdy", "with any one lost"},
    {"tag_in", "a tag in"},
    {"verdict", "verdict"},
    {"vertical_p50_m", "height p50"},
    {"vertical_p95_m", "height p95"},
    {"worst_cell_p95_m", "worst p95"},
    {"worst_loss", "worst loss"},
    {"zone", ""},
    {"zone_share", "zone share"},
};

const char *aw_heading(const char *name)
{
    for (size_t i = 0; i < sizeof headings / sizeof *headings; i++)
        if (strcmp(headings[i].name, name) == 0)
            return headings[i].words;
    assert(!"a column without a heading");
    return name;
}
