/* For the suites of sheets: the demo scenarios, and what holds of the texts of every sheet. */
#ifndef AW_TEST_SHEETS_H
#define AW_TEST_SHEETS_H

#include <stdio.h>
#include <string.h>

#include "anchorwise.h"
#include "draw/chart.h"
#include "aw_test.h"

static const char *const scenarios[] = {"tram-hall",   "washing-shed",  "l-hall",
                                        "parts-store", "scenery-store", "crate-hall"};
#define N_SCENARIOS 6

static inline const char *folder(void)
{
    const char *tests = getenv("AW_TESTS");
    return tests != NULL ? tests : "tests";
}

static inline void check_texts(const aw_sheet *sheet, const char *what)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *a = &sheet->items[i];
        if (a->kind != AW_ITEM_TEXT)
            continue;
        n++;
        /* The smallest type, that of labels in a title block on A4: 1.75 mm x 0.9. */
        ck_assert_msg(a->size >= 1.57, "%s: '%s' is %.2f mm", what, a->text, a->size);
        ck_assert_msg(a->low.x >= 0 && a->low.y >= 0 && a->high.x <= sheet->width &&
                          a->high.y <= sheet->height,
                      "%s: '%s' leaves the sheet", what, a->text);
        for (size_t j = 0; j < i; j++) {
            const aw_item *b = &sheet->items[j];
            if (b->kind != AW_ITEM_TEXT)
                continue;
            ck_assert_msg(a->low.x >= b->high.x || b->low.x >= a->high.x || a->low.y >= b->high.y ||
                              b->low.y >= a->high.y,
                          "%s: '%s' touches '%s'", what, a->text, b->text);
        }
    }
    ck_assert_msg(n > 20, "%s: only %zu texts", what, n);
}

static inline bool has_text(const aw_sheet *sheet, const char *text)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && strstr(sheet->items[i].text, text) != NULL)
            return true;
    return false;
}

/* Few draws: where things stand does not depend on how smooth they are. */
static inline void read_demo(aw_scenario *s, const char *name)
{
    char path[512];
    aw_errors errors = {0};
    snprintf(path, sizeof path, "%s/../scenarios/%s.yaml", folder(), name);
    ck_assert_msg(aw_scenario_read(s, path, &errors), "%s", name);
    aw_errors_free(&errors);
    s->study.draws = 40;
}

#endif
