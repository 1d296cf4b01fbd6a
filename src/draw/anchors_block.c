/* The schedule of anchors: names, coordinates and what holds them. Those that have no room beside
 * the plan stand on a sheet of their own, with all others. */
#include <math.h>
#include <stdio.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "draw/rows.h"

/* mm on A3: width of a coordinate, of what stands between columns, most of a name and a mount. */
#define COORDINATE 7.6
#define APART      2.4
#define MOST_NAME  24.0
#define MOST_MOUNT 26.0

double aw_common_height(const aw_scenario *s)
{
    double common = (double)NAN;
    size_t most = 1;
    for (size_t i = 0; i < s->n_anchors; i++) {
        size_t n = 0;
        for (size_t k = 0; k < s->n_anchors; k++)
            n += fabs(s->anchors[k].at[2] - s->anchors[i].at[2]) < 1e-3;
        if (n > most) {
            most = n;
            common = s->anchors[i].at[2];
        }
    }
    return common;
}

static const char *mount_of(const aw_scenario *s, size_t i)
{
    const aw_mount *mount =
        s->prices.currency != NULL ? aw_mount_at(&s->prices, s->anchors[i].at[2]) : NULL;
    return mount != NULL ? mount->name : "";
}

/* Widths of names and of mounts, mm on A3; of these 0 where nobody says. */
static void find_widths(const aw_draft *d, double *name, double *mount)
{
    const double k = aw_draft_type(d);
    *name = *mount = 0;
    for (size_t i = 0; i < d->scenario->n_anchors; i++) {
        const char *held = mount_of(d->scenario, i);
        *name =
            fmax(*name,
                 aw_sheet_measure(d->sheet, AW_INK_TABLE_NAME, d->scenario->anchors[i].name).x / k);
        if (held[0] != '\0')
            *mount = fmax(*mount, aw_sheet_measure(d->sheet, AW_INK_TABLE, held).x / k + 1.2);
    }
    *name = fmin(*name, MOST_NAME);
    *mount = fmin(*mount, MOST_MOUNT);
}

/* Heads and rows, without what holds the anchors and with it. */
static void bare_heads(aw_draft *d, double x, double base, double width)
{
    static const char *const axes[] = {"x", "y", "z"};
    const double k = aw_draft_type(d);
    double name, mount;
    (void)width;
    find_widths(d, &name, &mount);
    for (int axis = 0; axis < 3; axis++)
        aw_draft_put(d, AW_INK_TABLE_HEAD, axes[axis], x + (name + COORDINATE * (axis + 1)) * k,
                     base, AW_AT_RIGHT);
}

static void bare_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const aw_anchor *a = &d->scenario->anchors[i];
    const double k = aw_draft_type(d), unit = aw_unit_metres(d->scenario->units);
    double name, mount;
    char text[32];
    (void)width;
    find_widths(d, &name, &mount);
    aw_draft_put_cut(d, AW_INK_TABLE_NAME, a->name, x, base, (name + 0.1) * k);
    for (int axis = 0; axis < 3; axis++) {
        snprintf(text, sizeof text, "%.1f", a->at[axis] / unit);
        aw_draft_put(d, AW_INK_TABLE, text, x + (name + COORDINATE * (axis + 1)) * k, base,
                     AW_AT_RIGHT);
    }
}

static void held_heads(aw_draft *d, double x, double base, double width)
{
    const double k = aw_draft_type(d);
    double name, mount;
    find_widths(d, &name, &mount);
    bare_heads(d, x, base, width);
    aw_draft_put(d, AW_INK_TABLE_HEAD, "mount", x + (name + COORDINATE * 3 + 1.2) * k, base,
                 AW_AT_LEFT);
}

static void held_row(aw_draft *d, size_t i, double x, double base, double width)
{
    const double k = aw_draft_type(d);
    double name, mount;
    find_widths(d, &name, &mount);
    bare_row(d, i, x, base, width);
    aw_draft_put_cut(d, AW_INK_TABLE, mount_of(d->scenario, i),
                     x + (name + COORDINATE * 3 + 1.2) * k, base, (mount - 1.1) * k);
}

