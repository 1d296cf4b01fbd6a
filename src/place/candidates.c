/* One gate for every place, wherever it comes from: forbidden, filled, out of reach, a repeat. */
#include "anchorwise/candidates.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/cost.h"
#include "base/plane.h"
#include "place/mountable.h"

/* Places nearer than this are one, m. */
#define SAME 0.01
/* Places that are looked at, used or not, before a list is too long. */
#define MOST_TRIED 20000
#define TOO_MANY   "over %d candidates, or over %d places to look at; space them wider"

/* Of one point or line: how many of its places were looked at and how many lie inside something,
 * and the first that does. */
typedef struct inside {
    size_t n, of;
    double at[3];
    const char *kind, *name;
} inside;

typedef struct lister {
    aw_candidates *c;
    const aw_scenario *scenario;
    aw_errors *warnings; /* NULL: none are wanted */
    inside inside;
    size_t tried;
    bool too_many;
} lister;

bool aw_has_candidates(const aw_scenario *s)
{
    return s->candidates.n_points > 0 || s->candidates.n_lines > 0;
}

static double distance(const double a[3], const double b[3])
{
    return aw_length(aw_length(a[0] - b[0], a[1] - b[1]), a[2] - b[2]);
}

bool aw_is_forbidden(const aw_scenario *s, const double at[3])
{
    for (size_t i = 0; i < s->candidates.n_forbidden; i++) {
        const aw_forbidden *f = &s->candidates.forbidden[i];
        if (at[2] >= f->base && at[2] <= f->top && aw_polygon_holds(&f->outline, at[0], at[1]))
            return true;
    }
    return false;
}

static bool is_repeat(const aw_candidates *c, const double at[3])
{
    for (size_t i = 0; i < c->n; i++)
        if (distance(c->list[i].at, at) < SAME)
            return true;
    return false;
}

static size_t anchor_at(const aw_scenario *s, const double at[3])
{
    for (size_t i = 0; i < s->n_anchors; i++)
        if (distance(s->anchors[i].at, at) < SAME)
            return i;
    return s->n_anchors;
}

/* Whether a name is an anchor's or an earlier candidate's. */
static bool is_taken(const lister *l, const char *name)
{
    for (size_t i = 0; i < l->scenario->n_anchors; i++)
        if (strcmp(l->scenario->anchors[i].name, name) == 0)
            return true;
    for (size_t i = 0; i < l->c->n; i++)
        if (strcmp(l->c->list[i].name, name) == 0)
            return true;
    return false;
}

static void set_name(const lister *l, aw_candidate *c, const char *name, size_t number)
{
    if (number == 0 && !is_taken(l, name)) {
        snprintf(c->name, sizeof c->name, "%.60s", name);
        return;
    }
    size_t k = number > 0 ? number : 2;
    do
        snprintf(c->name, sizeof c->name, "%.50s %zu", name, k++);
    while (is_taken(l, c->name));
}

static bool is_inside(lister *l, const double at[3])
{
    const char *kind;
    const char *name = aw_filled_by(l->scenario, (aw_point){at[0], at[1]}, at[2], &kind);
    if (name != NULL && l->inside.n++ == 0) {
        memcpy(l->inside.at, at, sizeof l->inside.at);
        l->inside.kind = kind;
        l->inside.name = name;
    }
    return name != NULL;
}

/* Takes a place on, or counts why not. */
static void take(lister *l, const char *name, size_t number, const double at[3], bool kept)
{
    const aw_scenario *s = l->scenario;
    aw_candidates *c = l->c;
    const double asked = aw_has_prices(s) ? aw_anchor_price(s, at) : 1;
    const double price = kept && isnan(asked) ? 0 : asked; /* it hangs there, whatever it cost */
    l->too_many = l->too_many || l->tried++ == MOST_TRIED;
    if (l->too_many || is_repeat(c, at))
        return;
    l->inside.of++;
    if (!kept && aw_is_forbidden(s, at)) {
        c->n_forbidden++;
    } else if (!kept && is_inside(l, at)) {
        c->n_filled++;
    } else if (isnan(price)) {
        c->n_out_of_reach++;
    } else if (c->n == AW_MOST_CANDIDATES) {
        l->too_many = true;
    } else {
        aw_candidate *fresh = &c->list[c->n];
        *fresh = (aw_candidate){.at = {at[0], at[1], at[2]}, .price = price, .kept = kept};
        fresh->anchor = anchor_at(s, at);
        if (fresh->anchor < s->n_anchors)
            snprintf(fresh->name, sizeof fresh->name, "%s", s->anchors[fresh->anchor].name);
        else
            set_name(l, fresh, name, number);
        c->n++;
        c->n_kept += kept;
    }
}

static void take_column(lister *l, const aw_candidate_line *line, aw_point p, size_t *number)
{
    const double high = fmin(line->high, l->scenario->floor.ceiling);
    for (size_t k = 0;; k++) {
        const double at[3] = {p.x, p.y, line->low + (double)k * fmax(line->height_step, SAME)};
        if (at[2] > high + 1e-9 || l->too_many)
            return;
        take(l, line->name, ++*number, at, false);
    }
}

/* A point of a leg, `off` to its left. */
static aw_point beside(aw_point a, aw_point b, double along, double off)
{
    const double length = aw_length(b.x - a.x, b.y - a.y);
    const double x = length > 0 ? (b.x - a.x) / length : 0;
    const double y = length > 0 ? (b.y - a.y) / length : 0;
    return (aw_point){a.x + along * x - off * y, a.y + along * y + off * x};
}

