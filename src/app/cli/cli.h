/* What the commands share: their table, their options, their exit statuses.
 *
 * To add a command: a file with its function, a row in commands.c, and its options' rows marked in
 * options.c. Help, manual page and completion are printed from both tables. */
#ifndef AW_APP_CLI_CLI_H
#define AW_APP_CLI_CLI_H

#include <stdbool.h>
#include <stdio.h>

#include "anchorwise.h"
#include "draw/chart.h"
#include "draw/checksum.h"
#include "draw/pale.h"

/* Exit statuses. */
enum {
    STATUS_DONE = 0,
    STATUS_NOT_MET = 1,
    STATUS_WRONG = 2,
    STATUS_FAILED = 3,
    STATUS_STOPPED = 130
};

#define CLI_MOST_SPOTS     100
#define CLI_MOST_SCENARIOS 8
#define CLI_MOST_SETS      100
#define CLI_MOST_LAYERS    100

/* What was asked for on the command line; texts as given, NULL if not given. */
typedef struct cli_options {
    const char *scenario;                      /* the first one */
    const char *scenarios[CLI_MOST_SCENARIOS]; /* as they are called in results and messages */
    const char *paths[CLI_MOST_SCENARIOS];     /* as given; "-" is standard input */
    size_t n_scenarios;
    const char *seed, *draws, *precision, *step, *threads, *chance, *margin;
    const char *kind; /* the first word of a command that takes one */
    const char *out, *cells, *tag, *zone, *tile, *at;
    const char *chart, *sheet, *width, *layer, *date, *revision;
    const char *client, *site, *number, *author;
    const char *units, *inside, *decisions, *wrong;
    const char *hall, *need;
    const char *keep, *needs, *counts, *heights, *group, *csv, *out_each;
    const char *anchor, *reach, *still;
    const char *rules, *into, *unit, *turn;
    const char *layers[CLI_MOST_LAYERS]; /* of a plan, each "NAME=ROLE" */
    size_t n_layers;
    const char *spots[CLI_MOST_SPOTS];
    size_t n_spots;
    const char *sets[CLI_MOST_SETS]; /* each "PATH=VALUE", aw_change_value() found one */
    size_t n_sets;
    const char *against, *sections, *from, *image; /* of a report */
    const char *port;
    bool open, sturdy, afresh, even_so, guess, no_contours, together, quick, cheapest;
    const char *colour; /* "auto", "always", "never"; NULL: auto */
    bool json, portrait, grey, relative, quiet, progress, help, version;
} cli_options;

typedef struct cli_command {
    const char *name;
    const char *answers; /* one line: the question it answers */
    const char *about;   /* a paragraph for its help */
    unsigned mark;       /* the bit that marks its options */
    size_t least, most;  /* scenarios it takes, or plans */
    int (*run)(const cli_options *options);
} cli_command;

enum {
    CLI_CHECK = 1,
    CLI_ASSESS = 2,
    CLI_CHART = 4,
    CLI_COMPARE = 8,
    CLI_EXPLAIN = 16,
    CLI_OUTAGE = 32,
    CLI_ZONES = 64,
    CLI_NEED = 128,
    CLI_LINKS = 256,
    CLI_PLACE = 512,
    CLI_SWEEP = 1024,
    CLI_SENSITIVITY = 2048,
    CLI_FREEDOM = 4096,
    CLI_NEW = 8192,
    CLI_IMPORT = 16384,
    CLI_EXPORT = 32768,
    CLI_REPORT = 65536,
    CLI_PLAN = 131072
};

/* Ends with a row without a name. */
extern const cli_command cli_commands[];
/* One of these is the first word of `report`; ends with NULL. */
extern const char *const cli_report_kinds[];
/* " SCENARIO", " SCENARIO SCENARIO ..." or nothing; before it the kinds of a command. */
const char *cli_scenarios_shown(const cli_command *command);

/* What `help` prints besides help itself; ends with a row without a name. */
typedef struct cli_topic {
    const char *name, *what;
    void (*add)(aw_text *out);
} cli_topic;
extern const cli_topic cli_topics[];

/* When the program ends with which status; ends with a row without words. */
typedef struct cli_ending {
    int status;
    const char *when;
} cli_ending;
extern const cli_ending cli_endings[];

/* What the program does, in a sentence. */
#define CLI_PURPOSE "Predicts the position error of a UWB time-difference system over a floor."

const cli_command *cli_find_command(const char *name);
/* Complains of a name that no command has; returns STATUS_WRONG. */
int cli_complain_of_command(const char *name);

/* Reads the words after the command; false after a complaint on standard error. */
bool cli_read_options(cli_options *options, const cli_command *command, int n, char *words[]);

/* A file that the command line names. */
typedef struct cli_file {
    const char *option; /* NULL: a scenario, or a result that goes to standard output unasked */
    const char *path;   /* "-": standard input or output */
    bool is_output;
} cli_file;

#define CLI_MOST_FILES 32

/* All files of a run, inputs first; how many. */
size_t cli_list_files(const cli_options *options, const cli_command *command,
                      cli_file files[CLI_MOST_FILES]);

