/* check: is this scenario sound, what does it describe, and what will an assessment of it cost. */
#include "app/cli/cli.h"

static int describe(const cli_options *options, const aw_scenario *s, unsigned threads)
{
    aw_errors errors = {0};
    aw_text text = {0};
    aw_effort cost;
    int status = STATUS_FAILED;
    aw_watch *watch = cli_watch(options);
    aw_watch_stage(watch, 0, "drawing some cells");
    const bool measured = aw_effort_measure(&cost, s, threads, &errors);
    aw_watch_end(watch);
    if (measured && options->json)
        aw_scenario_summary_json(s, options->scenario, &cost, &text);
    else if (measured) {
        aw_scenario_summary(s, options->scenario, &text);
        aw_text_add(&text, "\nassess will take ");
        aw_effort_words(cost.seconds, cost.bytes, cli_parallel(threads), &text);
        aw_text_add(&text, ".\n");
    }
    aw_errors_write(&errors, options->scenario, false, stderr);
    if (measured)
        status = cli_write(&text, options->out);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

int cli_check(const cli_options *options)
{
    aw_scenario scenario;
    const unsigned threads = cli_threads(options);
    if (threads == 0)
        return STATUS_WRONG;
    int status = cli_read_scenario(&scenario, options);
    if (status == STATUS_DONE)
        status = describe(options, &scenario, threads);
    aw_scenario_free(&scenario);
    return status;
}
