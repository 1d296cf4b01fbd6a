/* freedom: how far may each anchor hang from its place. */
#include <math.h>

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

static int run_freedom(const cli_options *options, const cli_drawing *drawing, const aw_scenario *s,
                       unsigned threads)
{
    question q;
    if (!read_question(&q, options, s))
        return STATUS_WRONG;
    const size_t n = q.anchor < s->n_anchors ? 1 : s->n_anchors;
    cli_tell_cost(options, s, threads, (double)aw_freedom_work(s, n), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_freedoms f;
    const bool done = aw_freedom_run(&f, s, q.anchor, q.reach, &(aw_run){threads, watch, &errors});
    int status = cli_report(&errors, watch);
    if (done && options->json)
        aw_freedom_json(&f, s, options->scenario, &text);
    else if (done)
        aw_freedom_table(&f, s, options->scenario, &text);
    if (status == STATUS_DONE)
        status = cli_write_result(&text, options->out, options);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(drawing, &f, s);
    aw_freedom_free(&f);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

int cli_freedom(const cli_options *options)
{
    aw_scenario s;
    const unsigned threads = cli_threads(options);
    cli_drawing drawing = {0};
    if (threads == 0 || !cli_read_side_drawing(&drawing, options, "freedom"))
        return STATUS_WRONG;
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE)
        status = run_freedom(options, &drawing, &s, threads);
    aw_scenario_free(&s);
    return status;
}
