/* No output may be an input, whose text would be lost, nor another output. Names do not tell: a
 * file is known by device and inode, one that is not there yet by its folder's and its name. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/links.h"

/* What two paths of one file have in common. */
typedef struct place {
    bool known; /* false: a device or a pipe, or where nothing can be */
    dev_t device;
    ino_t number; /* of the file, or of the folder that it would be in */
    char *name;   /* in the folder; NULL: the file is there */
} place;

/* The folder of a path and the name in it. */
static place find_future(const char *path)
{
    struct stat folder;
    place p = {0};
    char *target = aw_links_follow(path);
    char *slash = target != NULL ? strrchr(target, '/') : NULL;
    p.name = target != NULL ? strdup(slash != NULL ? slash + 1 : target) : NULL;
    if (slash != NULL)
        slash[1] = '\0';
    p.known = p.name != NULL && stat(slash != NULL ? target : ".", &folder) == 0;
    if (p.known) {
        p.device = folder.st_dev;
        p.number = folder.st_ino;
    }
    free(target);
    return p;
}

static place find_place(const cli_file *file)
{
    struct stat known;
    const bool stream = strcmp(file->path, "-") == 0;
    if (stream ? fstat(file->is_output ? STDOUT_FILENO : STDIN_FILENO, &known) != 0
               : stat(file->path, &known) != 0)
        return stream ? (place){0} : find_future(file->path);
    return (place){S_ISREG(known.st_mode), known.st_dev, known.st_ino, NULL};
}

static bool is_one(const place *a, const place *b)
{
    if (!a->known || !b->known || a->device != b->device || a->number != b->number)
        return false;
    return a->name == NULL || b->name == NULL ? a->name == b->name : strcmp(a->name, b->name) == 0;
}

static void name_file(const cli_file *file, aw_text *out)
{
    if (strcmp(file->path, "-") == 0)
        aw_text_add(out, file->is_output ? "standard output" : "standard input");
    else if (file->option != NULL)
        aw_text_format(out, "%s '%s'", file->option, file->path);
    else
        aw_text_format(out, "the scenario '%s'", file->path);
}

static void complain(const cli_file *output, const cli_file *other)
{
    aw_text text = {0};
    name_file(output, &text);
    aw_text_add(&text, " is the same file as ");
    name_file(other, &text);
    aw_text_add(&text, other->is_output ? "; give each result a file of its own"
                                        : ", which stays as it is");
    cli_complain("%s", text.failed ? "an output is the same file as another" : text.at);
    aw_text_free(&text);
}

bool cli_files_are_apart(const cli_options *options, const cli_command *command)
{
    cli_file files[CLI_MOST_FILES];
    place places[CLI_MOST_FILES];
    const size_t n = cli_list_files(options, command, files);
    bool apart = true;
    for (size_t i = 0; i < n; i++) {
        places[i] = find_place(&files[i]);
        for (size_t k = 0; apart && files[i].is_output && k < i; k++) {
            apart = !is_one(&places[i], &places[k]);
            if (!apart)
                complain(&files[i], &files[k]);
        }
    }
    for (size_t i = 0; i < n; i++)
        free(places[i].name);
    return apart;
}

bool cli_file_is_apart(const cli_options *options, const cli_command *command, const char *option,
                       const char *path)
{
    cli_file files[CLI_MOST_FILES];
    const cli_file own = {option, path, true};
    const size_t n = cli_list_files(options, command, files);
    const place here = find_place(&own);
    bool apart = true;
    for (size_t i = 0; apart && i < n; i++) {
        const place there = find_place(&files[i]);
        apart = !is_one(&here, &there);
        if (!apart)
            complain(&own, &files[i]);
        free(there.name);
    }
    free(here.name);
    return apart;
}
