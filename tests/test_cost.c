/* Prices of a layout: amounts worked by hand, and one rule for one anchor and for all. */
#include "links.h"

/* A1 hangs at 3 m: bracket. A2 at 6 m exactly: arm. Cabinet at (10, 2, 1). */
#define HEAD                                                                                       \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[40,0],[40,20],[0,20]], ceiling: 8}\n"       \
    "anchors:\n  - {name: A1, at: [1, 3, 3]}\n  - {name: A2, at: [39, 2.5, 6]}\n"
#define PRICES                                                                                     \
    "prices:\n  currency: EUR\n  anchor: 300\n  port: 20\n  lift_hour: 80\n"                       \
    "  items:\n    - {name: survey, price: 25, each: anchor}\n    - {name: start, price: 500}\n"
#define MOUNTS                                                                                     \
    "  mounts:\n    - {name: arm, up_to: 6, price: 90, lift_hours: 1.5}\n"                         \
    "    - {name: bracket, up_to: 3.5, price: 30}\n"
#define CABLE "  cable: 2\n  cabinet: [10, 2, 1]\n"

START_TEST(a_bill_adds_up_as_by_hand)
{
    aw_scenario s;
    aw_bill bill;
    read_text(&s, HEAD PRICES MOUNTS CABLE);
    ck_assert(aw_bill_make(&bill, &s));
    /* cable A1: 9 + 1 + 2 = 12 m; A2: 29 + 0.5 + 5 = 34.5 m. One lift of 1.5 h. */
    const double by_hand = 2 * 300 + 2 * 20 + 30 + 90 + 1.5 * 80 + 46.5 * 2 + 2 * 25 + 500;
    ck_close(bill.total, by_hand, 1e-12);
    double sum = 0;
    for (size_t i = 0; i < bill.n; i++)
        sum += bill.lines[i].amount;
    ck_close(sum, by_hand, 1e-12);
    ck_assert_uint_eq(bill.n, 8);
    aw_bill_free(&bill);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(one_more_anchor_costs_what_the_layout_gains)
{
    aw_scenario s, t;
    const double at[3] = {20, 19, 5};
    read_text(&s, HEAD PRICES MOUNTS CABLE);
    read_text(&t, HEAD "  - {name: A3, at: [20, 19, 5]}\n" PRICES MOUNTS CABLE);
    ck_close(aw_layout_price(&t) - aw_layout_price(&s), aw_anchor_price(&s, at), 1e-12);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

START_TEST(an_anchor_takes_the_lowest_mount_that_serves_it)
{
    aw_scenario s;
    read_text(&s, HEAD PRICES MOUNTS);
    ck_assert_str_eq(aw_mount_at(&s.prices, 3.5)->name, "bracket");
    ck_assert_str_eq(aw_mount_at(&s.prices, 3.5001)->name, "arm");
    ck_assert_ptr_null(aw_mount_at(&s.prices, 6.0001));
    aw_scenario_free(&s);
}
END_TEST

START_TEST(no_mount_in_reach_is_no_price)
{
    aw_scenario s;
    const double high[3] = {20, 19, 7};
    read_text(&s, HEAD "  - {name: A3, at: [20, 19, 7]}\n" PRICES MOUNTS);
    ck_assert(isnan(aw_anchor_price(&s, high)));
    ck_assert(isnan(aw_layout_price(&s)));
    aw_scenario_free(&s);
}
END_TEST

START_TEST(without_mounts_and_cabinet_height_and_distance_cost_nothing)
{
    aw_scenario s;
    const double near[3] = {10, 2, 1}, far[3] = {39, 19, 8};
    read_text(&s, HEAD PRICES "  cable: 2\n");
    ck_close(aw_anchor_price(&s, near), 345, 1e-12);
    ck_close(aw_anchor_price(&s, far), 345, 1e-12);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_scenario_without_prices_has_no_price)
{
    aw_scenario s;
    read_text(&s, HEAD);
    ck_assert(!aw_has_prices(&s));
    ck_assert(isnan(aw_layout_price(&s)));
    aw_scenario_free(&s);
}
END_TEST

/* The same hall and the same cable price for a length, in feet: 0.6096 a foot is 2 a metre. */
START_TEST(cable_is_paid_by_the_unit_of_the_file)
{
    aw_scenario s, t;
    read_text(&s, HEAD PRICES CABLE);
    read_text(&t, "anchorwise: 1\ntitle: T\nunits: ft\nfloor: {outline: [[0,0],[131.2,0],[131.2,"
                  "65.6],[0,65.6]], ceiling: 26.2}\nanchors:\n  - {name: A1, at: [3.280839895, "
                  "9.842519685, 9.842519685]}\n  - {name: A2, at: [127.9527559, 8.202099738, "
                  "19.68503937]}\n" PRICES
                  "  cable: 0.6096\n  cabinet: [32.80839895, 6.56167979, 3.280839895]\n");
    ck_close(aw_layout_price(&t), aw_layout_price(&s), 1e-8);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

static TCase *bills(void)
{
    TCase *tc = tcase_create("bills");
    tcase_add_test(tc, a_bill_adds_up_as_by_hand);
    tcase_add_test(tc, one_more_anchor_costs_what_the_layout_gains);
    tcase_add_test(tc, an_anchor_takes_the_lowest_mount_that_serves_it);
    tcase_add_test(tc, no_mount_in_reach_is_no_price);
    tcase_add_test(tc, without_mounts_and_cabinet_height_and_distance_cost_nothing);
    tcase_add_test(tc, a_scenario_without_prices_has_no_price);
    tcase_add_test(tc, cable_is_paid_by_the_unit_of_the_file);
    return tc;
}

AW_TEST_MAIN("cost", bills())
