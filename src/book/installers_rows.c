/* The schedule's rows, on the sheet and as CSV. */
#include <math.h>

#include "book/installers.h"
#include "report/csv.h"
#include "report/lengths.h"

static const char *phrase_of(const aw_installers *w, aw_phrase phrase)
{
    return w->language->phrases[phrase];
}

/* "E 50": a line so far from the west wall. */
static void add_line_name(const aw_installers *w, const aw_face *face, int axis, aw_text *out)
{
    const aw_length_text far = aw_coordinate_figure("%.4g", face->line, w->scenario->units);
    aw_phrase_fill(w->language, axis == 0 ? AW_SAY_LINE_EAST : AW_SAY_LINE_NORTH,
                   (const char *const[]){far.text, NULL}, out);
}

/* "west", or the wall's name. */
static const char *face_name(const aw_installers *w, const aw_face *face, int axis)
{
    if (face->name != NULL)
        return face->name;
    return phrase_of(w, axis == 0        ? face->side < 0 ? AW_SAY_WEST : AW_SAY_EAST
                        : face->side < 0 ? AW_SAY_SOUTH
                                         : AW_SAY_NORTH);
}

static void add_offset(const aw_installers *w, const double at[3], int axis, aw_text *out)
{
    aw_offset offset;
    const bool found = aw_offset_find(&offset, w->scenario, at, axis);
    const aw_length_text length =
        aw_coordinate_figure("%.2f", found ? offset.distance : at[axis], w->scenario->units);
    aw_text line = {0};
    if (found && offset.face.is_line)
        add_line_name(w, &offset.face, axis, &line);
    const char *face = !found ? NULL : line.n > 0 ? line.at : face_name(w, &offset.face, axis);
    const char *args[] = {length.text, face, NULL};
    aw_phrase_fill(w->language,
                   line.n > 0  ? AW_SAY_BEYOND_LINE
                   : found     ? AW_SAY_FROM_FACE
                   : axis == 0 ? AW_SAY_EAST_OF_ZERO
                               : AW_SAY_NORTH_OF_ZERO,
                   args, out);
    out->failed |= line.failed;
    aw_text_free(&line);
}

static const aw_freedom *freedom_of(const aw_installers *w, size_t anchor)
{
    return w->freedoms != NULL && anchor < w->freedoms->n ? &w->freedoms->list[anchor] : NULL;
}

static const char *mount_of(const aw_scenario *s, size_t anchor)
{
    const aw_mount *mount =
        aw_has_prices(s) ? aw_mount_at(&s->prices, s->anchors[anchor].at[2]) : NULL;
    return mount != NULL ? mount->name : NULL;
}

void aw_installers_row_make(aw_installers_row *row, const aw_installers *w, size_t i)
{
    const aw_scenario *s = w->scenario;
    const double *at = s->anchors[i].at;
    const aw_freedom *f = freedom_of(w, i);
    const char *mount = mount_of(s, i);
    *row = (aw_installers_row){0};
    add_offset(w, at, 0, &row->east_west);
    add_offset(w, at, 1, &row->north_south);
    aw_text_add(&row->height, aw_coordinate_figure("%.2f", at[2], s->units).text);
    aw_text_add(&row->mount, mount != NULL ? mount : phrase_of(w, AW_SAY_DASH));
    if (f == NULL) {
        aw_text_add(&row->heights, phrase_of(w, AW_SAY_DASH));
        return;
    }
    const aw_mounting_heights h = aw_mounting_heights_of(s, f);
    const aw_length_text low = aw_coordinate_figure("%.1f", h.low, s->units),
                         high = aw_coordinate_figure("%.1f", h.high, s->units);
    aw_phrase_fill(w->language, AW_SAY_TO, (const char *const[]){low.text, high.text, NULL},
                   &row->heights);
}

void aw_installers_row_free(aw_installers_row *row)
{
    aw_text_free(&row->east_west);
    aw_text_free(&row->north_south);
    aw_text_free(&row->height);
    aw_text_free(&row->mount);
    aw_text_free(&row->heights);
}

/* --- CSV --- */

/* Differences of coordinates are told to a tenth of a millimetre. */
#define FINE 1e4

typedef struct line {
    const char *anchor, *ew_from, *ns_from, *mount;
    double ew, ns, x, y, height, low, high;
} line;

static const aw_member members[] = {
    AW_TEXT("anchor", line, anchor, "its name"),
    AW_NUMBER("ew_m", line, ew, "m", "along x from the face named"),
    AW_TEXT("ew_from", line, ew_from, "the nearest face along x"),
    AW_NUMBER("ns_m", line, ns, "m", "along y likewise"),
    AW_TEXT("ns_from", line, ns_from, "the nearest face along y"),
    AW_NUMBER("x_m", line, x, "m", "on the site"),
    AW_NUMBER("y_m", line, y, "m", "likewise"),
    AW_NUMBER("height_m", line, height, "m", "above the finished floor, of the antenna's middle"),
    AW_TEXT("mount", line, mount, "what holds it"),
    AW_NUMBER("low_m", line, low, "m", "lowest height that does"),
    AW_NUMBER("high_m", line, high, "m", "highest"),
};
static const aw_shape shape = AW_SHAPE("installers_line", "An anchor to be hung", members);

void aw_installers_csv(const aw_installers *w, aw_text *out)
{
    const aw_scenario *s = w->scenario;
    const double none = (double)NAN;
    for (size_t i = 0; i < s->n_anchors; i++) {
        const double *at = s->anchors[i].at;
        const aw_freedom *f = freedom_of(w, i);
        aw_offset ew, ns;
        const bool has_ew = aw_offset_find(&ew, s, at, 0), has_ns = aw_offset_find(&ns, s, at, 1);
        const aw_mounting_heights h =
            f != NULL ? aw_mounting_heights_of(s, f) : (aw_mounting_heights){none, none};
        aw_text lines[2] = {{0}, {0}};
        if (has_ew && ew.face.is_line)
            add_line_name(w, &ew.face, 0, &lines[0]);
        if (has_ns && ns.face.is_line)
            add_line_name(w, &ns.face, 1, &lines[1]);
        const line l = {.anchor = s->anchors[i].name,
                        .ew_from = !has_ew          ? NULL
                                   : lines[0].n > 0 ? lines[0].at
                                                    : face_name(w, &ew.face, 0),
                        .ns_from = !has_ns          ? NULL
                                   : lines[1].n > 0 ? lines[1].at
                                                    : face_name(w, &ns.face, 1),
                        .mount = mount_of(s, i),
                        .ew = has_ew ? round(ew.distance * FINE) / FINE : none,
                        .ns = has_ns ? round(ns.distance * FINE) / FINE : none,
                        .x = at[0],
                        .y = at[1],
                        .height = at[2],
                        .low = h.low,
                        .high = h.high};
        const aw_subject row = {&l, s, i, 0};
        if (i == 0)
            aw_csv_head(&shape, &row, out);
        aw_csv_row(&shape, &row, out);
        aw_text_free(&lines[0]);
        aw_text_free(&lines[1]);
    }
}
