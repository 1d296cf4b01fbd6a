/** @file scenario.h
 *  What the user wrote: one floor and one layout, read from YAML, checked, and in metres.
 *
 *  The format is described key by key in docs/scenario.md, which aw_scenario_reference_write()
 *  prints from the same table that drives the reading. All behind this header is metric.
 */
#ifndef ANCHORWISE_SCENARIO_H
#define ANCHORWISE_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "anchorwise/error.h"
#include "anchorwise/plane.h"
#include "anchorwise/text.h"
#include "anchorwise/units.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** A point of a picture, and the place that it shows. */
typedef struct aw_pin {
    double px, py; /**< from the upper left: pixels, units of an SVG, points of a PDF */
    double x, y;   /**< m */
} aw_pin;

/** A client's plan as a picture, pale under the charts. */
typedef struct aw_floor_picture {
    const char *file; /**< from the scenario's folder, or an absolute path; NULL: none */
    uint32_t page;    /**< of a PDF, counted from 1 */
    aw_pin pins[2];
    aw_text_pos place;
} aw_floor_picture;

typedef struct aw_floor {
    aw_polygon outline;
    double ceiling;          /**< m above the finished floor */
    size_t material;         /**< index into materials[], of what mirrors below */
    size_t ceiling_material; /**< likewise above */
    size_t wall_material;    /**< likewise along the outline */
    aw_floor_picture picture;
} aw_floor;

/** A slab that one can stand under. */
typedef struct aw_slab {
    double thickness; /**< m; 0: none */
    size_t material;  /**< index into materials[] */
} aw_slab;

/** A part of the floor that lies lower (a pit) or higher (a mezzanine, a dock) than the finished
 *  floor. Without a slab a higher one is solid down to the floor that it stands on. */
typedef struct aw_level {
    const char *name;
    aw_polygon outline;
    double height; /**< of its floor, m above the finished floor; negative in a pit */
    aw_slab slab;
    aw_text_pos place;
} aw_level;

/** Relative permittivity a f^b and conductivity c f^d in S/m, f in GHz: ITU-R P.2040-3, 3. */
typedef struct aw_dielectric {
    double a, b, c, d;
} aw_dielectric;

/** One leaf of a layered wall. */
typedef struct aw_leaf {
    const char *material;
    aw_dielectric dielectric;
    double thickness; /**< m, > 0 */
} aw_leaf;

/** What the loss and delay of an obstacle crossed follow from under a `radio` block. */
typedef enum aw_material_kind {
    AW_MATERIAL_FIXED,  /**< loss_db and delay, measured, whatever its size and the angle */
    AW_MATERIAL_SLAB,   /**< dielectric, thickness and angle */
    AW_MATERIAL_LAYERED /**< leaves and angle */
} aw_material_kind;

typedef struct aw_material {
    const char *name;
    double loss_db; /**< for each obstacle crossed, whatever its size: without a `radio` block of
                       any material, with one of a fixed one */
    double delay;   /**< excess path in m, likewise */
    aw_material_kind kind;
    bool opaque;              /**< with a `radio` block nothing goes through */
    aw_dielectric dielectric; /**< of a slab */
    double default_thickness; /**< m, thickness of a wall that gives none; 0: no usual one */
    const aw_leaf *leaves;    /**< of a layered one, from one face to the other */
    size_t n_leaves;
    double lowest, highest; /**< Hz, from and up to which the dielectric holds, or all leaves do;
                                 highest 0: no table says */
    double added_db, added_delay; /**< of a slab or layers, each time crossed, beyond its kind's */
} aw_material;

/** An upright prism, footprint x [base, top]. */
typedef struct aw_obstacle {
    const char *name;
    aw_polygon footprint;
    double base, top; /**< m */
    double shell;     /**< m, thickness of its upright walls, roof and underside; 0: solid */
    size_t material;  /**< index into materials[] */
    bool is_level;    /**< made of a level: its slab, or what it is solid of */
    aw_text_pos place;
} aw_obstacle;

