/* A cell is found by its path, then read in the way of its column's format. */
#include "report/columns.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/figures.h"
#include "report/lengths.h"
#include "report/run.h"
#include "report/standing.h"
#include "report/verdict.h"
#include "report/words.h"
#include "report/worth.h"

#define DASH    "–"
#define PERCENT " %"

/* --- paths --- */

static const aw_member *member_named(const aw_shape *shape, const char *key, size_t length)
{
    for (size_t i = 0; i < shape->n; i++)
        if (strlen(shape->members[i].key) == length &&
            memcmp(shape->members[i].key, key, length) == 0)
            return &shape->members[i];
    return NULL;
}

/* Steps from a list to the item that a path names next. */
static bool find_item(const aw_member *m, const aw_subject *s, const char *index, aw_value *v)
{
    const size_t i = strtoul(index, NULL, 10);
    if (m->kind != AW_MEMBER_NUMBERS)
        return aw_member_find(m, s, i, v);
    if (!aw_member_find(m, s, m->n, v) || i >= v->n)
        return false;
    v->number = v->numbers[i];
    return true;
}

const aw_member *aw_path_find(const aw_shape *shape, const aw_subject *subject, const char *path,
                              aw_value *v)
{
    aw_subject at = *subject;
    for (;;) {
        const size_t length = strcspn(path, ".");
        const char *rest = path + length + (path[length] == '.');
        const aw_member *m = member_named(shape, path, length);
        *v = (aw_value){0};
        if (m == NULL)
            return NULL;
        const bool item = *rest >= '0' && *rest <= '9';
        if (!(item ? find_item(m, &at, rest, v) : aw_member_find(m, &at, m->n, v)))
            return NULL;
        rest += item ? strcspn(rest, ".") : 0;
        rest += item && *rest == '.';
        if (*rest == '\0')
            return m;
        if (v->object.of == NULL)
            return NULL;
        at = v->object;
        shape = m->of;
        path = rest;
    }
}

/* The member that a path leads to, whether it has a value or not. */
static const aw_member *member_at(const aw_shape *shape, const char *path)
{
    for (const aw_member *m = NULL;;) {
        const size_t length = strcspn(path, ".");
        if (*path < '0' || *path > '9') {
            m = shape != NULL ? member_named(shape, path, length) : NULL;
            shape = m != NULL ? m->of : NULL;
        }
        path += length + (path[length] == '.');
        if (m == NULL || *path == '\0')
            return m;
    }
}

/* --- formats --- */

/* A figure of a column; what is asked of it may be NaN. */
static void add_error(double value, double asked, const aw_scenario *s, aw_text *out)
{
    aw_text_add(out, aw_error_figure_asked(value, asked, s->units).text);
}

static void add_fine(double value, double asked, const aw_scenario *s, aw_text *out)
{
    (void)asked;
    aw_text_add(out, aw_small_figure("%.3f", value, s->units).text);
}

static void add_place(double value, double asked, const aw_scenario *s, aw_text *out)
{
    (void)asked;
    aw_text_add(out, aw_coordinate_figure("%.2f", value, s->units).text);
}

static void add_range(double value, double asked, const aw_scenario *s, aw_text *out)
{
    (void)asked;
    aw_text_add(out, aw_coordinate_figure("%.1f", value, s->units).text);
}

static void add_distance(double value, double asked, const aw_scenario *s, aw_text *out)
{
    (void)asked;
    aw_text_add(out, aw_distance_figure(value, s->units).text);
}

static void add_area(double value, double asked, const aw_scenario *s, aw_text *out)
{
    (void)asked;
    aw_text_add(out, aw_area_figure("%.1f", value, s->units).text);
}

static void add_share(double value, double asked, const aw_scenario *s, aw_text *out)
{
    char figure[AW_FIGURE_ROOM];
    (void)s;
    aw_text_add(out, aw_figure_share_asked(value, asked, figure));
}

