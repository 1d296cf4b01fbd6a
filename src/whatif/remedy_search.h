/* The search for a remedy: what its steps share. */
#ifndef AW_WHATIF_REMEDY_SEARCH_H
#define AW_WHATIF_REMEDY_SEARCH_H

#include "whatif/mounts.h"
#include "whatif/shifts.h"
#include "position/error_law_batch.h"

/* Changes of a kind that are shifted. */
#define AW_CHANGES 300
/* Shifts of each that are drawn: those that harm most by linear estimates. */
#define AW_WORST 3

/* One anchor elsewhere, or one more. */
typedef struct aw_remedy_trial {
    aw_remedy_kind kind;
    size_t anchor;
    double at[3];
    aw_carried carried;
    double p95;                /* by linear estimates, then drawn; infinite: none */
    double worst[AW_WORST];    /* likewise, with the shifts that harm most, largest first */
    aw_shift shifts[AW_WORST]; /* those; AW_SHIFT_NONE ends them */
} aw_remedy_trial;

typedef struct aw_remedy_search {
    const aw_trial_spot *spot;
    const aw_explanation *as_planned;
    const aw_scene *scene;
    aw_link_state_draw (*states)[AW_MOST_STATES]; /* of every anchor and of one more; owned */
    aw_shifted plain;                             /* as planned; owned */
    aw_mounts mounts;                             /* owned */
    double heights[AW_MOST_MOUNT_HEIGHTS];
    size_t n_heights;
    aw_link *from_place; /* the spot's link to an anchor at each place; owned */
    double *quick;       /* quick figure of a change to each place; owned */
    aw_workers workers;  /* an aw_remedy_worker for each thread */
    aw_remedy_kind kind;
    size_t anchor;         /* whose changes are looked at now */
    aw_remedy_trial *list; /* the best so far; owned */
    size_t n;
    const aw_shifted *shifted; /* as which the list is looked at now */
    uint32_t first, draws;
} aw_remedy_search;

/* A spot with another link to an anchor, or to one more. */
typedef struct aw_remedy_look {
    aw_remedy_trial *of;
    aw_link now;
    double p95; /* by linear estimates; infinite without a position */
} aw_remedy_look;

/* Looks at a time. */
#define AW_REMEDY_LOOKS 64

typedef struct aw_remedy_worker {
    aw_trial_worker trials;
    aw_error_laws laws; /* of one look and its states, or of so many looks */
    aw_remedy_look looks[AW_REMEDY_LOOKS];
    size_t n_looks;
} aw_remedy_worker;

/* A key that no anchor of the scenario has. */
uint32_t aw_free_key(const aw_scenario *scenario);

/* --- remedy_list.c --- */

/* The spot's link, as shifted, to an anchor that hangs at a place; n_anchors: one more. */
aw_link aw_remedy_trial_link(const aw_remedy_search *search, const aw_shifted *shifted,
                             size_t anchor, const double at[3]);

/* Fills p95 of the worker's looks, for the spot as shifted. */
void aw_remedy_estimate(const aw_remedy_search *search, const aw_shifted *shifted,
                        aw_remedy_worker *worker);

/* Sees every place from the spot. False if stopped. */
bool aw_remedy_see_places(aw_remedy_search *search, const aw_run *run);

/* The best changes of a kind by linear estimates, in their order. False if stopped. */
bool aw_remedy_list(aw_remedy_search *search, aw_remedy_kind kind, const aw_run *run);

/* By p95, then anchor and place: for qsort(). */
int aw_remedy_trial_compare(const void *a, const void *b);

/* --- remedy_shift.c --- */

/* Of every change the shifts that harm it most, by linear estimates. False if stopped or without
 * memory (an error). */
bool aw_remedy_find_worst(aw_remedy_search *search, const aw_run *run);

/* Leaves one change for each cluster: the best when shifted, then the best as they are. */
void aw_remedy_shorten(aw_remedy_search *search);

/* p95 with the worst shift. */
double aw_remedy_trial_worst(const aw_remedy_trial *change);

/* What is to be carried by something that nobody has stated must be better by 15 %: so much it
 * counts more. */
double aw_carried_factor(aw_carried carried);

/* Draws the list; with shifts p95 is taken to rise as linear estimates say. False if stopped. */
bool aw_remedy_draw(aw_remedy_search *search, uint32_t first, uint32_t draws, const aw_run *run);

/* Draws a change as it is: by the search's number of draws, from `first` on. */
aw_estimate aw_remedy_trial_draw(const aw_remedy_search *search, const aw_remedy_trial *change,
                                 uint32_t first);

/* Draws it with the shifts that harm it most: they stand in it then as drawn, p95 with the worst in
 * `worst` (0 if none harms it). False without memory (an error). */
bool aw_remedy_trial_draw_worst(const aw_remedy_search *search, aw_remedy_trial *change,
                                uint32_t first, aw_estimate *worst, aw_errors *errors);

#endif
