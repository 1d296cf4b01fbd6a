/* The list of complaints: kept in order of arrival, bounded, sorted once before it is shown. */
#include "anchorwise/error.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

static bool is_known(const aw_errors *errors, int line, int column, const char *text)
{
    for (size_t i = 0; i < errors->n; i++)
        if (errors->list[i].line == line && errors->list[i].column == column &&
            strcmp(errors->list[i].text, text) == 0)
            return true;
    return false;
}

static bool make_room(aw_errors *errors)
{
    if (errors->n < errors->room)
        return true;
    const size_t room = errors->room ? 2 * errors->room : 8;
    aw_complaint *list = realloc(errors->list, room * sizeof *list);
    if (list == NULL)
        return false;
    errors->list = list;
    errors->room = room;
    return true;
}

/* Errors come before warnings where not all can be kept. */
static void drop_a_warning(aw_errors *errors)
{
    for (size_t i = errors->n; i-- > 0;)
        if (errors->list[i].severity == AW_WARNING) {
            free(errors->list[i].text);
            memmove(&errors->list[i], &errors->list[i + 1],
                    (errors->n - i - 1) * sizeof *errors->list);
            errors->n--;
            errors->n_dropped++;
            return;
        }
}

void aw_errors_add(aw_errors *errors, aw_severity severity, int line, int column,
                   const char *format, ...)
{
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    if (is_known(errors, line, column, text))
        return;
    if (severity == AW_ERROR)
        errors->n_errors++;
    if (errors->n == AW_ERRORS_KEPT && severity == AW_ERROR)
        drop_a_warning(errors);
    if (errors->n == AW_ERRORS_KEPT) {
        errors->n_dropped++;
        return;
    }
    char *copy = make_room(errors) ? strdup(text) : NULL;
    if (copy == NULL) {
        errors->lost = true;
        return;
    }
    errors->list[errors->n++] = (aw_complaint){severity, line, column, copy};
}

bool aw_errors_out_of_memory(const aw_errors *errors)
{
    static const char words[] = "out of memory";
    for (size_t i = 0; i < errors->n; i++)
        if (strncmp(errors->list[i].text, words, sizeof words - 1) == 0)
            return true;
    return errors->lost;
}

/* Insertion sort: stable, and the list is short. */
void aw_errors_sort(aw_errors *errors)
{
    for (size_t i = 1; i < errors->n; i++) {
        const aw_complaint moved = errors->list[i];
        size_t j = i;
        while (j > 0 && (errors->list[j - 1].line > moved.line ||
                         (errors->list[j - 1].line == moved.line &&
                          errors->list[j - 1].column > moved.column))) {
            errors->list[j] = errors->list[j - 1];
            j--;
        }
        errors->list[j] = moved;
    }
}

void aw_errors_write(const aw_errors *errors, const char *file, bool warnings, FILE *out)
{
    for (size_t i = 0; i < errors->n; i++) {
        const aw_complaint *c = &errors->list[i];
        if (c->severity == AW_WARNING && !warnings)
            continue;
        fputs(file, out);
        if (c->line > 0)
            fprintf(out, ":%d:%d", c->line, c->column);
        fprintf(out, ": %s%s\n", c->severity == AW_WARNING ? "warning: " : "", c->text);
    }
    if (errors->n_dropped > 0)
        fprintf(out, "%s: and %zu more\n", file, errors->n_dropped);
    if (errors->lost)
        fprintf(out, "%s: out of memory\n", file);
}

void aw_errors_free(aw_errors *errors)
{
    for (size_t i = 0; i < errors->n; i++)
        free(errors->list[i].text);
    free(errors->list);
    *errors = (aw_errors){0};
}
