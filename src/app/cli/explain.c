/* explain: why is this spot good or poor, and what would mend it. */
#include "app/cli/cli.h"

#include <string.h>

/* Complaints about the spot are the command line's; others are the run's. */
static int status_of(aw_errors *errors, aw_watch *watch)
{
    const bool wrong = errors->n_errors > 0 && strncmp(errors->list[0].text, "--", 2) == 0;
    const int status = cli_report(errors, watch);
    return wrong ? STATUS_WRONG : status;
}

static int run_explain(const cli_options *options, const aw_scenario *s, aw_point at, size_t tag,
                       unsigned threads)
{
    aw_watch *watch = cli_watch(options, aw_explain_work(s));
    aw_errors errors = {0};
    aw_text text = {0};
    aw_explanation e;
    const bool done = aw_explain_run(&e, s, at, tag, threads, watch, &errors);
    int status = status_of(&errors, watch);
    if (done && options->json)
        aw_explanation_json(&e, s, options->scenario, &text);
    else if (done)
        aw_explanation_table(&e, s, options->scenario, &text);
    if (status == STATUS_DONE)
        status = cli_write(&text, options->out);
    aw_explanation_free(&e);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

int cli_explain(const cli_options *options)
{
    aw_scenario s;
    double at[2];
    size_t tag = 0;
    const unsigned threads = cli_threads(options);
    if (threads == 0)
        return STATUS_WRONG;
    if (options->at == NULL)
        return cli_complain("explain needs --at X,Y");
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE && !cli_read_lengths(options->at, &s, 2, at))
        status = cli_complain("--at: '%s' is not X,Y, two lengths within 100 000 m", options->at);
    if (status == STATUS_DONE && options->tag != NULL && !cli_find_tag(options, &s, &tag))
        status = STATUS_WRONG;
    if (status == STATUS_DONE)
        status = run_explain(options, &s, (aw_point){at[0], at[1]}, tag, threads);
    aw_scenario_free(&s);
    return status;
}
