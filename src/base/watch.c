/* The bar has a thread of its own, so that it shows whatever the others do: reading, a linear
 * program, one long cell. */
#include "anchorwise/watch.h"

#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <stdarg.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>

/* Short work shows no bar, s; how often it is drawn, ns. */
#define PATIENCE 1.0
#define PACE     200000000
#define USUAL    80 /* columns, where the terminal does not say */
#define BAR      20

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static pthread_cond_t ended = PTHREAD_COND_INITIALIZER;
static aw_watch *shown; /* has the thread */
static bool ending;
static pthread_t thread;
static char note[AW_WATCH_NOTE];
static unsigned noted; /* lines of it on the terminal */

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* --- the line --- */

static void write_span(char *text, size_t room, double seconds)
{
    if (seconds < 100)
        snprintf(text, room, "%.0f s", seconds);
    else if (seconds < 6000)
        snprintf(text, room, "%.0f min", seconds / 60);
    else
        snprintf(text, room, "%.0f h", seconds / 3600);
}

/* Bytes of a text that fit into so many columns, whole characters. */
static size_t bytes_within(const char *text, size_t columns)
{
    size_t n = 0, used = 0;
    while (text[n] != '\0') {
        const size_t width = (unsigned char)text[n] < 0x80 ? 1 : 2;
        if (used + width > columns)
            break;
        used += width;
        n++;
        while (((unsigned char)text[n] & 0xC0) == 0x80)
            n++;
    }
    return n;
}

void aw_watch_line(char *line, size_t room, unsigned columns, double share, double spent,
                   const char *stage)
{
    char bar[BAR + 4] = "", head[400], span[32];
    const size_t wide = columns > 1 ? columns - 1 : 0;
    if (columns >= USUAL && !isnan(share)) {
        memset(bar, ' ', sizeof bar - 1);
        bar[0] = '[';
        memset(bar + 1, '=', (size_t)(BAR * share));
        bar[BAR + 1] = ']';
    }
    write_span(span, sizeof span, isnan(share) ? spent : spent / share - spent);
    if (isnan(share))
        snprintf(head, sizeof head, "%s so far: ", span);
    else
        snprintf(head, sizeof head, "%s%3.0f %%, %s left: ", bar, 100 * share, span);
    const size_t used = bytes_within(head, wide), left = wide - used;
    const size_t fits = bytes_within(stage, left);
    const bool whole = stage[fits] == '\0';
    snprintf(line, room, "%.*s%.*s%s", (int)used, head,
             (int)(whole || left < 4 ? fits : bytes_within(stage, left - 3)), stage,
             whole || left < 4 ? "" : "...");
}

static unsigned columns_of(FILE *terminal)
{
    struct winsize size;
    if (ioctl(fileno(terminal), TIOCGWINSZ, &size) != 0 || size.ws_col == 0)
        return USUAL;
    return size.ws_col;
}

/* Each line cut, so that as many lines of the terminal are cleared later. */
static void write_note(FILE *terminal, unsigned columns)
{
    for (const char *at = note; *at != '\0';) {
        const size_t length = strcspn(at, "\n");
        const size_t fits = bytes_within(at, columns > 1 ? columns - 1 : 0);
        fprintf(terminal, "%.*s\n", (int)(fits < length ? fits : length), at);
        at += length + (at[length] == '\n');
        noted++;
    }
}

static void clear_note(FILE *terminal)
{
    if (noted > 0)
        fprintf(terminal, "\033[%uA\r\033[J", noted);
    noted = 0;
    fflush(terminal);
}

static void draw(aw_watch *w)
{
    const size_t done = atomic_load(&w->done) - w->from;
    const bool known = done > 0 && done < w->total;
    char line[AW_STAGE_ROOM + 128];
    if (now() - w->began < PATIENCE)
        return;
    aw_watch_line(line, sizeof line, columns_of(w->bar),
                  known ? (double)done / (double)w->total : (double)NAN, now() - w->stage_began,
                  w->stage);
    if (noted == 0)
        write_note(w->bar, columns_of(w->bar));
    atomic_store(&w->drawn, true);
    fprintf(w->bar, "\r%s\033[K", line);
    fflush(w->bar);
}

static void clear(aw_watch *w)
{
    if (atomic_exchange(&w->drawn, false)) {
        fputs("\r\033[K", w->bar);
        fflush(w->bar);
    }
}

/* --- its thread --- */

static void *keep_drawing(void *argument)
{
    aw_watch *w = argument;
    pthread_mutex_lock(&lock);
    while (!ending) {
        struct timespec until;
        clock_gettime(CLOCK_REALTIME, &until);
        until.tv_nsec += PACE;
        if (until.tv_nsec >= 1000000000) {
            until.tv_nsec -= 1000000000;
            until.tv_sec++;
        }
        if (pthread_cond_timedwait(&ended, &lock, &until) == ETIMEDOUT && !ending)
            draw(w);
    }
    pthread_mutex_unlock(&lock);
    return NULL;
}

void aw_watch_start(aw_watch *w, FILE *bar, FILE *lines)
{
    w->bar = bar;
    w->lines = lines;
    w->began = w->stage_began = now();
    atomic_store(&w->done, 0);
}

bool aw_watch_shows(const aw_watch *w)
{
    return w != NULL && (w->bar != NULL || w->lines != NULL);
}

void aw_watch_stage(aw_watch *w, size_t total, const char *format, ...)
{
    va_list arguments;
    if (!aw_watch_shows(w))
        return;
    pthread_mutex_lock(&lock);
    va_start(arguments, format);
    vsnprintf(w->stage, sizeof w->stage, format, arguments);
    va_end(arguments);
    w->from = atomic_load(&w->done);
    w->total = total;
    w->stage_began = now();
    if (w->bar != NULL)
        clear(w);
    if (w->lines != NULL)
        fprintf(w->lines, "anchorwise: %.1f s: %s\n", w->stage_began - w->began, w->stage);
    if (w->bar != NULL && shown == NULL) {
        ending = false;
        shown = pthread_create(&thread, NULL, keep_drawing, w) == 0 ? w : NULL;
    }
    pthread_mutex_unlock(&lock);
}

void aw_watch_note(aw_watch *w, const char *text)
{
    pthread_mutex_lock(&lock);
    if (w != NULL && w->bar != NULL && noted == 0)
        snprintf(note, sizeof note, "%s", text);
    pthread_mutex_unlock(&lock);
}

void aw_watch_end(aw_watch *w)
{
    pthread_mutex_lock(&lock);
    const bool mine = shown == w && shown != NULL;
    ending = mine;
    pthread_cond_signal(&ended);
    pthread_mutex_unlock(&lock);
    if (!mine)
        return;
    pthread_join(thread, NULL);
    clear(w);
    clear_note(w->bar);
    shown = NULL;
}