static void add_amount(double value, double asked, const aw_scenario *s, aw_text *out)
{
    char figure[AW_FIGURE_ROOM];
    (void)asked;
    (void)s;
    aw_text_add(out, aw_figure_count((size_t)(value + 0.5), figure));
}

/* Plain figures, in a format of their own. */
#define PLAIN(name, format, value_)                                                                \
    static void name(double value, double asked, const aw_scenario *s, aw_text *out)               \
    {                                                                                              \
        (void)asked;                                                                               \
        (void)s;                                                                                   \
        aw_text_format(out, format, value_);                                                       \
    }
PLAIN(add_degrees, "%.0f°", floor(value + 0.5) < 360 ? value : 0)
PLAIN(add_tenths, "%.1f°", value)
PLAIN(add_db, "%.1f dB", value)
PLAIN(add_dbm, "%.1f dBm", value)

static const char *no_unit(aw_units units)
{
    (void)units;
    return NULL;
}

static const struct {
    char align;
    const char *(*unit)(aw_units units);
    void (*figure)(double value, double asked, const aw_scenario *s, aw_text *out);
} formats[AW_FORMATS] = {
    [AW_AS_TEXT] = {'l', no_unit, NULL},
    [AW_AS_WORD] = {'L', no_unit, NULL},
    [AW_AS_FIGURE] = {'r', no_unit, NULL},
    [AW_AS_ERROR] = {'r', aw_small_unit, add_error},
    [AW_AS_FINE] = {'r', aw_small_unit, add_fine},
    [AW_AS_PLACE] = {'r', aw_coordinate_unit, add_place},
    [AW_AS_RANGE] = {'r', aw_coordinate_unit, add_range},
    [AW_AS_DISTANCE] = {'r', aw_coordinate_unit, add_distance},
    [AW_AS_AREA] = {'r', aw_area_unit, add_area},
    [AW_AS_SPOT] = {'L', aw_coordinate_unit, NULL},
    [AW_AS_SPACE] = {'L', aw_coordinate_unit, NULL},
    [AW_AS_SHARE] = {'r', no_unit, add_share},
    [AW_AS_COUNT] = {'r', no_unit, NULL},
    [AW_AS_AMOUNT] = {'r', no_unit, add_amount},
    [AW_AS_DEGREES] = {'r', no_unit, add_degrees},
    [AW_AS_TENTHS] = {'r', no_unit, add_tenths},
    [AW_AS_DB] = {'r', no_unit, add_db},
    [AW_AS_DBM] = {'r', no_unit, add_dbm},
    [AW_AS_VERDICT] = {'l', no_unit, NULL},
};

/* --- cells --- */

static const aw_scenario *scenario_of(const aw_subject *row)
{
    return ((const aw_report_run *)row->with)->scenario;
}

static bool has_value(const aw_member *m, const aw_value *v)
{
    return m->kind == AW_MEMBER_NUMBER    ? isfinite(v->number)
           : m->kind == AW_MEMBER_TEXT    ? v->text != NULL
           : m->kind == AW_MEMBER_VERDICT ? v->truth != (int)AW_NO_NEED
           : m->kind == AW_MEMBER_TRUTH   ? v->truth >= 0
           : m->kind == AW_MEMBER_OBJECT  ? v->object.of != NULL
                                          : true;
}

static bool has_value_at(const aw_shape *shape, const aw_subject *row, const char *path)
{
    aw_value v;
    const aw_member *m = aw_path_find(shape, row, path, &v);
    aw_text_free(&v.room);
    return m != NULL && has_value(m, &v);
}

/* Of a path that is not there, NaN. */
static double number_at(const aw_shape *shape, const aw_subject *row, const char *path)
{
    aw_value v;
    const aw_member *m = path != NULL ? aw_path_find(shape, row, path, &v) : NULL;
    if (m != NULL)
        aw_text_free(&v.room);
    return m != NULL ? v.number : (double)NAN;
}

static void add_spot(const aw_value *v, aw_format format, const aw_scenario *s, aw_text *out)
{
    const size_t n = format == AW_AS_SPOT ? 2 : 3;
    if (v->n >= n && isfinite(v->numbers[0]))
        aw_text_add(out, aw_spot_figure(v->numbers, n, s->units).text);
}

