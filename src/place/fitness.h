/* How far a layout of candidates is from meeting every need, by linear estimates: every part of a
 * need has its share in the shortfall, and so has the number of links a position takes, or a second
 * anchor in a closed room would be worth nothing. */
#ifndef AW_PLACE_FITNESS_H
#define AW_PLACE_FITNESS_H

#include "place/views.h"
#include "position/error_law_batch.h"

#define AW_NO_CANDIDATE ((size_t)-1)

/* The layout that was set with one candidate out and one in; either may be AW_NO_CANDIDATE. */
typedef struct aw_trial {
    size_t out, in;
    double shortfall; /* 0 if every need is met */
} aw_trial;

/* What is asked of a zone's linear estimates. */
typedef struct aw_calibration {
    double scale[AW_PARTS]; /* of a length, and of the length behind a share of cells: asked is the
                               need by this; drawn over linear */
    double asked[AW_PARTS]; /* of a share of positions or of reports; NaN: nothing */
    double goal; /* all is asked so many times: of a length that much, of a share the distance from
                    1; 1 is the need itself */
} aw_calibration;

typedef struct aw_fitness_worker {
    aw_error_laws flat, tall; /* horizontal and vertical laws of one zone's cells */
    double reach;             /* mean over them of usable links by those of a position, at most 1 */
    double inside;            /* share of tags reported inside; NaN if not asked */
} aw_fitness_worker;

typedef struct aw_fitness {
    const aw_views *views;
    bool sturdy; /* every need is to be met with any one anchor lost as well */
    aw_run run;
    aw_calibration *calibrations; /* of each zone */
    bool *convex;                 /* its outline */
    size_t *stride;               /* a thin look takes every stride-th cell of a zone */
    size_t n_thin;                /* cells of a thin look at all zones; n_cells if there is none */
    size_t *layout, n;            /* candidates */
    aw_sums *base;                /* of the layout, for each state of each cell */
    aw_fitness_worker *workers;
} aw_fitness;

/* False without memory; aw_fitness_free() it either way. */
bool aw_fitness_create(aw_fitness *fitness, const aw_views *views, bool sturdy, const aw_run *run);
void aw_fitness_free(aw_fitness *fitness);

/* What a need asks before anything was drawn. */
aw_calibration aw_calibration_of(const aw_need *need);

/* Every zone's calibration as before anything was drawn. */
void aw_fitness_forget(aw_fitness *fitness);

/* The layout that trials start from. */
void aw_fitness_set(aw_fitness *fitness, const size_t layout[], size_t n);

/* Fills the shortfalls, by a thin look or by all cells; those beyond `enough` are only known to be.
 * False if stopped. */
bool aw_fitness_try(aw_fitness *fitness, aw_trial trials[], size_t n, double enough, bool thin);

/* The shortfall of the layout itself. */
double aw_fitness_now(aw_fitness *fitness);

/* Laws of a zone's cells under the layout, with `lost` out of it if it is not AW_NO_CANDIDATE;
 * valid until the next call. */
const aw_fitness_worker *aw_fitness_laws(aw_fitness *fitness, size_t zone, size_t lost);

/* Linear estimates of the laws: a length's percentile, m; a share of positions or of reports. */
double aw_linear_length(const aw_fitness_worker *laws, aw_part part);
double aw_linear_share(const aw_fitness_worker *laws, aw_part part);

/* Found over asked of a length, (1 - found) / (1 - asked) of a share: at most 1 where it holds. */
double aw_part_ratio(aw_part part, double found, double asked);

/* The largest such ratio of any part of a zone's need but odds and chance, by linear estimates of
 * the layout as they are calibrated. */
double aw_linear_score(aw_fitness *fitness, size_t zone, const aw_calibration *calibration);

/* Usable links of each state of each cell under the layout; have[] as in aw_views_reach(). */
void aw_fitness_count(const aw_fitness *fitness, unsigned char have[]);

/* An anchor taken out of a layout, and what that would miss. */
typedef struct aw_drop {
    size_t which; /* its slot, or its candidate: the caller's */
    double shortfall, price;
} aw_drop;

/* What misses least first, of equal ones the dearest: for qsort(). */
int aw_drop_compare(const void *a, const void *b);

#endif
