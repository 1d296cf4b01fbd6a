/* The words of every heading, by the name of its column. Another language is another such table. */
#include "report/columns.h"

#include <assert.h>
#include <string.h>

static const struct {
    const char *name, *words;
} headings[] = {
    {"anchor", "anchor"},
    {"at", "at"},
    {"bearing_deg", "bearing"},
    {"believed_m", "believed"},
    {"bias_m", "bias"},
    {"cost_of_loss", "what it costs"},
    {"delay_m", "delay"},
    {"elevation_deg", "elevation"},
    {"elsewhere.share", "in none"},
    {"excess_m", "excess"},
    {"fair_part_m", "fair part"},
    {"fall_short", "fall short"},
    {"first_share", "timed first"},
    {"fix_share", "fix share"},
    {"floor", "floor"},
    {"floor_p95", "p95 of floor"},
    {"found_share", "found"},
    {"gain_m", "gained"},
    {"inside.setback_m", "inside"},
    {"kind", "path"},
    {"law_db", "published"},
    {"line_of_sight", "line of sight"},
    {"link", "link"},
    {"loss_db", "loss"},
    {"lost", "lost"},
    {"meets", "meets"},
    {"met_with_all", "with all"},
    {"need", "need"},
    {"no_fix.share", "no fix"},
    {"odds", "p95 odds"},
    {"other_zones", "in another"},
    {"outside.setback_m", "outside"},
    {"p50_m", "p50"},
    {"p95_m", "p95"},
    {"p95_then_m", "p95 then"},
    {"p95_without_m.0", "p95 without it"},
    {"p99_m", "p99"},
    {"path_loss_db", "path loss"},
    {"places.0.no_position_share", "no position"},
    {"power_dbm", "power"},
    {"range", "range of p95"},
    {"range_m", "range"},
    {"received_share", "received"},
    {"remark", ""},
    {"reported_in_it", "in it"},
    {"right_area_share", "area 99 % right"},
    {"share", "cells within"},
    {"snr_db", "ratio to noise"},
    {"spot_m", "spot"},
    {"sturdy", "with any one lost"},
    {"survey_m", "survey"},
    {"tag_in", "a tag in"},
    {"tail_m", "tail"},
    {"tail_share", "of spots"},
    {"up", "up"},
    {"verdict", "verdict"},
    {"vertical_p50_m", "height p50"},
    {"vertical_p95_m", "height p95"},
    {"weight_share", "weight"},
    {"white_m", "white"},
    {"why", "why"},
    {"why_lost", "why lost"},
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
