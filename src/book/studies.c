/* Each study once, in the order of the page; what one has found is handed on where another can take
 * it. Their stages are announced by the section that asks for them. */
#include "book/studies.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "book/figures.h"
#include "report/stamp.h"

const char *const aw_client_section_ids[AW_CLIENT_SECTIONS] = {
    "zones", "chart", "spot", "anchors", "why", "bill", "confirm", "basis", "proof", "care"};

/* Numbers of anchors that are looked at, at most, and where curves end. */
#define MOST_COUNTS 12
/* Heights that are tried, and least and most of them, as shares of the ceiling. */
#define HEIGHTS      6
#define LEAST_HEIGHT 0.42
#define MOST_HEIGHT  0.95

static void begin(const aw_run *run, const char *section)
{
    aw_watch_stage(run->watch, 0, "section %s", section);
}

/* --- the weakest zone --- */

static double chance_of(const aw_zone_result *r)
{
    const double chance = r->parts[AW_PART_CHANCE].found.value;
    return isnan(chance) ? 1 : chance;
}

/* Whether zone a is weaker than zone b: it fails worse, or is less sure. */
static bool is_weaker(const aw_zone_result *a, const aw_zone_result *b)
{
    const double lack = aw_zone_lack(a) - aw_zone_lack(b);
    const bool short_a = a->verdict != AW_MET, short_b = b->verdict != AW_MET;
    if (short_a != short_b)
        return short_a;
    return lack > 0 || (!(lack < 0) && chance_of(a) < chance_of(b));
}

static size_t find_weakest(const aw_assessment *a, const aw_scenario *s)
{
    size_t weakest = s->n_zones;
    for (size_t i = 0; i < s->n_zones; i++)
        if (a->zones[i].verdict != AW_NO_NEED &&
            (weakest == s->n_zones || is_weaker(&a->zones[i], &a->zones[weakest])))
            weakest = i;
    return weakest;
}

/* --- what hides the links of its cells that fail --- */

typedef struct hiding {
    const char *name;
    size_t n;
} hiding;

static void count_hidden(hiding list[], size_t *n, const char *name)
{
    size_t i = 0;
    while (i < *n && strcmp(list[i].name, name) != 0)
        i++;
    if (i == *n)
        list[(*n)++] = (hiding){name, 0};
    list[i].n++;
}

static int compare_hiding(const void *a, const void *b)
{
    const hiding *p = a, *q = b;
    return p->n != q->n ? (p->n < q->n ? 1 : -1) : strcmp(p->name, q->name);
}

/* Of `n` things those that together hide two thirds of what all hide, if they are two at most. */
static void name_hiders(aw_studies *st, hiding list[], size_t n)
{
    size_t all = 0;
    for (size_t i = 0; i < n; i++)
        all += list[i].n;
    qsort(list, n, sizeof *list, compare_hiding);
    if (n > 0 && 3 * list[0].n >= 2 * all) {
        st->hiders[0] = list[0].name;
    } else if (n > 1 && 3 * (list[0].n + list[1].n) >= 2 * all) {
        st->hiders[0] = list[0].name;
        st->hiders[1] = list[1].name;
    } else {
        st->are_several = n > 1;
    }
}

static bool find_hiders(aw_studies *st, const aw_map *map, const aw_zone *zone,
                        const aw_errors *errors)
{
    const aw_scenario *s = st->plan->scenario;
    hiding *list = calloc(s->n_obstacles + s->n_walls + s->n_levels + 1, sizeof *list);
    aw_link *links = calloc(s->n_anchors, sizeof *links);
    aw_scene *scene = aw_scene_create(s);
    const bool room = list != NULL && links != NULL && scene != NULL && errors->n_errors == 0;
    size_t n = 0;
    for (size_t i = 0; room && i < map->grid.n; i++) {
        const aw_point at = aw_grid_centre(&map->grid, map->grid.number[i]);
        const double p95 = map->value[(size_t)AW_LAYER_P95 * map->grid.n + i];
        const double spot[3] = {at.x, at.y, aw_tag_at(s, zone->tag, at.x, at.y)};
        if (p95 <= zone->need.p95)
            continue;
        aw_links_at(scene, spot, links);
        for (size_t k = 0; k < s->n_anchors; k++) {
            const char *most = NULL;
            if (links[k].state == AW_LINK_LOST &&
                aw_scene_crossed(scene, spot, s->anchors[k].at, &most) > 0 && most != NULL)
                count_hidden(list, &n, most);
        }
    }
    if (room)
        name_hiders(st, list, n);
    free(list);
    free(links);
    aw_scene_free(scene);
    return room;
}

