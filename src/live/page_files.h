/* The page, as it was put into the program when that was built. */
#ifndef AW_LIVE_PAGE_FILES_H
#define AW_LIVE_PAGE_FILES_H

#include <stdbool.h>
#include <stddef.h>

typedef struct aw_page_file {
    const char *name; /* "index.html" */
    char *at;         /* never written to; the server's library takes no other kind */
    size_t n;
} aw_page_file;

/* False if the page has no such file. */
bool aw_page_file_find(aw_page_file *file, const char *name);

#endif
