/* Materials and labour, how the figures were made, how they are proven, and cautions. */
#include <math.h>

#include "anchorwise/site_law.h"
#include "book/client.h"
#include "report/figures.h"
#include "report/words.h"
#include "report/worth.h"
#include "report/lengths.h"

/* --- the bill --- */

static void add_bill_line(aw_client *c, const aw_bill_line *line)
{
    const double metre = line->is_length && c->s->units == AW_FEET ? AW_FOOT : 1;
    const char *unit = line->is_length ? aw_coordinate_unit(c->s->units) : line->unit;
    aw_book_add_seen(c->book, line->what, AW_LOOK_STRONG);
    aw_book_add_number(
        c->book,
        aw_book_print(c->book, "%.4g%s%s", line->count / metre, *unit != '\0' ? " " : "", unit),
        line->count, line->unit, AW_FIGURE_STATED);
    aw_book_add_number(c->book, aw_book_print(c->book, "%.2f", line->price * metre), line->price,
                       c->s->prices.currency, AW_FIGURE_STATED);
    aw_book_add_number(c->book, aw_client_money(c, line->amount, false), line->amount,
                       c->s->prices.currency, AW_FIGURE_STATED);
}

void aw_client_bill(aw_client *c)
{
    aw_bill bill = {0};
    if (!aw_has_prices(c->s)) {
        aw_client_lack(c, AW_SAY_LACK_PRICES);
        return;
    }
    c->book->failed |= !aw_bill_make(&bill, c->s);
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, BILL_CAPTION, c->s->prices.currency))->has_total =
        true;
    aw_client_column(c, AW_SAY_COL_ITEM, false);
    aw_client_column(c, AW_SAY_COL_QUANTITY, true);
    aw_client_column(c, AW_SAY_COL_EACH, true);
    aw_client_column(c, AW_SAY_COL_TOGETHER, true);
    for (size_t i = 0; i < bill.n; i++)
        add_bill_line(c, &bill.lines[i]);
    aw_book_add_seen(c->book, SAY(c, TOTAL), AW_LOOK_STRONG);
    aw_book_add_cell(c->book, "");
    aw_book_add_cell(c->book, "");
    aw_book_add_number(c->book, aw_client_money(c, bill.total, false), bill.total,
                       c->s->prices.currency, AW_FIGURE_STATED)
        ->look = AW_LOOK_STRONG;
    const double *at = c->s->prices.cabinet;
    aw_book_add(c->book, AW_BLOCK_TEXT,
                isnan(at[0]) ? SAY(c, BILL_NOTE)
                             : SAY(c, BILL_NOTE_CABINET, aw_client_spot(c, at)));
    aw_bill_free(&bill);
}

/* --- how the figures were made --- */

static void add_fact(aw_client *c, aw_phrase name, const char *what)
{
    aw_book_add_seen(c->book, c->language->phrases[name], AW_LOOK_STRONG);
    aw_book_add_cell(c->book, what);
}

static const char *small(aw_client *c, double metres)
{
    return aw_book_copy(c->book, aw_small_words("%.3g", metres, c->s->units).text);
}

static const char *on_site(aw_client *c, double metres)
{
    return aw_book_copy(c->book, aw_coordinate_words("%.4g", metres, c->s->units).text);
}

/* Where the terms of ranging come from: the scenario's author, or a row of the starts. */
static const char *source_of(aw_client *c)
{
    const aw_start *start = c->s->ranging.start;
    return start != NULL ? SAY(c, FROM_START, start->name, start->source) : SAY(c, FROM_AUTHOR);
}

static void add_reach(aw_client *c)
{
    const aw_scenario *s = c->s;
    if (!s->radio.given) {
        add_fact(c, AW_SAY_FACT_RANGE, SAY(c, STATED_BY_SCENARIO, on_site(c, s->ranging.range)));
        add_fact(
            c, AW_SAY_FACT_BUDGET,
            SAY(c, STATED_BY_SCENARIO, aw_book_print(c->book, "%.3g dB", s->ranging.budget_db)));
        return;
    }
    add_fact(c, AW_SAY_FACT_RADIO,
             SAY(c, RADIO_IS, aw_book_print(c->book, "%u", (unsigned)s->radio.channel.number),
                 aw_book_print(c->book, "%.1f", s->radio.channel.centre / 1e6),
                 aw_environment_name(s->radio.environment)));
    if (s->radio.environment != AW_OPEN_OUTDOOR)
        add_fact(c, AW_SAY_FACT_SCATTERED,
                 s->radio.scattered ? SAY(c, SCATTERED_IS) : SAY(c, SCATTERED_NOT));
}

/* Each material that something is of. */
static void add_materials(aw_client *c)
{
    const aw_scenario *s = c->s;
    for (size_t m = 0; m < s->n_materials; m++) {
        bool used = false;
        const aw_material *row = &s->materials[m];
        for (size_t i = 0; i < s->n_obstacles; i++)
            used = used || s->obstacles[i].material == m;
        for (size_t i = 0; i < s->n_walls; i++)
            used = used || s->walls[i].material == m;
        if (!used)
            continue;
        aw_book_add_seen(c->book, row->name, AW_LOOK_STRONG);
        aw_book_add_cell(c->book,
                         s->radio.given && row->kind != AW_MATERIAL_FIXED
                             ? SAY(c, MATERIAL_BY_TABLE)
                             : SAY(c, MATERIAL_IS, aw_book_print(c->book, "%.3g", row->loss_db),
                                   small(c, row->delay)));
    }
}

