/* outage: what does each anchor's loss cost. */
#include "app/cli/cli.h"

/* With all anchors; if asked to be sturdy, with any one lost as well. */
static bool falls_short(const aw_outage *o, const aw_scenario *s, bool sturdy)
{
    bool any = sturdy && cli_falls_short(o->verdict);
    for (size_t i = 0; i < s->n_zones; i++)
        any = any || cli_falls_short(o->intact[i].verdict);
    return any;
}

static int run_outage(const cli_options *options, const aw_scenario *s, unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_outage_work(s), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_outage o;
    const bool done = aw_outage_run(&o, s, &(aw_run){threads, watch, &errors});
    int status = cli_report(&errors, watch);
    if (done && options->json)
        aw_outage_json(&o, s, options->scenario, &text);
    else if (done)
        aw_outage_table(&o, s, options->scenario, cli_has_colour(options), &text);
    if (status == STATUS_DONE)
        status = cli_write_result(&text, options->out, options);
    if (status == STATUS_DONE && falls_short(&o, s, options->sturdy))
        status = STATUS_NOT_MET;
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
