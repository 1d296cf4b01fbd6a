/* Small sites for placing, and their cheapest layout by enumeration: every subset of the candidates
 * in order of price, judged by assessments of its zones alone. Sites are drawn from a seed; a need
 * is what some subset of the candidates reaches and a little more, or, where none is to meet it, a
 * part of what all of them reach. */
#ifndef PLACES_H
#define PLACES_H

#include <string.h>

#include "anchorwise.h"
#include "assess/zone_assess.h"
#include "aw_test.h"

#define PLACES_MOST 10

typedef struct places {
    aw_text text;
    aw_scenario scenario;
    aw_candidates candidates;
    size_t others; /* looks by other seeds that the cheapest layout must meet */
    bool keep[8], sturdy;
    bool room, radio, solid, terms;
    aw_anchor anchors[PLACES_MOST + 8];
} places;

static void places_close(places *p)
{
    aw_candidates_free(&p->candidates);
    aw_scenario_free(&p->scenario);
    aw_text_free(&p->text);
    *p = (places){.others = p->others};
}

/* --- a site's text --- */

typedef struct places_need {
    double part[AW_PARTS]; /* NaN: not asked */
} places_need;

static void places_add_need(aw_text *t, const places_need *n)
{
    static const char *const keys[AW_PARTS] = {[AW_PART_P95] = "p95",
                                               [AW_PART_SHARE] = "share",
                                               [AW_PART_P99] = "p99",
                                               [AW_PART_VERTICAL_P95] = "vertical_p95",
                                               [AW_PART_FIX_SHARE] = "fix_share",
                                               [AW_PART_ZONE_SHARE] = "zone_share"};
    const char *comma = "";
    aw_text_add(t, "need: {");
    for (int part = 0; part < AW_PARTS; part++)
        if (keys[part] != NULL && !isnan(n->part[part])) {
            aw_text_format(t, "%s%s: %.4f", comma, keys[part], n->part[part]);
            comma = ", ";
        }
    aw_text_add(t, "}");
}

static void places_add_box(aw_text *t, uint64_t *state, double length, double width, size_t i)
{
    const double x = test_between(state, 1, length - 4), y = test_between(state, 1, width - 3);
    const double a = test_between(state, 1, 3), b = test_between(state, 0.6, 2);
    aw_text_format(t,
                   "  - {name: stack %zu, footprint: [[%.2f, %.2f], [%.2f, %.2f], [%.2f, %.2f], "
                   "[%.2f, %.2f]], top: %.2f, material: %s}\n",
                   i, x, y, x + a, y, x + a, y + b, x, y + b, test_between(state, 1.5, 4),
                   i == 0 ? "sacks" : "brick");
}

/* A place on the walls, so far along them from the room (or the corner where it would be) by north,
 * west and south to the room again. */
static aw_point places_on_walls(double at, double length, double width, double gap)
{
    const double off = 0.3, north = length - gap - off, west = width, south = length;
    if (at < north)
        return (aw_point){length - gap - at, width - off};
    if (at < north + west)
        return (aw_point){off, fmax(width - off - (at - north), off)};
    if (at < north + west + south)
        return (aw_point){fmin(fmax(at - north - west, off), length - off), off};
    return (aw_point){length - off, off + at - north - west - south};
}

/* Candidates along the walls; in a room of its own in its corners. */
static void places_add_candidates(places *p, uint64_t *state, double length, double width, size_t n)
{
    aw_text *t = &p->text;
    const double gap = p->room ? 6.3 : 0.6;
    const double round = 2 * length - gap - 0.3 + 2 * width - (p->room ? 5.6 : 0.6);
    const size_t inside = p->room ? 4 : 0;
    aw_text_add(t, "candidates:\n  points:\n");
    for (size_t i = 0; i < n; i++) {
        const double along = (double)(i - inside) + test_between(state, 0.1, 0.9);
        const aw_point at =
            i < inside ? (aw_point){length - (i % 2 ? 0.4 : 5.6), width - (i / 2 ? 0.4 : 4.6)}
                       : places_on_walls(round * along / (double)(n - inside), length, width, gap);
        aw_text_format(t, "    - {name: K%zu, at: [%.2f, %.2f, %.2f]}\n", i, at.x, at.y,
                       test_between(state, 2.5, 4.5));
    }
}

