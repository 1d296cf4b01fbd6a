/* Search and draws in turns until a layout holds: the cheapest that was found. */
#ifndef AW_PLACE_CHOOSE_H
#define AW_PLACE_CHOOSE_H

#include "place/looks.h"
#include "place/search.h"

typedef struct aw_choice {
    aw_looks *looks;
    aw_search *search;
    aw_looked *best;   /* meets every need by its first look, and may yet hold; NULL: none */
    aw_looked *all;    /* all candidates together, if it came to that */
    aw_look confirmed; /* of the last layout that held */
    uint64_t seed;     /* it was drawn by */
    size_t n_confirmations;
    aw_looked *winner; /* holds and is confirmed; NULL: none */
} aw_choice;

/* Chooses. False if stopped or in trouble; what stands in the choice stands then too.
 * aw_look_free() `confirmed` either way. */
bool aw_choose(aw_choice *choice);

/* Whether a layout holds by further looks, and is met by one more with a seed that chose nothing:
 * `holds` says so. False if stopped or in trouble. */
bool aw_choose_proved(aw_choice *choice, aw_looked *layout, bool *holds);

/* Whether some layout of candidates meets every need by its first look. */
bool aw_choice_is_met(const aw_choice *choice);

/* The layout to show where none won: of those that meet every need by their first look the one with
 * the largest share of looks met, else the cheapest of those that fall short least; NULL if none
 * was drawn. */
aw_looked *aw_choice_nearest(const aw_choice *choice);

#endif
