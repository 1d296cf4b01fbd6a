#include "draw/rim.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"

/* mm on A3: least and most radius, steps between; between names; the band of its graduation. */
#define LEAST 24.0
#define MOST  42.0
#define STEP  3.0
#define PITCH 3.7
#define BAND  1.1
#define CROSS 1.0

static double bearing_of(const aw_link *link)
{
    const double b = atan2(link->to_anchor[0], link->to_anchor[1]);
    return b < 0 ? b + 2 * M_PI : b;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

aw_gap aw_gap_of(const aw_link links[], size_t n)
{
    aw_gap widest = {0, 2 * M_PI};
    double *heard = malloc((n + 1) * sizeof *heard);
    size_t used = 0;
    for (size_t i = 0; heard != NULL && i < n; i++)
        if (links[i].state != AW_LINK_LOST)
            heard[used++] = bearing_of(&links[i]);
    if (used > 0) {
        qsort(heard, used, sizeof *heard, by_size);
        widest = (aw_gap){heard[used - 1], heard[0] + 2 * M_PI - heard[used - 1]};
        for (size_t i = 0; i + 1 < used; i++)
            if (heard[i + 1] - heard[i] > widest.wide)
                widest = (aw_gap){heard[i], heard[i + 1] - heard[i]};
    }
    free(heard);
    return widest;
}

bool aw_is_out_of_reach(const aw_draft *d, const aw_rim *rim, size_t anchor)
{
    return rim->spot->links[anchor].state == AW_LINK_LOST &&
           aw_scene_clear_share(rim->scene, rim->spot->draws.spot,
                                d->scenario->anchors[anchor].at) >= 1;
}

static aw_point centre_of(const aw_draft *d, const aw_rim *rim)
{
    return aw_draft_to_paper(d, (aw_point){rim->spot->draws.spot[0], rim->spot->draws.spot[1]});
}

/* Plan north is up. */
static aw_point at_bearing(aw_point c, double radius, double bearing)
{
    return (aw_point){c.x + radius * sin(bearing), c.y - radius * cos(bearing)};
}

/* --- names --- */

typedef struct label {
    size_t anchor;
    bool right, heard;
    double y; /* of its middle, mm */
    double bearing;
    char text[320];
    aw_box box;
} label;

static int by_height(const void *a, const void *b)
{
    const label *x = a, *y = b;
    return x->right != y->right ? x->right - y->right : (x->y > y->y) - (x->y < y->y);
}

static void word_label(const aw_draft *d, const aw_rim *rim, label *l)
{
    const char *blocker = NULL;
    const aw_anchor *a = &d->scenario->anchors[l->anchor];
    l->heard = rim->spot->links[l->anchor].state != AW_LINK_LOST;
    aw_scene_crossed(rim->scene, rim->spot->draws.spot, a->at, &blocker);
    snprintf(l->text, sizeof l->text, "%s %s", a->name,
             l->heard          ? "heard"
             : blocker != NULL ? blocker
                               : "lost");
}

/* Pushed apart on each side, then set off the rim at their heights. */
static size_t place_labels(const aw_draft *d, const aw_rim *rim, double radius, label list[])
{
    const double k = aw_draft_type(d), pitch = PITCH * k;
    const aw_point c = centre_of(d, rim);
    size_t n = 0;
    for (size_t i = 0; i < d->scenario->n_anchors; i++) {
        if (aw_is_out_of_reach(d, rim, i))
            continue;
        label *l = &list[n++];
        l->anchor = i;
        l->bearing = bearing_of(&rim->spot->links[i]);
        l->right = l->bearing < M_PI;
        l->y = at_bearing(c, radius, l->bearing).y;
        word_label(d, rim, l);
    }
    qsort(list, n, sizeof *list, by_height);
    for (int pass = 0; pass < 40; pass++)
        for (size_t i = 0; i + 1 < n; i++) {
            const double lack = pitch - (list[i + 1].y - list[i].y);
            if (list[i].right != list[i + 1].right || lack <= 0)
                continue;
            list[i].y -= lack / 2;
            list[i + 1].y += lack / 2;
        }
    for (size_t i = 0; i < n; i++) {
        label *l = &list[i];
        const double out = radius + 3 * k, off = fmin(fabs(l->y - c.y), out);
        const double reach = fmax(sqrt(out * out - off * off), 2 * k);
        const aw_point size =
            aw_sheet_measure(d->sheet, l->heard ? AW_INK_HEARD_NAME : AW_INK_LOST_NAME, l->text);
        const double x = l->right ? c.x + reach : c.x - reach - size.x;
        l->box = (aw_box){{x, l->y - size.y / 2}, {x + size.x, l->y + size.y / 2}};
    }
    return n;
}

static bool is_on_map(const aw_draft *d, const aw_box *box)
{
    return aw_draft_in_window(d, box->low) && aw_draft_in_window(d, box->high);
}

double aw_rim_radius(const aw_draft *d, const aw_rim *rim)
{
    const double k = aw_draft_type(d);
    label *list = calloc(d->scenario->n_anchors + 1, sizeof *list);
    double best = LEAST * k;
    size_t most = 0;
    for (double radius = LEAST * k; list != NULL && radius <= MOST * k; radius += STEP * k) {
        const size_t n = place_labels(d, rim, radius, list);
        size_t sound = 1;
        for (size_t i = 0; i < n; i++)
            sound += is_on_map(d, &list[i].box) ? 1 + aw_draft_on_water(d, list[i].box) : 0;
        if (sound > most) {
            most = sound;
            best = radius;
        }
    }
    free(list);
    return best;
}

/* A name may go so far off the rim for open floor, mm on A3, by steps. */
#define OFF    30.0
#define STRIDE 0.5

/* Whether nothing stands on a line yet. */
static bool is_open(const aw_draft *d, aw_point from, aw_point to)
{
    const int steps = (int)ceil(hypot(to.x - from.x, to.y - from.y) / STRIDE);
    for (int i = 0; i <= steps; i++) {
        const double share = steps > 0 ? (double)i / steps : 0;
        const aw_point p = {from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)};
        if (!aw_draft_is_free(d, (aw_box){p, p}))
            return false;
    }
    return true;
}