/** A path with a thickness: one upright rectangular prism for each leg, square ends, no mitre. */
typedef struct aw_wall {
    const char *name;
    const aw_point *path;
    size_t n;               /**< points of the path */
    const aw_polygon *legs; /**< n - 1 rectangles, 2 mm thick or more: cladding of 0.5 mm counts */
    double thickness, base, top;
    double slab_thickness; /**< m, what the slab formula takes: the written thickness, else the
                                material's default, else `thickness` */
    size_t material;
    aw_text_pos place;
} aw_wall;

typedef struct aw_anchor {
    const char *name;
    double at[3]; /**< m */
    uint32_t key; /**< names the anchor's random numbers: FNV-1a 32 of the name's UTF-8 bytes, made
                       unique in the order of the names, never 0 */
    aw_text_pos place;
} aw_anchor;

/** 2d: the height is known and x, y are solved; 3d: x, y, z are solved. */
typedef enum aw_fix_kind { AW_FIX_2D = 2, AW_FIX_3D = 3 } aw_fix_kind;

typedef struct aw_tag {
    const char *name;
    double height;       /**< m */
    double height_sigma; /**< m, 1 sigma of true minus assumed height */
    aw_fix_kind fix;
    size_t
        level; /**< where it stands: AW_LEVEL_TOP, AW_LEVEL_FLOOR, else 1 + index into levels[] */
    aw_text_pos place;
} aw_tag;

/** What a starting point is of. */
typedef enum aw_start_room {
    AW_ROOM_CLEAR,      /**< measured in a room without metal about */
    AW_ROOM_WITH_METAL, /**< measured with metal placed in the room */
    AW_ROOM_ANY /**< of a site nobody measured: so cautious that four in five are no worse */
} aw_start_room;

/** Terms for `ranging`, and where they come from. */
typedef struct aw_start {
    const char *name;
    double sigma, spot_sigma, tail_share, tail_sigma, delay_sigma;
    aw_start_room room;
    const char *lab, *equipment, *date;
    const char *measured; /**< what was measured, in one line */
    const char *source;   /**< the publication */
} aw_start;

extern const aw_start aw_starts[];
extern const size_t aw_starts_n;

/** Where a measurement was made that the terms of `ranging` were fitted to. */
typedef enum aw_measured_where { AW_MEASURED_SITE, AW_MEASURED_EQUIPMENT } aw_measured_where;

/** That measurement; points 0: there is none. */
typedef struct aw_measured {
    uint32_t points; /**< spots, at least half a metre apart */
    uint32_t days;   /**< on which they were measured, from 1 on */
    aw_measured_where where;
} aw_measured;

/** Weighted least squares, or that with late arrivals doubted; what was read is never unsaid. */
typedef enum aw_solver { AW_SOLVER_PLAIN, AW_SOLVER_ROBUST, AW_SOLVER_UNSAID } aw_solver;

/** "plain" or "robust". */
const char *aw_solver_name(aw_solver solver);

/** Arrival error of a clear link and reach of a link; lengths in m (times are times c). With a
 *  `radio` block sigma, range and budget_db have no part: power, noise and paths decide instead. */
typedef struct aw_ranging {
    const aw_start *start; /**< whose figures stand where the file gives none; NULL: the defaults */
    double sigma;          /**< white, new for every fix */
    double range;          /**< longest usable straight 3-D distance */
    double budget_db;      /**< largest usable sum of obstacle losses */
    double spot_sigma;     /**< once for each spot and anchor */
    double spot_length; /**< a moving tag gets a new reflection error about every so many metres; no
                             figure depends on it */
    double tail_share;  /**< share of spots whose error is drawn from tail_sigma instead */
    double tail_sigma;
    double survey_sigma; /**< of an anchor's surveyed place, each axis, once for the installation */
    double delay_sigma;  /**< of its cable and antenna delay, likewise */
    aw_solver solver;
    aw_measured measured;
    aw_text_pos place; /**< of the block, or of the document if it has none */
} aw_ranging;

