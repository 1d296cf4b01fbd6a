/* The measured sites, all of them through the program: what the law of sites rests on is worked out
 * again from what was measured. Figures computed from the open data of Zhao, Goudar, Qiao,
 * Schoellig, "UTIL", IJRR 43(10):1443-1456, 2024; of Duembgen et al., "STAR-loc", 2023; of Jiang et
 * al., ICRA 2023 (arXiv:2209.06779). With AW_SITES_TABLE set prints the table of
 * docs/validation.md.
 */
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "anchorwise/assess.h"
#include "anchorwise/site_law.h"
#include "files.h"
#include "links.h"
#include "scenario/yaml.h"

#define MOST 32

/* A row of the table, and what the program predicts there with the start `not measured`. */
typedef struct row {
    char system[40], set[40], flight[40];
    bool solid, moving;
    double measured[3]; /* p50, p95, the height's p95 */
    double predicted[3];
    double k, vertical_k;
} row;

static row rows[MOST];
static size_t n_rows;

static const char *text_of(const aw_node *site, const char *key)
{
    const aw_node *node = aw_node_find(site, key);
    ck_assert_msg(node != NULL && node->kind == AW_NODE_SCALAR, "%s", key);
    return node->text;
}

static double number_of(const aw_node *list, size_t i)
{
    ck_assert(list->kind == AW_NODE_LIST && i < list->n);
    return strtod(list->children[i]->text, NULL);
}

static void add_anchors(aw_text *text, const aw_node *layout)
{
    aw_text_add(text, "anchors:\n");
    for (size_t i = 0; i < layout->n; i++)
        aw_text_format(text, "  - {name: A%zu, at: [%g, %g, %g]}\n", i,
                       number_of(layout->children[i], 0), number_of(layout->children[i], 1),
                       number_of(layout->children[i], 2));
}

/* The box at each of the heights that the tag had. */
static void write_site(aw_text *text, const aw_node *site, const aw_node *layout)
{
    const aw_node *box = aw_node_find(site, "box"), *heights = aw_node_find(site, "heights");
    const double x[2] = {number_of(box, 0), number_of(box, 1)};
    const double y[2] = {number_of(box, 2), number_of(box, 3)};
    aw_text_add(text, "anchorwise: 1\ntitle: site\nfloor: {outline: [[-5, -5], [5, -5], [5, 5], "
                      "[-5, 5]], ceiling: 4}\nranging: {start: not measured}\n"
                      "study: {step: 0.25, draws: 400}\n");
    add_anchors(text, layout);
    aw_text_add(text, "tags:\n");
    for (size_t i = 0; i < heights->n; i++)
        aw_text_format(text, "  - {name: t%zu, height: %g, fix: %s}\n", i, number_of(heights, i),
                       text_of(site, "fix"));
    aw_text_add(text, "zones:\n");
    for (size_t i = 0; i < heights->n; i++)
        aw_text_format(text,
                       "  - {name: z%zu, tag: t%zu, outline: [[%g, %g], [%g, %g], [%g, %g], "
                       "[%g, %g]]}\n",
                       i, i, x[0], y[0], x[1], y[0], x[1], y[1], x[0], y[1]);
}

/* Means over the heights. */
static void predict(row *r, const char *yaml)
{
    aw_scenario s;
    read_text(&s, yaml);
    for (size_t i = 0; i < s.n_zones; i++) {
        aw_zone_result z;
        aw_errors errors = {0};
        ck_assert(aw_assess_zone(&z, &s, &s.zones[i], &(aw_run){1, NULL, &errors}));
        r->predicted[0] += z.errors.p50 / (double)s.n_zones;
        r->predicted[1] += z.errors.p95 / (double)s.n_zones;
        r->predicted[2] += z.errors.vertical_p95 / (double)s.n_zones;
        aw_errors_free(&errors);
    }
    const double rms = aw_ranging_rms(&s.ranging, &s.radio);
    r->k = rms * r->measured[1] / r->predicted[1];
    r->vertical_k = r->solid ? rms * r->measured[2] / r->predicted[2] : (double)NAN;
    aw_scenario_free(&s);
}

