/* The encoding of every text that comes in and goes out. */
#ifndef AW_BASE_UTF8_H
#define AW_BASE_UTF8_H

#include <stddef.h>

/* Length of the valid UTF-8 sequence at s, which a NUL ends, or 0. */
size_t aw_utf8_sequence(const unsigned char *s);

#endif
