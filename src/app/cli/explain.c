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
                      .explanation = e,
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

static int run(cli_site *site)
{
    const cli_options *options = site->options;
    const aw_scenario *s = &site->scenario;
    double at[2];
    size_t tag = 0;
    aw_text text = {0};
    aw_explanation e;
    if (!cli_read_lengths(options->at, s, 2, at))
        return cli_complain("--at: '%s' is not X,Y, two lengths within %s", options->at,
                            cli_farthest(s));
    if (options->tag != NULL && !cli_find_tag(options, s, &tag))
        return STATUS_WRONG;
    aw_explain_run(&e, s, (aw_point){at[0], at[1]}, tag,
                   cli_begin(site, aw_explain_work(s), " if remedies are looked for"));
    int status = cli_report_asked(&site->errors, site->run.watch);
    if (status == STATUS_DONE && options->json)
        aw_explanation_json(&e, s, options->scenario, &text);
    else if (status == STATUS_DONE)
        aw_explanation_table(&e, s, options->scenario, &text);
    status = cli_show(site, status, &text);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(&site->drawing, s, &e);
    aw_explanation_free(&e);
    return status;
}

int cli_explain(const cli_options *options)
{
    if (options->at == NULL)
        return cli_complain("explain needs --at X,Y");
    return cli_with_site(options, "explain", run);
}
