/* Seeded mutations of good scenarios, each handed to the fuzz target of the reader and then, if it
 * is sound, to a run of one draw on the coarsest grid where its floor is small: what a hand slips
 * into a file, not what a search for new code would find.
 *
 * usage: mutate HOW_MANY SCENARIO ... ; each mutation has 2 s of a processor, however busy it is,
 * and all together 200 MiB. */
#include "anchorwise.h"
#include "fuzz/fuzz.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <unistd.h>

#define SECONDS     2
#define MOST_WAIT   120               /* s, of something that does not even run */
#define MOST_MEMORY ((long)200 << 10) /* KiB */
#define MOST_BYTES  ((size_t)1 << 20)
#define MOST_LINES  20000
/* Cells of a floor that is also computed. */
#define MOST_CELLS 500

/* A text under mutation; the arrays have room for MOST_BYTES. */
typedef struct draft {
    char *at, *spare;
    size_t n;
} draft;

static uint64_t state;
static size_t current;

/* splitmix64 */
static size_t any(size_t below)
{
    uint64_t z = (state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return below > 0 ? (size_t)((z ^ (z >> 31)) % below) : 0;
}

/* Puts `length` bytes in place of those from `from` to `to`. */
static void replace(draft *d, size_t from, size_t to, const char *with, size_t length)
{
    if (d->n - (to - from) + length > MOST_BYTES)
        return;
    memcpy(d->spare, d->at, from);
    memcpy(d->spare + from, with, length);
    memcpy(d->spare + from + length, d->at + to, d->n - to);
    d->n = d->n - (to - from) + length;
    char *kept = d->at;
    d->at = d->spare;
    d->spare = kept;
}

static size_t line_start(const draft *d, size_t at)
{
    while (at > 0 && d->at[at - 1] != '\n')
        at--;
    return at;
}

static size_t line_end(const draft *d, size_t at)
{
    while (at < d->n && d->at[at++] != '\n') {
    }
    return at;
}

static void flip_a_bit(draft *d)
{
    if (d->n > 0)
        d->at[any(d->n)] ^= (char)(1 << any(8));
}

static void set_a_byte(draft *d)
{
    static const char odd[] = "\0\n\t \"'#&*{}[]:,-|>%@`!~\x7f\x80\xc2\xe2\xff";
    if (d->n > 0)
        d->at[any(d->n)] = odd[any(sizeof odd - 1)];
}

static void delete_a_line(draft *d)
{
    const size_t at = any(d->n), from = line_start(d, at);
    replace(d, from, line_end(d, at), "", 0);
}

static void double_a_line(draft *d)
{
    const size_t at = any(d->n), from = line_start(d, at), to = line_end(d, at);
    char *line = strndup(d->at + from, to - from);
    replace(d, to, to, line, strlen(line));
    free(line);
}

static void swap_two_lines(draft *d)
{
    const size_t at = any(d->n), from = line_start(d, at), to = line_end(d, at);
    char *line = strndup(d->at + from, to - from);
    replace(d, from, to, "", 0);
    const size_t there = line_start(d, any(d->n));
    replace(d, there, there, line, strlen(line));
    free(line);
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static void change_a_number(draft *d)
{
    static const char *const extremes[] = {"0",       "-1",     "1e308",
                                           "-1e308",  "1e-308", "1e999",
                                           "1e-999",  "nan",    "inf",
                                           "99999.9", "1e5",    "-0.0",
                                           "0.0001",  "1e6",    "4096",
                                           "65536",   "",       "2147483648",
                                           "1000000", "1e-12",  "0x1p3",
                                           "1,5",     ".",      "-",
                                           "+3",      "00",     "18446744073709551616"};
    size_t at = any(d->n);
    for (size_t tries = 0; tries < d->n && !is_digit(d->at[at]); tries++)
        at = (at + 1) % d->n;
    if (d->n == 0 || !is_digit(d->at[at]))
        return;
    size_t from = at, to = at;
    while (from > 0 && (is_digit(d->at[from - 1]) || d->at[from - 1] == '.'))
        from--;
    while (to < d->n && (is_digit(d->at[to]) || d->at[to] == '.'))
        to++;
    const char *with = extremes[any(sizeof extremes / sizeof *extremes)];
    replace(d, from, to, with, strlen(with));
}

/* A block is a line with the deeper ones under it; copied many times in place. */
static void multiply_a_block(draft *d)
{
    const size_t from = line_start(d, any(d->n));
    size_t to = line_end(d, from);
    const size_t depth = strspn(d->at + from, " ");
    while (to < d->n && d->at[to] != '\n' && strspn(d->at + to, " ") > depth)
        to = line_end(d, to);
    char *block = strndup(d->at + from, to - from);
    for (size_t i = 0, n = any(8) == 0 ? 1 + any(400) : 1 + any(3); i < n; i++)
        replace(d, to, to, block, strlen(block));
    free(block);
}

static void cut_the_rest(draft *d)
{
    d->n = any(d->n);
}

static void mutate(draft *d)
{
    static void (*const ways[])(draft *) = {flip_a_bit,      set_a_byte,       delete_a_line,
                                            double_a_line,   swap_two_lines,   change_a_number,
                                            change_a_number, multiply_a_block, cut_the_rest};
    const size_t times = 1 + any(3);
    for (size_t i = 0; i < times; i++) {
        ways[any(sizeof ways / sizeof *ways - (i == 0))](d);
        d->at[d->n] = '\0';
    }
}

/* One draw in each cell of a small floor. */
static bool compute(const draft *d)
{
    aw_scenario s;
    aw_errors errors = {0};
    aw_map map = {0};
    aw_grid grid = {0};
    bool computed = false;
    if (aw_scenario_parse(&s, d->at, d->n, &errors) && aw_map_check(&s, &errors) &&
        aw_grid_lay_zone(&grid, &s, NULL, &errors)) {
        const aw_map_plan plan = {.scenario = &s, .groups = 1};
        s.study.draws = 1;
        computed = grid.n <= MOST_CELLS;
        if (!computed)
            aw_grid_free(&grid);
        else if (!aw_map_run(&map, &grid, &plan, &(aw_run){1, NULL, &errors}))
            abort();
        aw_map_free(&map);
    }
    aw_errors_free(&errors);
    aw_scenario_free(&s);
    return computed;
}

/* 0: no limit. */
static void limit_time(unsigned seconds)
{
    const struct itimerval limit = {.it_value = {.tv_sec = seconds}};
    setitimer(ITIMER_PROF, &limit, NULL);
    alarm(seconds > 0 ? MOST_WAIT : 0);
}

static void tell_which(int signal_number)
{
    char text[100];
    const int n =
        snprintf(text, sizeof text, "mutation %zu ended by signal %d\n", current, signal_number);
    if (write(STDERR_FILENO, text, (size_t)n) == n)
        _exit(EXIT_FAILURE);
    _exit(EXIT_FAILURE);
}

/* Reads a file of under MOST_BYTES. */
static size_t read_file(const char *path, char *at)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        perror(path);
        exit(EXIT_FAILURE);
    }
    const size_t n = fread(at, 1, MOST_BYTES, file);
    fclose(file);
    return n;
}

