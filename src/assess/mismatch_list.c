/* A list of mismatches that grows. */
#include "assess/mismatch.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assess/compare_check.h"

aw_mismatch *aw_mismatch_add(aw_mismatches *list, const char *format, ...)
{
    if (list->n == list->room) {
        const size_t room = list->room > 0 ? 2 * list->room : 8;
        aw_mismatch *more = realloc(list->list, room * sizeof *more);
        if (more == NULL) {
            list->failed = true;
            return NULL;
        }
        list->list = more;
        list->room = room;
    }
    aw_mismatch *m = &list->list[list->n++];
    va_list values;
    *m = (aw_mismatch){.number = {(double)NAN, (double)NAN}};
    va_start(values, format);
    vsnprintf(m->what, sizeof m->what, format, values);
    va_end(values);
    return m;
}

void aw_mismatch_number(aw_mismatches *list, const char *block, const char *key, const char *unit,
                        double a, double b)
{
    aw_mismatch *m = aw_same_number(a, b) ? NULL : aw_mismatch_add(list, "%s: %s", block, key);
    if (m == NULL)
        return;
    m->unit = unit;
    m->number[0] = a;
    m->number[1] = b;
}

void aw_mismatch_words(aw_mismatches *list, const char *block, const char *key, const char *a,
                       const char *b)
{
    a = a != NULL ? a : "none";
    b = b != NULL ? b : "none";
    if (strcmp(a, b) == 0)
        return;
    aw_mismatch *m = aw_mismatch_add(list, "%s: %s", block, key);
    if (m == NULL)
        return;
    snprintf(m->words[0], sizeof m->words[0], "%s", a);
    snprintf(m->words[1], sizeof m->words[1], "%s", b);
}

void aw_mismatches_free(aw_mismatches *list)
{
    free(list->list);
    *list = (aw_mismatches){0};
}