static void add_verdict(const aw_column *c, const aw_subject *row, aw_verdict verdict,
                        aw_units units, aw_text *out)
{
    aw_text words = {0};
    aw_text_add(out, aw_verdict_word(verdict));
    if (c->words != NULL && verdict != AW_NO_NEED)
        c->words(row, c->item, units, &words);
    if (words.n > 0)
        aw_text_format(out, "%s%s", verdict == AW_MET ? " " : ": ", words.at);
    out->failed |= words.failed;
    aw_text_free(&words);
}

/* The value of a cell; nothing where there is none. */
static void add_value(const aw_listing *l, const aw_column *c, const aw_shape *shape,
                      const aw_subject *row, const aw_value *v, aw_text *out)
{
    const aw_scenario *s = scenario_of(l->document);
    char figure[AW_FIGURE_ROOM];
    if (formats[c->format].figure != NULL) {
        if (isfinite(v->number))
            formats[c->format].figure(v->number, number_at(shape, row, c->asked), s, out);
    } else if (c->format == AW_AS_SPOT || c->format == AW_AS_SPACE) {
        add_spot(v, c->format, s, out);
    } else if (c->format == AW_AS_COUNT) {
        aw_text_add(out, aw_figure_count((size_t)v->count, figure));
    } else if (c->format == AW_AS_VERDICT) {
        add_verdict(c, row, (aw_verdict)v->truth, s->units, out);
    } else if (v->text != NULL) {
        aw_text_add(out, v->text);
    }
}

/* "LOW to HIGH", in brackets behind a value; percent once. */
static void add_ends(const aw_listing *l, const aw_column *c, const aw_shape *shape,
                     const aw_subject *row, aw_text *out)
{
    const double low = number_at(shape, row, c->low), high = number_at(shape, row, c->high);
    const bool follows = out->n > 0;
    if (!isfinite(low) || !isfinite(high))
        return;
    aw_text_add(out, follows ? " (" : "");
    formats[c->format].figure(low, (double)NAN, scenario_of(l->document), out);
    if (c->format == AW_AS_SHARE && !out->failed)
        out->n -= strlen(PERCENT);
    aw_text_add(out, " to ");
    formats[c->format].figure(high, (double)NAN, scenario_of(l->document), out);
    aw_text_add(out, follows ? ")" : "");
}

static void add_cell(aw_listing *l, size_t column, const aw_shape *shape, const aw_subject *row,
                     const char *name)
{
    const aw_column *c = &l->what->columns[column];
    aw_value v = {0};
    aw_text text = {0};
    const aw_member *m = c->key != NULL ? aw_path_find(shape, row, c->key, &v) : NULL;
    if (m != NULL)
        add_value(l, c, shape, row, &v, &text);
    if (c->low != NULL && (m != NULL || c->key == NULL))
        add_ends(l, c, shape, row, &text);
    if (c->words != NULL && (m != NULL || c->key == NULL) && c->format != AW_AS_VERDICT)
        c->words(row, c->item, scenario_of(l->document)->units, &text);
    if (text.n == 0)
        aw_text_add(&text, column == 0 && name != NULL    ? aw_heading(name)
                           : m != NULL && c->none != NULL ? c->none
                           : c->blank                     ? ""
                                                          : DASH);
    aw_table_add(&l->table, "%s", text.n > 0 ? text.at : "");
    if (c->colour != NULL)
        aw_table_colour(&l->table, c->colour(row, c->item));
    else if (m != NULL && c->format == AW_AS_VERDICT)
        aw_table_colour(&l->table, (aw_verdict)v.truth);
    l->table.failed |= text.failed || v.room.failed;
    aw_text_free(&text);
    aw_text_free(&v.room);
}

