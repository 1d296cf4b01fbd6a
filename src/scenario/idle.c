/* Warnings about what is written and ignored: a key that another one makes
 * useless, a range of what the scenario does not have. Only a sound scenario is looked at, and the
 * nodes are asked, since a value that was written may equal the default. */
#include "scenario/reader.h"

#include <math.h>

/* What ends so near under the ceiling ends there, m. */
#define THIN 0.01

bool aw_ends_under_ceiling(const aw_scenario *s, double top)
{
    return top < s->floor.ceiling - THIN;
}

bool aw_scenario_has_tops(const aw_scenario *s)
{
    for (size_t i = 0; i < s->n_obstacles; i++)
        if (aw_ends_under_ceiling(s, s->obstacles[i].top))
            return true;
    for (size_t i = 0; i < s->n_walls; i++)
        if (aw_ends_under_ceiling(s, s->walls[i].top))
            return true;
    return false;
}

/* Whether a link can lose something in a material, or be delayed by it. */
static bool slows(const aw_scenario *s, const aw_material *m, bool delay)
{
    if (s->radio.given && m->kind != AW_MATERIAL_FIXED)
        return !m->opaque;
    return (delay ? m->delay : m->loss_db) > 0;
}

static bool any_material(const aw_scenario *s, bool delay)
{
    for (size_t i = 0; i < s->n_obstacles; i++)
        if (slows(s, &s->materials[s->obstacles[i].material], delay))
            return true;
    for (size_t i = 0; i < s->n_walls; i++)
        if (slows(s, &s->materials[s->walls[i].material], delay))
            return true;
    return false;
}

bool aw_scenario_has_losses(const aw_scenario *s)
{
    return any_material(s, false);
}

bool aw_scenario_has_delays(const aw_scenario *s)
{
    return any_material(s, true);
}

bool aw_scenario_has_height_sigmas(const aw_scenario *s)
{
    for (size_t i = 0; i < s->n_tags; i++)
        if (s->tags[i].height_sigma > 0)
            return true;
    return false;
}

/* --- the warnings --- */

static bool is_written(const aw_node *mapping, const char *key)
{
    return mapping != NULL && mapping->kind == AW_NODE_MAPPING &&
           aw_node_find(mapping, key) != NULL;
}

/* Of those of the keys that are written. The list ends with NULL. */
static void warn(aw_reader *r, const char *block, const aw_node *mapping, const char *const keys[],
                 const char *why)
{
    for (size_t i = 0; keys[i] != NULL; i++) {
        if (!is_written(mapping, keys[i]))
            continue;
        const aw_node *value = aw_node_find(mapping, keys[i]);
        aw_errors_add(r->errors, AW_WARNING, value->line, value->column, "%s: %s is ignored %s",
                      block, keys[i], why);
    }
}

#define KEYS(...)                                                                                  \
    (const char *const[])                                                                          \
    {                                                                                              \
        __VA_ARGS__, NULL                                                                          \
    }

/* Item i of a list of the document, NULL if there is none. */
static const aw_node *item(const aw_node *mapping, const char *key, size_t i)
{
    const aw_node *list = is_written(mapping, key) ? aw_node_find(mapping, key) : NULL;
    return list != NULL && list->kind == AW_NODE_LIST && i < list->n ? list->children[i] : NULL;
}

static void warn_of_ranging(aw_reader *r, const aw_node *root)
{
    const aw_scenario *s = r->scenario;
    const aw_node *ranging = aw_node_find(root, "ranging");
    if (s->radio.given)
        warn(r, "ranging", ranging, KEYS("sigma", "range", "budget_db"), "with a radio");
    if (s->ranging.tail_share == 0 && !is_written(aw_node_find(root, "assumptions"), "tail_share"))
        warn(r, "ranging", ranging, KEYS("tail_sigma"), "without a tail_share");
}

static void warn_of_faces(aw_reader *r, const aw_node *root)
{
    const char *const why = "without a radio";
    if (r->scenario->radio.given)
        return;
    warn(r, "floor", aw_node_find(root, "floor"),
         KEYS("material", "ceiling_material", "wall_material"), why);
    for (size_t i = 0; i < r->scenario->n_obstacles; i++)
        warn(r, "obstacles", item(root, "obstacles", i), KEYS("shell"), why);
}

/* With a radio a measured loss stands only where nothing else says what is lost; without one it is
 * all there is. */
static void warn_of_materials(aw_reader *r, const aw_node *root)
{
    const aw_scenario *s = r->scenario;
    const aw_node *materials = aw_node_find(root, "materials");
    for (size_t i = 0; materials != NULL && i + 1 < materials->n; i += 2) {
        const aw_node *given = materials->children[i + 1];
        const aw_name *name = aw_names_find(&r->materials, materials->children[i]->text);
        const aw_material *m = name != NULL ? &s->materials[name->index] : NULL;
        if (!s->radio.given)
            warn(r, "materials", given,
                 KEYS("permittivity", "conductivity", "thickness", "layers", "opaque"),
                 "without a radio");
        else if (m != NULL && m->opaque)
            warn(r, "materials", given, KEYS("loss_db", "delay", "added_db", "added_delay"),
                 "with a radio, to which the material is opaque");
        else if (m != NULL && m->kind != AW_MATERIAL_FIXED)
            warn(r, "materials", given, KEYS("loss_db", "delay"),
                 "with a radio, which works them out from permittivity and thickness");
        else
            warn(r, "materials", given, KEYS("thickness"),
                 "where loss_db gives the loss, whatever the thickness");
    }
}

