/* What every command does the same way: reading the scenario, writing the result, complaining. */
#include "app/cli/cli.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "base/parallel.h"
#include "report/wrap.h"

#define MOST_THREADS 1024
/* A terminal that says it is narrower than this is not believed. */
#define LEAST_COLUMNS 40
/* Names that are searched for what was meant. */
#define MOST_SUGGESTED 250

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
    } given[] = {{"step", options->step},           {"draws", options->draws},
                 {"precision", options->precision}, {"seed", options->seed},
                 {"chance", options->chance},       {"margin", options->margin}};
    aw_errors errors = {0};
    for (size_t i = 0; i < sizeof given / sizeof *given; i++)
        if (given[i].value != NULL)
            aw_scenario_set_study(scenario, given[i].key, given[i].value, &errors);
    if (options->chance != NULL && options->margin != NULL)
        aw_errors_add(&errors, AW_ERROR, 0, 0, "--margin stands in the place of --chance");
    if (options->chance != NULL && options->margin == NULL)
        scenario->study.margin = (double)NAN;
    scenario->study.over_needs = options->chance != NULL || options->margin != NULL;
    if (options->step != NULL || options->draws != NULL)
        scenario->study_place = (aw_text_pos){0, 0};
    aw_errors_write(&errors, "anchorwise", false, stderr);
    const bool sound = errors.n_errors == 0;
    aw_errors_free(&errors);
    return sound;
}

/* Reads a text with the changes of the options laid over it. */
static bool read_varied(aw_scenario *scenario, const cli_options *options, aw_text *text,
                        aw_errors *errors)
{
    aw_change changes[CLI_MOST_SETS];
    char *paths[CLI_MOST_SETS];
    bool sound = true;
    for (size_t k = 0; k < options->n_sets; k++) {
        const char *value = aw_change_value(options->sets[k]);
        paths[k] = strndup(options->sets[k], (size_t)(value - options->sets[k]) - 1);
        changes[k] = (aw_change){paths[k], value};
        sound = sound && paths[k] != NULL;
    }
    if (!sound)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the changes");
    sound = sound && aw_scenario_vary(scenario, text, changes, options->n_sets, errors);
    for (size_t k = 0; k < options->n_sets; k++)
        free(paths[k]);
    return sound;
}

/* Reads a file, and takes its checksum before the changes are laid over it. */
static bool read_file(aw_scenario *scenario, size_t k, const cli_options *options, cli_given *given,
                      aw_errors *errors)
{
    if (!aw_file_read(options->paths[k], &given->text.at, &given->text.n, errors))
        return false;
    aw_checksum(given->text.at, given->text.n, given->checksum);
    return read_varied(scenario, options, &given->text, errors);
}

int cli_gather(aw_scenario *scenario, size_t k, const cli_options *options, cli_given *given,
               aw_errors *errors)
{
    cli_given own = {{0}, ""};
    int status = STATUS_DONE;
    aw_watch *watch = cli_watch(options);
    *scenario = (aw_scenario){0};
    aw_watch_stage(watch, 0, "reading %s", options->scenarios[k]);
    const bool read = read_file(scenario, k, options, given != NULL ? given : &own, errors);
    aw_watch_end(watch);
    if (!read || !lay_options_over(scenario, options) || !aw_map_check(scenario, errors))
        status = STATUS_WRONG;
    if (aw_errors_out_of_memory(errors))
        status = STATUS_FAILED;
    aw_errors_sort(errors);
    aw_text_free(&own.text);
    return status;
}

int cli_read_one(aw_scenario *scenario, size_t k, const cli_options *options, cli_given *given)
{
    aw_errors errors = {0};
    const int status = cli_gather(scenario, k, options, given, &errors);
    aw_errors_write(&errors, options->scenarios[k], !options->quiet, stderr);
    aw_errors_free(&errors);
    return status;
}

int cli_read_scenario(aw_scenario *scenario, const cli_options *options)
{
    return cli_read_one(scenario, 0, options, NULL);
}

