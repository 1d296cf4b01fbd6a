/* zones: in which zone is a tag reported, and how far from a border can that be relied on. */
#include "app/cli/cli.h"

#include <stdlib.h>

static int run_zones(const cli_options *options, const aw_scenario *s, unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_decisions_work(s), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_decisions d;
    const bool done = aw_decisions_run(&d, s, &(aw_run){threads, watch, &errors});
    int status = cli_report(&errors, watch);
    aw_verdict *verdicts = calloc(s->n_zones, sizeof *verdicts);
    if (status == STATUS_DONE && verdicts == NULL) {
        fputs("anchorwise: out of memory for the verdicts\n", stderr);
        status = STATUS_FAILED;
    }
    const int verdict = status == STATUS_DONE
                            ? cli_judge(options, s, options->scenario, threads, verdicts)
                            : status;
    if (done && verdicts != NULL && options->json)
        aw_decisions_json(&d, verdicts, s, options->scenario, &text);
    else if (done && verdicts != NULL)
        aw_decisions_table(&d, verdicts, s, options->scenario, cli_has_colour(options), &text);
    status = verdict == STATUS_NOT_MET ? STATUS_DONE : verdict;
    if (status == STATUS_DONE)
        status = cli_write_result(&text, options->out, options);
    if (status == STATUS_DONE)
        status = verdict;
    free(verdicts);
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
