/* Links built by hand, for suites that need no scenario. */
#ifndef AW_TESTS_LINKS_H
#define AW_TESTS_LINKS_H

#include <string.h>

#include "anchorwise.h"
#include "aw_test.h"

/* A clear link with one white error that the solver believes. */
static inline aw_link clear_link(uint32_t key, const double anchor[3], const double spot[3],
                                 double sigma)
{
    aw_link link;
    memset(&link, 0, sizeof link);
    link.key = key;
    aw_link_aim(&link, anchor, spot);
    link.white = link.believed = sigma;
    link.lost_db = HUGE_VAL;
    link.n_outcomes = 1;
    link.outcomes[0] = (aw_outcome){-HUGE_VAL, 0, "direct"};
    return link;
}

/* A link whose line of sight has this direction from tag to anchor. */
static inline aw_link link_towards(double x, double y, double z)
{
    const double anchor[3] = {x, y, z}, spot[3] = {0, 0, 0};
    return clear_link(1, anchor, spot, 1);
}

/* Lays the grid of a tag at another height (m). */
static inline bool lay_at(aw_grid *grid, const aw_scenario *scenario, double height,
                          aw_errors *errors)
{
    aw_tag tag = scenario->tags[0];
    aw_scenario lifted = *scenario;
    tag.height = height;
    lifted.tags = &tag;
    return aw_grid_lay(grid, &lifted, 0, errors);
}

/* Reads a scenario that must be sound. */
static inline void read_text(aw_scenario *scenario, const char *yaml)
{
    aw_errors errors = {0};
    ck_assert_msg(aw_scenario_parse(scenario, yaml, strlen(yaml), &errors), "%s",
                  errors.n ? errors.list[0].text : "?");
    aw_errors_free(&errors);
}

#endif
