/* place: where to put the fewest anchors that meet every need. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>

#define MOST_NEEDS 20
/* What begins a line on top of a layout that is not found sufficient. */
#define REMARK "# place: "
/* What a search takes, in layouts that are drawn: seen on sites of some hundred candidates. */
#define LAYOUTS 10

typedef struct needs {
    double p95[MOST_NEEDS];
    size_t n;
} needs;

static bool read_needs(const cli_options *o, const aw_scenario *s, needs *list)
{
    size_t n = o->needs != NULL;
    for (const char *at = o->needs; at != NULL && *at != '\0'; at++)
        n += *at == ',';
    list->n = n;
    bool sound = n <= MOST_NEEDS && (n == 0 || cli_read_lengths(o->needs, s, n, list->p95));
    for (size_t k = 0; sound && k < n; k++)
        sound = list->p95[k] > 0 && list->p95[k] <= 1000;
    if (!sound)
        cli_complain("--needs: '%s' is not a list of up to %d lengths above 0 with commas between",
                     o->needs, MOST_NEEDS);
    return sound;
}

static bool options_agree(const cli_options *o)
{
    if (o->out != NULL && strcmp(o->out, "-") == 0)
        cli_complain("--out - and the result would both go to standard output; give --out FILE");
    else if (o->out != NULL && o->needs != NULL)
        cli_complain("--needs makes many layouts; leave out --out");
    else if (o->even_so && o->out == NULL)
        cli_complain("--even-so goes with --out");
    else
        return true;
    return false;
}

/* What falls short, a line each, on standard error. */
static void refuse_to_write(const cli_options *o, const char *shortfall)
{
    cli_complain("nothing was written to %s; --even-so writes what is not found sufficient",
                 o->out);
    while (*shortfall != '\0') {
        const size_t length = strcspn(shortfall, "\n");
        cli_complain("%.*s", (int)length, shortfall);
        shortfall += length + (shortfall[length] == '\n');
    }
}

