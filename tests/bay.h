/* A small bay with something of each kind, for suites that vary it, and all that is said of it. */
#ifndef AW_TESTS_BAY_H
#define AW_TESTS_BAY_H

#include <stdbool.h>
#include <string.h>

#include "links.h"

#define CRANE                                                                                      \
    "  - {name: crane, footprint: [[3, 3], [5, 3], [5, 4], [3, 4]], base: 0.5, top: 2.5, "         \
    "material: tram body}\n"
#define RACK                                                                                       \
    "  - name: rack no. 1\n    footprint: [[8, 5], [9, 5], [9, 8], [8, 8]]\n    top: 3\n"          \
    "    material: metal\n"

static const char site[] =
    "anchorwise: 1\n"
    "title: bay\n"
    "floor: {outline: [[0, 0], [12, 0], [12, 9], [0, 9]], ceiling: 5} # as surveyed\n"
    "materials:\n"
    "  tram body: {loss_db: 9, delay: 0.1}\n"
    "obstacles:\n" CRANE RACK "anchors:\n"
    "  - {name: P1, at: [0.2, 0.3, 4]}\n"
    "  - {name: P2, at: [11.8, 0.2, 4.2]} # by the gate\n"
    "  - {name: P3, at: [11.7, 8.8, 4]}\n"
    "  - {name: P4, at: [0.1, 8.7, 3.8]}\n"
    "  - {name: 0, at: [6, 8.8, 4.4]}\n"
    "tags: [{name: cart, height: 1.2}, {name: hook, height: 2, fix: 3d}]\n"
    "ranging: {sigma: 0.1, spot_sigma: 0.1}\n"
    "zones:\n"
    "  - {name: bogie bay, outline: [[1, 1], [6, 1], [6, 8], [1, 8]], need: {p95: 0.5}}\n"
    "  - {name: lane, outline: [[7, 1], [11, 1], [11, 4], [7, 4]], tag: hook}\n"
    "study: {step: 2, draws: 24}\n";

/* What is said of a scenario: all that it holds, and what an assessment finds. */
static inline char *tell(const aw_scenario *s)
{
    aw_scenario plain = *s;
    aw_assessment a;
    aw_errors errors = {0};
    aw_text text = {0};
    plain.n_changes = 0;
    ck_assert(aw_assess_run(&a, &plain, &(aw_run){1, NULL, &errors}));
    aw_scenario_summary(&plain, "site", &text);
    aw_scenario_summary_json(&plain, "site", NULL, &errors, &text);
    aw_assessment_json(&a, &plain, "site", &text);
    ck_assert(!text.failed);
    aw_assessment_free(&a);
    aw_errors_free(&errors);
    return text.at;
}

static inline bool vary(aw_scenario *s, aw_text *text, const char *yaml, const aw_change changes[],
                        size_t n, aw_errors *errors)
{
    *text = (aw_text){0};
    aw_text_add(text, yaml);
    return aw_scenario_vary(s, text, changes, n, errors);
}

/* The text with a piece of it, there but once, written otherwise. */
static inline char *written(const char *yaml, const char *piece, const char *otherwise)
{
    aw_text text = {0};
    const char *at = strstr(yaml, piece);
    ck_assert_msg(at != NULL && strstr(at + 1, piece) == NULL, "%s", piece);
    aw_text_add_bytes(&text, yaml, (size_t)(at - yaml));
    aw_text_add(&text, otherwise);
    aw_text_add(&text, at + strlen(piece));
    return text.at;
}

static inline char *tell_text(const char *yaml)
{
    aw_scenario s;
    read_text(&s, yaml);
    char *told = tell(&s);
    aw_scenario_free(&s);
    return told;
}

#endif
