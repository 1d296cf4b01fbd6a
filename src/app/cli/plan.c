/* plan: the scenario as a page in the browser, while it is changed. */
#include "app/cli/cli.h"

#include <errno.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "live/live.h"

#define MOST_PORT 65535

static bool read_port(const char *text, uint16_t *port)
{
    char *end;
    const unsigned long value = text != NULL ? strtoul(text, &end, 10) : 0;
    *port = (uint16_t)value;
    if (text == NULL || (*text >= '0' && *text <= '9' && *end == '\0' && value <= MOST_PORT))
        return true;
    cli_complain("--port: '%s' is not a whole number up to %d", text, MOST_PORT);
    return false;
}

/* A page that leads to the address, for the user alone: what stands on a command line everybody on
 * the machine can read. NULL if there is no folder for it. */
static char *write_door(const char *address)
{
    const char *run = getenv("XDG_RUNTIME_DIR");
    aw_text path = {0};
    aw_text_format(&path, "%s/anchorwise.XXXXXX.html", run != NULL && *run == '/' ? run : P_tmpdir);
    const int fd = path.failed ? -1 : mkstemps(path.at, (int)strlen(".html"));
    FILE *page = fd >= 0 ? fdopen(fd, "w") : NULL;
    if (page != NULL) {
        fprintf(page,
                "<!DOCTYPE html><title>anchorwise</title>"
                "<meta http-equiv=\"refresh\" content=\"0; url=%s\">\n",
                address);
        if (fclose(page) == 0)
            return path.at;
    }
    aw_text_free(&path);
    return NULL;
}

/* Hands the door to the desktop, which is not waited for; its path, to be removed and freed. */
static char *open_browser(const char *address)
{
    static char program[] = "xdg-open";
    char *door = write_door(address);
    char *words[] = {program, door, NULL};
    pid_t child;
    const int why =
        door != NULL ? posix_spawnp(&child, program, NULL, NULL, words, environ) : errno;
    if (why != 0)
        fprintf(stderr, "anchorwise: no browser can be opened (%s: %s); open the address above\n",
                program, strerror(why));
    return door;
}

static int serve(const cli_options *options, aw_live *live)
{
    aw_watch *watch = cli_watch(options);
    cli_stop_gently(watch);
    cli_stop_after_writing();
    if (!options->quiet)
        aw_errors_write(aw_live_warnings(live), options->scenario, true, stderr);
    printf("%s\n", aw_live_address(live));
    if (fflush(stdout) != 0)
        return STATUS_FAILED;
    char *door = options->open ? open_browser(aw_live_address(live)) : NULL;
    aw_live_run(live, &watch->stop);
    if (door != NULL)
        unlink(door);
    free(door);
    return STATUS_STOPPED;
}

int cli_plan(const cli_options *options)
{
    uint16_t port;
    aw_errors errors = {0};
    const unsigned threads = cli_threads(options);
    if (threads == 0 || !read_port(options->port, &port))
        return STATUS_WRONG;
    if (strcmp(options->paths[0], "-") == 0)
        return cli_complain("plan needs a file: standard input cannot be saved to");
    aw_live *live = aw_live_open(options->paths[0], port, threads, &errors);
    const bool memory = aw_errors_out_of_memory(&errors);
    aw_errors_write(&errors, options->scenario, false, stderr);
    aw_errors_free(&errors);
    if (live == NULL)
        return memory ? STATUS_FAILED : STATUS_WRONG;
    const int status = serve(options, live);
    aw_live_close(live);
    return status;
}