static void places_add_zones(places *p, double length, double width, const places_need needs[2])
{
    aw_text *t = &p->text;
    const double edge = p->room ? length - 6.5 : length / 2 - 0.5;
    aw_text_format(t,
                   "zones:\n  - {name: west, outline: [[0.5, 0.5], [%.2f, 0.5], [%.2f, %.2f], "
                   "[0.5, %.2f]], ",
                   edge, edge, width - 0.5, width - 0.5);
    places_add_need(t, &needs[0]);
    const double x = p->room ? length - 5.8 : edge + 1, y = p->room ? width - 4.8 : 0.5;
    aw_text_format(t,
                   "}\n  - {name: east, outline: [[%.2f, %.2f], [%.2f, %.2f], [%.2f, %.2f], "
                   "[%.2f, %.2f]], ",
                   x, y, length - 0.3, y, length - 0.3, width - 0.3, x, width - 0.3);
    places_add_need(t, &needs[1]);
    aw_text_add(t, "}\n");
}

/* The same text for a seed but for its needs. */
static void places_write(places *p, uint64_t seed, const places_need needs[2])
{
    const size_t others = p->others;
    uint64_t state = seed * 7919;
    aw_text *t = &p->text;
    const double length = test_between(&state, 14, 20), width = test_between(&state, 9, 14);
    *p = (places){.others = others,
                  .room = seed % 3 == 0,
                  .radio = seed % 5 == 1,
                  .solid = seed % 11 == 4,
                  .terms = seed % 5 == 3,
                  .sturdy = seed % 29 == 7};
    p->room = p->room && !p->sturdy;
    p->radio = p->radio && !p->solid;
    const size_t n = p->room ? PLACES_MOST : 7 + seed % 4;
    aw_text_format(t,
                   "anchorwise: 1\ntitle: place %d\nfloor: {outline: [[0, 0], [%.2f, 0], [%.2f, "
                   "%.2f], [0, %.2f]], ceiling: 5}\n"
                   "materials:\n  sacks: {loss_db: 12, delay: 0.3}\nobstacles:\n",
                   (int)seed, length, length, width, width);
    for (size_t i = 0; i < 1 + seed % 2; i++)
        places_add_box(t, &state, p->room ? length - 6 : length, width, i);
    if (p->room)
        aw_text_format(t,
                       "walls:\n  - {name: vault, path: [[%.2f, %.2f], [%.2f, %.2f], [%.2f, "
                       "%.2f]], thickness: 0.1, material: metal}\n",
                       length - 6, width - 0.05, length - 6, width - 5, length - 0.05, width - 5);
    aw_text_add(t, "anchors:\n");
    for (size_t i = 0; i < 4; i++)
        aw_text_format(t, "  - {name: S%zu, at: [0.4, %.1f, 3]}\n", i, 0.4 + 0.3 * (double)i);
    p->keep[0] = seed % 7 == 2;
    places_add_candidates(p, &state, length, width, n - p->keep[0]);
    aw_text_format(t, "tags:\n  - {name: t, height: 1.2%s}\n",
                   p->solid ? ", fix: 3d" : ", height_sigma: 0.1");
    aw_text_format(
        t, "ranging: {sigma: 0.08, spot_sigma: 0.15, tail_share: 0.15, tail_sigma: 0.5%s%s}\n",
        p->terms ? ", survey_sigma: 0.03, delay_sigma: 0.05" : "", p->radio ? "" : ", range: 30");
    if (p->radio)
        aw_text_add(t, "radio: {channel: 5, environment: InF-DH}\n");
    places_add_zones(p, length, width, needs);
    if (seed % 2)
        aw_text_format(t,
                       "prices: {currency: EUR, anchor: 300, cable: %.1f, cabinet: [0.5, 0.5, 1], "
                       "mounts: [{name: low, up_to: 3.5, price: 40}, {name: high, price: 140}]}\n",
                       test_between(&state, 3, 15));
    aw_text_format(t, "study: {step: %g, draws: %d, seed: %d}\n", 1.5, 1000, (int)(1 + seed % 9));
    aw_errors errors = {0};
    ck_assert_msg(aw_scenario_parse(&p->scenario, t->at, t->n, &errors), "%s\n%s",
                  errors.n ? errors.list[0].text : "", t->at);
    ck_assert(aw_candidates_list(&p->candidates, &p->scenario, p->keep, &errors));
    ck_assert_uint_le(p->candidates.n, PLACES_MOST + 1);
    aw_errors_free(&errors);
}