static void read_row(row *r, const aw_node *site, const aw_node *layouts)
{
    aw_text text = {0};
    const aw_node *across = aw_node_find(site, "horizontal"), *up = aw_node_find(site, "vertical");
    snprintf(r->system, sizeof r->system, "%s", text_of(site, "system"));
    snprintf(r->set, sizeof r->set, "%s", text_of(site, "set"));
    snprintf(r->flight, sizeof r->flight, "%s", text_of(site, "flight"));
    r->solid = strcmp(text_of(site, "fix"), "3d") == 0;
    r->moving = strcmp(text_of(site, "moving"), "true") == 0;
    r->measured[0] = number_of(across, 0);
    r->measured[1] = number_of(across, 2);
    r->measured[2] = r->solid ? number_of(up, 2) : (double)NAN;
    write_site(&text, site, aw_node_find(layouts, text_of(site, "layout")));
    predict(r, text.at);
    aw_text_free(&text);
}

static void read_rows(void)
{
    size_t length;
    aw_errors errors = {0};
    char *path = join("..", "docs/sites.json"), *text = slurp(path, &length);
    aw_arena *arena = aw_arena_create();
    const aw_node *root = aw_yaml_read(arena, text, length, &errors);
    ck_assert(root != NULL && errors.n == 0);
    const aw_node *sites = aw_node_find(root, "sites"), *layouts = aw_node_find(root, "layouts");
    n_rows = sites->n;
    ck_assert_uint_le(n_rows, MOST);
    for (size_t i = 0; i < n_rows; i++)
        read_row(&rows[i], sites->children[i], layouts);
    aw_arena_free(arena);
    free(text);
    free(path);
}

/* Mean ln k of a system: of its sets, each the mean of its flights. The sums are done here again.
 */
static double system_ln_k(const char *system)
{
    double sum = 0;
    size_t sets = 0;
    for (size_t i = 0; i < n_rows; i++) {
        double of_set = 0;
        size_t flights = 0;
        bool first = strcmp(rows[i].system, system) == 0;
        for (size_t j = 0; j < n_rows; j++)
            if (strcmp(rows[j].system, system) == 0 && strcmp(rows[j].set, rows[i].set) == 0) {
                first = first && j >= i;
                of_set += log(rows[j].k);
                flights++;
            }
        sum += first ? of_set / (double)flights : 0;
        sets += first;
    }
    return sum / (double)sets;
}

static void print_table(void)
{
    for (size_t i = 0; i < n_rows && getenv("AW_SITES_TABLE") != NULL; i++) {
        const row *r = &rows[i];
        printf("| %s %s, %s | %.3f / %.3f | %.3f / %.3f | %.2f / %.2f | %.3f | ", r->system, r->set,
               r->flight, r->measured[0], r->measured[1], r->predicted[0], r->predicted[1],
               r->predicted[0] / r->measured[0], r->predicted[1] / r->measured[1], r->k);
        printf(r->solid ? "%.2f |\n" : "– |\n", r->predicted[2] / r->measured[2]);
    }
}

START_TEST(every_measured_set_has_the_site_error_that_the_program_uses)
{
    read_rows();
    print_table();
    ck_assert_uint_eq(n_rows, aw_measured_sets_n);
    for (size_t i = 0; i < n_rows; i++) {
        const row *r = &rows[i];
        const aw_measured_set *used = &aw_measured_sets[i];
        ck_assert_str_eq(r->system, used->system);
        ck_assert_str_eq(r->set, used->set);
        ck_assert_str_eq(r->flight, used->flight);
        ck_assert_double_eq(r->measured[0], used->p50);
        ck_assert_double_eq(r->measured[1], used->p95);
        ck_assert_msg(fabs(r->k / used->k - 1) < 0.01, "%s: k %.4f", r->flight, r->k);
        ck_assert(r->solid == !isnan(used->vertical_k));
        if (!r->solid)
            continue;
        ck_assert_double_eq(r->measured[2], used->vertical_p95);
        ck_assert_msg(fabs(r->vertical_k / used->vertical_k - 1) < 0.01, "%s: vertical k %.4f",
                      r->flight, r->vertical_k);
    }
}
END_TEST