/* Of a zone whose share of good places fails. */
static bool look_behind(aw_studies *st, const aw_run *run)
{
    const aw_scenario *s = st->plan->scenario;
    const aw_zone *zone = &s->zones[st->weakest];
    const aw_map_plan plan = {.scenario = s, .tag = zone->tag, .groups = 1};
    aw_grid grid;
    aw_map map = {0};
    if (st->assessment.zones[st->weakest].parts[AW_PART_SHARE].verdict != AW_NOT_MET)
        return true;
    if (!aw_grid_lay_zone(&grid, s, zone, run->errors))
        return false;
    bool done = aw_map_run(&map, &grid, &plan, run);
    if (done && !find_hiders(st, &map, zone, run->errors)) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the report");
        done = false;
    }
    aw_map_free(&map);
    return done;
}

static bool explain(aw_studies *st, const aw_run *run)
{
    const aw_scenario *s = st->plan->scenario;
    if (st->weakest == s->n_zones)
        return true;
    const double *at = st->assessment.zones[st->weakest].errors.worst_at;
    begin(run, aw_client_section_ids[AW_CLIENT_SPOT]);
    st->is_explained = aw_explain_run(&st->explanation, s, (aw_point){at[0], at[1]},
                                      s->zones[st->weakest].tag, run);
    return st->is_explained;
}

/* --- sweeps --- */

/* The scenario with its own anchors' places as all the candidates there are. */
static bool sweep_counts(aw_studies *st, const aw_run *run)
{
    const aw_scenario *s = st->plan->scenario;
    aw_scenario own = *s;
    aw_candidate_point *points = calloc(s->n_anchors, sizeof *points);
    double at[MOST_COUNTS];
    size_t n = 0, least = 3;
    for (size_t i = 0; i < s->n_tags; i++)
        least = s->tags[i].fix == AW_FIX_3D ? 4 : least;
    for (size_t k = least; k <= s->n_anchors && n < MOST_COUNTS - least + 1; k++)
        at[n++] = (double)k;
    if (points == NULL)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the report");
    if (points == NULL || n == 0) {
        free(points);
        return n == 0 && run->errors->n_errors == 0;
    }
    for (size_t i = 0; i < s->n_anchors; i++) {
        points[i].name = s->anchors[i].name;
        memcpy(points[i].at, s->anchors[i].at, sizeof points[i].at);
    }
    own.candidates = (aw_candidate_rules){.points = points, .n_points = s->n_anchors};
    const aw_sweep_plan plan = {
        .scenario = &own, .kind = AW_SWEEP_COUNTS, .at = at, .n = n, .as_many = true};
    st->has_counts = aw_sweep_run(&st->counts, &plan, run);
    free(points);
    return st->has_counts;
}

static bool sweep_heights(aw_studies *st, const aw_run *run)
{
    const aw_scenario *s = st->plan->scenario;
    const double unit = aw_unit_metres(s->units), ceiling = s->floor.ceiling / unit;
    const double low = ceil(LEAST_HEIGHT * ceiling), high = floor(MOST_HEIGHT * ceiling);
    double at[HEIGHTS];
    size_t n = 0;
    const double step = fmax(1, ceil((high - low) / (HEIGHTS - 1)));
    for (double height = low; height <= high && n < HEIGHTS; height += step)
        at[n++] = height * unit;
    if (n == 0)
        return true;
    const aw_sweep_plan plan = {.scenario = s, .kind = AW_SWEEP_HEIGHTS, .at = at, .n = n};
    st->has_heights = aw_sweep_run(&st->heights, &plan, run);
    return st->has_heights;
}

