/* Figures of a block are rows of a table; what has a name is looked for by its name. */
#include "assess/mismatch.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "anchorwise/assess.h"
#include "assess/compare_check.h"

/* A length that says how far something errs, m. */
static void add_error(aw_mismatches *list, const char *block, const char *key, double a, double b)
{
    const size_t before = list->n;
    aw_mismatch_number(list, block, key, "m", a, b);
    if (list->n > before)
        list->list[before].is_error = true;
}

/* --- figures --- */

typedef struct row {
    const char *key, *unit; /* NULL: an error, m */
    size_t offset;          /* of a double */
} row;

static const row ranging_rows[] = {
    {"spot_sigma", NULL, offsetof(aw_ranging, spot_sigma)},
    {"tail_share", "", offsetof(aw_ranging, tail_share)},
    {"tail_sigma", NULL, offsetof(aw_ranging, tail_sigma)},
    {"survey_sigma", NULL, offsetof(aw_ranging, survey_sigma)},
    {"delay_sigma", NULL, offsetof(aw_ranging, delay_sigma)},
    /* Without a radio: */
    {"sigma", NULL, offsetof(aw_ranging, sigma)},
    {"range", "m", offsetof(aw_ranging, range)},
    {"budget_db", "dB", offsetof(aw_ranging, budget_db)},
};
#define ALWAYS 5

static const row radio_rows[] = {
    {"density_dbm_mhz", "dBm/MHz", offsetof(aw_radio, density_dbm_mhz)},
    {"backoff_db", "dB", offsetof(aw_radio, backoff_db)},
    {"frame_gain_db", "dB", offsetof(aw_radio, frame_gain_db)},
    {"arrival_floor", NULL, offsetof(aw_radio, arrival_floor)},
    {"noise_figure_db", "dB", offsetof(aw_radio, receiver.noise_figure_db)},
    {"sensitivity_dbm", "dBm", offsetof(aw_radio, receiver.sensitivity_dbm)},
    {"detect_db", "dB", offsetof(aw_radio, receiver.detect_db)},
    {"dynamic_db", "dB", offsetof(aw_radio, receiver.dynamic_db)},
};

static const row price_rows[] = {
    {"anchor", "", offsetof(aw_prices, anchor)},
    {"port", "", offsetof(aw_prices, port)},
    {"lift_hour", "", offsetof(aw_prices, lift_hour)},
    {"cable", "", offsetof(aw_prices, cable)},
};

static void find_numbers(aw_mismatches *list, const char *block, const row rows[], size_t n,
                         const void *a, const void *b)
{
    for (size_t i = 0; i < n; i++) {
        const double x = *(const double *)(const void *)((const char *)a + rows[i].offset);
        const double y = *(const double *)(const void *)((const char *)b + rows[i].offset);
        if (rows[i].unit != NULL)
            aw_mismatch_number(list, block, rows[i].key, rows[i].unit, x, y);
        else
            add_error(list, block, rows[i].key, x, y);
    }
}

static void find_measured(aw_mismatches *list, const aw_measured *m, const aw_measured *n)
{
    static const char *const where[] = {
        [AW_MEASURED_SITE] = "site", [AW_MEASURED_EQUIPMENT] = "equipment"};
    const char *const block = "measured";
    aw_mismatch_number(list, block, "points", "", m->points, n->points);
    if (m->points == 0 || n->points == 0)
        return;
    aw_mismatch_number(list, block, "days", "", m->days, n->days);
    aw_mismatch_words(list, block, "where", where[m->where], where[n->where]);
}

static void find_radio(aw_mismatches *list, const aw_radio *r, const aw_radio *q)
{
    static const char *const modes[] = {
        [AW_TAGS_SEND] = "tags send", [AW_ANCHORS_SEND] = "anchors send"};
    const char *const block = "radio";
    if (!r->given || !q->given) {
        aw_mismatch_words(list, block, "block", r->given ? "given" : NULL,
                          q->given ? "given" : NULL);
        return;
    }
    aw_mismatch_number(list, block, "channel", "", r->channel.number, q->channel.number);
    aw_mismatch_words(list, block, "environment", aw_environment_name(r->environment),
                      aw_environment_name(q->environment));
    aw_mismatch_words(list, block, "mode", modes[r->mode], modes[q->mode]);
    find_numbers(list, block, radio_rows, sizeof radio_rows / sizeof *radio_rows, r, q);
    aw_mismatch_number(list, block, "preamble", "symbols", r->receiver.preamble,
                       q->receiver.preamble);
}

