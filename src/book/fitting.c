/* A character less until it fits. */
#include "book/fitting.h"

#include <stdio.h>
#include <string.h>

const char *aw_fit(const aw_sheet *sheet, aw_ink ink, const char *text, double width,
                   char out[AW_FITTING_ROOM])
{
    const size_t most = AW_FITTING_ROOM - 9;
    size_t n = strlen(text);
    snprintf(out, AW_FITTING_ROOM - 8, "%s", text);
    n = n < most ? n : most;
    while (n > 0 && aw_sheet_measure(sheet, ink, out).x > width) {
        do
            n--;
        while (n > 0 && ((unsigned char)out[n] & 0xc0) == 0x80);
        snprintf(out + n, AW_FITTING_ROOM - n, "…");
    }
    return out;
}
