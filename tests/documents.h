/* A printed document against the structs it tells of: a line of a suite names a path of the JSON
 * and the value it has to have. `*` in a path is every index of a list. */
#ifndef AW_TESTS_DOCUMENTS_H
#define AW_TESTS_DOCUMENTS_H

#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define MOST_PATHS 512

typedef struct document {
    json_t *root;
    char checked[MOST_PATHS][96]; /* with indices as # */
    size_t n_checked, n_wrong;
    char wrong[256]; /* the first that was */
} document;

static void complain(document *d, const char *path, const char *what)
{
    if (d->n_wrong++ == 0)
        snprintf(d->wrong, sizeof d->wrong, "%s: %s", path, what);
}

/* A path with numbers as #. */
static void generalise(const char *path, char out[96])
{
    size_t n = 0;
    for (const char *p = path; *p != '\0' && n < 95; p++) {
        const int starts = p == path || p[-1] == '.';
        size_t digits = strspn(p, "0123456789");
        if (starts && digits > 0 && (p[digits] == '.' || p[digits] == '\0')) {
            out[n++] = '#';
            p += digits - 1;
        } else {
            out[n++] = *p;
        }
    }
    out[n] = '\0';
}

static void note(document *d, const char *path)
{
    char general[96];
    generalise(path, general);
    for (size_t i = 0; i < d->n_checked; i++)
        if (strcmp(d->checked[i], general) == 0)
            return;
    if (d->n_checked < MOST_PATHS)
        memcpy(d->checked[d->n_checked++], general, sizeof general);
}

static const json_t *find(document *d, const char *path)
{
    const json_t *at = d->root;
    char step[96];
    note(d, path);
    for (const char *p = path; at != NULL && *p != '\0';) {
        const size_t n = strcspn(p, ".");
        snprintf(step, sizeof step, "%.*s", (int)n, p);
        at = json_is_array(at) ? json_array_get(at, strtoul(step, NULL, 10))
                               : json_object_get(at, step);
        p += n + (p[n] == '.');
    }
    if (at == NULL)
        complain(d, path, "is missing");
    return at;
}

/* NaN and infinity are null. */
static void number(document *d, const char *path, double wanted)
{
    const json_t *v = find(d, path);
    if (v == NULL)
        return;
    if (!isfinite(wanted) ? !json_is_null(v) : !json_is_number(v) || json_number_value(v) != wanted)
        complain(d, path, "is another number");
}

/* One that a double does not hold. */
static void whole(document *d, const char *path, uint64_t wanted)
{
    const json_t *v = find(d, path);
    if (v != NULL && (!json_is_integer(v) || (uint64_t)json_integer_value(v) != wanted))
        complain(d, path, "is another number");
}

static void text(document *d, const char *path, const char *wanted)
{
    const json_t *v = find(d, path);
    if (v == NULL)
        return;
    if (wanted == NULL ? !json_is_null(v)
                       : !json_is_string(v) || strcmp(json_string_value(v), wanted) != 0)
        complain(d, path, "is another text");
}

/* -1: null. */
static void truth(document *d, const char *path, int wanted)
{
    const json_t *v = find(d, path);
    if (v != NULL && (wanted < 0           ? !json_is_null(v)
                      : json_is_boolean(v) ? json_is_true(v) != wanted
                                           : 1))
        complain(d, path, "is another truth");
}

static void length(document *d, const char *path, size_t wanted)
{
    const json_t *v = find(d, path);
    if (v != NULL && (!json_is_array(v) || json_array_size(v) != wanted))
        complain(d, path, "has another length");
}

/* Leaves of the document that no line has looked at. */
static void look_for_unchecked(document *d, json_t *v, const char *path)
{
    char inner[96], general[96];
    const char *key;
    json_t *member;
    size_t i;
    if (json_is_object(v)) {
        json_object_foreach(v, key, member)
        {
            snprintf(inner, sizeof inner, "%s%s%s", path, path[0] ? "." : "", key);
            look_for_unchecked(d, member, inner);
        }
    } else if (json_is_array(v) && json_array_size(v) > 0) {
        json_array_foreach(v, i, member)
        {
            snprintf(inner, sizeof inner, "%s.%zu", path, i);
            look_for_unchecked(d, member, inner);
        }
    } else {
        generalise(path, general);
        for (i = 0; i < d->n_checked; i++)
            if (strcmp(d->checked[i], general) == 0)
                return;
        complain(d, general, "is not looked at");
    }
}

#endif
