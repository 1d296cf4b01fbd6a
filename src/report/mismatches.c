/* Both values of each, so that nobody puts down to the anchors what other figures made. */
#include "report/mismatches.h"

#include <math.h>
#include <string.h>

#include "report/lengths.h"
#include "report/table.h"
#include "report/figures.h"

/* Rows told to people; JSON has all. */
#define MOST 20

static void add_value(aw_table *t, const aw_mismatch *m, int k, aw_units units)
{
    const bool length = m->unit != NULL && strcmp(m->unit, "m") == 0;
    if (m->unit == NULL)
        aw_table_add(t, "%s", m->words[k]);
    else if (isnan(m->number[k]))
        aw_table_add(t, "none");
    else if (m->is_error)
        aw_table_add(t, "%s", aw_small_words("%.4g", m->number[k], units).text);
    else if (length)
        aw_table_add(t, "%s", aw_coordinate_words("%.4g", m->number[k], units).text);
    else
        aw_table_add(t, "%.4g%s%s", m->number[k], *m->unit != '\0' ? " " : "", m->unit);
}

void aw_mismatches_table(const aw_mismatches *mismatches, aw_units units, aw_text *out)
{
    aw_table t = {.columns = 3, .align = "lll"};
    if (mismatches->n == 0)
        return;
    aw_table_add(&t, "  beside the anchors");
    aw_table_add(&t, "A");
    aw_table_add(&t, "B");
    for (size_t i = 0; i < mismatches->n && i < MOST; i++) {
        aw_table_add(&t, "  %s", mismatches->list[i].what);
        for (int k = 0; k < 2; k++)
            add_value(&t, &mismatches->list[i], k, units);
    }
    aw_text_add(out, "A and B differ in more than their anchors; what follows is of all of it:\n");
    aw_table_write(&t, out);
    aw_table_free(&t);
    if (mismatches->n > MOST)
        aw_text_format(out, "  and %zu more\n", mismatches->n - MOST);
    aw_text_add(out, "\n");
}

void aw_mismatches_words(const aw_mismatches *mismatches, size_t most, aw_text *out)
{
    for (size_t i = 0; i < mismatches->n && i < most; i++)
        aw_text_format(out, "%s%s", i > 0 ? "; " : "", mismatches->list[i].what);
    if (mismatches->n > most)
        aw_text_format(out, "; and %zu more", mismatches->n - most);
}
