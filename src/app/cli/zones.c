/* zones: in which zone is a tag reported, and how far from a border can that be relied on. */
#include "app/cli/cli.h"

static int run_zones(const cli_options *options, const aw_scenario *s, unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_decisions_work(s), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_decisions d;
    const bool done = aw_decisions_run(&d, s, threads, watch, &errors);
    int status = cli_report(&errors, watch);
    const int verdict =
        status == STATUS_DONE ? cli_judge(options, s, options->scenario, threads) : status;
    if (done && options->json)
        aw_decisions_json(&d, s, options->scenario, &text);
    else if (done)
        aw_decisions_table(&d, s, options->scenario, &text);
    status = verdict == STATUS_NOT_MET ? STATUS_DONE : verdict;
    if (status == STATUS_DONE)
        status = cli_write(&text, options->out);
    if (status == STATUS_DONE)
        status = verdict;
    aw_decisions_free(&d);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

int cli_zones(const cli_options *options)
{
    aw_scenario s;
    const unsigned threads = cli_threads(options);
    if (threads == 0)
        return STATUS_WRONG;
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE && s.n_zones == 0)
        status = cli_complain("%s has no zones", options->scenario);
    if (status == STATUS_DONE)
        status = run_zones(options, &s, threads);
    aw_scenario_free(&s);
    return status;
}
