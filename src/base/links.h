/* Where a path leads to. */
#ifndef AW_BASE_LINKS_H
#define AW_BASE_LINKS_H

/* The place that a chain of links leads to, whether anything is there or not; NULL, with errno set,
 * if the chain has no end. The caller frees it. */
char *aw_links_follow(const char *path);

#endif
