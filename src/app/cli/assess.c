/* assess: how large is the error across the floor; is each zone's need met. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* What of the command line concerns the cells. */
typedef struct cells_plan {
    size_t tag;
    bool tile;
    aw_point low, high; /* m */
} cells_plan;

static bool read_tile(const cli_options *options, const aw_scenario *s, cells_plan *plan)
{
    double corner[4];
    if (!cli_read_lengths(options->tile, s, 4, corner)) {
        cli_complain("--tile: '%s' is not X0,Y0,X1,Y1, four lengths within %s", options->tile,
                     cli_farthest(s));
        return false;
    }
    plan->tile = true;
    plan->low = (aw_point){corner[0], corner[1]};
    plan->high = (aw_point){corner[2], corner[3]};
    if (corner[0] > corner[2] || corner[1] > corner[3])
        cli_complain("--tile: X0,Y0 must be the lower left corner");
    return corner[0] <= corner[2] && corner[1] <= corner[3];
}

/* Options that do not go together. */
static bool options_agree(const cli_options *o)
{
    const bool cells_out = o->cells != NULL && strcmp(o->cells, "-") == 0;
    const bool result_out = o->out == NULL || strcmp(o->out, "-") == 0;
    if (o->cells == NULL && (o->tag != NULL || o->tile != NULL))
        cli_complain("%s goes with --cells", o->tag != NULL ? "--tag" : "--tile");
    else if (cells_out && result_out && o->tile == NULL)
        cli_complain("--cells - and the result would both go to standard output; give --out FILE");
    else if (o->tile != NULL && (o->json || o->out != NULL))
        cli_complain("--tile writes only the cells; leave out %s", o->json ? "--json" : "--out");
    else
        return true;
    return false;
}

static int write_cells(const aw_map *map, const aw_scenario *s, const char *path, aw_watch *watch)
{
    aw_text text = {0};
    aw_watch_stage(watch, 0, "writing %zu cells", map->grid.n);
    aw_cells_csv(map, s, &text);
    aw_watch_end(watch);
    const int status = cli_write(&text, path);
    aw_text_free(&text);
    return status;
}

/* The cells of one tag, or of a tile, as a map of their own. */
static int run_cells(const cli_options *options, const aw_scenario *s, const cells_plan *cells,
                     unsigned threads, aw_watch *watch)
{
    const aw_map_plan plan = {.scenario = s, .tag = cells->tag, .groups = 1};
    aw_errors errors = {0};
    aw_grid grid;
    aw_map map = {0};
    bool done = aw_grid_lay(&grid, s, cells->tag, &errors);
    if (done && cells->tile)
        aw_grid_clip_box(&grid, cells->low, cells->high);
    if (done) {
        aw_watch_stage(watch, grid.n * s->study.draws, "%zu cells of %s", grid.n,
                       s->tags[cells->tag].name);
        done = aw_map_run(&map, &grid, &plan, &(aw_run){threads, watch, &errors});
    }
    int status = cli_report(&errors, watch);
    if (done)
        status = write_cells(&map, s, options->cells, watch);
    aw_map_free(&map);
    aw_errors_free(&errors);
    return status;
}

static int write_result(const cli_options *options, const aw_scenario *s, const aw_assessment *a)
{
    aw_text text = {0};
    if (options->json)
        aw_assessment_json(a, s, options->scenario, &text);
    else
        aw_assessment_table(a, s, options->scenario, cli_has_colour(options), &text);
    const int status = cli_write_result(&text, options->out, options);
    aw_text_free(&text);
    return status;
}

static int run_whole(const cli_options *options, const aw_scenario *s, const cells_plan *cells,
                     unsigned threads)
{
    cli_tell_cost(options, s, threads, (double)aw_assess_work(s), "");
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    aw_assessment a;
    cli_estimate(s, threads, watch);
    const bool done = aw_assess_run(&a, s, &(aw_run){threads, watch, &errors});
    int status = cli_report(&errors, watch);
    if (done && options->cells != NULL)
        status = cells->tag == 0 ? write_cells(&a.map, s, options->cells, watch)
                                 : run_cells(options, s, cells, threads, watch);
    if (done && status == STATUS_DONE)
        status = write_result(options, s, &a);
    if (status == STATUS_DONE && (a.verdict == AW_NOT_MET || a.verdict == AW_UNDECIDED))
        status = STATUS_NOT_MET;
    aw_assessment_free(&a);
    aw_errors_free(&errors);
    return status;
}

int cli_assess(const cli_options *options)
{
    aw_scenario s;
    cells_plan cells = {0};
    const unsigned threads = cli_threads(options);
    if (threads == 0 || !options_agree(options))
        return STATUS_WRONG;
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE &&
        ((options->tag != NULL && !cli_find_tag(options, &s, &cells.tag)) ||
         (options->tile != NULL && !read_tile(options, &s, &cells))))
        status = STATUS_WRONG;
    if (status == STATUS_DONE)
        status = cells.tile ? run_cells(options, &s, &cells, threads, cli_watch(options))
                            : run_whole(options, &s, &cells, threads);
    aw_scenario_free(&s);
    return status;
}
