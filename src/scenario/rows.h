/* Shapes that many rows of the fields table share. */
#ifndef AW_SCENARIO_ROWS_H
#define AW_SCENARIO_ROWS_H

#include <math.h>

#include "scenario/fields.h"

#define UNKNOWN ((double)NAN)
#define MOST    100000.0 /* m, of any coordinate */
#define WITHIN(a, b)                                                                               \
    {                                                                                              \
        a, b, false, false                                                                         \
    }
#define ABOVE(a, b)                                                                                \
    {                                                                                              \
        a, b, true, false                                                                          \
    }
#define BELOW(a, b)                                                                                \
    {                                                                                              \
        a, b, false, true                                                                          \
    }

#define NAME_ROW(id, item)                                                                         \
    {                                                                                              \
        .block = id, .key = "name", .type = AW_FIELD_TEXT, .required = true,                       \
        .range = WITHIN(1, 60), .offset = offsetof(item, name), .help = "unique in its list"       \
    }

#define SPAN_ROWS(id, item)                                                                        \
    {.block = id,                                                                                  \
     .key = "base",                                                                                \
     .type = AW_FIELD_LENGTH,                                                                      \
     .range = WITHIN(-MOST, MOST),                                                                 \
     .offset = offsetof(item, base),                                                               \
     .help = "height of its lower face"},                                                          \
        {.block = id,                                                                              \
         .key = "top",                                                                             \
         .type = AW_FIELD_LENGTH,                                                                  \
         .standard = UNKNOWN,                                                                      \
         .standard_is = "the ceiling",                                                             \
         .range = WITHIN(-MOST, MOST),                                                             \
         .offset = offsetof(item, top),                                                            \
         .help = "height of its upper face; above base"},                                          \
    {                                                                                              \
        .block = id, .key = "material", .type = AW_FIELD_MATERIAL, .required = true,               \
        .offset = offsetof(item, material), .help = "a built-in material or one of `materials`"    \
    }

#define PLAN_ROW(key_, unit_, most, help_)                                                         \
    {                                                                                              \
        .block = AW_BLOCK_PLAN, .key = #key_, .type = AW_FIELD_NUMBER, .unit = unit_,              \
        .range = WITHIN(-(most), most), .offset = offsetof(aw_plan_place, key_), .help = help_     \
    }

#define OUTLINE_ROW(id, item, key_, help_)                                                         \
    {                                                                                              \
        .block = id, .key = #key_, .type = AW_FIELD_POLYGON, .required = true,                     \
        .range = WITHIN(3, 10000), .offset = offsetof(item, key_), .help = help_                   \
    }

#define LEVEL_ROWS                                                                                 \
    {.block = AW_BLOCK_LEVEL,                                                                      \
     .key = "height",                                                                              \
     .type = AW_FIELD_LENGTH,                                                                      \
     .required = true,                                                                             \
     .standard = UNKNOWN,                                                                          \
     .range = WITHIN(-1000, 1000),                                                                 \
     .offset = offsetof(aw_level, height),                                                         \
     .help = "of its floor above the finished floor; negative in a pit"},                          \
        BLOCK_ROW(AW_BLOCK_LEVEL, aw_level, slab, AW_BLOCK_SLAB, "none",                           \
                  "a floor that one can stand under. A level above the finished floor that has "   \
                  "none is solid down to the floor it stands on, and hides what lies behind"),     \
        {.block = AW_BLOCK_SLAB,                                                                   \
         .key = "thickness",                                                                       \
         .type = AW_FIELD_LENGTH,                                                                  \
         .required = true,                                                                         \
         .range = ABOVE(0, 100),                                                                   \
         .offset = offsetof(aw_slab, thickness),                                                   \
         .help = "below the level's floor"},                                                       \
    {                                                                                              \
        .block = AW_BLOCK_SLAB, .key = "material", .type = AW_FIELD_MATERIAL,                      \
        .standard_is = "concrete", .offset = offsetof(aw_slab, material),                          \
        .help = "of the slab, built in or of `materials`"                                          \
    }

#define PICTURE_ROWS                                                                               \
    {.block = AW_BLOCK_PICTURE,                                                                    \
     .key = "file",                                                                                \
     .type = AW_FIELD_TEXT,                                                                        \
     .required = true,                                                                             \
     .range = WITHIN(1, 1000),                                                                     \
     .offset = offsetof(aw_floor_picture, file),                                                   \
     .help = "PNG, JPEG, SVG or PDF; from the folder of the scenario, if it is no absolute path"}, \
        {.block = AW_BLOCK_PICTURE,                                                                \
         .key = "page",                                                                            \
         .type = AW_FIELD_COUNT,                                                                   \
         .standard = 1,                                                                            \
         .range = WITHIN(1, 10000),                                                                \
         .offset = offsetof(aw_floor_picture, page),                                               \
         .help = "of a PDF"},                                                                      \
    {                                                                                              \
        .block = AW_BLOCK_PICTURE, .key = "points", .type = AW_FIELD_PINS, .required = true,       \
        .range = WITHIN(0, 1e6), .offset = offsetof(aw_floor_picture, pins),                       \
        .help =                                                                                    \
            "two as `[px, py, x, y]`: px to the right and py down from the picture's upper left "  \
            "corner, in pixels (of an SVG in its own units, of a PDF in points of 1/72 inch), at " \
            "least 20 apart, and the place x, y that is shown there"                               \
    }

#define CHOICE_ROW(id, item, key_, standard_, otherwise, choices_, help_)                          \
    {                                                                                              \
        .block = id, .key = #key_, .type = AW_FIELD_CHOICE, .standard = standard_,                 \
        .standard_is = otherwise, .choices = choices_, .offset = offsetof(item, key_),             \
        .help = help_                                                                              \
    }

