/* Completion for bash: a function that knows the tables of commands and options. */
#include "app/cli/cli.h"

#include <string.h>

/* Around the commands' own part. In a word such as --out=f the shell sees three. */
static const char beginning[] =
    "# Completion of anchorwise for bash: commands, options and files.\n"
    "_anchorwise()\n"
    "{\n"
    "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]}\n"
    "    local words= files=\n"
    "    COMPREPLY=()\n"
    "    [ \"$before\" != = ] || before=${COMP_WORDS[COMP_CWORD - 2]}\n"
    "    [ \"$word\" != = ] || word=\n"
    "    case $((COMP_CWORD > 1)):${COMP_WORDS[1]}:$before in\n";
static const char end[] =
    "    esac\n"
    "    case $files:$word in\n"
    "    scenario:-*) ;;\n"
    "    scenario:*)\n"
    "        words=\n"
    "        mapfile -t COMPREPLY < <(compgen -d -- \"$word\"\n"
    "            compgen -f -X '!*.yaml' -- \"$word\"; compgen -f -X '!*.yml' -- \"$word\")\n"
    "        ;;\n"
    "    any:*) mapfile -t COMPREPLY < <(compgen -f -- \"$word\") ;;\n"
    "    esac\n"
    "    [ -z \"$files\" ] || compopt -o filenames 2> /dev/null\n"
    "    [ -z \"$words\" ] || mapfile -t -O ${#COMPREPLY[@]} COMPREPLY < <(compgen -W \"$words\" "
    "-- "
    "\"$word\")\n"
    "}\n"
    "complete -F _anchorwise anchorwise\n";

/* The words to choose from behind an option, apart by blanks; nothing where they are not known. */
static void add_choices(const cli_option *o, aw_text *out)
{
    if (strcmp(o->name, "--layer") == 0) {
        for (int i = 0; i < AW_LAYERS; i++)
            aw_text_format(out, "%s%s", i > 0 ? " " : "", aw_layer_rows[i].key);
        return;
    }
    if (strchr(o->argument, '|') == NULL)
        return;
    for (const char *c = o->argument; *c != '\0'; c++)
        aw_text_add_bytes(out, *c == '|' ? " " : c, 1);
}

/* What goes behind each of its options, and then what goes anywhere else. */
static void add_command(const cli_command *command, aw_text *out)
{
    for (size_t i = 0; i < cli_option_rows_n; i++) {
        const cli_option *o = &cli_option_rows[i];
        if (!(o->commands & command->mark) || o->kind == CLI_SWITCH)
            continue;
        aw_text_format(out, "    1:%s:%s) ", command->name, o->name);
        if (o->kind == CLI_TEXT) {
            aw_text_add(out, "words='");
            add_choices(o, out);
            aw_text_add(out, "' ;;\n");
        } else {
            aw_text_add(out, "files=any ;;\n");
        }
    }
    aw_text_format(out, "    1:%s:*) %swords='", command->name,
                   command->most > 0 ? "files=scenario " : "");
    for (size_t i = 0, n = 0; i < cli_option_rows_n; i++)
        if (cli_option_rows[i].commands & command->mark)
            aw_text_format(out, "%s%s", n++ > 0 ? " " : "", cli_option_rows[i].name);
    aw_text_add(out, "' ;;\n");
}

void cli_completion(aw_text *out)
{
    aw_text names = {0};
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        aw_text_format(&names, "%s ", c->name);
    aw_text_add(out, beginning);
    for (const cli_command *c = cli_commands; c->name != NULL; c++)
        add_command(c, out);
    aw_text_format(out, "    1:help:help) words='%s", names.failed ? "" : names.at);
    for (const cli_topic *t = cli_topics; t->name != NULL; t++)
        aw_text_format(out, "%s ", t->name);
    aw_text_format(out, "' ;;\n    0:*) words='%shelp --help --version' ;;\n",
                   names.failed ? "" : names.at);
    aw_text_add(out, end);
    out->failed = out->failed || names.failed;
    aw_text_free(&names);
}
