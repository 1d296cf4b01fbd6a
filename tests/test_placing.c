/* Placing anchors: the search against every subset, the bound against the truth, the relaxation
 * against its own assumptions, known best layouts, and what is left alone. */
#include <string.h>

#include "anchorwise.h"
#include "place/lower_bound.h"
#include "place/search.h"
#include "aw_test.h"

#define SITES 100

/* --- sites --- */

typedef struct site {
    aw_text text;
    aw_scenario scenario;
    aw_candidates candidates;
    aw_views views;
    aw_fitness fitness;
    aw_search search;
    aw_lower_bound least;
} site;

static void open_site(site *s, bool sturdy)
{
    aw_errors errors = {0};
    ck_assert_msg(aw_scenario_parse(&s->scenario, s->text.at, s->text.n, &errors), "%s\n%s",
                  errors.list[0].text, s->text.at);
    ck_assert(aw_candidates_list(&s->candidates, &s->scenario, NULL, &errors));
    ck_assert(aw_views_make(&s->views, &s->scenario, &s->candidates, SIZE_MAX,
                            &(aw_run){1, NULL, &errors}));
    ck_assert(aw_fitness_create(&s->fitness, &s->views, sturdy, &(aw_run){1, NULL, NULL}));
    ck_assert(aw_search_create(&s->search, &s->fitness, 1));
    aw_errors_free(&errors);
}

static bool find_bound(site *s, bool sturdy, double known, bool whole)
{
    const aw_lower_bound_plan plan = {
        .views = &s->views, .slack = 1, .sturdy = sturdy, .known = known, .whole = whole};
    return aw_lower_bound_find(&s->least, &plan, &(aw_run){1, NULL, NULL});
}

static void close_site(site *s)
{
    aw_search_free(&s->search);
    aw_fitness_free(&s->fitness);
    aw_views_free(&s->views);
    aw_candidates_free(&s->candidates);
    aw_scenario_free(&s->scenario);
    aw_text_free(&s->text);
}

/* A hall of 18 x 12 m with a box or two, one or two zones, and n places on its walls and ceiling.
 */
static void write_site(site *s, uint64_t seed, size_t n, bool priced, double easier)
{
    aw_text *t = &s->text;
    uint64_t state = seed;
    *s = (site){0};
    aw_text_add(t, "anchorwise: 1\ntitle: t\n"
                   "floor: {outline: [[0, 0], [18, 0], [18, 12], [0, 12]], ceiling: 6}\n"
                   "obstacles:\n");
    const size_t boxes = 1 + seed % 2;
    for (size_t i = 0; i < boxes; i++) {
        const double x = test_between(&state, 2, 12), y = test_between(&state, 2, 8);
        aw_text_format(t,
                       "  - {name: box %zu, footprint: [[%f, %f], [%f, %f], [%f, %f], [%f, %f]], "
                       "top: 4, material: %s}\n",
                       i, x, y, x + 3, y, x + 3, y + 2, x, y + 2, i == 0 ? "metal" : "brick");
    }
    aw_text_add(t, "anchors:\n  - {name: A1, at: [0, 0, 0]}\ncandidates:\n  points:\n");
    for (size_t i = 0; i < n; i++) {
        const double along = test_between(&state, 0, 60), z = test_between(&state, 3, 5.9);
        const double x = along < 18 ? along : along < 30 ? 17.9 : along < 48 ? 48 - along : 0.1;
        const double y = along < 18   ? 0.1
                         : along < 30 ? along - 18
                         : along < 48 ? 11.9
                                      : 60 - along;
        aw_text_format(t, "    - {name: C%zu, at: [%.3f, %.3f, %.3f]}\n", i, x, y, z);
    }
    aw_text_format(t, "ranging: {sigma: 0.1, range: %f}\nzones:\n", test_between(&state, 14, 25));
    aw_text_format(t,
                   "  - {name: west, outline: [[0.5, 0.5], [8, 0.5], [8, 11.5], [0.5, 11.5]], "
                   "need: {p95: %f%s}}\n",
                   easier * test_between(&state, 0.22, 0.4), seed % 3 == 0 ? ", share: 0.8" : "");
    if (seed % 2 == 0)
        aw_text_format(t,
                       "  - {name: east, outline: [[10, 2], [17, 2], [17, 10], [10, 10]], "
                       "need: {p95: %f}}\n",
                       easier * test_between(&state, 0.22, 0.4));
    if (priced)
        aw_text_format(t,
                       "prices: {currency: EUR, anchor: 300, cable: %f, cabinet: [0, 0, 1], "
                       "mounts: [{name: low, up_to: 4.5, price: 50}, {name: high, price: 180}]}\n",
                       test_between(&state, 2, 20));
    aw_text_add(t, "study: {step: 1.5, margin: 1}\n");
}

