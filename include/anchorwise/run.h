/** @file run.h
 *  How a piece of work is run: by how many threads, who watches it, and where it complains.
 *
 *  Every study takes one. It returns true if it is done; false either because its watch was told to
 * stop, with no complaint (aw_run_stopped()), or because it could not be done, with an error. */
#ifndef ANCHORWISE_RUN_H
#define ANCHORWISE_RUN_H

#include "anchorwise/error.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef struct aw_run {
    unsigned threads;  /**< no result depends on it; 0 is 1 */
    aw_watch *watch;   /**< may be NULL; borrowed */
    aw_errors *errors; /**< borrowed */
} aw_run;

/** Whether its watch was told to stop. */
bool aw_run_stopped(const aw_run *run);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
