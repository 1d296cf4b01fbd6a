/* The watch of the one command that runs: its bar on a terminal, its lines for whoever asks. */
#include "app/cli/cli.h"

#include <unistd.h>

#include "base/parallel.h"

/* What is told before it begins, s. */
#define LONG 60.0

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

unsigned cli_parallel(unsigned threads)
{
    const unsigned processors = aw_processors();
    return threads < processors ? threads : processors;
}

/* A glance is enough for what is far from long. */
void cli_tell_cost(const cli_options *options, const aw_scenario *s, unsigned threads, double draws,
                   const char *or_more)
{
    const unsigned parallel = cli_parallel(threads);
    aw_effort cost;
    aw_errors errors = {0};
    aw_text text = {0};
    if (options->quiet || aw_effort_glance(s) * draws < LONG / 4 * parallel)
        return;
    if (aw_effort_measure(&cost, s, threads, &errors) && cost.per_draw * draws >= LONG * parallel) {
        aw_effort_words(cost.per_draw * draws, 0, parallel, &text);
        if (!text.failed)
            fprintf(stderr, "anchorwise: this will take %s%s\n", text.at, or_more);
    }
    aw_text_free(&text);
    aw_errors_free(&errors);
}
