/* The report's sentences, from made results: every one is reached, and each says what its result
 * is.
 */
#include "book/client.h"

#include <math.h>
#include <string.h>

#include "aw_test.h"
#include "report/sensitivity.h"

#define ZONES 4

/* A made site of four zones, and what is said to have been found of it. */
typedef struct made {
    aw_scenario s, against;
    aw_zone zones[ZONES];
    aw_anchor anchors[3];
    aw_tag tag;
    aw_zone_result results[ZONES], today[ZONES], judged[ZONES];
    aw_sensitivity_end ends[ZONES * AW_ASSUMPTIONS * 2];
    aw_studies_plan plan;
    aw_studies st;
    aw_book book;
} made;

static bool reached[AW_PHRASES];

static void set_zone(made *m, size_t i, aw_verdict verdict, double chance, aw_part part)
{
    static const char *const names[ZONES] = {"bay", "store", "shop", "yard"};
    aw_zone_result *r = &m->results[i];
    const double none = (double)NAN;
    memset(r, 0, sizeof *r);
    m->zones[i] =
        (aw_zone){.name = names[i], .need = {0.5, 0.9, none, none, none, none, none, 0.8, none}};
    for (int k = 0; k < AW_PARTS; k++)
        r->parts[k] = (aw_part_result){none, {none, none, none}, AW_NO_NEED};
    r->parts[AW_PART_CHANCE] = (aw_part_result){0.8, {chance, none, none}, AW_NO_NEED};
    if (verdict != AW_NO_NEED)
        r->parts[part] = (aw_part_result){
            aw_part_rows[part].is_length ? 0.5 : 0.9,
            {aw_part_rows[part].is_length == (verdict == AW_MET) ? 0.4 : 0.97, none, none},
            verdict};
    if (!aw_part_rows[part].is_length && verdict == AW_NOT_MET)
        r->parts[part].found.value = 0.7;
    if (aw_part_rows[part].is_length && verdict == AW_NOT_MET)
        r->parts[part].found.value = 0.9;
    r->errors.p95 = r->parts[AW_PART_P95].found.value;
    r->verdict = verdict;
    r->with_margin = verdict == AW_MET && chance >= AW_WITH_MARGIN;
}

/* `n` zones, the weakest first. */
static void begin(made *m, size_t n, size_t weakest)
{
    m->tag = (aw_tag){.name = "tag", .height = 1};
    m->anchors[0] = m->anchors[1] = m->anchors[2] = (aw_anchor){.name = "A", .at = {1, 2, 3}};
    m->s = (aw_scenario){.title = "Hall",
                         .zones = m->zones,
                         .n_zones = n,
                         .anchors = m->anchors,
                         .n_anchors = 3,
                         .tags = &m->tag,
                         .n_tags = 1};
    m->s.ranging.sigma = m->s.ranging.spot_sigma = 0.1;
    m->plan = (aw_studies_plan){.scenario = &m->s, .file = "a.yaml"};
    m->st = (aw_studies){.plan = &m->plan, .weakest = weakest};
    m->st.assessment.zones = m->results;
}

static void set_prices(aw_scenario *s, double each)
{
    s->prices = (aw_prices){.currency = "EUR", .anchor = each, .cable = 1, .cabinet = {0, 0, 0}};
}

/* Whether a text holds a phrase with anything in its gaps. */
static bool holds(const char *text, const char *phrase)
{
    const size_t plain = strcspn(phrase, "{");
    if (*phrase == '\0')
        return true;
    if (plain > 0)
        return strncmp(text, phrase, plain) == 0 && holds(text + plain, phrase + plain);
    for (const char *at = text;; at++) {
        if (holds(at, phrase + 3))
            return true;
        if (*at == '\0')
            return false;
    }
}

static bool is_anywhere(const char *text, const char *phrase)
{
    for (const char *at = text; *at != '\0'; at++)
        if (holds(at, phrase))
            return true;
    return false;
}

static void look(const char *text)
{
    aw_text plain = {0};
    for (const char *at = text; at != NULL && *at != '\0'; at++) {
        const bool bound = strncmp(at, "\xc2\xa0", 2) == 0;
        aw_text_add_bytes(&plain, bound ? " " : at, 1);
        at += bound;
    }
    for (int k = 0; plain.n > 0 && k < AW_PHRASES; k++)
        reached[k] = reached[k] || is_anywhere(plain.at, aw_english.phrases[k]);
    aw_text_free(&plain);
}

