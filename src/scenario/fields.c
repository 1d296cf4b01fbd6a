/* The rows and nothing else; looking them up is blocks.c's affair, reading them value.c's and
 * read.c's. */
#include "scenario/fields.h"

#include <math.h>

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

static const aw_choice units_choices[] = {{"m", AW_METRES}, {"ft", AW_FEET}, {NULL, 0}};
static const aw_choice each_choices[] = {
    {"anchor", AW_EACH_ANCHOR}, {"layout", AW_EACH_LAYOUT}, {NULL, 0}};
static const aw_choice fix_choices[] = {{"2d", AW_FIX_2D}, {"3d", AW_FIX_3D}, {NULL, 0}};

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

#define NEED_ROW(key_, type_, unit_, range_, help_)                                                \
    {                                                                                              \
        .block = AW_BLOCK_NEED, .key = #key_, .type = type_, .unit = unit_, .standard = UNKNOWN,   \
        .standard_is = "none", .range = range_, .offset = offsetof(aw_need, key_), .help = help_   \
    }

/* To add a key:
 * 1. give its struct in anchorwise/scenario.h a member, in SI;
 * 2. add a row here, in the order in which the block should be read and documented (what a value
 *    refers to stands before it);
 * 3. add a wrong value to tests/bad/. A type or a cross-check of its own goes to read.c. */
