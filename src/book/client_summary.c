/* Page 1: one headline, the four questions in boxes, five sentences. */
#include <math.h>
#include <string.h>

#include "anchorwise/site_law.h"
#include "book/client.h"
#include "report/sensitivity.h"
#include "report/stamp.h"
#include "report/worth.h"
#include "report/lengths.h"

#define MOST_NAMED 2

static const aw_zone_result *zone_result(const aw_client *c, size_t zone)
{
    return &c->st->assessment.zones[zone];
}

static const char *zone_name(const aw_client *c, size_t zone)
{
    return c->s->zones[zone].name;
}

/* Zones with a verdict: how many, and the first two. */
static size_t find_zones(const aw_client *c, aw_verdict verdict, const char *names[MOST_NAMED])
{
    size_t n = 0;
    for (size_t i = 0; i < c->s->n_zones; i++)
        if (zone_result(c, i)->verdict == verdict) {
            if (n < MOST_NAMED)
                names[n] = zone_name(c, i);
            n++;
        }
    return n;
}

static size_t count_with_margin(const aw_client *c)
{
    size_t n = 0;
    for (size_t i = 0; i < c->s->n_zones; i++)
        n += zone_result(c, i)->with_margin;
    return n;
}

/* --- the headline --- */

static const char *one_need(aw_client *c)
{
    return zone_result(c, c->st->weakest)->verdict == AW_NOT_MET     ? SAY(c, HEAD_ONE_NOT_MET)
           : zone_result(c, c->st->weakest)->verdict == AW_UNDECIDED ? SAY(c, HEAD_ONE_UNDECIDED)
           : count_with_margin(c) > 0                                ? SAY(c, HEAD_ONE_WITH_MARGIN)
                                                                     : SAY(c, HEAD_ONE_MET);
}

static const char *all_met(aw_client *c, size_t needs)
{
    const char *all = aw_client_number(c, needs);
    const size_t sure = count_with_margin(c);
    if (needs == 2)
        return sure == 2   ? SAY(c, HEAD_BOTH_WITH_MARGIN)
               : sure == 1 ? SAY(c, HEAD_BOTH_ONE_WITH_MARGIN)
                           : SAY(c, HEAD_BOTH_MET);
    if (sure == needs)
        return SAY(c, HEAD_ALL_WITH_MARGIN, all);
    return sure == 0 ? SAY(c, HEAD_ALL_MET, all)
                     : SAY(c, HEAD_ALL_MET_SOME_WITH_MARGIN, all, aw_client_number(c, sure));
}

static const char *make_headline(aw_client *c)
{
    const char *bad[MOST_NAMED], *open[MOST_NAMED];
    const size_t needs = aw_client_needs(c), met = aw_client_met(c);
    const size_t n_bad = find_zones(c, AW_NOT_MET, bad), n_open = find_zones(c, AW_UNDECIDED, open);
    const char *first = aw_client_number_first(c, met), *all = aw_client_number(c, needs);
    if (needs == 0)
        return SAY(c, HEAD_NO_NEED);
    if (needs == 1)
        return one_need(c);
    if (met == needs)
        return all_met(c, needs);
    if (met == 0)
        return n_bad == needs ? SAY(c, HEAD_NONE_MET, all) : SAY(c, HEAD_NONE_SURE, all);
    const bool one = met == 1;
    if (n_bad == 0 && n_open == 1)
        return one ? SAY(c, HEAD_ONE_OF_OPEN, all, open[0])
                   : SAY(c, HEAD_SOME_OPEN, first, all, open[0]);
    if (n_bad == 1 && n_open == 0)
        return one ? SAY(c, HEAD_ONE_OF_BAD, all, bad[0])
                   : SAY(c, HEAD_SOME_BAD, first, all, bad[0]);
    if (n_bad == 2 && n_open == 0 && !one)
        return SAY(c, HEAD_SOME_TWO_BAD, first, all, bad[0], bad[1]);
    return one ? SAY(c, HEAD_ONE_OF, all) : SAY(c, HEAD_SOME, first, all);
}

