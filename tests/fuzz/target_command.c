/* Any words as a command line: one word a line up to an empty line, then the text of every scenario
 * that is asked for. The program's own main() runs up to the first draw: the watch is stopped from
 * the start, files are neither read nor written. Linked with --wrap for the functions that
 * would reach out or draw. */
#include "app/cli/cli.h"
#include "fuzz/fuzz.h"
#include "live/live.h"

#include <stdlib.h>
#include <string.h>

#define MOST_WORDS 300

static const char *scenario_text;
static size_t scenario_length;

bool __wrap_aw_file_read(const char *path, char **text, size_t *length, aw_errors *errors);
bool __wrap_aw_text_write(const aw_text *text, const char *path, aw_errors *errors);
aw_watch *__wrap_cli_watch(const cli_options *options);
double __wrap_aw_effort_glance(const aw_scenario *scenario);
bool __wrap_aw_effort_measure(aw_effort *effort, const aw_scenario *scenario, unsigned threads,
                              aw_errors *errors);
aw_live *__wrap_aw_live_open(const char *path, uint16_t port, unsigned threads, aw_errors *errors);
int cli_main(int argc, char *argv[]); /* main() of the program, renamed */

bool __wrap_aw_file_read(const char *path, char **text, size_t *length, aw_errors *errors)
{
    (void)path;
    (void)errors;
    *text = malloc(scenario_length + 1);
    if (*text == NULL)
        abort();
    memcpy(*text, scenario_text, scenario_length);
    *length = scenario_length;
    return true;
}

bool __wrap_aw_text_write(const aw_text *text, const char *path, aw_errors *errors)
{
    (void)errors;
    if (text->failed || path == NULL || *path == '\0')
        abort();
    return true;
}

aw_watch *__wrap_cli_watch(const cli_options *options)
{
    static aw_watch stopped;
    (void)options;
    atomic_store(&stopped.stop, 1);
    return &stopped;
}

double __wrap_aw_effort_glance(const aw_scenario *scenario)
{
    (void)scenario;
    return 1;
}

bool __wrap_aw_effort_measure(aw_effort *effort, const aw_scenario *scenario, unsigned threads,
                              aw_errors *errors)
{
    (void)scenario;
    (void)errors;
    *effort = (aw_effort){threads, threads, 1};
    return true;
}

aw_live *__wrap_aw_live_open(const char *path, uint16_t port, unsigned threads, aw_errors *errors)
{
    (void)path;
    (void)port;
    (void)threads;
    aw_errors_add(errors, AW_ERROR, 0, 0, "nothing is served here");
    return NULL;
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    return freopen("/dev/null", "w", stdout) == NULL;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char name[] = "anchorwise", *words[MOST_WORDS + 2] = {name};
    char *text = malloc(size + 1);
    int n = 1;
    if (text == NULL)
        abort();
    memcpy(text, data, size);
    text[size] = '\0';
    char *at = text;
    while (n <= MOST_WORDS && *at != '\n' && *at != '\0') {
        words[n++] = at;
        at += strcspn(at, "\n");
        if (*at == '\n')
            *at++ = '\0';
    }
    scenario_text = *at == '\n' ? at + 1 : at;
    scenario_length = size - (size_t)(scenario_text - text);
    const int status = cli_main(n, words);
    if (status != STATUS_DONE && status != STATUS_WRONG && status != STATUS_STOPPED)
        abort();
    free(text);
    return 0;
}
