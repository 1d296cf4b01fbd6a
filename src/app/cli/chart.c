/* chart: the accuracy chart, as SVG, PNG or PDF. */
#include "app/cli/cli.h"
#include "anchorwise/level.h"

#include <string.h>

static bool read_layer(const cli_options *options, aw_chart_options *chart)
{
    chart->layer = options->layer ? aw_layer_named(options->layer) : AW_LAYER_P95;
    if (chart->layer < AW_LAYERS)
        return true;
    const char *known[AW_LAYERS];
    for (int i = 0; i < AW_LAYERS; i++)
        known[i] = aw_layer_rows[i].key;
    cli_complain_of_unknown("--layer: unknown layer", options->layer, known, AW_LAYERS,
                            "'anchorwise help chart' lists them");
    return false;
}

static bool read_spots(const cli_options *options, const aw_scenario *s, aw_point spots[])
{
    for (size_t i = 0; i < options->n_spots; i++) {
        double at[2];
        if (!cli_read_lengths(options->spots[i], s, 2, at)) {
            cli_complain("--spot: '%s' is not X,Y, two lengths within %s", options->spots[i],
                         cli_farthest(s));
            return false;
        }
        spots[i] = (aw_point){at[0], at[1]};
    }
    return true;
}

/* Complaints about the options that only the drawing finds out: a status of its own. */
static int draw(const cli_options *options, const aw_scenario *s, const cli_drawing *drawing,
                unsigned threads)
{
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_text text = {0};
    aw_sheet sheet = {0};
    aw_chart *shown = aw_chart_create(s, &drawing->look, &(aw_run){threads, watch, &errors});
    if (shown != NULL)
        aw_watch_stage(watch, 0, "contours and labels");
    const bool drawn = shown != NULL && aw_chart_draw(&sheet, shown, &errors);
    const bool wrong = !drawn && errors.n_errors > 0 && !aw_errors_out_of_memory(&errors);
    if (drawn) {
        aw_watch_stage(watch, 0, "writing the sheet");
        cli_make_drawing(drawing, &sheet, &text, &errors);
    }
    int status = cli_report(&errors, watch);
    if (status == STATUS_DONE)
        status = cli_write(&text, options->out);
    aw_text_free(&text);
    aw_sheet_free(&sheet);
    aw_chart_free(shown);
    aw_errors_free(&errors);
    return wrong ? STATUS_WRONG : status;
}

/* Of each spot what its figures cannot tell, on standard error. */
static void remark_on_spots(const cli_options *options, const aw_scenario *s,
                            const aw_chart_options *look)
{
    for (size_t i = 0; !options->quiet && i < options->n_spots; i++) {
        const aw_point p = look->spots[i];
        aw_text text = {0};
        aw_spot_remarks(s, (double[3]){p.x, p.y, aw_tag_at(s, look->tag, p.x, p.y)}, &text);
        for (char *line = text.n > 0 && !text.failed ? strtok(text.at, "\n") : NULL; line != NULL;
             line = strtok(NULL, "\n"))
            fprintf(stderr, "%s: spot %s: %s\n", options->scenario, options->spots[i], line);
        aw_text_free(&text);
    }
}

/* Whether one place has tags on a slab and under it: a chart then shows one of the two. */
static bool has_storeys(const aw_scenario *s)
{
    for (size_t i = 0; i < s->n_tags; i++)
        if (s->tags[i].level != AW_LEVEL_TOP)
            return true;
    return false;
}

/* The whole floor by one tag, if it is named. */
static bool read_tag(const cli_options *options, const aw_scenario *s, aw_chart_options *look)
{
    look->by_tag = options->tag != NULL || has_storeys(s);
    return options->tag == NULL || cli_find_tag(options, s, &look->tag);
}

static double floor_draws(const aw_scenario *s)
{
    aw_errors errors = {0};
    aw_grid grid;
    const bool laid = aw_grid_lay_zone(&grid, s, NULL, &errors);
    const double draws = laid ? (double)grid.n * s->study.draws : 0;
    if (laid)
        aw_grid_free(&grid);
    aw_errors_free(&errors);
    return draws;
}

int cli_chart(const cli_options *options)
{
    aw_scenario s;
    aw_point spots[CLI_MOST_SPOTS];
    cli_drawing drawing;
    cli_given given = {{0}, ""};
    if (!cli_read_drawing(&drawing, options, "chart", "--out", options->out))
        return STATUS_WRONG;
    drawing.look.spots = spots;
    drawing.look.n_spots = options->n_spots;
    const unsigned threads = cli_threads(options);
    if (threads == 0 || !read_layer(options, &drawing.look))
        return STATUS_WRONG;
    int status = cli_read_one(&s, 0, options, &given);
    cli_name_files(&drawing, options, &given, 1);
    if (status == STATUS_DONE &&
        (!read_spots(options, &s, spots) || !read_tag(options, &s, &drawing.look)))
        status = STATUS_WRONG;
    if (status == STATUS_DONE)
        status = cli_read_picture(&drawing, options, &s);
    if (status == STATUS_DONE) {
        cli_tell_cost(options, &s, threads, floor_draws(&s), "");
        status = draw(options, &s, &drawing, threads);
        if (status == STATUS_DONE)
            remark_on_spots(options, &s, &drawing.look);
    }
    aw_text_free(&given.text);
    aw_pale_free(&drawing.pale);
    aw_scenario_free(&s);
    return status;
}
