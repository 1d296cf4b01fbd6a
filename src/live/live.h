/** @file
 *  Planning live: one scenario, served as a page on the loopback.
 *
 *  Two threads: the server's sends and receives and changes the text, which takes milliseconds; the
 *  caller's computes. docs/live.md says what page and program say to each other. */
#ifndef AW_LIVE_LIVE_H
#define AW_LIVE_LIVE_H

#include <stdatomic.h>
#include <stdint.h>

#include "anchorwise/error.h"

typedef struct aw_live aw_live;

/** Opens a scenario's file, which need not be there yet, and serves it at a port of 127.0.0.1, 0:
 *  any that is free. NULL with errors. */
aw_live *aw_live_open(const char *path, uint16_t port, unsigned threads, aw_errors *errors);

/** "http://127.0.0.1:8123/#TOKEN": who has it may change the scenario. */
const char *aw_live_address(const aw_live *live);

/** What is to be said before work begins, one line each: warnings about the file and its steps. */
const aw_errors *aw_live_warnings(const aw_live *live);

/** Computes what the page asks for, until `stop` is set. */
void aw_live_run(aw_live *live, const atomic_int *stop);

/** Of NULL too. Steps that are not saved stay in the journal. */
void aw_live_close(aw_live *live);

#endif