/* Whether a path that a command writes besides is none of the files that its options name; false
 * after a complaint, which names it by `option`. */
bool cli_file_is_apart(const cli_options *options, const cli_command *command, const char *option,
                       const char *path);

/* Whether every output is a file of its own and no input; false after a complaint. */
bool cli_files_are_apart(const cli_options *options, const cli_command *command);

/* What stands behind an option: nothing, a text, or the path of a file. */
typedef enum cli_argument { CLI_SWITCH, CLI_TEXT, CLI_INPUT, CLI_OUTPUT } cli_argument;

typedef struct cli_option {
    const char *name, *argument; /* NULL for a switch; words to choose from have | between */
    const char *help;
    size_t offset;     /* into cli_options */
    unsigned commands; /* that take it: their marks */
    cli_argument kind;
} cli_option;

extern const cli_option cli_option_rows[];
extern const size_t cli_option_rows_n;

/* The short word for an option, NULL if it has none. */
const char *cli_short_name(const char *name);

/* The option that a short word such as -h stands for, else the word itself. */
const char *cli_long_name(const char *word);

/* Prints the options of one command. */
void cli_print_options(const cli_command *command, FILE *out);

int cli_check(const cli_options *options);
int cli_assess(const cli_options *options);
int cli_chart(const cli_options *options);
int cli_compare(const cli_options *options);
int cli_explain(const cli_options *options);
int cli_links(const cli_options *options);
int cli_outage(const cli_options *options);
int cli_zones(const cli_options *options);
int cli_freedom(const cli_options *options);
int cli_sensitivity(const cli_options *options);
int cli_need(const cli_options *options);
int cli_new(const cli_options *options);
int cli_import(const cli_options *options);
int cli_export(const cli_options *options);
int cli_write_report(const cli_options *options);
int cli_place(const cli_options *options);
int cli_plan(const cli_options *options);
int cli_sweep(const cli_options *options);
int cli_help(int n, char *words[], FILE *out);
/* The manual page, as troff, and completion for bash, from the same tables. */
void cli_manual(aw_text *out);
void cli_completion(aw_text *out);
void cli_help_command(const cli_command *command, FILE *out);
void cli_print_version(FILE *out);

/* A scenario as it was read. */
typedef struct cli_given {
    aw_text text;                    /* with the changes of the options in it */
    char checksum[AW_CHECKSUM_ROOM]; /* of the bytes without them */
} cli_given;

/* Reads the scenario with the changes and the options laid over it, and refuses what cannot be run.
 * Complaints and warnings go to standard error. Returns STATUS_DONE or the status to end with;
 * aw_scenario_free() either way. */
int cli_read_scenario(aw_scenario *scenario, const cli_options *options);
/* The same, but complaints and warnings are gathered, sorted by place, and not printed. Those about
 * options are not among them. What was read goes to `given`, whose text the caller frees, unless it
 * is NULL: standard input cannot be read again. */
int cli_gather(aw_scenario *scenario, size_t k, const cli_options *options, cli_given *given,
               aw_errors *errors);
/* The first one for scenario k of several, and the text of the second. */
int cli_read_one(aw_scenario *scenario, size_t k, const cli_options *options, cli_given *given);

/* Number of threads asked for, or that the machine has; 0 after a complaint. */
unsigned cli_threads(const cli_options *options);

/* Whether the result goes to a terminal that shows colours. */
bool cli_has_colour(const cli_options *options);

/* Writes a result to a path ("-" or NULL: standard output); a status. */
int cli_write(const aw_text *text, const char *path);
/* The same of tables or JSON as the options say, sentences wrapped to a terminal that shows them.
 */
int cli_write_result(aw_text *text, const char *path, const cli_options *options);

/* Reads n plain numbers with commas and perhaps blanks between, in the scenario's units, as metres;
 * false (without a complaint) if the text is anything else or a length is beyond 100 000 m. */
bool cli_read_lengths(const char *text, const aw_scenario *scenario, size_t n, double metres[]);
/* A number in (0, most], or in (0, most) if `below`; false after a complaint that has `what` behind
 * the range: a unit, for example. */
bool cli_read_amount(const char *option, const char *text, double most, bool below,
                     const char *what, double *amount);
/* --units, where there is no scenario whose units could count; false after a complaint. */
bool cli_read_units(const cli_options *options, aw_units *units);
/* The limit of lengths in the scenario's units, for complaints. */
const char *cli_farthest(const aw_scenario *scenario);

/* A sheet to be written: where, as what, and how it looks. */
typedef enum cli_kind { CLI_SVG, CLI_PNG, CLI_PDF, CLI_NO_KIND } cli_kind;
typedef struct cli_drawing {
    const char *path;
    cli_kind kind;
    size_t width;          /* of a PNG, pixels */
    bool quiet;            /* no warnings */
    aw_chart_options look; /* from --sheet, --portrait, --grey, --date, --revision */
    aw_pale pale;          /* the client's plan, if the scenario has a picture */
} cli_drawing;

/* Reads the options of a drawing whose path was given with `option`; false after a complaint. */
bool cli_read_drawing(cli_drawing *drawing, const cli_options *options, const char *command,
                      const char *option, const char *path);
