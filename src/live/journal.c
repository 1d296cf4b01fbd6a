/* One line a step, appended and flushed. Where the disk gives out, planning goes on and the page
 * says that steps are not kept. */
#include "live/journal.h"

#include <errno.h>
#include <fcntl.h>
#include <jansson.h>
#include <libgen.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "anchorwise/scenario.h"
#include "draw/checksum.h"

#define FORMAT 1
/* Bytes of a scenario's name in the journal's. */
#define NAME_ROOM 100
/* Journals beyond this are not read, bytes. */
#define MOST_BYTES ((size_t)256 << 20)

struct aw_journal {
    char *scenario; /* its path, without links where it is there */
    char *file;
    int lock, fd;                    /* -1: not open */
    char checksum[AW_CHECKSUM_ROOM]; /* of the text that the steps begin from */
    size_t sound;                    /* bytes of the file that were read or written whole */
    bool failed;
};

/* --- where it is --- */

/* The folder, made if it is not there; false if it cannot be. */
static bool find_folder(aw_text *out)
{
    const char *state = getenv("XDG_STATE_HOME"), *home = getenv("HOME");
    if (state != NULL && *state == '/')
        aw_text_add(out, state);
    else if (home != NULL && *home == '/')
        aw_text_format(out, "%s/.local/state", home);
    else
        return false;
    aw_text_add(out, "/anchorwise");
    for (char *at = out->failed ? NULL : strchr(out->at + 1, '/'); at != NULL;
         at = strchr(at + 1, '/')) {
        *at = '\0';
        mkdir(out->at, 0700);
        *at = '/';
    }
    return !out->failed && (mkdir(out->at, 0700) == 0 || errno == EEXIST);
}

/* The scenario's path in full; of a file that is not there its folder's, and its name. NULL without
 * memory, or if the folder is not there. */
static char *full_path(const char *path)
{
    char *whole = realpath(path, NULL);
    if (whole != NULL || errno != ENOENT)
        return whole;
    char *copy = strdup(path), *again = strdup(path);
    char *folder = copy != NULL ? realpath(dirname(copy), NULL) : NULL;
    aw_text out = {0};
    if (folder != NULL && again != NULL)
        aw_text_format(&out, "%s/%s", folder, basename(again));
    free(copy);
    free(again);
    free(folder);
    if (!out.failed)
        return out.at;
    aw_text_free(&out);
    return NULL;
}

static bool name_file(aw_journal *j, const aw_text *folder)
{
    char sum[AW_CHECKSUM_ROOM];
    aw_text name = {0};
    aw_checksum(j->scenario, strlen(j->scenario), sum);
    aw_text_format(&name, "%s/%.*s-%s", folder->at, NAME_ROOM, strrchr(j->scenario, '/') + 1, sum);
    j->file = name.failed ? NULL : name.at;
    return j->file != NULL;
}

static int open_beside(const aw_journal *j, const char *ending, int flags)
{
    aw_text name = {0};
    aw_text_format(&name, "%s.%s", j->file, ending);
    const int fd = name.failed ? -1 : open(name.at, flags | O_CLOEXEC | O_NOFOLLOW, 0600);
    aw_text_free(&name);
    return fd;
}

aw_journal *aw_journal_open(const char *path, bool *taken, aw_errors *errors)
{
    aw_text folder = {0};
    aw_journal *j = calloc(1, sizeof *j);
    *taken = false;
    if (j != NULL) {
        j->lock = j->fd = -1;
        j->scenario = full_path(path);
    }
    if (j != NULL && j->scenario != NULL && find_folder(&folder) && name_file(j, &folder))
        j->lock = open_beside(j, "lock", O_RDWR | O_CREAT);
    aw_text_free(&folder);
    if (j == NULL || j->lock < 0) {
        aw_errors_add(errors, AW_WARNING, 0, 0,
                      "steps that are not saved cannot be kept: no folder for the user's state");
        aw_journal_close(j);
        return NULL;
    }
    *taken = flock(j->lock, LOCK_EX | LOCK_NB) != 0;
    return j;
}

void aw_journal_close(aw_journal *j)
{
    if (j == NULL)
        return;
    if (j->fd >= 0)
        close(j->fd);
    if (j->lock >= 0)
        close(j->lock);
    free(j->scenario);
    free(j->file);
    free(j);
}

bool aw_journal_keeps(const aw_journal *j)
{
    return j != NULL && !j->failed;
}

