/* Verdicts in the program's words; of a need with several parts the one that fails stands first. */
#include "live/answer.h"
#include "live/source.h"

#include <math.h>
#include <string.h>

#include "report/figures.h"
#include "report/lengths.h"
#include "report/stamp.h"
#include "report/verdict.h"

/* A zone whose p95 changes by less is not told of. */
#define TOLD 0.05

static const aw_answer *answer_of(const aw_subject *s)
{
    return s->with;
}

static const aw_zone_result *result_of(const aw_subject *s)
{
    return s->of;
}

/* --- words of a zone --- */

static void add_share(const aw_zone_result *r, aw_text *out)
{
    const aw_part_result *p = &r->parts[AW_PART_SHARE];
    char found[AW_FIGURE_ROOM], asked[AW_FIGURE_ROOM];
    aw_text_format(out, "%s of places good enough, %s asked",
                   aw_figure_share_asked(p->found.value, p->asked, found),
                   aw_figure_share(p->asked, asked));
}

static void add_p95(const aw_zone_result *r, aw_units units, aw_text *out)
{
    const double asked = r->parts[AW_PART_P95].asked;
    if (isnan(r->errors.p95)) {
        aw_text_add(out, "no p95: too few fixes");
        return;
    }
    aw_text_format(out, "p95 %s", aw_error_words_asked(r->errors.p95, asked, units).text);
    if (!isnan(asked))
        aw_text_format(out, ", %s asked", aw_small_words("%.6g", asked, units).text);
}

static bool fails(const aw_zone_result *r, aw_part part)
{
    return r->parts[part].verdict == AW_NOT_MET || r->parts[part].verdict == AW_UNDECIDED;
}

static void add_words(const aw_zone_result *r, aw_units units, aw_text *out)
{
    const bool share = r->parts[AW_PART_SHARE].verdict != AW_NO_NEED;
    aw_text deciding = {0};
    aw_stamp_part(r, units, AW_IN_A_TEXT, &deciding);
    if (share && fails(r, AW_PART_SHARE) && !fails(r, AW_PART_P95)) {
        add_share(r, out);
        aw_text_add(out, "; ");
        add_p95(r, units, out);
    } else if (r->verdict == AW_MET || r->verdict == AW_NO_NEED || fails(r, AW_PART_P95)) {
        add_p95(r, units, out);
        aw_text_add(out, share ? "; " : "");
        if (share)
            add_share(r, out);
    } else {
        aw_text_format(out, "%s; ", deciding.failed || deciding.n == 0 ? "" : deciding.at);
        add_p95(r, units, out);
    }
    aw_text_free(&deciding);
}

AW_GETTER(get_name)
{
    v->text = answer_of(s)->scenario->zones[s->i].name;
    return true;
}

AW_GETTER(get_letter)
{
    aw_text_add(&v->room, aw_zone_letter(s->i).text);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_verdict)
{
    v->text = aw_stamp_word(result_of(s));
    return true;
}

static const char *const marks[] = {"margin", "met", "missed", "undecided", "none", NULL};

AW_GETTER(get_mark)
{
    const aw_zone_result *r = result_of(s);
    v->text = r->verdict == AW_MET         ? marks[r->with_margin ? 0 : 1]
              : r->verdict == AW_NOT_MET   ? marks[2]
              : r->verdict == AW_UNDECIDED ? marks[3]
                                           : marks[4];
    return true;
}

AW_GETTER(get_words)
{
    add_words(result_of(s), answer_of(s)->scenario->units, &v->room);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_worst_at)
{
    v->numbers = result_of(s)->errors.worst_at;
    v->n = 2;
    return isfinite(v->numbers[0]);
}

AW_GETTER(get_worst)
{
    v->number = result_of(s)->errors.worst_p95;
    return isfinite(v->number);
}