/* --- the boxes --- */

static void add_box(aw_client *c, aw_phrase question, const char *answer, const char *line)
{
    aw_book_add_cell(c->book, c->language->phrases[question]);
    aw_book_add_seen(c->book, answer, AW_LOOK_STRONG);
    aw_book_add_cell(c->book, line);
}

/* The part that decides, as found and as asked, or where all is well the least sure zone. */
static const char *what_fails(aw_client *c, size_t zone)
{
    aw_text part = {0};
    aw_stamp_part(zone_result(c, zone), c->s->units, AW_IN_A_TEXT, &part);
    return aw_book_take(c->book, &part);
}

static void add_met_box(aw_client *c)
{
    const size_t needs = aw_client_needs(c), met = aw_client_met(c);
    const size_t worst = c->st->weakest;
    if (needs == 0) {
        add_box(c, AW_SAY_IS_IT_MET, SAY(c, NO_NEED_STATED), SAY(c, FIGURES_ONLY));
        return;
    }
    const char *answer = needs == 1 ? SAY(c, MET_OF_ONE, aw_book_print(c->book, "%zu", met))
                                    : SAY(c, MET_OF, aw_book_print(c->book, "%zu", met),
                                          aw_book_print(c->book, "%zu", needs));
    const char *line = met == needs
                           ? SAY(c, TIGHTEST, zone_name(c, worst), what_fails(c, worst))
                           : SAY(c, FAILS, zone_name(c, worst),
                                 aw_client_verdict(c, zone_result(c, worst)), what_fails(c, worst));
    add_box(c, AW_SAY_IS_IT_MET, answer, line);
}

static void add_chance_box(aw_client *c)
{
    const size_t least = aw_client_least_sure(c), n = c->s->n_zones, worst = c->st->weakest;
    const char *open[MOST_NAMED];
    const bool some_short = aw_client_met(c) < aw_client_needs(c);
    const bool some_open = find_zones(c, AW_UNDECIDED, open) > 0;
    if (aw_client_needs(c) == 0) {
        add_box(c, AW_SAY_WITH_WHAT_CHANCE, SAY(c, NOT_TOLD), SAY(c, CHANCE_TAKES_A_NEED));
    } else if (least == n && some_short) {
        add_box(c, AW_SAY_WITH_WHAT_CHANCE, some_open ? SAY(c, NO_NEED_SURE) : SAY(c, NO_NEED_MET),
                SAY(c, AS_DRAWN, zone_name(c, worst), aw_client_verdict(c, zone_result(c, worst))));
    } else if (least == n) {
        add_box(c, AW_SAY_WITH_WHAT_CHANCE, SAY(c, NOT_TOLD), SAY(c, NO_CHANCE_ASKED));
    } else {
        const char *chance = aw_book_copy(c->book, aw_chance_words(zone_result(c, least)).text);
        add_box(c, AW_SAY_WITH_WHAT_CHANCE,
                aw_client_met(c) > 1 ? SAY(c, CHANCE_EACH, chance) : SAY(c, CHANCE_THE_ONE, chance),
                some_short ? SAY(c, LEAST_SURE_AND_SHORT, zone_name(c, least), zone_name(c, worst),
                                 aw_client_verdict(c, zone_result(c, worst)))
                           : SAY(c, LEAST_SURE, zone_name(c, least)));
    }
}

/* Of the anchors: m of cable and hours on a lift by the prices; false without prices. */
static bool find_labour(const aw_client *c, double *cable, double *hours)
{
    aw_bill bill = {0};
    *cable = *hours = 0;
    const bool made = aw_has_prices(c->s) && aw_bill_make(&bill, c->s);
    for (size_t i = 0; made && i < bill.n; i++) {
        *cable += bill.lines[i].is_length ? bill.lines[i].count : 0;
        *hours += strcmp(bill.lines[i].unit, "h") == 0 ? bill.lines[i].count : 0;
    }
    aw_bill_free(&bill);
    return made;
}

