/* Every JSON document, key by key against the members it tells of: the keys are written by hand,
 * and no line knows the shapes. Then each member of each shape is told wrongly in six ways, and
 * every time some line has to notice. */
#include "documents_assess.h"
#include "documents_check.h"
#include "documents_plan.h"
#include "documents_report.h"
#include "documents_whatif.h"
#include "report/documents.h"

/* --- a member told wrongly --- */

typedef enum mistake { NONE, LARGER, SIGN, NEIGHBOUR, FEET, NOTHING, SHORTER, MISTAKES } mistake;

static const char *const mistakes[] = {
    "none",    "a hundredth larger",           "of the other sign", "its neighbour", "in feet",
    "nothing", "a list without its first item"};

static struct {
    const aw_member *member, *next;
    mistake mistake;
    size_t done;
} wrong;

bool __real_aw_member_find(const aw_member *m, const aw_subject *s, size_t i, aw_value *v);
bool __wrap_aw_member_find(const aw_member *m, const aw_subject *s, size_t i, aw_value *v);

static void scale(aw_value *v, double by)
{
    const double was = v->number;
    v->number *= by;
    wrong.done += isfinite(was) && v->number != was;
    for (size_t k = 0; v->numbers != NULL && k < v->n && k < 4; k++) {
        const double x = v->numbers[k];
        v->own[k] = x * by;
        wrong.done += isfinite(x) && v->own[k] != x;
    }
    v->numbers = v->numbers != NULL && v->n <= 4 ? v->own : v->numbers;
}

static bool is_of_items(const aw_member *m)
{
    return m->kind == AW_MEMBER_LIST || m->kind == AW_MEMBER_TEXTS || m->kind == AW_MEMBER_TRUTHS ||
           m->kind == AW_MEMBER_ROWS;
}

static void swap_for_neighbour(const aw_member *m, const aw_subject *s, aw_value *v)
{
    aw_value other;
    if (wrong.next == NULL || wrong.next->kind != m->kind || is_of_items(m))
        return;
    if (!__real_aw_member_find(wrong.next, s, wrong.next->n, &other))
        return;
    const bool same_text = (v->text == NULL && other.text == NULL) ||
                           (v->text && other.text && strcmp(v->text, other.text) == 0);
    const bool same =
        m->kind == AW_MEMBER_NUMBER
            ? v->number == other.number || (!isfinite(v->number) && !isfinite(other.number))
        : m->kind == AW_MEMBER_COUNT ? v->count == other.count
        : m->kind == AW_MEMBER_NUMBERS
            ? v->numbers == other.numbers ||
                  (v->n == other.n &&
                   memcmp(v->numbers, other.numbers, v->n * sizeof *v->numbers) == 0)
        : m->kind == AW_MEMBER_OBJECT                                ? true
        : m->kind == AW_MEMBER_TRUTH || m->kind == AW_MEMBER_VERDICT ? v->truth == other.truth
                                                                     : same_text;
    if (same) {
        aw_text_free(&other.room);
        return;
    }
    aw_text_free(&v->room);
    *v = other;
    if (v->numbers == other.own)
        v->numbers = v->own;
    wrong.done++;
}

static bool give_nothing(const aw_member *m, aw_value *v)
{
    const bool was = m->kind == AW_MEMBER_NUMBER    ? isfinite(v->number)
                     : m->kind == AW_MEMBER_COUNT   ? v->count != 0
                     : m->kind == AW_MEMBER_TRUTH   ? v->truth >= 0
                     : m->kind == AW_MEMBER_VERDICT ? v->truth == AW_MET || v->truth == AW_NOT_MET
                     : m->kind == AW_MEMBER_NUMBERS ? v->n > 0
                     : m->kind == AW_MEMBER_OBJECT  ? v->object.of != NULL
                     : m->kind == AW_MEMBER_EITHER  ? v->text != NULL || isfinite(v->number)
                                                    : v->text != NULL;
    v->number = (double)NAN;
    v->count = 0;
    v->text = NULL;
    v->truth = m->kind == AW_MEMBER_VERDICT ? (int)AW_UNDECIDED : -1;
    v->n = 0;
    v->object.of = NULL;
    wrong.done += was;
    return true;
}

bool __wrap_aw_member_find(const aw_member *m, const aw_subject *s, size_t i, aw_value *v)
{
    const bool is_it = wrong.mistake != NONE && m == wrong.member;
    if (is_it && wrong.mistake == SHORTER && is_of_items(m)) {
        aw_value first;
        const bool had = i == 0 && __real_aw_member_find(m, s, 0, &first);
        if (had)
            aw_text_free(&first.room);
        const bool has = __real_aw_member_find(m, s, i + 1, v);
        wrong.done += had;
        return has;
    }
    const bool has = __real_aw_member_find(m, s, i, v);
    if (!is_it || !has)
        return has;
    /* Numbers in the value's own room move with it. */
    switch (wrong.mistake) {
    case LARGER:
        scale(v, 1.01);
        if (m->kind == AW_MEMBER_COUNT)
            wrong.done++, v->count++;
        break;
    case SIGN:
        scale(v, -1);
        if (m->kind == AW_MEMBER_TRUTH && v->truth >= 0)
            wrong.done++, v->truth = !v->truth;
        if (m->kind == AW_MEMBER_VERDICT && (v->truth == AW_MET || v->truth == AW_NOT_MET))
            wrong.done++, v->truth = v->truth == AW_MET ? AW_NOT_MET : AW_MET;
        break;
    case FEET:
        scale(v, 1 / 0.3048);
        break;
    case NEIGHBOUR:
        swap_for_neighbour(m, s, v);
        break;
    case NOTHING:
        return is_of_items(m) ? has : give_nothing(m, v);
    case NONE:
    case SHORTER:
    case MISTAKES:
        break;
    }
    return true;
}

