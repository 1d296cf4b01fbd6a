/* The measured sites. docs/sites.json has what k is worked out from: boxes, heights, anchors;
 * tests/test_sites.c works it out again and fails when a row here is not what comes of it. */
#include "anchorwise/site_law.h"

#include <math.h>

#define UTIL "Zhao, Goudar, Qiao, Schoellig, IJRR 43(10):1443-1456, 2024 (UTIL)"

const aw_measured_system aw_measured_systems[] = {
    {"UTIL", "flight room of UTIL", "bare modules on a small drone", "April 2021", UTIL, "one-way",
     true},
    {"STAR-loc", "room of STAR-loc", "ready modules on a rig", "2023",
     "Duembgen et al., STAR-loc, 2023", "two-way", true},
    {"planar", "room of the planar poses", "modules on a stand", "August 2022",
     "Jiang et al., ICRA 2023, arXiv:2209.06779", "two-way", false},
};
const size_t aw_measured_systems_n = sizeof aw_measured_systems / sizeof aw_measured_systems[0];

#define DECENTRALISED(flight, p50, p95, vertical_p95, k, vertical_k)                               \
    {                                                                                              \
        "UTIL", "decentralised", flight, p50, p95, vertical_p95, k, vertical_k                     \
    }

const aw_measured_set aw_measured_sets[] = {
    DECENTRALISED("flight 13", 0.1683, 0.4073, 0.7263, 0.3030, 0.2791),
    DECENTRALISED("flight 14", 0.1199, 0.3579, 0.5850, 0.2662, 0.2248),
    DECENTRALISED("flight 15", 0.1422, 0.4057, 0.6321, 0.3017, 0.2429),
    DECENTRALISED("flight 16", 0.1434, 0.4891, 0.6748, 0.3637, 0.2592),
    DECENTRALISED("flight 17", 0.1331, 0.4351, 0.5729, 0.3232, 0.2187),
    DECENTRALISED("flight 18", 0.1518, 0.5184, 0.6712, 0.3850, 0.2564),
    DECENTRALISED("flight 19", 0.1477, 0.4043, 0.5483, 0.3003, 0.2092),
    DECENTRALISED("flight 20", 0.1639, 0.4099, 0.5315, 0.3045, 0.2028),
    DECENTRALISED("flight 21", 0.1621, 0.3753, 0.5404, 0.2791, 0.2076),
    DECENTRALISED("flight 22", 0.1747, 0.5630, 0.7756, 0.4187, 0.2981),
    DECENTRALISED("flight 23", 0.2001, 0.5837, 0.8841, 0.4341, 0.3397),
    {"UTIL", "centralised", "six flights, medians", 0.0930, 0.2790, 0.4090, 0.2071, 0.1556},
    {"STAR-loc", "s5", "loop-2d", 0.0451, 0.0983, (double)NAN, 0.0500, (double)NAN},
    {"STAR-loc", "s5", "loop-2d-v2", 0.0386, 0.0896, (double)NAN, 0.0467, (double)NAN},
    {"STAR-loc", "s5", "loop-3d", 0.0447, 0.1218, (double)NAN, 0.0618, (double)NAN},
    {"planar", "8.14", "90 setups", 0.0941, 0.1548, (double)NAN, 0.1187, (double)NAN},
};
const size_t aw_measured_sets_n = sizeof aw_measured_sets / sizeof aw_measured_sets[0];
