/** @file
 *  Words that the table and the chart of a freedom share. */
#ifndef AW_REPORT_FREEDOM_H
#define AW_REPORT_FREEDOM_H

#include "anchorwise/freedom.h"
#include "anchorwise/text.h"

/* How many anchors may hang anywhere that was searched, and the need that ends the freedom of
 * another, for the top of a sheet. */
void aw_freedom_headline(const aw_freedoms *freedoms, const aw_scenario *scenario, aw_text *out);

/* The zones that are left out, with why: "bogie bay (p95 and weak pockets)"; nothing if none is. */
void aw_left_out_words(const aw_freedoms *freedoms, const aw_scenario *scenario, aw_text *out);

/* "No freedom together: bogie bay has 2 % of its need left", where all anchors stand still. */
void aw_no_freedom_words(const aw_freedoms *freedoms, const aw_scenario *scenario, aw_text *out);

#endif
