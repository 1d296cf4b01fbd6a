/* A layout for each point, every zone drawn for each, and then what the curve says. */
#include "anchorwise/sweep.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/cost.h"
#include "assess/parts.h"
#include "place/counts.h"

/* What a zone that states no need is weighed by, m. */
#define USUAL 0.5
/* Anchors that a curve goes to at least, if there are so many candidates. */
#define CURVE_TO 24
/* Cells that layouts are searched by, and of each zone at least. */
#define SEARCHED       320
#define LEAST_SEARCHED 40

typedef struct job {
    aw_sweep *sweep;
    const aw_sweep_plan *plan;
    const aw_run *run;
    aw_scenario scenario; /* with the zones that are looked at */
    aw_zone *zones;
    bool *stated;       /* of these */
    aw_need *to_meet;   /* what their stated figures have to meet */
    aw_anchor *anchors; /* of heights: those of a point */
    aw_swept *swept;    /* of counts: each number up to the curve's end, number 0 first */
    size_t least, most; /* of counts: the fewest for a position, the curve's end */
    aw_views views;
    aw_fitness fitness;
    aw_search search;
    aw_looks looks;
    aw_counts counts;
} job;

static bool complain(const job *j)
{
    aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the sweep");
    return false;
}

/* --- zones --- */

static aw_need usual_need(void)
{
    const double none = (double)NAN;
    return (aw_need){USUAL, none, none, none, none, none, none, none, 1};
}

/* The zones with a need, else all, else the floor; each with something to be weighed by. */
static void choose_zones(job *j)
{
    const aw_scenario *s = j->plan->scenario;
    bool stated = false;
    size_t n = 0;
    for (size_t i = 0; i < s->n_zones; i++)
        stated = stated || aw_need_is_stated(&s->zones[i].need);
    for (size_t i = 0; i < s->n_zones; i++)
        if (!stated || aw_need_is_stated(&s->zones[i].need))
            j->zones[n++] = s->zones[i];
    if (n == 0)
        j->zones[n++] = (aw_zone){.name = "floor", .outline = s->floor.outline};
    for (size_t i = 0; i < n; i++) {
        j->stated[i] = stated;
        if (!stated)
            j->zones[i].need = usual_need();
        j->to_meet[i] = aw_need_of_figures(&j->zones[i].need, s);
        j->sweep->names[i] = j->zones[i].name;
        j->sweep->asked[i] = stated ? j->zones[i].need.p95 : (double)NAN;
        j->sweep->to_meet[i] = stated ? j->to_meet[i].p95 : (double)NAN;
    }
    j->sweep->n_zones = n;
    j->scenario = *s;
    j->scenario.zones = j->zones;
    j->scenario.n_zones = n;
}

/* --- a point --- */

/* Takes the results of a zone; where it states no need, nothing was asked. */
static void take_zone(const job *j, aw_swept *p, size_t zone, const aw_zone_result *r)
{
    aw_estimate *p95 = &p->zones[zone].parts[AW_PART_P95].found;
    p->score = fmax(p->score, aw_zone_score(&j->to_meet[zone], r));
    p->zones[zone] = *r;
    if (!isfinite(p95->value))
        *p95 = (aw_estimate){(double)NAN, (double)NAN, (double)NAN};
    p->zones[zone].verdict = j->stated[zone] ? r->verdict : AW_NO_NEED;
    for (int part = 0; !j->stated[zone] && part < AW_PARTS; part++)
        p->zones[zone].parts[part] = aw_part_not_asked(p->zones[zone].parts[part].found);
    p->verdict = aw_verdict_join(p->verdict, p->zones[zone].verdict);
}

/* False without memory. */
static bool open_point(const job *j, aw_swept *p, const aw_anchor anchors[], size_t n)
{
    aw_scenario with = j->scenario;
    p->anchors = calloc(n + 1, sizeof *p->anchors);
    p->zones = calloc(j->sweep->n_zones + 1, sizeof *p->zones);
    p->worse = calloc(j->sweep->n_zones + 1, sizeof *p->worse);
    p->verdict = AW_NO_NEED;
    p->n_anchors = n;
    if (p->anchors == NULL || p->zones == NULL || p->worse == NULL)
        return complain(j);
    memcpy(p->anchors, anchors, n * sizeof *anchors);
    with.anchors = p->anchors;
    with.n_anchors = n;
    p->price = aw_layout_price(&with);
    return true;
}

static void free_point(aw_swept *p)
{
    free(p->anchors);
    free(p->zones);
    free(p->worse);
    *p = (aw_swept){0};
}

static aw_estimate p95_of(const aw_swept *p, size_t zone)
{
    return p->zones[zone].parts[AW_PART_P95].found;
}

/* --- counts --- */

/* The fewest anchors that give every zone a position. */
static size_t fewest(const job *j)
{
    size_t least = 1;
    for (size_t i = 0; i < j->views.n_zones; i++) {
        const size_t own = aw_view_zone_least(&j->views.zones[i]);
        least = own > least ? own : least;
    }
    return least;
}

