/* One step of false position. */
#include "position/bracket.h"

double aw_bracket_next(const aw_bracket *b, bool halve)
{
    return halve ? (b->low + b->high) / 2
                 : (b->low * b->at_high - b->high * b->at_low) / (b->at_high - b->at_low);
}

void aw_bracket_take(aw_bracket *b, double at, double value)
{
    if (value == 0) {
        b->low = b->high = at;
    } else if (value < 0) {
        b->low = at;
        b->at_low = value;
        b->at_high = b->kept == -1 ? b->at_high / 2 : b->at_high;
        b->kept = -1;
    } else {
        b->high = at;
        b->at_high = value;
        b->at_low = b->kept == 1 ? b->at_low / 2 : b->at_low;
        b->kept = 1;
    }
}
