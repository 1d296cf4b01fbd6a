/* How the HTML page looks. */
#ifndef AW_BOOK_STYLE_H
#define AW_BOOK_STYLE_H

extern const char aw_book_style[];

#endif
