/* The report's sections from made results: what is said where a part of them ends otherwise than on
 * the demos. */
#include "book/client.h"
#include "book/visit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "aw_test.h"

#define ANCHORS 14
#define POINTS  3

/* One zone that asks for 0.5 m, and what is said to have been found of it. */
typedef struct made {
    aw_scenario s;
    aw_zone zone;
    aw_anchor anchors[ANCHORS];
    aw_tag tag;
    aw_zone_result result, then[POINTS];
    aw_studies_plan plan;
    aw_studies st;
    aw_book book;
    aw_client c;
} made;

static void set_result(aw_zone_result *r, double p95, aw_verdict verdict)
{
    const double none = (double)NAN;
    memset(r, 0, sizeof *r);
    for (int k = 0; k < AW_PARTS; k++)
        r->parts[k] = (aw_part_result){none, {none, none, none}, AW_NO_NEED};
    r->parts[AW_PART_P95] = (aw_part_result){0.5, {p95, none, none}, verdict};
    r->errors.p95 = p95;
    r->verdict = verdict;
}

static void begin(made *m, double p95, aw_verdict verdict)
{
    static const char *const names[ANCHORS] = {"A", "B", "C", "D", "E", "F", "G",
                                               "H", "I", "J", "K", "L", "M", "N"};
    const double none = (double)NAN;
    memset(m, 0, sizeof *m);
    m->tag = (aw_tag){.name = "tag", .height = 1, .fix = AW_FIX_2D};
    m->zone =
        (aw_zone){.name = "bay", .need = {0.5, none, none, none, none, none, none, none, none}};
    for (size_t i = 0; i < ANCHORS; i++)
        m->anchors[i] = (aw_anchor){.name = names[i], .at = {(double)i, 2, 3}};
    m->s = (aw_scenario){.title = "Hall",
                         .zones = &m->zone,
                         .n_zones = 1,
                         .anchors = m->anchors,
                         .n_anchors = ANCHORS,
                         .tags = &m->tag,
                         .n_tags = 1};
    m->plan = (aw_studies_plan){.scenario = &m->s, .file = "a.yaml", .against_file = "b.yaml"};
    set_result(&m->result, p95, verdict);
    m->st = (aw_studies){.plan = &m->plan};
    m->st.assessment.zones = &m->result;
    m->book = (aw_book){.run = {&m->s, "a.yaml"}};
    m->c = (aw_client){.book = &m->book, .st = &m->st, .s = &m->s, .language = &aw_english};
    aw_book_begin(&m->book, "section", "Section");
}

static bool holds(const char *text, const char *words)
{
    aw_text plain = {0};
    for (const char *at = text; at != NULL && *at != '\0'; at++)
        aw_text_add_bytes(&plain, strncmp(at, "\xc2\xa0", 2) == 0 ? (at++, " ") : at, 1);
    const bool found = plain.at != NULL && strstr(plain.at, words) != NULL;
    aw_text_free(&plain);
    return found;
}

/* That a phrase is the one said, in these words. */
static void says(const made *m, aw_phrase phrase, const char *words)
{
    bool found = false;
    ck_assert(aw_english.phrases[phrase] != NULL);
    for (size_t i = 0; i < m->book.sections[0].n; i++) {
        const aw_book_block *b = &m->book.sections[0].blocks[i];
        found = found || holds(b->text, words);
        for (size_t k = 0; k < b->n_cells; k++)
            found = found || holds(b->cells[k].text, words);
    }
    ck_assert_msg(found, "not said: %s", words);
}

static void end(made *m)
{
    ck_assert(!m->book.failed);
    aw_book_free(&m->book);
}

/* --- why this layout --- */

/* Three numbers of anchors, 3 to 5, and the zone with each; the last one's p95 is under the need.
 */
static void set_counts(made *m, aw_swept points[POINTS], double last, aw_verdict verdict)
{
    static const char *names[] = {"bay"};
    static double asked[] = {0.5};
    const double p95[POINTS] = {0.9, 0.8, last};
    for (size_t i = 0; i < POINTS; i++) {
        const bool is_last = i + 1 == POINTS;
        set_result(&m->then[i], p95[i], is_last ? verdict : AW_NOT_MET);
        m->then[i].parts[AW_PART_P95].verdict = p95[i] > 0.5 ? AW_NOT_MET : AW_MET;
        points[i] = (aw_swept){.at = (double)(3 + i),
                               .price = (double)NAN,
                               .zones = &m->then[i],
                               .verdict = is_last ? verdict : AW_NOT_MET};
    }
    m->st.has_counts = true;
    m->st.counts = (aw_sweep){.kind = AW_SWEEP_COUNTS,
                              .n = POINTS,
                              .n_zones = 1,
                              .points = points,
                              .names = names,
                              .asked = asked};
}

