/* Texts of drawings: code pages, and characters that are written out. */
#ifndef AW_PLAN_LETTERS_H
#define AW_PLAN_LETTERS_H

#include <stddef.h>

#include "base/arena.h"

/* Bytes in an encoding ("UTF-8", "CP1252") as UTF-8 with a NUL behind; what is none of it becomes
 * U+FFFD. \U+XXXX and \M+nXXXX are the characters they write out, %%d %%p %%c are ° ± ⌀, other
 * controls blanks. NULL without memory. */
const char *aw_letters_decode(aw_arena *arena, const char bytes[], size_t length,
                              const char *encoding);

#endif