/** A channel of IEEE 802.15.4-2020 HRP UWB (Table 15-11), Hz. */
typedef struct aw_channel {
    uint32_t number; /**< 0 to 15 */
    double centre, bandwidth;
} aw_channel;

/** Environments of the IEEE 802.15.4a channel model and of 3GPP TR 38.901, Indoor Factory. */
typedef enum aw_environment {
    AW_RESIDENTIAL,
    AW_OFFICE,
    AW_OUTDOOR,
    AW_OPEN_OUTDOOR,
    AW_INDUSTRIAL,
    AW_INF_SL,
    AW_INF_DL,
    AW_INF_SH,
    AW_INF_DH,
    AW_ENVIRONMENTS
} aw_environment;

/** Who sends the frame that is timed. */
typedef enum aw_radio_mode { AW_TAGS_SEND, AW_ANCHORS_SEND } aw_radio_mode;

typedef struct aw_receiver {
    double noise_figure_db;
    uint32_t preamble; /**< symbols of 508 chips at 499.2 MHz (1017.63 ns) that are summed; their
                            duration times the bandwidth is the processing gain */
    double sensitivity_dbm; /**< least power of all paths together at which a frame is received */
    double detect_db;       /**< by how much a path must clear the noise after that gain */
    double dynamic_db;      /**< by how much it may lie below the strongest path of the link */
} aw_receiver;

/** What is sent, and what hears it. */
typedef struct aw_radio {
    bool given; /**< false: links have fixed figures, and nothing below counts */
    aw_channel channel;
    aw_environment environment;
    aw_radio_mode mode;
    double density_dbm_mhz; /**< mean EIRP density over 1 ms, dBm/MHz */
    double backoff_db;      /**< below it */
    double frame_gain_db;   /**< a frame's own mean above the mean over 1 ms */
    bool licensed;          /**< the limits of unlicensed operation do not bind */
    bool scattered; /**< links out of sight have the power of the environment's law at least */
    aw_receiver receiver;
    double arrival_floor; /**< m, white 1-sigma arrival error of however strong a clear link */
    /** Times every loss and delay worked out from permittivity, and times the environment's
     *  shadowing: 1 as read (see sensitivity.h). */
    double loss_times, delay_times, shadowing_times;
    aw_text_pos place;
} aw_radio;

/** Seconds of a preamble symbol: 127 elements, 4 chips each, at 499.2 MHz (IEEE 802.15.4-2020). */
#define AW_PREAMBLE_SYMBOL (508 / 499.2e6)

/** The channel of a number, 0 to 15. */
aw_channel aw_channel_of(uint32_t number);

/** "InF-DH", "office" ...; the names are those of the scenario file. */
const char *aw_environment_name(aw_environment environment);

/** NaN: not asked for. Errors in m, at most; shares at least. */
typedef struct aw_need {
    double p95;
    double share;        /**< of the zone's cells with p95 within need */
    double p50, p99;     /**< like p95 */
    double vertical_p95; /**< of the height, of a 3d tag */
    double fix_share;    /**< of the draws with a fix */
    double zone_share;   /**< probability that a tag in the zone is reported in it */
    double chance;       /**< that a site meets the errors asked for; NaN: the study's */
    double margin;       /**< errors times this are to meet them, and no chance is asked */
} aw_need;

typedef struct aw_zone {
    const char *name;
    aw_polygon outline;
    size_t tag;        /**< index into tags[] */
    const char *level; /**< as written: a level's name or "floor"; NULL: the top one */
    aw_need need;
    aw_text_pos place;
} aw_zone;

/** A place that could carry an anchor. */
typedef struct aw_candidate_point {
    const char *name;
    double at[3]; /**< m */
    aw_text_pos place;
} aw_candidate_point;

/** Places along a wall, truss or row of columns, at several heights. */
typedef struct aw_candidate_line {
    const char *name;
    const aw_point *path;
    size_t n;           /**< points of the path */
    double spacing;     /**< m along the path; 0: its points alone */
    double left_offset; /**< m to the left of the path as it runs */
    double low, high;   /**< m: heights from low to high */
    double height_step; /**< m */
    aw_text_pos place;
} aw_candidate_line;

