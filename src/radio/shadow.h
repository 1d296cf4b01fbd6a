/* Shadows that bodies cast on a level row of places, with a light at each anchor: which bodies a
 * link can cross at all. Whether it does, the one exact rule says (sight.h). */
#ifndef AW_RADIO_SHADOW_H
#define AW_RADIO_SHADOW_H

#include "anchorwise/link.h"
#include "radio/sight.h"

/* The part of a row in the shadow of one prism: places outside [from, to] see past it, for those in
 * [sure_from, sure_to] its body is crossed, the others have to ask. */
typedef struct aw_shadow {
    uint32_t from, to, sure_from, sure_to;
} aw_shadow;

/* Bodies in whose shadow one place may lie, gone through in rising order. */
typedef struct aw_shade {
    const uint64_t *bits;     /* one for each prism whose shadow comes near the place */
    const aw_shadow *shadows; /* of each prism */
    const uint32_t *body;     /* likewise */
    size_t n_words, word;
    uint64_t left; /* bits of the word that have not been looked at */
    uint32_t place;
    bool sure; /* the body found last is crossed: no need to ask */
} aw_shade;

/* The convex part of a footprint from which all of it can be seen, 1 mm within every edge's line;
 * corners[] has room for AW_CORE_ROOM more than it has. Nothing is left of what is thin, ragged or
 * of very many corners. */
aw_polygon aw_shadow_core(const aw_polygon *footprint, aw_point corners[]);
#define AW_CORE_ROOM 4

const aw_scene *aw_shadows_scene(const aw_shadows *shadows);

/* Those of an anchor's light over a place of the row that was cast. */
aw_shade aw_shadows_over(const aw_shadows *shadows, size_t anchor, size_t place);

/* The first body from number `body` on in whose shadow the place may lie, `n` if there is none;
 * shade NULL: every body. Numbers asked for must rise. */
size_t aw_shade_next(aw_shade *shade, size_t body, size_t n);

#endif