static bool find_cheapest(aw_studies *st, const aw_run *run)
{
    const aw_placing_plan plan = {.scenario = st->plan->scenario, .afresh = true};
    if (!st->plan->cheapest || st->weakest == st->plan->scenario->n_zones)
        return true;
    st->has_placing = aw_placing_run(&st->placing, &plan, run);
    return st->has_placing;
}

static bool justify(aw_studies *st, const aw_run *run)
{
    const aw_studies_plan *p = st->plan;
    begin(run, aw_client_section_ids[AW_CLIENT_WHY]);
    if (!p->quick && (!sweep_counts(st, run) || !sweep_heights(st, run)))
        return false;
    return find_cheapest(st, run);
}

/* The summary tells of it, whichever sections are wanted. */
static bool compare(aw_studies *st, const aw_run *run)
{
    const aw_studies_plan *p = st->plan;
    if (p->against == NULL)
        return true;
    st->has_comparison = aw_compare_run(&st->comparison, p->scenario, p->against, run);
    return st->has_comparison;
}

/* --- all of them --- */

static bool look_at_anchors(aw_studies *st, const aw_run *run)
{
    const aw_scenario *s = st->plan->scenario;
    begin(run, aw_client_section_ids[AW_CLIENT_ANCHORS]);
    st->has_outage = aw_outage_run(&st->outage, s, run);
    if (!st->has_outage || st->plan->quick)
        return st->has_outage;
    st->has_freedom = aw_freedom_run(&st->freedoms, s, s->n_anchors, AW_FREEDOM_REACH, run);
    return st->has_freedom;
}

bool aw_studies_run(aw_studies *st, const aw_studies_plan *plan, const aw_run *run)
{
    const aw_scenario *s = plan->scenario;
    *st = (aw_studies){.plan = plan, .weakest = s->n_zones};
    begin(run, aw_client_section_ids[AW_CLIENT_ZONES]);
    if (!aw_assess_run(&st->assessment, s, run))
        return false;
    st->weakest = find_weakest(&st->assessment, s);
    if (st->weakest < s->n_zones && !look_behind(st, run))
        return false;
    if (!compare(st, run) || (plan->wanted[AW_CLIENT_SPOT] && !explain(st, run)) ||
        (plan->wanted[AW_CLIENT_ANCHORS] && !look_at_anchors(st, run)) ||
        (plan->wanted[AW_CLIENT_WHY] && !justify(st, run)))
        return false;
    if (plan->wanted[AW_CLIENT_CONFIRM] && !plan->quick) {
        begin(run, aw_client_section_ids[AW_CLIENT_CONFIRM]);
        st->has_sensitivity = aw_sensitivity_run(&st->sensitivity, s, run);
        if (!st->has_sensitivity)
            return false;
    }
    begin(run, aw_client_section_ids[AW_CLIENT_CHART]);
    return aw_figures_draw(st, run);
}

size_t aw_studies_picture(const aw_studies *st, aw_picture_kind kind, size_t from)
{
    while (from < st->n_pictures && st->pictures[from].kind != kind)
        from++;
    return from;
}

void aw_studies_free(aw_studies *st)
{
    aw_assessment_free(&st->assessment);
    aw_explanation_free(&st->explanation);
    aw_outage_free(&st->outage);
    aw_freedom_free(&st->freedoms);
    aw_sensitivity_free(&st->sensitivity);
    aw_sweep_free(&st->counts);
    aw_sweep_free(&st->heights);
    aw_comparison_free(&st->comparison);
    aw_placing_free(&st->placing);
    for (size_t i = 0; i < st->n_pictures; i++)
        aw_sheet_free(&st->pictures[i].sheet);
    free(st->pictures);
    *st = (aw_studies){0};
}
