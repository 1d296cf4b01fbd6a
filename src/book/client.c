/* The order of the sections, and what they share: phrases filled, figures as the report layer reads
 * them, zones and assumptions in the order that matters. */
#include "book/client.h"

#include <math.h>
#include <string.h>

#include "report/figures.h"
#include "report/lengths.h"
#include "report/stamp.h"
#include "report/verdict.h"

const char *aw_client_say(aw_client *c, aw_phrase phrase, const char *const args[])
{
    aw_text text = {0};
    aw_phrase_fill(c->language, phrase, args, &text);
    return aw_book_take(c->book, &text);
}

const char *aw_client_number(aw_client *c, size_t n)
{
    return n <= AW_MOST_NUMBER ? c->language->numbers[n] : aw_book_print(c->book, "%zu", n);
}

const char *aw_client_number_first(aw_client *c, size_t n)
{
    return n <= AW_MOST_NUMBER ? c->language->first_numbers[n] : aw_book_print(c->book, "%zu", n);
}

const char *aw_client_list(aw_client *c, const char *const items[], size_t n)
{
    const char *list = n > 0 ? items[0] : "";
    for (size_t i = 1; i < n; i++)
        list = i + 1 < n ? SAY(c, LIST_COMMA, list, items[i]) : SAY(c, LIST_AND, list, items[i]);
    return list;
}

const char *aw_client_error(aw_client *c, double metres, double asked)
{
    return isfinite(metres)
               ? aw_book_copy(c->book, aw_error_figure_asked(metres, asked, c->s->units).text)
               : SAY(c, NONE);
}

const char *aw_client_error_words(aw_client *c, double metres, double asked)
{
    return isfinite(metres)
               ? aw_book_copy(c->book, aw_error_words_asked(metres, asked, c->s->units).text)
               : SAY(c, NO_P95);
}

const char *aw_client_place(aw_client *c, double metres)
{
    return aw_book_copy(c->book, aw_coordinate_figure("%.2f", metres, c->s->units).text);
}

const char *aw_client_share(aw_client *c, double share, double asked)
{
    char figure[AW_FIGURE_ROOM];
    return aw_book_copy(c->book, aw_figure_share_asked(share, asked, figure));
}

const char *aw_client_money(aw_client *c, double amount, bool with_currency)
{
    char figure[AW_FIGURE_ROOM];
    if (!isfinite(amount))
        return SAY(c, NONE);
    aw_figure_count((size_t)(fabs(amount) + 0.5), figure);
    return aw_book_print(c->book, "%s%s%s", figure, with_currency ? " " : "",
                         with_currency ? c->s->prices.currency : "");
}

const char *aw_client_signed_money(aw_client *c, double amount)
{
    return aw_book_print(c->book, "%s%s", amount < 0 ? "−" : "+", aw_client_money(c, amount, true));
}

const char *aw_client_spot(aw_client *c, const double at[3])
{
    const aw_units units = c->s->units;
    if (!isfinite(at[0]))
        return SAY(c, DASH);
    return aw_book_print(c->book, "%s, %s", aw_coordinate_figure("%.1f", at[0], units).text,
                         aw_coordinate_figure("%.1f", at[1], units).text);
}

aw_book_look aw_client_look(const aw_zone_result *r)
{
    static const aw_book_look looks[] = {[AW_NOT_MET] = AW_LOOK_NOT_MET,
                                         [AW_MET] = AW_LOOK_MET,
                                         [AW_UNDECIDED] = AW_LOOK_UNDECIDED,
                                         [AW_NO_NEED] = AW_LOOK_UNASKED};
    return r->with_margin ? AW_LOOK_MET_WELL : looks[r->verdict];
}

const char *aw_client_verdict(aw_client *c, const aw_zone_result *r)
{
    static const aw_phrase phrases[] = {[AW_NOT_MET] = AW_SAY_MARK_NOT_MET,
                                        [AW_MET] = AW_SAY_MARK_MET,
                                        [AW_UNDECIDED] = AW_SAY_MARK_UNDECIDED,
                                        [AW_NO_NEED] = AW_SAY_NOT_ASKED};
    return aw_client_say(c, phrases[r->verdict],
                         (const char *const[]){aw_zone_verdict_word(r), NULL});
}

size_t aw_client_needs(const aw_client *c)
{
    size_t n = 0;
    for (size_t i = 0; i < c->s->n_zones; i++)
        n += c->st->assessment.zones[i].verdict != AW_NO_NEED;
    return n;
}

size_t aw_client_met(const aw_client *c)
{
    size_t n = 0;
    for (size_t i = 0; i < c->s->n_zones; i++)
        n += c->st->assessment.zones[i].verdict == AW_MET;
    return n;
}

size_t aw_client_least_sure(const aw_client *c)
{
    const aw_zone_result *zones = c->st->assessment.zones;
    size_t least = c->s->n_zones;
    for (size_t i = 0; i < c->s->n_zones; i++)
        if (zones[i].verdict == AW_MET && !isnan(zones[i].parts[AW_PART_CHANCE].found.value) &&
            (least == c->s->n_zones || zones[i].parts[AW_PART_CHANCE].found.value <
                                           zones[least].parts[AW_PART_CHANCE].found.value))
            least = i;
    return least;
}

