/* The largest tolerances, up a ladder of round values: few draws find the rung, all draws confirm
 * it, and where they do not the rung below is tried. */
#include "whatif/tolerance.h"

#include <math.h>

#include "assess/parts.h"
#include "assess/zone_assess.h"

/* Draws that look for the rung. */
#define LOOKING 128
/* About how many times a zone is looked at, and confirmed. */
#define LOOKS 4
#define SURE  2

/* Bounds in m between ways of working: common practice in surveying and in timing, the footing of a
 * sentence and of no figure. A total station sets points out to some mm, a laser distance meter
 * from walls to some cm; 30 ps of clock are 1 cm. */
const aw_tolerance_row aw_tolerance_rows[AW_TOLERANCES] = {
    [AW_TOLERANCE_SURVEY] = {"survey",
                             "survey of the anchors, each axis",
                             {{0.004, "a total station, and the net adjusted"},
                              {0.02, "a total station"},
                              {0.05, "a laser distance meter from the building's grid"},
                              {HUGE_VAL, "a tape will do"}}},
    [AW_TOLERANCE_DELAY] = {"delay",
                            "cable and antenna delay",
                            {{0.01, "every anchor calibrated in place, and again with the seasons"},
                             {0.04, "every anchor calibrated in place, once"},
                             {0.1, "every anchor with its cable calibrated on a bench"},
                             {HUGE_VAL, "the figure of the type will do"}}},
    [AW_TOLERANCE_HEIGHT] = {"height",
                             "tag height",
                             {{0.02, "tags screwed on, each height measured"},
                              {0.1, "tags screwed on, one height for each kind"},
                              {0.3, "tags worn at one place of the body"},
                              {HUGE_VAL, "tags carried anyhow"}}},
    [AW_TOLERANCE_CLOCK] = {"clock",
                            "clock jitter on top of the white error",
                            {{0.01, "one clock by matched cables"},
                             {0.06, "one clock by cable"},
                             {0.2, "anchors set by radio, often"},
                             {HUGE_VAL, "anchors set by radio, now and then"}}},
};

const char *aw_tolerance_words(aw_tolerance_kind kind, double most)
{
    if (isnan(most))
        return NULL;
    const aw_tolerance_class *p = aw_tolerance_rows[kind].practice;
    while (most > p->up_to)
        p++;
    return p->words;
}

/* --- the ladder --- */

/* Preferred numbers, ten to a decade (ISO 3, R10, rounded to two digits), from 1 mm to 1 m. */
static const double ladder[] = {
    0,     0.001, 0.0012, 0.0016, 0.002, 0.0025, 0.003, 0.004,
    0.005, 0.006, 0.008,  0.01,   0.012, 0.016,  0.02,  0.025,
    0.03,  0.04,  0.05,   0.06,   0.08,  0.1,    0.12,  0.16,
    0.2,   0.25,  0.3,    0.4,    0.5,   0.6,    0.8,   AW_MOST_TOLERANCE};
#define RUNGS (sizeof ladder / sizeof *ladder)

double aw_tolerance_rung(size_t k)
{
    return ladder[k];
}

size_t aw_tolerance_rungs(void)
{
    return RUNGS;
}

static double today_of(const aw_scenario *s, aw_tolerance_kind kind)
{
    double height = 0;
    for (size_t i = 0; i < s->n_tags; i++)
        height = fmax(height, s->tags[i].height_sigma);
    const double today[] = {[AW_TOLERANCE_SURVEY] = s->ranging.survey_sigma,
                            [AW_TOLERANCE_DELAY] = s->ranging.delay_sigma,
                            [AW_TOLERANCE_HEIGHT] = height,
                            [AW_TOLERANCE_CLOCK] = 0};
    return today[kind];
}

static void add_jitter(double *white, double value)
{
    *white = hypot(*white, value);
}

bool aw_tolerance_set(aw_varied *v, aw_tolerance_kind kind, double value)
{
    aw_scenario *s = &v->scenario;
    aw_tag *tags = kind == AW_TOLERANCE_HEIGHT ? aw_varied_tags(v) : NULL;
    if (kind == AW_TOLERANCE_SURVEY)
        s->ranging.survey_sigma = value;
    else if (kind == AW_TOLERANCE_DELAY)
        s->ranging.delay_sigma = value;
    else if (kind == AW_TOLERANCE_CLOCK)
        add_jitter(s->radio.given ? &s->radio.arrival_floor : &s->ranging.sigma, value);
    for (size_t i = 0; tags != NULL && i < s->n_tags; i++)
        tags[i].height_sigma = value;
    return kind != AW_TOLERANCE_HEIGHT || tags != NULL;
}

/* --- one rung --- */

typedef struct search {
    const aw_scenario *scenario;
    const aw_sensitivity *zones;
    aw_tolerance_kind kind;
    aw_tolerance *found;
    bool *left_out; /* of each zone */
    size_t suspect; /* the zone that failed last, tried first */
    const aw_run *run;
    bool broken; /* stopped or without memory */
} search;

