/* What need and check print, line by line. */
#ifndef AW_TESTS_DOCUMENTS_CHECK_H
#define AW_TESTS_DOCUMENTS_CHECK_H

#include "documents_site.h"

/* --- need --- */

static void say_need(aw_text *out)
{
    aw_task_json(&all.task, &all.task_need, out);
}

static void hold_need(document *d)
{
    static const char *const reach[] = {"within reach", "on the edge", "zones too narrow"};
    text(d, "anchorwise", AW_VERSION);
    number(d, "format", 1);
    number(d, "width_m", 3);
    number(d, "inside_m", 1.2);
    number(d, "decisions", 1000);
    number(d, "wrong", 2);
    number(d, "sigma_m", all.task_need.sigma);
    number(d, "p95_m", all.task_need.p95);
    numbers(d, "measured_p95_m", (const double[]){0.0896, 0.5837}, 2);
    number(d, "measured_sets", (double)aw_measured_sets_n);
    number(d, "sets_reaching", (double)all.task_need.reached);
    text(d, "reached_by.0", "UTIL decentralised");
    text(d, "reach", reach[all.task_need.reach]);
    number(d, "width_that_would_do_m", all.task_need.width);
}

/* --- check --- */

static void say_check(aw_text *out)
{
    const aw_effort cost = {2.5, 1e6, 0};
    aw_scenario_summary_json(&all.s, "a.yaml", &cost, &all.warnings, out);
}

static void say_errors(aw_text *out)
{
    aw_errors_json(&all.warnings, "a.yaml", out);
}

static void hold_complaint(document *d, const char *under, const double place[2], const char *said)
{
    char p[96];
    snprintf(p, sizeof p, "%s.file", under);
    text(d, p, "a.yaml");
    snprintf(p, sizeof p, "%s.line", under);
    number(d, p, place[0]);
    snprintf(p, sizeof p, "%s.column", under);
    number(d, p, place[1]);
    snprintf(p, sizeof p, "%s.text", under);
    text(d, p, said);
}

static void hold_warnings(document *d)
{
    length(d, "warnings", 1);
    hold_complaint(d, "warnings.0", (const double[]){3, 7}, "odd");
}

static void hold_bill(document *d)
{
    aw_bill bill = {0};
    ck_assert(aw_bill_make(&bill, &all.s));
    text(d, "prices.currency", "EUR");
    length(d, "prices.lines", bill.n);
    for (size_t i = 0; i < bill.n; i++) {
#define B(key) at("prices.lines.%zu.%s", i, key)
        text(d, B("what"), bill.lines[i].what);
        number(d, B("count"), bill.lines[i].count);
        text(d, B("unit"), bill.lines[i].unit);
        number(d, B("price"), bill.lines[i].price);
        number(d, B("amount"), bill.lines[i].amount);
    }
    number(d, "prices.sum", bill.total);
    aw_bill_free(&bill);
}

static void hold_check(document *d)
{
    static const double areas[] = {48, 187, 6}; /* 6 x 8, 17 x 11, 3 x 2 */
    hold_head(d);
    number(d, "floor_m2", 360);
    number(d, "ceiling_m", 6);
    number(d, "anchors", 5);
    number(d, "levels", 1);
    number(d, "obstacles", 1);
    number(d, "walls", 0);
    number(d, "tags", 2);
    length(d, "zones", 3);
    for (size_t z = 0; z < 3; z++) {
        text(d, Z("name"), all.s.zones[z].name);
        number(d, Z("area_m2"), areas[z]);
    }
    text(d, "figures", "site");
    hold_bill(d);
    number(d, "cost.seconds", 2.5);
    number(d, "cost.bytes", 1e6);
    hold_warnings(d);
}

static void hold_errors(document *d)
{
    text(d, "anchorwise", AW_VERSION);
    number(d, "format", 1);
    text(d, "scenario.file", "a.yaml");
    length(d, "errors", 2);
    hold_complaint(d, "errors.0", (const double[]){4, 8}, "bad");
    hold_complaint(d, "errors.1", (const double[]){(double)NAN, (double)NAN}, "worse");
    hold_warnings(d);
    number(d, "left_out", 0);
}

#endif