/* --- writing --- */

static bool write_all(int fd, const char *bytes, size_t n)
{
    while (n > 0) {
        const ssize_t written = write(fd, bytes, n);
        if (written < 0 && errno != EINTR)
            return false;
        bytes += written > 0 ? written : 0;
        n -= written > 0 ? (size_t)written : 0;
    }
    return true;
}

/* Takes the line over. */
static void write_line(aw_journal *j, json_t *line)
{
    char *text = line != NULL ? json_dumps(line, JSON_COMPACT) : NULL;
    const size_t n = text != NULL ? strlen(text) : 0;
    if (text != NULL)
        text[n] = '\n'; /* in place of the end */
    if (text == NULL || j->failed || j->fd < 0 || !write_all(j->fd, text, n + 1) ||
        fdatasync(j->fd) != 0)
        j->failed = true;
    free(text);
    json_decref(line);
}

static void write_head(aw_journal *j)
{
    write_line(j, json_pack("{s:i, s:s, s:s}", "journal", FORMAT, "path", j->scenario, "checksum",
                            j->checksum));
}

/* After a line that is not whole nothing more is written: it could not be trusted. */
static void begin(aw_journal *j)
{
    struct stat known;
    if (j->failed)
        return;
    if (j->fd < 0) { /* what was torn goes */
        j->fd = open_beside(j, "steps", O_WRONLY | O_CREAT | O_APPEND);
        j->failed = j->fd < 0 || ftruncate(j->fd, (off_t)j->sound) != 0;
    }
    if (j->fd < 0 || fstat(j->fd, &known) != 0)
        j->failed = true;
    else if (known.st_size == 0)
        write_head(j);
}

static json_t *pack(const aw_step *step, bool back, const aw_text *after)
{
    char sum[AW_CHECKSUM_ROOM];
    aw_checksum(after->at, after->n, sum);
    return json_pack("{s:I, s:s, s:s, s:s, s:s, s:s*}", "at", (json_int_t)step->at, "out",
                     back ? step->in : step->out, "in", back ? step->out : step->in, "after", sum,
                     "words", step->words, "ops", back ? NULL : step->ops);
}

void aw_journal_add(aw_journal *j, const aw_step *step, const aw_text *after)
{
    if (j == NULL)
        return;
    begin(j);
    write_line(j, pack(step, false, after));
}

void aw_journal_go(aw_journal *j, const aw_step *step, bool back, const aw_text *after)
{
    if (j == NULL)
        return;
    json_t *line = pack(step, back, after);
    if (line != NULL)
        json_object_set_new(line, "go", json_string(back ? "back" : "forward"));
    begin(j);
    write_line(j, line);
}

static void close_file(aw_journal *j)
{
    if (j->fd >= 0)
        close(j->fd);
    j->fd = -1;
}

void aw_journal_clear(aw_journal *j, const aw_text *base)
{
    aw_text name = {0};
    if (j == NULL)
        return;
    close_file(j);
    j->sound = 0;
    aw_text_format(&name, "%s.steps", j->file);
    j->failed = name.failed || (unlink(name.at) != 0 && errno != ENOENT);
    aw_text_free(&name);
    aw_checksum(base->n > 0 ? base->at : "", base->n, j->checksum);
}

void aw_journal_begin_again(aw_journal *j, const aw_text *base, const aw_step *step,
                            const aw_text *after)
{
    aw_text is = {0}, was = {0};
    if (j == NULL)
        return;
    close_file(j);
    aw_text_format(&is, "%s.new", j->file);
    aw_text_format(&was, "%s.steps", j->file);
    aw_checksum(base->n > 0 ? base->at : "", base->n, j->checksum);
    j->failed = is.failed || was.failed;
    j->fd = open_beside(j, "new", O_WRONLY | O_CREAT | O_TRUNC | O_APPEND);
    write_head(j);
    write_line(j, pack(step, false, after));
    j->failed = j->failed || rename(is.at, was.at) != 0;
    if (j->failed && !is.failed)
        unlink(is.at);
    aw_text_free(&is);
    aw_text_free(&was);
}

/* --- reading --- */