/* Whether a zone is met at a rung; by its values if few draws look, else by its verdict. */
static bool is_met(search *x, const aw_scenario *s, size_t zone, bool looks)
{
    const aw_zone_plan plan = {
        .scenario = s, .zone = &x->zones->zones[zone], .judging = AW_JUDGE_VERDICT};
    aw_zone_result r;
    if (!aw_need_is_stated(&plan.zone->need) || x->left_out[zone])
        return true;
    x->broken = !aw_zone_ask(&r, &plan, x->run);
    if (!x->broken && (looks ? aw_zone_holds(&r) : r.verdict == AW_MET))
        return true;
    x->suspect = x->found->zone = zone;
    x->found->limit = r;
    return false;
}

/* False without memory: it is broken then. */
static bool set_rung(search *x, aw_varied *other, size_t rung)
{
    if (aw_tolerance_set(other, x->kind, ladder[rung]))
        return true;
    aw_errors_add(x->run->errors, AW_ERROR, 0, 0, "out of memory for the tolerances");
    x->broken = true;
    return false;
}

static bool holds(search *x, size_t rung, bool looks)
{
    const size_t n = x->zones->n_zones;
    aw_varied other = aw_vary(x->scenario);
    aw_scenario *s = &other.scenario;
    bool met = set_rung(x, &other, rung);
    s->study.draws = looks && s->study.draws > LOOKING ? LOOKING : s->study.draws;
    const size_t first = x->suspect;
    for (size_t k = 0; met && k < n; k++)
        met = is_met(x, s, (first + k) % n, looks);
    aw_varied_free(&other);
    return met;
}

/* Leaves out the zones that are not met even with none of that error, and so hide nothing of the
 * others; false if none is left. What is met today is met with less. */
static bool leave_out(search *x)
{
    const size_t n = x->zones->n_zones;
    size_t left = 0;
    aw_tolerance out = *x->found;
    for (size_t z = 0; z < n && !x->broken; z++) {
        aw_varied other = aw_vary(x->scenario);
        const bool stated = aw_need_is_stated(&x->zones->zones[z].need);
        if (stated && x->zones->today[z].verdict != AW_MET) {
            x->left_out[z] = set_rung(x, &other, 0) && !is_met(x, &other.scenario, z, false);
            if (x->left_out[z] && out.zone == n)
                out = *x->found;
        }
        aw_varied_free(&other);
        left += stated && !x->left_out[z];
    }
    *x->found = out;
    x->suspect = 0;
    return left > 0 && !x->broken;
}

/* The highest rung that is met, by halving; what is met at one rung is taken to be so below it. */
static void find(search *x)
{
    size_t low = 0, high = RUNGS;
    if (!leave_out(x))
        return;
    x->found->zone = x->zones->n_zones;
    while (high - low > 1 && !x->broken) {
        const size_t middle = (low + high) / 2;
        if (holds(x, middle, true))
            low = middle;
        else
            high = middle;
    }
    bool fell = false;
    for (; !x->broken && !holds(x, low, false); low--) {
        if (low == 0)
            return;
        fell = true;
    }
    while (!fell && !x->broken && low + 1 < RUNGS && holds(x, low + 1, false))
        low++;
    x->found->most = ladder[low];
    if (low + 1 == RUNGS)
        x->found->zone = x->zones->n_zones;
}

/* Of one kind, about. */
static size_t kind_work(const aw_scenario *s)
{
    aw_scenario looking = *s;
    size_t work = 0;
    looking.study.draws = s->study.draws < LOOKING ? s->study.draws : LOOKING;
    for (size_t i = 0; i < s->n_zones; i++)
        if (aw_need_is_stated(&s->zones[i].need))
            work +=
                LOOKS * aw_zone_work(&looking, &s->zones[i]) + SURE * aw_zone_work(s, &s->zones[i]);
    return work;
}

size_t aw_tolerances_work(const aw_scenario *s)
{
    return AW_TOLERANCES * kind_work(s);
}

bool aw_tolerances_run(aw_sensitivity *v, const aw_scenario *s, const aw_run *run)
{
    bool stated = false;
    for (size_t i = 0; i < v->n_zones; i++)
        stated = stated || aw_need_is_stated(&v->zones[i].need);
    for (int kind = 0; kind < AW_TOLERANCES; kind++) {
        aw_tolerance *t = &v->tolerances[kind];
        search x = {
            s,   v,    (aw_tolerance_kind)kind, t, &v->without_room[(size_t)kind * v->n_zones], 0,
            run, false};
        *t = (aw_tolerance){.today = today_of(s, x.kind), .most = (double)NAN, .zone = v->n_zones};
        if (stated && aw_watch_shows(run->watch))
            aw_watch_stage(run->watch, kind_work(s), "tolerance %d of %d, %s", kind + 1,
                           AW_TOLERANCES, aw_tolerance_rows[kind].key);
        if (stated)
            find(&x);
        if (x.broken)
            return false;
    }
    return true;
}
