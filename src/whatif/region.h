/* The samples about one anchor, and the region and band that the good ones make. */
#ifndef AW_WHATIF_REGION_H
#define AW_WHATIF_REGION_H

#include "anchorwise/freedom.h"
#include "whatif/moves.h"

/* Slots of samples: corners of the squares, their centres, heights above, heights below. */
#define AW_CORNERS (AW_FREEDOM_SQUARES + 1)
#define AW_SLOTS                                                                                   \
    (AW_CORNERS * AW_CORNERS + AW_FREEDOM_SQUARES * AW_FREEDOM_SQUARES + 2 * AW_FREEDOM_STEPS)

size_t aw_slot_corner(size_t i, size_t j);
size_t aw_slot_centre(size_t i, size_t j);
/* k from 1 to AW_FREEDOM_STEPS. */
size_t aw_slot_height(bool up, size_t k);
/* The anchor's own place. */
size_t aw_slot_own(void);

/* What draws said of a zone with the anchor at a sample; where they did, levels count no more. */
typedef enum aw_drawn { AW_DRAWN_NOT, AW_DRAWN_HOLDS, AW_DRAWN_FAILS } aw_drawn;

/* What is known of the samples. AW_LIMIT_REACH: it can be mounted. */
typedef struct aw_samples {
    const aw_scenario *scenario;
    size_t anchor;
    double step;
    bool carried;  /* the anchor hangs by outline, wall or line of candidates, and keeps to those */
    bool in_reach; /* of a mount, as it hangs; then it keeps to that too */
    double at[AW_SLOTS][3];
    aw_limit_kind blocked[AW_SLOTS];
    /* What stands between the samples; AW_LIMIT_REACH: nothing. */
    aw_limit_kind rough[AW_FREEDOM_SQUARES][AW_FREEDOM_SQUARES];
    aw_need_usage *uses; /* uses[zone * AW_SLOTS + slot]; the caller's */
    double *level;       /* of each zone: what a good sample may use at most; the caller's */
    const bool *kept;
    unsigned char *drawn; /* drawn[zone * AW_SLOTS + slot], an aw_drawn; the caller's */
} aw_samples;

/* Places the samples and finds what blocks them. */
void aw_samples_lay(aw_samples *samples, const aw_scenario *scenario, size_t anchor, double step);

/* The zone whose need a sample offends most; n_zones if it keeps to all. */
size_t aw_sample_offends(const aw_samples *samples, size_t slot);

/* Whether a sample can be mounted and keeps to every level. */
bool aw_sample_is_good(const aw_samples *samples, size_t slot);

/* Squares, area and band, and the sides with what ends them but for what draws tell. */
void aw_region_fill(aw_freedom *freedom, const aw_samples *samples);

/* The last good sample on a side; the own place if there is none. */
size_t aw_region_last(const aw_freedom *freedom, aw_side side, double step);

#endif
