/* Every set of causes is taken away once: 2^k runs for k causes, each with draws of its own. Single
 * removals and Shapley values are then read from the same list. */
#include "whatif/causes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/parallel.h"
#include "base/plane.h"

/* To add a cause: its name in aw_cause_kind, a row here, its presence in is_present() and its
 * removal in remove_causes(). */
const aw_cause_row aw_cause_rows[AW_CAUSES] = {
    [AW_CAUSE_OBSTACLES] = {"obstacles", "what stands in the way"},
    [AW_CAUSE_DIRECTIONS] = {"directions", "anchors that lie unevenly round it"},
    [AW_CAUSE_BIAS] = {"bias", "delay through what is crossed"},
    [AW_CAUSE_HEIGHT] = {"height", "the tag's unsure height"},
    [AW_CAUSE_SPOT] = {"spot", "reflections at the spot"},
    [AW_CAUSE_INSTALLATION] = {"installation", "survey and delay of the anchors"},
};

typedef struct job {
    const aw_trial_spot *spot;
    const aw_link *as_is, *bare; /* links with and without what stands on the floor */
    aw_cause_kind kinds[AW_CAUSES];
    size_t n_kinds;
    uint32_t draws;
    aw_workers workers;
    aw_estimate *p95; /* of each set, a bit for each of kinds[] */
} job;

/* Usable links keep range and height; their bearings become even, in the order they had. */
static void spread_evenly(aw_link links[], size_t n)
{
    size_t order[1024], used = 0;
    double bearing[1024];
    for (size_t i = 0; i < n && used < 1024; i++) {
        if (links[i].n_outcomes == 0)
            continue;
        const double a = atan2(links[i].to_anchor[1], links[i].to_anchor[0]);
        size_t k = used++;
        for (; k > 0 && bearing[k - 1] > a; k--) {
            bearing[k] = bearing[k - 1];
            order[k] = order[k - 1];
        }
        bearing[k] = a;
        order[k] = i;
    }
    for (size_t k = 0; k < used; k++) {
        aw_link *l = &links[order[k]];
        const double a = bearing[0] + 2 * M_PI * (double)k / (double)used, nowhere[3] = {0};
        const double plan = aw_length(l->to_anchor[0], l->to_anchor[1]);
        const double to[3] = {plan * cos(a), plan * sin(a), l->to_anchor[2]};
        aw_link_aim(l, to, nowhere);
    }
}

static bool has(const job *j, size_t set, aw_cause_kind kind)
{
    for (size_t k = 0; k < j->n_kinds; k++)
        if (j->kinds[k] == kind)
            return (set >> k & 1) != 0;
    return false;
}

/* The links of the spot with a set of causes taken away. */
static void remove_causes(const job *j, size_t set, aw_link links[])
{
    const size_t n = j->spot->scenario->n_anchors;
    memcpy(links, has(j, set, AW_CAUSE_OBSTACLES) ? j->bare : j->as_is, n * sizeof *links);
    for (size_t i = 0; i < n; i++) {
        aw_link *l = &links[i];
        for (size_t k = 0; k < l->n_outcomes && has(j, set, AW_CAUSE_BIAS); k++)
            l->outcomes[k].excess = 0;
        if (has(j, set, AW_CAUSE_BIAS))
            l->scatters = false;
        if (has(j, set, AW_CAUSE_SPOT))
            l->spot = l->tail = l->tail_share = 0;
        if (has(j, set, AW_CAUSE_INSTALLATION))
            l->survey = l->delay = 0;
        if (has(j, set, AW_CAUSE_SPOT) || has(j, set, AW_CAUSE_INSTALLATION))
            l->believed = sqrt(aw_link_variance(l));
    }
    if (has(j, set, AW_CAUSE_DIRECTIONS))
        spread_evenly(links, n);
}

static void draw_sets(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    const aw_trial_worker *w = aw_worker(&j->workers, thread);
    const aw_scenario *s = j->spot->scenario;
    for (size_t set = from; set < to; set++) {
        aw_bound bound;
        remove_causes(j, set, w->links);
        aw_trials_case c = aw_spot_case(j->spot, w->links, s->n_anchors, &bound);
        c.height_sigma = has(j, set, AW_CAUSE_HEIGHT) ? 0 : c.height_sigma;
        c.first_draw = s->study.draws + (uint32_t)set * j->draws;
        c.n_draws = j->draws;
        const aw_draws d = aw_trials_run(w->trials, &c);
        j->p95[set] = aw_spot_trials_p95(w->trials, &d, &c);
    }
}