static void add_cost_box(aw_client *c)
{
    double cable, hours;
    const char *anchors = aw_book_print(c->book, "%zu", c->s->n_anchors);
    if (!find_labour(c, &cable, &hours)) {
        add_box(c, AW_SAY_WHAT_DOES_IT_COST, SAY(c, NOT_PRICED), SAY(c, NO_PRICES, anchors));
        return;
    }
    const aw_length_text length = aw_coordinate_words("%.0f", cable, c->s->units);
    const char *lift = aw_book_print(c->book, "%.3g", hours);
    add_box(c, AW_SAY_WHAT_DOES_IT_COST, aw_client_money(c, aw_layout_price(c->s), true),
            cable > 0 && hours > 0 ? SAY(c, TAKES_ALL, anchors, length.text, lift)
            : cable > 0            ? SAY(c, TAKES_CABLE, anchors, length.text)
            : hours > 0            ? SAY(c, TAKES_LIFT, anchors, lift)
                                   : SAY(c, TAKES_ANCHORS, anchors));
}

/* "21:1" */
static const char *range_ratio(aw_client *c, const aw_scenario *s)
{
    const aw_site_range range = aw_site_range_of(s, false);
    return aw_book_print(c->book, "%.2g:1", range.high / range.low);
}

static void add_confirm_box(aw_client *c)
{
    aw_assumption order[AW_ASSUMPTIONS];
    size_t breaks;
    const size_t n = aw_client_order(c, order, &breaks);
    if (n == 0) {
        aw_scenario measured = *c->s;
        measured.ranging.measured = (aw_measured){20, 1, AW_MEASURED_SITE};
        add_box(c, AW_SAY_WHAT_MUST_BE_CONFIRMED, SAY(c, SITE_ERRORS),
                c->s->ranging.measured.points > 0
                    ? SAY(c, MEASURED_ALREADY)
                    : SAY(c, MEASURE_TWENTY, range_ratio(c, c->s), range_ratio(c, &measured)));
        return;
    }
    const char *then[3];
    for (size_t i = 1; i < n && i < 4; i++)
        then[i - 1] = aw_client_assumed(c, order[i]);
    add_box(c, AW_SAY_WHAT_MUST_BE_CONFIRMED,
            aw_client_say(c, AW_SAY_CONFIRM_FIRST,
                          (const char *const[]){aw_client_assumed(c, order[0]), NULL}),
            n > 1 ? SAY(c, CONFIRM_THEN, aw_client_list(c, then, n < 4 ? n - 1 : 3))
                  : SAY(c, CONFIRM_ALONE));
}

/* --- the sentences --- */

static void add(aw_client *c, aw_text *out, const char *sentence)
{
    if (*sentence == '\0')
        return;
    aw_text_add(out, out->n > 0 ? " " : "");
    aw_text_add(out, sentence);
    c->book->failed |= out->failed;
}

/* What was asked: in how many zones, and which p95. */
static const char *say_asked(aw_client *c)
{
    double least = HUGE_VAL, most = 0;
    const char *zones = aw_client_number(c, c->s->n_zones), *hall = c->s->title;
    for (size_t i = 0; i < c->s->n_zones; i++)
        if (!isnan(c->s->zones[i].need.p95)) {
            least = fmin(least, c->s->zones[i].need.p95);
            most = fmax(most, c->s->zones[i].need.p95);
        }
    if (c->s->n_zones == 0)
        return SAY(c, ASKED_FLOOR, hall);
    zones = aw_client_number(c, aw_client_needs(c));
    if (aw_client_needs(c) == 0)
        return SAY(c, ASKED_NOTHING, aw_client_number(c, c->s->n_zones), hall);
    const char *low = aw_book_copy(c->book, aw_small_figure("%.6g", least, c->s->units).text);
    const char *high = aw_book_copy(c->book, aw_small_words("%.6g", most, c->s->units).text);
    if (most == 0)
        return aw_client_needs(c) == 1 ? SAY(c, ASKED_ONE_OTHER, zone_name(c, c->st->weakest), hall)
                                       : SAY(c, ASKED_OTHER, zones, hall);
    if (aw_client_needs(c) == 1)
        return SAY(c, ASKED_ONE, zone_name(c, c->st->weakest), hall, high);
    return least == most ? SAY(c, ASKED_EQUAL, zones, hall, high)
                         : SAY(c, ASKED_RANGE, zones, hall, low, high);
}

