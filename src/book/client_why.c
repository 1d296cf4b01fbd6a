/* Why this layout: number, height, the other layout, the cheapest found. What p95 alone says is
 * told beside how many needs are met by all their parts. */
#include <math.h>

#include "book/client.h"
#include "report/stamp.h"
#include "report/lengths.h"

/* Zones that have a column; of more only the verdicts are told. */
#define MOST_ZONES 6

static size_t count_met(const aw_swept *point, size_t n_zones)
{
    size_t n = 0;
    for (size_t z = 0; z < n_zones; z++)
        n += point->zones[z].verdict == AW_MET;
    return n;
}

static size_t count_needs(const aw_swept *point, size_t n_zones)
{
    size_t n = 0;
    for (size_t z = 0; z < n_zones; z++)
        n += point->zones[z].verdict != AW_NO_NEED;
    return n;
}

static void add_p95(aw_client *c, const aw_zone_result *r)
{
    const aw_part_result *p = &r->parts[AW_PART_P95];
    const bool missed = p->verdict == AW_NOT_MET && isfinite(p->found.value);
    const char *p95 = aw_client_error(c, p->found.value, p->asked);
    aw_book_add_number(c->book, missed ? SAY(c, MISSED, p95) : p95, p->found.value, "m",
                       AW_FIGURE_DRAWN)
        ->look = missed ? AW_LOOK_MISSED : AW_LOOK_PLAIN;
}

static void add_point(aw_client *c, const aw_sweep *w, const aw_swept *point)
{
    const bool counts = w->kind == AW_SWEEP_COUNTS;
    const size_t met = count_met(point, w->n_zones), needs = count_needs(point, w->n_zones);
    aw_book_add_number(
        c->book,
        counts ? aw_book_print(c->book, "%.0f", point->at)
               : aw_book_copy(c->book, aw_coordinate_figure("%.3g", point->at, c->s->units).text),
        point->at, counts ? "" : "m", AW_FIGURE_STATED)
        ->look = AW_LOOK_STRONG;
    if (aw_has_prices(c->s))
        aw_book_add_number(c->book, aw_client_money(c, point->price, false), point->price,
                           c->s->prices.currency, AW_FIGURE_STATED);
    for (size_t z = 0; w->n_zones <= MOST_ZONES && z < w->n_zones; z++)
        add_p95(c, &point->zones[z]);
    if (needs > 0)
        aw_book_add_number(c->book,
                           SAY(c, MET_OF_SHORT, aw_book_print(c->book, "%zu", met),
                               aw_book_print(c->book, "%zu", needs)),
                           (double)met, "", AW_FIGURE_DRAWN)
            ->look = met == needs ? AW_LOOK_STRONG : AW_LOOK_MISSED;
}

static void add_sweep(aw_client *c, const aw_sweep *w, const char *caption)
{
    aw_book_add(c->book, AW_BLOCK_TABLE, caption);
    if (w->kind == AW_SWEEP_COUNTS)
        aw_client_column(c, AW_SAY_COL_ANCHORS, true);
    else
        aw_book_add_column(c->book, SAY(c, COL_ALL_AT, aw_coordinate_unit(c->s->units)), true);
    if (aw_has_prices(c->s))
        aw_book_add_column(c->book, SAY(c, COL_PRICE_IN, c->s->prices.currency), true);
    for (size_t z = 0; w->n_zones <= MOST_ZONES && z < w->n_zones; z++)
        aw_book_add_column(
            c->book,
            isnan(w->asked[z])
                ? w->names[z]
                : SAY(c, COL_ZONE_NEED, w->names[z],
                      aw_book_copy(c->book,
                                   aw_small_figure("%.6g", w->asked[z], c->s->units).text)),
            true);
    if (aw_client_needs(c) > 0)
        aw_client_column(c, AW_SAY_COL_NEEDS_MET, true);
    for (size_t i = 0; i < w->n; i++)
        add_point(c, w, &w->points[i]);
}

