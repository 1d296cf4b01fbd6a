/* Lists that grow: room for one item more. */
#ifndef AW_PLAN_GROW_H
#define AW_PLAN_GROW_H

#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

/* Makes room for item n of a list whose pointer stands at `list`; false without memory, the list
 * then as it was. */
static inline bool aw_grow(void *list, size_t n, size_t *room, size_t size)
{
    void *at;
    if (n < *room)
        return true;
    memcpy(&at, list, sizeof at);
    const size_t more = *room < 16 ? 16 : 2 * *room;
    void *grown = reallocarray(at, more, size);
    if (grown == NULL)
        return false;
    *room = more;
    memcpy(list, &grown, sizeof grown);
    return true;
}

#endif
