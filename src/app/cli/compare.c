/* compare: which of two or more layouts is better, where, and is the difference real. */
#include "app/cli/cli.h"

/* The first layout against each of the others. */
static int run_all(const cli_options *options, const aw_scenario scenarios[], unsigned threads)
{
    const size_t n = options->n_scenarios;
    aw_comparison comparisons[CLI_MOST_SCENARIOS] = {0};
    aw_errors errors = {0};
    size_t work = 0;
    for (size_t k = 1; k < n; k++)
        work += aw_compare_work(&scenarios[0], &scenarios[k]);
    aw_watch *watch = cli_watch(options, work);
    aw_text text = {0};
    bool done = true;
    for (size_t k = 1; done && k < n; k++)
        done = aw_compare_run(&comparisons[k - 1], &scenarios[0], &scenarios[k], threads, watch,
                              &errors);
    int status = cli_report(&errors, watch);
    if (done && options->json)
        aw_comparisons_json(comparisons, scenarios, options->scenarios, n, &text);
    else if (done)
        aw_comparisons_table(comparisons, scenarios, options->scenarios, n, cli_has_colour(options),
                             &text);
    if (status == STATUS_DONE)
        status = cli_write(&text, options->out);
    for (size_t k = 1; k < n; k++)
        aw_comparison_free(&comparisons[k - 1]);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

static int check_floors(const cli_options *options, const aw_scenario scenarios[])
{
    int status = STATUS_DONE;
    for (size_t k = 1; k < options->n_scenarios; k++) {
        aw_errors errors = {0};
        if (!aw_same_floor(&scenarios[0], &scenarios[k], &errors))
            status = STATUS_WRONG;
        aw_errors_write(&errors, options->scenarios[k], false, stderr);
        aw_errors_free(&errors);
    }
    return status;
}

int cli_compare(const cli_options *options)
{
    aw_scenario scenarios[CLI_MOST_SCENARIOS] = {0};
    const unsigned threads = cli_threads(options);
    int status = threads > 0 ? STATUS_DONE : STATUS_WRONG;
    for (size_t k = 0; k < options->n_scenarios && threads > 0; k++)
        if (cli_read_one(&scenarios[k], options->scenarios[k], options) != STATUS_DONE)
            status = STATUS_WRONG;
    if (status == STATUS_DONE)
        status = check_floors(options, scenarios);
    if (status == STATUS_DONE)
        status = run_all(options, scenarios, threads);
    for (size_t k = 0; k < options->n_scenarios; k++)
        aw_scenario_free(&scenarios[k]);
    return status;
}