/* Says the summary of what was made; its sentences are in `m->book` until it is freed. */
static aw_book *say(made *m)
{
    aw_client c = {.book = &m->book, .st = &m->st, .s = &m->s, .language = &aw_english};
    m->book = (aw_book){.run = {&m->s, "a.yaml"}};
    aw_client_summary(&c);
    ck_assert(!m->book.failed);
    look(m->book.headline);
    for (size_t i = 0; i < m->book.sections[0].n; i++) {
        const aw_book_block *b = &m->book.sections[0].blocks[i];
        look(b->text);
        for (size_t k = 0; k < b->n_cells; k++)
            look(b->cells[k].text);
    }
    return &m->book;
}

static const char *sentences(const aw_book *b)
{
    return b->sections[0].blocks[1].text;
}

START_TEST(no_phrase_is_missing)
{
    for (int k = 0; k < AW_PHRASES; k++)
        ck_assert_msg(aw_english.phrases[k] != NULL && aw_english.phrases[k][0] != '\0',
                      "phrase %d", k);
    for (int k = 0; k < AW_ASSUMPTIONS; k++)
        ck_assert(aw_english.assumed[k] && aw_english.confirmed_by[k] && aw_english.pictured[k]);
    for (int k = 0; k <= AW_MOST_NUMBER; k++)
        ck_assert(aw_english.numbers[k] && aw_english.first_numbers[k]);
}
END_TEST

START_TEST(gaps_are_filled_and_figures_keep_their_units)
{
    aw_text out = {0};
    aw_phrase_fill(&aw_english, AW_SAY_LENGTH_FAILS,
                   (const char *const[]){"bay", "p95", "0.97 m", "0.8 m", NULL}, &out);
    ck_assert_str_eq(out.at,
                     "The bay is not met: p95 is 0.97\xc2\xa0m and 0.8\xc2\xa0m was asked.");
    aw_text_free(&out);
}
END_TEST

/* Verdicts of four zones, and the headline that they make. */
static const struct {
    size_t n;
    const char *verdicts; /* s: with margin, m: met, n: not, u: undecided, -: no need */
    const char *headline;
} heads[] = {
    {0, "", "No need is stated: figures only."},
    {1, "-", "No need is stated: figures only."},
    {1, "n", "The need is not met."},
    {1, "u", "The need is too close to call."},
    {1, "s", "The need is met with margin."},
    {1, "m", "The need is met."},
    {3, "sss", "All three needs are met with margin."},
    {2, "mm", "Both needs are met."},
    {2, "ss", "Both needs are met with margin."},
    {2, "sm", "Both needs are met, one of them with margin."},
    {3, "mmm", "All three needs are met."},
    {4, "mmss", "All four needs are met, two of them with margin."},
    {2, "nn", "None of the two needs is met."},
    {2, "uu", "None of the two needs is surely met."},
    {3, "nuu", "None of the three needs is surely met."},
    {2, "um", "One of two needs is met; the bay is too close to call."},
    {3, "umm", "Two of three needs are met; the bay is too close to call."},
    {2, "nm", "One of two needs is met. The bay is not."},
    {3, "nmm", "Two of three needs are met. The bay is not."},
    {4, "nnmm", "Two of four needs are met. The bay and the store are not."},
    {3, "nnm", "One of three needs is met."},
    {4, "numm", "Two of four needs are met."},
};

static void set_verdicts(made *m, const char *verdicts)
{
    for (size_t i = 0; verdicts[i] != '\0'; i++)
        set_zone(m, i,
                 verdicts[i] == 'n'   ? AW_NOT_MET
                 : verdicts[i] == 'u' ? AW_UNDECIDED
                 : verdicts[i] == '-' ? AW_NO_NEED
                                      : AW_MET,
                 verdicts[i] == 's' ? 0.97 : 0.88, AW_PART_P95);
}

START_TEST(a_headline_says_how_many_needs_are_met)
{
    static made m;
    const bool asked = heads[_i].n > 0 && heads[_i].verdicts[0] != '-';
    begin(&m, heads[_i].n, asked ? 0 : heads[_i].n);
    set_verdicts(&m, heads[_i].verdicts);
    ck_assert_str_eq(say(&m)->headline, heads[_i].headline);
    aw_book_free(&m.book);
}
END_TEST

