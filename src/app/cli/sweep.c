/* sweep: error against the number of anchors and the mounting height. */
#include "app/cli/cli.h"
#include "draw/curves.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MOST_POINTS 60
#define PATH_ROOM   4096
/* Layouts that a sweep of counts draws at least: its curve goes on beyond what is asked. */
#define CURVE_TO 24

typedef struct points {
    double at[MOST_POINTS];
    size_t n;
} points;

/* "A:B" or "A:B:STEP", in the scenario's units for heights. */
static bool read_range(const char *text, double unit, double standard, points *p)
{
    double part[3] = {0, 0, standard};
    size_t n = 0;
    for (const char *at = text; n < 3;) {
        char *end;
        part[n++] = strtod(at, &end) * unit;
        if (strspn(at, "+-.0123456789eE") < (size_t)(end - at) || end == at ||
            (*end != ':' && *end != '\0'))
            return false;
        if (*end == '\0')
            break;
        at = end + 1;
        if (n == 3)
            return false;
    }
    if (n < 2 || !(part[1] >= part[0]) || !(part[2] > 0))
        return false;
    p->n = 0;
    for (size_t k = 0; part[0] + (double)k * part[2] <= part[1] + 1e-9; k++) {
        if (p->n == MOST_POINTS)
            return false;
        p->at[p->n++] = part[0] + (double)k * part[2];
    }
    return true;
}

static size_t fewest(const aw_scenario *s)
{
    size_t most = 2;
    for (size_t i = 0; i < s->n_tags; i++)
        most = s->tags[i].fix == AW_FIX_3D ? 3 : most;
    return most + 1;
}

static bool read_counts(const cli_options *o, const aw_scenario *s, points *p)
{
    char usual[32];
    snprintf(usual, sizeof usual, "%zu:12", fewest(s));
    bool sound = read_range(o->counts ? o->counts : usual, 1, 1, p);
    for (size_t i = 0; sound && i < p->n; i++)
        sound = p->at[i] >= (double)fewest(s) && p->at[i] <= 64 && floor(p->at[i]) == p->at[i];
    if (!sound)
        cli_complain("--counts: '%s' is not A:B or A:B:STEP of whole numbers in [%zu, 64]",
                     o->counts, fewest(s));
    return sound;
}

static bool read_heights(const cli_options *o, const aw_scenario *s, points *p)
{
    const double unit = aw_unit_metres(s->units);
    const bool sound = read_range(o->heights, unit, 0.5 * unit, p) && p->at[0] >= 0 &&
                       p->at[p->n - 1] <= s->floor.ceiling + 1e-9;
    if (!sound)
        cli_complain("--heights: '%s' is not A:B or A:B:STEP within [0, %.6g] %s (the ceiling), at "
                     "most %d of them",
                     o->heights, s->floor.ceiling / unit, aw_unit_name(s->units), MOST_POINTS);
    return sound;
}

/* --- the scenario of each point --- */

/* Where that of a point is written. False if that is too long. */
static bool name_point(const cli_site *site, double at, char path[PATH_ROOM])
{
    const cli_options *o = site->options;
    const double unit = aw_unit_metres(site->scenario.units);
    const int length =
        o->heights != NULL
            ? snprintf(path, PATH_ROOM, "%s/height-%.6g.yaml", o->out_each, at / unit)
            : snprintf(path, PATH_ROOM, "%s/anchors-%.0f.yaml", o->out_each, at);
    return length > 0 && length < PATH_ROOM;
}

/* Makes the folder and looks whether its files may be written. False after a complaint. */
static bool open_folder(const cli_site *site, const points *p)
{
    const char *folder = site->options->out_each;
    struct stat there;
    char path[PATH_ROOM];
    if (folder == NULL)
        return true;
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        cli_complain("--out-each: cannot make the folder '%s': %s", folder, strerror(errno));
        return false;
    }
    if (stat(folder, &there) != 0 || !S_ISDIR(there.st_mode) || access(folder, W_OK | X_OK) != 0 ||
        !name_point(site, p->at[p->n - 1], path)) {
        cli_complain("--out-each: '%s' is no folder that can be written to", folder);
        return false;
    }
    for (size_t i = 0; i < p->n; i++)
        if (!name_point(site, p->at[i], path) ||
            !cli_file_is_apart(site->options, cli_find_command("sweep"), "--out-each", path))
            return false;
    return true;
}

