#include "plan/child.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define MOST_WORDS 32
/* Of standard error this much is kept, of a line this much taken. */
#define MOST_SAID ((size_t)64 << 10)
#define MOST_LINE ((size_t)64 << 20)
#define MISSING   127

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

int aw_child_file(const char *const pieces[], const size_t lengths[], size_t n)
{
    const int file = memfd_create("plan", MFD_CLOEXEC);
    for (size_t i = 0; file >= 0 && i < n; i++)
        for (size_t at = 0; at < lengths[i];) {
            const ssize_t written = write(file, pieces[i] + at, lengths[i] - at);
            if (written < 0 && errno == EINTR)
                continue;
            if (written <= 0) {
                close(file);
                return -1;
            }
            at += (size_t)written;
        }
    return file;
}

/* --- in the child: nothing but system calls --- */

static void limit(int what, rlim_t most)
{
    setrlimit(what, &(struct rlimit){most, most});
}

static void become(const aw_child *child, char *const words[], int out, int said)
{
    static char path[] = "PATH=/usr/local/bin:/usr/bin:/bin", locale[] = "LC_ALL=C.UTF-8",
                home[] = "HOME=/nonexistent", drivers[] = "GDAL_DRIVER_PATH=disable";
    char *const environment[] = {path, locale, home, drivers, NULL};
    const int nothing = open("/dev/null", O_RDONLY);
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    /* Copies first: what the pipes have as numbers may be in the way. */
    const int input = fcntl(child->input >= 0 ? child->input : nothing, F_DUPFD, 10);
    const int out_copy = fcntl(out, F_DUPFD, 10), said_copy = fcntl(said, F_DUPFD, 10);
    if (dup2(nothing, 0) < 0 || dup2(out_copy, 1) < 0 || dup2(said_copy, 2) < 0 ||
        dup2(input, 3) < 0)
        _exit(MISSING);
    close_range(4, ~0U, 0);
    if (chdir("/") != 0)
        _exit(MISSING);
    limit(RLIMIT_AS, (rlim_t)600 << 20);
    limit(RLIMIT_CPU, 13);
    limit(RLIMIT_FSIZE, 0);
    limit(RLIMIT_CORE, 0);
    limit(RLIMIT_NOFILE, 32);
    execvpe(child->program, words, environment);
    _exit(MISSING);
}

/* --- reading what it prints --- */

typedef struct reading {
    aw_child *child;
    aw_text line; /* a line that has begun */
    size_t printed;
    aw_child_end end;
} reading;

/* Hands on every whole line of a piece. */
static bool take_lines(reading *r, char piece[], size_t length)
{
    while (length > 0) {
        char *end = memchr(piece, '\n', length);
        const size_t n = end != NULL ? (size_t)(end - piece) : length;
        aw_text_add_bytes(&r->line, piece, n);
        if (r->line.failed) {
            r->end = AW_CHILD_FAILED;
            return false;
        }
        if (r->line.n > MOST_LINE) {
            r->end = AW_CHILD_LONG;
            return false;
        }
        if (end == NULL)
            return true;
        if (r->child->take != NULL && r->line.n > 0 &&
            !r->child->take(r->line.at, r->line.n, r->child->context)) {
            r->end = AW_CHILD_STOPPED;
            return false;
        }
        r->line.n = 0;
        piece += n + 1;
        length -= n + 1;
    }
    return true;
}

/* 1: more may come, 0: it has ended, -1: no more is wanted. */
static int read_piece(reading *r, int pipe, bool is_output)
{
    char piece[65536];
    const ssize_t n = read(pipe, piece, sizeof piece);
    if (n < 0)
        return errno == EINTR || errno == EAGAIN ? 1 : 0;
    if (n == 0)
        return 0;
    if (!is_output) {
        if (r->child->said.n < MOST_SAID)
            aw_text_add_bytes(&r->child->said, piece, (size_t)n);
        return 1;
    }
    r->printed += (size_t)n;
    if (r->printed > (r->child->whole != NULL ? AW_CHILD_WHOLE : AW_CHILD_PRINTED)) {
        r->end = AW_CHILD_LONG;
        return -1;
    }
    if (r->child->whole != NULL) {
        aw_text_add_bytes(r->child->whole, piece, (size_t)n);
        if (!r->child->whole->failed)
            return 1;
        r->end = AW_CHILD_FAILED;
        return -1;
    }
    return take_lines(r, piece, (size_t)n) ? 1 : -1;
}

/* Until both pipes are closed, or something ends it. */
static void read_all(reading *r, const int pipes[2], double deadline, const aw_run *run)
{
    struct pollfd waiting[2] = {{pipes[0], POLLIN, 0}, {pipes[1], POLLIN, 0}};
    int open = 2;
    while (open > 0 && r->end == AW_CHILD_DONE) {
        if (now() > deadline)
            r->end = AW_CHILD_LATE;
        else if (run != NULL && aw_run_stopped(run))
            r->end = AW_CHILD_STOPPED;
        else if (poll(waiting, 2, 50) > 0)
            for (int k = 0; k < 2 && r->end == AW_CHILD_DONE; k++) {
                if (waiting[k].fd < 0 || waiting[k].revents == 0)
                    continue;
                const int more = read_piece(r, pipes[k], k == 0);
                if (more == 0) {
                    waiting[k].fd = -1;
                    open--;
                }
            }
    }
}

/* A process may close its pipes and go on: it gets until the deadline. */
static int wait_for(pid_t process, bool at_once, double deadline)
{
    int status = 0;
    if (at_once)
        kill(process, SIGKILL);
    for (;;) {
        const pid_t found = waitpid(process, &status, at_once ? 0 : WNOHANG);
        if (found == process)
            return status;
        if (found < 0 && errno != EINTR)
            return -1;
        if (found == 0 && now() > deadline) {
            kill(process, SIGKILL);
            at_once = true;
        } else if (found == 0) {
            nanosleep(&(struct timespec){0, 2000000}, NULL);
        }
    }
}

static void judge(reading *r, int status)
{
    if (r->end != AW_CHILD_DONE)
        return;
    if (WIFEXITED(status) && WEXITSTATUS(status) == MISSING)
        r->end = AW_CHILD_MISSING;
    else if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
        r->end = AW_CHILD_REFUSED;
}

aw_child_end aw_child_run(aw_child *child, const aw_run *run)
{
    char *words[MOST_WORDS + 2] = {NULL};
    int out[2] = {-1, -1}, said[2] = {-1, -1};
    reading r = {.child = child, .end = AW_CHILD_DONE};
    const double began = now(), deadline = began + *child->seconds;
    bool ready = (words[0] = strdup(child->program)) != NULL;
    for (size_t i = 0; ready && i < MOST_WORDS && child->words[i] != NULL; i++)
        ready = (words[i + 1] = strdup(child->words[i])) != NULL;
    ready = ready && pipe2(out, O_CLOEXEC) == 0 && pipe2(said, O_CLOEXEC) == 0;
    const pid_t process = ready ? fork() : -1;
    if (process == 0)
        become(child, words, out[1], said[1]);
    close(out[1]);
    close(said[1]);
    if (process > 0) {
        read_all(&r, (const int[2]){out[0], said[0]}, deadline, run);
        judge(&r, wait_for(process, r.end != AW_CHILD_DONE, deadline));
    } else {
        r.end = AW_CHILD_FAILED;
    }
    close(out[0]);
    close(said[0]);
    for (size_t i = 0; i < MOST_WORDS + 1; i++)
        free(words[i]);
    aw_text_free(&r.line);
    *child->seconds -= now() - began;
    return r.end;
}