START_TEST(a_sweep_says_how_many_meet_the_needs)
{
    static made m;
    aw_swept points[POINTS];
    begin(&m, 0.4, AW_MET);
    set_counts(&m, points, 0.4, AW_MET);
    aw_client_why(&m.c);
    says(&m, AW_SAY_COUNT_MEETS, "5 of these places are the fewest found that meet every need");
    end(&m);
    begin(&m, 0.4, AW_NOT_MET);
    set_counts(&m, points, 0.4, AW_NOT_MET);
    aw_client_why(&m.c);
    says(&m, AW_SAY_COUNT_P95_ALONE, "From 5 anchors on every zone's p95 is within its need, yet");
    end(&m);
    begin(&m, 0.9, AW_NOT_MET);
    set_counts(&m, points, 0.9, AW_NOT_MET);
    aw_client_why(&m.c);
    says(&m, AW_SAY_COUNT_NEVER, "Up to 5 of these places some zone's p95 is over its need.");
    end(&m);
    begin(&m, 0.9, AW_NOT_MET);
    aw_client_why(&m.c);
    says(&m, AW_SAY_LACK_PLACES, "The layout has fewer anchors than a position takes.");
    end(&m);
}
END_TEST

static void compare(made *m, double a, double b, aw_ranking ranking)
{
    static aw_area_result zone;
    static aw_scenario other;
    const double none = (double)NAN;
    begin(m, 0.4, AW_MET);
    zone = (aw_area_result){.p95 = {a, b}, .share_meeting = {none, none}, .ranking = ranking};
    other = m->s;
    m->plan.against = &other;
    m->st.has_comparison = true;
    m->st.comparison.floor = zone;
    m->st.comparison.zones = &zone;
    m->st.comparison.judged[0] = m->st.comparison.judged[1] = &m->result;
    aw_client_why(&m->c);
}

START_TEST(the_better_layout_is_named)
{
    static made m;
    const double none = (double)NAN;
    compare(&m, 0.8, 0.4, AW_B_BETTER);
    says(&m, AW_SAY_B_BETTER, "B, by 0.40");
    end(&m);
    compare(&m, 0.4, 0.8, AW_B_WORSE);
    says(&m, AW_SAY_B_WORSE, "A, by 0.40");
    end(&m);
    compare(&m, none, none, AW_NOT_TOLD_APART);
    says(&m, AW_SAY_NEITHER_HAS, "neither has a p95");
    end(&m);
    compare(&m, 0.4, none, AW_NOT_TOLD_APART);
    says(&m, AW_SAY_ONLY_A_HAS, "only A has a p95");
    end(&m);
    compare(&m, none, 0.4, AW_NOT_TOLD_APART);
    says(&m, AW_SAY_ONLY_B_HAS, "only B has a p95");
    end(&m);
}
END_TEST

static void place(made *m, aw_placing_end how, aw_verdict confirmed, double bound)
{
    begin(m, 0.4, AW_MET);
    m->plan.cheapest = m->st.has_placing = true;
    m->st.placing = (aw_placing){.end = how,
                                 .candidates = {.n = 40},
                                 .n_anchors = 9,
                                 .price = (double)NAN,
                                 .bound = bound,
                                 .confirmed_verdict = confirmed};
    aw_client_why(&m->c);
}

