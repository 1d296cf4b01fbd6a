/* The weakest spot: what stands near it, which anchors reach it, what would mend it, its bearings.
 */
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "anchorwise/report.h"
#include "base/plane.h"
#include "book/client.h"
#include "report/explain.h"
#include "report/lengths.h"

/* What is further than this is not near, m. */
#define NEAR 5.0
/* A fan of bearings without anchors wider than this is told. */
#define WIDE (100 * M_PI / 180)
/* Things that hide anchors, named at most; and anchors that one hides. */
#define MOST_HIDERS 4
#define MOST_HIDDEN 12

/* The nearest obstacle or wall and how far it is; NULL if none is near. */
static const char *find_near(const aw_scenario *s, const double spot[3], double *distance)
{
    const aw_point at = {spot[0], spot[1]};
    const char *nearest = NULL;
    *distance = NEAR;
    for (size_t i = 0, n = aw_named_obstacles(s); i < n; i++) {
        const double d = aw_polygon_edge_distance(&s->obstacles[i].footprint, at);
        if (d < *distance) {
            *distance = d;
            nearest = s->obstacles[i].name;
        }
    }
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++) {
            const double d = aw_polygon_edge_distance(&s->walls[i].legs[k], at);
            if (d < *distance) {
                *distance = d;
                nearest = s->walls[i].name;
            }
        }
    return nearest;
}

static void add_place(aw_client *c)
{
    const aw_explanation *e = &c->st->explanation;
    const char *zone = c->s->zones[c->st->weakest].name, *spot = aw_client_spot(c, e->spot);
    const char *unit = aw_coordinate_unit(c->s->units);
    double distance;
    const char *near = find_near(c->s, e->spot, &distance);
    aw_book_add(
        c->book, AW_BLOCK_TEXT,
        near != NULL
            ? SAY(c, WORST_NEAR, zone, spot, unit,
                  aw_book_copy(c->book, aw_coordinate_words("%.2f", distance, c->s->units).text),
                  near)
            : SAY(c, WORST_AT, zone, spot, unit));
}

static void add_reach(aw_client *c)
{
    const aw_explanation *e = &c->st->explanation;
    const size_t needed = (size_t)c->s->tags[e->tag].fix + 1;
    const char *all = aw_book_print(c->book, "%zu", c->s->n_anchors);
    const char *used = aw_client_number_first(c, e->used);
    aw_text text = {0};
    aw_text_add(&text,
                e->used < needed ? SAY(c, TOO_FEW_REACH, used, all, aw_client_number(c, needed))
                : isnan(e->p95.value) ? SAY(c, REACH_WITHOUT_P95, used, all)
                                      : SAY(c, REACH_IT, used, all,
                                            aw_client_error_words(c, e->p95.value, (double)NAN)));
    if (e->used > 1 && e->gap > WIDE)
        aw_text_format(&text, " %s",
                       SAY(c, BLIND_ARC, aw_book_print(c->book, "%.0f°", e->gap * 180 / M_PI)));
    aw_book_add(c->book, AW_BLOCK_TEXT, aw_book_take(c->book, &text));
}

/* Each thing that hides anchors, with those that it hides. */
static void add_hiders(aw_client *c)
{
    const aw_explanation *e = &c->st->explanation;
    const char *told[MOST_HIDERS];
    size_t n = 0;
    aw_text text = {0};
    for (size_t i = 0; i < c->s->n_anchors && n < MOST_HIDERS; i++) {
        const char *name = e->lines[i].blocker, *hidden[MOST_HIDDEN];
        size_t many = 0;
        bool known = name == NULL || e->lines[i].link.state != AW_LINK_LOST || e->lines[i].too_far;
        for (size_t k = 0; k < n; k++)
            known = known || strcmp(told[k], name) == 0;
        if (known)
            continue;
        for (size_t k = i; k < c->s->n_anchors && many < MOST_HIDDEN; k++) {
            const aw_sightline *l = &e->lines[k];
            if (l->link.state == AW_LINK_LOST && !l->too_far && l->blocker != NULL &&
                strcmp(l->blocker, name) == 0)
                hidden[many++] = c->s->anchors[k].name;
        }
        told[n++] = name;
        aw_text_format(&text, "%s%s", n > 1 ? " " : "",
                       SAY(c, HIDES, name, aw_client_list(c, hidden, many)));
    }
    const char *sentences = aw_book_take(c->book, &text);
    if (n > 0)
        aw_book_add(c->book, AW_BLOCK_TEXT, sentences);
}

/* --- what would mend it --- */

static const char *name_harm(aw_client *c, const aw_remedy *r)
{
    const aw_explanation *e = &c->st->explanation;
    for (size_t i = 0; i < c->s->n_zones; i++) {
        const double was = e->zones[i].errors.p95, is = r->zones[i].errors.p95;
        if (e->zones[i].verdict == AW_MET && r->zones[i].verdict != AW_MET)
            return SAY(c, BREAKS, c->s->zones[i].name);
        if (!isnan(was) && isnan(is))
            return SAY(c, TAKES_P95, c->s->zones[i].name);
        if (is > was * (1 + AW_NEAR_EQUAL))
            return SAY(c, WORSENS, c->s->zones[i].name);
    }
    return SAY(c, DASH);
}