const aw_field aw_fields[] = {
    {.block = AW_BLOCK_SCENARIO,
     .key = "anchorwise",
     .type = AW_FIELD_VERSION,
     .required = true,
     .range = WITHIN(1, 1),
     .help = "version of this format"},
    {.block = AW_BLOCK_SCENARIO,
     .key = "title",
     .type = AW_FIELD_TEXT,
     .required = true,
     .range = WITHIN(1, 200),
     .offset = offsetof(aw_scenario, title),
     .help = "stands on every output"},
    {.block = AW_BLOCK_SCENARIO,
     .key = "units",
     .type = AW_FIELD_CHOICE,
     .standard = AW_METRES,
     .standard_is = "m",
     .choices = units_choices,
     .offset = offsetof(aw_scenario, units),
     .help = "unit of every length in the file"},
    {.block = AW_BLOCK_SCENARIO,
     .key = "floor",
     .type = AW_FIELD_BLOCK,
     .required = true,
     .inner = AW_BLOCK_FLOOR,
     .offset = offsetof(aw_scenario, floor),
     .help = "where tags may be"},
    {.block = AW_BLOCK_SCENARIO,
     .key = "materials",
     .type = AW_FIELD_MATERIALS,
     .standard_is = "the built-in ones",
     .inner = AW_BLOCK_MATERIAL,
     .offset = offsetof(aw_scenario, materials),
     .n_offset = offsetof(aw_scenario, n_materials),
     .help = "adds to the built-in materials, or replaces them row by row"},
    LIST_ROW(obstacles, AW_BLOCK_OBSTACLE, 0, INFINITY, "none",
             "what stands or hangs on the floor"),
    LIST_ROW(walls, AW_BLOCK_WALL, 0, INFINITY, "none", "partitions, along a path"),
    {.block = AW_BLOCK_SCENARIO,
     .key = "anchors",
     .type = AW_FIELD_LIST,
     .required = true,
     .range = WITHIN(1, 1024),
     .inner = AW_BLOCK_ANCHOR,
     .offset = offsetof(aw_scenario, anchors),
     .n_offset = offsetof(aw_scenario, n_anchors),
     .help = "the layout"},
    LIST_ROW(tags, AW_BLOCK_TAG, 1, INFINITY, "one tag named `tag`",
             "kinds of tag; the first is every zone's default"),
    {.block = AW_BLOCK_SCENARIO,
     .key = "ranging",
     .type = AW_FIELD_BLOCK,
     .standard_is = "its defaults",
     .inner = AW_BLOCK_RANGING,
     .offset = offsetof(aw_scenario, ranging),
     .help = "arrival error and reach of a link"},
    LIST_ROW(zones, AW_BLOCK_ZONE, 0, INFINITY, "none", "parts of the floor, each with a need"),
    {.block = AW_BLOCK_SCENARIO,
     .key = "prices",
     .type = AW_FIELD_BLOCK,
     .standard_is = "none",
     .inner = AW_BLOCK_PRICES,
     .offset = offsetof(aw_scenario, prices),
     .help = "what the layout costs"},
    {.block = AW_BLOCK_SCENARIO,
     .key = "study",
     .type = AW_FIELD_BLOCK,
     .standard_is = "its defaults",
     .inner = AW_BLOCK_STUDY,
     .offset = offsetof(aw_scenario, study),
     .help = "how finely to compute"},

    {.block = AW_BLOCK_FLOOR,
     .key = "outline",
     .type = AW_FIELD_POLYGON,
     .required = true,
     .range = WITHIN(3, 10000),
     .offset = offsetof(aw_floor, outline),
     .help = "corners `[x, y]` in either winding"},
    {.block = AW_BLOCK_FLOOR,
     .key = "ceiling",
     .type = AW_FIELD_LENGTH,
     .required = true,
     .standard = UNKNOWN,
     .range = ABOVE(0, 1000),
     .offset = offsetof(aw_floor, ceiling),
     .help = "height above the finished floor"},

    {.block = AW_BLOCK_MATERIAL,
     .key = "loss_db",
     .type = AW_FIELD_NUMBER,
     .unit = "dB",
     .range = WITHIN(0, 1000),
     .offset = offsetof(aw_material, loss_db),
     .help = "loss for each obstacle crossed, whatever its size"},
    {.block = AW_BLOCK_MATERIAL,
     .key = "delay",
     .type = AW_FIELD_LENGTH,
     .range = WITHIN(0, 1000),
     .offset = offsetof(aw_material, delay),
     .help = "excess path for each obstacle crossed"},

    NAME_ROW(AW_BLOCK_OBSTACLE, aw_obstacle),
    {.block = AW_BLOCK_OBSTACLE,
     .key = "footprint",
     .type = AW_FIELD_POLYGON,
     .required = true,
     .range = WITHIN(3, 10000),
     .offset = offsetof(aw_obstacle, footprint),
     .help = "corners `[x, y]` in either winding"},
    SPAN_ROWS(AW_BLOCK_OBSTACLE, aw_obstacle),

    NAME_ROW(AW_BLOCK_WALL, aw_wall),
    {.block = AW_BLOCK_WALL,
     .key = "path",
     .type = AW_FIELD_PATH,
     .required = true,
     .range = WITHIN(2, 10000),
     .offset = offsetof(aw_wall, path),
     .n_offset = offsetof(aw_wall, n),
     .help = "points `[x, y]` of its middle line"},
    {.block = AW_BLOCK_WALL,
     .key = "thickness",
     .type = AW_FIELD_LENGTH,
     .standard = 0.1,
     .range = ABOVE(0, 10),
     .offset = offsetof(aw_wall, thickness),
     .help = "half of it to either side of the path"},
    SPAN_ROWS(AW_BLOCK_WALL, aw_wall),

    NAME_ROW(AW_BLOCK_ANCHOR, aw_anchor),
    {.block = AW_BLOCK_ANCHOR,
     .key = "at",
     .type = AW_FIELD_SPOT,
     .required = true,
     .range = WITHIN(-MOST, MOST),
     .offset = offsetof(aw_anchor, at),
     .help = "`[x, y, z]`, z in [0, the ceiling]"},

    NAME_ROW(AW_BLOCK_TAG, aw_tag),
    {.block = AW_BLOCK_TAG,
     .key = "height",
     .type = AW_FIELD_LENGTH,
     .standard = 1.0,
     .range = WITHIN(0, 1000),
     .to_ceiling = true,
     .offset = offsetof(aw_tag, height),
     .help = "above the finished floor"},
    {.block = AW_BLOCK_TAG,
     .key = "fix",
     .type = AW_FIELD_CHOICE,
     .standard = AW_FIX_2D,
     .standard_is = "2d",
     .choices = fix_choices,
     .offset = offsetof(aw_tag, fix),
     .help = "2d: the height is known and x, y are solved; 3d: x, y, z are"},
    {.block = AW_BLOCK_TAG,
     .key = "height_sigma",
     .type = AW_FIELD_LENGTH,
     .range = WITHIN(0, 10),
     .offset = offsetof(aw_tag, height_sigma),
     .help = "1 sigma of true minus assumed height"},

    RANGING_ROW(sigma, AW_FIELD_LENGTH, NULL, 0.10, ABOVE(0, 100),
                "1-sigma arrival error of a clear link, new for every fix"),
    RANGING_ROW(range, AW_FIELD_LENGTH, NULL, 40, ABOVE(0, MOST), "longest usable distance"),
    RANGING_ROW(budget_db, AW_FIELD_NUMBER, "dB", 20, WITHIN(0, 1000),
                "obstacle loss a link can bear"),
    RANGING_ROW(spot_sigma, AW_FIELD_LENGTH, NULL, 0, WITHIN(0, 100),
                "error drawn once for each spot and anchor"),
    RANGING_ROW(spot_length, AW_FIELD_LENGTH, NULL, 0.4, ABOVE(0, 100),
                "a moving tag gets a new spot error about every so far"),
    RANGING_ROW(tail_share, AW_FIELD_NUMBER, "", 0, WITHIN(0, 1),
                "share of spots whose error is drawn from tail_sigma instead"),
    RANGING_ROW(tail_sigma, AW_FIELD_LENGTH, NULL, 0, WITHIN(0, 100), "spot error of those spots"),
    RANGING_ROW(survey_sigma, AW_FIELD_LENGTH, NULL, 0, WITHIN(0, 100),
                "of an anchor's surveyed place, each axis, once for the installation"),
    RANGING_ROW(delay_sigma, AW_FIELD_LENGTH, NULL, 0, WITHIN(0, 100),
                "of an anchor's cable and antenna delay, likewise"),

    NAME_ROW(AW_BLOCK_ZONE, aw_zone),
    {.block = AW_BLOCK_ZONE,
     .key = "outline",
     .type = AW_FIELD_POLYGON,
     .required = true,
     .range = WITHIN(3, 10000),
     .offset = offsetof(aw_zone, outline),
     .help = "corners `[x, y]` in either winding"},
    {.block = AW_BLOCK_ZONE,
     .key = "tag",
     .type = AW_FIELD_TAG,
     .standard_is = "the first tag",
     .offset = offsetof(aw_zone, tag),
     .help = "name of the tag that is used here"},
    {.block = AW_BLOCK_ZONE,
     .key = "need",
     .type = AW_FIELD_BLOCK,
     .standard_is = "none",
     .inner = AW_BLOCK_NEED,
     .offset = offsetof(aw_zone, need),
     .help = "what is asked for here"},

    NEED_ROW(p95, AW_FIELD_LENGTH, NULL, ABOVE(0, 1000),
             "at least 95 % of fixes err by at most this"),
    NEED_ROW(share, AW_FIELD_NUMBER, "", ABOVE(0, 1),
             "besides, at least this share of the cells has its own p95 within the need"),
    NEED_ROW(p50, AW_FIELD_LENGTH, NULL, ABOVE(0, 1000),
             "at least half of fixes err by at most this"),
    NEED_ROW(p99, AW_FIELD_LENGTH, NULL, ABOVE(0, 1000),
             "at least 99 % of fixes err by at most this"),
    NEED_ROW(vertical_p95, AW_FIELD_LENGTH, NULL, ABOVE(0, 1000),
             "at least 95 % of fixes of a 3d tag err by at most this in height"),
    NEED_ROW(fix_share, AW_FIELD_NUMBER, "", ABOVE(0, 1),
             "at least this share of draws gives a fix"),
    NEED_ROW(zone_share, AW_FIELD_NUMBER, "", ABOVE(0, 1),
             "at least this probability that a tag in the zone is reported in it"),

    {.block = AW_BLOCK_PRICES,
     .key = "currency",
     .type = AW_FIELD_TEXT,
     .required = true,
     .range = WITHIN(1, 8),
     .offset = offsetof(aw_prices, currency),
     .help = "stands beside every amount"},
    PRICE_ROW(AW_BLOCK_PRICES, aw_prices, anchor, "of an anchor"),
    PRICE_ROW(AW_BLOCK_PRICES, aw_prices, port, "of the switch port that an anchor takes"),
    PRICE_ROW(AW_BLOCK_PRICES, aw_prices, cable, "of cable, for one of `units`"),
    {.block = AW_BLOCK_PRICES,
     .key = "cabinet",
     .type = AW_FIELD_SPOT,
     .standard_is = "none, and no cable is counted",
     .range = WITHIN(-MOST, MOST),
     .offset = offsetof(aw_prices, cabinet),
     .help = "`[x, y, z]` where the cables begin; they run along x, y and z"},
    PRICE_ROW(AW_BLOCK_PRICES, aw_prices, lift_hour, "of an hour with a lift and its crew"),
    PRICES_LIST_ROW(mounts, AW_BLOCK_MOUNT, "what holds an anchor up, by height"),
    PRICES_LIST_ROW(items, AW_BLOCK_ITEM, "anything else"),

    NAME_ROW(AW_BLOCK_MOUNT, aw_mount),
    {.block = AW_BLOCK_MOUNT,
     .key = "up_to",
     .type = AW_FIELD_LENGTH,
     .standard = UNKNOWN,
     .standard_is = "the ceiling",
     .range = ABOVE(0, 1000),
     .offset = offsetof(aw_mount, up_to),
     .help = "serves anchors up to this height; each takes the lowest mount that serves it"},
    PRICE_ROW(AW_BLOCK_MOUNT, aw_mount, price, "of one"),
    {.block = AW_BLOCK_MOUNT,
     .key = "lift_hours",
     .type = AW_FIELD_NUMBER,
     .unit = "h",
     .range = WITHIN(0, 1000),
     .offset = offsetof(aw_mount, lift_hours),
     .help = "with a lift, for each"},

    NAME_ROW(AW_BLOCK_ITEM, aw_item_price),
    PRICE_ROW(AW_BLOCK_ITEM, aw_item_price, price, "of one"),
    {.block = AW_BLOCK_ITEM,
     .key = "each",
     .type = AW_FIELD_CHOICE,
     .standard = AW_EACH_LAYOUT,
     .standard_is = "layout",
     .choices = each_choices,
     .offset = offsetof(aw_item_price, each),
     .help = "paid for each anchor or once for the layout"},

    {.block = AW_BLOCK_STUDY,
     .key = "step",
     .type = AW_FIELD_LENGTH,
     .standard = 0.5,
     .range = ABOVE(0, 100),
     .offset = offsetof(aw_study, step),
     .help = "side of a cell"},
    {.block = AW_BLOCK_STUDY,
     .key = "draws",
     .type = AW_FIELD_COUNT,
     .standard = 1000,
     .range = WITHIN(1, 1000000),
     .offset = offsetof(aw_study, draws),
     .help = "for each cell"},
    {.block = AW_BLOCK_STUDY,
     .key = "seed",
     .type = AW_FIELD_SEED,
     .standard = 1,
     .range = BELOW(0, 0x1p63),
     .offset = offsetof(aw_study, seed),
     .help = "names the random numbers"},
    {.block = AW_BLOCK_STUDY,
     .key = "odds",
     .type = AW_FIELD_NUMBER,
     .unit = "",
     .standard = 0.9,
     .range = ABOVE(0, 1),
     .offset = offsetof(aw_study, odds),
     .help = "asked odds, over installations, that a need is met"},
};

const size_t aw_fields_n = sizeof aw_fields / sizeof aw_fields[0];
