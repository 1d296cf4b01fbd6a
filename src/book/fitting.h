/* A text cut to a width of a sheet. */
#ifndef AW_BOOK_FITTING_H
#define AW_BOOK_FITTING_H

#include "draw/sheet.h"

#define AW_FITTING_ROOM 512

/* The text as far as it has room, mm, with three dots where it was cut; returns `out`. */
const char *aw_fit(const aw_sheet *sheet, aw_ink ink, const char *text, double width,
                   char out[AW_FITTING_ROOM]);

#endif
