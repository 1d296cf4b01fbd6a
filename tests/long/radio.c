/* Prints every figure of the links of a small hall, nine digits each: the same text on every
 * processor and from every compiler. Not the bits, for the physics goes through the C library's
 * exponentials and arcs. Needs the radio, the plane and the C library; the hall is written in C,
 * for the reader of scenarios needs libraries that are not at hand for another processor. */
#include "anchorwise/level.h"
#include "base/plane.h"
#include "radio/paths.h"

#include <stdio.h>

enum { METAL, GLASS, CONCRETE, BRICK, PANEL, CRATES };

/* ITU-R P.2040-3, Table 3. */
#define GLASS_ROW                                                                                  \
    {                                                                                              \
        6.31, 0, 0.0036, 1.3394                                                                    \
    }
#define BOARD_ROW                                                                                  \
    {                                                                                              \
        2.73, 0, 0.0085, 0.9395                                                                    \
    }

static const aw_leaf panel[] = {{"plasterboard", BOARD_ROW, 0.0125},
                                {"air", {1, 0, 0, 0}, 0.075},
                                {"plasterboard", BOARD_ROW, 0.0125}};

static const aw_material materials[] = {
    [METAL] = {"metal", .kind = AW_MATERIAL_SLAB, .opaque = true, .dielectric = {1, 0, 1e7, 0}},
    [GLASS] = {"glass", .kind = AW_MATERIAL_SLAB, .dielectric = GLASS_ROW},
    [CONCRETE] = {"concrete", .kind = AW_MATERIAL_SLAB, .dielectric = {5.24, 0, 0.0462, 0.7822}},
    [BRICK] = {"brick", .kind = AW_MATERIAL_SLAB, .dielectric = {3.91, 0, 0.0238, 0.16}},
    [PANEL] = {"panel", .kind = AW_MATERIAL_LAYERED, .leaves = panel, .n_leaves = 3},
    [CRATES] = {"crates", .loss_db = 4, .delay = 0.05},
};

static aw_point corner[6][4];

static aw_polygon rectangle(int which, double x0, double y0, double x1, double y1)
{
    aw_point *at = corner[which];
    at[0] = (aw_point){x0, y0};
    at[1] = (aw_point){x1, y0};
    at[2] = (aw_point){x1, y1};
    at[3] = (aw_point){x0, y1};
    aw_polygon p = {.at = at, .n = 4};
    aw_polygon_close(&p);
    return p;
}

static const aw_anchor anchors[] = {{"SW", {0.4, 0.4, 5.8}, 1, {0, 0}},
                                    {"SE", {29.6, 0.5, 6.2}, 2, {0, 0}},
                                    {"NE", {29.5, 17.6, 5.6}, 3, {0, 0}},
                                    {"NW", {0.5, 17.5, 6.4}, 4, {0, 0}}};

static void tell(const aw_scene *scene, const double spot[3], const aw_anchor *anchor)
{
    aw_link_trace t;
    aw_link_trace_at(scene, spot, anchor, &t);
    const aw_link *l = &t.link;
    printf("%.3f %.3f %s %d: %.9g %.9g %.9g %.9g %.9g %.9g %.9g %.9g\n", spot[0], spot[1],
           anchor->name, (int)l->state, l->range, l->white, l->lost_db, t.received, t.bias,
           t.snr_db, t.path_loss_db, t.law_db);
    for (size_t i = 0; i < t.n_paths; i++) {
        const aw_path *p = &t.paths[i];
        printf("  %s %s %.9g %.9g %.9g %.9g %.9g\n", aw_path_kind_name(p->kind),
               p->meets != NULL ? p->meets : "-", p->loss_db, p->excess, p->power_dbm, p->found,
               p->first);
    }
}

int main(void)
{
    const aw_level levels[] = {
        {.name = "pit", .outline = rectangle(0, 12, 2, 18, 8), .height = -1.4}};
    const aw_obstacle obstacles[] = {
        {"lathe", rectangle(1, 21, 4, 25, 7), 0, 2.6, 0, METAL, {0, 0}},
        {"cabin", rectangle(2, 6, 6, 8.4, 8.4), 0, 2.5, 0.008, GLASS, {0, 0}},
        {"stack", rectangle(3, 10, 12, 13, 14), 0, 3.2, 0, CRATES, {0, 0}},
    };
    static const aw_point path[] = {{20, 12}, {20, 18}};
    const aw_polygon leg = rectangle(4, 19.95, 12, 20.05, 18);
    const aw_wall walls[] = {{"partition", path, 2, &leg, 0.1, 0, 7, 0.1, PANEL, {0, 0}}};
    const aw_tag tag = {.name = "tag", .height = 0.9, .fix = AW_FIX_2D};
    const aw_scenario hall = {
        .floor = {rectangle(5, 0, 0, 30, 18), 7, CONCRETE, BRICK},
        .levels = levels,
        .n_levels = 1,
        .materials = materials,
        .n_materials = sizeof materials / sizeof materials[0],
        .obstacles = obstacles,
        .n_obstacles = 3,
        .walls = walls,
        .n_walls = 1,
        .anchors = anchors,
        .n_anchors = 4,
        .tags = &tag,
        .n_tags = 1,
        .ranging = {.spot_sigma = 0.157},
        .radio = {.given = true,
                  .channel = {9, 7987.2e6, 499.2e6},
                  .environment = AW_INF_DH,
                  .density_dbm_mhz = -41.3,
                  .receiver = {6, 128, -94, 12, 25},
                  .arrival_floor = 0.03},
    };
    aw_scene *scene = aw_scene_create(&hall);
    if (scene == NULL)
        return 1;
    for (double y = 0.75; y < 18; y += 1.5)
        for (double x = 0.75; x < 30; x += 1.5) {
            const double spot[3] = {x, y, aw_floor_at(&hall, x, y) + tag.height};
            for (int a = 0; a < 4; a++)
                tell(scene, spot, &anchors[a]);
        }
    aw_scene_free(scene);
    return 0;
}
