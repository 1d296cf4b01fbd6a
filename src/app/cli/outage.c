/* outage: what does each anchor's loss cost. */
#include "app/cli/cli.h"
#include "draw/losses.h"

/* With all anchors; if asked to be sturdy, with any one lost as well. */
static bool falls_short(const aw_outage *o, const aw_scenario *s, bool sturdy)
{
    bool any = sturdy && cli_falls_short(o->verdict);
    for (size_t i = 0; i < s->n_zones; i++)
        any = any || cli_falls_short(o->intact[i].verdict);
    return any;
}

static int write_chart(const cli_drawing *drawing, const aw_outage *o, const aw_scenario *s)
{
    const aw_losses what = {o, s, drawing->look};
    aw_errors errors = {0};
    aw_sheet sheet = {0};
    aw_losses_draw(&sheet, &what, &errors);
    return cli_write_drawing(drawing, &sheet, &errors);
}

static int run(cli_site *site)
{
    const cli_options *options = site->options;
    const aw_scenario *s = &site->scenario;
    aw_text text = {0};
    aw_outage o;
    const bool done = aw_outage_run(&o, s, cli_begin_zones(site, aw_outage_work(s), ""));
    int status = cli_end(site);
    if (done && options->json)
        aw_outage_json(&o, s, options->scenario, &text);
    else if (done)
        aw_outage_table(&o, s, options->scenario, cli_has_colour(options), &text);
    status = cli_show(site, status, &text);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(&site->drawing, &o, s);
    if (status == STATUS_DONE && falls_short(&o, s, options->sturdy))
        status = STATUS_NOT_MET;
    aw_outage_free(&o);
    return status;
}

int cli_outage(const cli_options *options)
{
    return cli_with_site(options, "outage", run);
}