/* From how many on all needs are met, or that with none they are. */
static void add_lesson(aw_client *c, const aw_sweep *w)
{
    const size_t all = aw_client_needs(c);
    size_t least_p95 = w->n, least = w->n;
    if (all == 0)
        return;
    for (size_t i = w->n; i-- > 0;) {
        bool within = true;
        for (size_t z = 0; z < w->n_zones; z++)
            within = within && !(w->points[i].zones[z].parts[AW_PART_P95].verdict == AW_NOT_MET);
        least_p95 = within && least_p95 == (i + 1 < w->n ? i + 1 : w->n) ? i : least_p95;
        least = w->points[i].verdict == AW_MET ? i : least;
    }
    const char *last = aw_book_print(c->book, "%.0f", w->points[w->n - 1].at);
    if (least < w->n)
        aw_book_add(c->book, AW_BLOCK_TEXT,
                    SAY(c, COUNT_MEETS, aw_book_print(c->book, "%.0f", w->points[least].at)));
    else if (least_p95 < w->n)
        aw_book_add(
            c->book, AW_BLOCK_TEXT,
            SAY(c, COUNT_P95_ALONE, aw_book_print(c->book, "%.0f", w->points[least_p95].at), last));
    else
        aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, COUNT_NEVER, last));
}

static void add_counts(aw_client *c)
{
    aw_book_add(c->book, AW_BLOCK_HEADING, SAY(c, HOW_MANY));
    if (!c->st->has_counts) {
        aw_client_lack(c, c->st->plan->quick ? AW_SAY_LACK_SWEEP : AW_SAY_LACK_PLACES);
        return;
    }
    const size_t curves = aw_studies_picture(c->st, AW_PICTURE_CURVES, 0);
    if (curves < c->st->n_pictures)
        aw_book_add(c->book, AW_BLOCK_FIGURE, SAY(c, CURVES_CAPTION))->figure = curves;
    add_sweep(c, &c->st->counts, SAY(c, COUNTS_CAPTION, aw_small_unit(c->s->units)));
    add_lesson(c, &c->st->counts);
}

static void add_heights(aw_client *c)
{
    aw_book_add(c->book, AW_BLOCK_HEADING, SAY(c, HOW_HIGH));
    if (c->st->has_heights)
        add_sweep(c, &c->st->heights, SAY(c, HEIGHTS_CAPTION, aw_small_unit(c->s->units)));
    else
        aw_client_lack(c, AW_SAY_LACK_SWEEP);
}

/* --- the other layout --- */

static const char *rank_of(aw_client *c, const aw_area_result *r)
{
    const double a = r->p95[0], b = r->p95[1];
    if (isnan(a) || isnan(b))
        return isnan(a) && isnan(b) ? SAY(c, NEITHER_HAS)
               : isnan(a)           ? SAY(c, ONLY_B_HAS)
                                    : SAY(c, ONLY_A_HAS);
    switch (r->ranking) {
    case AW_B_BETTER:
        return SAY(c, B_BETTER, aw_client_error(c, a - b, (double)NAN));
    case AW_B_WORSE:
        return SAY(c, B_WORSE, aw_client_error(c, b - a, (double)NAN));
    case AW_NEAR:
        return SAY(c, NEARLY_EQUAL);
    case AW_NOT_TOLD_APART:
        break;
    }
    return SAY(c, NOT_APART);
}

static void add_compared(aw_client *c, const aw_area_result *r, const char *name, size_t zone)
{
    const aw_comparison *k = &c->st->comparison;
    const bool is_zone = zone < c->s->n_zones;
    aw_book_add_seen(c->book, name, AW_LOOK_STRONG);
    for (int i = 0; i < 2; i++)
        aw_book_add_number(
            c->book,
            aw_client_error(c, r->p95[i], is_zone ? c->s->zones[zone].need.p95 : (double)NAN),
            r->p95[i], "m", AW_FIGURE_DRAWN);
    aw_book_add_cell(c->book, rank_of(c, r));
    for (int i = 0; i < 2; i++) {
        const double asked = is_zone ? c->s->zones[zone].need.share : (double)NAN;
        const bool shown = is_zone && !isnan(asked);
        aw_book_add_number(c->book,
                           shown ? aw_client_share(c, r->share_meeting[i], asked) : SAY(c, DASH),
                           shown ? r->share_meeting[i] : (double)NAN, "share", AW_FIGURE_DRAWN);
    }
    for (int i = 0; i < 2; i++)
        aw_book_add_seen(c->book,
                         is_zone ? aw_client_verdict(c, &k->judged[i][zone]) : SAY(c, DASH),
                         is_zone ? aw_client_look(&k->judged[i][zone]) : AW_LOOK_PLAIN);
}

