/* The table of documents, and a walk over all shapes in them. */
#include "report/documents.h"

#include <string.h>

/* Shapes at most. */
#define MOST 128

extern const aw_shape aw_summary_shape, aw_errors_shape, aw_assessment_shape, aw_comparisons_shape,
    aw_explanation_shape, aw_links_shape, aw_outage_shape, aw_placing_shape, aw_placings_shape,
    aw_sweep_shape, aw_sensitivity_shape, aw_freedom_shape, aw_decisions_shape, aw_task_shape,
    aw_plan_shape, aw_book_shape;

const aw_document aw_documents[] = {
    {"check --json", &aw_summary_shape},
    {"check --json", &aw_errors_shape},
    {"assess --json", &aw_assessment_shape},
    {"compare --json", &aw_comparisons_shape},
    {"explain --json", &aw_explanation_shape},
    {"links --json", &aw_links_shape},
    {"outage --json", &aw_outage_shape},
    {"place --json", &aw_placing_shape},
    {"place --needs --json", &aw_placings_shape},
    {"sweep --json", &aw_sweep_shape},
    {"sensitivity --json", &aw_sensitivity_shape},
    {"freedom --json", &aw_freedom_shape},
    {"zones --json", &aw_decisions_shape},
    {"need --json", &aw_task_shape},
    {"import --json", &aw_plan_shape},
    {"report --json", &aw_book_shape},
};
const size_t aw_documents_n = sizeof aw_documents / sizeof *aw_documents;

typedef struct seen {
    const aw_shape *list[MOST];
    size_t n;
} seen;

static void add(seen *all, const aw_shape *shape)
{
    for (size_t i = 0; i < all->n; i++)
        if (all->list[i] == shape)
            return;
    if (all->n < MOST)
        all->list[all->n++] = shape;
}

void aw_shapes_each(void (*see)(const aw_shape *shape, void *context), void *context)
{
    seen all = {.n = 0};
    for (size_t i = 0; i < aw_documents_n; i++)
        add(&all, aw_documents[i].shape);
    for (size_t i = 0; i < all.n; i++) {
        see(all.list[i], context);
        for (size_t k = 0; k < all.list[i]->n; k++)
            if (all.list[i]->members[k].of != NULL)
                add(&all, all.list[i]->members[k].of);
    }
}
