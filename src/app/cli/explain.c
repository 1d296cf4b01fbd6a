/* explain: why is this spot good or poor, and what would mend it. */
#include "app/cli/cli.h"
#include "draw/beside.h"

/* The spot as planned, and beside it after the first remedy if there is one. */
static int write_chart(const cli_drawing *drawing, const aw_scenario *s, const aw_explanation *e)
{
    const aw_remedy *r = &e->remedies[0];
    aw_varied then = {0};
    aw_text caption = {0};
    aw_errors errors = {0};
    aw_sheet sheet = {0};
    aw_beside what = {.before = {s, "as planned", e->p95.value, e->p95.low, e->p95.high},
                      .spot = {e->spot[0], e->spot[1]},
                      .tag = e->tag,
                      .options = drawing->look};
    if (e->n_remedies > 0 && !aw_remedy_apply(&then, r, s)) {
        fputs("anchorwise: out of memory for the chart\n", stderr);
        aw_varied_free(&then);
        return STATUS_FAILED;
    }
    if (e->n_remedies > 0) {
        aw_text_add(&caption, "with ");
        aw_remedy_words(r, s, &caption);
        what.after = (aw_beside_panel){&then.scenario, caption.failed ? "mended" : caption.at,
                                       r->p95.value, r->p95.low, r->p95.high};
    }
    aw_beside_draw(&sheet, &what, &errors);
    const int status = cli_write_drawing(drawing, &sheet, &errors);
    aw_text_free(&caption);
    aw_varied_free(&then);
    return status;
}

static int write_result(const cli_options *options, const aw_scenario *s, const aw_explanation *e)
{
    aw_text text = {0};
    if (options->json)
        aw_explanation_json(e, s, options->scenario, &text);
    else
        aw_explanation_table(e, s, options->scenario, &text);
    const int status = cli_write_result(&text, options->out, options);
    aw_text_free(&text);
    return status;
}

static int run_explain(const cli_options *options, const cli_drawing *drawing, const aw_scenario *s,
                       aw_point at, size_t tag, unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_explain_work(s), " if remedies are looked for");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_explanation e;
    aw_explain_run(&e, s, at, tag, &(aw_run){threads, watch, &errors});
    int status = cli_report_asked(&errors, watch);
    if (status == STATUS_DONE)
        status = write_result(options, s, &e);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(drawing, s, &e);
    aw_explanation_free(&e);
    aw_errors_free(&errors);
    return status;
}

int cli_explain(const cli_options *options)
{
    aw_scenario s;
    double at[2];
    size_t tag = 0;
    cli_drawing drawing = {0};
    const unsigned threads = cli_threads(options);
    if (threads == 0 || !cli_read_side_drawing(&drawing, options, "explain"))
        return STATUS_WRONG;
    if (options->at == NULL)
        return cli_complain("explain needs --at X,Y");
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE && !cli_read_lengths(options->at, &s, 2, at))
        status = cli_complain("--at: '%s' is not X,Y, two lengths within %s", options->at,
                              cli_farthest(&s));
    if (status == STATUS_DONE && options->tag != NULL && !cli_find_tag(options, &s, &tag))
        status = STATUS_WRONG;
    if (status == STATUS_DONE)
        status = run_explain(options, &drawing, &s, (aw_point){at[0], at[1]}, tag, threads);
    aw_scenario_free(&s);
    return status;
}
