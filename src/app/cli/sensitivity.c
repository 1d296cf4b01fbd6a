/* sensitivity: which assumptions matter most. */
#include "app/cli/cli.h"
#include "draw/bars.h"

static int write_chart(const cli_drawing *drawing, const aw_sensitivity *v, const aw_scenario *s)
{
    const aw_bars what = {v, s, drawing->look};
    aw_errors errors = {0};
    aw_sheet sheet;
    aw_bars_draw(&sheet, &what, &errors);
    return cli_write_drawing(drawing, &sheet, &errors);
}

/* The zone that is asked for, n_zones for all. */
static bool read_zone(size_t *zone, const cli_options *options, const aw_scenario *s)
{
    *zone = s->n_zones;
    if (options->zone == NULL)
        return true;
    if (!options->json)
        return cli_find_zone(options, s, zone);
    cli_complain("--zone is for the table; --json tells of every zone");
    return false;
}

static int run(cli_site *site)
{
    const cli_options *options = site->options;
    const aw_scenario *s = &site->scenario;
    size_t zone;
    if (!read_zone(&zone, options, s))
        return STATUS_WRONG;
    aw_text text = {0};
    aw_sensitivity v;
    const bool done = aw_sensitivity_run(&v, s, cli_begin_zones(site, aw_sensitivity_work(s), ""));
    int status = cli_end(site);
    if (done && options->json)
        aw_sensitivity_json(&v, s, options->scenario, &text);
    else if (done && zone < s->n_zones)
        aw_sensitivity_zone_table(&v, s, options->scenario, zone, cli_has_colour(options), &text);
    else if (done)
        aw_sensitivity_table(&v, s, options->scenario, cli_has_colour(options), &text);
    status = cli_show(site, status, &text);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(&site->drawing, &v, s);
    aw_sensitivity_free(&v);
    return status;
}

int cli_sensitivity(const cli_options *options)
{
    return cli_with_site(options, "sensitivity", run);
}