int main(int argc, char *argv[])
{
    const size_t many = argc > 2 ? strtoul(argv[1], NULL, 10) : 0;
    draft d = {malloc(MOST_BYTES + 1), malloc(MOST_BYTES + 1), 0};
    size_t sound = 0;
    struct rusage used;
    if (many == 0 || d.at == NULL || d.spare == NULL || LLVMFuzzerInitialize(&argc, &argv) != 0)
        return EXIT_FAILURE;
    for (const int *s =
             (const int[]){SIGSEGV, SIGABRT, SIGFPE, SIGBUS, SIGILL, SIGPROF, SIGALRM, 0};
         *s; s++)
        signal(*s, tell_which);
    for (current = 0; current < many; current++) {
        state = current;
        d.n = read_file(argv[2 + current % (size_t)(argc - 2)], d.at);
        mutate(&d);
        limit_time(SECONDS);
        LLVMFuzzerTestOneInput((const uint8_t *)d.at, d.n);
        sound += compute(&d);
        limit_time(0);
    }
    getrusage(RUSAGE_SELF, &used);
    printf("%zu mutations, %zu sound ones computed, %ld MiB\n", many, sound, used.ru_maxrss >> 10);
    free(d.at);
    free(d.spare);
    return used.ru_maxrss <= MOST_MEMORY && sound > many / 100 ? EXIT_SUCCESS : EXIT_FAILURE;
}
