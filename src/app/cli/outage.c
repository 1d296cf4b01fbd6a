/* outage: what does each anchor's loss cost. */
#include "app/cli/cli.h"

static int run_outage(const cli_options *options, const aw_scenario *s, unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_outage_work(s), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_outage o;
    const bool done = aw_outage_run(&o, s, threads, watch, &errors);
    int status = cli_report(&errors, watch);
    if (done && options->json)
        aw_outage_json(&o, s, options->scenario, &text);
    else if (done)
        aw_outage_table(&o, s, options->scenario, cli_has_colour(options), &text);
    if (status == STATUS_DONE)
        status = cli_write(&text, options->out);
    aw_outage_free(&o);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

int cli_outage(const cli_options *options)
{
    aw_scenario s;
    const unsigned threads = cli_threads(options);
    if (threads == 0)
        return STATUS_WRONG;
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE)
        status = run_outage(options, &s, threads);
    aw_scenario_free(&s);
    return status;
}