/* --- the truth, from links and bounds one by one --- */

typedef struct truth {
    const site *site;
    aw_link *links; /* of every cell of every zone and candidate */
    aw_error_laws laws;
} truth;

static bool subset_meets(const truth *t, unsigned subset, size_t lost)
{
    const site *s = t->site;
    const size_t n = s->candidates.n;
    bool meets = true;
    for (size_t z = 0; z < s->views.n_zones && meets; z++) {
        const aw_view_zone *zone = &s->views.zones[z];
        aw_error_laws laws = t->laws;
        laws.n = zone->grid.n;
        for (size_t i = 0; i < zone->grid.n; i++) {
            aw_link chosen[20];
            size_t k = 0;
            for (size_t c = 0; c < n; c++)
                if ((subset >> c & 1) && c != lost)
                    chosen[k++] = t->links[(zone->first + i) * n + c];
            const aw_bound b = aw_bound_at(chosen, k, zone->tag->fix);
            const aw_expected e = aw_bound_expect(&b, zone->tag->height_sigma);
            aw_error_laws_set(&laws, i, &e);
        }
        const aw_need *need = &zone->zone->need;
        meets = aw_error_laws_share(&laws, need->p95) >= 0.95 &&
                (isnan(need->share) || (double)aw_error_laws_within(&laws, need->p95, 0.95) >=
                                           need->share * (double)laws.n);
    }
    return meets;
}

typedef struct subset {
    unsigned in;
    double price;
} subset;

static int compare_subsets(const void *a, const void *b)
{
    const subset *s = a, *t = b;
    return s->price != t->price ? (s->price < t->price ? -1 : 1)
                                : (s->in > t->in) - (s->in < t->in);
}

/* The least price of a subset that meets every need; infinity if none does. */
static double true_least(const site *s, bool sturdy)
{
    const size_t n = s->candidates.n;
    truth t = {.site = s, .links = calloc(s->views.n_cells * n, sizeof(aw_link))};
    subset *all = calloc((size_t)1 << n, sizeof *all);
    aw_scene *scene = aw_scene_create(&s->scenario);
    double least = HUGE_VAL;
    ck_assert(t.links && all && scene && aw_error_laws_create(&t.laws, s->views.n_cells, 1));
    for (size_t z = 0; z < s->views.n_zones; z++)
        for (size_t i = 0; i < s->views.zones[z].grid.n; i++) {
            const aw_view_zone *zone = &s->views.zones[z];
            const aw_point at = aw_grid_centre(&zone->grid, zone->grid.number[i]);
            const double spot[3] = {at.x, at.y, zone->tag->height};
            for (size_t c = 0; c < n; c++) {
                aw_anchor a = {.key = 1};
                memcpy(a.at, s->candidates.list[c].at, sizeof a.at);
                t.links[(zone->first + i) * n + c] = aw_link_at(scene, spot, &a);
            }
        }
    for (unsigned in = 0; in < 1u << n; in++) {
        all[in].in = in;
        for (size_t c = 0; c < n; c++)
            all[in].price += in >> c & 1 ? s->candidates.list[c].price : 0;
    }
    qsort(all, (size_t)1 << n, sizeof *all, compare_subsets);
    for (size_t k = 0; k < (size_t)1 << n && isinf(least); k++) {
        bool meets = __builtin_popcount(all[k].in) >= 3 && subset_meets(&t, all[k].in, n);
        for (size_t lost = 0; sturdy && meets && lost < n; lost++)
            meets = !(all[k].in >> lost & 1) || subset_meets(&t, all[k].in, lost);
        if (meets)
            least = all[k].price;
    }
    aw_scene_free(scene);
    aw_error_laws_free(&t.laws);
    free(t.links);
    free(all);
    return least;
}

