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

/* Hands the address to the desktop, which is not waited for. */
static void open_browser(const char *address)
{
    static char program[] = "xdg-open";
    char *copy = strdup(address);
    char *words[] = {program, copy, NULL};
    pid_t child;
    const int why =
        copy != NULL ? posix_spawnp(&child, program, NULL, NULL, words, environ) : ENOMEM;
    if (why != 0)
        fprintf(stderr, "anchorwise: no browser can be opened (%s: %s); open the address above\n",
                program, strerror(why));
    free(copy);
}

static int serve(const cli_options *options, aw_live *live)
{
    aw_watch *watch = cli_watch(options);
    if (!options->quiet)
        aw_errors_write(aw_live_warnings(live), options->scenario, true, stderr);
    printf("%s\n", aw_live_address(live));
    if (fflush(stdout) != 0)
        return STATUS_FAILED;
    if (options->open)
        open_browser(aw_live_address(live));
    cli_stop_gently(watch);
    cli_stop_after_writing();
    aw_live_run(live, &watch->stop);
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
