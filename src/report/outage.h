/** @file
 *  What the table and the sheet of an outage share. */
#ifndef AW_REPORT_OUTAGE_H
#define AW_REPORT_OUTAGE_H

#include "anchorwise/outage.h"
#include "anchorwise/text.h"

/* Times p95 of a place (0: the floor, then zones) under a loss; 1 where it has none with all
 * anchors, infinite where the loss takes it away. */
double aw_outage_factor(const aw_outage *outage, size_t place, size_t loss);

/* Whether a loss makes the need of a zone (a place from 1 on) fall that holds with all anchors. */
bool aw_outage_fells(const aw_outage *outage, size_t place, size_t loss);

/* Zones with a need whose p95 suffers most from a loss; 0 if there is none. */
size_t aw_outage_sufferer(const aw_outage *outage, const aw_scenario *scenario, size_t loss);

/* Needs that a loss fells. */
size_t aw_outage_count_felled(const aw_outage *outage, const aw_scenario *scenario, size_t loss);

/* Which anchors carry a need, and how many can go without one noticing, for the top of a sheet. */
void aw_outage_headline(const aw_outage *outage, const aw_scenario *scenario, aw_text *out);

#endif
