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

static int run_sensitivity(const cli_options *options, const cli_drawing *drawing,
                           const aw_scenario *s, unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_sensitivity_work(s), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_sensitivity v;
    const bool done = aw_sensitivity_run(&v, s, &(aw_run){threads, watch, &errors});
    int status = cli_report(&errors, watch);
    if (done && options->json)
        aw_sensitivity_json(&v, s, options->scenario, &text);
    else if (done)
        aw_sensitivity_table(&v, s, options->scenario, cli_has_colour(options), &text);
    if (status == STATUS_DONE)
        status = cli_write_result(&text, options->out, options);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(drawing, &v, s);
    aw_sensitivity_free(&v);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

int cli_sensitivity(const cli_options *options)
{
    aw_scenario s;
    const unsigned threads = cli_threads(options);
    cli_drawing drawing = {0};
    if (threads == 0 || !cli_read_side_drawing(&drawing, options, "sensitivity"))
        return STATUS_WRONG;
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE)
        status = run_sensitivity(options, &drawing, &s, threads);
    aw_scenario_free(&s);
    return status;
}