static bool is_present(const job *j, aw_cause_kind kind)
{
    const aw_scenario *s = j->spot->scenario;
    const aw_tag *tag = &s->tags[j->spot->tag];
    bool crossed = false, late = false;
    for (size_t i = 0; i < s->n_anchors; i++) {
        crossed = crossed || j->as_is[i].loss_db != j->bare[i].loss_db ||
                  j->as_is[i].state != j->bare[i].state;
        late = late || aw_link_bias(&j->as_is[i]) > 0;
    }
    switch (kind) {
    case AW_CAUSE_OBSTACLES:
        return crossed;
    case AW_CAUSE_BIAS:
        return late;
    case AW_CAUSE_HEIGHT:
        return tag->fix == AW_FIX_2D && tag->height_sigma > 0;
    case AW_CAUSE_SPOT:
        return s->ranging.spot_sigma > 0 || s->ranging.tail_share * s->ranging.tail_sigma > 0;
    case AW_CAUSE_INSTALLATION:
        return aw_scenario_has_installation(s);
    default:
        return true;
    }
}

/* The mean over all orders of what taking away cause k gains: for each set of the others, the
 * share of orders in which exactly that set goes before it. */
static double shapley(const job *j, size_t k)
{
    const size_t n = j->n_kinds, bit = (size_t)1 << k;
    double sum = 0;
    for (size_t set = 0; set < (size_t)1 << n; set++) {
        if (set & bit)
            continue;
        const size_t before = (size_t)__builtin_popcountl(set);
        double orders = 1.0 / (double)n;
        for (size_t i = 0; i < before; i++)
            orders *= (double)(i + 1) / (double)(n - 1 - i);
        sum += orders * (j->p95[set].value - j->p95[set | bit].value);
    }
    return sum;
}

static void set_causes(aw_explanation *e, const job *j)
{
    for (size_t k = 0; k < j->n_kinds; k++) {
        const aw_estimate without = j->p95[(size_t)1 << k];
        e->causes[j->kinds[k]] = (aw_cause){.present = true,
                                            .without = without,
                                            .removal_gain = e->p95.value - without.value,
                                            .shapley = shapley(j, k)};
    }
    e->p95_without_all = j->p95[((size_t)1 << j->n_kinds) - 1].value;
}

static bool run_sets(job *j, const aw_run *run)
{
    const size_t n = j->spot->scenario->n_anchors, sets = (size_t)1 << j->n_kinds;
    j->p95 = calloc(sets, sizeof *j->p95);
    bool done = aw_trial_workers_create(&j->workers, run, n, j->draws) && j->p95 != NULL;
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the causes");
    aw_watch_stage(run->watch, sets * j->draws, "what each of %zu causes adds", j->n_kinds);
    done = done && aw_parallel(sets, 1, run, draw_sets, j, j->draws);
    aw_workers_free(&j->workers);
    return done;
}

/* Links of the spot as if nothing stood on the floor. */
static bool find_bare(const aw_trial_spot *spot, aw_link links[])
{
    aw_scenario empty = *spot->scenario;
    empty.n_obstacles = empty.n_walls = 0;
    aw_scene *scene = aw_scene_create(&empty);
    if (scene != NULL)
        aw_links_at(scene, spot->at, links);
    aw_scene_free(scene);
    return scene != NULL;
}

bool aw_causes_run(aw_explanation *e, const aw_trial_spot *spot, const aw_run *run)
{
    const size_t n = spot->scenario->n_anchors;
    const double nan = (double)NAN;
    aw_link *links = calloc(2 * n, sizeof *links);
    job j = {.spot = spot, .as_is = links, .bare = links + n, .draws = e->draws};
    bool done = links != NULL && find_bare(spot, links + n);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the causes");
    for (size_t i = 0; done && i < n; i++)
        links[i] = e->lines[i].link;
    for (int kind = 0; kind < AW_CAUSES; kind++) {
        e->causes[kind] = (aw_cause){false, {nan, nan, nan}, nan, nan};
        if (done && is_present(&j, (aw_cause_kind)kind))
            j.kinds[j.n_kinds++] = (aw_cause_kind)kind;
    }
    done = done && run_sets(&j, run);
    if (done)
        set_causes(e, &j);
    free(j.p95);
    free(links);
    return done;
}
