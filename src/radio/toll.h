/* What a straight way through a scene costs. */
#ifndef AW_RADIO_TOLL_H
#define AW_RADIO_TOLL_H

#include "radio/air.h"
#include "radio/shadow.h"

/* Opaque bodies that are kept by number. */
#define AW_BLOCKERS 64

typedef struct aw_toll {
    bool brief;            /* set by the caller: ends at the first body that bars the way */
    double loss_db, delay; /* of what lets something through */
    size_t n;              /* bodies crossed */
    size_t n_opaque;       /* of them opaque, AW_BLOCKERS at most */
    uint32_t opaque[AW_BLOCKERS];
    bool buried;      /* some way runs into the ground */
    double most_db;   /* of the one that costs most */
    const char *most; /* its name */
} aw_toll;

/* Whether nothing comes through. */
static inline bool aw_toll_bars(const aw_toll *toll)
{
    return toll->n_opaque > 0 || toll->buried;
}

/* Adds what the segment a-b crosses. Asks the bodies in whose shadow the way may lie; shade NULL:
 * all of them. */
void aw_toll_add(aw_toll *toll, const aw_scene *scene, const double a[3], const double b[3],
                 aw_shade *shade);

#endif