/* The prior, 0.6 with the weight of four, and the formulas as they stand in docs/model.md. */
START_TEST(the_law_is_that_of_the_sites)
{
    double x[8], m = 0, squares = 4 * 0.6 * 0.6;
    const size_t n = aw_measured_systems_n;
    read_rows();
    for (size_t i = 0; i < n; i++) {
        x[i] = system_ln_k(aw_measured_systems[i].name);
        m += x[i] / (double)n;
    }
    for (size_t i = 0; i < n; i++)
        squares += pow(x[i] - m, 2);
    const double nu = 4 + (double)n - 1, s = sqrt(squares / nu), w = s * sqrt(1 + 1 / (double)n);
    const aw_site_law law = aw_site_law_without(n);
    ck_assert_double_eq(law.nu, nu);
    ck_assert_double_eq_tol(exp(law.m) / exp(m), 1, 0.01);
    ck_assert_double_eq_tol(law.s / s, 1, 0.01);
    ck_assert_double_eq_tol(law.w / w, 1, 0.01);
    const double factor = exp(w * gsl_cdf_tdist_Pinv(0.95, nu));
    const double used = exp(law.w * gsl_cdf_tdist_Pinv(0.95, law.nu));
    ck_assert_double_eq_tol(used / factor, 1, 0.01);
    /* As it was found first, with a program of its own: 0.118 m, 0.674, 0.778, 6, 4.5. */
    ck_assert_double_eq_tol(exp(m), 0.118, 0.001);
    ck_assert_double_eq_tol(s, 0.674, 0.005);
    ck_assert_double_eq_tol(w, 0.778, 0.005);
    ck_assert_double_eq_tol(factor, 4.5, 0.05);
}
END_TEST

/* So it is defined: when the sites change its terms have to be scaled. */
START_TEST(four_in_five_sites_are_no_worse_than_not_measured)
{
    for (size_t i = 0; i < aw_starts_n; i++)
        if (aw_starts[i].room == AW_ROOM_ANY) {
            ck_assert_double_eq_tol(aw_start_share(&aw_starts[i]), 0.80, 0.01);
            return;
        }
    ck_abort_msg("no start is of any site");
}
END_TEST

START_TEST(a_system_left_out_lies_in_the_range_of_the_others)
{
    read_rows();
    for (size_t i = 0; i < aw_measured_systems_n; i++) {
        const aw_site_law law = aw_site_law_without(i);
        const double miss = fabs(system_ln_k(aw_measured_systems[i].name) - law.m);
        const double reach = law.w * gsl_cdf_tdist_Pinv(0.95, law.nu);
        ck_assert_msg(miss < reach, "%s: %.2f times, %.2f allowed", aw_measured_systems[i].name,
                      exp(miss), exp(reach));
    }
}
END_TEST

/* Systems weighted alike, flights within a system too: at least 80 % of what was measured lies in
 * the range of p95 that the other systems give. */
START_TEST(four_in_five_measured_p95_lie_in_the_range_of_the_other_systems)
{
    double held = 0;
    read_rows();
    for (size_t i = 0; i < aw_measured_systems_n; i++) {
        const aw_site_law law = aw_site_law_without(i);
        const double reach = law.w * gsl_cdf_tdist_Pinv(0.95, law.nu);
        size_t within = 0, flights = 0;
        for (size_t k = 0; k < n_rows; k++) {
            if (strcmp(rows[k].system, aw_measured_systems[i].name) != 0)
                continue;
            const double rms = rows[k].k * rows[k].predicted[1] / rows[k].measured[1];
            const double middle = rows[k].predicted[1] * exp(law.m) / rms;
            within += fabs(log(rows[k].measured[1] / middle)) <= reach;
            flights++;
        }
        held += (double)within / (double)flights / (double)aw_measured_systems_n;
    }
    ck_assert_msg(held >= 0.8, "%.2f", held);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("sites");
    tcase_add_test(c, every_measured_set_has_the_site_error_that_the_program_uses);
    tcase_add_test(c, the_law_is_that_of_the_sites);
    tcase_add_test(c, four_in_five_sites_are_no_worse_than_not_measured);
    tcase_add_test(c, a_system_left_out_lies_in_the_range_of_the_others);
    tcase_add_test(c, four_in_five_measured_p95_lie_in_the_range_of_the_other_systems);
    return c;
}

AW_TEST_MAIN("sites", all())