static void warn_of_candidates(aw_reader *r, const aw_node *root)
{
    const aw_candidate_rules *rules = &r->scenario->candidates;
    for (size_t i = 0; i < rules->n_lines; i++) {
        const aw_node *line = item(aw_node_find(root, "candidates"), "lines", i);
        if (rules->lines[i].high <= rules->lines[i].low)
            warn(r, "lines", line, KEYS("rise"), "where high is not above low");
        if (rules->lines[i].n == 1)
            warn(r, "lines", line, KEYS("spacing", "off"), "on a path of one point");
    }
}

static void warn_of_prices(aw_reader *r, const aw_node *root)
{
    const aw_prices *p = &r->scenario->prices;
    const aw_node *prices = aw_node_find(root, "prices");
    bool lifted = false;
    for (size_t i = 0; i < p->n_mounts; i++)
        lifted = lifted || p->mounts[i].lift_hours > 0;
    if (!is_written(prices, "cabinet"))
        warn(r, "prices", prices, KEYS("cable"), "without a cabinet, where the cables begin");
    if (p->cable == 0)
        warn(r, "prices", prices, KEYS("cabinet"), "without a price of cable");
    if (!lifted)
        warn(r, "prices", prices, KEYS("lift_hour"), "without the lift_hours of a mount");
    for (size_t i = 0; i < p->n_mounts && p->lift_hour == 0; i++)
        warn(r, "mounts", item(prices, "mounts", i), KEYS("lift_hours"), "without a lift_hour");
}

static void warn_of_tags(aw_reader *r, const aw_node *root)
{
    for (size_t i = 0; i < r->scenario->n_tags; i++)
        if (r->scenario->tags[i].fix == AW_FIX_3D)
            warn(r, "tags", item(root, "tags", i), KEYS("height_sigma"),
                 "in a 3d fix, which finds the height");
}

static bool asks_for_errors(const aw_need *n)
{
    return !isnan(n->p50) || !isnan(n->p95) || !isnan(n->p99) || !isnan(n->vertical_p95);
}

/* A margin stands in place of a chance; both are of errors. */
static void warn_of_chances(aw_reader *r, const aw_node *root)
{
    const aw_scenario *s = r->scenario;
    if (!isnan(s->study.margin))
        warn(r, "study", aw_node_find(root, "study"), KEYS("chance"), "with a margin");
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_node *zone = item(root, "zones", i);
        const aw_node *need = is_written(zone, "need") ? aw_node_find(zone, "need") : NULL;
        if (!asks_for_errors(&s->zones[i].need))
            warn(r, "need", need, KEYS("chance", "margin"), "where no error is asked for");
        else if (!isnan(s->zones[i].need.margin))
            warn(r, "need", need, KEYS("chance"), "with a margin");
    }
}

static void warn_of_odds(aw_reader *r, const aw_node *root)
{
    const aw_node *assumed = aw_node_find(root, "assumptions");
    if (!aw_scenario_has_installation(r->scenario) && !is_written(assumed, "survey_sigma") &&
        !is_written(assumed, "delay_sigma"))
        warn(r, "study", aw_node_find(root, "study"), KEYS("odds"),
             "without a survey_sigma or delay_sigma, by which installations differ");
}

static void warn_of_assumptions(aw_reader *r, const aw_node *root)
{
    const aw_scenario *s = r->scenario;
    const aw_node *assumed = aw_node_find(root, "assumptions");
    const char *const block = "assumptions";
    if (s->radio.given)
        warn(r, block, assumed, KEYS("sigma", "range", "budget_db"), "with a radio");
    else
        warn(r, block, assumed, KEYS("arrival_floor", "power_db", "receiver_db", "shadowing"),
             "without a radio");
    if (!aw_scenario_has_tops(s))
        warn(r, block, assumed, KEYS("obstacle_tops"),
             "where no obstacle and no wall ends under the ceiling");
    if (!aw_scenario_has_losses(s))
        warn(r, block, assumed, KEYS("losses"), "where nothing stands that weakens a link");
    if (!aw_scenario_has_losses(s) && !s->radio.given)
        warn(r, block, assumed, KEYS("budget_db"), "where nothing stands that weakens a link");
    if (!aw_scenario_has_delays(s))
        warn(r, block, assumed, KEYS("delays"), "where nothing stands that delays a link");
    if (!aw_scenario_has_height_sigmas(s))
        warn(r, block, assumed, KEYS("height_sigmas"), "where no tag has a height_sigma");
    if (s->ranging.tail_share == 0 && !is_written(assumed, "tail_share"))
        warn(r, block, assumed, KEYS("tail_sigma"), "without a tail_share");
}

void aw_scenario_warn_idle(aw_reader *r, const aw_node *root)
{
    if (r->errors->n_errors > 0 || r->out_of_memory)
        return;
    warn_of_ranging(r, root);
    warn_of_faces(r, root);
    warn_of_materials(r, root);
    warn_of_candidates(r, root);
    warn_of_prices(r, root);
    warn_of_tags(r, root);
    warn_of_chances(r, root);
    warn_of_odds(r, root);
    warn_of_assumptions(r, root);
}
