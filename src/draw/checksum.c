#include "draw/checksum.h"

#include <stdio.h>

#include <glib.h>

void aw_checksum(const char *bytes, size_t n, char out[AW_CHECKSUM_ROOM])
{
    char *sum = g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)bytes, n);
    snprintf(out, AW_CHECKSUM_ROOM, "%s", sum);
    g_free(sum);
}
