/* What two scenarios differ in beside their anchors, in a row of names. */
#include "report/mismatches.h"

void aw_mismatches_words(const aw_mismatches *mismatches, size_t most, aw_text *out)
{
    for (size_t i = 0; i < mismatches->n && i < most; i++)
        aw_text_format(out, "%s%s", i > 0 ? "; " : "", mismatches->list[i].what);
    if (mismatches->n > most)
        aw_text_format(out, "; and %zu more", mismatches->n - most);
}