/* --- against every subset --- */

typedef struct score {
    size_t sites, best, near, above, impossible;
} score;

static void run_site(score *total, uint64_t seed, size_t n, bool priced, bool sturdy)
{
    site s;
    write_site(&s, seed, n, priced, sturdy ? 1.9 : 1);
    open_site(&s, sturdy);
    const double least = true_least(&s, sturdy);
    ck_assert(aw_search_run(&s.search));
    const bool found = s.search.best.shortfall == 0;
    const double price = found ? s.search.best.price : HUGE_VAL;
    ck_assert(find_bound(&s, sturdy, price, !priced));
    total->sites += isfinite(least);
    total->impossible += isinf(least) != 0;
    total->best += isfinite(least) && price <= least * (1 + 1e-9);
    total->above += s.least.price > least * (1 + 1e-9);
    const double anchor = priced ? 300 : 1;
    total->near += isfinite(least) && price - s.least.price <= anchor * (1 + 1e-9);
    ck_assert_msg(price >= least * (1 - 1e-9), "site %d: %g under the true least %g", (int)seed,
                  price, least);
    ck_assert_msg(s.least.price <= least * (1 + 1e-9), "site %d: bound %g above %g", (int)seed,
                  s.least.price, least);
    close_site(&s);
}

/* Of 100 sites that can be served the search finds the least over every subset in at least 95; the
 * bound is never above it, and within an anchor of what was found in at least 80. One in five has
 * 14 candidates with AW_WHOLE=1, else 11. */
START_TEST(the_search_finds_the_least_of_every_subset_and_the_bound_is_never_above_it)
{
    const size_t most = getenv("AW_WHOLE") != NULL ? 14 : 11;
    score total = {0};
    uint64_t seed = 1;
    for (; total.sites < SITES; seed++)
        run_site(&total, seed, seed % 5 == 0 ? most : 10 + seed % 3, seed % 2 == 1, false);
    ck_assert_uint_ge(total.best, 95);
    ck_assert_uint_ge(total.near, 80);
    ck_assert_uint_eq(total.above, 0);
}
END_TEST

START_TEST(so_it_does_with_any_one_anchor_lost)
{
    score total = {0};
    for (uint64_t seed = 1; seed <= 40; seed++)
        run_site(&total, seed, 10, seed % 2 == 1, true);
    ck_assert_uint_ge(total.sites, 20);
    ck_assert_uint_ge(total.best * 20, total.sites * 19);
    ck_assert_uint_eq(total.above, 0);
}
END_TEST

/* --- what the bound assumes --- */

/* Share of N(0, J^-1) within 1 m; J = {xx, xy, yy}. */
static double share_at(const double j[3])
{
    const double det = j[0] * j[2] - j[1] * j[1];
    const aw_error_law law = aw_error_law_of(0, 0, j[2] / det, -j[1] / det, j[0] / det);
    return aw_error_law_share(&law, 1);
}