static const char *say_reached(aw_client *c)
{
    const size_t needs = aw_client_needs(c), met = aw_client_met(c), sure = count_with_margin(c);
    const char *anchors = aw_book_print(c->book, "%zu", c->s->n_anchors);
    const char *some = met == needs ? SAY(c, ALL) : aw_client_number(c, met);
    const char *all = aw_client_number(c, needs);
    const char *open[MOST_NAMED];
    if (needs == 0)
        return SAY(c, REACHED_FIGURES, anchors);
    if (needs == 1)
        return met == 1 ? SAY(c, REACHED_THE_NEED, anchors) : SAY(c, REACHED_NOT_THE_NEED, anchors);
    if (met == 0)
        return find_zones(c, AW_UNDECIDED, open) > 0 ? SAY(c, REACHED_NONE_SURE, anchors, all)
                                                     : SAY(c, REACHED_NONE, anchors, all);
    if (sure == 0 || sure == met)
        return sure == 0 ? SAY(c, REACHED, anchors, some, all)
                         : SAY(c, REACHED_WITH_MARGIN, anchors, some, all);
    return SAY(c, REACHED_SOME_WITH_MARGIN, anchors, some, all, aw_client_number(c, sure));
}

/* The first part of a need that stands as the whole does. */
static aw_part deciding(const aw_zone_result *r)
{
    for (int part = 0; part < AW_PARTS; part++)
        if (r->parts[part].verdict == r->verdict && !isnan(r->parts[part].asked))
            return (aw_part)part;
    return AW_PARTS;
}

static const char *say_share(aw_client *c, size_t zone, const char *found, const char *asked)
{
    const char *name = zone_name(c, zone), *const *behind = c->st->hiders;
    if (zone != c->st->weakest || (behind[0] == NULL && !c->st->are_several))
        return SAY(c, SHARE_FAILS, name, found, asked);
    if (behind[0] == NULL)
        return SAY(c, SHARE_FAILS_BEHIND_MANY, name, found, asked);
    return behind[1] == NULL
               ? SAY(c, SHARE_FAILS_BEHIND, name, found, asked, behind[0])
               : SAY(c, SHARE_FAILS_BEHIND_TWO, name, found, asked, behind[0], behind[1]);
}

static const char *say_failing(aw_client *c)
{
    const size_t worst = c->st->weakest;
    if (worst == c->s->n_zones || zone_result(c, worst)->verdict == AW_MET)
        return "";
    const aw_zone_result *r = zone_result(c, worst);
    const aw_part part = deciding(r);
    const char *name = zone_name(c, worst);
    if (r->verdict == AW_UNDECIDED)
        return SAY(c, TOO_CLOSE, name);
    if (part == AW_PARTS)
        return "";
    const aw_part_result *p = &r->parts[part];
    if (aw_part_rows[part].is_length) {
        const char *asked =
            aw_book_copy(c->book, aw_small_words("%.6g", p->asked, c->s->units).text);
        return isnan(p->found.value)
                   ? SAY(c, LENGTH_MISSING, name, aw_part_rows[part].name, asked)
                   : SAY(c, LENGTH_FAILS, name, aw_part_rows[part].name,
                         aw_client_error_words(c, p->found.value, p->asked), asked);
    }
    const char *found = aw_client_share(c, p->found.value, p->asked);
    const char *asked = aw_client_share(c, p->asked, (double)NAN);
    if (part == AW_PART_SHARE)
        return say_share(c, worst, found, asked);
    return part == AW_PART_CHANCE
               ? SAY(c, CHANCE_FAILS, name, found, asked)
               : SAY(c, OTHER_FAILS, name, aw_part_rows[part].name, found, asked);
}

