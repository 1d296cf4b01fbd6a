/* Starting points for `ranging`: what was measured at places of a kind, and what to take where
 * nothing was. */
#include <math.h>
#include <string.h>

#include "scenario/reader.h"

#define UTIL "Zhao, Goudar, Qiao, Schoellig, IJRR 43(10):1443-1456, 2024 (UTIL)"
#define IIOT                                                                                       \
    "Fontaine et al., IEEE Internet of Things Journal, 2023, open ranges of its industrial lab"

/* Static: 0.042 to 0.049 of a pair is 0.030 to 0.034 of an anchor; its bias from setup to setup,
 * 0.057 of a pair, over sqrt(2). Industrial lab: std 0.110 of a range in line of sight, of which
 * the white part is taken from the static setups and the rest, sqrt(0.110^2 - 0.032^2), as the
 * spot's. Metal: the terms of the clear hall, with a tail_sigma T such that 11 % of pair errors
 * exceed 1 m. With s = 0.16, w = 0.08, p = 0.157 and P(e) = 2 Q(1 m / e):
 * s^2 P(sqrt(2 T^2 + 2 w^2)) + 2 s (1 - s) P(sqrt(T^2 + p^2 + 2 w^2)) = 0.11 at T = 1.08, the
 * pairs without a tail being too few to count. tests/test_starts.c repeats these sums. Not
 * measured: of the shape of the clear hall with fewer large errors, its size the length that 80 %
 * of the sites keep within (assess/site_law.c, tests/test_sites.c). */
const aw_start aw_starts[] = {
    {"not measured", 0.09, 0.18, 0.06, 0.55, 0, AW_ROOM_ANY, "three labs", "three systems",
     "2021 to 2023",
     "nothing at your site; of sites like the measured ones four in five are expected to be no "
     "worse",
     "the table of measured sites, docs/validation.md"},
    {"static tag", 0.032, 0.040, 0, 0, 0, AW_ROOM_CLEAR, "flight room of UTIL",
     "bare modules at rest", "April 2021",
     "24 static setups, clear: white 0.030 to 0.034 m, bias from setup to setup 0.057 m of a pair",
     UTIL},
    {"clear hall", 0.08, 0.157, 0.16, 0.502, 0, AW_ROOM_CLEAR, "flight room of UTIL",
     "bare modules on a small drone", "April 2021",
     "fitted to clear flights of one day, each anchor: white 0.08 m, spot 0.157 m, 16 % at 0.502 m",
     UTIL},
    {"metal nearby", 0.08, 0.157, 0.16, 1.08, 0, AW_ROOM_WITH_METAL, "flight room of UTIL",
     "bare modules on a small drone", "2021",
     "metal placed in the room: 11 % of pair errors exceed 1 m; the rest as the clear hall", UTIL},
    {"industrial lab", 0.032, 0.105, 0, 0, 0, AW_ROOM_CLEAR, "industrial lab in Ghent",
     "modules on stands", "published 2023",
     "5022 ranges in line of sight: std 0.110 m, and 0.138 m in a second campaign", IIOT},
};

const size_t aw_starts_n = sizeof aw_starts / sizeof aw_starts[0];

void aw_read_start(aw_reader *r, const aw_field *field, const aw_node *node, aw_ranging *ranging)
{
    const char *known[8];
    if (!aw_text_is_sound(r, field->key, (aw_range){1, 60, false, false}, node))
        return;
    for (size_t i = 0; i < aw_starts_n; i++) {
        const aw_start *start = &aw_starts[i];
        known[i] = start->name;
        if (strcmp(start->name, node->text) != 0)
            continue;
        ranging->start = start;
        ranging->sigma = start->sigma;
        ranging->spot_sigma = start->spot_sigma;
        ranging->tail_share = start->tail_share;
        ranging->tail_sigma = start->tail_sigma;
        ranging->delay_sigma = start->delay_sigma;
        return;
    }
    aw_complain_of_unknown(r, field->key, "", known, aw_starts_n, node);
}
