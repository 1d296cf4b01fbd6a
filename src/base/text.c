/* Building output in memory first is what lets a file be written whole or not at all. */
#include "anchorwise/text.h"

#include <errno.h>
#include <fcntl.h>
#include <float.h>
#include <limits.h>
#include <math.h>
#include <sched.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/links.h"

static bool make_room(aw_text *text, size_t more)
{
    if (text->failed || more > SIZE_MAX / 4 || text->n > SIZE_MAX / 4) {
        text->failed = true;
        return false;
    }
    if (text->n + more + 1 <= text->room)
        return true;
    size_t room = text->room ? text->room : 256;
    while (room < text->n + more + 1)
        room *= 2;
    char *at = realloc(text->at, room);
    if (at == NULL) {
        text->failed = true;
        return false;
    }
    text->at = at;
    text->room = room;
    return true;
}

void aw_text_add_bytes(aw_text *text, const char piece[], size_t length)
{
    if (!make_room(text, length))
        return;
    memcpy(text->at + text->n, piece, length);
    text->n += length;
    text->at[text->n] = '\0';
}

void aw_text_add(aw_text *text, const char *piece)
{
    aw_text_add_bytes(text, piece, strlen(piece));
}

void aw_text_format(aw_text *text, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    const int length = vsnprintf(NULL, 0, format, arguments);
    if (length < 0)
        text->failed = true;
    else if (make_room(text, (size_t)length)) {
        vsnprintf(text->at + text->n, (size_t)length + 1, format, again);
        text->n += (size_t)length;
    }
    va_end(again);
    va_end(arguments);
}

/* If 15 digits read back, printing them without trailing zeros is the shortest text there is;
 * numbers too small to be normal have fewer digits to begin with. */
size_t aw_number_text(double value, char out[AW_NUMBER_ROOM])
{
    int length = 0;
    for (int digits = fabs(value) < DBL_MIN ? 1 : 15; digits <= 17; digits++) {
        length = snprintf(out, AW_NUMBER_ROOM, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            break;
    }
    return (size_t)length;
}

void aw_text_number(aw_text *text, double value)
{
    char out[AW_NUMBER_ROOM];
    if (!isnan(value))
        aw_text_add_bytes(text, out, aw_number_text(value, out));
}

void aw_text_free(aw_text *text)
{
    free(text->at);
    *text = (aw_text){0};
}

static bool put(FILE *file, const aw_text *text)
{
    const bool written = fwrite(text->at, 1, text->n, file) == text->n;
    return fflush(file) == 0 && written;
}

/* Descriptors that are looked at: those that a shell hands over are among them. */
#define MOST_STREAMS 64

/* The descriptor by which a file is open for writing already, as /dev/stdout is of a redirected
 * output, or -1. */
static int open_already(const struct stat *known)
{
    struct stat stream;
    for (int fd = 1; fd < MOST_STREAMS; fd++)
        if (fstat(fd, &stream) == 0 && stream.st_dev == known->st_dev &&
            stream.st_ino == known->st_ino && (fcntl(fd, F_GETFL) & O_ACCMODE) != O_RDONLY)
            return fd;
    return -1;
}

/* To an open stream behind what it holds, to a path from its beginning. */
static FILE *open_straight(const char *path, int fd)
{
    if (fd < 0)
        return strcmp(path, "-") == 0 ? stdout : fopen(path, "w");
    fflush(stdout);
    const int own = dup(fd);
    return own < 0 ? NULL : fdopen(own, "w");
}

static bool put_straight(const aw_text *text, const char *path, int fd, aw_errors *errors)
{
    FILE *file = open_straight(path, fd);
    bool done = file != NULL && put(file, text);
    const int why = errno;
    if (file != NULL && file != stdout)
        done = fclose(file) == 0 && done;
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "cannot be written: %s", strerror(why));
    return done;
}

/* The file that is being written, one at a time, in static memory for a handler to read. */
enum { NOT_THERE, BEING_MADE, THERE };
static char temporary[PATH_MAX];
static atomic_int temporary_is = NOT_THERE;

static void wait_for_a_turn(void)
{
    int is = NOT_THERE;
    while (!atomic_compare_exchange_weak(&temporary_is, &is, BEING_MADE)) {
        is = NOT_THERE;
        sched_yield();
    }
}

bool aw_text_abandon(void)
{
    const int is = atomic_load(&temporary_is);
    if (is == THERE)
        unlink(temporary);
    return is != BEING_MADE;
}

/* The open file with the temporary name; -1 with errno set. */
static int make_temporary(const char *path)
{
    if (snprintf(temporary, sizeof temporary, "%s.XXXXXX", path) >= (int)sizeof temporary) {
        errno = ENAMETOOLONG;
        return -1;
    }
    const int fd = mkstemp(temporary);
    if (fd >= 0)
        atomic_store(&temporary_is, THERE);
    return fd;
}

/* Fills the temporary file and closes it. */
static bool fill_temporary(int fd, const aw_text *text, mode_t mode, int *why)
{
    FILE *file = fdopen(fd, "w");
    bool done = file != NULL && put(file, text) && fchmod(fd, mode) == 0;
    *why = errno;
    if (file == NULL)
        close(fd);
    else if (fclose(file) != 0) {
        *why = done ? errno : *why;
        done = false;
    }
    return done;
}

/* The temporary name is in the same folder, so that the rename cannot cross file systems. */
static bool put_whole(const aw_text *text, const char *path, mode_t mode, int *why)
{
    wait_for_a_turn();
    const int fd = make_temporary(path);
    *why = errno;
    bool done = fd >= 0 && fill_temporary(fd, text, mode, why);
    if (done && rename(temporary, path) != 0) {
        *why = errno;
        done = false;
    }
    if (fd >= 0 && !done)
        unlink(temporary);
    atomic_store(&temporary_is, NOT_THERE);
    return done;
}

/* The mode of a file that is there is kept. */
static bool put_through(const aw_text *text, const char *path, const struct stat *known,
                        aw_errors *errors)
{
    char *target = aw_links_follow(path);
    int why = errno;
    const mode_t mask = umask(0);
    umask(mask);
    const bool done =
        target && put_whole(text, target, known ? known->st_mode & 0777 : 0666 & ~mask, &why);
    if (!done && target != NULL && strcmp(target, path) != 0)
        aw_errors_add(errors, AW_ERROR, 0, 0, "cannot be written, it leads to '%s': %s", target,
                      strerror(why));
    else if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "cannot be written: %s", strerror(why));
    free(target);
    return done;
}

bool aw_text_write(const aw_text *text, const char *path, aw_errors *errors)
{
    struct stat known;
    if (text->failed) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "cannot be written: out of memory");
        return false;
    }
    const bool exists = strcmp(path, "-") != 0 && stat(path, &known) == 0;
    const int fd = exists && S_ISREG(known.st_mode) ? open_already(&known) : -1;
    if (strcmp(path, "-") == 0 || fd >= 0 || (exists && !S_ISREG(known.st_mode)))
        return put_straight(text, path, fd, errors);
    return put_through(text, path, exists ? &known : NULL, errors);
}