/* One failing part, what hides its places, and what is then said. */
START_TEST(what_fails_is_said_by_its_part)
{
    static made m;
    static const struct {
        aw_part part;
        const char *hiders[2];
        bool several;
        const char *says;
    } cases[] = {
        {AW_PART_P95,
         {NULL, NULL},
         false,
         "The bay is not met: p95 is 0.90 m and 0.5 m was asked."},
        {AW_PART_SHARE,
         {NULL, NULL},
         false,
         "The bay is not met: 70 % of its places are good enough and 90 % were asked."},
        {AW_PART_SHARE, {NULL, NULL}, true, "the weak ones lie behind several things."},
        {AW_PART_SHARE, {"lathe", NULL}, false, "the weak ones lie mostly behind lathe."},
        {AW_PART_SHARE, {"lathe", "car"}, false, "the weak ones lie mostly behind lathe and car."},
        {AW_PART_CHANCE,
         {NULL, NULL},
         false,
         "The bay is not met: its chance is 70 % and 90 % was asked."},
        {AW_PART_FIX_SHARE, {NULL, NULL}, false, "The bay is not met: its "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        begin(&m, 2, 0);
        set_zone(&m, 0, AW_NOT_MET, 0.4, cases[i].part);
        set_zone(&m, 1, AW_MET, 0.88, AW_PART_P95);
        memcpy(m.st.hiders, cases[i].hiders, sizeof m.st.hiders);
        m.st.are_several = cases[i].several;
        say(&m);
        aw_text plain = {0};
        for (const char *at = sentences(&m.book); *at != '\0'; at++)
            aw_text_add_bytes(&plain, strncmp(at, "\xc2\xa0", 2) == 0 ? (at++, " ") : at, 1);
        ck_assert_msg(strstr(plain.at, cases[i].says) != NULL, "%s\nin %s", cases[i].says,
                      plain.at);
        aw_text_free(&plain);
        aw_book_free(&m.book);
    }
    begin(&m, 1, 0);
    set_zone(&m, 0, AW_NOT_MET, 0.4, AW_PART_P95);
    m.results[0].parts[AW_PART_P95].found.value = (double)NAN;
    say(&m);
    ck_assert(strstr(sentences(&m.book), "too many positions fail for a p95") != NULL);
    aw_book_free(&m.book);
}
END_TEST

/* The sensitivity of a made site: no end moves anything, but those set. */
static void set_sensitivity(made *m)
{
    aw_sensitivity *v = &m->st.sensitivity;
    m->st.has_sensitivity = true;
    v->n_zones = m->s.n_zones;
    v->zones = m->zones;
    v->today = m->today;
    v->ends = m->ends;
    memcpy(m->today, m->results, sizeof m->today);
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        v->assumed[a] = (aw_assumption_range){a < 3, true, 1, 0.75, 1.25};
        for (size_t z = 0; z < v->n_zones; z++)
            for (int end = 0; end < 2; end++)
                m->ends[(z * AW_ASSUMPTIONS + (size_t)a) * 2 + (size_t)end] =
                    (aw_sensitivity_end){m->results[z], {0, 0, 0}};
    }
}

static aw_sensitivity_end *end_of(made *m, size_t zone, aw_assumption a, size_t end)
{
    return &m->ends[(zone * AW_ASSUMPTIONS + (size_t)a) * 2 + end];
}

START_TEST(what_breaks_a_met_need_is_confirmed_first)
{
    static made m;
    begin(&m, 2, 1);
    set_zone(&m, 0, AW_MET, 0.97, AW_PART_P95);
    set_zone(&m, 1, AW_MET, 0.88, AW_PART_P95);
    set_sensitivity(&m);
    say(&m);
    ck_assert(strstr(sentences(&m.book), "no single assumption takes it away") != NULL);
    aw_book_free(&m.book);
    /* The tops move most, the losses break: the losses come first. */
    end_of(&m, 0, AW_ASSUME_TOPS, 1)->change.value = 0.45;
    say(&m);
    ck_assert_str_eq(m.book.sections[0].blocks[0].cells[10].text,
                     aw_english.assumed[AW_ASSUME_TOPS]);
    aw_book_free(&m.book);
    end_of(&m, 1, AW_ASSUME_LOSSES, 1)->result.verdict = AW_NOT_MET;
    end_of(&m, 1, AW_ASSUME_LOSSES, 1)->change.value = 0.05;
    say(&m);
    ck_assert_str_eq(m.book.sections[0].blocks[0].cells[10].text,
                     aw_english.assumed[AW_ASSUME_LOSSES]);
    ck_assert(strstr(m.book.sections[0].blocks[0].cells[11].text,
                     aw_english.assumed[AW_ASSUME_TOPS]) != NULL);
    ck_assert(strstr(sentences(&m.book), "it is lost if loss through materials is × 1.25") != NULL);
    aw_book_free(&m.book);
}
END_TEST