AW_GETTER(get_p95)
{
    v->number = result_of(s)->errors.p95;
    return isfinite(v->number);
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, get_name, "", "of the zone"),
    AW_GOT("letter", TEXT, get_letter, "", "on every sheet"),
    AW_GOT("verdict", TEXT, get_verdict, "", "in words"),
    AW_WORD("mark", get_mark, marks, "how it is marked"),
    AW_GOT("words", TEXT, get_words, "", "what decides, that which fails first"),
    AW_MAY("p95_m", NUMBER, get_p95, 0, NULL, "of all fixes in the zone"),
    AW_MAY("worst_at", NUMBERS, get_worst_at, 0, NULL, "its worst cell"),
    AW_MAY("worst_p95_m", NUMBER, get_worst, 0, NULL, "there"),
};
static const aw_shape zone_shape = AW_SHAPE("live_zone", "What a zone reaches", zone_members);

/* --- an answer --- */

AW_GETTER(get_price_total)
{
    v->number = answer_of(s)->figures->price;
    return true;
}

AW_GETTER(get_currency)
{
    v->text = answer_of(s)->scenario->prices.currency;
    return true;
}

static const aw_member price_members[] = {
    AW_GOT("total", NUMBER, get_price_total, "currency", "of the layout"),
    AW_GOT("currency", TEXT, get_currency, "", "as the scenario writes it"),
};
static const aw_shape price_shape = AW_SHAPE("live_price", "What the layout costs", price_members);

AW_GETTER(get_price)
{
    const aw_answer *a = answer_of(s);
    v->object = (aw_subject){a, a, 0, 0};
    return a->figures != NULL && !isnan(a->figures->price);
}

AW_GETTER(get_zone)
{
    const aw_answer *a = answer_of(s);
    if (a->figures == NULL || i >= a->figures->n_zones)
        return false;
    v->object = (aw_subject){&a->figures->zones[i], a, i, 0};
    return true;
}

AW_GETTER(get_tag)
{
    v->text = answer_of(s)->scenario->n_tags > 0
                  ? answer_of(s)->scenario->tags[answer_of(s)->tag].name
                  : NULL;
    return v->text != NULL;
}

AW_GETTER(get_headline)
{
    const aw_answer *a = answer_of(s);
    if (a->figures == NULL && a->scenario->floor.outline.n == 0)
        aw_text_add(&v->room, "The file has no floor yet that can be read.");
    else if (a->figures == NULL)
        aw_text_add(&v->room, "Three anchors or more make a chart.");
    else
        aw_headline_words(&(aw_assessment){.zones = a->figures->zones, .floor = a->figures->floor},
                          a->scenario, AW_IN_A_TEXT, &v->room);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_log)
{
    v->text = answer_of(s)->log;
    return v->text != NULL;
}

AW_GETTER(get_draws)
{
    v->count = answer_of(s)->figures != NULL ? answer_of(s)->figures->draws : 0;
    return true;
}

static const aw_member members[] = {
    AW_COUNT("rev", aw_answer, rev, "", "which change it answers"),
    AW_TEXT("stage", aw_answer, stage, "estimate, draws, stands"),
    AW_GOT("draws", COUNT, get_draws, "", "of each cell; 0: an estimate"),
    AW_MAY("tag", TEXT, get_tag, 0, NULL, "the tag shown"),
    AW_GOT("headline", TEXT, get_headline, "", "the chart's first sentence"),
    AW_LIST("zones", get_zone, &zone_shape, "each zone by its own tag"),
    AW_MAY("price", OBJECT, get_price, 0, &price_shape, "of the layout"),
    AW_MAY("log", TEXT, get_log, 0, NULL, "the latest step, and what it did"),
};
static const aw_shape answer_shape = AW_SHAPE("live_answer", "One stage of an answer", members);

void aw_answer_json(const aw_answer *a, aw_text *out)
{
    const size_t from = out->n;
    aw_document_json(&answer_shape, &(aw_subject){.of = a, .with = a}, out);
    if (a->scene == NULL || out->failed || out->n < from + 2)
        return;
    out->n -= 2; /* its bracket and line end */
    aw_text_format(out, ", \"scene\": %s}\n", a->scene);
}

