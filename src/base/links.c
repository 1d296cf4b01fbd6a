/* A chain of symbolic links, followed by hand: the system follows it only to what is there. */
#include "base/links.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* As many as the system follows. */
#define MOST_LINKS 40

/* The text of a link, NULL if there is none to be had. */
static char *read_link(const char *path, size_t size)
{
    const size_t room = size > 0 ? size + 1 : 4096;
    char *text = malloc(room);
    const ssize_t length = text ? readlink(path, text, room - 1) : -1;
    if (length < 0) {
        free(text);
        return NULL;
    }
    text[length] = '\0';
    return text;
}

/* Where the link at `path` leads to: its text, from the folder that it stands in. */
static char *next_place(const char *path, size_t size)
{
    char *text = read_link(path, size), *joined = NULL;
    const char *slash = strrchr(path, '/');
    if (text == NULL || text[0] == '/' || slash == NULL)
        return text;
    const int folder = (int)(slash - path) + 1;
    if (asprintf(&joined, "%.*s%s", folder, path, text) < 0)
        joined = NULL;
    free(text);
    return joined;
}

char *aw_links_follow(const char *path)
{
    struct stat known;
    char *at = strdup(path);
    for (int i = 0; at != NULL && lstat(at, &known) == 0 && S_ISLNK(known.st_mode); i++) {
        char *next = i < MOST_LINKS ? next_place(at, (size_t)known.st_size) : NULL;
        if (i == MOST_LINKS)
            errno = ELOOP;
        free(at);
        at = next;
    }
    return at;
}