static void add_heading(aw_listing *l, size_t column)
{
    const aw_scenario *s = scenario_of(l->document);
    const aw_column *c = &l->what->columns[column];
    const char *words = aw_heading(c->head != NULL ? c->head : c->key);
    const char *unit =
        c->format == AW_AS_AMOUNT ? s->prices.currency : formats[c->format].unit(s->units);
    l->table.align[column] = formats[c->format].align;
    aw_table_add(&l->table, "%s%s%s%s%s%s%s", words, c->of != NULL ? " " : "",
                 c->of != NULL ? c->of : "", unit != NULL && *words != '\0' ? " " : "",
                 unit != NULL ? "(" : "", unit != NULL ? unit : "", unit != NULL ? ")" : "");
}

static void add_row(aw_listing *l, const aw_shape *shape, const aw_subject *row, const char *name)
{
    if (l->what->only != NULL && !has_value_at(shape, row, l->what->only))
        return;
    if (l->table.heads == 0) {
        l->table.columns = l->what->n;
        l->table.heads = 1;
        for (size_t i = 0; i < l->what->n; i++)
            add_heading(l, i);
    }
    for (size_t i = 0; i < l->what->n; i++)
        add_cell(l, i, shape, row, name);
}

void aw_listing_add(aw_listing *l, const char *path)
{
    aw_value v;
    const aw_member *m = aw_path_find(l->what->document, l->document, path, &v);
    assert(m != NULL && m->of != NULL);
    add_row(l, m->of, &v.object, m->kind == AW_MEMBER_OBJECT ? m->key : NULL);
}

void aw_listing_add_rows(aw_listing *l)
{
    const aw_member *m = member_at(l->what->document, l->what->rows);
    const char *dot = strrchr(l->what->rows, '.');
    aw_value v = {.object = *l->document};
    assert(m != NULL && m->kind == AW_MEMBER_LIST);
    for (size_t i = 0; i < l->what->n; i++)
        assert(l->what->columns[i].key == NULL || member_at(m->of, l->what->columns[i].key));
    if (dot != NULL) {
        char *object = strndup(l->what->rows, (size_t)(dot - l->what->rows));
        l->table.failed |= object == NULL;
        if (object == NULL || !aw_path_find(l->what->document, l->document, object, &v))
            v.object.of = NULL;
        free(object);
    }
    const aw_subject list = v.object;
    for (size_t i = 0; list.of != NULL && aw_member_find(m, &list, i, &v); i++)
        add_row(l, m->of, &v.object, NULL);
}

void aw_listing_add_row(aw_listing *l, const aw_subject *row)
{
    add_row(l, member_at(l->what->document, l->what->rows)->of, row, NULL);
}

void aw_listing_write(aw_listing *l, aw_text *out)
{
    const size_t from = out->n;
    aw_table_write(&l->table, out);
    if (out->n > from)
        aw_text_add(out, "\n");
}

void aw_listed_write(const aw_listed *what, const aw_subject *document, bool colour, aw_text *out)
{
    aw_listing list = {.what = what, .document = document, .table = {.colour = colour}};
    aw_listing_add_rows(&list);
    aw_listing_write(&list, out);
}

/* --- shared columns --- */

void aw_add_zone_need(const aw_subject *row, __attribute__((unused)) size_t item,
                      __attribute__((unused)) aw_units units, aw_text *out)
{
    aw_need_words(&scenario_of(row)->zones[row->i].need, units, out);
}

void aw_add_reasons(const aw_subject *row, __attribute__((unused)) size_t item,
                    __attribute__((unused)) aw_units units, aw_text *out)
{
    aw_behind_verdict(row->of, out);
}

void aw_add_chance(const aw_subject *row, __attribute__((unused)) size_t item,
                   __attribute__((unused)) aw_units units, aw_text *out)
{
    aw_text_add(out, aw_chance_words(row->of).text);
}

void aw_add_level_star(const aw_subject *row, __attribute__((unused)) size_t item,
                       __attribute__((unused)) aw_units units, aw_text *out)
{
    if (aw_level_over_name(scenario_of(row), row->i) != NULL)
        aw_text_add(out, " *");
}