/* The same for a command that draws only if asked to, by --chart. */
bool cli_read_side_drawing(cli_drawing *drawing, const cli_options *options, const char *command);
/* What the title block says of the n scenarios that were read; they stay the caller's. */
void cli_name_files(cli_drawing *drawing, const cli_options *options, const cli_given given[],
                    size_t n);
/* Reads the picture of a scenario, if it has one, for the drawing; a status. Free it with
 * aw_pale_free(). */
int cli_read_picture(cli_drawing *drawing, const cli_options *options, const aw_scenario *scenario);
/* Writes a sheet that was drawn, or says what went wrong; frees both. A status. */
int cli_write_drawing(const cli_drawing *drawing, aw_sheet *sheet, aw_errors *errors);
/* The sheet as the bytes of its file. False without memory (an error). */
bool cli_make_drawing(const cli_drawing *drawing, const aw_sheet *sheet, aw_text *text,
                      aw_errors *errors);

/* --- a study of one scenario --- */

typedef struct cli_site {
    const cli_options *options;
    aw_scenario scenario;
    cli_given given;
    unsigned threads;
    cli_drawing drawing; /* of a command that draws if asked to */
    aw_run run;
    aw_errors errors;
} cli_site;

/* Reads options and scenario and hands them to a study; `draws` names a command that takes --chart,
 * NULL: it does not. The status. */
int cli_with_site(const cli_options *options, const char *draws, int (*study)(cli_site *site));

/* Says what so many draws will cost, as cli_tell_cost() does, and starts the watch; the run. */
const aw_run *cli_begin(cli_site *site, size_t draws, const char *or_more);
/* The same, with a first estimate of the zones on a terminal. */
const aw_run *cli_begin_zones(cli_site *site, size_t draws, const char *or_more);
/* What became of it, said: a status. */
int cli_end(cli_site *site);
/* Writes a result if all went well so far, and frees it; a status. */
int cli_show(const cli_site *site, int status, aw_text *text);

/* Anchors that an option names, with commas between, as flags that the caller frees; NULL after a
 * complaint or without memory. */
bool *cli_read_names(const char *text, const char *option, const cli_options *options,
                     const aw_scenario *scenario);

/* Index of the anchor that an option names; false after a complaint. */
bool cli_find_anchor(const char *name, const char *option, const cli_options *options,
                     const aw_scenario *scenario, size_t *anchor);

/* Index of the tag that --tag names, of the zone that --zone names; false after a complaint. */
bool cli_find_tag(const cli_options *options, const aw_scenario *scenario, size_t *tag);
bool cli_find_zone(const cli_options *options, const aw_scenario *scenario, size_t *zone);

/* One complaint on standard error, `anchorwise: ...`; returns STATUS_WRONG. */
int cli_complain(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Whether a text of an option is UTF-8 of 1 to `most` characters, none a control character, and not
 * blank; false after a complaint. */
bool cli_check_text(const char *option, const char *text, size_t most);

/* Complains of a word, `what 'written'`, with the nearest of n known ones, else with what to do
 * otherwise; returns STATUS_WRONG. */
int cli_complain_of_unknown(const char *what, const char *written, const char *const known[],
                            size_t n, const char *otherwise);

/* Prints what went wrong with a run, or that it was stopped; a status. */
int cli_report(aw_errors *errors, aw_watch *watch);

/* Likewise of a run in which all but want of memory is the fault of what was asked. */
int cli_report_asked(aw_errors *errors, aw_watch *watch);

/* Whether a verdict over needs calls for status 1. */
bool cli_falls_short(aw_verdict verdict);

/* For a command whose result has no verdict: draws every zone that states a need, as assess does,
 * says on standard error what falls short, unless --quiet, and fills the verdict of each. A status,
 * STATUS_NOT_MET if anything does. */
int cli_judge(const cli_options *options, const aw_scenario *scenario, const char *name,
              unsigned threads, aw_verdict verdicts[]);

/* The watch of the command's work, its clock at 0, with a bar if standard error is a terminal. */
aw_watch *cli_watch(const cli_options *options);
/* Says on standard error how long a command will take, if that is over a minute: as many draws of a
 * cell, " or more" where that cannot be known. */
void cli_tell_cost(const cli_options *options, const aw_scenario *s, unsigned threads, double draws,
                   const char *or_more);
/* Threads that can run at a time. */
unsigned cli_parallel(unsigned threads);
/* Whether its bar stands on the terminal; a signal handler may ask. */
bool cli_bar_is_drawn(void);

/* Every zone, or the floor, by few draws, above the bar of a watch that has one. */
void cli_estimate(const aw_scenario *scenario, unsigned threads, aw_watch *watch);

/* From here on Ctrl-C ends the program at once with STATUS_STOPPED. */
void cli_stop_on_signals(void);
/* The command comes back by itself when the watch is stopped, and has something to show then:
 * Ctrl-C gives it a moment, a second one does not. */
void cli_stop_gently(aw_watch *watch);
/* From here on Ctrl-C does not say that nothing was written. */
void cli_stop_after_writing(void);

#endif
