/* A place inside a ring, for a text. */
#ifndef AW_PLAN_INSIDE_H
#define AW_PLAN_INSIDE_H

#include <stddef.h>

#include "anchorwise/plane.h"

/* The middle of the widest stretch that a line halfway up the ring has inside it; its first corner
 * if there is none, or without memory. */
aw_point aw_ring_inside(const aw_point at[], size_t n);

#endif
