/* import: what a plan holds, and the scenario that its rules make of it. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>

#include "draw/plan_sheet.h"
#include "plan/write.h"
#include "report/plan.h"

typedef struct importing {
    const cli_options *options;
    aw_plan plan;
    aw_unit_verdict verdict;
    aw_rules rules;
    aw_made made;
    cli_drawing drawing; /* of plan and scenario over each other */
    aw_errors errors;
    aw_run run;
    bool makes; /* rules were given or are to be guessed */
} importing;

/* Complaints of one source, under its name; the status. */
static int tell(aw_errors *errors, const char *name)
{
    aw_errors_sort(errors);
    aw_errors_write(errors, name, false, stderr);
    const int status = errors->n_errors == 0             ? STATUS_DONE
                       : aw_errors_out_of_memory(errors) ? STATUS_FAILED
                                                         : STATUS_WRONG;
    aw_errors_free(errors);
    return status;
}

static bool options_agree(const cli_options *o)
{
    const bool makes = o->rules != NULL || o->n_layers > 0 || o->guess;
    if (!makes && o->out != NULL)
        cli_complain("--out needs roles: --rules FILE, --layer NAME=ROLE or --guess");
    else if (!makes && o->into != NULL)
        cli_complain("--into needs roles: --rules FILE, --layer NAME=ROLE or --guess");
    else if (!makes && o->chart != NULL)
        cli_complain("--chart needs roles: --rules FILE, --layer NAME=ROLE or --guess");
    else if (o->into != NULL && o->out == NULL && o->chart == NULL)
        cli_complain("--into needs --out FILE; the scenario stays as it is");
    else if (o->out != NULL && strcmp(o->out, "-") == 0)
        cli_complain("--out - and the result would both go to standard output; give --out FILE");
    else if (o->json && o->guess && o->out == NULL)
        cli_complain("--guess prints rules, --json a document: with both give --out FILE");
    else
        return true;
    return false;
}

static int read_rules(importing *m)
{
    const cli_options *o = m->options;
    char *text = NULL;
    size_t length = 0;
    int status = STATUS_DONE;
    if (!aw_rules_create(&m->rules, &m->errors))
        return tell(&m->errors, "anchorwise");
    for (size_t i = 0; i < o->n_layers; i++)
        aw_rules_add(&m->rules, o->layers[i], &m->errors);
    if (m->errors.n_errors > 0)
        return tell(&m->errors, "anchorwise: --layer");
    if (o->rules != NULL) {
        if (aw_file_read(o->rules, &text, &length, &m->errors))
            aw_rules_read(&m->rules, text, length, &m->errors);
        free(text);
        status = tell(&m->errors, strcmp(o->rules, "-") == 0 ? "standard input" : o->rules);
    }
    if (status != STATUS_DONE)
        return status;
    if (o->turn != NULL && !aw_rules_read_turn(&m->rules, o->turn))
        return cli_complain("--turn: '%s' is not degrees in [-360, 360], auto or none", o->turn);
    if (o->unit != NULL && (m->rules.unit = aw_unit_named(o->unit)) == AW_PLAN_UNSURE)
        return cli_complain("--unit: '%s' is not one of mm, cm, m, in, ft", o->unit);
    return STATUS_DONE;
}

/* The end of a stage: stopped, wrong, or on. */
static int end_stage(importing *m, bool done)
{
    aw_watch_end(m->run.watch);
    if (done)
        return STATUS_DONE;
    if (m->errors.n_errors == 0 && aw_run_stopped(&m->run))
        return cli_report(&m->errors, m->run.watch);
    return tell(&m->errors, m->options->scenario);
}

static int read_plan(importing *m)
{
    bool done = aw_plan_read(&m->plan, m->options->paths[0], &m->run);
    if (done && !aw_unit_judge(&m->verdict, &m->plan)) {
        aw_errors_add(&m->errors, AW_ERROR, 0, 0, "out of memory for the unit");
        done = false;
    }
    if (done && (m->options->guess || !m->makes))
        done = aw_rules_guess(&m->rules, &m->plan, &m->errors);
    return end_stage(m, done);
}

