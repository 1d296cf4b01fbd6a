/** @file
 *  What heads every result: the version, the scenario, how it was drawn. */
#ifndef AW_REPORT_RUN_H
#define AW_REPORT_RUN_H

#include "report/shape.h"

/* A document's struct begins with this. */
typedef struct aw_report_run {
    const aw_scenario *scenario;
    const char *file;
} aw_report_run;

bool aw_get_version(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_format(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_scenario(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_settings(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_figures(const aw_subject *s, size_t i, aw_value *v);
/* Of zone or anchor i of the run that stands around. */
bool aw_get_zone_name(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_zone_tag(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_zone_level(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_anchor_name(const aw_subject *s, size_t i, aw_value *v);
bool aw_get_anchor_at(const aw_subject *s, size_t i, aw_value *v);
/* Change i of the run's scenario. */
bool aw_get_change(const aw_subject *s, size_t i, aw_value *v);
extern const aw_shape aw_scenario_shape, aw_settings_shape, aw_change_shape;
extern const char *const aw_figures_words[];

/* The first members of a document. */
#define AW_RUN_HEAD                                                                                \
    AW_GOT("anchorwise", TEXT, aw_get_version, "", "version of the program"),                      \
        AW_OBJECT("scenario", aw_get_scenario, &aw_scenario_shape, "the scenario")
/* Those of one that was drawn. */
#define AW_RUN_MEMBERS                                                                             \
    AW_RUN_HEAD, AW_OBJECT("settings", aw_get_settings, &aw_settings_shape, "how it was drawn"),   \
        AW_WORD("figures", aw_get_figures, aw_figures_words,                                       \
                "site: with errors of a site; bench: white noise alone, as on a bench")
/* The last of every document. */
#define AW_RUN_END AW_GOT("format", COUNT, aw_get_format, "", "version of this form of output")

/* An estimate: value, low, high. */
extern const aw_shape aw_estimate_shape;

#endif
