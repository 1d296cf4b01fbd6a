/* The words of every heading, by the name of its column. Another language is another such table. */
#include "report/columns.h"

#include <assert.h>
#include <string.h>

static const struct {
    const char *name, *words;
} headings[] = {
    {"at", "at"},
    {"elsewhere.share", "in none"},
    {"fix_share", "fix share"},
    {"floor", "floor"},
    {"inside.setback_m", "inside"},
    {"need", "need"},
    {"no_fix.share", "no fix"},
    {"odds", "p95 odds"},
    {"other_zones", "in another"},
    {"outside.setback_m", "outside"},
    {"p50_m", "p50"},
    {"p95_m", "p95"},
    {"p99_m", "p99"},
    {"range", "range of p95"},
    {"reported_in_it", "in it"},
    {"right_area_share", "area 99 % right"},
    {"share", "cells within"},
    {"tag_in", "a tag in"},
    {"verdict", "verdict"},
    {"vertical_p50_m", "height p50"},
    {"vertical_p95_m", "height p95"},
    {"worst_cell_p95_m", "worst p95"},
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
