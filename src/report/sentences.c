/* Places are sorted into what can be said of B there, and each kind is said once. */
#include "report/sentences.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/lengths.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/names.h"

/* Names beyond this many are counted. */
#define MOST_NAMES 3

typedef enum kind { BETTER, WORSE, NEAR, ALIKE, ONLY_B, ONLY_A, NEITHER, KINDS } kind;

static kind kind_of(const aw_area_result *r)
{
    if (isnan(r->p95[0]) || isnan(r->p95[1]))
        return !isnan(r->p95[1]) ? ONLY_B : !isnan(r->p95[0]) ? ONLY_A : NEITHER;
    static const kind kinds[] = {[AW_NOT_TOLD_APART] = ALIKE,
                                 [AW_B_BETTER] = BETTER,
                                 [AW_B_WORSE] = WORSE,
                                 [AW_NEAR] = NEAR};
    return kinds[r->ranking];
}

/* What follows from a difference: the errors, and the chance where there is one. */
static void add_difference(const aw_area_result *r, aw_units units, aw_text *out)
{
    char a[AW_FIGURE_ROOM], b[AW_FIGURE_ROOM];
    aw_text_format(out, "B is %s; 95 of 100 fixes err by at most %s instead of %s",
                   r->ranking == AW_B_BETTER ? "better" : "worse",
                   aw_error_words(r->p95[1], units).text, aw_error_words(r->p95[0], units).text);
    aw_figure_share(r->chance[0], a);
    aw_figure_share(r->chance[1], b);
    if (!isnan(r->chance[0]) && !isnan(r->chance[1]) && strcmp(a, b) != 0)
        aw_text_format(out, ", and the chance of meeting the need is %s instead of %s", b, a);
}

void aw_area_sentence(const aw_area_result *r, const char *name, aw_units units, aw_text *out)
{
    const aw_length_text a = aw_error_words(r->p95[0], units), b = aw_error_words(r->p95[1], units);
    const kind k = kind_of(r);
    aw_text_format(out, "%s: ", name);
    if (k == BETTER || k == WORSE)
        add_difference(r, units, out);
    else if (k == ALIKE || k == NEAR)
        aw_text_format(
            out, "A and B are %s; 95 of 100 fixes err by at most %s with A and %s with B",
            k == NEAR ? "less than 15 % apart" : "not told apart by these draws", a.text, b.text);
    else if (k == NEITHER)
        aw_text_add(out, "neither A nor B has a p95, too many fixes fail with both");
    else
        aw_text_format(out, "only %s has a p95, %s; with %s too many fixes fail",
                       k == ONLY_B ? "B" : "A", k == ONLY_B ? b.text : a.text,
                       k == ONLY_B ? "A" : "B");
    aw_text_add(out, ".");
}

const aw_area_result *aw_compared_area(const aw_comparison *c, size_t place)
{
    return place == 0 ? &c->floor : &c->zones[place - 1];
}

/* "over the floor, in bogie bay and in parts store"; many zones are counted. */
static void add_places(const aw_comparison *c, const aw_scenario *s, kind k, aw_text *out)
{
    const bool floor = kind_of(&c->floor) == k;
    size_t zones = 0, said = 0;
    for (size_t i = 0; i < s->n_zones; i++)
        zones += kind_of(&c->zones[i]) == k;
    if (floor)
        aw_text_add(out, "over the floor");
    if (zones > MOST_NAMES) {
        aw_text_format(out, "%sin %zu zones", floor ? " and " : "", zones);
        return;
    }
    for (size_t i = 0; i < s->n_zones; i++) {
        if (kind_of(&c->zones[i]) != k)
            continue;
        said++;
        aw_text_format(out, "%sin %s",
                       !floor && said == 1 ? ""
                       : said == zones     ? " and "
                                           : ", ",
                       s->zones[i].name);
    }
}

/* A patch of so much of the floor is an area, not chance. */
#define PATCH 0.01

/* Cells of a patch that hangs together side to side, which are marked. */
static size_t flood(const aw_compared_cells *cells, size_t *of, size_t *queue, size_t from)
{
    const aw_grid *g = &cells->grid;
    size_t n = 0;
    queue[n++] = from;
    of[from] = 0;
    for (size_t k = 0; k < n; k++) {
        const size_t at = queue[k], i = at % g->nx, j = at / g->nx;
        const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < g->nx ? at + 1 : at,
                                j > 0 ? at - g->nx : at, j + 1 < g->ny ? at + g->nx : at};
        for (int side = 0; side < 4; side++)
            if (of[near[side]] > 0) {
                of[near[side]] = 0;
                queue[n++] = near[side];
            }
    }
    return n;
}

