/* A list of chunks, each at least CHUNK bytes; what is taken is never given back singly. */
#include "base/arena.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define CHUNK 65536
#define ALIGN 16

typedef struct chunk {
    struct chunk *next;
    size_t used, size;
} chunk;

struct aw_arena {
    chunk *first;
};

#define HEAD ((sizeof(chunk) + ALIGN - 1) / ALIGN * ALIGN)

aw_arena *aw_arena_create(void)
{
    return calloc(1, sizeof(aw_arena));
}

static chunk *add_chunk(aw_arena *arena, size_t size)
{
    chunk *fresh = calloc(1, HEAD + size);
    if (fresh == NULL)
        return NULL;
    fresh->size = size;
    fresh->next = arena->first;
    arena->first = fresh;
    return fresh;
}

void *aw_arena_take(aw_arena *arena, size_t bytes)
{
    if (bytes > SIZE_MAX / 2)
        return NULL;
    bytes = (bytes + ALIGN - 1) / ALIGN * ALIGN;
    chunk *c = arena->first;
    if (c == NULL || c->size - c->used < bytes)
        c = add_chunk(arena, bytes > CHUNK ? bytes : CHUNK);
    if (c == NULL)
        return NULL;
    void *taken = (char *)c + HEAD + c->used;
    c->used += bytes;
    return taken;
}

void *aw_arena_take_array(aw_arena *arena, size_t n, size_t size)
{
    if (size != 0 && n > SIZE_MAX / size)
        return NULL;
    return aw_arena_take(arena, n * size);
}

char *aw_arena_copy_text(aw_arena *arena, const char text[], size_t length)
{
    char *copy = aw_arena_take(arena, length + 1);
    if (copy != NULL)
        memcpy(copy, text, length);
    return copy;
}

void aw_arena_free(aw_arena *arena)
{
    if (arena == NULL)
        return;
    for (chunk *c = arena->first; c != NULL;) {
        chunk *next = c->next;
        free(c);
        c = next;
    }
    free(arena);
}
