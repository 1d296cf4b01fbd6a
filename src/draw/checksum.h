/** @file
 *  A short name for the bytes of a file, by which a sheet says what it was drawn from. */
#ifndef AW_DRAW_CHECKSUM_H
#define AW_DRAW_CHECKSUM_H

#include <stddef.h>

#define AW_CHECKSUM_ROOM 9

/** The first eight digits of SHA-256 (FIPS 180-4), as `sha256sum FILE` prints them. */
void aw_checksum(const char *bytes, size_t n, char out[AW_CHECKSUM_ROOM]);

#endif
