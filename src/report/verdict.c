/* Words and colours by one table. */
#include "report/verdict.h"

static const struct {
    const char *word, *phrase, *colour;
} rows[] = {
    [AW_NOT_MET] = {"NOT MET", "not met", "\033[31m"},
    [AW_MET] = {"met", "met", "\033[32m"},
    [AW_UNDECIDED] = {"undecided", "undecided", "\033[33m"},
    [AW_NO_NEED] = {"–", "", ""},
};

const char *aw_verdict_word(aw_verdict verdict)
{
    return rows[verdict].word;
}

const char *aw_verdict_phrase(aw_verdict verdict)
{
    return rows[verdict].phrase;
}

const char *aw_zone_verdict_word(const aw_zone_result *r)
{
    return r->with_margin ? "met with margin" : aw_verdict_word(r->verdict);
}

const char *aw_verdict_colour(aw_verdict verdict, bool colour)
{
    return colour ? rows[verdict].colour : "";
}

const char *aw_verdict_colour_end(aw_verdict verdict, bool colour)
{
    return colour && verdict != AW_NO_NEED ? "\033[0m" : "";
}