START_TEST(the_cheapest_layout_is_told_with_what_confirms_it)
{
    static made m;
    place(&m, AW_PLACING_FOUND, AW_MET, 8);
    says(&m, AW_SAY_CHEAPEST_FOUND, "Over the 40 places where anchors may hang, a search found 9");
    says(&m, AW_SAY_CHEAPEST_CONFIRMED, "an independent simulation meets every need with it too");
    says(&m, AW_SAY_CHEAPEST_BOUND, "no layout of these places can meet the needs for less than 8");
    end(&m);
    place(&m, AW_PLACING_FOUND, AW_NOT_MET, 3);
    says(&m, AW_SAY_CHEAPEST_REFUSED, "an independent simulation finds a need not met with it");
    for (size_t i = 0; i < m.book.sections[0].n; i++) /* under two thirds it says too little */
        ck_assert(!holds(m.book.sections[0].blocks[i].text, "for less than"));
    end(&m);
    place(&m, AW_PLACING_ON_LINE, AW_UNDECIDED, (double)NAN);
    says(&m, AW_SAY_CHEAPEST_OPEN, "leaves a need too close to call");
    end(&m);
    place(&m, AW_PLACING_NOT_FOUND, AW_NOT_MET, (double)NAN);
    says(&m, AW_SAY_CHEAPEST_NOT_FOUND, "found no layout that meets every need; the nearest has 9");
    end(&m);
}
END_TEST

/* --- the anchors --- */

/* The zone falls with each of the first `vital` anchors, by linear estimate. */
static void lose(made *m, size_t vital, aw_verdict verdict)
{
    static aw_loss_figures figures[2 * (1 + ANCHORS)];
    static aw_sturdy sturdy;
    static double used[ANCHORS];
    static aw_zone_result today;
    static bool kept[1];
    begin(m, 0.4, AW_MET);
    memset(figures, 0, sizeof figures);
    for (size_t i = 0; i < vital; i++)
        figures[1 + ANCHORS + 1 + i].falls_short = true;
    sturdy = (aw_sturdy){.verdict = verdict};
    today = m->result;
    m->st.assessment.used_share = used;
    m->st.has_outage = m->st.has_freedom = true;
    m->st.outage = (aw_outage){.n_singles = ANCHORS,
                               .n_losses = 1 + ANCHORS,
                               .n_places = 2,
                               .figures = figures,
                               .sturdy = &sturdy,
                               .verdict = verdict};
    m->st.freedoms = (aw_freedoms){.reach = 2, .today = &today, .kept = kept};
    aw_client_anchors(&m->c);
}

START_TEST(what_a_loss_costs_is_said_in_the_whole)
{
    static made m;
    lose(&m, 2, AW_NOT_MET);
    says(&m, AW_SAY_VITAL, "Two anchors (A and B) cannot be lost without a need failing");
    says(&m, AW_SAY_LACK_NEED_TO_KEEP, "no need is met as drawn, so there is none to keep");
    end(&m);
    lose(&m, ANCHORS, AW_NOT_MET);
    says(&m, AW_SAY_SO_MANY_MORE, "14 anchors (A, B, C, D, E, F, G, H, I, J, K and 3 more) cannot");
    end(&m);
    lose(&m, 0, AW_MET);
    says(&m, AW_SAY_STURDY, "Every need is met with any one anchor lost.");
    end(&m);
    lose(&m, 0, AW_UNDECIDED);
    says(&m, AW_SAY_STURDY_UNDECIDED, "With one anchor lost some need is too close to call.");
    end(&m);
    lose(&m, 0, AW_NOT_MET);
    says(&m, AW_SAY_NONE_MORE_FALLS, "No anchor's loss makes a need fail that is met as drawn.");
    end(&m);
}
END_TEST

/* --- the weakest spot --- */

static void explain(made *m, size_t used, double p95, double after, aw_verdict then)
{
    static aw_sightline lines[ANCHORS];
    begin(m, 0.4, AW_MET);
    set_result(&m->then[0], after, then);
    memset(lines, 0, sizeof lines);
    m->st.is_explained = true;
    m->st.explanation = (aw_explanation){.spot = {1, 2, 1},
                                         .used = used,
                                         .p95 = {p95, p95, p95},
                                         .gap = 3,
                                         .lines = lines,
                                         .zones = &m->result,
                                         .n_remedies = then != AW_NO_NEED};
    m->st.explanation.remedies[0] = (aw_remedy){.kind = AW_REMEDY_ADD,
                                                .anchor = ANCHORS,
                                                .at = {3, 2, 4},
                                                .p95 = {0.3, 0.3, 0.3},
                                                .price = (double)NAN,
                                                .zones = m->then,
                                                .breaks = then == AW_NOT_MET,
                                                .harms = true};
    aw_client_spot_section(&m->c);
}

