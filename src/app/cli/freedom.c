/* freedom: how far may each anchor hang from its place. */
#include <math.h>
#include <stdlib.h>

#include "app/cli/cli.h"
#include "draw/regions.h"

/* Least and most that is searched, m: less is nobody's question, more is another layout. */
#define LEAST_REACH 0.1
#define MOST_REACH  20.0

typedef struct question {
    size_t anchor; /* n_anchors: every one */
    double reach;
} question;

/* The limits in the scenario's units, rounded to what is within them. */
static void complain_of_reach(const char *text, aw_units units)
{
    const double metre = aw_unit_metres(units);
    cli_complain("--reach: '%s' is not a length of %g to %g %s", text,
                 ceil(100 * LEAST_REACH / metre) / 100, floor(100 * MOST_REACH / metre) / 100,
                 aw_unit_name(units));
}

static bool read_question(question *q, const cli_options *options, const aw_scenario *s)
{
    *q = (question){s->n_anchors, AW_FREEDOM_REACH};
    if (options->anchor != NULL &&
        !cli_find_anchor(options->anchor, "--anchor", options, s, &q->anchor))
        return false;
    if (options->reach != NULL && (!cli_read_lengths(options->reach, s, 1, &q->reach) ||
                                   q->reach < LEAST_REACH || q->reach > MOST_REACH)) {
        complain_of_reach(options->reach, s->units);
        return false;
    }
    return true;
}

static int write_chart(const cli_drawing *drawing, const aw_freedoms *f, const aw_scenario *s)
{
    const aw_regions what = {f, s, drawing->look};
    aw_errors errors = {0};
    aw_sheet sheet;
    aw_regions_draw(&sheet, &what, &errors);
    return cli_write_drawing(drawing, &sheet, &errors);
}

static bool options_agree(const cli_options *o)
{
    if (o->still != NULL && !o->together)
        cli_complain("--still goes with --together");
    else if (o->anchor != NULL && o->together)
        cli_complain("freedom takes --anchor or --together, not both");
    else
        return true;
    return false;
}

static int run(cli_site *site)
{
    const cli_options *options = site->options;
    const aw_scenario *s = &site->scenario;
    question q;
    bool *still = NULL;
    if (!read_question(&q, options, s) ||
        (options->still != NULL &&
         (still = cli_read_names(options->still, "--still", options, s)) == NULL))
        return STATUS_WRONG;
    const size_t n = q.anchor < s->n_anchors ? 1 : s->n_anchors;
    aw_text text = {0};
    aw_freedoms f;
    const aw_run *run =
        cli_begin_zones(site, aw_freedom_work(s, n), options->together ? " or more" : "");
    const bool done = aw_freedom_run(&f, s, q.anchor, q.reach, run) &&
                      (!options->together || aw_freedom_share(&f, s, still, run));
    int status = cli_end(site);
    if (done && options->json)
        aw_freedom_json(&f, s, options->scenario, &text);
    else if (done)
        aw_freedom_table(&f, s, options->scenario, &text);
    status = cli_show(site, status, &text);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(&site->drawing, &f, s);
    aw_freedom_free(&f);
    free(still);
    return status;
}

int cli_freedom(const cli_options *options)
{
    return options_agree(options) ? cli_with_site(options, "freedom", run) : STATUS_WRONG;
}