/* What takes away the least sure of the needs that are met. */
static const char *say_least_sure(aw_client *c)
{
    const size_t least = aw_client_least_sure(c);
    if (least == c->s->n_zones)
        return "";
    const char *name = zone_name(c, least);
    const char *chance = aw_book_copy(c->book, aw_chance_words(zone_result(c, least)).text);
    if (!c->st->has_sensitivity)
        return SAY(c, SURE, name, chance);
    const aw_sensitivity *v = &c->st->sensitivity;
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        for (int end = 0; end < 2; end++) {
            const aw_assumption_range *x = &v->assumed[a];
            if (!x->present ||
                aw_sensitivity_at(v, least, (aw_assumption)a, end)->result.verdict != AW_NOT_MET)
                continue;
            char value[AW_ASSUMED_ROOM];
            aw_assumption_range_words(&aw_assumption_rows[a], end == 0 ? x->low : x->high,
                                      c->s->units, value);
            return SAY(c, SURE_LOST_IF, name, chance, aw_client_assumed(c, (aw_assumption)a),
                       value);
        }
    return SAY(c, SURE_NONE_TAKES, name, chance);
}

/* The other layout at the weakest zone. */
static const char *say_against(aw_client *c)
{
    const size_t zone = c->st->weakest;
    if (!c->st->has_comparison || zone == c->s->n_zones)
        return "";
    const aw_zone_result *b = &c->st->comparison.judged[1][zone];
    const double price = aw_layout_price(c->st->plan->against) - aw_layout_price(c->s);
    const char *name = zone_name(c, zone);
    aw_text part = {0};
    aw_stamp_part(b, c->s->units, AW_IN_A_TEXT, &part);
    const char *found = aw_book_take(c->book, &part);
    if (isnan(price))
        return b->verdict == AW_MET ? SAY(c, AGAINST_MEETS, name, found)
                                    : SAY(c, AGAINST_FAILS, name, found);
    const char *money = aw_client_money(c, price, true);
    if (price >= 0)
        return b->verdict == AW_MET ? SAY(c, DEARER_MEETS, money, name, found)
                                    : SAY(c, DEARER_FAILS, money, name, found);
    return b->verdict == AW_MET ? SAY(c, CHEAPER_MEETS, money, name, found)
                                : SAY(c, CHEAPER_FAILS, money, name, found);
}

static const char *say_cost(aw_client *c)
{
    return aw_has_prices(c->s) ? SAY(c, COSTS, aw_client_money(c, aw_layout_price(c->s), true))
                               : SAY(c, COSTS_UNTOLD);
}

void aw_client_summary(aw_client *c)
{
    aw_text text = {0};
    c->book->headline = make_headline(c);
    aw_book_begin(c->book, "summary", c->book->headline)->is_front = true;
    aw_book_add(c->book, AW_BLOCK_BOXES, "");
    add_met_box(c);
    add_chance_box(c);
    add_cost_box(c);
    add_confirm_box(c);
    add(c, &text, say_asked(c));
    add(c, &text, say_reached(c));
    add(c, &text, say_failing(c));
    add(c, &text, say_least_sure(c));
    add(c, &text, say_cost(c));
    add(c, &text, say_against(c));
    aw_book_add(c->book, AW_BLOCK_TEXT, text.at);
    aw_text_free(&text);
}