static bool take_line(json_t *line, aw_step *step, const char **after)
{
    json_int_t at = -1;
    const char *out = NULL, *in = NULL, *words = NULL, *ops = NULL;
    *step = (aw_step){0};
    if (json_unpack(line, "{s:I, s:s, s:s, s:s, s:s, s?s}", "at", &at, "out", &out, "in", &in,
                    "after", after, "words", &words, "ops", &ops) != 0 ||
        at < 0)
        return false;
    *step = (aw_step){(size_t)at,    strdup(out), strdup(in),
                      strdup(words), NULL,        ops != NULL ? strdup(ops) : NULL};
    return step->out != NULL && step->in != NULL && step->words != NULL;
}

/* Whether a line that goes back or forward leads over the next step of the list. */
static bool goes_over(json_t *line, aw_steps *steps)
{
    const char *go = json_string_value(json_object_get(line, "go"));
    const bool back = go != NULL && strcmp(go, "back") == 0;
    if (go == NULL || (back ? steps->done == 0 : steps->done == steps->n))
        return false;
    steps->done += back ? (size_t)-1 : 1;
    return true;
}

/* Takes one line in, and the checksum after it; false if nothing after it can be trusted. */
static bool read_line(const char *bytes, size_t n, aw_text *text, bool fits, aw_steps *steps,
                      char last[AW_CHECKSUM_ROOM])
{
    char sum[AW_CHECKSUM_ROOM];
    const char *after = NULL;
    aw_step step;
    json_t *line = json_loadb(bytes, n, JSON_REJECT_DUPLICATES, NULL);
    bool sound = take_line(line, &step, &after);
    if (sound && fits) {
        sound = aw_step_lay(&step, false, text);
        aw_checksum(text->n > 0 ? text->at : "", text->n, sum);
        sound = sound && strcmp(sum, after) == 0;
    }
    if (sound)
        snprintf(last, AW_CHECKSUM_ROOM, "%s", after);
    if (sound && !goes_over(line, steps))
        sound = aw_steps_add(steps, &step);
    aw_step_free(&step);
    json_decref(line);
    return sound;
}

/* Whether the first line is of this scenario; `fits`: and of this text. */
static bool read_head(const aw_journal *j, const char *bytes, size_t n, const char *checksum,
                      bool *fits)
{
    int format = 0;
    const char *path = NULL, *sum = NULL;
    json_t *head = json_loadb(bytes, n, JSON_REJECT_DUPLICATES, NULL);
    const bool ours = json_unpack(head, "{s:i, s:s, s:s}", "journal", &format, "path", &path,
                                  "checksum", &sum) == 0 &&
                      format == FORMAT && strcmp(path, j->scenario) == 0;
    *fits = ours && strcmp(sum, checksum) == 0;
    json_decref(head);
    return ours;
}

/* The journal's bytes; false if there are none. */
static bool read_bytes(const aw_journal *j, aw_text *out)
{
    struct stat known;
    char piece[8192];
    ssize_t n = 0;
    const int fd = open_beside(j, "steps", O_RDONLY);
    if (fd < 0)
        return false;
    if (fstat(fd, &known) == 0 && S_ISREG(known.st_mode) && (size_t)known.st_size <= MOST_BYTES)
        while ((n = read(fd, piece, sizeof piece)) > 0)
            aw_text_add_bytes(out, piece, (size_t)n);
    close(fd);
    return n == 0 && out->n > 0 && !out->failed;
}

void aw_journal_read(aw_journal *j, const aw_text *text, aw_steps *steps, bool *fits)
{
    aw_text bytes = {0}, copy = {0};
    char last[AW_CHECKSUM_ROOM] = "";
    *fits = false;
    if (j == NULL)
        return;
    aw_checksum(text->n > 0 ? text->at : "", text->n, j->checksum);
    aw_text_add_bytes(&copy, text->n > 0 ? text->at : "", text->n);
    if (!copy.failed && read_bytes(j, &bytes)) {
        const char *at = bytes.at, *end = bytes.at + bytes.n;
        const char *line = memchr(at, '\n', (size_t)(end - at));
        bool sound = line != NULL && read_head(j, at, (size_t)(line - at), j->checksum, fits);
        while (sound) {
            j->sound = (size_t)(line + 1 - bytes.at);
            at = line + 1;
            line = at < end ? memchr(at, '\n', (size_t)(end - at)) : NULL;
            sound = line != NULL && read_line(at, (size_t)(line - at), &copy, *fits, steps, last);
        }
    }
    if (!*fits && strcmp(last, j->checksum) == 0) { /* saved by a program that then ended at once */
        aw_steps_free(steps);
        aw_journal_clear(j, text);
    }
    aw_text_free(&bytes);
    aw_text_free(&copy);
}
