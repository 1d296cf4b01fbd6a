/* Drawing alone: the sheet of a chart at A3 and its PDF, the values being there; best of five. */
#include "draw/chart.h"
#include "bench.h"

#define ROUNDS 5

static double draw_once(const aw_chart *chart, aw_errors *errors)
{
    aw_sheet sheet;
    aw_text pdf = {0};
    const double began = bench_now();
    if (!aw_chart_draw(&sheet, chart, errors) || !aw_sheet_pdf(&sheet, &pdf, errors)) {
        aw_errors_write(errors, "bench", true, stderr);
        exit(3);
    }
    const double seconds = bench_now() - began;
    aw_text_free(&pdf);
    aw_sheet_free(&sheet);
    return seconds;
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    aw_errors errors = {0};
    bench_open(argc, argv, &scenario, &grid);
    const aw_chart_options options = {.layer = AW_LAYER_P95, .paper = AW_PAPER_A3};
    aw_chart *chart =
        aw_chart_create(&scenario, &options, &(aw_run){aw_processors(), NULL, &errors});
    if (chart == NULL) {
        aw_errors_write(&errors, argv[1], true, stderr);
        return 3;
    }
    double best = HUGE_VAL;
    for (int i = 0; i < ROUNDS; i++)
        best = fmin(best, draw_once(chart, &errors));
    printf("seconds %.6f\ncells %zu\n", best, grid.n);
    aw_chart_free(chart);
    aw_grid_free(&grid);
    aw_scenario_free(&scenario);
    return 0;
}
