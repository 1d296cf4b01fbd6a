/* The table of options: one row each, which commands take it, and where its text goes. */
#include "app/cli/cli.h"

#include <stddef.h>
#include <stdint.h>
#include <string.h>

/* Every command that takes a scenario. */
#define EVERY                                                                                      \
    (CLI_CHECK | CLI_ASSESS | CLI_CHART | CLI_COMPARE | CLI_EXPLAIN | CLI_OUTAGE | CLI_ZONES |     \
     CLI_PLACE | CLI_SWEEP | CLI_SENSITIVITY | CLI_FREEDOM | CLI_EXPORT | CLI_REPORT)
#define DRAWS                                                                                      \
    (CLI_CHART | CLI_COMPARE | CLI_EXPLAIN | CLI_SWEEP | CLI_SENSITIVITY | CLI_FREEDOM |           \
     CLI_IMPORT | CLI_OUTAGE)
#define COLOURED (CLI_ASSESS | CLI_COMPARE | CLI_OUTAGE | CLI_ZONES | CLI_PLACE | CLI_SENSITIVITY)

#define SWITCH CLI_SWITCH
#define TEXT   CLI_TEXT
#define INPUT  CLI_INPUT
#define OUTPUT CLI_OUTPUT

const cli_option cli_option_rows[] = {
    {"--hall", "LxWxH", "length, width and height of the hall, in --units: 72x38x9.5",
     offsetof(cli_options, hall), CLI_NEW, TEXT},
    {"--need", "P95", "error that 95 of 100 fixes may have, in --units; no need if not given",
     offsetof(cli_options, need), CLI_NEW, TEXT},
    {"--at", "X,Y", "the spot, in the scenario's units", offsetof(cli_options, at),
     CLI_EXPLAIN | CLI_LINKS, TEXT},
    {"--cells", "FILE", "write one row for each cell of the floor, as CSV",
     offsetof(cli_options, cells), CLI_ASSESS, OUTPUT},
    {"--tag", "NAME", "the tag that is used; the first one if not given",
     offsetof(cli_options, tag), CLI_ASSESS | CLI_CHART | CLI_EXPLAIN | CLI_LINKS, TEXT},
    {"--zone", "NAME", "all assumptions of this zone, and nothing of others",
     offsetof(cli_options, zone), CLI_SENSITIVITY, TEXT},
    {"--anchor", "NAME", "only this anchor; every one if not given", offsetof(cli_options, anchor),
     CLI_FREEDOM, TEXT},
    {"--reach", "L", "how far to look, in the scenario's units; 2 m (6.56 ft) if not given",
     offsetof(cli_options, reach), CLI_FREEDOM, TEXT},
    {"--together", NULL, "share out what the needs have left among all anchors at once",
     offsetof(cli_options, together), CLI_FREEDOM, SWITCH},
    {"--still", "NAMES", "with --together: anchors that keep their places, with commas between",
     offsetof(cli_options, still), CLI_FREEDOM, TEXT},
    {"--tile", "X0,Y0,X1,Y1",
     "only the cells with centres in this rectangle; only --cells is written",
     offsetof(cli_options, tile), CLI_ASSESS, TEXT},
    {"--chart", "FILE", "draw the difference over the floor too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_COMPARE, OUTPUT},
    {"--chart", "FILE", "draw the spot too, before and after the first remedy if there is one",
     offsetof(cli_options, chart), CLI_EXPLAIN, OUTPUT},
    {"--chart", "FILE", "draw the curves too, as SVG, PNG or PDF", offsetof(cli_options, chart),
     CLI_SWEEP, OUTPUT},
    {"--chart", "FILE", "draw a bar for each assumption too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_SENSITIVITY, OUTPUT},
    {"--chart", "FILE", "draw the regions for the installers too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_FREEDOM, OUTPUT},
    {"--chart", "FILE", "draw what each loss costs too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_OUTAGE, OUTPUT},
    {"--sheet", "A4|A3|A1|letter|tabloid", "size of the sheet; A3 if not given",
     offsetof(cli_options, sheet), DRAWS, TEXT},
    {"--sections", "IDS",
     "of a client's report only these, with commas between: zones, chart, spot, anchors, why, "
     "bill, confirm, basis, proof, care",
     offsetof(cli_options, sections), CLI_REPORT, TEXT},
    {"--against", "OTHER", "another layout of the same hall that it is compared with",
     offsetof(cli_options, against), CLI_REPORT, INPUT},
    {"--quick", NULL, "without freedom, sensitivity and sweeps", offsetof(cli_options, quick),
     CLI_REPORT, SWITCH},
    {"--cheapest", NULL, "look for the cheapest layout too, which takes minutes",
     offsetof(cli_options, cheapest), CLI_REPORT, SWITCH},
    {"--from", "TEXT", "letterhead: whose report it is", offsetof(cli_options, from), CLI_REPORT,
     TEXT},
    {"--image", "FILE", "letterhead: a PNG", offsetof(cli_options, image), CLI_REPORT, INPUT},
    {"--sheet", "A4|A3|letter|tabloid", "paper; A4 if not given, of the installers' sheet A3",
     offsetof(cli_options, sheet), CLI_REPORT, TEXT},
    {"--portrait", NULL, "the sheet upright; landscape if not given",
     offsetof(cli_options, portrait), DRAWS, SWITCH},
    {"--width", "PIXELS", "width of a PNG; 1600 if not given", offsetof(cli_options, width), DRAWS,
     TEXT},
    {"--layer", "KEY", "the quantity to draw, from the list below; p95_m if not given",
     offsetof(cli_options, layer), CLI_CHART, TEXT},
    {"--spot", "X,Y", "draw the bearings of a spot; may be repeated", offsetof(cli_options, spots),
     CLI_CHART, TEXT},
    {"--relative", NULL, "tint zones by shares of what they need, not by fixed classes",
     offsetof(cli_options, relative), CLI_CHART, SWITCH},
    {"--grey", NULL, "without colour, for black-and-white printing", offsetof(cli_options, grey),
     DRAWS, SWITCH},
    {"--date", "TEXT", "the date in the title block", offsetof(cli_options, date),
     DRAWS | CLI_REPORT, TEXT},
    {"--revision", "TEXT", "the revision in the title block", offsetof(cli_options, revision),
     DRAWS | CLI_REPORT, TEXT},
    {"--client", "TEXT", "the client in the title block", offsetof(cli_options, client),
     DRAWS | CLI_REPORT, TEXT},
    {"--site", "TEXT", "the site in the title block", offsetof(cli_options, site), DRAWS, TEXT},
    {"--number", "TEXT", "the number of the drawing", offsetof(cli_options, number), DRAWS, TEXT},
    {"--author", "TEXT", "the author in the title block", offsetof(cli_options, author),
     DRAWS | CLI_REPORT, TEXT},
    {"--width", "W", "width of each bay or aisle, in --units", offsetof(cli_options, width),
     CLI_NEED, TEXT},
    {"--inside", "D", "least distance of a tag from the border; half the width if not given",
     offsetof(cli_options, inside), CLI_NEED, TEXT},
    {"--units", "m|ft", "units of these lengths, and of the answer; m if not given",
     offsetof(cli_options, units), CLI_NEED | CLI_NEW, TEXT},
    {"--units", "m|ft", "units of the report; those of the scenario if not given",
     offsetof(cli_options, units), CLI_REPORT, TEXT},
    {"--decisions", "N", "decisions, in a day for example", offsetof(cli_options, decisions),
     CLI_NEED, TEXT},
    {"--wrong", "K", "how many of them may be wrong", offsetof(cli_options, wrong), CLI_NEED, TEXT},
    {"--counts", "A:B", "numbers of anchors, as A:B or A:B:STEP; up to 12 if not given",
     offsetof(cli_options, counts), CLI_SWEEP, TEXT},
    {"--heights", "A:B", "mounting heights instead, as A:B or A:B:STEP, in the scenario's units",
     offsetof(cli_options, heights), CLI_SWEEP, TEXT},
    {"--group", "NAMES", "the anchors that are moved, with commas between; all if not given",
     offsetof(cli_options, group), CLI_SWEEP, TEXT},
    {"--csv", "FILE", "write one row for each point and zone, as CSV", offsetof(cli_options, csv),
     CLI_SWEEP, OUTPUT},
    {"--csv", "FILE", "of the installers' sheet: write one row for each anchor, as CSV",
     offsetof(cli_options, csv), CLI_REPORT, OUTPUT},
    {"--out-each", "DIR", "write the scenario of each point into this folder",
     offsetof(cli_options, out_each), CLI_SWEEP, TEXT},
    {"--keep", "NAMES", "anchors that stay, with commas between", offsetof(cli_options, keep),
     CLI_PLACE, TEXT},
    {"--sturdy", NULL, "meet every need with any one anchor lost as well",
     offsetof(cli_options, sturdy), CLI_PLACE, SWITCH},
    {"--sturdy", NULL, "end with status 1 also if a need is not met with any one anchor lost",
     offsetof(cli_options, sturdy), CLI_OUTAGE, SWITCH},
    {"--afresh", NULL, "look for a cheaper layout though the scenario's is sufficient",
     offsetof(cli_options, afresh), CLI_PLACE, SWITCH},
    {"--even-so", NULL,
     "write --out though the layout is not found sufficient, with what falls short",
     offsetof(cli_options, even_so), CLI_PLACE, SWITCH},
    {"--needs", "P95,...",
     "price against accuracy: every zone's p95 at each of these in turn, in the scenario's units",
     offsetof(cli_options, needs), CLI_PLACE, TEXT},
    {"--rules", "FILE", "roles of layers and blocks, as YAML; see docs/drawings.md",
     offsetof(cli_options, rules), CLI_IMPORT, INPUT},
    {"--layer", "NAME=ROLE",
     "a layer's role, as \"A-WALL*=wall: {material: brick}\"; may be repeated",
     offsetof(cli_options, layers), CLI_IMPORT, TEXT},
    {"--guess", NULL, "roles by the names of layers; prints the rules, to be edited",
     offsetof(cli_options, guess), CLI_IMPORT, SWITCH},
    {"--unit", "mm|cm|m|in|ft", "unit of the plan, whatever its header says",
     offsetof(cli_options, unit), CLI_IMPORT, TEXT},
    {"--turn", "DEG|auto|none", "turn the plan back by so many degrees, or onto its longest walls",
     offsetof(cli_options, turn), CLI_IMPORT, TEXT},
    {"--into", "FILE", "a scenario whose lists are replaced; all else of it, comments too, stays",
     offsetof(cli_options, into), CLI_IMPORT, INPUT},
    {"--chart", "FILE", "draw plan and scenario over each other too, as SVG, PNG or PDF",
     offsetof(cli_options, chart), CLI_IMPORT, OUTPUT},
    {"--no-contours", NULL, "without contours of p95, for which every cell is drawn",
     offsetof(cli_options, no_contours), CLI_EXPORT, SWITCH},
    {"--out", "FILE", "the drawing or table: FILE.dxf, FILE.geojson or FILE.csv",
     offsetof(cli_options, out), CLI_EXPORT, OUTPUT},
    {"--out", "FILE",
     "the report: FILE.html or FILE.pdf; of the installers' sheet FILE.pdf or "
     "FILE.svg",
     offsetof(cli_options, out), CLI_REPORT, OUTPUT},
    {"--out", "FILE", "write the scenario that the plan makes", offsetof(cli_options, out),
     CLI_IMPORT, OUTPUT},
    {"--open", NULL, "open the page in a browser", offsetof(cli_options, open), CLI_PLAN, SWITCH},
    {"--port", "N", "the page's port; any that is free if not given", offsetof(cli_options, port),
     CLI_PLAN, TEXT},
    {"--seed", "N", "names the random numbers, in place of the scenario's",
     offsetof(cli_options, seed), EVERY, TEXT},
    {"--set", "PATH=VALUE", "change the scenario, as obstacles.crane.base=1.6; may be repeated",
     offsetof(cli_options, sets), EVERY | CLI_LINKS, TEXT},
    {"--draws", "N", "draws of every cell, in place of the scenario's",
     offsetof(cli_options, draws), EVERY, TEXT},
    {"--precision", "P", "draw each zone until the interval of its p95 is this share of it wide",
     offsetof(cli_options, precision), EVERY, TEXT},
    {"--chance", "C",
     "of 1, how many sites are to meet what needs ask of errors (0.8 if not given)",
     offsetof(cli_options, chance), EVERY, TEXT},
    {"--margin", "FACTOR", "instead of a chance: errors times this are to meet what needs ask",
     offsetof(cli_options, margin), EVERY, TEXT},
    {"--step", "L", "distance of the cells, in the scenario's units", offsetof(cli_options, step),
     EVERY, TEXT},
    {"--threads", "N", "threads to use; the processors there are if not given",
     offsetof(cli_options, threads), EVERY | CLI_PLAN, TEXT},
    {"--json", NULL, "the result as one JSON document in place of the table",
     offsetof(cli_options, json),
     (EVERY & ~(unsigned)(CLI_CHART | CLI_EXPORT)) | CLI_LINKS | CLI_NEED | CLI_IMPORT, SWITCH},
    {"--out", "FILE", "write the result to a file; - is standard output",
     offsetof(cli_options, out),
     (EVERY & ~(unsigned)(CLI_PLACE | CLI_EXPORT | CLI_REPORT)) | CLI_LINKS | CLI_NEED | CLI_NEW,
     OUTPUT},
    {"--out", "FILE", "write the scenario with the layout in it, if that is found sufficient",
     offsetof(cli_options, out), CLI_PLACE, OUTPUT},
    {"--color", "WHEN",
     "colour of verdicts: auto (on a terminal, without NO_COLOR), always or never",
     offsetof(cli_options, colour), COLOURED, TEXT},
    {"--quiet", NULL, "no progress bar, no warnings", offsetof(cli_options, quiet),
     EVERY | CLI_LINKS | CLI_NEED | CLI_NEW | CLI_IMPORT | CLI_PLAN, SWITCH},
    {"--progress", NULL, "one line a stage on standard error, with --quiet too",
     offsetof(cli_options, progress), EVERY | CLI_LINKS | CLI_IMPORT, SWITCH},
    {"--version", NULL, "the version of this program", offsetof(cli_options, version),
     EVERY | CLI_LINKS | CLI_NEED | CLI_NEW | CLI_IMPORT | CLI_PLAN, SWITCH},
    {"--help", NULL, "this page", offsetof(cli_options, help),
     EVERY | CLI_LINKS | CLI_NEED | CLI_NEW | CLI_IMPORT | CLI_PLAN, SWITCH},
};
#define N_OPTIONS (sizeof cli_option_rows / sizeof *cli_option_rows)
const size_t cli_option_rows_n = N_OPTIONS;

/* What people try. */
static const char *const short_names[][2] = {
    {"-h", "--help"}, {"-q", "--quiet"}, {"-V", "--version"}};
#define N_SHORT (sizeof short_names / sizeof *short_names)

const char *cli_long_name(const char *word)
{
    for (size_t i = 0; i < N_SHORT; i++)
        if (strcmp(word, short_names[i][0]) == 0)
            return short_names[i][1];
    return word;
}

const char *cli_short_name(const char *name)
{
    for (size_t i = 0; i < N_SHORT; i++)
        if (strcmp(name, short_names[i][1]) == 0)
            return short_names[i][0];
    return NULL;
}

void cli_print_options(const cli_command *command, FILE *out)
{
    for (size_t i = 0; i < N_OPTIONS; i++) {
        const cli_option *o = &cli_option_rows[i];
        char head[40];
        const char *letter = cli_short_name(o->name);
        snprintf(head, sizeof head, "%s%s%s", o->name,
                 letter != NULL ? ", "
                 : o->argument  ? " "
                                : "",
                 letter != NULL ? letter
                 : o->argument  ? o->argument
                                : "");
        if (o->commands & command->mark)
            fprintf(out, "  %-20s %s\n", head, o->help);
    }
}

/* Where a command's result goes if nothing is said. */
static bool goes_to_standard_output(const cli_options *options, const cli_command *command)
{
    return options->out == NULL || command->mark == CLI_PLACE || command->mark == CLI_IMPORT;
}

size_t cli_list_files(const cli_options *options, const cli_command *command,
                      cli_file files[CLI_MOST_FILES])
{
    static const cli_argument order[] = {INPUT, OUTPUT};
    bool printed = false;
    size_t n = 0;
    for (size_t k = 0; k < options->n_scenarios; k++)
        files[n++] = (cli_file){NULL, options->paths[k], false};
    for (size_t k = 0; k < sizeof order / sizeof *order; k++)
        for (size_t i = 0; i < N_OPTIONS && n + 1 < CLI_MOST_FILES; i++) {
            const cli_option *o = &cli_option_rows[i];
            const char *const *path =
                (const char *const *)(const void *)((const char *)options + o->offset);
            if (o->kind != order[k] || !(o->commands & command->mark) || *path == NULL)
                continue;
            files[n++] = (cli_file){o->name, *path, o->kind == OUTPUT};
            printed = printed || (o->kind == OUTPUT && strcmp(*path, "-") == 0);
        }
    if (!printed && goes_to_standard_output(options, command))
        files[n++] = (cli_file){NULL, "-", true};
    return n;
}

/* The option that a word names, with or without `=value` behind it. */
static const cli_option *find_option(const char *word, size_t length, unsigned mark)
{
    for (size_t i = 0; i < N_OPTIONS; i++)
        if ((cli_option_rows[i].commands & mark) && strlen(cli_option_rows[i].name) == length &&
            strncmp(cli_option_rows[i].name, word, length) == 0)
            return &cli_option_rows[i];
    return NULL;
}

static void complain_of_option(const cli_command *command, const char *word, size_t length)
{
    const char *known[N_OPTIONS];
    char written[64], what[64], otherwise[64];
    size_t n = 0;
    for (size_t i = 0; i < N_OPTIONS; i++)
        if (cli_option_rows[i].commands & command->mark)
            known[n++] = cli_option_rows[i].name;
    snprintf(written, sizeof written, "%.*s", (int)length, word);
    snprintf(what, sizeof what, "%s: unknown option", command->name);
    snprintf(otherwise, sizeof otherwise, "see 'anchorwise help %s'", command->name);
    cli_complain_of_unknown(what, written, known, n, otherwise);
}

/* Adds the text of an option that may be repeated. */
static bool add_repeated(const cli_option *o, const char *value, const char *list[], size_t *n,
                         size_t most)
{
    if (*n == most) {
        cli_complain("%s: at most %zu of them", o->name, most);
        return false;
    }
    list[(*n)++] = value;
    return true;
}

static bool is_change(const char *text)
{
    if (aw_change_value(text) != NULL)
        return true;
    cli_complain("--set: '%s' is not PATH=VALUE, as in obstacles.crane.base=1.6", text);
    return false;
}

static bool is_when(const char *text)
{
    if (strcmp(text, "auto") == 0 || strcmp(text, "always") == 0 || strcmp(text, "never") == 0)
        return true;
    cli_complain("--color: '%s' is not auto, always or never", text);
    return false;
}

/* Takes one option and its value; returns how many words it used, 0 after a complaint. */
static int take_option(cli_options *options, const cli_command *command, int n, char *words[])
{
    const char *word = cli_long_name(words[0]);
    const size_t length = strcspn(word, "=");
    const cli_option *o = find_option(word, length, command->mark);
    const char *value = word[length] == '=' ? word + length + 1 : NULL;
    if (o == NULL) {
        complain_of_option(command, words[0], length);
        return 0;
    }
    char *place = (char *)options + o->offset;
    if (o->kind == SWITCH) {
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
    if (o->kind == TEXT && !cli_check_text(o->name, value, SIZE_MAX))
        return 0;
    if (o->offset == offsetof(cli_options, spots))
        return add_repeated(o, value, options->spots, &options->n_spots, CLI_MOST_SPOTS) ? used : 0;
    if (o->offset == offsetof(cli_options, sets))
        return is_change(value) &&
                       add_repeated(o, value, options->sets, &options->n_sets, CLI_MOST_SETS)
                   ? used
                   : 0;
    if (o->offset == offsetof(cli_options, layers))
        return add_repeated(o, value, options->layers, &options->n_layers, CLI_MOST_LAYERS) ? used
                                                                                            : 0;
    if (*(const char **)place != NULL) {
        cli_complain("%s is given twice", o->name);
        return 0;
    }
    if (o->offset == offsetof(cli_options, colour) && !is_when(value))
        return 0;
    *(const char **)place = value;
    return used;
}

static bool add_scenario(cli_options *options, const char *path)
{
    const bool streamed = strcmp(path, "-") == 0;
    for (size_t k = 0; streamed && k < options->n_scenarios; k++)
        if (strcmp(options->paths[k], path) == 0) {
            cli_complain("standard input can be read only once; '-' is given twice");
            return false;
        }
    options->paths[options->n_scenarios] = path;
    options->scenarios[options->n_scenarios++] = streamed ? "standard input" : path;
    return true;
}

/* The first word of `report`; false after a complaint. */
static bool take_kind(cli_options *options, const char *word)
{
    size_t n = 0;
    for (; cli_report_kinds[n] != NULL; n++)
        if (strcmp(cli_report_kinds[n], word) == 0) {
            options->kind = cli_report_kinds[n];
            return true;
        }
    cli_complain_of_unknown("report: unknown kind", word, cli_report_kinds, n,
                            "known are client, installers, visit");
    return false;
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
        } else if (command->mark == CLI_REPORT && options->kind == NULL) {
            if (!take_kind(options, words[i++]))
                return false;
        } else if (options->n_scenarios == command->most) {
            cli_complain("%s takes %s; '%s' is one too many", command->name,
                         command->most == 0            ? "no scenario"
                         : command->mark == CLI_IMPORT ? "one plan"
                         : command->most == 1          ? "one scenario"
                                                       : "at most 8 scenarios",
                         words[i]);
            return false;
        } else if (!add_scenario(options, words[i++])) {
            return false;
        }
    }
    options->scenario = options->scenarios[0];
    if (options->n_scenarios < command->least && !options->help && !options->version) {
        cli_complain("%s needs %s; see 'anchorwise help %s'", command->name,
                     command->mark == CLI_IMPORT ? "a plan"
                     : command->least == 1       ? "a scenario"
                                                 : "two scenarios",
                     command->name);
        return false;
    }
    return true;
}
