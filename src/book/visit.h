/** @file
 *  The list for the site visit before a bid is signed: what to measure, photograph and ask, what
 * moves the result most first. */
#ifndef AW_BOOK_VISIT_H
#define AW_BOOK_VISIT_H

#include "book/client.h"

/* Writes the whole; of the studies the assessment and, where it was run, the sensitivity count. */
void aw_visit_write(aw_client *client);

#endif
