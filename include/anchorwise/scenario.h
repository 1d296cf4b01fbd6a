/** @file scenario.h
 *  What the user wrote: one floor and one layout, read from YAML, checked, and in metres.
 *
 *  The format is described key by key in docs/scenario.md, which aw_scenario_reference_write()
 *  prints from the same table that drives the reading. Everything behind this header is metric,
 *  whatever the units of the file.
 */
#ifndef ANCHORWISE_SCENARIO_H
#define ANCHORWISE_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "anchorwise/error.h"
#include "anchorwise/plane.h"

/** Where in the text an item stands, for complaints found later. */
typedef struct aw_place {
    int line, column;
} aw_place;

typedef enum aw_units { AW_METRES, AW_FEET } aw_units;

/** Metres in one foot, exactly. */
#define AW_FOOT 0.3048

typedef struct aw_floor {
    aw_polygon outline;
    double ceiling; /**< m above the finished floor */
} aw_floor;

typedef struct aw_material {
    const char *name;
    double loss_db; /**< for each obstacle crossed, whatever its size */
    double delay;   /**< excess path in m, likewise */
} aw_material;

/** An upright prism, footprint x [base, top]. */
typedef struct aw_obstacle {
    const char *name;
    aw_polygon footprint;
    double base, top; /**< m */
    size_t material;  /**< index into materials[] */
    aw_place place;
} aw_obstacle;

/** A path with a thickness: one upright rectangular prism for each leg, square ends, no mitre. */
typedef struct aw_wall {
    const char *name;
    const aw_point *path;
    size_t n;               /**< points of the path */
    const aw_polygon *legs; /**< n - 1 rectangles */
    double thickness, base, top;
    size_t material;
    aw_place place;
} aw_wall;

typedef struct aw_anchor {
    const char *name;
    double at[3]; /**< m */
    uint32_t key; /**< names the anchor's random numbers: FNV-1a 32 of the name's UTF-8 bytes, made
                       unique in the order of the names, never 0 */
    aw_place place;
} aw_anchor;

/** 2d: the height is known and x, y are solved; 3d: x, y, z are solved. */
typedef enum aw_fix_kind { AW_FIX_2D = 2, AW_FIX_3D = 3 } aw_fix_kind;

typedef struct aw_tag {
    const char *name;
    double height;       /**< m */
    double height_sigma; /**< m, 1 sigma of true minus assumed height */
    aw_fix_kind fix;
    aw_place place;
} aw_tag;

/** Arrival error of a clear link and reach of a link; lengths in m (times are times c). */
typedef struct aw_ranging {
    double sigma;       /**< white, new for every fix */
    double range;       /**< longest usable straight 3-D distance */
    double budget_db;   /**< largest usable sum of obstacle losses */
    double spot_sigma;  /**< once for each spot and anchor */
    double spot_length; /**< a moving tag gets a new spot error about every so many metres */
    double tail_share;  /**< share of spots whose error is drawn from tail_sigma instead */
    double tail_sigma;
    double survey_sigma; /**< of an anchor's surveyed place, each axis, once for the installation */
    double delay_sigma;  /**< of its cable and antenna delay, likewise */
} aw_ranging;

/** NaN: not asked for. Errors in m, at most; shares at least. */
typedef struct aw_need {
    double p95;
    double share;        /**< of the zone's cells with p95 within need */
    double p50, p99;     /**< like p95 */
    double vertical_p95; /**< of the height, of a 3d tag */
    double fix_share;    /**< of the draws with a fix */
    double zone_share;   /**< probability that a tag in the zone is reported in it */
} aw_need;

typedef struct aw_zone {
    const char *name;
    aw_polygon outline;
    size_t tag; /**< index into tags[] */
    aw_need need;
    aw_place place;
} aw_zone;

/** What holds an anchor up, by height: an anchor takes the mount with the least up_to that is not
 *  below it. */
typedef struct aw_mount {
    const char *name;
    double up_to; /**< m above the floor */
    double price;
    double lift_hours; /**< for each anchor */
    aw_place place;
} aw_mount;

typedef enum aw_each { AW_EACH_ANCHOR, AW_EACH_LAYOUT } aw_each;

/** Any other thing to pay for, once for each anchor or once for the layout. */
typedef struct aw_item_price {
    const char *name;
    double price;
    aw_each each;
    aw_place place;
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

typedef struct aw_study {
    double step; /**< m */
    uint32_t draws;
    uint64_t seed;
    double odds; /**< of meeting the need that is asked for, over installations */
} aw_study;

typedef struct aw_scenario {
    const char *title;
    aw_units units;
    aw_floor floor;
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
    const aw_zone *zones;
    size_t n_zones;
    aw_prices prices;
    aw_study study;
    aw_place study_place; /**< of the study block, or of the document if it has none */
    void *memory;         /**< everything above lives here */
} aw_scenario;

/** Reads a scenario text.
 *
 *  @param scenario  filled on success, zeroed otherwise; aw_scenario_free() it either way.
 *  @param text      `length` bytes of YAML, UTF-8; need not end with a NUL.
 *  @param errors    gets every mistake and every warning, sorted by place.
 *  @return          true if there was no error; warnings do not count.
 */
bool aw_scenario_parse(aw_scenario *scenario, const char text[], size_t length, aw_errors *errors);

/** Reads a whole scenario file (at most 16 MiB), then as aw_scenario_parse(). A file that cannot be
 *  read is an error without a place. */
bool aw_scenario_read(aw_scenario *scenario, const char *path, aw_errors *errors);

/** Sets one key of the study block (`step`, `draws`, `seed`, `odds`) from text, in the file's units
 *  and within the scenario's ranges, as a command-line option does. On a bad value adds an error
 *  without a place that begins with `--KEY: ` and returns false. */
bool aw_scenario_set_study(aw_scenario *scenario, const char *key, const char *value,
                           aw_errors *errors);

/** Prints the scenario reference, one Markdown table for each block, from the fields table. */
void aw_scenario_reference_write(FILE *out);

/** True if the scenario has spot or installation terms, else its figures are bench figures. */
bool aw_scenario_is_site(const aw_scenario *scenario);

/** True if it has installation terms (survey or delay). */
bool aw_scenario_has_installation(const aw_scenario *scenario);

/** The mount of the prices that an anchor at a height (m) takes; NULL if there is none. */
const aw_mount *aw_mount_at(const aw_prices *prices, double height);

void aw_scenario_free(aw_scenario *scenario);

#endif
