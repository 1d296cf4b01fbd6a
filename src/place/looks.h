/* Layouts that were drawn: what each look showed, kept with the layout. */
#ifndef AW_PLACE_LOOKS_H
#define AW_PLACE_LOOKS_H

#include "assess/zone_assess.h"
#include "place/fitness.h"
#include "place/race.h"

/* All zones with a need under one layout, drawn with one seed: by view zone. */
typedef struct aw_look {
    aw_zone_result *zones; /* of the worst loss if sturdy */
    size_t *lost;          /* the anchor lost there, a place in the layout; AW_NO_CANDIDATE: none */
    aw_slack *slack;       /* slack[zone * AW_PARTS + part], the least over the losses */
    aw_verdict verdict;    /* over the zones */
} aw_look;

/* A layout and what is known of it. */
typedef struct aw_looked {
    aw_anchor *anchors;
    size_t *at; /* candidates; NULL: the scenario's own anchors, wherever they hang */
    size_t n;
    double price;
    uint64_t key;
    aw_look first; /* by the study's seed */
    bool few;      /* that took few draws, which were enough to refuse it */
    double ratio;  /* the largest found / asked of a length, (1 - found) / (1 - asked) of a share;
                      odds and chance apart, which follow from these */
    size_t n_looks, n_unmet;
    aw_slacks *slacks; /* as in aw_look, over its looks */
    aw_race_end race;
    bool by_value; /* as in aw_looks */
} aw_looked;

typedef struct aw_looks {
    const aw_scenario *scenario;
    const aw_candidates *candidates;
    const aw_views *views;
    aw_fitness *fitness; /* for the losses that matter; NULL: all do */
    bool sturdy;
    aw_judging judging;
    bool by_value; /* a share of cells counts by its value: with few cells or draws its interval may
                      leave every layout undecided */
    bool at_a_glance; /* few draws are enough for a layout that they do not find met */
    aw_run run;
    aw_looked **list; /* every layout drawn */
    size_t n, room;
    size_t n_layouts, n_drawn; /* in all; looks at them, but those of few draws */
} aw_looks;

void aw_looks_free(aw_looks *looks);

/* Whether of some layout nothing but the interval of a share of cells stood in the way. */
bool aw_looks_differ_by_value(const aw_looks *looks);

/* Forgets all layouts but not how many there were. */
void aw_looks_forget(aw_looks *looks);

/* The first look at a layout of candidates, or what it showed before; few draws look first if
 * `few`. NULL if stopped or in trouble (an error). */
aw_looked *aw_looks_at(aw_looks *looks, const size_t layout[], size_t n, bool few);

/* The same of the scenario's own anchors. */
aw_looked *aw_looks_own(aw_looks *looks);

/* The ratio of a layout by as few draws as a glance takes; NaN if stopped or in trouble. */
double aw_looks_glance(aw_looks *looks, const aw_looked *layout);

/* The layout that was looked at under that key, or NULL. */
aw_looked *aw_looks_find(const aw_looks *looks, uint64_t key);

/* One more look, with the seed of its number, the same for every layout; sets its race. False if
 * stopped or in trouble. */
bool aw_looks_again(aw_looks *looks, aw_looked *layout);

/* A look with a seed that chose nothing. False likewise; aw_look_free() it either way. */
bool aw_looks_confirm(aw_looks *looks, const aw_looked *layout, uint64_t seed, aw_look *look);
void aw_look_free(aw_look *look);

/* Whether the first look left a margin in every part. */
bool aw_looked_has_margin(const aw_looks *looks, const aw_looked *layout);

/* The k-th seed that follows from the study's, k >= 1. */
uint64_t aw_look_seed(uint64_t seed, uint64_t stream, size_t k);

#endif