static aw_point end_of(const label *l)
{
    return (aw_point){l->right ? l->box.low.x - 0.4 : l->box.high.x + 0.4, l->y};
}

/* Moves a name off the rim to where it is clear of lines and land, or at least of lines; leaves it
 * where there is no such place. */
static void clear_label(const aw_draft *d, aw_point from, label *l)
{
    const double k = aw_draft_type(d);
    const aw_box home = l->box;
    for (int only_lines = 0; only_lines < 2; only_lines++)
        for (double off = 0; off <= OFF * k; off += STRIDE * k) {
            const double shift = l->right ? off : -off;
            l->box = (aw_box){{home.low.x + shift, home.low.y}, {home.high.x + shift, home.high.y}};
            if (is_on_map(d, &l->box) && aw_draft_is_free(d, l->box) &&
                !aw_draft_is_crossed(d, l->box, AW_KEEP_OFF_MOST) &&
                (only_lines || aw_draft_on_water(d, l->box)) && is_open(d, from, end_of(l)))
                return;
        }
    l->box = home;
}

static void add_names(aw_draft *d, const aw_rim *rim)
{
    label *list = calloc(d->scenario->n_anchors + 1, sizeof *list);
    const size_t n = list != NULL ? place_labels(d, rim, rim->radius, list) : 0;
    const aw_point c = centre_of(d, rim);
    if (list == NULL)
        d->sheet->failed = true;
    for (size_t i = 0; i < n; i++) {
        label *l = &list[i];
        const aw_ink ink = l->heard ? AW_INK_HEARD_NAME : AW_INK_LOST_NAME;
        const aw_point from = at_bearing(c, rim->radius + BAND * aw_draft_type(d), l->bearing);
        clear_label(d, from, l);
        if (aw_draft_try_text(d, ink, l->text, l->box.low, 0, d->map))
            aw_sheet_line(d->sheet, AW_INK_LEADER, from, end_of(l));
        else
            d->n_left_out++;
    }
    free(list);
}

/* --- lines --- */

static void add_arc(aw_draft *d, aw_ink ink, aw_point c, double radius, aw_gap gap)
{
    const int steps = (int)ceil(gap.wide / (M_PI / 90)) + 1;
    aw_item *arc = aw_sheet_add(d->sheet, AW_ITEM_LINE, ink);
    for (int i = 0; i <= steps; i++) {
        const aw_point p = at_bearing(c, radius, gap.from + gap.wide * i / steps);
        aw_sheet_point(d->sheet, arc, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, arc);
}

static void add_sector(aw_draft *d, aw_point c, double radius, aw_gap gap)
{
    const int steps = (int)ceil(gap.wide / (M_PI / 90)) + 1;
    aw_item *sector = aw_sheet_add(d->sheet, AW_ITEM_FILL, AW_INK_BLIND);
    aw_sheet_point(d->sheet, sector, c.x, c.y);
    for (int i = 0; i <= steps; i++) {
        const aw_point p = at_bearing(c, radius, gap.from + gap.wide * i / steps);
        aw_sheet_point(d->sheet, sector, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, sector);
}

/* Every 5 degrees a tick, longer at every 30. */
static void add_rim(aw_draft *d, aw_point c, double radius)
{
    const double band = BAND * aw_draft_type(d);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_ROSE, c, radius);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_ROSE, c, radius + band);
    for (int i = 0; i < 72; i++)
        aw_sheet_line(d->sheet, AW_INK_ROSE,
                      at_bearing(c, radius - (i % 6 == 0 ? band / 2 : 0), i * M_PI / 36),
                      at_bearing(c, radius + band, i * M_PI / 36));
}