/* The text that was given, with the layout in it and what falls short on top of it. */
static int write_scenario(const cli_options *o, const aw_placing *p, const aw_scenario *s,
                          const aw_text *given, const char *shortfall)
{
    aw_errors errors = {0};
    aw_text text = {0};
    int status = STATUS_WRONG;
    aw_edit *edit = aw_edit_create(given->at, given->n, &errors);
    if (edit != NULL && aw_placing_write(p, s, edit, &errors) &&
        aw_edit_remark(edit, REMARK, shortfall, &errors)) {
        size_t length;
        const char *bytes = aw_edit_text(edit, &length);
        aw_text_add_bytes(&text, bytes, length);
        status = cli_write(&text, o->out);
    } else {
        aw_errors_write(&errors, o->scenario, false, stderr);
        if (aw_errors_out_of_memory(&errors))
            status = STATUS_FAILED;
    }
    aw_edit_free(edit);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

/* A layout that is not found sufficient is written only if that was asked for. */
static int write_layout(const cli_options *o, const aw_placing *p, const aw_scenario *s,
                        const aw_text *given)
{
    aw_text shortfall = {0};
    int status = STATUS_DONE;
    aw_placing_shortfall(p, s, o->sturdy, &shortfall);
    if (shortfall.failed) {
        fputs("anchorwise: out of memory for what falls short\n", stderr);
        status = STATUS_FAILED;
    } else if (shortfall.n > 0 && !o->even_so) {
        refuse_to_write(o, shortfall.at);
    } else {
        status = write_scenario(o, p, s, given, shortfall.n > 0 ? shortfall.at : "");
    }
    aw_text_free(&shortfall);
    return status;
}

/* A placing that ended, or the best so far when it was stopped. */
static int place(aw_placing *p, const aw_placing_plan *plan, const aw_run *run)
{
    const bool done = aw_placing_run(p, plan, run);
    int status = STATUS_DONE;
    if (!done) {
        status = cli_report_asked(run->errors, run->watch);
    } else {
        aw_watch_end(run->watch);
        if (p->stopped) {
            fputs("anchorwise: stopped; this is the best so far\n", stderr);
            status = STATUS_STOPPED;
        }
    }
    return status;
}

static int run_one(const cli_options *o, const aw_placing_plan *plan, const aw_run *run,
                   const aw_text *given)
{
    const aw_scenario *s = plan->scenario;
    aw_placing p;
    aw_text text = {0};
    const int status = place(&p, plan, run);
    int written = status;
    if (status == STATUS_DONE || (status == STATUS_STOPPED && p.n_anchors > 0)) {
        if (o->json)
            aw_placing_json(&p, s, o->scenario, o->sturdy, &text);
        else
            aw_placing_table(&p, s, o->scenario, o->sturdy, cli_has_colour(o), &text);
        written = cli_write_result(&text, NULL, o);
        if (written == STATUS_DONE && o->out != NULL)
            written = write_layout(o, &p, s, given);
        if (written == STATUS_DONE)
            written = status;
    }
    if (written == STATUS_DONE && !aw_placing_is_sufficient(&p))
        written = STATUS_NOT_MET;
    aw_placing_free(&p);
    aw_text_free(&text);
    return written;
}

/* Every zone with a need asked for the same p95. False without memory, with a complaint. */
static bool ask(aw_varied *asked, double p95)
{
    aw_zone *zones = aw_varied_zones(asked);
    if (zones == NULL)
        fputs("anchorwise: out of memory for the zones\n", stderr);
    for (size_t i = 0; zones != NULL && i < asked->scenario.n_zones; i++)
        if (aw_need_is_stated(&zones[i].need))
            zones[i].need.p95 = p95;
    return zones != NULL;
}

/* Once for each accuracy; stopped, the rows so far. */
static int run_needs(const cli_options *o, const aw_placing_plan *plan, const aw_run *run,
                     const needs *list)
{
    const aw_scenario *s = plan->scenario;
    aw_placing placings[MOST_NEEDS] = {{0}};
    aw_varied asked = aw_vary(s);
    aw_text text = {0};
    int status = STATUS_DONE;
    size_t done = 0;
    bool found = true;
    for (size_t k = 0; status == STATUS_DONE && k < list->n; k++) {
        aw_placing_plan own = *plan;
        own.scenario = &asked.scenario;
        own.afresh = true;
        status = ask(&asked, list->p95[k]) ? place(&placings[k], &own, run) : STATUS_FAILED;
        done += status == STATUS_DONE;
        found = found && aw_placing_is_sufficient(&placings[k]);
    }
    if (done > 0 && (status == STATUS_DONE || status == STATUS_STOPPED)) {
        const aw_placings all = {placings, list->p95, done, o->sturdy};
        if (o->json)
            aw_placings_json(&all, s, o->scenario, &text);
        else
            aw_placings_table(&all, s, o->scenario, cli_has_colour(o), &text);
        const int written = cli_write_result(&text, NULL, o);
        status = written != STATUS_DONE ? written : status;
    }
    if (status == STATUS_DONE && !found)
        status = STATUS_NOT_MET;
    for (size_t k = 0; k < list->n; k++)
        aw_placing_free(&placings[k]);
    aw_varied_free(&asked);
    aw_text_free(&text);
    return status;
}

int cli_place(const cli_options *o)
{
    aw_scenario s;
    cli_given given = {{0}, ""};
    needs list;
    const unsigned threads = cli_threads(o);
    if (threads == 0 || !options_agree(o))
        return STATUS_WRONG;
    int status = cli_read_one(&s, 0, o, &given);
    bool *keep = NULL;
    if (status == STATUS_DONE &&
        (!read_needs(o, &s, &list) ||
         (o->keep != NULL && (keep = cli_read_names(o->keep, "--keep", o, &s)) == NULL)))
        status = STATUS_WRONG;
    if (status == STATUS_DONE) {
        cli_tell_cost(o, &s, threads,
                      (double)(LAYOUTS * (list.n > 0 ? list.n : 1) * aw_assess_work(&s)),
                      " or more");
        const aw_placing_plan plan = {
            .scenario = &s, .keep = keep, .sturdy = o->sturdy, .afresh = o->afresh};
        aw_errors errors = {0};
        const aw_run run = {threads, cli_watch(o), &errors};
        cli_stop_gently(run.watch);
        status =
            list.n > 0 ? run_needs(o, &plan, &run, &list) : run_one(o, &plan, &run, &given.text);
        aw_errors_free(&errors);
    }
    free(keep);
    aw_text_free(&given.text);
    aw_scenario_free(&s);
    return status;
}
