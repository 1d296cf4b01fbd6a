/* check: is this scenario sound, and what does it describe. */
#include "app/cli/cli.h"

/* What candidates stand for is a matter of the studies, so that reading does not warn of it. */
static int gather(aw_scenario *scenario, const cli_options *options, aw_errors *errors)
{
    int status = cli_gather(scenario, 0, options, NULL, errors);
    if (status == STATUS_DONE && !aw_candidates_warn(scenario, errors))
        status = STATUS_FAILED;
    aw_errors_sort(errors);
    return status;
}

static int describe(const aw_scenario *scenario, const cli_options *options,
                    const aw_errors *warnings)
{
    aw_text text = {0};
    if (options->json)
        aw_scenario_summary_json(scenario, options->scenario, warnings, &text);
    else
        aw_scenario_summary(scenario, options->scenario, &text);
    const int status = cli_write(&text, options->out);
    aw_text_free(&text);
    return status;
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
    if (cli_threads(options) == 0)
        return STATUS_WRONG;
    int status = gather(&scenario, options, &errors);
    if (status == STATUS_WRONG && options->json && errors.n_errors > 0)
        status = print_mistakes(&errors, options);
    else if (status != STATUS_DONE || !options->json)
        aw_errors_write(&errors, options->scenario, !options->quiet, stderr);
    if (status == STATUS_DONE)
        status = describe(&scenario, options, &errors);
    aw_errors_free(&errors);
    aw_scenario_free(&scenario);
    return status;
}
