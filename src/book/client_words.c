/* What the sections share in words: phrases filled, figures as the report layer reads them, needs
 * and verdicts, headings. */
#include <math.h>

#include "book/client.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/verdict.h"
#include "report/words.h"

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

const char *aw_client_asked(aw_client *c, const aw_zone *zone)
{
    aw_text plain = {0}, set = {0};
    aw_need_words(&zone->need, c->s->units, &plain);
    for (const char *at = plain.at; at != NULL && !plain.failed && *at != '\0'; at++)
        if (at[1] == '=' && (*at == '<' || *at == '>'))
            aw_text_add(&set, *at++ == '<' ? "≤" : "≥");
        else
            aw_text_add_bytes(&set, at, 1);
    set.failed = set.failed || plain.failed;
    aw_text_free(&plain);
    return SAY(c, NAME, aw_book_take(c->book, &set));
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

const char *aw_client_assumed(const aw_client *c, aw_assumption assumption)
{
    return c->language->assumed[assumption];
}

const char *aw_client_how(const aw_client *c, aw_assumption assumption)
{
    return c->language->confirmed_by[assumption];
}

void aw_client_column(aw_client *c, aw_phrase phrase, bool right)
{
    aw_book_add_column(c->book, c->language->phrases[phrase], right);
}

void aw_client_lack(aw_client *c, aw_phrase phrase)
{
    aw_book_add(c->book, AW_BLOCK_LACK, aw_client_say(c, phrase, (const char *const[]){NULL}));
}