static int write_point(const cli_site *site, const aw_swept *point)
{
    aw_errors errors = {0};
    aw_text text = {0};
    char path[PATH_ROOM];
    int status = STATUS_FAILED;
    aw_edit *edit = aw_edit_create(site->given.text.at, site->given.text.n, &errors);
    if (edit != NULL && name_point(site, point->at, path) &&
        aw_swept_write(point, &site->scenario, edit, &errors)) {
        size_t length;
        const char *bytes = aw_edit_text(edit, &length);
        aw_text_add_bytes(&text, bytes, length);
        status = cli_write(&text, path);
    } else {
        aw_errors_write(&errors, site->options->scenario, false, stderr);
        status = aw_errors_out_of_memory(&errors) ? STATUS_FAILED : STATUS_WRONG;
    }
    aw_edit_free(edit);
    aw_text_free(&text);
    aw_errors_free(&errors);
    return status;
}

static int write_each(const cli_site *site, const aw_sweep *w)
{
    int status = STATUS_DONE;
    for (size_t i = 0; site->options->out_each != NULL && status == STATUS_DONE && i < w->n; i++)
        status = write_point(site, &w->points[i]);
    return status;
}

static int write_chart(const cli_drawing *drawing, const aw_sweep *w, const aw_scenario *s)
{
    aw_errors errors = {0};
    aw_sheet sheet = {0};
    aw_sweep_draw(&sheet, w, s, &drawing->look, &errors);
    return cli_write_drawing(drawing, &sheet, &errors);
}

static int write_all(cli_site *site, const aw_sweep *w)
{
    const cli_options *o = site->options;
    const aw_scenario *s = &site->scenario;
    aw_text text = {0}, csv = {0};
    int status = o->chart != NULL ? write_chart(&site->drawing, w, s) : STATUS_DONE;
    if (status == STATUS_DONE && o->csv != NULL) {
        aw_sweep_csv(w, s, &csv);
        status = cli_write(&csv, o->csv);
    }
    if (status == STATUS_DONE)
        status = write_each(site, w);
    if (o->json)
        aw_sweep_json(w, s, o->scenario, &text);
    else
        aw_sweep_table(w, s, o->scenario, &text);
    aw_text_free(&csv);
    return cli_show(site, status, &text);
}

static bool options_agree(const cli_options *o)
{
    const bool result_out = o->out == NULL || strcmp(o->out, "-") == 0;
    if (o->counts != NULL && o->heights != NULL)
        cli_complain("sweep takes --counts or --heights, not both");
    else if (o->group != NULL && o->heights == NULL)
        cli_complain("--group goes with --heights");
    else if (o->csv != NULL && strcmp(o->csv, "-") == 0 && result_out)
        cli_complain("--csv - and the result would both go to standard output; give --out FILE");
    else
        return true;
    return false;
}

static int sweep(cli_site *site)
{
    const cli_options *o = site->options;
    const aw_scenario *s = &site->scenario;
    points p;
    bool *group = NULL;
    aw_sweep w;
    if (!(o->heights ? read_heights(o, s, &p) : read_counts(o, s, &p)) ||
        (o->group != NULL && (group = cli_read_names(o->group, "--group", o, s)) == NULL) ||
        !open_folder(site, &p)) {
        free(group);
        return STATUS_WRONG;
    }
    const size_t drawn = o->heights == NULL && p.at[p.n - 1] < CURVE_TO ? CURVE_TO : p.n;
    const aw_run *run = cli_begin(site, drawn * aw_assess_work(s), " or more");
    const aw_sweep_plan plan = {.scenario = s,
                                .kind = o->heights ? AW_SWEEP_HEIGHTS : AW_SWEEP_COUNTS,
                                .at = p.at,
                                .n = p.n,
                                .as_many = o->counts == NULL,
                                .group = group};
    const bool done = aw_sweep_run(&w, &plan, run);
    int status = cli_report_asked(&site->errors, site->run.watch);
    if (done && status == STATUS_DONE)
        status = write_all(site, &w);
    aw_sweep_free(&w);
    free(group);
    return status;
}

int cli_sweep(const cli_options *o)
{
    return options_agree(o) ? cli_with_site(o, "sweep", sweep) : STATUS_WRONG;
}
