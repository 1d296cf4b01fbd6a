/* A run of draws: its memory, and the arrivals of one block of it. */
#ifndef AW_POSITION_ARRIVALS_H
#define AW_POSITION_ARRIVALS_H

#include "position/installation_draws.h"
#include "position/kernel.h"
#include "position/robust.h"
#include "position/trials.h"
#include "radio/scatter.h"

struct aw_trials {
    const aw_kernel *kernel;
    size_t most_links, most_draws;
    /* of the run */
    float *x, *y, *z, *radius, *rise, *linear;
    uint8_t *status;
    size_t n, n_failed, n_ambiguous;
    /* of the cell: usable links, in double and in lanes' floats */
    const aw_link **link;
    double (*anchor)[3], *weight, *range;
    float *ax, *ay, *az, *straight, *aw;
    size_t n_links;
    bool delicate, fades, follows; /* follows: the linearised error too */
    bool has_sides;
    aw_lane_sides sides;
    float side_start[2];
    float *gain[2];
    float creep;                  /* see aw_lane_cell */
    float sharp, early;           /* see aw_lane_cell */
    float implausible;            /* sum of squares with the lanes' weights, of a wrong root */
    float reach, lowest, highest; /* a fix beyond these may have left the site */
    /* of the block */
    float *late, *heard, *noise, *survey[3], *delay, *height, *fade, *scattered;
    float *bx, *by, *bz, *br, *along[2]; /* along: the linearised error */
    uint32_t *word;                      /* what scattered[] is made of */
    uint32_t *coin, *side, first;        /* first: draw of the block's first lane */
    unsigned sides_drawn;                /* a bit for each chunk of side[] that is */
    int32_t *open, *ambiguous;
    /* of each of the lanes that are solved carefully together: links whose frame is heard */
    double (*lane_anchor)[3], *lane_weight, *lane_rho;
    aw_installation_draws *lasting;
    float scatter_table[AW_SCATTER_STEPS + 1];
    void *memory;
};

/* Draws the errors of every link in so many lanes, a multiple of AW_CHUNK, from draw `first` on. */
void aw_arrivals_draw(aw_trials *t, const aw_trials_case *c, uint32_t first, size_t lanes);

/* The bit that chooses between roots, of a draw of this block; few draws need it, so its words are
 * drawn when asked for. */
unsigned aw_arrivals_side(aw_trials *t, const aw_trials_case *c, uint32_t draw);

/* The name of the numbers that subsets of a draw's arrivals are drawn by. */
aw_draw_name aw_arrivals_name(const aw_trials_case *c, uint32_t draw);

#endif
