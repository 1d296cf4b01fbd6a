/* What every study of one scenario does the same way: its options, the scenario, the run, and what
 * becomes of the result. */
#include "app/cli/cli.h"

int cli_with_site(const cli_options *options, const char *draws, int (*study)(cli_site *site))
{
    cli_site site = {.options = options, .threads = cli_threads(options)};
    if (site.threads == 0 ||
        (draws != NULL && !cli_read_side_drawing(&site.drawing, options, draws)))
        return STATUS_WRONG;
    int status = cli_read_one(&site.scenario, 0, options, &site.given);
    cli_name_files(&site.drawing, options, &site.given, 1);
    if (status == STATUS_DONE)
        status = cli_read_picture(&site.drawing, options, &site.scenario);
    if (status == STATUS_DONE)
        status = study(&site);
    aw_pale_free(&site.drawing.pale);
    aw_errors_free(&site.errors);
    aw_text_free(&site.given.text);
    aw_scenario_free(&site.scenario);
    return status;
}

const aw_run *cli_begin(cli_site *site, size_t draws, const char *or_more)
{
    cli_tell_cost(site->options, &site->scenario, site->threads, (double)draws, or_more);
    site->run = (aw_run){site->threads, cli_watch(site->options), &site->errors};
    return &site->run;
}

const aw_run *cli_begin_zones(cli_site *site, size_t draws, const char *or_more)
{
    const aw_run *run = cli_begin(site, draws, or_more);
    cli_estimate(&site->scenario, site->threads, run->watch);
    return run;
}

int cli_end(cli_site *site)
{
    return cli_report(&site->errors, site->run.watch);
}

int cli_show(const cli_site *site, int status, aw_text *text)
{
    if (status == STATUS_DONE)
        status = cli_write_result(text, site->options->out, site->options);
    aw_text_free(text);
    return status;
}
