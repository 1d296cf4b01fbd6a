/** @file cost.h
 *  What a layout costs by the scenario's own prices, as a bill: so many of each thing at a price.
 *
 *  Every anchor takes itself, a port, the lowest mount that serves its height with the lift hours
 *  that takes, the cable from the cabinet (along x, y and z), and every item that is paid for each
 *  anchor. Amounts are in the scenario's currency; taxes, travel and margin are items like others.
 */
#ifndef ANCHORWISE_COST_H
#define ANCHORWISE_COST_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef struct aw_bill_line {
    const char *what; /**< the scenario's, or a constant */
    const char *unit; /**< "m", "h" or "" */
    double count, price, amount;
    bool is_length; /**< counted in m */
} aw_bill_line;

/** Lines with a count of 0 or a price of 0 are left out. */
typedef struct aw_bill {
    aw_bill_line *lines; /**< owned */
    size_t n;
    double total; /**< NaN if some anchor hangs higher than every mount reaches */
} aw_bill;

/** Whether the scenario has prices. */
bool aw_has_prices(const aw_scenario *scenario);

/** Price of one more anchor at a place (m); NaN without prices, or where no mount reaches. */
double aw_anchor_price(const aw_scenario *scenario, const double at[3]);

/** Price of the whole layout; NaN likewise. */
double aw_layout_price(const aw_scenario *scenario);

/** Fills the bill of a scenario with prices. False without memory; aw_bill_free() it either way. */
bool aw_bill_make(aw_bill *bill, const aw_scenario *scenario);
void aw_bill_free(aw_bill *bill);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