static const char *price_of(aw_client *c, const aw_scenario *s)
{
    return aw_has_prices(s) && aw_has_prices(c->s) ? aw_client_money(c, aw_layout_price(s), true)
                                                   : SAY(c, UNPRICED);
}

static void add_against(aw_client *c)
{
    const aw_studies_plan *p = c->st->plan;
    aw_book_add(c->book, AW_BLOCK_HEADING, SAY(c, OTHER_LAYOUT));
    if (!c->st->has_comparison) {
        aw_client_lack(c, AW_SAY_LACK_AGAINST);
        return;
    }
    aw_book_add(c->book, AW_BLOCK_TABLE,
                SAY(c, AGAINST_CAPTION, p->file, price_of(c, c->s), p->against_file,
                    price_of(c, p->against), aw_small_unit(c->s->units)));
    aw_client_column(c, AW_SAY_COL_PLACE, false);
    aw_client_column(c, AW_SAY_COL_A, true);
    aw_client_column(c, AW_SAY_COL_B, true);
    aw_client_column(c, AW_SAY_COL_BETTER, false);
    aw_client_column(c, AW_SAY_COL_GOOD_A, true);
    aw_client_column(c, AW_SAY_COL_GOOD_B, true);
    aw_client_column(c, AW_SAY_COL_NEED_A, true);
    aw_client_column(c, AW_SAY_COL_NEED_B, true);
    add_compared(c, &c->st->comparison.floor, SAY(c, FLOOR), c->s->n_zones);
    for (size_t i = 0; i < c->s->n_zones; i++)
        add_compared(c, &c->st->comparison.zones[i], c->s->zones[i].name, i);
    aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, NEAR_NOTE));
}

/* --- the cheapest --- */

static const char *price_or_count(aw_client *c, double price, size_t anchors)
{
    return isnan(price) ? SAY(c, SO_MANY_ANCHORS, aw_book_print(c->book, "%zu", anchors))
                        : SAY(c, SO_MANY_FOR, aw_book_print(c->book, "%zu", anchors),
                              aw_client_money(c, price, true));
}

static void add_cheapest(aw_client *c)
{
    const aw_placing *p = &c->st->placing;
    aw_book_add(c->book, AW_BLOCK_HEADING, SAY(c, CHEAPEST));
    if (!c->st->has_placing) {
        aw_client_lack(c, !c->st->plan->cheapest ? AW_SAY_LACK_CHEAPEST : AW_SAY_LACK_NEED);
        return;
    }
    const char *places = aw_book_print(c->book, "%zu", p->candidates.n);
    const char *what = price_or_count(c, p->price, p->n_anchors);
    const char *sure = p->confirmed_verdict == AW_MET       ? SAY(c, CHEAPEST_CONFIRMED)
                       : p->confirmed_verdict == AW_NOT_MET ? SAY(c, CHEAPEST_REFUSED)
                                                            : SAY(c, CHEAPEST_OPEN);
    aw_book_add(c->book, AW_BLOCK_TEXT,
                p->end == AW_PLACING_NOT_FOUND ? SAY(c, CHEAPEST_NOT_FOUND, places, what)
                                               : SAY(c, CHEAPEST_FOUND, places, what, sure));
    const double own = isnan(p->price) ? (double)p->n_anchors : p->price;
    if (isfinite(p->bound) && p->bound >= AW_BOUND_WORTH * own)
        aw_book_add(c->book, AW_BLOCK_TEXT,
                    SAY(c, CHEAPEST_BOUND,
                        isnan(p->price)
                            ? SAY(c, SO_MANY_ANCHORS, aw_book_print(c->book, "%.0f", p->bound))
                            : aw_client_money(c, p->bound, true)));
}

void aw_client_why(aw_client *c)
{
    add_counts(c);
    add_heights(c);
    add_against(c);
    add_cheapest(c);
}
