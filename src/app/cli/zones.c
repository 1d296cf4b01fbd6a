/* zones: in which zone is a tag reported, and how far from a border can that be relied on. */
#include "app/cli/cli.h"

#include <stdlib.h>

/* What was decided, with the verdict over each zone's need. */
static int judge_and_show(cli_site *site, const aw_decisions *d)
{
    const cli_options *options = site->options;
    const aw_scenario *s = &site->scenario;
    aw_text text = {0};
    aw_verdict *verdicts = calloc(s->n_zones, sizeof *verdicts);
    if (verdicts == NULL) {
        fputs("anchorwise: out of memory for the verdicts\n", stderr);
        return STATUS_FAILED;
    }
    const int verdict = cli_judge(options, s, options->scenario, site->threads, verdicts);
    if (options->json)
        aw_decisions_json(d, verdicts, s, options->scenario, &text);
    else
        aw_decisions_table(d, verdicts, s, options->scenario, cli_has_colour(options), &text);
    const int status = cli_show(site, verdict == STATUS_NOT_MET ? STATUS_DONE : verdict, &text);
    free(verdicts);
    return status == STATUS_DONE ? verdict : status;
}

static int run(cli_site *site)
{
    const aw_scenario *s = &site->scenario;
    aw_decisions d;
    if (s->n_zones == 0)
        return cli_complain("%s has no zones", site->options->scenario);
    aw_decisions_run(&d, s, cli_begin_zones(site, aw_decisions_work(s), ""));
    int status = cli_end(site);
    if (status == STATUS_DONE)
        status = judge_and_show(site, &d);
    aw_decisions_free(&d);
    return status;
}

int cli_zones(const cli_options *options)
{
    return cli_with_site(options, NULL, run);
}