/* --- needs --- */

/* A zone's tag by its name, and its need part by part. */
static void find_needs(aw_mismatches *list, const aw_scenario *a, const aw_scenario *b)
{
    for (size_t i = 0; i < a->n_zones; i++) {
        const aw_zone *y = &a->zones[i], *z = &b->zones[i];
        char block[AW_MISMATCH_ROOM];
        snprintf(block, sizeof block, "zone %s", y->name);
        aw_mismatch_words(list, block, "tag", a->tags[y->tag].name, b->tags[z->tag].name);
        snprintf(block, sizeof block, "need of %s", y->name);
        for (int part = 0; part < AW_PARTS; part++) {
            const aw_part_row *r = &aw_part_rows[part];
            const double asked = aw_need_asks(&y->need, (aw_part)part);
            const double other = aw_need_asks(&z->need, (aw_part)part);
            if (r->is_length)
                add_error(list, block, r->name, asked, other);
            else
                aw_mismatch_number(list, block, r->key, "", asked, other);
        }
        aw_mismatch_number(list, block, "chance", "", y->need.chance, z->need.chance);
        aw_mismatch_number(list, block, "margin", "", y->need.margin, z->need.margin);
    }
}

/* --- prices --- */

static bool same_mounts_and_items(const aw_prices *p, const aw_prices *q)
{
    bool same = p->n_mounts == q->n_mounts && p->n_items == q->n_items;
    for (size_t i = 0; same && i < p->n_mounts; i++)
        same = p->mounts[i].up_to == q->mounts[i].up_to &&
               p->mounts[i].price == q->mounts[i].price &&
               p->mounts[i].lift_hours == q->mounts[i].lift_hours;
    for (size_t i = 0; same && i < p->n_items; i++)
        same = p->items[i].price == q->items[i].price && p->items[i].each == q->items[i].each;
    return same;
}

static void find_prices(aw_mismatches *list, const aw_prices *p, const aw_prices *q)
{
    static const char *const axes[] = {"cabinet x", "cabinet y", "cabinet z"};
    const char *const block = "prices";
    aw_mismatch_words(list, block, "currency", p->currency, q->currency);
    if (p->currency == NULL || q->currency == NULL)
        return;
    find_numbers(list, block, price_rows, sizeof price_rows / sizeof *price_rows, p, q);
    for (int k = 0; k < 3; k++)
        aw_mismatch_number(list, block, axes[k], "m", p->cabinet[k], q->cabinet[k]);
    if (!same_mounts_and_items(p, q))
        aw_mismatch_words(list, block, "mounts and items", "a list", "another list");
}

/* --- all --- */

static void find_study(aw_mismatches *list, const aw_study *s, const aw_study *t)
{
    const char *const block = "study";
    char seed[2][24];
    snprintf(seed[0], sizeof seed[0], "%llu", (unsigned long long)s->seed);
    snprintf(seed[1], sizeof seed[1], "%llu", (unsigned long long)t->seed);
    aw_mismatch_number(list, block, "step", "m", s->step, t->step);
    aw_mismatch_number(list, block, "draws", "", s->draws, t->draws);
    aw_mismatch_words(list, block, "seed", seed[0], seed[1]);
    aw_mismatch_number(list, block, "odds", "", s->odds, t->odds);
    aw_mismatch_number(list, block, "chance", "", s->chance, t->chance);
    aw_mismatch_number(list, block, "margin", "", s->margin, t->margin);
}

bool aw_mismatches_find(aw_mismatches *list, const aw_scenario *a, const aw_scenario *b)
{
    const size_t rows =
        a->radio.given && b->radio.given ? ALWAYS : sizeof ranging_rows / sizeof *ranging_rows;
    aw_mismatch_number(list, "floor", "ceiling", "m", a->floor.ceiling, b->floor.ceiling);
    aw_mismatch_things(list, a, b);
    find_numbers(list, "ranging", ranging_rows, rows, &a->ranging, &b->ranging);
    aw_mismatch_words(list, "ranging", "solver", aw_solver_name(a->ranging.solver),
                      aw_solver_name(b->ranging.solver));
    find_measured(list, &a->ranging.measured, &b->ranging.measured);
    find_radio(list, &a->radio, &b->radio);
    find_needs(list, a, b);
    find_prices(list, &a->prices, &b->prices);
    find_study(list, &a->study, &b->study);
    return !list->failed;
}