/* --- assumptions --- */

/* Of a zone with one assumption at one end: over 1000 if a met need is then not met, else what p95
 * moves in proportion to its need; 0 where nothing is asked. */
static double harm_of(const aw_client *c, size_t zone, aw_assumption assumption, int end)
{
    const aw_sensitivity *v = &c->st->sensitivity;
    const aw_sensitivity_end *e = aw_sensitivity_at(v, zone, assumption, end);
    const double asked = v->zones[zone].need.p95, change = e->change.value;
    if (v->today[zone].verdict == AW_NO_NEED)
        return 0;
    const double moved = isinf(change)                   ? 999
                         : isnan(change) || isnan(asked) ? 0
                                                         : fabs(change) / asked;
    const bool breaks = v->today[zone].verdict == AW_MET && e->result.verdict == AW_NOT_MET;
    return (breaks ? 1000 : 0) + fmin(moved, 999);
}

bool aw_client_harm(const aw_client *c, aw_assumption assumption, size_t *zone, int *end)
{
    double most = 0;
    for (size_t z = 0; z < c->st->sensitivity.n_zones; z++)
        for (int k = 0; k < 2; k++)
            if (harm_of(c, z, assumption, k) > most) {
                most = harm_of(c, z, assumption, k);
                *zone = z;
                *end = k;
            }
    return most > 0;
}

static double most_harm(const aw_client *c, aw_assumption assumption)
{
    size_t zone = 0;
    int end = 0;
    return aw_client_harm(c, assumption, &zone, &end) ? harm_of(c, zone, assumption, end) : 0;
}

size_t aw_client_order(const aw_client *c, aw_assumption order[AW_ASSUMPTIONS], size_t *breaks)
{
    size_t n = 0;
    *breaks = 0;
    for (int a = 0; c->st->has_sensitivity && a < AW_ASSUMPTIONS; a++) {
        const double harm = most_harm(c, (aw_assumption)a);
        if (!c->st->sensitivity.assumed[a].present || !(harm > 0))
            continue;
        size_t at = n++;
        for (; at > 0 && most_harm(c, order[at - 1]) < harm; at--)
            order[at] = order[at - 1];
        order[at] = (aw_assumption)a;
        *breaks += harm >= 1000;
    }
    return n;
}

const char *aw_client_assumed(const aw_client *c, aw_assumption assumption)
{
    return c->language->assumed[assumption];
}

const char *aw_client_how(const aw_client *c, aw_assumption assumption)
{
    return c->language->confirmed_by[assumption];
}

bool aw_client_labour(const aw_client *c, double *cable, double *hours)
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

void aw_client_column(aw_client *c, aw_phrase phrase, bool right)
{
    aw_book_add_column(c->book, c->language->phrases[phrase], right);
}

void aw_client_lack(aw_client *c, aw_phrase phrase)
{
    aw_book_add(c->book, AW_BLOCK_LACK, aw_client_say(c, phrase, (const char *const[]){NULL}));
}

/* --- the whole --- */

static const struct {
    aw_phrase title;
    void (*add)(aw_client *client);
    bool is_whole, begins_page, is_wide;
} sections[AW_CLIENT_SECTIONS] = {
    [AW_CLIENT_ZONES] = {AW_SAY_ZONES, aw_client_zones, true, false, false},
    [AW_CLIENT_CHART] = {AW_SAY_CHART, aw_client_chart, false, true, true},
    [AW_CLIENT_SPOT] = {AW_SAY_SPOT, aw_client_spot_section, true, false, false},
    [AW_CLIENT_ANCHORS] = {AW_SAY_ANCHORS, aw_client_anchors, false, true, false},
    [AW_CLIENT_WHY] = {AW_SAY_WHY, aw_client_why, false, false, false},
    [AW_CLIENT_BILL] = {AW_SAY_BILL, aw_client_bill, true, false, false},
    [AW_CLIENT_CONFIRM] = {AW_SAY_CONFIRM, aw_client_confirm, true, false, false},
    [AW_CLIENT_BASIS] = {AW_SAY_BASIS, aw_client_basis, false, false, false},
    [AW_CLIENT_PROOF] = {AW_SAY_PROOF, aw_client_proof, true, false, false},
    [AW_CLIENT_CARE] = {AW_SAY_CARE, aw_client_care, true, false, false},
};

void aw_client_write(aw_client *c)
{
    aw_book *book = c->book;
    book->run = (aw_report_run){c->s, c->st->plan->file};
    book->kind = "client";
    book->title = SAY(c, TITLE, c->s->title);
    book->contents = SAY(c, CONTENTS);
    book->page_words = c->language->phrases[AW_SAY_PAGE_OF];
    book->continued = SAY(c, CONTINUED);
    aw_client_summary(c);
    for (int k = 0; k < AW_CLIENT_SECTIONS; k++) {
        if (!c->st->plan->wanted[k])
            continue;
        aw_book_section *section =
            aw_book_begin(book, aw_client_section_ids[k],
                          aw_client_say(c, sections[k].title, (const char *const[]){NULL}));
        section->is_whole = sections[k].is_whole;
        section->begins_page = sections[k].begins_page;
        section->is_wide = sections[k].is_wide;
        sections[k].add(c);
    }
}
