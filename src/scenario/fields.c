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
static const aw_choice mode_choices[] = {
    {"tags send", AW_TAGS_SEND}, {"anchors send", AW_ANCHORS_SEND}, {NULL, 0}};

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

#define OUTLINE_ROW(id, item, key_, help_)                                                         \
    {                                                                                              \
        .block = id, .key = #key_, .type = AW_FIELD_POLYGON, .required = true,                     \
        .range = WITHIN(3, 10000), .offset = offsetof(item, key_), .help = help_                   \
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

#define LINE_ROW(key_, standard_, range_, help_)                                                   \
    {                                                                                              \
        .block = AW_BLOCK_LINE, .key = #key_, .type = AW_FIELD_LENGTH, .standard = standard_,      \
        .range = range_, .offset = offsetof(aw_candidate_line, key_), .help = help_                \
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
    CHOICE_ROW(AW_BLOCK_SCENARIO, aw_scenario, units, AW_METRES, "m", units_choices,
               "unit of every length in the file"),
    {.block = AW_BLOCK_SCENARIO,
     .key = "materials",
     .type = AW_FIELD_MATERIALS,
     .standard_is = "the built-in ones",
     .inner = AW_BLOCK_MATERIAL,
     .offset = offsetof(aw_scenario, materials),
     .n_offset = offsetof(aw_scenario, n_materials),
     .help = "adds to the built-in materials, or replaces them row by row"},
    {.block = AW_BLOCK_SCENARIO,
     .key = "floor",
     .type = AW_FIELD_BLOCK,
     .required = true,
     .inner = AW_BLOCK_FLOOR,
     .offset = offsetof(aw_scenario, floor),
     .help = "where tags may be"},
    LIST_ROW(levels, AW_BLOCK_LEVEL, 0, INFINITY, "none",
             "parts of the floor that lie lower or higher; a tag's height counts from there"),
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
    BLOCK_ROW(AW_BLOCK_SCENARIO, aw_scenario, ranging, AW_BLOCK_RANGING, "its defaults",
              "arrival error and reach of a link"),
    BLOCK_ROW(AW_BLOCK_SCENARIO, aw_scenario, radio, AW_BLOCK_RADIO,
              "none, and links have fixed figures",
              "what is sent and what hears it; links then follow from paths, power and noise"),
    LIST_ROW(zones, AW_BLOCK_ZONE, 0, INFINITY, "none", "parts of the floor, each with a need"),
    BLOCK_ROW(AW_BLOCK_SCENARIO, aw_scenario, candidates, AW_BLOCK_CANDIDATES, "none",
              "where anchors may be placed"),
    BLOCK_ROW(AW_BLOCK_SCENARIO, aw_scenario, prices, AW_BLOCK_PRICES, "none",
              "what the layout costs"),
    BLOCK_ROW(AW_BLOCK_SCENARIO, aw_scenario, study, AW_BLOCK_STUDY, "its defaults",
              "how finely to compute"),

    OUTLINE_ROW(AW_BLOCK_FLOOR, aw_floor, outline, "corners `[x, y]` in either winding"),
    {.block = AW_BLOCK_FLOOR,
     .key = "ceiling",
     .type = AW_FIELD_LENGTH,
     .required = true,
     .standard = UNKNOWN,
     .range = ABOVE(0, 1000),
     .offset = offsetof(aw_floor, ceiling),
     .help = "height above the finished floor"},
    FACE_ROW(material, "of the floor, which mirrors; counts with `radio`"),
    FACE_ROW(ceiling_material, "of the ceiling, likewise"),

    NAME_ROW(AW_BLOCK_LEVEL, aw_level),
    OUTLINE_ROW(
        AW_BLOCK_LEVEL, aw_level, outline,
        "corners `[x, y]` in either winding; where two levels overlap the later one counts"),
    {.block = AW_BLOCK_LEVEL,
     .key = "height",
     .type = AW_FIELD_LENGTH,
     .required = true,
     .range = WITHIN(-1000, 1000),
     .offset = offsetof(aw_level, height),
     .help = "of its floor above the finished floor; negative in a pit"},

    /* materials.c reads these rows by hand: some stand in for others. */
    MATERIAL_ROW(based_on, AW_FIELD_BASE, NULL, "none", WITHIN(1, 60), name,
                 "material, built in or above this one, that it begins as"),
    MATERIAL_ROW(loss_db, AW_FIELD_NUMBER, "dB", "0, or as `based_on`", WITHIN(0, 1000), loss_db,
                 "loss for each obstacle crossed, whatever its size, measured; with `radio` only "
                 "of a material without permittivity and layers, without it of any"),
    MATERIAL_ROW(delay, AW_FIELD_LENGTH, NULL, "0, or as `based_on`", WITHIN(0, 1000), delay,
                 "excess path for each obstacle crossed, likewise"),
    MATERIAL_ROW(permittivity, AW_FIELD_NUMBER, "", "none", WITHIN(1, 1000), dielectric.a,
                 "relative, real part, at the channel: with `radio` the loss of a slab"),
    MATERIAL_ROW(conductivity, AW_FIELD_NUMBER, "S/m", "0", WITHIN(0, 1e9), dielectric.c,
                 "at the channel; needs permittivity"),
    MATERIAL_ROW(thickness, AW_FIELD_LENGTH, NULL, "none", ABOVE(0, 10), usual,
                 "of a wall of it that gives none"),
    MATERIAL_ROW(layers, AW_FIELD_LAYERS, NULL, "none", WITHIN(1, 16), leaves,
                 "`[[NAME, THICKNESS], …]` from one face to the other: with `radio` the loss of "
                 "that wall"),
    MATERIAL_ROW(opaque, AW_FIELD_FLAG, NULL, "false, or as `based_on`", WITHIN(0, 1), opaque,
                 "with `radio` nothing goes through"),
    MATERIAL_ROW(added_db, AW_FIELD_NUMBER, "dB", "0", WITHIN(0, 1000), added_db,
                 "loss for each obstacle crossed beyond the rest: goods in a rack"),
    MATERIAL_ROW(added_delay, AW_FIELD_LENGTH, NULL, "0", WITHIN(0, 1000), added_delay,
                 "excess path for each obstacle crossed, likewise"),

    NAME_ROW(AW_BLOCK_OBSTACLE, aw_obstacle),
    OUTLINE_ROW(AW_BLOCK_OBSTACLE, aw_obstacle, footprint, "corners `[x, y]` in either winding"),
    SPAN_ROWS(AW_BLOCK_OBSTACLE, aw_obstacle),
    {.block = AW_BLOCK_OBSTACLE,
     .key = "shell",
     .type = AW_FIELD_LENGTH,
     .standard_is = "solid",
     .range = ABOVE(0, 10),
     .offset = offsetof(aw_obstacle, shell),
     .help = "thickness of its sides, roof and underside, empty inside; counts with `radio`"},

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
     .help = "half of it to either side of the path; with `radio` the slab's, where the material's "
             "own does not stand in"},
    SPAN_ROWS(AW_BLOCK_WALL, aw_wall),

    NAME_ROW(AW_BLOCK_ANCHOR, aw_anchor),
    {.block = AW_BLOCK_ANCHOR,
     .key = "at",
     .type = AW_FIELD_SPOT,
     .required = true,
     .range = WITHIN(-MOST, MOST),
     .offset = offsetof(aw_anchor, at),
     .help = "`[x, y, z]`, z in [0, the ceiling], in a pit from its floor"},

    NAME_ROW(AW_BLOCK_TAG, aw_tag),
    {.block = AW_BLOCK_TAG,
     .key = "height",
     .type = AW_FIELD_LENGTH,
     .standard = 1.0,
     .range = WITHIN(0, 1000),
     .to_ceiling = true,
     .offset = offsetof(aw_tag, height),
     .help = "above the floor where the tag is, which `levels` lower and raise"},
    CHOICE_ROW(AW_BLOCK_TAG, aw_tag, fix, AW_FIX_2D, "2d", fix_choices,
               "2d: the height is known and x, y are solved; 3d: x, y, z are"),
    {.block = AW_BLOCK_TAG,
     .key = "height_sigma",
     .type = AW_FIELD_LENGTH,
     .range = WITHIN(0, 10),
     .offset = offsetof(aw_tag, height_sigma),
     .help = "1 sigma of true minus assumed height"},

    {.block = AW_BLOCK_RANGING,
     .key = "start",
     .type = AW_FIELD_START,
     .standard_is = "none",
     .offset = offsetof(aw_ranging, start),
     .help = "place whose measured figures stand where no key gives one; they are listed below"},
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

    RADIO_ROW(
        channel, AW_FIELD_COUNT, "", 5, WITHIN(0, 15),
        "number of IEEE 802.15.4-2020, HRP UWB, Table 15-11. At full density 47 CFR 15.517(c) "
        "takes 1 to 15, (EU) 2019/785 (6.0 to 8.5 GHz) 5, 6, 8 and 9"),
    CHOICE_ROW(AW_BLOCK_RADIO, aw_radio, environment, AW_INF_DH, "InF-DH", aw_environment_choices,
               "of the IEEE 802.15.4a channel model or 3GPP TR 38.901: its shadowing in line of "
               "sight is drawn for each link, its path loss stands beside ours"),
    CHOICE_ROW(AW_BLOCK_RADIO, aw_radio, mode, AW_TAGS_SEND, "tags send", mode_choices,
               "who sends the frame that is timed; anchors that send may not hang outdoors (47 CFR "
               "15.517(a), ETSI EN 302 065-2)"),
    RADIO_ROW(density_dbm_mhz, AW_FIELD_NUMBER, "dBm/MHz", -41.3, WITHIN(-200, 60),
              "mean EIRP over 1 ms. Regulation: at most -41.3 (47 CFR 15.517(c), (EU) 2019/785) "
              "unless licensed"),
    RADIO_ROW(
        backoff_db, AW_FIELD_NUMBER, "dB", 0, WITHIN(0, 60),
        "what is sent below that density: spectrum not flat, tolerance, antenna. Typical 0 to "
        "3, check the data sheet"),
    RADIO_ROW(frame_gain_db, AW_FIELD_NUMBER, "dB", 0, WITHIN(0, 60),
              "a frame's own mean above the mean over 1 ms. By definition at most "
              "10 lg(1 ms / frame); regulation: peak at most 0 dBm in 50 MHz (47 CFR 15.517(e), "
              "(EU) 2019/785)"),
    {.block = AW_BLOCK_RADIO,
     .key = "licensed",
     .type = AW_FIELD_FLAG,
     .standard_is = "false",
     .offset = offsetof(aw_radio, licensed),
     .help = "the limits of unlicensed operation do not bind"},
    RADIO_ROW(
        arrival_floor, AW_FIELD_LENGTH, NULL, 0.03, WITHIN(0, 100),
        "white 1-sigma arrival error of however strong a clear link. Measured: 0.030 to 0.034 "
        "m for each anchor, static, UTIL (IJRR 43(10), 2024)"),
    BLOCK_ROW(AW_BLOCK_RADIO, aw_radio, receiver, AW_BLOCK_RECEIVER, "its defaults",
              "what hears the frame"),

    RECEIVER_ROW(noise_figure_db, AW_FIELD_NUMBER, "dB", 6, WITHIN(0, 40),
                 "above k·290 K·bandwidth. Typical, check the data sheet"),
    RECEIVER_ROW(preamble, AW_FIELD_COUNT, "symbols", 128, WITHIN(16, 65535),
                 "summed by the receiver, 1017.63 ns each (IEEE 802.15.4-2020, 62.4 MHz); their "
                 "duration × bandwidth is the processing gain. Standard: 16, 64, 1024, 4096; "
                 "others are usual"),
    RECEIVER_ROW(
        sensitivity_dbm, AW_FIELD_NUMBER, "dBm", -94, WITHIN(-200, 0),
        "least power of all paths at which a frame is received. Typical at 6.8 Mb/s, check "
        "the data sheet"),
    RECEIVER_ROW(detect_db, AW_FIELD_NUMBER, "dB", 12, WITHIN(0, 60),
                 "how far a path must clear the noise after that gain. Derived: noise alone passes "
                 "in 1 of 10 000 responses of 1016 taps, ln(1016 · 10⁴) = 12.1 dB"),
    RECEIVER_ROW(dynamic_db, AW_FIELD_NUMBER, "dB", 25, WITHIN(0, 100),
                 "how far a path may lie below the strongest. Typical, check the data sheet"),

    NAME_ROW(AW_BLOCK_ZONE, aw_zone),
    OUTLINE_ROW(AW_BLOCK_ZONE, aw_zone, outline, "corners `[x, y]` in either winding"),
    {.block = AW_BLOCK_ZONE,
     .key = "tag",
     .type = AW_FIELD_TAG,
     .standard_is = "the first tag",
     .offset = offsetof(aw_zone, tag),
     .help = "name of the tag that is used here"},
    BLOCK_ROW(AW_BLOCK_ZONE, aw_zone, need, AW_BLOCK_NEED, "none", "what is asked for here"),

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

    CANDIDATES_LIST_ROW(points, AW_BLOCK_POINT, "single places"),
    CANDIDATES_LIST_ROW(lines, AW_BLOCK_LINE, "places along walls, trusses and rows of columns"),
    CANDIDATES_LIST_ROW(forbidden, AW_BLOCK_FORBIDDEN, "where no anchor may be"),

    NAME_ROW(AW_BLOCK_POINT, aw_candidate_point),
    {.block = AW_BLOCK_POINT,
     .key = "at",
     .type = AW_FIELD_SPOT,
     .required = true,
     .range = WITHIN(-MOST, MOST),
     .offset = offsetof(aw_candidate_point, at),
     .help = "`[x, y, z]`, z in [0, the ceiling]; an anchor placed here takes the point's name"},

    {.block = AW_BLOCK_LINE,
     .key = "name",
     .type = AW_FIELD_TEXT,
     .required = true,
     .range = WITHIN(1, 50),
     .offset = offsetof(aw_candidate_line, name),
     .help = "unique in its list; an anchor placed here takes it with a number"},
    {.block = AW_BLOCK_LINE,
     .key = "path",
     .type = AW_FIELD_PATH,
     .required = true,
     .range = WITHIN(1, 10000),
     .offset = offsetof(aw_candidate_line, path),
     .n_offset = offsetof(aw_candidate_line, n),
     .help = "points `[x, y]`: along a wall or truss, or the columns of a row"},
    {.block = AW_BLOCK_LINE,
     .key = "spacing",
     .type = AW_FIELD_LENGTH,
     .standard_is = "the points of the path alone",
     .range = ABOVE(0, MOST),
     .offset = offsetof(aw_candidate_line, spacing),
     .help = "a place every so far along the path"},
    LINE_ROW(off, 0, WITHIN(-100, 100),
             "places lie so far to the left of the path as it runs; below 0 to the right"),
    {.block = AW_BLOCK_LINE,
     .key = "low",
     .type = AW_FIELD_LENGTH,
     .required = true,
     .range = WITHIN(0, 1000),
     .to_ceiling = true,
     .offset = offsetof(aw_candidate_line, low),
     .help = "lowest height"},
    {.block = AW_BLOCK_LINE,
     .key = "high",
     .type = AW_FIELD_LENGTH,
     .standard = UNKNOWN,
     .standard_is = "low",
     .range = WITHIN(0, 1000),
     .to_ceiling = true,
     .offset = offsetof(aw_candidate_line, high),
     .help = "highest; not under low"},
    LINE_ROW(rise, 1.0, ABOVE(0, 1000), "a place every so much from low up to high"),

    NAME_ROW(AW_BLOCK_FORBIDDEN, aw_forbidden),
    {.block = AW_BLOCK_FORBIDDEN,
     .key = "outline",
     .type = AW_FIELD_POLYGON,
     .required = true,
     .range = WITHIN(3, 10000),
     .offset = offsetof(aw_forbidden, outline),
     .help = "corners `[x, y]` in either winding"},
    {.block = AW_BLOCK_FORBIDDEN,
     .key = "base",
     .type = AW_FIELD_LENGTH,
     .range = WITHIN(-MOST, MOST),
     .offset = offsetof(aw_forbidden, base),
     .help = "height from which on it is forbidden"},
    {.block = AW_BLOCK_FORBIDDEN,
     .key = "top",
     .type = AW_FIELD_LENGTH,
     .standard = UNKNOWN,
     .standard_is = "the ceiling",
     .range = WITHIN(-MOST, MOST),
     .offset = offsetof(aw_forbidden, top),
     .help = "height up to which; above base"},

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
    CHOICE_ROW(AW_BLOCK_ITEM, aw_item_price, each, AW_EACH_LAYOUT, "layout", each_choices,
               "paid for each anchor or once for the layout"),

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
