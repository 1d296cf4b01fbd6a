/* compare: which of two or more layouts is better, where, and is the difference real. */
#include "app/cli/cli.h"
#include "draw/difference.h"

#include <string.h>

/* A file's name without its folders. */
static const char *last_part(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

static int write_chart(const cli_options *options, const cli_drawing *drawing,
                       const aw_comparison *comparison, const aw_scenario scenarios[])
{
    const aw_difference what = {
        .comparison = comparison,
        .a = &scenarios[0],
        .b = &scenarios[1],
        .names = {last_part(options->scenarios[0]), last_part(options->scenarios[1])},
        .options = drawing->look};
    aw_errors errors = {0};
    aw_sheet sheet = {0};
    aw_difference_draw(&sheet, &what, &errors);
    return cli_write_drawing(drawing, &sheet, &errors);
}

static int write_result(const cli_options *options, const aw_comparison comparisons[],
                        const aw_scenario scenarios[])
{
    const size_t n = options->n_scenarios;
    aw_text text = {0};
    if (options->json)
        aw_comparisons_json(comparisons, scenarios, options->scenarios, n, &text);
    else
        aw_comparisons_table(comparisons, scenarios, options->scenarios, n, cli_has_colour(options),
                             &text);
    const int status = cli_write_result(&text, options->out, options);
    aw_text_free(&text);
    return status;
}

/* The first layout against each of the others. */
static int run_all(const cli_options *options, const cli_drawing *drawing,
                   const aw_scenario scenarios[], unsigned threads)
{
    const size_t n = options->n_scenarios;
    aw_comparison comparisons[CLI_MOST_SCENARIOS] = {0};
    aw_errors errors = {0};
    double work = 0;
    for (size_t k = 1; k < n; k++)
        work += (double)aw_compare_work(&scenarios[0], &scenarios[k]);
    cli_tell_cost(options, &scenarios[0], threads, work, "");
    aw_watch *watch = cli_watch(options);
    bool done = true;
    for (size_t k = 1; done && k < n; k++)
        done = aw_compare_run(&comparisons[k - 1], &scenarios[0], &scenarios[k],
                              &(aw_run){threads, watch, &errors});
    int status = cli_report(&errors, watch);
    if (status == STATUS_DONE && options->chart != NULL)
        status = write_chart(options, drawing, &comparisons[0], scenarios);
    if (status == STATUS_DONE)
        status = write_result(options, comparisons, scenarios);
    if (status == STATUS_DONE && cli_falls_short(comparisons[n - 2].verdict[1]))
        status = STATUS_NOT_MET;
    for (size_t k = 1; k < n; k++)
        aw_comparison_free(&comparisons[k - 1]);
    aw_errors_free(&errors);
    return status;
}

static bool read_chart(const cli_options *options, cli_drawing *drawing)
{
    if (options->chart == NULL || options->n_scenarios == 2)
        return cli_read_side_drawing(drawing, options, "compare");
    cli_complain("--chart takes exactly two scenarios");
    return false;
}

static int check_floors(const cli_options *options, const aw_scenario scenarios[])
{
    int status = STATUS_DONE;
    for (size_t k = 1; k < options->n_scenarios; k++) {
        aw_errors errors = {0};
        if (!aw_same_floor(&scenarios[0], &scenarios[k], &errors))
            status = STATUS_WRONG;
        aw_errors_write(&errors, options->scenarios[k], false, stderr);
        aw_errors_free(&errors);
    }
    return status;
}

int cli_compare(const cli_options *options)
{
    aw_scenario scenarios[CLI_MOST_SCENARIOS] = {0};
    cli_given given[CLI_MOST_SCENARIOS] = {0};
    cli_drawing drawing = {0};
    const unsigned threads = cli_threads(options);
    if (threads == 0 || !read_chart(options, &drawing))
        return STATUS_WRONG;
    int status = STATUS_DONE;
    for (size_t k = 0; k < options->n_scenarios; k++) {
        const int read = cli_read_one(&scenarios[k], k, options, &given[k]);
        status = read > status ? read : status;
    }
    cli_name_files(&drawing, options, given, 2);
    if (status == STATUS_DONE)
        status = check_floors(options, scenarios);
    if (status == STATUS_DONE)
        status = cli_read_picture(&drawing, options, &scenarios[0]);
    if (status == STATUS_DONE)
        status = run_all(options, &drawing, scenarios, threads);
    aw_pale_free(&drawing.pale);
    for (size_t k = 0; k < options->n_scenarios; k++) {
        aw_scenario_free(&scenarios[k]);
        aw_text_free(&given[k].text);
    }
    return status;
}
