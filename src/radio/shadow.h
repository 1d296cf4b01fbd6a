/* Shadows that bodies cast on a level row of places, with a light at each anchor: which bodies a
 * link can cross at all. Whether it does, the one exact rule says (sight.h). */
#ifndef AW_RADIO_SHADOW_H
#define AW_RADIO_SHADOW_H

#include "anchorwise/link.h"

/* The places [from, to] of a row in the shadow of one prism of a body. */
typedef struct aw_shadow {
    uint32_t body, from, to;
} aw_shadow;

/* Bodies in whose shadow one place may lie, gone through in rising order. */
typedef struct aw_shade {
    const aw_shadow *next, *end;
    size_t place;
} aw_shade;

const aw_scene *aw_shadows_scene(const aw_shadows *shadows);

/* Those of an anchor's light over a place of the row that was cast. */
aw_shade aw_shadows_over(const aw_shadows *shadows, size_t anchor, size_t place);

/* The first body from number `body` on that has to be asked, n if there is none; shade NULL: every
 * body has. Numbers asked for must rise. */
static inline size_t aw_shade_next(aw_shade *shade, size_t body, size_t n)
{
    if (shade == NULL)
        return body;
    while (shade->next < shade->end &&
           (shade->next->body < body || shade->place < shade->next->from ||
            shade->place > shade->next->to))
        shade->next++;
    return shade->next < shade->end ? shade->next->body : n;
}

#endif
