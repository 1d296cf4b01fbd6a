/* Read once, held by as many as need it. */
#include <stdlib.h>

#include "live/reading.h"

aw_reading *aw_reading_make(const aw_text *text)
{
    aw_reading *r = calloc(1, sizeof *r);
    if (r == NULL)
        return NULL;
    atomic_init(&r->holders, 1);
    const aw_text none = {.at = ""}; /* which a parser takes, as it does not take none at all */
    r->sound = aw_ops_read(&r->of, text->n > 0 ? text : &none, &r->errors);
    if (r->sound && !r->of.bare)
        r->sound = aw_map_check(&r->of.scenario, &r->errors);
    aw_errors_sort(&r->errors);
    return r;
}

aw_reading *aw_reading_hold(aw_reading *r)
{
    atomic_fetch_add(&r->holders, 1);
    return r;
}

void aw_reading_let_go(aw_reading *r)
{
    if (r == NULL || atomic_fetch_sub(&r->holders, 1) > 1)
        return;
    aw_scenario_free(&r->of.scenario);
    aw_errors_free(&r->errors);
    free(r);
}
