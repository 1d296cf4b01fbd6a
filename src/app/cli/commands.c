/* The table of commands, and help printed from it. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>

const cli_command cli_commands[] = {
    {"new", "a first scenario of a hall, from its dimensions alone; needs no scenario",
     "Prints a commented scenario of a rectangular hall that can be assessed as it is: anchors "
     "along\n"
     "the walls (in a wide hall inside too), a kind of tag, a zone with the accuracy that is "
     "asked\n"
     "for, measured errors, and where to put the rest. The layout is a first guess: assess it, "
     "and\n"
     "improve it with 'place'.",
     CLI_NEW, 0, 0, cli_new},
    {"check", "is this scenario sound, and what does it describe",
     "Reads a scenario, prints every mistake and warning with its line and column, and lists what\n"
     "it describes: floor, anchors, obstacles, tags, zones.",
     CLI_CHECK, 1, 1, cli_check},
    {"assess", "how large is the error across the floor; is each zone's need met",
     "Draws fixes in every cell of the floor and prints the error of floor and zones, with each\n"
     "zone's verdict. Ends with status 1 if a need is not met or undecided.",
     CLI_ASSESS, 1, 1, cli_assess},
    {"chart", "the accuracy chart, as SVG, PNG or PDF",
     "Draws one quantity over the floor at a true scale, as a chart: figures, contours, shoals "
     "where\n"
     "a need is missed, land, anchors. --out FILE.svg, FILE.png or FILE.pdf says which kind.",
     CLI_CHART, 1, 1, cli_chart},
    {"compare", "which of two or more layouts is better, where, and is the difference real",
     "Draws layouts of one floor with the same random numbers and compares the first with each of\n"
     "the others: p95 of floor and zones with the interval of its difference, and cells. Ends "
     "with\n"
     "status 1 if the last layout does not meet a need, or leaves it undecided.",
     CLI_COMPARE, 2, CLI_MOST_SCENARIOS, cli_compare},
    {"explain", "why is this spot good or poor, and what would mend it",
     "Tells for --at X,Y which anchors serve the spot and which are lost to what, which way the\n"
     "error lies, what each cause adds to it, and what one anchor more, moved, raised or lowered\n"
     "would bring, here and to every zone.",
     CLI_EXPLAIN, 1, 1, cli_explain},
    {"links", "what does each anchor measure at this spot, by which path",
     "Lays open for --at X,Y or X,Y,Z every anchor's link: range, elevation, what it crosses and\n"
     "loses, how late it is timed, each part of its error, and its weight in the fix.",
     CLI_LINKS, 1, 1, cli_links},
    {"outage", "what does each anchor's loss cost",
     "Takes every anchor away in turn, and every pair: what each is worth, which zones then fall\n"
     "short, which anchors could go, and whether every need is met with any one anchor lost. Ends\n"
     "with status 1 if a need is not met or undecided with all anchors; --sturdy: with any lost.",
     CLI_OUTAGE, 1, 1, cli_outage},
    {"place", "where to put the fewest anchors that meet every need",
     "Looks for the cheapest layout of the scenario's candidates that meets every need, draws it,\n"
     "confirms it by an independent simulation, and states a lower bound. With\n"
     "prices the cheapest, else the fewest anchors. Anchors that are not kept are dropped. A "
     "layout\n"
     "that is sufficient is left alone. --out writes a new scenario if the layout\n"
     "is found sufficient; the old one stays. Ends with status 1 if none was found.",
     CLI_PLACE, 1, 1, cli_place},
    {"sweep", "error against the number of anchors and the mounting height",
     "Draws the best layout found of each number of anchors, or the scenario's own with all "
     "anchors\n"
     "or a group of them at each height in turn, and says where a curve has its knee or is flat.",
     CLI_SWEEP, 1, 1, cli_sweep},
    {"sensitivity", "which assumptions matter most; what tolerances the installation needs",
     "Sets each assumption to both ends of its range, by itself and all together: what each moves "
     "p95\n"
     "and odds of every zone by. The other way round, the largest survey, delay, height and clock\n"
     "errors with which every need is still met. Ranges: 'assumptions' of the scenario.",
     CLI_SENSITIVITY, 1, 1, cli_sensitivity},
    {"freedom", "how far may each anchor hang from its place while no need fails",
     "Moves each anchor by itself, over the plan at its height and up and down at its place, and "
     "prints\n"
     "how far it may go on every side and which need ends that; with --together also how far "
     "all\n"
     "may be off at once. --chart draws it for the installers.",
     CLI_FREEDOM, 1, 1, cli_freedom},
    {"zones", "in which zone is a tag reported, and how far from a border is that sure",
     "Draws fixes of tags spread evenly over each zone and counts where they are reported, then\n"
     "walks each zone's border for its setback: how far inside a tag must be so that 99 % of its\n"
     "blinks are reported inside, and how far outside so that at most 1 % are. Ends with status 1 "
     "if\n"
     "a zone's need, which is drawn as by assess, is not met or undecided.",
     CLI_ZONES, 1, 1, cli_zones},
    {"import", "what does a client's plan hold, and the scenario that it makes",
     "Reads a drawing (text DXF by way of ogr2ogr, which Debian has in gdal-bin; or GeoJSON) and "
     "lists\n"
     "its layers, its unit with what speaks for it, and the role that each layer's name suggests.\n"
     "With roles, from --rules, --layer or --guess, it makes walls of double lines, obstacles, "
     "zones,\n"
     "anchors and the outline, tells what it left out, and --out writes the scenario.",
     CLI_IMPORT, 1, 1, cli_import},
    {"export", "the site as a drawing for the client, or as a table",
     "Writes outline, walls, obstacles, zones, candidates, anchors, cable runs and contours of p95 "
     "as\n"
     "DXF (R12) or GeoJSON, in the coordinates and the unit of the plan that the scenario was made "
     "of,\n"
     "each on a layer of its own; or anchors and bill as CSV. --out FILE.dxf, FILE.geojson or "
     "FILE.csv\n"
     "says which.",
     CLI_EXPORT, 1, 1, cli_export},
    {"report", "one file for the client, a sheet for the installers, a list for the site visit",
     "client: what was asked and what is reached, with chart, weakest spot, anchors, prices and\n"
     "cautions, as one self-contained page (HTML) or a PDF. installers: where the anchors hang, "
     "with\n"
     "dimensions, as sheets (PDF or SVG) and CSV. visit: what to measure, photograph and ask "
     "before "
     "a\n"
     "bid is signed, what moves the result most first.",
     CLI_REPORT, 1, 1, cli_write_report},
    {"plan", "the scenario as a page in the browser: drag an anchor, and the hall answers",
     "Serves a page on this machine alone and prints its address, which only who reads it can "
     "use.\n"
     "What is changed there stands in the file when it is saved. A file that is not there yet "
     "begins\n"
     "empty. Until Ctrl-C; steps that are not saved are kept for the next time.",
     CLI_PLAN, 1, 1, cli_plan},
    {"need", "what accuracy does a zone decision take; needs no scenario",
     "From the width of a bay or aisle, how far inside it tags are, and how many of so many\n"
     "decisions may be wrong, to the error that allows, and whether systems reach it.",
     CLI_NEED, 0, 0, cli_need},
    {0},
};

const cli_command *cli_find_command(const char *name)
{
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        if (strcmp(c->name, name) == 0)
            return c;
    return NULL;
}

int cli_complain_of_command(const char *name)
{
    const char *known[sizeof cli_commands / sizeof *cli_commands] = {"help"};
    size_t n = 1;
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        known[n++] = c->name;
    return cli_complain_of_unknown("unknown command", name, known, n, "see 'anchorwise help'");
}

static void print_layers(FILE *out)
{
    fputs("\nLayers:\n", out);
    for (int i = 0; i < AW_LAYERS; i++) {
        const aw_layer_row *row = &aw_layer_rows[i];
        fprintf(out, "  %-20s %s%s%s\n", row->key, row->name, *row->unit ? ", " : "", row->unit);
    }
}

const char *cli_scenarios_shown(const cli_command *command)
{
    return command->mark == CLI_IMPORT   ? " PLAN"
           : command->mark == CLI_REPORT ? " client|installers|visit SCENARIO"
           : command->most > 1           ? " SCENARIO SCENARIO ..."
           : command->most == 1          ? " SCENARIO"
                                         : "";
}

void cli_help_command(const cli_command *command, FILE *out)
{
    fprintf(out, "anchorwise %s [options]%s\n\n%s\n%s\nOptions:\n", command->name,
            cli_scenarios_shown(command), command->about,
            command->mark == CLI_IMPORT ? "A plan is a file, or - for standard input.\n"
            : command->most > 0         ? "A scenario is a file, or - for standard input.\n"
                                        : "");
    cli_print_options(command, out);
    if (command->mark == CLI_CHART)
        print_layers(out);
}

void cli_print_version(FILE *out)
{
    fprintf(out, "anchorwise %s\n", AW_VERSION);
}

const cli_ending cli_endings[] = {
    {STATUS_DONE, "done"},
    {STATUS_NOT_MET,
     "a need is not met or undecided: assess, place, zones; outage with all anchors,\n"
     "with --sturdy also with any one lost; compare by its last layout"},
    {STATUS_WRONG, "the command line or a file is wrong"},
    {STATUS_FAILED, "a result could not be made or written"},
    {STATUS_STOPPED, "stopped by Ctrl-C"},
    {0},
};

static void add_reference(aw_text *out)
{
    char *bytes = NULL;
    size_t length = 0;
    FILE *page = open_memstream(&bytes, &length);
    if (page != NULL)
        aw_scenario_reference_write(page);
    if (page != NULL && fclose(page) == 0)
        aw_text_add_bytes(out, bytes, length);
    else
        out->failed = true;
    free(bytes);
}

const cli_topic cli_topics[] = {
    {"scenario", "the format of a scenario", add_reference},
    {"schema", "the same as a JSON Schema, for editors", aw_scenario_schema},
    {"output", "what --json prints, key by key", aw_output_reference},
    {"output-schema", "the same as a JSON Schema", aw_output_schema},
    {"starts", "what errors to assume, and how cautious each is", aw_starts_reference},
    {"man", "a manual page", cli_manual},
    {"bash", "completion for bash", cli_completion},
    {0},
};

/* Prints text whose later lines begin `indent` columns from the left. */
static void print_indented(const char *text, int indent, FILE *out)
{
    for (const char *c = text; *c != '\0'; c++) {
        fputc(*c, out);
        if (*c == '\n')
            fprintf(out, "%*s", indent, "");
    }
    fputc('\n', out);
}

