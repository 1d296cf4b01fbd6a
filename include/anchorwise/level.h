/** @file level.h
 *  Levels of a floor: how high it lies at a place, and so a tag.
 *
 *  A level lies lower or higher than the finished floor. Where several hold a place the last
 * counts. Under a level with a slab one can stand too: a zone says so by its `level`, and then has
 * a tag of its own, named after it ("cart on the floor"), with that standing. A higher level
 * without a slab is solid. Slabs and solid levels are obstacles of their own
 * (aw_obstacle.is_level).
 *
 *  Source: none needed; heights are as written. */
#ifndef ANCHORWISE_LEVEL_H
#define ANCHORWISE_LEVEL_H

#include <stdbool.h>
#include <stdint.h>

#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Where a tag stands: on the last level that holds a place, slab or not; on what lies under all
 *  slabs there; else on level number n - 1 where it can. */
#define AW_LEVEL_TOP   0
#define AW_LEVEL_FLOOR SIZE_MAX

/** The level that a place belongs to: of several that hold it the last; NULL: the floor. */
const aw_level *aw_level_at(const aw_scenario *scenario, double x, double y);

/** The first level that lies over some of a zone which does not say where its tag stands, high
 *  enough for it to be under the slab and low enough for it to stand on it, which is what is
 *  computed. NULL if there is none, or if another zone there has its tag under the slab. */
const aw_level *aw_level_over(const aw_scenario *scenario, const aw_zone *zone);

/** Height of the floor at a place, m above the finished one: of the level that holds it, else 0. */
double aw_floor_at(const aw_scenario *scenario, double x, double y);

/** Likewise of what lies there under all slabs. */
double aw_ground_at(const aw_scenario *scenario, double x, double y);

/** Height of the floor that a tag stands on at a place, m above the finished one. */
double aw_standing_at(const aw_scenario *scenario, size_t tag, double x, double y);

/** Height of a tag at a place, m above the finished floor. Every study asks here. */
double aw_tag_at(const aw_scenario *scenario, size_t tag, double x, double y);

/** How many of its obstacles a scenario names, without those made of levels, which stand behind. */
size_t aw_named_obstacles(const aw_scenario *scenario);

/** The lowest floor of the scenario: the deepest level, or 0. */
double aw_lowest_floor(const aw_scenario *scenario);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
