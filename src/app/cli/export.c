/* export: a site as a drawing in the coordinates of the plan that it was made from, or as a table.
 */
#include "app/cli/cli.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/plane.h"
#include "draw/field.h"
#include "plan/marks.h"
#include "report/schedule.h"

/* Contours of p95, m. */
static const double levels[] = {0.1, 0.15, 0.2, 0.3, 0.5, 0.8, 1.2, 2, 5};
#define N_LEVELS (sizeof levels / sizeof *levels)

typedef enum form { FORM_DXF, FORM_GEOJSON, FORM_CSV, FORM_NONE } form;

static form form_of(const char *path)
{
    static const struct {
        const char *ending;
        form form;
    } forms[] = {{".dxf", FORM_DXF},
                 {".geojson", FORM_GEOJSON},
                 {".json", FORM_GEOJSON},
                 {".csv", FORM_CSV}};
    const size_t n = path != NULL ? strlen(path) : 0;
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        const size_t k = strlen(forms[i].ending);
        if (n > k && strcasecmp(path + n - k, forms[i].ending) == 0)
            return forms[i].form;
    }
    return FORM_NONE;
}

static bool add_contours(aw_marks *marks, const aw_field *field, double level, const char *layer)
{
    aw_paths paths = {0};
    bool fine = aw_field_trace(field, level, &paths);
    for (size_t i = 0; fine && i < paths.n; i++) {
        const aw_outline *o = &paths.list[i];
        const double none = (double)NAN;
        const aw_mark mark = {o->closed ? AW_MARK_RING : AW_MARK_LINE,
                              layer,
                              NULL,
                              o->at,
                              o->n,
                              none,
                              none,
                              none,
                              NULL};
        fine = o->n < 2 || aw_marks_add(marks, &mark);
    }
    aw_paths_free(&paths);
    return fine;
}

/* The values in a zone alone. */
static bool mask_zone(aw_field *to, const aw_field *from, const aw_zone *zone)
{
    for (size_t i = 0; i < from->nx * from->ny; i++) {
        const aw_point at = aw_field_centre(from, i);
        to->value[i] = aw_polygon_holds(&zone->outline, at.x, at.y) ? from->value[i] : (double)NAN;
    }
    return true;
}

static bool add_all_contours(const aw_scenario *s, aw_marks *marks, const aw_field *field,
                             aw_field *zone)
{
    bool fine = true;
    for (size_t i = 0; fine && i < N_LEVELS; i++) {
        char layer[32];
        snprintf(layer, sizeof layer, "AW-P95-%03.0f", 100 * levels[i]);
        fine = add_contours(marks, field, levels[i], layer);
    }
    for (size_t i = 0; fine && i < s->n_zones; i++)
        if (!isnan(s->zones[i].need.p95))
            fine = mask_zone(zone, field, &s->zones[i]) &&
                   add_contours(marks, zone, s->zones[i].need.p95, "AW-NEED");
    return fine;
}

/* p95 over the floor by the first tag: its contours, and in each zone that of its need. */
static bool draw_contours(const aw_scenario *s, aw_marks *marks, const aw_run *run)
{
    const aw_map_plan plan = {.scenario = s, .groups = 1, .interval_of = AW_LAYER_P95};
    aw_grid grid = {0};
    aw_map map = {0};
    aw_field field = {0}, zone = {0};
    bool fine = aw_grid_lay_zone(&grid, s, NULL, run->errors);
    if (!fine)
        return false;
    fine = aw_field_create(&field, &grid) && aw_field_create(&zone, &grid);
    if (!fine)
        aw_grid_free(&grid);
    else
        aw_watch_stage(run->watch, grid.n * s->study.draws, "drawing %zu cells", grid.n);
    fine = fine && aw_map_run(&map, &grid, &plan, run);
    if (fine) {
        aw_field_lay(&field, &map, AW_LAYER_P95);
        fine = add_all_contours(s, marks, &field, &zone);
    }
    aw_map_free(&map);
    aw_field_free(&field);
    aw_field_free(&zone);
    return fine;
}

static int write_drawing(cli_site *site, form which)
{
    aw_marks marks = {0};
    aw_text text = {0};
    const aw_run *run = cli_begin(site, 1, "");
    const bool fine = aw_marks_create(&marks, &site->scenario) &&
                      (site->options->no_contours || draw_contours(&site->scenario, &marks, run));
    if (!fine && site->errors.n_errors == 0 && !aw_run_stopped(run))
        aw_errors_add(&site->errors, AW_ERROR, 0, 0, "out of memory for the drawing");
    if (fine && which == FORM_DXF)
        aw_marks_dxf(&marks, &text);
    else if (fine)
        aw_marks_geojson(&marks, &text);
    aw_marks_free(&marks);
    return cli_show(site, cli_end(site), &text);
}

static int write_table(cli_site *site)
{
    aw_text text = {0};
    aw_schedule_csv(&site->scenario, &text);
    return cli_show(site, STATUS_DONE, &text);
}

static int export_site(cli_site *site)
{
    const form which = form_of(site->options->out);
    return which == FORM_CSV ? write_table(site) : write_drawing(site, which);
}

int cli_export(const cli_options *options)
{
    if (form_of(options->out) == FORM_NONE)
        return cli_complain("export needs --out FILE.dxf, FILE.geojson or FILE.csv");
    return cli_with_site(options, NULL, export_site);
}
