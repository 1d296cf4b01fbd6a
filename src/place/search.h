/* The cheapest layout by linear estimates that a search finds: greedy start, exchanges, drops. */
#ifndef AW_PLACE_SEARCH_H
#define AW_PLACE_SEARCH_H

#include "place/fitness.h"
#include "place/pool.h"

typedef struct aw_exchange {
    size_t slot, in; /* slot n: one more */
    double score;
} aw_exchange;

typedef struct aw_search {
    aw_fitness *fitness;
    aw_chosen best; /* the cheapest that meets, else the one that misses least */
    uint64_t state; /* of the kicks' random numbers */
    int kicks;      /* of a layout that is stuck */
    aw_chosen now;  /* works on this one */
    aw_pool pool;   /* of those tried since the search began; what draws refused misses a little */
    unsigned char *have; /* links of each state of each cell */
    double *score;       /* of a sweep */
    aw_exchange *exchanges;
    aw_trial *trials;
    size_t room;  /* anchors of a layout */
    size_t held;  /* of its first slots, which are not exchanged */
    size_t worth; /* laws that a look at exchanges is worth */
} aw_search;

/* False without memory; aw_search_free() it either way. */
bool aw_search_create(aw_search *search, aw_fitness *fitness, uint64_t seed);
void aw_search_free(aw_search *search);

/* Adds candidates to the kept ones until every need is met, then looks for cheaper ones. False if
 * stopped; the best so far stands either way. Deterministic. */
bool aw_search_run(aw_search *search);

/* Starts from a layout instead, without kicks. */
bool aw_search_from(aw_search *search, const size_t layout[], size_t n);

/* `best` is a layout of as many anchors that misses least, by exchanges from this one. */
bool aw_search_exchange(aw_search *search, const size_t layout[], size_t n);

/* `best` is this layout and the candidate that leaves it to miss least. */
bool aw_search_add(aw_search *search, const size_t layout[], size_t n);

/* `best` is the layout of n anchors of a greedy start, whatever is asked. */
bool aw_search_greedy(aw_search *search, size_t n);

#endif
