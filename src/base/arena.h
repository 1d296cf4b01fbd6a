/* Memory that is freed all at once: a scenario is one arena. */
#ifndef AW_BASE_ARENA_H
#define AW_BASE_ARENA_H

#include <stddef.h>

typedef struct aw_arena aw_arena;

/* NULL without memory. */
aw_arena *aw_arena_create(void);

/* `bytes` zeroed bytes aligned for any type, valid until the arena is freed; NULL without memory.
 */
void *aw_arena_take(aw_arena *arena, size_t bytes);

/* Likewise for `n` items of `size` bytes; NULL also if the product overflows. */
void *aw_arena_take_array(aw_arena *arena, size_t n, size_t size);

/* A copy of `length` bytes with a NUL behind them. */
char *aw_arena_copy_text(aw_arena *arena, const char text[], size_t length);

void aw_arena_free(aw_arena *arena);

#endif
