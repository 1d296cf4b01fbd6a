/* The table of options: one row each, which commands take it, and where its text goes. */
#include "app/cli/cli.h"

#include <stddef.h>
#include <string.h>

/* Every command that takes a scenario. */
#define EVERY                                                                                      \
    (CLI_CHECK | CLI_ASSESS | CLI_CHART | CLI_COMPARE | CLI_EXPLAIN | CLI_OUTAGE | CLI_ZONES |     \
     CLI_PLACE | CLI_SWEEP | CLI_SENSITIVITY | CLI_FREEDOM)
#define DRAWS (CLI_CHART | CLI_COMPARE | CLI_EXPLAIN | CLI_SWEEP | CLI_SENSITIVITY | CLI_FREEDOM)

typedef struct option {
    const char *name, *argument; /* no argument: a switch */
    const char *help;
    size_t offset; /* into cli_options */
    unsigned commands;
} option;

static const option options_table[] = {
    {"--at", "X,Y", "the spot, in the scenario's units", offsetof(cli_options, at),
     CLI_EXPLAIN | CLI_LINKS},
    {"--cells", "FILE", "write one row for each cell of the floor, as CSV",
     offsetof(cli_options, cells), CLI_ASSESS},
    {"--tag", "NAME", "the tag that is used; the first one if not given",
     offsetof(cli_options, tag), CLI_ASSESS | CLI_EXPLAIN | CLI_LINKS},
    {"--anchor", "NAME", "only this anchor; every one if not given", offsetof(cli_options, anchor),
     CLI_FREEDOM},
    {"--reach", "L", "how far to look, in the scenario's units; 2 m (6.56 ft) if not given",
     offsetof(cli_options, reach), CLI_FREEDOM},
    {"--tile", "X0,Y0,X1,Y1",
     "only the cells with centres in this rectangle; only --cells is written",
     offsetof(cli_options, tile), CLI_ASSESS},
    {"--chart", "FILE", "draw the difference over the floor too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_COMPARE},
    {"--chart", "FILE", "draw the spot before and after the first remedy too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_EXPLAIN},
    {"--chart", "FILE", "draw the curves too, as SVG, PNG or PDF", offsetof(cli_options, chart),
     CLI_SWEEP},
    {"--chart", "FILE", "draw a bar for each assumption too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_SENSITIVITY},
    {"--chart", "FILE", "draw the regions for the installers too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_FREEDOM},
    {"--sheet", "NAME", "A4, A3 or A1; A3 if not given", offsetof(cli_options, sheet), DRAWS},
    {"--portrait", NULL, "the sheet upright; landscape if not given",
     offsetof(cli_options, portrait), DRAWS},
    {"--width", "PIXELS", "width of a PNG; 1600 if not given", offsetof(cli_options, width), DRAWS},
    {"--layer", "KEY", "the quantity to draw; p95_m if not given", offsetof(cli_options, layer),
     CLI_CHART},
    {"--spot", "X,Y", "draw the bearings of a spot; may be repeated", offsetof(cli_options, spots),
     CLI_CHART},
    {"--grey", NULL, "without colour, for black-and-white printing", offsetof(cli_options, grey),
     DRAWS},
    {"--date", "TEXT", "the date in the title block", offsetof(cli_options, date), DRAWS},
    {"--revision", "TEXT", "the revision in the title block", offsetof(cli_options, revision),
     DRAWS},
    {"--width", "W", "width of each bay or aisle, in --units", offsetof(cli_options, width),
     CLI_NEED},
    {"--inside", "D", "least distance of a tag from the border; half the width if not given",
     offsetof(cli_options, inside), CLI_NEED},
    {"--units", "m|ft", "units of these lengths, and of the answer; m if not given",
     offsetof(cli_options, units), CLI_NEED},
    {"--decisions", "N", "decisions, in a day for example", offsetof(cli_options, decisions),
     CLI_NEED},
    {"--wrong", "K", "how many of them may be wrong", offsetof(cli_options, wrong), CLI_NEED},
    {"--counts", "A:B", "numbers of anchors, as A:B or A:B:STEP; up to 12 if not given",
     offsetof(cli_options, counts), CLI_SWEEP},
    {"--heights", "A:B", "mounting heights instead, as A:B or A:B:STEP, in the scenario's units",
     offsetof(cli_options, heights), CLI_SWEEP},
    {"--group", "NAMES", "the anchors that are moved, with commas between; all if not given",
     offsetof(cli_options, group), CLI_SWEEP},
    {"--csv", "FILE", "write one row for each point and zone, as CSV", offsetof(cli_options, csv),
     CLI_SWEEP},
    {"--keep", "NAMES", "anchors that stay, with commas between", offsetof(cli_options, keep),
     CLI_PLACE},
    {"--sturdy", NULL, "meet every need with any one anchor lost as well",
     offsetof(cli_options, sturdy), CLI_PLACE},
    {"--afresh", NULL, "look for a cheaper layout though the scenario's is sufficient",
     offsetof(cli_options, afresh), CLI_PLACE},
    {"--needs", "P95,...",
     "price against accuracy: every zone's p95 at each of these in turn, in the scenario's units",
     offsetof(cli_options, needs), CLI_PLACE},
    {"--seed", "N", "names the random numbers, in place of the scenario's",
     offsetof(cli_options, seed), EVERY},
    {"--draws", "N", "draws of every cell, in place of the scenario's",
     offsetof(cli_options, draws), EVERY},
    {"--step", "L", "distance of the cells, in the scenario's units", offsetof(cli_options, step),
     EVERY},
    {"--threads", "N", "threads to use; the processors there are if not given",
     offsetof(cli_options, threads), EVERY},
    {"--json", NULL, "the result as one JSON document in place of the table",
     offsetof(cli_options, json), (EVERY & ~(unsigned)CLI_CHART) | CLI_LINKS | CLI_NEED},
    {"--out", "FILE", "write the result to a file; - is standard output",
     offsetof(cli_options, out), (EVERY & ~(unsigned)CLI_PLACE) | CLI_LINKS | CLI_NEED},
    {"--out", "FILE", "write the scenario with the layout in it to a file",
     offsetof(cli_options, out), CLI_PLACE},
    {"--quiet", NULL, "no progress, no warnings", offsetof(cli_options, quiet),
     EVERY | CLI_LINKS | CLI_NEED},
    {"--help", NULL, "this page", offsetof(cli_options, help), EVERY | CLI_LINKS | CLI_NEED},
};
#define N_OPTIONS (sizeof options_table / sizeof *options_table)

void cli_print_options(const cli_command *command, FILE *out)
{
    for (size_t i = 0; i < N_OPTIONS; i++) {
        const option *o = &options_table[i];
        char head[40];
        snprintf(head, sizeof head, "%s %s", o->name, o->argument ? o->argument : "");
        if (o->commands & command->mark)
            fprintf(out, "  %-20s %s\n", head, o->help);
    }
}

/* The option that a word names, with or without `=value` behind it. */
static const option *find_option(const char *word, size_t length, unsigned mark)
{
    for (size_t i = 0; i < N_OPTIONS; i++)
        if ((options_table[i].commands & mark) && strlen(options_table[i].name) == length &&
            strncmp(options_table[i].name, word, length) == 0)
            return &options_table[i];
    return NULL;
}

/* Takes one option and its value; returns how many words it used, 0 after a complaint. */
static int take_option(cli_options *options, const cli_command *command, int n, char *words[])
{
    const size_t length = strcspn(words[0], "=");
    const option *o = find_option(words[0], length, command->mark);
    const char *value = words[0][length] == '=' ? words[0] + length + 1 : NULL;
    if (o == NULL) {
        cli_complain("%s: unknown option '%s'; see 'anchorwise help %s'", command->name, words[0],
                     command->name);
        return 0;
    }
    char *place = (char *)options + o->offset;
    if (o->argument == NULL) {
        if (value != NULL)
            cli_complain("%s takes no value", o->name);
        *(bool *)place = true;
        return value == NULL;
    }
    const int used = value != NULL ? 1 : 2;
    if (value == NULL && n > 1)
        value = words[1];
    if (value == NULL || *value == '\0') {
        cli_complain("%s needs %s", o->name, o->argument);
        return 0;
    }
    if (o->offset == offsetof(cli_options, spots)) {
        if (options->n_spots == CLI_MOST_SPOTS) {
            cli_complain("%s: at most %d spots", o->name, CLI_MOST_SPOTS);
            return 0;
        }
        options->spots[options->n_spots++] = value;
        return used;
    }
    if (*(const char **)place != NULL) {
        cli_complain("%s is given twice", o->name);
        return 0;
    }
    *(const char **)place = value;
    return used;
}

bool cli_read_options(cli_options *options, const cli_command *command, int n, char *words[])
{
    bool only_files = false;
    for (int i = 0; i < n;) {
        if (!only_files && strcmp(words[i], "--") == 0) {
            only_files = true;
            i++;
        } else if (!only_files && words[i][0] == '-' && words[i][1] != '\0') {
            const int used = take_option(options, command, n - i, words + i);
            if (used == 0)
                return false;
            i += used;
        } else if (options->n_scenarios == command->most) {
            cli_complain("%s takes %s; '%s' is one too many", command->name,
                         command->most == 0   ? "no scenario"
                         : command->most == 1 ? "one scenario"
                                              : "at most 8 scenarios",
                         words[i]);
            return false;
        } else {
            options->scenarios[options->n_scenarios++] = words[i++];
        }
    }
    options->scenario = options->scenarios[0];
    if (options->n_scenarios < command->least && !options->help) {
        cli_complain("%s needs %s; see 'anchorwise help %s'", command->name,
                     command->least == 1 ? "a scenario" : "two scenarios", command->name);
        return false;
    }
    return true;
}
