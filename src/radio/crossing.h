/* What a straight way through a scene costs. */
#ifndef AW_RADIO_CROSSING_H
#define AW_RADIO_CROSSING_H

#include "radio/radio_scene.h"
#include "radio/shadow.h"

typedef struct aw_crossing {
    bool brief;            /* set by the caller: ends at the first body that bars the way */
    double loss_db, delay; /* of what lets something through */
    size_t n;              /* bodies crossed */
    size_t n_opaque;       /* of them opaque */
    size_t costliest;      /* number of the body that costs most of those that are not */
    double costliest_db;
    bool buried;      /* some way runs into the ground */
    double most_db;   /* of the one that costs most */
    const char *most; /* its name */
} aw_crossing;

/* Whether nothing comes through. */
static inline bool aw_crossing_bars(const aw_crossing *toll)
{
    return toll->n_opaque > 0 || toll->buried;
}

/* Adds what the segment a-b crosses. Asks the bodies in whose shadow the way may lie; shade NULL:
 * all of them. */
void aw_crossing_add(aw_crossing *toll, const aw_scene *scene, const double a[3], const double b[3],
                     aw_shade *shade);

#endif
