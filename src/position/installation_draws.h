/* Errors that last for the life of an installation: drawn once, used in every cell.
 *
 * Draw m has the same survey and delay errors in every cell, so their random numbers are kept from
 * one cell to the next where they fit, and made afresh where they do not. Either way the numbers
 * are those that their names give. */
#ifndef AW_POSITION_INSTALLATION_DRAWS_H
#define AW_POSITION_INSTALLATION_DRAWS_H

#include "position/kernel.h"

/* Most memory that kept numbers may take in one workspace, bytes. */
#define AW_LASTING_MOST ((size_t)8 << 20)

typedef struct aw_installation_draws aw_installation_draws;

/* NULL without memory. */
aw_installation_draws *aw_installation_draws_create(const aw_kernel *kernel);
void aw_installation_draws_free(aw_installation_draws *lasting);

/* Which draws the next calls are about, [first, first + n), whole chunks, and of which installation
 * each is. Numbers kept for other draws are dropped. */
typedef struct aw_lasting_draws {
    uint64_t seed;
    uint32_t first;
    size_t n;
    uint32_t share;       /* draw d belongs to group d / share */
    const uint32_t *list; /* [group]: its installation, rising, within AW_BLOCK of each other; also
                             for the groups of whole chunks; NULL: the group's number */
    unsigned list_name;   /* tells lists apart */
} aw_lasting_draws;

void aw_installation_draws_begin(aw_installation_draws *lasting, const aw_lasting_draws *of);

/* Standard normals of one anchor and term for the draws [from, from + lanes) of those; `scratch`
 * has room for AW_BLOCK and may be what is returned. */
const float *aw_installation_draws_normals(aw_installation_draws *lasting, uint32_t anchor,
                                           uint32_t term, uint32_t from, size_t lanes,
                                           float scratch[]);

#endif