aw_rows aw_anchor_rows(const aw_draft *d, char heading[AW_HEADING_ROOM])
{
    const aw_scenario *s = d->scenario;
    const char *unit = s->units == AW_FEET ? "FT" : "M";
    double name, mount;
    find_widths(d, &name, &mount);
    if (isfinite(d->common_height))
        snprintf(heading, AW_HEADING_ROOM, "ANCHORS, ALL %.1f %s UP UNLESS MARKED",
                 d->common_height / aw_unit_metres(s->units), unit);
    else
        snprintf(heading, AW_HEADING_ROOM, "ANCHORS, %s", unit);
    return (aw_rows){heading, s->n_anchors, name + 3 * COORDINATE + mount + APART,
                     mount > 0 ? held_heads : bare_heads, mount > 0 ? held_row : bare_row};
}

/* The table as it stands in a width: where mounts would take a column away, without them. */
static aw_rows rows_in(const aw_draft *d, double width, char heading[AW_HEADING_ROOM])
{
    const aw_rows rows = aw_anchor_rows(d, heading);
    double name, mount;
    find_widths(d, &name, &mount);
    const aw_rows bare = {heading, rows.n, rows.column - mount, bare_heads, bare_row};
    return aw_rows_columns(d, &rows, width) < aw_rows_columns(d, &bare, width) ? bare : rows;
}

/* One column may be as deep as two. */
size_t aw_anchors_most(const aw_draft *d, double width)
{
    char heading[AW_HEADING_ROOM];
    const aw_rows rows = rows_in(d, width, heading);
    const size_t fit = aw_rows_columns(d, &rows, width);
    return (fit > 1 ? fit : 2) * aw_rows_most(d);
}

/* Which heights which mount serves, in one line: it follows from the height alone. */
static void word_mounts(const aw_draft *d, char out[512])
{
    const aw_scenario *s = d->scenario;
    const double unit = aw_unit_metres(s->units);
    size_t n = 0;
    for (size_t m = 0; m < s->prices.n_mounts && s->prices.currency != NULL; m++) {
        const aw_mount *mount = &s->prices.mounts[m];
        bool used = false;
        for (size_t i = 0; i < s->n_anchors; i++)
            used = used || aw_mount_at(&s->prices, s->anchors[i].at[2]) == mount;
        if (used && n < 300)
            n +=
                (size_t)snprintf(out + n, 512 - n, "%sup to %.4g %s: %s", n == 0 ? "Mounts " : ", ",
                                 mount->up_to / unit, aw_unit_name(s->units), mount->name);
    }
}

/* A line under the table tells of the mounts that have no column. */
double aw_lay_anchors(aw_draft *d, aw_point at, double width, bool draw)
{
    char text[AW_HEADING_ROOM], mounts[512] = "";
    const aw_rows rows = rows_in(d, width, text);
    const size_t most = aw_anchors_most(d, width), n = rows.n < most ? rows.n : most;
    const size_t items = d->sheet->n, taken = d->n_taken;
    const double y =
        aw_rows_lay(d, &rows, 0, n, (aw_box){at, {at.x + width, d->sheet->height}}, draw);
    aw_block b = {{at.x, y}, {at.x + width, HUGE_VAL}};
    if (rows.row == bare_row)
        word_mounts(d, mounts);
    if (n < rows.n) {
        snprintf(text, sizeof text, "and %zu more on sheet 2", rows.n - n);
        aw_block_text(d, &b, AW_INK_TABLE_HEAD, text, 1);
    }
    if (mounts[0] != '\0')
        aw_block_text(d, &b, AW_INK_TABLE, mounts, 3);
    if (!draw) {
        aw_sheet_cut(d->sheet, items);
        d->n_taken = taken;
    }
    return b.low.y > y ? b.low.y + 0.5 * aw_draft_type(d) : y;
}