/** Where no anchor may be: a prism. */
typedef struct aw_forbidden {
    const char *name;
    aw_polygon outline;
    double base, top; /**< m */
    aw_text_pos place;
} aw_forbidden;

/** Where anchors may be placed; all lists empty: the scenario does not say. */
typedef struct aw_candidate_rules {
    const aw_candidate_point *points;
    size_t n_points;
    const aw_candidate_line *lines;
    size_t n_lines;
    const aw_forbidden *forbidden;
    size_t n_forbidden;
} aw_candidate_rules;

/** What holds an anchor up: it takes the mount with the least up_to that is not below it. */
typedef struct aw_mount {
    const char *name;
    double up_to; /**< m above the floor */
    double price;
    double lift_hours; /**< for each anchor */
    aw_text_pos place;
} aw_mount;

typedef enum aw_each { AW_EACH_ANCHOR, AW_EACH_LAYOUT } aw_each;

/** Any other thing to pay for, once for each anchor or once for the layout. */
typedef struct aw_item_price {
    const char *name;
    double price;
    aw_each each;
    aw_text_pos place;
} aw_item_price;

/** What things cost, in one currency. */
typedef struct aw_prices {
    const char *currency; /**< NULL: the scenario has no prices */
    double anchor, port, lift_hour;
    double cable;      /**< a metre */
    double cabinet[3]; /**< where the cables begin, m; NaN: no cable is counted */
    const aw_mount *mounts;
    size_t n_mounts;
    const aw_item_price *items;
    size_t n_items;
} aw_prices;

/** A stated range; NaN: none is stated. */
typedef struct aw_between {
    double low, high;
} aw_between;

/** Within what ranges the assumptions may be wrong, as they are stated; see sensitivity.h. */
typedef struct aw_assumptions {
    aw_between obstacle_tops; /**< m, on top of those of obstacles and walls under the ceiling */
    aw_between losses;        /**< times every material's loss, given or worked out */
    aw_between delays;        /**< times every material's delay, likewise */
    aw_between sigma, spot_sigma, tail_share, tail_sigma; /**< in place of those of ranging */
    aw_between survey_sigma, delay_sigma;                 /**< likewise */
    aw_between tag_heights;                               /**< m, on top of every tag's */
    aw_between height_sigmas;                             /**< times every tag's */
    aw_between range;                                     /**< in place of that of ranging */
    aw_between budget_db;                                 /**< likewise */
    /* Of a radio: */
    aw_between arrival_floor; /**< in place of the radio's */
    aw_between power_db;      /**< on top of what is sent */
    aw_between receiver_db;   /**< on top of noise figure and sensitivity */
    aw_between shadowing;     /**< times the environment's */
} aw_assumptions;

typedef struct aw_study {
    double step; /**< m */
    uint32_t draws;
    double precision; /**< width of the interval of a zone's p95, as a share of it; NaN: by draws */
    uint64_t seed;
    double odds;   /**< of meeting the p95 need that is asked for, over installations; NaN: none */
    double chance; /**< of a need that states none; see aw_need */
    double margin; /**< likewise; NaN: none */
    bool over_needs; /**< these two stand above what needs state */
} aw_study;

/** One change laid over a scenario's text; see vary.h. */
typedef struct aw_change {
    const char *path, *value;
} aw_change;

typedef struct aw_scenario {
    const char *title;
    aw_units units;
    aw_plan_place plan;
    aw_floor floor;
    const aw_level *levels;
    size_t n_levels;
    const aw_material *materials;
    size_t n_materials;
    const aw_obstacle *obstacles;
    size_t n_obstacles;
    const aw_wall *walls;
    size_t n_walls;
    const aw_anchor *anchors;
    size_t n_anchors; /**< 1 to 1024 */
    const aw_tag *tags;
    size_t n_tags; /**< at least 1; the first is every zone's default */
    aw_ranging ranging;
    aw_radio radio;
    const aw_zone *zones;
    size_t n_zones;
    aw_candidate_rules candidates;
    aw_prices prices;
    aw_assumptions assumptions;
    aw_study study;
    aw_text_pos study_place;  /**< of the study block, or of the document if it has none */
    const aw_change *changes; /**< laid over its text before it was read, in their order */
    size_t n_changes;
    void *memory; /**< everything above lives here */
} aw_scenario;