/* --- all of them --- */

static const struct {
    const char *name;
    void (*say)(aw_text *out);
    void (*hold)(document *d);
} told[] = {
    {"check", say_check, hold_check},
    {"errors", say_errors, hold_errors},
    {"assess", say_assess, hold_assess},
    {"compare", say_compare, hold_compare},
    {"explain", say_explain, hold_explain},
    {"links", say_links, hold_links},
    {"outage", say_outage, hold_outage},
    {"place", say_place, hold_place},
    {"place_needs", say_placings, hold_placings},
    {"sweep", say_counts, hold_counts},
    {"sweep", say_heights, hold_heights},
    {"sensitivity", say_sensitivity, hold_sensitivity},
    {"freedom", say_freedom, hold_freedom},
    {"zones", say_zones, hold_zones},
    {"task", say_need, hold_need},
    {"import", say_import, hold_import},
    {"report", say_report, hold_report},
};
#define TOLD (sizeof told / sizeof *told)

/* Whether a member is in a shape or in one inside it. */
static bool reaches(const aw_shape *shape, const aw_member *member)
{
    if (member >= shape->members && member < shape->members + shape->n)
        return true;
    for (size_t i = 0; i < shape->n; i++)
        if (shape->members[i].of != NULL && reaches(shape->members[i].of, member))
            return true;
    return false;
}

static bool document_has(size_t which, const aw_member *member)
{
    for (size_t i = 0; i < aw_documents_n; i++)
        if (strcmp(aw_documents[i].shape->name, told[which].name) == 0)
            return reaches(aw_documents[i].shape, member);
    ck_abort_msg("no document is called %s", told[which].name);
    return false;
}

static document held(size_t which)
{
    static document d;
    aw_text out = {0};
    json_error_t error;
    told[which].say(&out);
    ck_assert(!out.failed);
    d = (document){.root = json_loads(out.at, 0, &error)};
    ck_assert_msg(d.root != NULL, "%s: %s", told[which].name, error.text);
    told[which].hold(&d);
    look_for_unchecked(&d, d.root, "");
    json_decref(d.root);
    aw_text_free(&out);
    return d;
}

START_TEST(every_key_tells_its_member)
{
    const document d = held((size_t)_i);
    ck_assert_msg(d.n_wrong == 0, "%s: %zu wrong, first %s", told[_i].name, d.n_wrong, d.wrong);
}
END_TEST

/* One member with one mistake in all documents: whether some document showed it, and whether some
 * line noticed. */
static void try_mistake(size_t *made, size_t *unnoticed, const aw_shape *shape, size_t i, mistake m)
{
    bool noticed = false;
    wrong.member = &shape->members[i];
    wrong.next = &shape->members[i + 1 < shape->n ? i + 1 : i - 1];
    wrong.next = shape->n > 1 ? wrong.next : NULL;
    wrong.mistake = m;
    wrong.done = 0;
    for (size_t k = 0; k < TOLD && !noticed; k++)
        noticed = document_has(k, wrong.member) && held(k).n_wrong > 0;
    wrong.mistake = NONE;
    *made += wrong.done > 0;
    if (wrong.done > 0 && !noticed) {
        (*unnoticed)++;
        fprintf(stderr, "unnoticed: %s.%s %s\n", shape->name, shape->members[i].key, mistakes[m]);
    }
}

static size_t made, unnoticed, members;

static void try_shape(const aw_shape *shape, void *context)
{
    (void)context;
    for (size_t i = 0; i < shape->n; i++, members++)
        for (int m = NONE + 1; m < MISTAKES; m++)
            try_mistake(&made, &unnoticed, shape, i, (mistake)m);
}

START_TEST(every_mistake_in_a_member_is_noticed)
{
    aw_shapes_each(try_shape, NULL);
    if (getenv("AW_PRINT") != NULL)
        printf("%zu members, %zu mistakes made, %zu unnoticed\n", members, made, unnoticed);
    ck_assert_uint_gt(made, 2 * members);
    ck_assert_uint_eq(unnoticed, 0);
}
END_TEST

/* Names of shapes are those of the schema's definitions. */
static void look_for_twins(const aw_shape *shape, void *context)
{
    static const char *seen[128];
    static size_t n;
    (void)context;
    for (size_t i = 0; i < n; i++)
        ck_assert_msg(strcmp(seen[i], shape->name) != 0, "two shapes are called %s", shape->name);
    seen[n++] = shape->name;
}

START_TEST(every_shape_has_a_name_of_its_own)
{
    aw_shapes_each(look_for_twins, NULL);
}
END_TEST

static TCase *keys(void)
{
    TCase *tc = tcase_create("keys");
    tcase_add_unchecked_fixture(tc, run_all, NULL);
    tcase_add_loop_test(tc, every_key_tells_its_member, 0, TOLD);
    tcase_add_test(tc, every_mistake_in_a_member_is_noticed);
    tcase_add_test(tc, every_shape_has_a_name_of_its_own);
    return tc;
}

AW_TEST_MAIN("documents", keys())