/* --- one subset --- */

static aw_scenario places_with(places *p, unsigned subset, size_t lost, uint64_t seed)
{
    aw_scenario s = p->scenario;
    s.anchors = p->anchors;
    s.n_anchors = 0;
    s.study.seed = seed;
    for (size_t i = 0; i < p->candidates.n; i++) {
        const aw_candidate *c = &p->candidates.list[i];
        if ((subset >> i & 1) && i != lost)
            p->anchors[s.n_anchors++] =
                (aw_anchor){.name = c->name, .at = {c->at[0], c->at[1], c->at[2]}, .key = c->key};
    }
    return s;
}

/* By 128 draws without odds only what surely fails is not met. */
static bool places_zones_met(const aw_scenario *s, bool few)
{
    aw_errors errors = {0};
    bool met = true;
    for (size_t z = 0; z < s->n_zones && met; z++) {
        aw_zone_result r;
        aw_map map = {0};
        const aw_zone_plan plan = {
            .scenario = s, .zone = &s->zones[z], .judging = AW_JUDGE_VERDICT, .without_odds = few};
        ck_assert(aw_assess_zone_run(&r, &map, &plan, &(aw_run){1, NULL, &errors}));
        aw_map_free(&map);
        if (!few)
            met = r.verdict == AW_MET;
        for (int part = 0; few && part < AW_PARTS; part++)
            met = met && (r.parts[part].verdict != AW_NOT_MET || part == AW_PART_SHARE);
    }
    return met;
}

/* Whether every need is met by one seed, if sturdy with any one anchor lost too. */
static bool places_meets(places *p, unsigned subset, uint64_t seed, bool few)
{
    for (size_t lost = 0; lost <= p->candidates.n; lost++) {
        const bool none = lost == p->candidates.n;
        if (!none && (!p->sturdy || !(subset >> lost & 1)))
            continue;
        aw_scenario s = places_with(p, subset, lost, seed);
        s.study.draws = few ? 128 : s.study.draws;
        if (!places_zones_met(&s, few))
            return false;
    }
    return true;
}

static double places_price(const places *p, unsigned subset)
{
    double price = 0;
    for (size_t i = 0; i < p->candidates.n; i++)
        price += subset >> i & 1 ? p->candidates.list[i].price : 0;
    return price;
}

/* How many of the looks by other seeds are met; ends at the first that is not if `all`. */
static size_t places_others(places *p, unsigned subset, bool all)
{
    size_t met = 0;
    for (uint64_t k = 1; k <= p->others; k++) {
        const bool own = places_meets(p, subset, 1000003 * k + p->scenario.study.seed, false);
        met += own;
        if (all && !own)
            break;
    }
    return met;
}

/* --- the cheapest --- */

typedef struct places_subset {
    unsigned in;
    double price;
} places_subset;

static int places_compare(const void *a, const void *b)
{
    const places_subset *s = a, *t = b;
    return s->price != t->price ? (s->price < t->price ? -1 : 1)
                                : (s->in > t->in) - (s->in < t->in);
}

/* The least price of a subset that is met at the study's seed, and of one that is by all others
 * too; infinity if there is none. */
