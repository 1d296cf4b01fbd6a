/* The inner loops of the Monte Carlo: random numbers, arrivals, fixes, counting. One lane is one
 * draw. kernel.c is compiled once for each processor level; every level gives the same bits, since
 * only exactly rounded operations are used, lane by lane.
 *
 * Units are metres. All arrays of lanes are aligned to 64 bytes and hold AW_BLOCK values. */
#ifndef AW_POSITION_KERNEL_H
#define AW_POSITION_KERNEL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "anchorwise/link.h"
#include "anchorwise/scenario.h"
#include "position/bound_batch.h"
#include "position/descent.h"
#include "position/exchange.h"
#include "position/sums_batch.h"

/* Draws handled together, so that a block of all links stays in the first-level cache. */
#define AW_BLOCK 512
/* Draws named by one call of the random numbers. */
#define AW_CHUNK 64

/* Names a stream of random words: word of draw m is word (m mod 64) / 16 of the Philox4x32-10
 * output for counter (m / 64 * 16 + m mod 16, cell, anchor, term), key = seed. */
typedef struct aw_stream {
    uint64_t seed;
    uint32_t cell, anchor, term;
} aw_stream;

/* The errors of one link in a block of draws; an array that is NULL plays no part. */
typedef struct aw_lane_errors {
    float bias;                /* excess of the timed path, where `fade` is NULL */
    float sigma;               /* of the summed white and spot error */
    float tail_sigma;          /* likewise where the coin says tail */
    uint32_t tail_below;       /* coin words below this say tail */
    float u[3], survey, delay; /* direction and installation sigmas */
    float along2, rise;        /* squared floor distance; anchor height over spot */
    float fade_sigma, lost_db; /* dB */
    int n_outcomes;            /* for fades */
    float fade_from[AW_OUTCOMES], excess[AW_OUTCOMES]; /* of each outcome */
    float scattered_db, scattered_least;               /* where `scattered` is not NULL */
    float gain[2];                                     /* of the fix for a metre of lateness */
    float *linear[2];     /* out: gains it, but for what a wrong height adds; NULL: not asked for */
    const float *noise;   /* standard normals */
    const uint32_t *coin; /* tail coins */
    const float *survey_x, *survey_y, *survey_z, *late; /* installation, standard normals */
    const float *height;                                /* true minus assumed height, m */
    const float *fade;                                  /* standard normals */
    const float *scattered;                             /* its excess, m, before the least */
} aw_lane_errors;

/* What a cell has whose anchors are nearly in a row: each draw has a root on either side of it. */
typedef struct aw_lane_sides {
    float x, y, normal_x, normal_y; /* the row: a place on it, and its normal of length 1 */
    bool mirrors;                   /* every anchor lies on it: the two roots are mirror images */
    float as_good;                  /* sums of squares, weights as above, that differ by less are */
    const aw_polygon *outline;      /* of the site; NULL: none; fixes inside it stand */
    double spot[2];                 /* the spot, in its coordinates */
} aw_lane_sides;

/* What all draws of a cell share. Arrays of n links; coordinates relative to the true spot. */
typedef struct aw_lane_cell {
    int dims;
    size_t n;
    const float *x, *y, *z; /* of the anchors */
    const float *straight;  /* their ranges, sqrtf of the floats' squares */
    const float *weight;    /* believed, largest 1 */
    float start[3];
    float fewest; /* a lane that hears fewer links, or a row of their anchors, is left open; only
                     where frames are lost */
    float creep;  /* times the sum of squares: how much a step may leave over, squared; 1/m^2 */
    float sharp;  /* 1 over what the solver believes of the heaviest link, 1/m */
    float early;  /* see aw_fix_problem */
    float implausible; /* a larger sum of squares, weights as above, is of a wrong root */
    float reach, lowest, highest; /* a fix further off, lower or higher may have left the site */
    const aw_lane_sides
        *sides; /* NULL: one start; else 2d; a lane that loses a frame is left open */
} aw_lane_cell;

/* One block: late[i * AW_BLOCK + lane] is how much later than along the straight range link i is
 * timed; heard[...] is 1, or 0 where the frame is lost; heard may be NULL. */
typedef struct aw_lane_block {
    size_t lanes; /* <= AW_BLOCK */
    const float *late, *heard;
    float *x, *y, *z; /* out: the fix, which is its own error; z only in 3d */
    float *radius;    /* out: its length in plan */
    int32_t *open;    /* out: nonzero where the lane needs the careful solver */
    /* Only for sides: words whose highest bit says ahead along the normal, and out: nonzero where
     * both roots stand. */
    const uint32_t *side;
    int32_t *ambiguous;
} aw_lane_block;

/* Cells whose shares are computed side by side. */
#define AW_LANES 64

/* Laws of AW_LANES cells in the axes of their ellipses, m: bias and half axes. */
typedef struct aw_lane_laws {
    const float *along, *across, *major, *minor;
} aw_lane_laws;

typedef struct aw_kernel {
    const char *level;
    /* n words or standard normals, from draw first on; first and n are multiples of AW_CHUNK. */
    void (*words)(const aw_stream *stream, uint32_t first, size_t n, uint32_t out[]);
    void (*normals)(const aw_stream *stream, uint32_t first, size_t n, float out[]);
    /* Sums one link's errors into late[], and sets heard[] if it is not NULL. */
    void (*arrive)(const aw_lane_errors *errors, size_t lanes, float late[], float heard[]);
    /* Fixes from the common start, or from both sides of a row. A lane that does not settle, whose
     * sum of squares ends implausibly large or whose fix may have left the site is left open. */
    void (*solve)(const aw_lane_cell *cell, const aw_lane_block *block);
    /* Robust fixes from those that solve() found. A lane whose outcome is suspicious is left open.
     */
    void (*refine)(const aw_lane_cell *cell, const aw_lane_block *block);
    /* How many of n values are at most `limit`. n is a multiple of 16. */
    size_t (*count)(const float values[], size_t n, float limit);
    /* Sum of the squares of the finite ones: eight running sums in the order of the values. */
    double (*squares)(const float values[], size_t n);
    /* The largest finite one, at least 0; and those in (low, high], as many as there is room for.
     */
    float (*largest)(const float values[], size_t n);
    size_t (*gather)(const float values[], size_t n, float low, float high, size_t room,
                     float out[]);
    /* Shares of AW_LANES cells' errors within a radius for each, good to 1e-5; shares.c. */
    void (*shares)(const aw_lane_laws *laws, const float radius[AW_LANES], float out[AW_LANES]);
    /* See bounds.h; bounds.c. */
    void (*bounds)(const aw_bound_batch *cells, float drms[]);
    /* As aw_exchange_score(); exchange.c. */
    void (*exchange)(aw_fix_kind dims, const float left[], const float more[], size_t n,
                     const aw_exchange_need *need, float score[]);
    /* As aw_sums_batch_expect(); sums_batch.c. */
    void (*expect)(const aw_sums sums[], size_t n, double height_sigma, aw_law laws[]);
    /* Runs every descent of a list, all in as many coordinates; descents.c. */
    void (*descend)(aw_descent list[], size_t n);
} aw_kernel;

/* The best level this processor has. */
const aw_kernel *aw_kernel_best(void);
/* Level "base", "v3" or "v4"; NULL if this program or processor lacks it. */
const aw_kernel *aw_kernel_named(const char *level);

#endif