static void take_line(lister *l, const aw_candidate_line *line)
{
    double next = 0, walked = 0;
    size_t number = 0;
    const bool points = !(line->spacing > 0) || line->n == 1;
    for (size_t k = 0; points && k < line->n; k++) {
        const size_t from = k + 1 < line->n ? k : line->n > 1 ? k - 1 : k;
        const size_t to = from + 1 < line->n ? from + 1 : from;
        const aw_point a = line->path[from], b = line->path[to], p = line->path[k];
        const double along = aw_length(p.x - a.x, p.y - a.y);
        take_column(l, line, beside(a, b, along, line->left_offset), &number);
    }
    for (size_t k = 0; !points && k + 1 < line->n; k++) {
        const aw_point a = line->path[k], b = line->path[k + 1];
        const double length = aw_length(b.x - a.x, b.y - a.y);
        for (; next <= walked + length + 1e-9 && !l->too_many; next += fmax(line->spacing, SAME))
            take_column(l, line, beside(a, b, next - walked, line->left_offset), &number);
        walked += length;
    }
}

/* Of the point or line that was taken last; in the units of the file. */
static void warn_of_rule(const lister *l, const char *rule, const char *name, aw_text_pos place)
{
    const inside *in = &l->inside;
    const bool feet = l->scenario->units == AW_FEET;
    const double unit = feet ? AW_FOOT : 1;
    char which[160] = " lies";
    if (l->warnings != NULL && l->too_many)
        aw_errors_add(l->warnings, AW_WARNING, place.line, place.column, "%s '%s' makes " TOO_MANY,
                      rule, name, AW_MOST_CANDIDATES, MOST_TRIED);
    if (in->n == 0 || l->warnings == NULL)
        return;
    if (in->of > 1)
        snprintf(which, sizeof which,
                 ": %zu of its %zu places lie inside something, the first, (%.6g, %.6g, %.6g) %s,",
                 in->n, in->of, in->at[0] / unit, in->at[1] / unit, in->at[2] / unit,
                 feet ? "ft" : "m");
    aw_errors_add(l->warnings, AW_WARNING, place.line, place.column,
                  "%s '%s'%s inside %s '%s'; no anchor can hang there", rule, name, which, in->kind,
                  in->name);
}

static void take_stated(lister *l)
{
    const aw_candidate_rules *rules = &l->scenario->candidates;
    for (size_t i = 0; i < rules->n_points && !l->too_many; i++) {
        l->inside = (inside){0};
        take(l, rules->points[i].name, 0, rules->points[i].at, false);
        warn_of_rule(l, "point", rules->points[i].name, rules->points[i].place);
    }
    for (size_t i = 0; i < rules->n_lines && !l->too_many; i++) {
        l->inside = (inside){0};
        take_line(l, &rules->lines[i]);
        warn_of_rule(l, "line", rules->lines[i].name, rules->lines[i].place);
    }
}

/* Without rules: where the anchors hang now, then wherever one could be screwed on. */
static bool take_mountable(lister *l)
{
    const aw_scenario *s = l->scenario;
    const size_t n = aw_mountable(s, NULL, 0);
    double(*places)[3] = calloc(n + 1, sizeof *places);
    if (places == NULL)
        return false;
    aw_mountable(s, places, n);
    for (size_t i = 0; i < s->n_anchors; i++)
        take(l, s->anchors[i].name, 0, s->anchors[i].at, false);
    for (size_t i = 0; i < n; i++)
        take(l, "place", i + 1, places[i], false);
    free(places);
    return true;
}

/* Keys as the scenario that is written out would give them. */
static bool set_keys(lister *l)
{
    aw_candidates *c = l->c;
    aw_anchor *anchors = calloc(c->n + 1, sizeof *anchors);
    for (size_t i = 0; anchors != NULL && i < c->n; i++) {
        anchors[i].name = c->list[i].name;
        aw_anchor_set_key(anchors, i + 1, i);
        c->list[i].key = anchors[i].key;
    }
    free(anchors);
    return anchors != NULL;
}

bool aw_candidates_list(aw_candidates *c, const aw_scenario *s, const bool keep[],
                        aw_errors *errors)
{
    lister l = {.c = c, .scenario = s};
    *c = (aw_candidates){.stated = aw_has_candidates(s)};
    c->list = calloc(AW_MOST_CANDIDATES, sizeof *c->list);
    bool done = c->list != NULL;
    for (size_t i = 0; done && keep != NULL && i < s->n_anchors; i++)
        if (keep[i])
            take(&l, s->anchors[i].name, 0, s->anchors[i].at, true);
    if (done && c->stated)
        take_stated(&l);
    else if (done)
        done = take_mountable(&l);
    done = done && set_keys(&l);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the candidates");
    else if (l.too_many)
        aw_errors_add(errors, AW_ERROR, 0, 0, "there are " TOO_MANY, AW_MOST_CANDIDATES,
                      MOST_TRIED);
    return done && !l.too_many;
}

bool aw_candidates_warn(const aw_scenario *s, aw_errors *errors)
{
    aw_candidates c = {.list = calloc(AW_MOST_CANDIDATES, sizeof *c.list)};
    lister l = {.c = &c, .scenario = s, .warnings = errors};
    const bool done = c.list != NULL;
    if (done)
        take_stated(&l);
    else
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the candidates");
    aw_candidates_free(&c);
    return done;
}

void aw_candidates_free(aw_candidates *c)
{
    free(c->list);
    *c = (aw_candidates){0};
}