/* As told, or where a person looks: on a terminal that has colour, unless NO_COLOR says not. */
bool cli_has_colour(const cli_options *options)
{
    const char *no = getenv("NO_COLOR"), *terminal = getenv("TERM");
    if (options->colour != NULL && strcmp(options->colour, "auto") != 0)
        return strcmp(options->colour, "always") == 0;
    return (options->out == NULL || strcmp(options->out, "-") == 0) && isatty(STDOUT_FILENO) &&
           (no == NULL || *no == '\0') && (terminal == NULL || strcmp(terminal, "dumb") != 0);
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

bool cli_read_amount(const char *option, const char *text, double most, bool below,
                     const char *what, double *amount)
{
    char *end;
    *amount = strtod(text, &end);
    const bool plain =
        end > text && *end == '\0' && strspn(text, "+-.0123456789eE") == strlen(text);
    if (plain && *amount > 0 && (below ? *amount < most : *amount <= most))
        return true;
    cli_complain("%s: '%s' is not a number in (0, %.13g%s%s", option, text, most, below ? ")" : "]",
                 what);
    return false;
}

bool cli_read_units(const cli_options *o, aw_units *units)
{
    *units = o->units != NULL && strcmp(o->units, "ft") == 0 ? AW_FEET : AW_METRES;
    if (o->units == NULL || strcmp(o->units, *units == AW_FEET ? "ft" : "m") == 0)
        return true;
    cli_complain("--units: '%s' is not one of m, ft", o->units);
    return false;
}

const char *cli_farthest(const aw_scenario *s)
{
    return s->units == AW_FEET ? "328 083 ft" : "100 000 m";
}

/* What a name is looked for in: things of one kind, by their names. */
typedef struct kind_of_name {
    const char *what; /* for complaints: "anchor" */
    size_t n;
    const char *(*name)(const aw_scenario *s, size_t i);
} kind_of_name;

static const char *anchor_name(const aw_scenario *s, size_t i)
{
    return s->anchors[i].name;
}

static const char *tag_name(const aw_scenario *s, size_t i)
{
    return s->tags[i].name;
}

static const char *zone_name(const aw_scenario *s, size_t i)
{
    return s->zones[i].name;
}

/* Without a near name the first one of the scenario is told. */
static void complain_of_name(const char *written, const char *option, const char *file,
                             const aw_scenario *s, const kind_of_name *kind)
{
    const char *known[MOST_SUGGESTED];
    char what[64];
    size_t n = 0;
    if (kind->n == 0) {
        cli_complain("%s: %s has no %s", option, file, kind->what);
        return;
    }
    for (; n < kind->n && n < MOST_SUGGESTED; n++)
        known[n] = kind->name(s, n);
    aw_text first = {0};
    aw_text_format(&first, "the first one of %s is '%s'", file, known[0]);
    snprintf(what, sizeof what, "%s: unknown %s", option, kind->what);
    cli_complain_of_unknown(what, written, known, n, first.failed ? "see 'check'" : first.at);
    aw_text_free(&first);
}

/* Index of a named thing; how many there are after a complaint. */
static size_t find_named(const char *name, const char *option, const char *file,
                         const aw_scenario *s, kind_of_name kind)
{
    for (size_t i = 0; i < kind.n; i++)
        if (strcmp(kind.name(s, i), name) == 0)
            return i;
    complain_of_name(name, option, file, s, &kind);
    return kind.n;
}

bool cli_find_anchor(const char *name, const char *option, const cli_options *options,
                     const aw_scenario *s, size_t *anchor)
{
    *anchor = find_named(name, option, options->scenario, s,
                         (kind_of_name){"anchor", s->n_anchors, anchor_name});
    return *anchor < s->n_anchors;
}

bool cli_find_tag(const cli_options *options, const aw_scenario *s, size_t *tag)
{
    *tag = find_named(options->tag, "--tag", options->scenario, s,
                      (kind_of_name){"tag", s->n_tags, tag_name});
    return *tag < s->n_tags;
}

bool cli_find_zone(const cli_options *options, const aw_scenario *s, size_t *zone)
{
    *zone = find_named(options->zone, "--zone", options->scenario, s,
                       (kind_of_name){"zone", s->n_zones, zone_name});
    return *zone < s->n_zones;
}

/* Marks the anchors of a list; false after a complaint. */
static bool read_names(const char *text, const char *option, const cli_options *options,
                       const aw_scenario *s, bool *named)
{
    while (*text != '\0') {
        const size_t length = strcspn(text, ",");
        char *name = strndup(text, length);
        size_t i;
        const bool found = name != NULL && cli_find_anchor(name, option, options, s, &i);
        if (name == NULL)
            cli_complain("out of memory for the names");
        free(name);
        if (!found)
            return false;
        named[i] = true;
        text += length + (text[length] == ',');
    }
    return true;
}

bool *cli_read_names(const char *text, const char *option, const cli_options *options,
                     const aw_scenario *s)
{
    bool *named = calloc(s->n_anchors, sizeof *named);
    if (named == NULL)
        cli_complain("out of memory for the names");
    else if (read_names(text, option, options, s, named))
        return named;
    free(named);
    return NULL;
}

int cli_write(const aw_text *text, const char *path)
{
    aw_errors errors = {0};
    const char *target = path != NULL ? path : "-";
    cli_stop_after_writing();
    const bool written = aw_text_write(text, target, &errors);
    aw_errors_write(&errors, strcmp(target, "-") == 0 ? "standard output" : target, false, stderr);
    aw_errors_free(&errors);
    return written ? STATUS_DONE : STATUS_FAILED;
}

int cli_write_result(aw_text *text, const char *path, const cli_options *options)
{
    struct winsize size;
    const bool shown = path == NULL || strcmp(path, "-") == 0;
    if (!options->json && shown && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 &&
        size.ws_col >= LEAST_COLUMNS)
        aw_text_wrap(text, size.ws_col);
    return cli_write(text, path);
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