bool aw_has_worse_patch(const aw_comparison *c)
{
    const aw_grid *g = &c->cells.grid;
    size_t *of = calloc(g->nx * g->ny + 1, sizeof *of), *queue = calloc(g->n + 1, sizeof *queue);
    bool any = false;
    for (size_t k = 0; of != NULL && queue != NULL && k < g->n; k++)
        of[g->number[k]] = c->cells.ranking[k] == AW_B_WORSE;
    for (size_t k = 0; of != NULL && queue != NULL && k < g->n && !any; k++)
        if (of[g->number[k]] > 0)
            any = (double)flood(&c->cells, of, queue, g->number[k]) > PATCH * (double)g->n;
    free(of);
    free(queue);
    return any;
}

/* Better, worse, near and alike as one list about B. Nothing is called alike elsewhere where an
 * area of the floor is worse. */
static void add_rankings(const aw_comparison *c, const aw_scenario *s, const size_t count[KINDS],
                         aw_text *out)
{
    static const char *const words[] = {"better", "worse", "less than 15 % apart from A",
                                        "not told apart from A"};
    size_t left = 0, said = 0;
    for (int k = BETTER; k <= ALIKE; k++)
        left += count[k] > 0;
    for (int k = BETTER; k <= ALIKE; k++) {
        if (count[k] == 0)
            continue;
        left--;
        aw_text_format(out, "%s%s ",
                       said == 0  ? "B is "
                       : left > 0 ? ", "
                       : said > 1 ? ", and "
                                  : " and ",
                       words[k]);
        said++;
        if (count[k] == s->n_zones + 1)
            aw_text_add(out, k == ALIKE ? "anywhere" : "everywhere");
        else if (k == ALIKE && said > 1 && (kind_of(&c->floor) == WORSE || !aw_has_worse_patch(c)))
            aw_text_add(out, "elsewhere");
        else
            add_places(c, s, (kind)k, out);
    }
}

/* The zone in which p95 falls or rises by the largest factor; n_zones: none does. */
static size_t most_changed(const aw_comparison *c, const aw_scenario *s, kind k)
{
    size_t most = s->n_zones;
    double largest = 0;
    for (size_t i = 0; i < s->n_zones; i++) {
        const double *p95 = c->zones[i].p95;
        const double change = fabs(log(p95[1] / p95[0]));
        if (kind_of(&c->zones[i]) == k && change > largest) {
            most = i;
            largest = change;
        }
    }
    return most;
}

static void add_most_changed(const aw_comparison *c, const aw_scenario *s, kind k, aw_text *out)
{
    const size_t zone = most_changed(c, s, k);
    if (zone == s->n_zones)
        return;
    const double *p95 = c->zones[zone].p95;
    aw_text_format(out, " %s %s: p95 %s instead of %s.", s->zones[zone].name,
                   k == BETTER ? "gains" : "loses", aw_sheet_words(p95[1], NAN, s->units).text,
                   aw_sheet_words(p95[0], NAN, s->units).text);
}

void aw_change_headline(const aw_comparison *c, const aw_scenario *s, aw_text *out)
{
    char better[AW_FIGURE_ROOM], worse[AW_FIGURE_ROOM], all[AW_FIGURE_ROOM];
    const size_t from = out->n;
    aw_text_format(out, "Of %s cells %s are better with B and %s are worse.",
                   aw_figure_count(c->floor.cells, all), aw_figure_count(c->floor.better, better),
                   aw_figure_count(c->floor.worse, worse));
    add_most_changed(c, s, BETTER, out);
    add_most_changed(c, s, WORSE, out);
    aw_isolate_names(out, from);
}

void aw_whole_sentence(const aw_comparison *c, const aw_scenario *s, aw_text *out)
{
    static const char *const words[] = {[ONLY_B] = "only B has a p95 ",
                                        [ONLY_A] = "only A has a p95 ",
                                        [NEITHER] = "neither has a p95 "};
    size_t count[KINDS] = {0};
    for (size_t place = 0; place <= s->n_zones; place++)
        count[kind_of(aw_compared_area(c, place))]++;
    add_rankings(c, s, count, out);
    bool follows = count[BETTER] + count[WORSE] + count[NEAR] + count[ALIKE] > 0;
    for (int k = ONLY_B; k < KINDS; k++) {
        if (count[k] == 0)
            continue;
        aw_text_format(out, "%s%s", follows ? "; " : "", words[k]);
        add_places(c, s, (kind)k, out);
        follows = true;
    }
    aw_text_add(out, ".");
    if (kind_of(&c->floor) != WORSE && aw_has_worse_patch(c))
        aw_text_add(out, " Over an area of the floor B is worse.");
}
