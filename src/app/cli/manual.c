/* The manual page: the tables of commands and options as troff. */
#include "app/cli/cli.h"

#include <string.h>

#include "base/character.h"

/* What troff takes for something else, and how it is told that it is itself. */
static const char *escaped(uint32_t code)
{
    switch (code) {
    case '\\':
        return "\\e";
    case '-':
        return "\\-";
    case '\'':
        return "\\(aq";
    case '`':
        return "\\(ga";
    case '^':
        return "\\(ha";
    case '~':
        return "\\(ti";
    default:
        return NULL;
    }
}

/* A line that begins with a point is a request. */
static void add_words(aw_text *out, const char *words)
{
    const size_t length = strlen(words);
    bool begins = true;
    for (size_t at = 0; at < length;) {
        const aw_character c = aw_character_at(words, length, at);
        const char *instead = escaped(c.code);
        if (begins && c.code == '.')
            aw_text_add(out, "\\&");
        if (instead != NULL)
            aw_text_add(out, instead);
        else if (c.code >= 0x80)
            aw_text_format(out, "\\[u%04X]", (unsigned)c.code);
        else
            aw_text_add_bytes(out, words + at, c.width);
        begins = c.code == '\n';
        at += c.width;
    }
}

static void add_line(aw_text *out, const char *words)
{
    add_words(out, words);
    aw_text_add(out, "\n");
}

static void add_option(const cli_option *o, aw_text *out)
{
    const char *letter = cli_short_name(o->name);
    aw_text_add(out, ".TP\n\\fB");
    add_words(out, o->name);
    aw_text_add(out, "\\fR");
    if (letter != NULL) {
        aw_text_add(out, ", \\fB");
        add_words(out, letter);
        aw_text_add(out, "\\fR");
    }
    if (o->argument != NULL) {
        aw_text_add(out, " \\fI");
        add_words(out, o->argument);
        aw_text_add(out, "\\fR");
    }
    aw_text_add(out, "\n");
    add_line(out, o->help);
}

static void add_layers(aw_text *out)
{
    aw_text_add(out, ".PP\nLayers:\n");
    for (int i = 0; i < AW_LAYERS; i++) {
        const aw_layer_row *row = &aw_layer_rows[i];
        aw_text_add(out, ".TP\n\\fB");
        add_words(out, row->key);
        aw_text_add(out, "\\fR\n");
        add_words(out, row->name);
        aw_text_format(out, "%s%s\n", *row->unit ? ", " : "", row->unit);
    }
}

static void add_command(const cli_command *command, aw_text *out)
{
    aw_text_format(out, ".SS anchorwise %s [options]%s\n", command->name,
                   cli_scenarios_shown(command));
    aw_text_add(out, "\\fI");
    add_words(out, command->answers);
    aw_text_add(out, "\\fR\n.PP\n");
    add_line(out, command->about);
    for (size_t i = 0; i < cli_option_rows_n; i++)
        if (cli_option_rows[i].commands & command->mark)
            add_option(&cli_option_rows[i], out);
    if (command->mark == CLI_CHART)
        add_layers(out);
}

static void add_help(aw_text *out)
{
    aw_text_add(out, ".SS anchorwise help [COMMAND]\nPrints the commands, or the options of one. "
                     "Besides:\n");
    for (const cli_topic *t = cli_topics; t->name != NULL; t++) {
        aw_text_format(out, ".TP\n\\fBhelp %s\\fR\n", t->name);
        add_line(out, t->what);
    }
}

static void add_endings(aw_text *out)
{
    aw_text_add(out, ".SH EXIT STATUS\n");
    for (const cli_ending *e = cli_endings; e->when != NULL; e++) {
        aw_text_format(out, ".TP\n%d\n", e->status);
        add_line(out, e->when);
    }
}

void cli_manual(aw_text *out)
{
    aw_text_add(out, ".TH ANCHORWISE 1 \"\" \"anchorwise " AW_VERSION "\" \"User Commands\"\n"
                     ".SH NAME\n"
                     "anchorwise \\- anchor geometry and accuracy of ultra\\-wideband positioning\n"
                     ".SH SYNOPSIS\n"
                     "\\fBanchorwise\\fR \\fICOMMAND\\fR [options] \\fISCENARIO\\fR\n"
                     ".br\n"
                     "\\fBanchorwise help\\fR [\\fICOMMAND\\fR]\n"
                     ".SH DESCRIPTION\n");
    add_line(out, CLI_PURPOSE);
    add_line(out, "A scenario is a file, or - for standard input. Its format: anchorwise help "
                  "scenario.");
    aw_text_add(out, ".SH COMMANDS\n");
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        add_command(c, out);
    add_help(out);
    add_endings(out);
}
