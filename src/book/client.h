/** @file
 *  The client's report as content: what each section says of the studies. Sentences are made of one
 * table of phrases (phrases.h) and nowhere else; figures are those of the report layer. */
#ifndef AW_BOOK_CLIENT_H
#define AW_BOOK_CLIENT_H

#include "book/phrases.h"
#include "book/studies.h"
#include "report/book.h"

typedef struct aw_client {
    aw_book *book;
    const aw_studies *st;
    const aw_scenario *s;
    const aw_language *language;
} aw_client;

/* --- client_words.c: what the sections say it with --- */

/* A phrase with its gaps filled, in the book's memory: SAY(c, ZONE_NOT_MET, name, figure). */
const char *aw_client_say(aw_client *client, aw_phrase phrase, const char *const args[]);
#define SAY(client, ...) AW_CLIENT_SAY(client, __VA_ARGS__, NULL)
#define AW_CLIENT_SAY(client, phrase, ...)                                                         \
    aw_client_say(client, AW_SAY_##phrase, (const char *const[]){__VA_ARGS__})

/* Up to twelve in words, then in figures; the second as a sentence begins. */
const char *aw_client_number(aw_client *client, size_t n);
const char *aw_client_number_first(aw_client *client, size_t n);

/* "a", "a and b", "a, b and c"; NULL items end it. */
const char *aw_client_list(aw_client *client, const char *const items[], size_t n);

/* What a zone needs, in words. */
const char *aw_client_asked(aw_client *client, const aw_zone *zone);

/* Figures in the book's memory, as the report layer reads them. */
const char *aw_client_error(aw_client *client, double metres, double asked);
const char *aw_client_error_words(aw_client *client, double metres, double asked);
const char *aw_client_place(aw_client *client, double metres);
const char *aw_client_share(aw_client *client, double share, double asked);
const char *aw_client_money(aw_client *client, double amount, bool with_currency);
const char *aw_client_signed_money(aw_client *client, double amount);
/* "61.8, 26.2" */
const char *aw_client_spot(aw_client *client, const double at[3]);

/* "✗ NOT MET" and its look. */
const char *aw_client_verdict(aw_client *client, const aw_zone_result *result);
aw_book_look aw_client_look(const aw_zone_result *result);

/* What an assumption is called in a sentence, and how it is confirmed. */
const char *aw_client_assumed(const aw_client *client, aw_assumption assumption);
const char *aw_client_how(const aw_client *client, aw_assumption assumption);

/* A heading of a column, in the table's own block. */
void aw_client_column(aw_client *client, aw_phrase phrase, bool right);

/* Says that a part is left out, and what would bring it. */
void aw_client_lack(aw_client *client, aw_phrase phrase);

/* --- client_order.c: zones and assumptions in the order that matters --- */

/* Zones with a need, and those of them that are met. */
size_t aw_client_needs(const aw_client *client);
size_t aw_client_met(const aw_client *client);

/* The zone that is met and least sure; n_zones if none is. */
size_t aw_client_least_sure(const aw_client *client);

/* Assumptions in the order to confirm them: those that break a met need, then by what they move in
 * proportion to the need. How many; `breaks` says how many of them break one. */
size_t aw_client_order(const aw_client *client, aw_assumption order[AW_ASSUMPTIONS],
                       size_t *breaks);
/* The zone, and the end of its range, at which an assumption does most harm; false: to none. */
bool aw_client_harm(const aw_client *client, aw_assumption assumption, size_t *zone, int *end);

/* --- sections --- */

void aw_client_summary(aw_client *client);
void aw_client_zones(aw_client *client);
void aw_client_chart(aw_client *client);
void aw_client_spot_section(aw_client *client);
void aw_client_anchors(aw_client *client);
void aw_client_why(aw_client *client);
void aw_client_bill(aw_client *client);
void aw_client_confirm(aw_client *client);
void aw_client_basis(aw_client *client);
void aw_client_proof(aw_client *client);
void aw_client_care(aw_client *client);

/* --- client.c --- */

/* Writes the whole. The letterhead's texts are the book's already. */
void aw_client_write(aw_client *client);

#endif