__attribute__((unused)) static void places_enumerate(places *p, double *first, double *sure)
{
    const size_t n = p->candidates.n, all = (size_t)1 << n;
    const unsigned kept = (1u << p->candidates.n_kept) - 1;
    places_subset *list = calloc(all, sizeof *list);
    ck_assert_ptr_nonnull(list);
    for (unsigned in = 0; in < all; in++)
        list[in] = (places_subset){in, places_price(p, in)};
    qsort(list, all, sizeof *list, places_compare);
    *first = *sure = HUGE_VAL;
    for (size_t i = 0; i < all && isinf(*sure); i++) {
        const unsigned in = list[i].in;
        if (__builtin_popcount(in) < (p->solid ? 4 : 3) || (in & kept) != kept ||
            !places_meets(p, in, p->scenario.study.seed, true) ||
            !places_meets(p, in, p->scenario.study.seed, false))
            continue;
        *first = fmin(*first, list[i].price);
        if (places_others(p, in, true) == p->others)
            *sure = list[i].price;
    }
    free(list);
}

/* --- needs --- */

static places_need places_no_need(void)
{
    places_need n;
    for (int part = 0; part < AW_PARTS; part++)
        n.part[part] = (double)NAN;
    return n;
}

/* What a zone is asked, from what it reaches: `ease` times a length, shares by their distance from
 * 1; which parts follows from the seed. */
static places_need places_ask(const places *p, const aw_zone_result *r, uint64_t seed, size_t zone,
                              double ease)
{
    places_need n = places_no_need();
    const double p95 = r->parts[AW_PART_P95].found.value, p99 = r->parts[AW_PART_P99].found.value;
    const double reports = r->parts[AW_PART_ZONE_SHARE].found.value;
    const uint64_t which = (seed + zone) % 6;
    if (which != 3 || zone == 0)
        n.part[AW_PART_P95] = ease * p95;
    if (which == 0)
        n.part[AW_PART_SHARE] = 0.8;
    if (which == 1 && isfinite(p99))
        n.part[AW_PART_P99] = ease * p99;
    if (which == 2 || (which == 3 && zone == 1))
        n.part[AW_PART_FIX_SHARE] = 0.97;
    if (which == 3)
        n.part[AW_PART_ZONE_SHARE] = fmax(0.3, 1 - ease * ease * (1 - reports));
    if (p->solid)
        n.part[AW_PART_VERTICAL_P95] = ease * r->parts[AW_PART_VERTICAL_P95].found.value;
    return n;
}

/* A site whose needs a subset reaches, all candidates but one or two where it can be served with
 * fewer; false where that subset has no position everywhere. ease < 1: what all candidates do not
 * reach. */
static bool places_open(places *p, uint64_t seed, bool possible, size_t others)
{
    places_need loose[2] = {places_no_need(), places_no_need()}, needs[2];
    uint64_t state = seed;
    for (size_t z = 0; z < 2; z++) {
        loose[z].part[AW_PART_P95] = loose[z].part[AW_PART_P99] = 900;
        loose[z].part[AW_PART_ZONE_SHARE] = loose[z].part[AW_PART_FIX_SHARE] = 0.01;
        if (seed % 11 == 4)
            loose[z].part[AW_PART_VERTICAL_P95] = 900;
    }
    *p = (places){.others = others};
    places_write(p, seed, loose);
    const size_t n = p->candidates.n;
    unsigned subset = (1u << n) - 1;
    const size_t gone = p->room ? 1 : (size_t)test_between(&state, 1, 3.99);
    for (size_t k = 0; possible && k < gone; k++)
        subset &= ~(1u << (p->candidates.n_kept + (p->room ? 3 : 0) + 1 +
                           (size_t)test_between(
                               &state, 0, (double)(n - p->candidates.n_kept - (p->room ? 4 : 1)))));
    const double ease = possible ? test_between(&state, 1.05, 1.4) : 0.6;
    bool sound = true;
    aw_scenario s = places_with(p, subset, n, p->scenario.study.seed);
    for (size_t z = 0; z < 2; z++) {
        aw_errors errors = {0};
        aw_zone_result r;
        ck_assert(aw_assess_zone(&r, &s, &s.zones[z], &(aw_run){1, NULL, &errors}));
        sound = sound && r.parts[AW_PART_P95].found.value < 20;
        needs[z] = places_ask(p, &r, seed, z, ease * (p->sturdy && possible ? 1.8 : 1));
    }
    if (sound) {
        places_close(p);
        places_write(p, seed, needs);
    }
    return sound;
}

#endif
