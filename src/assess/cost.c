/* The bill is counted line by line; the price of one anchor is the same rules for a single place.
 */
#include "anchorwise/cost.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Lines besides mounts and items: anchors, ports, lift hours, cable. */
#define FIXED_LINES 4

bool aw_has_prices(const aw_scenario *scenario)
{
    return scenario->prices.currency != NULL;
}

/* Metres of cable to an anchor. */
static double cable_to(const aw_prices *p, const double at[3])
{
    const double *from = p->cabinet;
    if (isnan(from[0]))
        return 0;
    return fabs(at[0] - from[0]) + fabs(at[1] - from[1]) + fabs(at[2] - from[2]);
}

double aw_anchor_price(const aw_scenario *scenario, const double at[3])
{
    const aw_prices *p = &scenario->prices;
    const aw_mount *mount = aw_mount_at(p, at[2]);
    if (!aw_has_prices(scenario) || (p->n_mounts > 0 && mount == NULL))
        return (double)NAN;
    double sum = p->anchor + p->port + p->cable * cable_to(p, at);
    if (mount != NULL)
        sum += mount->price + mount->lift_hours * p->lift_hour;
    for (size_t i = 0; i < p->n_items; i++)
        sum += p->items[i].each == AW_EACH_ANCHOR ? p->items[i].price : 0;
    return sum;
}

double aw_layout_price(const aw_scenario *scenario)
{
    const aw_prices *p = &scenario->prices;
    double sum = 0;
    for (size_t i = 0; i < scenario->n_anchors; i++)
        sum += aw_anchor_price(scenario, scenario->anchors[i].at);
    for (size_t i = 0; i < p->n_items; i++)
        sum += p->items[i].each == AW_EACH_LAYOUT ? p->items[i].price : 0;
    return aw_has_prices(scenario) ? sum : (double)NAN;
}

static void add_line(aw_bill *bill, const char *what, const char *unit, double count, double price)
{
    if (count > 0 && price > 0)
        bill->lines[bill->n++] =
            (aw_bill_line){what, unit, count, price, count * price, strcmp(unit, "m") == 0};
}

static void add_mounts(aw_bill *bill, const aw_scenario *s)
{
    const aw_prices *p = &s->prices;
    double hours = 0;
    for (size_t i = 0; i < p->n_mounts; i++) {
        double count = 0;
        for (size_t k = 0; k < s->n_anchors; k++)
            count += aw_mount_at(p, s->anchors[k].at[2]) == &p->mounts[i];
        add_line(bill, p->mounts[i].name, "", count, p->mounts[i].price);
        hours += count * p->mounts[i].lift_hours;
    }
    add_line(bill, "lift", "h", hours, p->lift_hour);
}

bool aw_bill_make(aw_bill *bill, const aw_scenario *scenario)
{
    const aw_prices *p = &scenario->prices;
    const double anchors = (double)scenario->n_anchors;
    double metres = 0;
    *bill = (aw_bill){.total = aw_layout_price(scenario)};
    bill->lines = calloc(FIXED_LINES + p->n_mounts + p->n_items, sizeof *bill->lines);
    if (bill->lines == NULL)
        return false;
    for (size_t i = 0; i < scenario->n_anchors; i++)
        metres += cable_to(p, scenario->anchors[i].at);
    add_line(bill, "anchors", "", anchors, p->anchor);
    add_line(bill, "ports", "", anchors, p->port);
    add_mounts(bill, scenario);
    add_line(bill, "cable", "m", metres, p->cable);
    for (size_t i = 0; i < p->n_items; i++)
        add_line(bill, p->items[i].name, "", p->items[i].each == AW_EACH_ANCHOR ? anchors : 1,
                 p->items[i].price);
    return true;
}

void aw_bill_free(aw_bill *bill)
{
    free(bill->lines);
    *bill = (aw_bill){0};
}