START_TEST(a_spot_says_what_reaches_it_and_what_a_remedy_costs_others)
{
    static made m;
    explain(&m, 2, (double)NAN, 0.9, AW_NOT_MET);
    says(&m, AW_SAY_TOO_FEW_REACH, "Two of 14 anchors reach it; a position needs three.");
    says(&m, AW_SAY_BREAKS, "breaks the need of bay");
    end(&m);
    explain(&m, 5, (double)NAN, (double)NAN, AW_MET);
    says(&m, AW_SAY_REACH_WITHOUT_P95, "Five of 14 anchors reach it, too seldom for a p95.");
    says(&m, AW_SAY_TAKES_P95, "takes p95 from bay");
    end(&m);
    explain(&m, 5, 0.7, 0.49, AW_MET);
    says(&m, AW_SAY_WORSENS, "raises p95 of bay by over 15 %");
    end(&m);
    explain(&m, 5, 0.7, 0.4, AW_NO_NEED);
    says(&m, AW_SAY_NOTHING_MENDS,
         "No single anchor added, raised, lowered or moved lowers its p95");
    end(&m);
}
END_TEST

/* --- what to confirm, and how far an anchor may move --- */

START_TEST(what_breaks_a_need_is_said_to)
{
    static made m;
    static aw_sensitivity_end ends[AW_ASSUMPTIONS * 2];
    begin(&m, 0.4, AW_MET);
    m.then[0] = m.result;
    aw_sensitivity *v = &m.st.sensitivity;
    m.st.has_sensitivity = true;
    *v = (aw_sensitivity){.n_zones = 1, .zones = &m.zone, .today = m.then, .ends = ends};
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        v->assumed[a] = (aw_assumption_range){a == AW_ASSUME_LOSSES, true, 1, 0.75, 1.25};
        for (int end = 0; end < 2; end++)
            ends[2 * a + end] = (aw_sensitivity_end){m.result, {0, 0, 0}};
    }
    aw_sensitivity_end *lost = &ends[2 * AW_ASSUME_LOSSES + 1];
    set_result(&lost->result, (double)NAN, AW_NOT_MET);
    lost->change.value = HUGE_VAL;
    aw_client_confirm(&m.c);
    says(&m, AW_SAY_THEN_LOST, "p95 is lost ✗ need lost");
    says(&m, AW_SAY_NO_P95, "bay: with × 1.25 p95 is lost");
    says(&m, AW_SAY_BREAKING_NOTE, "A line with ✗ takes away a need that is met as drawn.");
    end(&m);
    m.book = (aw_book){.run = {&m.s, "a.yaml"}};
    aw_visit_write(&m.c);
    says(&m, AW_SAY_VISIT_BREAKS, "What stands in rose can take away a need that is met as drawn.");
    end(&m);
}
END_TEST

START_TEST(an_anchor_may_move_to_all_sides)
{
    static made m;
    static aw_freedom list[ANCHORS];
    for (size_t i = 0; i < ANCHORS; i++) {
        list[i] = (aw_freedom){.anchor = i, .low = 2, .high = 4};
        for (int k = 0; k < AW_SIDES; k++)
            list[i].sides[k] = (aw_limit){.kind = AW_LIMIT_REACH, .distance = 2};
    }
    lose(&m, 0, AW_MET);
    aw_book_free(&m.book);
    m.book = (aw_book){.run = {&m.s, "a.yaml"}};
    aw_book_begin(&m.book, "section", "Section");
    m.st.freedoms.n = ANCHORS;
    m.st.freedoms.list = list;
    aw_client_anchors(&m.c);
    says(&m, AW_SAY_ALL_SIDES, "2 on all sides");
    end(&m);
}
END_TEST

static TCase *parts(void)
{
    TCase *all = tcase_create("parts");
    tcase_add_test(all, a_sweep_says_how_many_meet_the_needs);
    tcase_add_test(all, the_better_layout_is_named);
    tcase_add_test(all, the_cheapest_layout_is_told_with_what_confirms_it);
    tcase_add_test(all, what_a_loss_costs_is_said_in_the_whole);
    tcase_add_test(all, a_spot_says_what_reaches_it_and_what_a_remedy_costs_others);
    tcase_add_test(all, what_breaks_a_need_is_said_to);
    tcase_add_test(all, an_anchor_may_move_to_all_sides);
    return all;
}

AW_TEST_MAIN("report_parts", parts())
