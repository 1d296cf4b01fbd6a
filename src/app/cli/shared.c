/* What every command does the same way: reading the scenario, writing the result, complaining. */
#include "app/cli/cli.h"

#include <signal.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/parallel.h"

#define MOST_THREADS 1024

/* Ctrl-C has no other way to reach the running command. */
static aw_watch the_watch;

int cli_complain(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fputs("anchorwise: ", stderr);
    vfprintf(stderr, format, arguments);
    fputs("\n", stderr);
    va_end(arguments);
    return STATUS_WRONG;
}

/* Options complain under the program's name, the scenario under its own. */
static bool lay_options_over(aw_scenario *scenario, const cli_options *options)
{
    const struct {
        const char *key, *value;
    } given[] = {{"step", options->step}, {"draws", options->draws}, {"seed", options->seed}};
    aw_errors errors = {0};
    for (size_t i = 0; i < sizeof given / sizeof *given; i++)
        if (given[i].value != NULL)
            aw_scenario_set_study(scenario, given[i].key, given[i].value, &errors);
    if (options->step != NULL || options->draws != NULL)
        scenario->study_place = (aw_place){0, 0};
    aw_errors_write(&errors, "anchorwise", false, stderr);
    const bool sound = errors.n_errors == 0;
    aw_errors_free(&errors);
    return sound;
}

int cli_read_one(aw_scenario *scenario, const char *path, const cli_options *options)
{
    aw_errors errors = {0};
    int status = STATUS_DONE;
    if (!aw_scenario_read(scenario, path, &errors))
        status = STATUS_WRONG;
    else if (!lay_options_over(scenario, options) || !aw_map_check(scenario, &errors))
        status = STATUS_WRONG;
    if (aw_errors_out_of_memory(&errors))
        status = STATUS_FAILED;
    aw_errors_sort(&errors);
    aw_errors_write(&errors, path, !options->quiet, stderr);
    aw_errors_free(&errors);
    return status;
}

int cli_read_scenario(aw_scenario *scenario, const cli_options *options)
{
    return cli_read_one(scenario, options->scenario, options);
}

bool cli_has_colour(const cli_options *options)
{
    return (options->out == NULL || strcmp(options->out, "-") == 0) && isatty(STDOUT_FILENO) &&
           getenv("NO_COLOR") == NULL;
}

unsigned cli_threads(const cli_options *options)
{
    char *end = NULL;
    if (options->threads == NULL)
        return aw_processors();
    const unsigned long n = strtoul(options->threads, &end, 10);
    if (strspn(options->threads, "0123456789") != strlen(options->threads) || n < 1 ||
        n > MOST_THREADS) {
        cli_complain("--threads: %s is not a whole number in [1, %d]", options->threads,
                     MOST_THREADS);
        return 0;
    }
    return (unsigned)n;
}

bool cli_read_lengths(const char *text, const aw_scenario *s, size_t n, double metres[])
{
    const double metre = aw_unit_metres(s->units);
    for (size_t i = 0; i < n; i++) {
        char *end;
        metres[i] = strtod(text, &end) * metre;
        const bool plain = strspn(text, "+-.0123456789eE") >= (size_t)(end - text);
        if (end == text || !plain || *end != (i + 1 < n ? ',' : '\0') || !(metres[i] >= -1e5) ||
            !(metres[i] <= 1e5))
            return false;
        text = end + 1 + strspn(i + 1 < n ? end + 1 : "", " ");
    }
    return true;
}

const char *cli_farthest(const aw_scenario *s)
{
    return s->units == AW_FEET ? "328 083 ft" : "100 000 m";
}

bool cli_find_tag(const cli_options *options, const aw_scenario *s, size_t *tag)
{
    for (size_t i = 0; i < s->n_tags; i++)
        if (strcmp(s->tags[i].name, options->tag) == 0) {
            *tag = i;
            return true;
        }
    cli_complain("--tag: unknown tag '%s'; the first one of %s is '%s'", options->tag,
                 options->scenario, s->tags[0].name);
    return false;
}

bool *cli_read_names(const char *text, const char *option, const cli_options *options,
                     const aw_scenario *s)
{
    bool *named = calloc(s->n_anchors, sizeof *named);
    while (named != NULL && *text != '\0') {
        const size_t length = strcspn(text, ",");
        size_t i = 0;
        while (i < s->n_anchors && (strncmp(s->anchors[i].name, text, length) != 0 ||
                                    s->anchors[i].name[length] != '\0'))
            i++;
        if (i == s->n_anchors) {
            cli_complain("%s: %s has no anchor '%.*s'", option, options->scenario, (int)length,
                         text);
            free(named);
            return NULL;
        }
        named[i] = true;
        text += length + (text[length] == ',');
    }
    return named;
}

int cli_write(const aw_text *text, const char *path)
{
    aw_errors errors = {0};
    const char *target = path != NULL ? path : "-";
    const bool written = aw_text_write(text, target, &errors);
    aw_errors_write(&errors, strcmp(target, "-") == 0 ? "standard output" : target, false, stderr);
    aw_errors_free(&errors);
    return written ? STATUS_DONE : STATUS_FAILED;
}

int cli_report(aw_errors *errors, aw_watch *watch)
{
    aw_watch_end(watch);
    aw_errors_write(errors, "anchorwise", false, stderr);
    if (errors->n_errors > 0)
        return STATUS_FAILED;
    if (atomic_load(&watch->stop)) {
        fputs("anchorwise: stopped; nothing was written\n", stderr);
        return STATUS_STOPPED;
    }
    return STATUS_DONE;
}

int cli_report_asked(aw_errors *errors, aw_watch *watch)
{
    const bool wrong = errors->n_errors > 0 && !aw_errors_out_of_memory(errors);
    const int status = cli_report(errors, watch);
    return wrong ? STATUS_WRONG : status;
}

static void stop_the_watch(int signal_number)
{
    (void)signal_number;
    atomic_store(&the_watch.stop, 1);
}

aw_watch *cli_watch(const cli_options *options, size_t work)
{
    struct sigaction action = {.sa_handler = stop_the_watch};
    sigaction(SIGINT, &action, NULL);
    aw_watch_start(&the_watch, work, !options->quiet && isatty(STDERR_FILENO) ? stderr : NULL);
    return &the_watch;
}