static void print_commands(FILE *out)
{
    int name = 0, topic = 0;
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        name = (int)strlen(c->name) > name ? (int)strlen(c->name) : name;
    for (const cli_topic *t = cli_topics; t->name != NULL; t++)
        topic = (int)strlen(t->name) > topic ? (int)strlen(t->name) : topic;
    fputs("anchorwise COMMAND [options] SCENARIO\n\n" CLI_PURPOSE "\n\n", out);
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        fprintf(out, "  %-*s  %s\n", name, c->name, c->answers);
    fprintf(out, "  %-*s  this page; 'help COMMAND' for one command, and\n", name, "help");
    for (const cli_topic *t = cli_topics; t->name != NULL; t++)
        fprintf(out, "  %-*s  'help %s'%*s  %s\n", name, "", t->name, topic - (int)strlen(t->name),
                "", t->what);
    fputs("\nExit status:\n", out);
    for (const cli_ending *e = cli_endings; e->when != NULL; e++) {
        fprintf(out, "  %-4d ", e->status);
        print_indented(e->when, 7, out);
    }
}

static int print_topic(const cli_topic *topic)
{
    aw_text text = {0};
    topic->add(&text);
    const int status = cli_write(&text, NULL);
    aw_text_free(&text);
    return status;
}

int cli_help(int n, char *words[], FILE *out)
{
    if (n == 0) {
        print_commands(out);
        return STATUS_DONE;
    }
    const char *word = cli_long_name(words[0]);
    if (n > 1)
        return cli_complain("help takes one command");
    if (strcmp(word, "help") == 0 || strcmp(word, "--help") == 0) {
        print_commands(out);
        return STATUS_DONE;
    }
    if (strcmp(word, "--version") == 0) {
        cli_print_version(out);
        return STATUS_DONE;
    }
    for (const cli_topic *t = cli_topics; t->name != NULL; t++)
        if (strcmp(words[0], t->name) == 0)
            return print_topic(t);
    const cli_command *command = cli_find_command(words[0]);
    if (command == NULL)
        return cli_complain_of_command(words[0]);
    cli_help_command(command, out);
    return STATUS_DONE;
}