static void add_remedy(aw_client *c, const aw_remedy *r)
{
    const aw_zone_result *then = &r->zones[c->st->weakest],
                         *now = &c->st->explanation.zones[c->st->weakest];
    aw_text words = {0};
    aw_remedy_words(r, c->s, &words);
    aw_book_add_seen(c->book, aw_book_take(c->book, &words), AW_LOOK_STRONG);
    aw_book_add_number(c->book, aw_client_error(c, r->p95.value, (double)NAN), r->p95.value, "m",
                       AW_FIGURE_DRAWN);
    aw_book_add_cell(c->book, isnan(r->price) ? SAY(c, DASH) : aw_client_signed_money(c, r->price));
    aw_book_add_cell(c->book,
                     SAY(c, TO, aw_client_error(c, now->errors.p95, now->parts[AW_PART_P95].asked),
                         aw_client_error(c, then->errors.p95, then->parts[AW_PART_P95].asked)));
    aw_book_add_seen(c->book, aw_client_verdict(c, then), aw_client_look(then));
    aw_book_add_seen(c->book, r->harms || r->breaks ? name_harm(c, r) : SAY(c, DASH),
                     r->harms || r->breaks ? AW_LOOK_MISSED : AW_LOOK_PLAIN);
}

static void add_remedies(aw_client *c)
{
    const aw_explanation *e = &c->st->explanation;
    const char *unit = aw_small_unit(c->s->units);
    if (e->n_remedies == 0) {
        aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, NOTHING_MENDS));
        return;
    }
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, REMEDIES_CAPTION, unit));
    aw_client_column(c, AW_SAY_COL_CHANGE, false);
    aw_client_column(c, AW_SAY_COL_P95_HERE, true);
    aw_client_column(c, AW_SAY_COL_PRICE, true);
    aw_book_add_column(c->book, SAY(c, COL_P95_OF, c->s->zones[c->st->weakest].name), true);
    aw_client_column(c, AW_SAY_COL_ITS_NEED, true);
    aw_client_column(c, AW_SAY_COL_AT_THE_COST, false);
    for (size_t i = 0; i < e->n_remedies; i++)
        add_remedy(c, &e->remedies[i]);
}

/* --- bearings --- */

static int compare_lines(const void *a, const void *b, void *lines)
{
    const aw_sightline *p = (const aw_sightline *)lines + *(const size_t *)a,
                       *q = (const aw_sightline *)lines + *(const size_t *)b;
    return p->bearing < q->bearing ? -1 : p->bearing > q->bearing;
}

static void add_line(aw_client *c, size_t anchor)
{
    const aw_sightline *l = &c->st->explanation.lines[anchor];
    const double bearing = l->bearing * 180 / M_PI;
    aw_text words = {0};
    aw_sightline_words(l, c->s->units, &words);
    aw_book_add_seen(c->book, c->s->anchors[anchor].name, AW_LOOK_STRONG);
    aw_book_add_cell(c->book,
                     aw_book_print(c->book, "%.0f°", floor(bearing + 0.5) < 360 ? bearing : 0));
    aw_book_add_cell(c->book, aw_book_print(c->book, "%.0f°", l->elevation * 180 / M_PI));
    aw_book_add_number(
        c->book,
        aw_book_copy(c->book, aw_coordinate_figure("%.1f", l->link.range, c->s->units).text),
        l->link.range, "m", AW_FIGURE_STATED);
    aw_book_add_seen(c->book, aw_book_take(c->book, &words),
                     l->link.state == AW_LINK_LOST ? AW_LOOK_PLAIN : AW_LOOK_STRONG);
}

static void add_bearings(aw_client *c)
{
    const size_t n = c->s->n_anchors;
    size_t *order = calloc(n, sizeof *order);
    c->book->failed |= order == NULL;
    for (size_t i = 0; order != NULL && i < n; i++)
        order[i] = i;
    if (order != NULL)
        qsort_r(order, n, sizeof *order, compare_lines, c->st->explanation.lines);
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, BEARINGS_CAPTION));
    aw_client_column(c, AW_SAY_COL_ANCHOR, false);
    aw_client_column(c, AW_SAY_COL_BEARING, true);
    aw_client_column(c, AW_SAY_COL_UP, true);
    aw_book_add_column(c->book, SAY(c, COL_DISTANCE, aw_coordinate_unit(c->s->units)), true);
    aw_client_column(c, AW_SAY_COL_SIGHT, false);
    for (size_t i = 0; order != NULL && i < n; i++)
        add_line(c, order[i]);
    free(order);
}

void aw_client_spot_section(aw_client *c)
{
    if (!c->st->is_explained) {
        aw_client_lack(c, AW_SAY_LACK_SPOT);
        return;
    }
    add_place(c);
    add_reach(c);
    add_hiders(c);
    aw_book_add(c->book, AW_BLOCK_FIGURE, SAY(c, ROSE_CAPTION))->figure =
        aw_studies_picture(c->st, AW_PICTURE_ROSE, 0);
    add_remedies(c);
    add_bearings(c);
}