static void add_changes(aw_client *c)
{
    for (size_t i = 0; i < c->s->n_changes; i++)
        add_fact(c, AW_SAY_FACT_SET, SAY(c, SET_TO, c->s->changes[i].path, c->s->changes[i].value));
}

void aw_client_basis(aw_client *c)
{
    const aw_scenario *s = c->s;
    const aw_ranging *r = &s->ranging;
    aw_text footing = {0};
    aw_book_add(c->book, AW_BLOCK_FACTS, "");
    add_fact(c, AW_SAY_FACT_DRAWS,
             SAY(c, DRAWN_SO, aw_draws_words(&s->study).text, on_site(c, s->study.step),
                 aw_book_print(c->book, "%llu", (unsigned long long)s->study.seed)));
    if (!s->radio.given)
        add_fact(c, AW_SAY_FACT_WHITE, SAY(c, WHITE_IS, small(c, r->sigma), source_of(c)));
    add_fact(c, AW_SAY_FACT_SPOT, SAY(c, SPOT_IS, small(c, r->spot_sigma), source_of(c)));
    add_fact(c, AW_SAY_FACT_TAIL,
             SAY(c, TAIL_IS, aw_book_print(c->book, "%.3g %%", 100 * r->tail_share),
                 small(c, r->tail_sigma), source_of(c)));
    add_fact(c, AW_SAY_FACT_SURVEY, SAY(c, ONCE_DRAWN, small(c, r->survey_sigma)));
    add_fact(c, AW_SAY_FACT_DELAY, SAY(c, ONCE_DRAWN, small(c, r->delay_sigma)));
    add_reach(c);
    add_materials(c);
    add_fact(c, AW_SAY_FACT_FILE, SAY(c, FILE_IS, c->st->plan->file, c->st->plan->checksum));
    add_changes(c);
    add_fact(c, AW_SAY_FACT_PROGRAM, SAY(c, PROGRAM_IS, AW_VERSION));
    aw_footing_words(s, &footing);
    aw_book_add(c->book, AW_BLOCK_TEXT, aw_book_take(c->book, &footing));
    aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, LIMITS));
}

/* --- the proof --- */

/* The fewest spots of which `over` may be outside while 95 in 100 such tests refuse a zone whose
 * share of good places is just what is asked: the binomial law's one-sided limit (S. S. Wilks,
 * Annals of Mathematical Statistics 12:91-96, 1941, has 59 for none of a share of 95 %). 0 where no
 * number does. */
static size_t spots_for(double share, size_t over)
{
    for (size_t n = over + 1; n < 10000; n++) {
        double term = pow(share, (double)n), sum = term;
        for (size_t k = 1; k <= over; k++) {
            term *= (double)(n - k + 1) / (double)k * (1 - share) / share;
            sum += term;
        }
        if (sum <= 0.05)
            return n;
    }
    return 0;
}

static void add_proof(aw_client *c, const aw_zone *z)
{
    const double share = isnan(z->need.share) ? 0.95 : z->need.share;
    aw_book_add_seen(c->book, z->name, AW_LOOK_STRONG);
    aw_book_add_cell(c->book, aw_client_asked(c, z));
    for (size_t over = 0; over < 3; over++) {
        const size_t spots = share < 1 && !isnan(z->need.p95) ? spots_for(share, over) : 0;
        aw_book_add_number(c->book, spots > 0 ? aw_book_print(c->book, "%zu", spots) : SAY(c, DASH),
                           spots > 0 ? (double)spots : (double)NAN, "", AW_FIGURE_STATED);
    }
    aw_book_add_cell(
        c->book,
        isnan(z->need.p95)
            ? SAY(c, PASSED_OTHER)
            : SAY(c, PASSED,
                  aw_book_copy(c->book, aw_small_words("%.6g", z->need.p95, c->s->units).text)));
}

void aw_client_proof(aw_client *c)
{
    if (aw_client_needs(c) == 0) {
        aw_client_lack(c, AW_SAY_LACK_NEED);
        return;
    }
    aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, PROOF_HOW));
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, PROOF_CAPTION));
    aw_client_column(c, AW_SAY_COL_ZONE_ALONE, false);
    aw_client_column(c, AW_SAY_COL_ASKED, false);
    aw_client_column(c, AW_SAY_COL_SPOTS_0, true);
    aw_client_column(c, AW_SAY_COL_SPOTS_1, true);
    aw_client_column(c, AW_SAY_COL_SPOTS_2, true);
    aw_client_column(c, AW_SAY_COL_PASSED, false);
    for (size_t i = 0; i < c->s->n_zones; i++)
        if (aw_need_is_stated(&c->s->zones[i].need))
            add_proof(c, &c->s->zones[i]);
    aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, PROOF_NOTE));
}

void aw_client_care(aw_client *c)
{
    static const aw_phrase cautions[] = {AW_SAY_CARE_PREDICTION, AW_SAY_CARE_SAFETY,
                                         AW_SAY_CARE_HEIGHT,     AW_SAY_CARE_MAINS,
                                         AW_SAY_CARE_RADIO,      AW_SAY_CARE_UNJUDGED};
    aw_book_add(c->book, AW_BLOCK_LIST, "");
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++)
        aw_book_add_cell(c->book, c->language->phrases[cautions[i]]);
}
