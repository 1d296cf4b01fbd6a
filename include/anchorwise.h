/** @file anchorwise.h
 *  The whole library: from a scenario to the expected position error in every cell.
 *
 *      scenario text -> aw_scenario -> aw_link[] -> aw_map -> verdicts
 *
 *  Left of aw_link are buildings and radio; right of it geometry and statistics. Left of aw_map
 *  computes; right of it only reads. */
#ifndef ANCHORWISE_H
#define ANCHORWISE_H

#include "anchorwise/assess.h"
#include "anchorwise/bound.h"
#include "anchorwise/candidates.h"
#include "anchorwise/compare.h"
#include "anchorwise/cost.h"
#include "anchorwise/decisions.h"
#include "anchorwise/edit.h"
#include "anchorwise/effort.h"
#include "anchorwise/error.h"
#include "anchorwise/explain.h"
#include "anchorwise/first_scenario.h"
#include "anchorwise/freedom.h"
#include "anchorwise/level.h"
#include "anchorwise/link.h"
#include "anchorwise/map.h"
#include "anchorwise/mismatch.h"
#include "anchorwise/outage.h"
#include "anchorwise/placing.h"
#include "anchorwise/plane.h"
#include "anchorwise/report.h"
#include "anchorwise/run.h"
#include "anchorwise/scenario.h"
#include "anchorwise/sensitivity.h"
#include "anchorwise/site_law.h"
#include "anchorwise/sweep.h"
#include "anchorwise/text.h"
#include "anchorwise/units.h"
#include "anchorwise/vary.h"
#include "anchorwise/watch.h"

/** Version of the library and the program. */
#define AW_VERSION "0.2.0"

#endif