/* Between any two informations, also of axes that differ 1000 times and lie askew. */
START_TEST(the_share_within_a_circle_is_concave_in_the_information)
{
    uint64_t state = 5;
    for (size_t i = 0; i < 4000; i++) {
        double end[2][3], middle[3], t = test_uniform(&state);
        for (int k = 0; k < 2; k++) {
            const double a = pow(10, test_between(&state, -2, 2.5));
            const double b = pow(10, test_between(&state, -2, 2.5));
            const double turn = test_between(&state, 0, M_PI), c = cos(turn), d = sin(turn);
            end[k][0] = a * c * c + b * d * d;
            end[k][1] = (a - b) * c * d;
            end[k][2] = a * d * d + b * c * c;
        }
        for (int k = 0; k < 3; k++)
            middle[k] = t * end[0][k] + (1 - t) * end[1][k];
        ck_assert_double_ge(share_at(middle),
                            t * share_at(end[0]) + (1 - t) * share_at(end[1]) - 1e-9);
    }
}
END_TEST

/* Any layout, whole or in shares, is under any tangent: of percentile, height, cells, positions. */
START_TEST(a_tangent_lies_above_every_layout)
{
    site s;
    uint64_t state = 77;
    write_site(&s, 6, 12, false, 1);
    open_site(&s, false);
    const size_t n = s.candidates.n;
    aw_demand demands[32];
    double *scratch = calloc(aw_tangent_room(&s.views), sizeof *scratch);
    const size_t count = aw_demands_list(&s.views, 1, demands, 32);
    ck_assert_uint_ge(count, 3);
    demands[count % 32] = (aw_demand){AW_DEMAND_FIXES, 0, 1, 0.9};
    for (size_t round = 0; round < 300; round++) {
        double x[2][64], slope[2][64], above;
        aw_tangent t[2] = {{0, slope[0]}, {0, slope[1]}};
        const aw_demand *d = &demands[round % (count + 1)];
        for (int k = 0; k < 2; k++) {
            for (size_t i = 0; i < n; i++)
                x[k][i] =
                    k == 1 && round % 2 == 0 ? test_uniform(&state) < 0.5 : test_uniform(&state);
            ck_assert(aw_tangent_find(&t[k], &s.views, d, &(aw_shares){x[k], AW_NO_CANDIDATE},
                                      scratch, &(aw_run){1, NULL, NULL}));
        }
        above = t[0].value;
        for (size_t i = 0; i < n; i++)
            above += slope[0][i] * (x[1][i] - x[0][i]);
        ck_assert_double_ge(above, t[1].value - 1e-6);
    }
    free(scratch);
    close_site(&s);
}
END_TEST

/* --- known best layouts --- */

/* For n anchors in the tag's plane tr J^-1 >= 4 s^2 / n (Levanon 2000), reached by a regular
 * polygon, whose error is round: p95 = sqrt(-2 ln 0.05 x 2 / n) s. Of a ring of 24 places round one
 * cell, a need of just that takes n of them, with the polygon's own J: for 3 and 4 that polygon
 * alone, for 6 it or two triangles. */
START_TEST(an_n_gon_is_recovered_from_a_ring)
{
    static const int sides[] = {3, 4, 6};
    const int n = sides[_i];
    const double need = sqrt(-2 * log(0.05) * 2 / n) * 0.1 * 1.0005;
    site s = {0};
    aw_text *t = &s.text;
    aw_text_add(t, "anchorwise: 1\ntitle: ring\n"
                   "floor: {outline: [[0, 0], [31, 0], [31, 31], [0, 31]], ceiling: 5}\n"
                   "anchors: [{name: A, at: [0, 0, 0]}]\ncandidates:\n  points:\n");
    for (int i = 0; i < 24; i++)
        aw_text_format(t, "    - {name: R%d, at: [%.9f, %.9f, 1]}\n", i,
                       15.5 + 12 * cos(2 * M_PI * i / 24), 15.5 + 12 * sin(2 * M_PI * i / 24));
    aw_text_format(t,
                   "ranging: {sigma: 0.1}\nzones: [{name: z, outline: [[15, 15], [16, 15], "
                   "[16, 16], [15, 16]], need: {p95: %.9f}}]\nstudy: {step: 1, margin: 1}\n",
                   need);
    open_site(&s, false);
    ck_assert_uint_eq(s.views.n_cells, 1);
    ck_assert(aw_search_run(&s.search));
    ck_assert_double_eq(s.search.best.shortfall, 0);
    ck_assert_uint_eq(s.search.best.n, (size_t)n);
    double x = 0, y = 0, xx = 0, xy = 0;
    for (int i = 0; i < n; i++) {
        const double *at = s.candidates.list[s.search.best.at[i]].at;
        const double u = (at[0] - 15.5) / 12, v = (at[1] - 15.5) / 12;
        x += u;
        y += v;
        xx += u * u;
        xy += u * v;
    }
    ck_close(x, 0, 1e-6);
    ck_close(y, 0, 1e-6);
    ck_close(xx, n / 2.0, 1e-6);
    ck_close(xy, 0, 1e-6);
    ck_assert(find_bound(&s, false, n, true));
    ck_assert_double_eq(s.least.price, n);
    close_site(&s);
}
END_TEST