/* Cells of a zone that layouts are searched by; draws take all. */
static size_t cells_of_zone(const job *j)
{
    const size_t own = SEARCHED / j->sweep->n_zones;
    return own > LEAST_SEARCHED ? own : LEAST_SEARCHED;
}

/* What a search by counts stands on. */
static bool prepare_counts(job *j)
{
    const aw_sweep_plan *p = j->plan;
    if (!aw_candidates_list(&j->sweep->candidates, &j->scenario, NULL, j->run->errors))
        return false;
    const size_t all = j->sweep->candidates.n;
    size_t *n = &j->sweep->n;
    while (p->as_many && *n > 1 && p->at[*n - 1] > (double)all)
        --*n;
    const size_t last = (size_t)p->at[*n - 1];
    if (last > all) {
        aw_errors_add(j->run->errors, AW_ERROR, 0, 0,
                      "%zu anchors are more than the %zu candidates", last, all);
        return false;
    }
    j->most = last > CURVE_TO ? last : CURVE_TO;
    j->most = j->most < all ? j->most : all;
    if (!aw_views_make(&j->views, &j->scenario, &j->sweep->candidates, cells_of_zone(j), j->run))
        return false;
    j->least = fewest(j);
    j->looks = (aw_looks){.scenario = &j->scenario,
                          .candidates = &j->sweep->candidates,
                          .views = &j->views,
                          .fitness = &j->fitness,
                          .judging = AW_JUDGE_PARTS,
                          .run = *j->run};
    j->swept = calloc(j->most + 1, sizeof *j->swept);
    return (j->swept != NULL && aw_fitness_create(&j->fitness, &j->views, false, j->run) &&
            aw_search_create(&j->search, &j->fitness, j->scenario.study.seed) &&
            aw_counts_create(&j->counts, &j->looks, &j->search)) ||
           complain(j);
}

/* Whether intervals, or values where there are none, say that p95 is larger. */
static bool is_worse(const aw_estimate *e, const aw_estimate *than)
{
    if (isnan(e->value) || isnan(than->value))
        return isnan(e->value) && !isnan(than->value);
    return isnan(e->low) || isnan(than->high) ? e->value > than->value : e->low > than->high;
}

static void compare_with(aw_swept *p, const aw_swept *before, size_t zones)
{
    p->no_better = p->score > before->score;
    for (size_t z = 0; z < zones; z++) {
        const aw_estimate own = p95_of(p, z), other = p95_of(before, z);
        p->worse[z] = is_worse(&own, &other);
    }
}

/* Layouts of every number that is asked for or on the curve. Those too few for a position begin no
 * other. */
static bool run_counts(job *j)
{
    const size_t first = (size_t)j->plan->at[0];
    for (size_t n = first < j->least ? first : j->least; n <= j->most; n++) {
        aw_swept *p = &j->swept[n];
        aw_watch_stage(j->run->watch, 0, "layouts of %zu anchors, of up to %zu", n, j->most);
        if (n <= j->least)
            j->counts.last = NULL;
        if (!aw_counts_next(&j->counts, n))
            return false;
        const aw_looked *l = j->counts.last;
        p->at = (double)n;
        if (!open_point(j, p, l->anchors, l->n))
            return false;
        for (size_t z = 0; z < j->sweep->n_zones; z++)
            take_zone(j, p, z, &l->first.zones[z]);
        if (n > j->least)
            compare_with(p, &j->swept[n - 1], j->sweep->n_zones);
    }
    return true;
}

/* The first number at which every zone that ever has a p95 has one; beyond the last if none. */
static size_t find_first(const job *j)
{
    for (size_t n = j->least; n <= j->most; n++) {
        bool all = true, any = false;
        for (size_t z = 0; z < j->sweep->n_zones; z++) {
            bool ever = false;
            for (size_t k = n; k <= j->most; k++)
                ever = ever || isfinite(p95_of(&j->swept[k], z).value);
            any = any || ever;
            all = all && (!ever || isfinite(p95_of(&j->swept[n], z).value));
        }
        if (all && any)
            return n;
    }
    return j->most + 1;
}

static bool take_curve(aw_sweep *w, size_t n)
{
    w->n_curve = n;
    w->curve_at = calloc(n + 1, sizeof *w->curve_at);
    w->curve = calloc(n * w->n_zones + 1, sizeof *w->curve);
    return w->curve_at != NULL && w->curve != NULL;
}

/* A point of the curve; with `carried` as the one before. */
static void set_curve(aw_sweep *w, size_t i, const aw_swept *p, bool carried)
{
    w->curve_at[i] = p->at;
    for (size_t z = 0; z < w->n_zones; z++)
        w->curve[i * w->n_zones + z] = carried ? w->curve[(i - 1) * w->n_zones + z] : p95_of(p, z);
}

/* The curve, and the points that were asked for. */
static bool keep_counts(job *j)
{
    aw_sweep *w = j->sweep;
    const size_t first = find_first(j);
    if (!take_curve(w, j->most + 1 - first))
        return complain(j);
    for (size_t i = 0; i < w->n_curve; i++)
        set_curve(w, i, &j->swept[first + i], i > 0 && j->swept[first + i].no_better);
    for (size_t i = 0; i < w->n; i++) {
        w->points[i] = j->swept[(size_t)j->plan->at[i]];
        j->swept[(size_t)j->plan->at[i]] = (aw_swept){0};
    }
    return true;
}

