/* Members that all documents share. */
#include "report/run.h"

#include "anchorwise.h"

#define FORMAT 1

static const aw_report_run *run_of(const aw_subject *s)
{
    return s->of;
}

bool aw_get_version(const aw_subject *s, size_t i, aw_value *v)
{
    (void)s, (void)i;
    v->text = AW_VERSION;
    return true;
}

bool aw_get_format(const aw_subject *s, size_t i, aw_value *v)
{
    (void)s, (void)i;
    v->count = FORMAT;
    return true;
}

bool aw_get_scenario(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->object = *s;
    return true;
}

const char *const aw_figures_words[] = {"site", "bench", NULL};

bool aw_get_figures(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->text = aw_figures_words[aw_scenario_is_site(run_of(s)->scenario) ? 0 : 1];
    return true;
}

static bool get_title(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->text = run_of(s)->scenario->title;
    return true;
}

static const aw_member scenario_members[] = {
    AW_TEXT("file", aw_report_run, file, "its file, as given"),
    AW_GOT("title", TEXT, get_title, "", "its title"),
};
const aw_shape aw_scenario_shape = AW_SHAPE("scenario", "A scenario", scenario_members);

static bool get_step(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->number = run_of(s)->scenario->study.step;
    return true;
}

static bool get_draws(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->count = run_of(s)->scenario->study.draws;
    return true;
}

static bool get_seed(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->count = run_of(s)->scenario->study.seed;
    return true;
}

static bool get_precision(const aw_subject *s, size_t i, aw_value *v)
{
    (void)i;
    v->number = run_of(s)->scenario->study.precision;
    return true;
}

static const aw_member settings_members[] = {
    AW_GOT("step_m", NUMBER, get_step, "m", "distance of the cells"),
    AW_GOT("draws", COUNT, get_draws, "", "draws of each cell"),
    AW_GOT("seed", COUNT, get_seed, "", "names the random numbers"),
    AW_GOT(
        "precision", NUMBER, get_precision, "share",
        "zones were drawn until the interval of p95 was this share of it wide; null: as often as "
        "draws says"),
};
const aw_shape aw_settings_shape = AW_SHAPE("settings", "How a study was drawn", settings_members);

static const aw_member estimate_members[] = {
    AW_NUMBER("value", aw_estimate, value, "", "the estimate"),
    AW_NUMBER("low", aw_estimate, low, "", "lower end of its 95 % simulation interval"),
    AW_NUMBER("high", aw_estimate, high, "", "upper end"),
};
const aw_shape aw_estimate_shape =
    AW_SHAPE("estimate", "A figure with its 95 % simulation interval", estimate_members);