/* Full to anchors that are heard; thin to where the others are hidden. */
static void add_bearings(aw_draft *d, const aw_rim *rim)
{
    const double *spot = rim->spot->draws.spot;
    const aw_point c = centre_of(d, rim);
    for (size_t i = 0; i < d->scenario->n_anchors; i++) {
        const aw_link *link = &rim->spot->links[i];
        const double *at = d->scenario->anchors[i].at;
        if (link->state != AW_LINK_LOST) {
            aw_sheet_line(d->sheet,
                          link->state == AW_LINK_CLEAR ? AW_INK_HEARD : AW_INK_HEARD_THROUGH, c,
                          aw_draft_to_paper(d, (aw_point){at[0], at[1]}));
            d->sighted[link->state] = true;
            continue;
        }
        if (aw_is_out_of_reach(d, rim, i))
            continue;
        const double share = aw_scene_clear_share(rim->scene, spot, at);
        const aw_point end = aw_draft_to_paper(d, (aw_point){spot[0] + share * link->to_anchor[0],
                                                             spot[1] + share * link->to_anchor[1]});
        aw_sheet_line(d->sheet, AW_INK_HIDDEN, c, end);
        aw_sheet_line(d->sheet, AW_INK_END, (aw_point){end.x - CROSS, end.y - CROSS},
                      (aw_point){end.x + CROSS, end.y + CROSS});
        aw_sheet_line(d->sheet, AW_INK_END, (aw_point){end.x - CROSS, end.y + CROSS},
                      (aw_point){end.x + CROSS, end.y - CROSS});
        d->sighted[AW_LINK_LOST] = true;
    }
}

/* Its degrees, in the sector where there is room. */
static void add_degrees(aw_draft *d, aw_point c, double radius, aw_gap gap)
{
    char text[32];
    snprintf(text, sizeof text, "%.0f° blind", gap.wide * 180 / M_PI);
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_BLIND_NAME, text);
    for (int i = 0; i < 9; i++) {
        static const double along[] = {0.5, 0.35, 0.65};
        static const double out[] = {0.72, 0.55, 0.85};
        const aw_point p = at_bearing(c, radius * out[i / 3], gap.from + gap.wide * along[i % 3]);
        const aw_box box = {{p.x - size.x / 2, p.y - size.y / 2},
                            {p.x + size.x / 2, p.y + size.y / 2}};
        if (aw_draft_on_water(d, box) &&
            aw_draft_try_text(d, AW_INK_BLIND_NAME, text, box.low, 0, d->map))
            return;
    }
}

void aw_rim_draw(aw_draft *d, const aw_rim *rim)
{
    const double k = aw_draft_type(d);
    const aw_point c = centre_of(d, rim);
    const aw_gap gap = aw_gap_of(rim->spot->links, d->scenario->n_anchors);
    aw_draft_open_floor(d, AW_DEPTH_GROUND);
    add_sector(d, c, rim->radius, gap);
    aw_draft_close_floor(d);
    add_rim(d, c, rim->radius);
    add_arc(d, AW_INK_ARC, c, rim->radius, gap);
    add_bearings(d, rim);
    aw_sheet_circle(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, c, 1.3 * k);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_SPAR, c, 1.3 * k);
    aw_sheet_line(d->sheet, AW_INK_SPAR, (aw_point){c.x - 2 * k, c.y},
                  (aw_point){c.x + 2 * k, c.y});
    aw_sheet_line(d->sheet, AW_INK_SPAR, (aw_point){c.x, c.y - 2 * k},
                  (aw_point){c.x, c.y + 2 * k});
    aw_draft_take(d, (aw_box){{c.x - 2 * k, c.y - 2 * k}, {c.x + 2 * k, c.y + 2 * k}});
    add_degrees(d, c, rim->radius, gap);
    add_names(d, rim);
}
