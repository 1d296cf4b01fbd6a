/* One link laid open. */
#include "radio/paths.h"

#include <math.h>

#include "base/plane.h"
#include "radio/first_path.h"
#include "radio/law.h"
#include "radio/pit.h"

const char *aw_hindrance_name(aw_hindrance hindrance)
{
    static const char *const name[] = {
        [AW_HINDRANCE_NONE] = "",
        [AW_HINDRANCE_GROUND] = "into the ground",
        [AW_HINDRANCE_RANGE] = "out of range",
        [AW_HINDRANCE_BUDGET] = "more loss than the budget",
        [AW_HINDRANCE_NO_PATH] = "no path found",
        [AW_HINDRANCE_NOISE] = "below the noise",
        [AW_HINDRANCE_SENSITIVITY] = "below the sensitivity",
    };
    return name[hindrance];
}

static aw_hindrance hindrance_of_fixed(const aw_scene *scene, const double spot[3],
                                       const double anchor[3], const aw_link *link)
{
    if (link->n_outcomes > 0)
        return AW_HINDRANCE_NONE;
    if (aw_pit_meet(scene->scenario, spot, anchor).level != NULL)
        return AW_HINDRANCE_GROUND;
    return link->range > scene->scenario->ranging.range ? AW_HINDRANCE_RANGE : AW_HINDRANCE_BUDGET;
}

static aw_hindrance hindrance_of_heard(const aw_first_path *heard)
{
    if (heard->n == 0)
        return AW_HINDRANCE_NO_PATH;
    if (heard->lost_db >= 0)
        return AW_HINDRANCE_NONE;
    double limit = heard->limit[0];
    for (size_t i = 1; i < heard->n; i++)
        limit = fmax(limit, heard->limit[i]);
    return heard->lost_db < limit ? AW_HINDRANCE_SENSITIVITY : AW_HINDRANCE_NOISE;
}

/* The one path of a link with fixed figures. */
static void trace_fixed(const aw_scene *scene, const double spot[3], const aw_anchor *anchor,
                        aw_link_trace *t)
{
    const bool usable = t->link.n_outcomes > 0;
    t->hindrance = hindrance_of_fixed(scene, spot, anchor->at, &t->link);
    t->snr_db = t->path_loss_db = t->law_db = (double)NAN;
    t->bias = usable ? aw_link_bias(&t->link) : (double)NAN;
    aw_path *path = &t->paths[t->n_paths++];
    path->n_meets = aw_scene_crossed(scene, spot, anchor->at, &path->meets);
    path->kind = path->n_meets == 0 ? AW_PATH_DIRECT : AW_PATH_THROUGH;
    path->loss_db = t->link.loss_db;
    path->excess = t->bias;
    path->power_dbm = (double)NAN;
    path->found = path->first = t->received = usable;
}

static void trace_radio(const aw_scene *scene, const double spot[3], const aw_anchor *anchor,
                        aw_link_trace *t)
{
    const aw_radio_scene *air = scene->air;
    const bool sight = aw_scene_crossed(scene, spot, anchor->at, NULL) == 0;
    aw_faces room;
    aw_first_path heard;
    aw_first_path_find(&heard, scene, spot, anchor->at, aw_faces_of(scene, anchor, &room), NULL);
    /* One that is lost for good times nothing, however rarely it would. */
    const bool usable = t->link.n_outcomes > 0;
    t->n_paths = heard.n;
    t->hindrance = hindrance_of_heard(&heard);
    t->received = usable ? heard.received : 0;
    t->snr_db = heard.snr_db;
    for (size_t i = 0; i < heard.n; i++) {
        t->paths[i] = heard.paths[i];
        if (!usable)
            t->paths[i].first = 0;
    }
    t->bias = aw_link_expect(&t->link).excess;
    t->path_loss_db = heard.n > 0 ? air->eirp - heard.total_dbm : (double)NAN;
    t->law_db =
        aw_law_db(air->radio->environment, sight, t->link.range, air->hz, &t->law_extrapolated);
}

void aw_link_trace_at(const aw_scene *scene, const double spot[3], const aw_anchor *anchor,
                      aw_link_trace *trace)
{
    *trace = (aw_link_trace){.link = aw_link_at(scene, spot, anchor)};
    const double *d = trace->link.to_anchor;
    trace->elevation = atan2(d[2], aw_length(d[0], d[1]));
    if (scene->air != NULL)
        trace_radio(scene, spot, anchor, trace);
    else
        trace_fixed(scene, spot, anchor, trace);
}