#define BLOCK_ROW(id, item, key_, inner_, otherwise, help_)                                        \
    {                                                                                              \
        .block = id, .key = #key_, .type = AW_FIELD_BLOCK, .standard_is = otherwise,               \
        .inner = inner_, .offset = offsetof(item, key_), .help = help_                             \
    }

#define LIST_ROW(key_, inner_, low, high, otherwise, help_)                                        \
    {                                                                                              \
        .block = AW_BLOCK_SCENARIO, .key = #key_, .type = AW_FIELD_LIST, .standard_is = otherwise, \
        .range = WITHIN(low, high), .inner = inner_, .offset = offsetof(aw_scenario, key_),        \
        .n_offset = offsetof(aw_scenario, n_##key_), .help = help_                                 \
    }

#define RANGING_ROW(key_, type_, unit_, standard_, range_, help_)                                  \
    {                                                                                              \
        .block = AW_BLOCK_RANGING, .key = #key_, .type = type_, .unit = unit_,                     \
        .standard = standard_, .range = range_, .offset = offsetof(aw_ranging, key_),              \
        .help = help_                                                                              \
    }

#define MATERIAL_ROW(key_, type_, unit_, standard_is_, range_, member, help_)                      \
    {                                                                                              \
        .block = AW_BLOCK_MATERIAL, .key = #key_, .type = type_, .unit = unit_,                    \
        .standard_is = standard_is_, .range = range_, .offset = offsetof(aw_material, member),     \
        .help = help_                                                                              \
    }

#define FACE_ROW(key_, help_)                                                                      \
    {                                                                                              \
        .block = AW_BLOCK_FLOOR, .key = #key_, .type = AW_FIELD_MATERIAL,                          \
        .standard_is = "concrete", .offset = offsetof(aw_floor, key_), .help = help_               \
    }

#define RADIO_ROW(key_, type_, unit_, standard_, range_, help_)                                    \
    {                                                                                              \
        .block = AW_BLOCK_RADIO, .key = #key_, .type = type_, .unit = unit_,                       \
        .standard = standard_, .range = range_, .offset = offsetof(aw_radio, key_), .help = help_  \
    }

#define RECEIVER_ROW(key_, type_, unit_, standard_, range_, help_)                                 \
    {                                                                                              \
        .block = AW_BLOCK_RECEIVER, .key = #key_, .type = type_, .unit = unit_,                    \
        .standard = standard_, .range = range_, .offset = offsetof(aw_receiver, key_),             \
        .help = help_                                                                              \
    }

#define BETWEEN_ROW(key_, unit_, range_, help_)                                                    \
    {                                                                                              \
        .block = AW_BLOCK_ASSUMPTIONS, .key = #key_, .type = AW_FIELD_BETWEEN, .unit = unit_,      \
        .standard_is = "see `sensitivity`", .range = range_,                                       \
        .offset = offsetof(aw_assumptions, key_), .help = help_                                    \
    }

/* An amount of the scenario's currency. */
#define PRICE_ROW(id, item, key_, help_)                                                           \
    {                                                                                              \
        .block = id, .key = #key_, .type = AW_FIELD_NUMBER, .unit = "", .range = WITHIN(0, 1e9),   \
        .offset = offsetof(item, key_), .help = help_                                              \
    }

#define PRICES_LIST_ROW(key_, inner_, help_)                                                       \
    {                                                                                              \
        .block = AW_BLOCK_PRICES, .key = #key_, .type = AW_FIELD_LIST, .standard_is = "none",      \
        .range = WITHIN(0, INFINITY), .inner = inner_, .offset = offsetof(aw_prices, key_),        \
        .n_offset = offsetof(aw_prices, n_##key_), .help = help_                                   \
    }

#define CANDIDATES_LIST_ROW(key_, inner_, help_)                                                   \
    {                                                                                              \
        .block = AW_BLOCK_CANDIDATES, .key = #key_, .type = AW_FIELD_LIST, .standard_is = "none",  \
        .range = WITHIN(0, INFINITY), .inner = inner_,                                             \
        .offset = offsetof(aw_candidate_rules, key_),                                              \
        .n_offset = offsetof(aw_candidate_rules, n_##key_), .help = help_                          \
    }

#define LINE_ROW(key_, member, standard_, range_, help_)                                           \
    {                                                                                              \
        .block = AW_BLOCK_LINE, .key = key_, .type = AW_FIELD_LENGTH, .standard = standard_,       \
        .range = range_, .offset = offsetof(aw_candidate_line, member), .help = help_              \
    }

#define NEED_ROW(key_, type_, unit_, range_, help_)                                                \
    {                                                                                              \
        .block = AW_BLOCK_NEED, .key = #key_, .type = type_, .unit = unit_, .standard = UNKNOWN,   \
        .standard_is = "none", .range = range_, .offset = offsetof(aw_need, key_), .help = help_   \
    }

#define MEASURED_ROW(key_, required_, standard_, range_, help_)                                    \
    {                                                                                              \
        .block = AW_BLOCK_MEASURED, .key = #key_, .type = AW_FIELD_COUNT, .unit = "",              \
        .required = required_, .standard = standard_, .range = range_,                             \
        .offset = offsetof(aw_measured, key_), .help = help_                                       \
    }

#define STUDY_ROW(key_, type_, unit_, standard_, standard_is_, range_, help_)                      \
    {                                                                                              \
        .block = AW_BLOCK_STUDY, .key = #key_, .type = type_, .unit = unit_,                       \
        .standard = standard_, .standard_is = standard_is_, .range = range_,                       \
        .offset = offsetof(aw_study, key_), .help = help_                                          \
    }

#endif
