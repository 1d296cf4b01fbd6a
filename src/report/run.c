/* Members that all documents share. */
#include "report/run.h"

#include "anchorwise.h"
#include "report/standing.h"

#define FORMAT 1

static const aw_report_run *run_of(const aw_subject *s)
{
    return s->of;
}

bool aw_get_version(__attribute__((unused)) const aw_subject *s, __attribute__((unused)) size_t i,
                    aw_value *v)
{
    v->text = AW_VERSION;
    return true;
}

bool aw_get_format(__attribute__((unused)) const aw_subject *s, __attribute__((unused)) size_t i,
                   aw_value *v)
{
    v->count = FORMAT;
    return true;
}

bool aw_get_scenario(__attribute__((unused)) const aw_subject *s, __attribute__((unused)) size_t i,
                     aw_value *v)
{
    v->object = *s;
    return true;
}

static const aw_scenario *around(const aw_subject *s)
{
    return ((const aw_report_run *)s->with)->scenario;
}

bool aw_get_zone_name(const aw_subject *s, __attribute__((unused)) size_t i, aw_value *v)
{
    v->text = around(s)->zones[s->i].name;
    return true;
}

bool aw_get_zone_tag(const aw_subject *s, __attribute__((unused)) size_t i, aw_value *v)
{
    v->text = around(s)->tags[around(s)->zones[s->i].tag].name;
    return true;
}

bool aw_get_zone_level(const aw_subject *s, __attribute__((unused)) size_t i, aw_value *v)
{
    v->text = aw_level_over_name(around(s), s->i);
    return true;
}

bool aw_get_anchor_name(const aw_subject *s, __attribute__((unused)) size_t i, aw_value *v)
{
    v->text = around(s)->anchors[s->i].name;
    return true;
}

bool aw_get_anchor_at(const aw_subject *s, __attribute__((unused)) size_t i, aw_value *v)
{
    v->numbers = around(s)->anchors[s->i].at;
    v->n = 3;
    return true;
}

bool aw_get_settings(const aw_subject *s, __attribute__((unused)) size_t i, aw_value *v)
{
    v->object = (aw_subject){&run_of(s)->scenario->study, s->of, 0, 0};
    return true;
}

const char *const aw_figures_words[] = {"site", "bench", NULL};

bool aw_get_figures(__attribute__((unused)) const aw_subject *s, __attribute__((unused)) size_t i,
                    aw_value *v)
{
    v->text = aw_figures_words[aw_scenario_is_site(run_of(s)->scenario) ? 0 : 1];
    return true;
}

AW_GETTER(get_title)
{
    v->text = run_of(s)->scenario->title;
    return true;
}

static const aw_member change_members[] = {
    AW_TEXT("path", aw_change, path, "what was set"),
    AW_TEXT("value", aw_change, value, "to what, as given"),
};
const aw_shape aw_change_shape =
    AW_SHAPE("change", "A change laid over a scenario before it was read", change_members);

bool aw_get_change(const aw_subject *s, size_t i, aw_value *v)
{
    const aw_scenario *scenario = run_of(s)->scenario;
    if (i >= scenario->n_changes)
        return false;
    v->object = (aw_subject){&scenario->changes[i], s->with, i, 0};
    return true;
}

static const aw_member scenario_members[] = {
    AW_TEXT("file", aw_report_run, file, "its file, as given"),
    AW_GOT("title", TEXT, get_title, "", "its title"),
    AW_MAY("set", LIST, aw_get_change, 0, &aw_change_shape,
           "changes laid over it, in their order; left out without any"),
};
const aw_shape aw_scenario_shape = AW_SHAPE("scenario", "A scenario", scenario_members);

static const char *const solver_words[] = {"plain", "robust", NULL};

AW_GETTER(get_solver)
{
    v->text = aw_solver_name(around(s)->ranging.solver);
    return true;
}

static const aw_member settings_members[] = {
    AW_NUMBER("step_m", aw_study, step, "m", "distance of the cells"),
    AW_COUNT("draws", aw_study, draws, "", "draws of each cell"),
    AW_COUNT("seed", aw_study, seed, "", "names the random numbers"),
    AW_NUMBER(
        "precision", aw_study, precision, "share",
        "zones were drawn until the interval of p95 was this share of it wide; null: as often as "
        "draws says"),
    AW_WORD("solver", get_solver, solver_words,
            "what makes a fix of the arrivals: weighted least squares, or that with late arrivals "
            "doubted"),
};
const aw_shape aw_settings_shape = AW_SHAPE("settings", "How a study was drawn", settings_members);

static const aw_member estimate_members[] = {
    AW_NUMBER("value", aw_estimate, value, "", "the estimate"),
    AW_NUMBER("low", aw_estimate, low, "", "lower end of its 95 % simulation interval"),
    AW_NUMBER("high", aw_estimate, high, "", "upper end"),
};
const aw_shape aw_estimate_shape =
    AW_SHAPE("estimate", "A figure with its 95 % simulation interval", estimate_members);