/* Heights from anchors at one height follow from distances alone, and are poor where the tag is far
 * below none of them; a second height mends that. */
START_TEST(a_need_for_the_height_takes_two_heights)
{
    site s = {0};
    aw_text *t = &s.text;
    size_t low = 0, high = 0;
    aw_text_add(t, "anchorwise: 1\ntitle: store\n"
                   "floor: {outline: [[0, 0], [16, 0], [16, 12], [0, 12]], ceiling: 9}\n"
                   "anchors: [{name: A, at: [0, 0, 0]}]\n"
                   "tags: [{name: t, height: 4, fix: 3d}]\n"
                   "candidates:\n  lines:\n"
                   "    - {name: wall, path: [[0, 0], [16, 0], [16, 12], [0, 12], [0, 0.1]], "
                   "spacing: 4.6, low: 1, high: 8, rise: 7}\n"
                   "ranging: {sigma: 0.1}\n"
                   "zones: [{name: z, outline: [[3, 3], [13, 3], [13, 9], [3, 9]], "
                   "need: {p95: 0.3, vertical_p95: 0.45}}]\nstudy: {step: 2, margin: 1}\n");
    open_site(&s, false);
    ck_assert(aw_search_run(&s.search));
    ck_assert_double_eq(s.search.best.shortfall, 0);
    for (size_t i = 0; i < s.search.best.n; i++) {
        const double z = s.candidates.list[s.search.best.at[i]].at[2];
        low += z < 2;
        high += z > 7;
    }
    ck_assert_uint_ge(low, 2);
    ck_assert_uint_ge(high, 2);
    /* All places of one height together do not meet it. */
    for (int level = 0; level < 2; level++) {
        size_t one[64], n = 0;
        for (size_t i = 0; i < s.candidates.n; i++)
            if ((s.candidates.list[i].at[2] > 7) == (level == 1))
                one[n++] = i;
        aw_fitness_set(&s.fitness, one, n);
        ck_assert_double_gt(aw_fitness_now(&s.fitness), 0);
    }
    close_site(&s);
}
END_TEST

static TCase *known_best(void)
{
    TCase *tc = tcase_create("known best");
    tcase_add_loop_test(tc, an_n_gon_is_recovered_from_a_ring, 0, 3);
    tcase_add_test(tc, a_need_for_the_height_takes_two_heights);
    tcase_add_test(tc, the_share_within_a_circle_is_concave_in_the_information);
    tcase_add_test(tc, a_tangent_lies_above_every_layout);
    return tc;
}

static TCase *subsets(void)
{
    TCase *tc = tcase_create("subsets");
    tcase_add_test(tc, the_search_finds_the_least_of_every_subset_and_the_bound_is_never_above_it);
    tcase_add_test(tc, so_it_does_with_any_one_anchor_lost);
    return tc;
}

AW_TEST_MAIN("placing", subsets(), known_best())
