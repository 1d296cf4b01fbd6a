/* What was meant by a word that is none of those that are known. */
#ifndef AW_BASE_NEAREST_H
#define AW_BASE_NEAREST_H

#include <stddef.h>

/* The candidate nearest to what was written, if it is so near that a slip of the keys explains the
 * difference; else NULL. Capitals do not count. */
const char *aw_nearest(const char *written, const char *const candidates[], size_t n);

#endif