START_TEST(the_other_layout_is_dearer_or_cheaper_and_meets_or_fails)
{
    static made m;
    static const struct {
        double a, b;
        aw_verdict verdict;
        const char *says;
    } cases[] = {{100, 120, AW_MET,
                  "Layout B costs 60\xc2\xa0"
                  "EUR more and meets the bay"},
                 {100, 120, AW_NOT_MET,
                  "Layout B costs 60\xc2\xa0"
                  "EUR more and does not surely meet the bay"},
                 {120, 100, AW_MET,
                  "Layout B costs 60\xc2\xa0"
                  "EUR less and meets the bay"},
                 {120, 100, AW_UNDECIDED,
                  "Layout B costs 60\xc2\xa0"
                  "EUR less and does not surely meet the bay"},
                 {0, 0, AW_MET, "Layout B meets the bay"},
                 {0, 0, AW_NOT_MET, "Layout B does not surely meet the bay"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        begin(&m, 2, 0);
        set_verdicts(&m, "nm");
        m.against = m.s;
        if (cases[i].a > 0) {
            set_prices(&m.s, cases[i].a);
            set_prices(&m.against, cases[i].b);
        }
        set_zone(&m, 2, cases[i].verdict, 0.9, AW_PART_P95);
        m.judged[0] = m.results[2];
        m.plan.against = &m.against;
        m.st.has_comparison = true;
        m.st.comparison.judged[1] = m.judged;
        say(&m);
        ck_assert_msg(strstr(sentences(&m.book), cases[i].says) != NULL, "%s\nin %s", cases[i].says,
                      sentences(&m.book));
        aw_book_free(&m.book);
    }
}
END_TEST

/* What is left: other questions, prices, and chances. */
static void say_the_rest(void)
{
    static made m;
    static const aw_mount mount = {"bracket", 10, 20, 0.5, {0, 0}};
    for (int k = 0; k < 4; k++) { /* cable and lift, each with and without */
        begin(&m, 4, 0);
        set_verdicts(&m, "mmss");
        m.zones[3].need.p95 = k % 2 == 0 ? 0.5 : 0.8;
        set_prices(&m.s, 100);
        m.s.prices.cabinet[0] = k & 1 ? (double)NAN : 0;
        m.s.prices.lift_hour = k & 2 ? 0 : 60;
        m.s.prices.mounts = &mount;
        m.s.prices.n_mounts = 1;
        if (k == 3)
            set_sensitivity(&m);
        if (k == 3)
            end_of(&m, 0, AW_ASSUME_TOPS, 0)->change.value = 0.1;
        say(&m);
        aw_book_free(&m.book);
    }
    for (int k = 0; k < 6; k++) {
        begin(&m, k == 5 ? 1 : 2, 0);
        set_verdicts(&m, k == 0   ? "mm"
                         : k == 1 ? "sm"
                         : k == 2 ? "ss"
                         : k == 3 ? "--"
                         : k == 4 ? "mm"
                                  : "m");
        if (k == 3)
            m.st.weakest = 2;
        for (size_t z = 0; z < 2 && k >= 4; z++) {
            m.zones[z].need.p95 = (double)NAN;
            m.results[z].parts[AW_PART_CHANCE].found.value = (double)NAN;
        }
        m.s.ranging.measured =
            k == 2 ? (aw_measured){20, 1, AW_MEASURED_SITE} : (aw_measured){0, 0, 0};
        say(&m);
        aw_book_free(&m.book);
    }
}

START_TEST(every_sentence_of_the_summary_is_reached)
{
    say_the_rest();
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        a_headline_says_how_many_needs_are_met_fn((int)i);
    what_fails_is_said_by_its_part_fn(0);
    what_breaks_a_met_need_is_confirmed_first_fn(0);
    the_other_layout_is_dearer_or_cheaper_and_meets_or_fails_fn(0);
    for (int k = AW_SAY_HEAD_NO_NEED; k <= AW_SAY_CHEAPER_FAILS; k++)
        ck_assert_msg(reached[k], "not reached: %s", aw_english.phrases[k]);
}
END_TEST

static TCase *report_tests(void)
{
    TCase *all = tcase_create("report");
    tcase_add_test(all, no_phrase_is_missing);
    tcase_add_test(all, gaps_are_filled_and_figures_keep_their_units);
    tcase_add_loop_test(all, a_headline_says_how_many_needs_are_met, 0,
                        (int)(sizeof heads / sizeof *heads));
    tcase_add_test(all, what_fails_is_said_by_its_part);
    tcase_add_test(all, what_breaks_a_met_need_is_confirmed_first);
    tcase_add_test(all, the_other_layout_is_dearer_or_cheaper_and_meets_or_fails);
    tcase_add_test(all, every_sentence_of_the_summary_is_reached);
    return all;
}

AW_TEST_MAIN("report", report_tests())
