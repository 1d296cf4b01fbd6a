/* check: is this scenario sound, what does it describe, and what will an assessment of it cost. */
#include "app/cli/cli.h"

/* What candidates stand for, and what sites are like, is a matter of the studies, so that reading
 * does not warn of it. */
static int gather(aw_scenario *scenario, const cli_options *options, aw_errors *errors)
{
    int status = cli_gather(scenario, 0, options, NULL, errors);
    if (status == STATUS_DONE && !aw_candidates_warn(scenario, errors))
        status = STATUS_FAILED;
    if (status == STATUS_DONE)
        aw_site_warn(scenario, errors);
    aw_errors_sort(errors);
    return status;
}

static int write_description(const aw_scenario *s, const cli_options *options,
                             const aw_effort *cost, unsigned threads, const aw_errors *warnings)
{
    aw_text text = {0};
    if (options->json) {
        aw_scenario_summary_json(s, options->scenario, cost, warnings, &text);
    } else {
        aw_scenario_summary(s, options->scenario, &text);
        aw_text_add(&text, "assess will take ");
        aw_effort_words(cost->seconds, cost->bytes, cli_parallel(threads), &text);
        aw_text_add(&text, ".\n");
    }
    const int status = cli_write_result(&text, options->out, options);
    aw_text_free(&text);
    return status;
}

static int describe(const aw_scenario *s, const cli_options *options, unsigned threads,
                    const aw_errors *warnings)
{
    aw_errors errors = {0};
    aw_effort cost;
    aw_watch *watch = cli_watch(options);
    aw_watch_stage(watch, 0, "drawing some cells");
    const bool measured = aw_effort_measure(&cost, s, threads, &errors);
    aw_watch_end(watch);
    aw_errors_write(&errors, options->scenario, false, stderr);
    aw_errors_free(&errors);
    return measured ? write_description(s, options, &cost, threads, warnings) : STATUS_FAILED;
}

/* A file of results keeps what it holds when the scenario is wrong. */
static int print_mistakes(const aw_errors *errors, const cli_options *options)
{
    aw_text text = {0};
    aw_errors_json(errors, options->scenario, &text);
    const int status = cli_write(&text, NULL);
    aw_text_free(&text);
    return status == STATUS_DONE ? STATUS_WRONG : status;
}

int cli_check(const cli_options *options)
{
    aw_scenario scenario;
    aw_errors errors = {0};
    const unsigned threads = cli_threads(options);
    if (threads == 0)
        return STATUS_WRONG;
    int status = gather(&scenario, options, &errors);
    if (status == STATUS_WRONG && options->json && errors.n_errors > 0)
        status = print_mistakes(&errors, options);
    else if (status != STATUS_DONE || !options->json)
        aw_errors_write(&errors, options->scenario, !options->quiet, stderr);
    if (status == STATUS_DONE)
        status = describe(&scenario, options, threads, &errors);
    aw_errors_free(&errors);
    aw_scenario_free(&scenario);
    return status;
}