/* --- heights --- */

static void begin_height(const job *j, size_t i)
{
    const double unit = aw_unit_metres(j->plan->scenario->units);
    size_t work = 0;
    if (!aw_watch_shows(j->run->watch))
        return;
    for (size_t z = 0; z < j->sweep->n_zones; z++)
        work += aw_zone_work(&j->scenario, &j->zones[z]);
    aw_watch_stage(j->run->watch, work, "point %zu of %zu, %g %s, drawn", i + 1, j->sweep->n,
                   j->plan->at[i] / unit, unit != 1 ? "ft" : "m");
}

static bool run_height(job *j, size_t i)
{
    const aw_scenario *s = j->plan->scenario;
    aw_swept *p = &j->sweep->points[i];
    memcpy(j->anchors, s->anchors, s->n_anchors * sizeof *j->anchors);
    for (size_t k = 0; k < s->n_anchors; k++)
        if (j->plan->group == NULL || j->plan->group[k])
            j->anchors[k].at[2] = j->plan->at[i];
    p->at = j->plan->at[i];
    begin_height(j, i);
    if (!open_point(j, p, j->anchors, s->n_anchors))
        return false;
    j->scenario.anchors = p->anchors;
    for (size_t z = 0; z < j->sweep->n_zones; z++) {
        aw_zone_result r;
        if (!aw_assess_zone(&r, &j->scenario, &j->zones[z], j->run))
            return false;
        take_zone(j, p, z, &r);
    }
    set_curve(j->sweep, i, p, false);
    return true;
}

static bool run_heights(job *j)
{
    if (!take_curve(j->sweep, j->sweep->n))
        return complain(j);
    for (size_t i = 0; i < j->sweep->n; i++)
        if (!run_height(j, i))
            return false;
    return true;
}

/* --- the sweep --- */

static bool find_bends(const job *j)
{
    aw_sweep *w = j->sweep;
    aw_estimate *curve = calloc(w->n_curve + 1, sizeof *curve);
    for (size_t z = 0; curve != NULL && z < w->n_zones; z++) {
        for (size_t i = 0; i < w->n_curve; i++)
            curve[i] = w->curve[i * w->n_zones + z];
        w->bends[z] = aw_curve_shape_find(w->kind, w->curve_at, curve, w->n_curve);
    }
    free(curve);
    return curve != NULL || complain(j);
}

static bool take_memory(job *j)
{
    aw_sweep *w = j->sweep;
    const aw_scenario *s = j->plan->scenario;
    const size_t zones = s->n_zones + 1;
    w->points = calloc(j->plan->n + 1, sizeof *w->points);
    w->names = calloc(zones, sizeof *w->names);
    w->asked = calloc(zones, sizeof *w->asked);
    w->to_meet = calloc(zones, sizeof *w->to_meet);
    w->bends = calloc(zones, sizeof *w->bends);
    j->zones = calloc(zones, sizeof *j->zones);
    j->stated = calloc(zones, sizeof *j->stated);
    j->to_meet = calloc(zones, sizeof *j->to_meet);
    j->anchors = calloc(s->n_anchors + 1, sizeof *j->anchors);
    return (w->points && w->names && w->asked && w->to_meet && w->bends && j->zones && j->stated &&
            j->to_meet && j->anchors) ||
           complain(j);
}

static void close_job(job *j)
{
    for (size_t i = 0; j->swept != NULL && i <= j->most; i++)
        free_point(&j->swept[i]);
    free(j->swept);
    aw_counts_free(&j->counts);
    aw_looks_free(&j->looks);
    aw_search_free(&j->search);
    aw_fitness_free(&j->fitness);
    aw_views_free(&j->views);
    free(j->zones);
    free(j->stated);
    free(j->to_meet);
    free(j->anchors);
}

bool aw_sweep_run(aw_sweep *w, const aw_sweep_plan *plan, const aw_run *run)
{
    job j = {.sweep = w, .plan = plan, .run = run};
    *w = (aw_sweep){.kind = plan->kind, .n = plan->n};
    bool done = take_memory(&j);
    if (done)
        choose_zones(&j);
    if (plan->kind == AW_SWEEP_COUNTS)
        done = done && prepare_counts(&j) && run_counts(&j) && keep_counts(&j);
    else
        done = done && run_heights(&j);
    done = done && find_bends(&j);
    close_job(&j);
    return done;
}

void aw_sweep_free(aw_sweep *w)
{
    for (size_t i = 0; w->points != NULL && i < w->n; i++)
        free_point(&w->points[i]);
    aw_candidates_free(&w->candidates);
    free(w->points);
    free(w->names);
    free(w->asked);
    free(w->to_meet);
    free(w->curve_at);
    free(w->curve);
    free(w->bends);
    *w = (aw_sweep){0};
}