/* --- mistakes --- */

typedef struct mistakes {
    const aw_errors *errors;
    const char *item;
    aw_source_line source;
} mistakes;

static const aw_complaint *first_of(const aw_subject *s)
{
    const aw_errors *e = ((const mistakes *)s->of)->errors;
    for (size_t i = 0; i < e->n; i++)
        if (e->list[i].severity == AW_ERROR)
            return &e->list[i];
    return NULL;
}

AW_GETTER(get_error)
{
    v->text = first_of(s) != NULL ? first_of(s)->text : "it cannot be done";
    return true;
}

AW_GETTER(get_line)
{
    v->count = first_of(s) != NULL && first_of(s)->line > 0 ? (uint64_t)first_of(s)->line : 0;
    return v->count > 0;
}

AW_GETTER(get_column)
{
    v->count = first_of(s) != NULL && first_of(s)->column > 0 ? (uint64_t)first_of(s)->column : 0;
    return v->count > 0;
}

AW_GETTER(get_item)
{
    v->text = ((const mistakes *)s->of)->item;
    return v->text != NULL;
}

AW_GETTER(get_source)
{
    return aw_get_source(&((const mistakes *)s->of)->source, i, v);
}

static const aw_member mistake_members[] = {
    AW_GOT("error", TEXT, get_error, "", "what is wrong"),
    AW_MAY("line", COUNT, get_line, 0, NULL, "of the file"),
    AW_MAY("column", COUNT, get_column, 0, NULL, "of the file"),
    AW_MAY("item", TEXT, get_item, 0, NULL, "what it is about"),
    AW_MAY("source", LIST, get_source, 0, &aw_live_source_shape, "the line, and the one before"),
};
static const aw_shape mistake_shape = AW_SHAPE("live_mistake", "A refusal", mistake_members);

void aw_mistake_json(const aw_errors *errors, const char *item, const aw_text *text, aw_text *out)
{
    mistakes m = {errors, item, {text, 0}};
    const aw_complaint *first = first_of(&(aw_subject){.of = &m});
    m.source.line = first != NULL ? first->line : 0;
    aw_document_json(&mistake_shape, &(aw_subject){.of = &m, .with = &m}, out);
}

/* --- effect --- */

static const aw_zone_result *same_zone(const aw_outlook *f, const aw_scenario *s, const char *name)
{
    for (size_t i = 0; i < f->n_zones; i++)
        if (strcmp(s->zones[i].name, name) == 0)
            return &f->zones[i];
    return NULL;
}

/* How much a p95 changes, as a share; one that comes or goes by all of it. */
static double change_of(double before, double after)
{
    if (isnan(before) || isnan(after))
        return isnan(before) == isnan(after) ? 0 : 1;
    return fabs(after - before) / fmax(before, 1e-9);
}

void aw_effect_words(const aw_outlook *before, const aw_scenario *was, const aw_outlook *after,
                     const aw_scenario *is, aw_text *out)
{
    double most = TOLD;
    const aw_zone_result *from = NULL;
    size_t zone = 0;
    for (size_t i = 0; i < after->n_zones; i++) {
        const aw_zone_result *b = same_zone(before, was, is->zones[i].name);
        const double change = b != NULL ? change_of(b->errors.p95, after->zones[i].errors.p95) : 0;
        if (change >= most) {
            most = change;
            from = b;
            zone = i;
        }
    }
    if (from == NULL)
        aw_text_add(out, "no zone changes by 5 %");
    else
        aw_text_format(out, "%s %s to %s", is->zones[zone].name,
                       aw_error_figure(from->errors.p95, is->units).text,
                       aw_error_words(after->zones[zone].errors.p95, is->units).text);
    if (!isnan(before->price) && !isnan(after->price) && before->price != after->price)
        aw_text_format(out, "; %+.0f %s", after->price - before->price, is->prices.currency);
}
