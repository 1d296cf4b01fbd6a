/* The watch of the one command that runs: its bar on a terminal, its lines for whoever asks. */
#include "app/cli/cli.h"

#include <unistd.h>

/* A signal handler has no other way to reach the bar. */
static aw_watch the_watch;

bool cli_bar_is_drawn(void)
{
    return atomic_load(&the_watch.drawn);
}

aw_watch *cli_watch(const cli_options *options)
{
    aw_watch_start(&the_watch, !options->quiet && isatty(STDERR_FILENO) ? stderr : NULL,
                   options->progress ? stderr : NULL);
    return &the_watch;
}
