/* Names and colours by one table; the words by name. */
#include "report/verdict.h"

#include "report/columns.h"

static const struct {
    const char *name, *colour;
} rows[] = {
    [AW_NOT_MET] = {"not_met", "\033[31m"},
    [AW_MET] = {"met", "\033[32m"},
    [AW_UNDECIDED] = {"undecided", "\033[33m"},
    [AW_NO_NEED] = {"no_need", ""},
};

const char *aw_verdict_word(aw_verdict verdict)
{
    return aw_word("verdict", rows[verdict].name);
}

const char *aw_verdict_phrase(aw_verdict verdict)
{
    return aw_word("verdict_in_a_sentence", rows[verdict].name);
}

const char *aw_zone_verdict_name(const aw_zone_result *r)
{
    return r->with_margin ? "met_with_margin" : rows[r->verdict].name;
}

const char *aw_zone_verdict_word(const aw_zone_result *r)
{
    return aw_word("verdict", aw_zone_verdict_name(r));
}

const char *aw_verdict_colour(aw_verdict verdict, bool colour)
{
    return colour ? rows[verdict].colour : "";
}

const char *aw_verdict_colour_end(aw_verdict verdict, bool colour)
{
    return colour && verdict != AW_NO_NEED ? "\033[0m" : "";
}
