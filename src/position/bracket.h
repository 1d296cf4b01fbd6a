/* Where a rising function is 0, between a place where it is below and one where it is not: false
 * position with the Illinois rule (an end that stays twice counts half). */
#ifndef AW_POSITION_BRACKET_H
#define AW_POSITION_BRACKET_H

#include <stdbool.h>

typedef struct aw_bracket {
    double low, high;       /* places */
    double at_low, at_high; /* values there, at_high halved as the rule asks */
    int kept;               /* which end stayed last: -1 the high one, 1 the low one */
} aw_bracket;

/* The next place to look at; with `halve` the middle. */
double aw_bracket_next(const aw_bracket *bracket, bool halve);

/* Takes the value found at a place between the ends; both ends move there if it is 0. */
void aw_bracket_take(aw_bracket *bracket, double at, double value);

#endif