static int draw_chart(importing *m, const aw_scenario *scenario)
{
    const aw_plan_sheet what = {&m->plan, &m->rules, &m->made, scenario, m->drawing.look};
    aw_errors errors = {0};
    aw_sheet sheet;
    aw_plan_sheet_draw(&sheet, &what, &errors);
    return cli_write_drawing(&m->drawing, &sheet, &errors);
}

/* Whether a text is a scenario, which is drawn if asked for; complaints under the name of the file
 * that it would become. */
static int check_text(importing *m, const char *text, size_t length)
{
    const char *name = m->options->out != NULL ? m->options->out : m->options->scenario;
    aw_scenario scenario;
    aw_errors errors = {0};
    aw_scenario_parse(&scenario, text, length, &errors);
    aw_errors_sort(&errors);
    aw_errors_write(&errors, name, !m->options->quiet, stderr);
    int status = errors.n_errors == 0               ? STATUS_DONE
                 : aw_errors_out_of_memory(&errors) ? STATUS_FAILED
                                                    : STATUS_WRONG;
    if (status == STATUS_WRONG)
        cli_complain("nothing was written: what the plan gives is no sound scenario");
    if (status == STATUS_DONE && m->options->chart != NULL)
        status = draw_chart(m, &scenario);
    aw_scenario_free(&scenario);
    aw_errors_free(&errors);
    return status;
}

static int patch_scenario(importing *m, aw_text *text)
{
    const cli_options *o = m->options;
    char *bytes = NULL;
    size_t length = 0;
    aw_edit *edit = NULL;
    if (aw_file_read(o->into, &bytes, &length, &m->errors))
        edit = aw_edit_create(bytes, length, &m->errors);
    free(bytes);
    if (edit != NULL && aw_made_patch(&m->made, o->scenario, edit, &m->errors)) {
        const char *patched = aw_edit_text(edit, &length);
        aw_text_add_bytes(text, patched, length);
    }
    aw_edit_free(edit);
    return tell(&m->errors, o->into);
}

static int write_scenario(importing *m)
{
    aw_text text = {0};
    int status = STATUS_DONE;
    if (m->options->into != NULL) {
        status = patch_scenario(m, &text);
    } else if (!aw_made_write(&m->made, m->options->scenario, &text, &m->errors)) {
        status = tell(&m->errors, m->options->scenario);
    }
    if (status == STATUS_DONE)
        status = text.failed ? STATUS_FAILED : check_text(m, text.at, text.n);
    if (status == STATUS_DONE)
        status = m->options->out != NULL ? cli_write(&text, m->options->out) : STATUS_DONE;
    aw_text_free(&text);
    return status;
}

/* Rules where they are asked for, else what the plan holds and what became of it. */
static int show(importing *m)
{
    const aw_told_plan told = {
        m->options->scenario,      &m->plan, &m->verdict, &m->rules, m->options->guess || !m->makes,
        m->makes ? &m->made : NULL};
    aw_text text = {0};
    if (m->options->json)
        aw_plan_json(&told, &text);
    else if (m->options->guess)
        aw_rules_write(&m->rules, &m->plan, &m->verdict, &text);
    else
        aw_plan_words(&told, &text);
    const int status = cli_write_result(&text, NULL, m->options);
    aw_text_free(&text);
    return status;
}

static int import_plan(importing *m)
{
    int status = read_rules(m);
    if (status == STATUS_DONE)
        status = read_plan(m);
    /* Guessed rules are of use before anyone knows the unit. */
    const bool writes = m->options->out != NULL || m->options->chart != NULL;
    const bool only_rules = m->options->guess && !writes;
    if (status == STATUS_DONE && m->makes && !only_rules)
        status = end_stage(m, aw_made_make(&m->made, &m->plan, &m->rules, &m->verdict, &m->run));
    if (status == STATUS_DONE && writes)
        status = write_scenario(m);
    return status == STATUS_DONE ? show(m) : status;
}

int cli_import(const cli_options *options)
{
    importing m = {.options = options};
    if (!options_agree(options) || !cli_read_side_drawing(&m.drawing, options, "import"))
        return STATUS_WRONG;
    m.makes = options->rules != NULL || options->n_layers > 0 || options->guess;
    m.run = (aw_run){1, cli_watch(options), &m.errors};
    const int status = import_plan(&m);
    aw_errors_free(&m.errors);
    aw_made_free(&m.made);
    aw_rules_free(&m.rules);
    aw_plan_free(&m.plan);
    return status;
}