/** Reads a scenario text.
 *  @param scenario  filled on success, zeroed otherwise; aw_scenario_free() it either way.
 *  @param text      `length` bytes of YAML, UTF-8; need not end with a NUL.
 *  @param errors    gets every mistake and every warning, sorted by place.
 *  @return          true if there was no error; warnings do not count.
 */
bool aw_scenario_parse(aw_scenario *scenario, const char text[], size_t length, aw_errors *errors);

/** The bytes of a scenario's file, of standard input if the path is "-". Of too long a file (16 MiB
 *  are allowed) at least one byte more than that is read, so that aw_scenario_parse() refuses it.
 *
 *  @param text    NULL before; gets the bytes, which the caller frees, whatever happens.
 *  @return        false with an error without a place if it cannot be read. */
bool aw_file_read(const char *path, char **text, size_t *length, aw_errors *errors);

/** aw_file_read(), then aw_scenario_parse(); what cannot be read is an error without a place. */
bool aw_scenario_read(aw_scenario *scenario, const char *path, aw_errors *errors);

/** Sets one key of the study block (`step`, `draws` and so on) from text, in the file's units and
 *  within the scenario's ranges, as a command-line option does. On a bad value adds an error
 * without a place that begins with `--KEY: ` and returns false. */
bool aw_scenario_set_study(aw_scenario *scenario, const char *key, const char *value,
                           aw_errors *errors);

/** Prints the scenario reference, one Markdown table for each block, from the fields table. */
void aw_scenario_reference_write(FILE *out);

/** Adds the same table as a JSON Schema (draft 2020-12), for editors. What it refuses,
 *  aw_scenario_parse() refuses too; what concerns more than one value only the latter tells. */
void aw_scenario_schema(aw_text *out);

/** Why no tag can be at a place. */
typedef enum aw_taken_by {
    AW_TAKEN_BY_NOTHING,
    AW_OFF_THE_FLOOR,
    AW_OVER_THE_CEILING,
    AW_IN_AN_OBSTACLE,
    AW_IN_A_WALL
} aw_taken_by;

typedef struct aw_taken {
    aw_taken_by by;
    const char *name; /**< of the obstacle or wall, the scenario's; else NULL */
} aw_taken;

/** What takes a place, z in m above the finished floor. */
aw_taken aw_taken_at(const aw_scenario *scenario, double x, double y, double z);

/** True if the scenario has spot or installation terms, else its figures are bench figures. */
bool aw_scenario_is_site(const aw_scenario *scenario);

/** True if it has installation terms (survey or delay). */
bool aw_scenario_has_installation(const aw_scenario *scenario);

/** Whether what has its top (m) there ends under the ceiling, by more than 1 cm. */
bool aw_ends_under_ceiling(const aw_scenario *scenario, double top);

/** What it has that may be otherwise than written: an obstacle or wall that ends under the ceiling,
 *  one whose material weakens or delays a link, a tag with a height_sigma. */
bool aw_scenario_has_tops(const aw_scenario *scenario);
bool aw_scenario_has_losses(const aw_scenario *scenario);
bool aw_scenario_has_delays(const aw_scenario *scenario);
bool aw_scenario_has_height_sigmas(const aw_scenario *scenario);

/** The mount of the prices that an anchor at a height (m) takes; NULL if there is none. */
const aw_mount *aw_mount_at(const aw_prices *prices, double height);

/** Sets the key of anchor i < n of a list, whose others have theirs, from its name. Where two names
 *  share a hash, which no two of a million chance pairs do, the later gets the next free key. */
void aw_anchor_set_key(aw_anchor anchors[], size_t n, size_t i);

void aw_scenario_free(aw_scenario *scenario);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
