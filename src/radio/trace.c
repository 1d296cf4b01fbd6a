/* One link laid open. */
#include "anchorwise/paths.h"

#include <math.h>

#include "base/plane.h"
#include "radio/heard.h"
#include "radio/law.h"

const char *aw_path_kind_name(aw_path_kind kind)
{
    static const char *const name[] = {"direct", "through", "over", "around", "mirrored"};
    return name[kind];
}

/* The one path of a link with fixed figures. */
static void trace_fixed(const aw_scene *scene, const double spot[3], const aw_anchor *anchor,
                        aw_link_trace *t)
{
    const bool usable = t->link.n_outcomes > 0;
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
    const aw_air *air = scene->air;
    const bool sight = aw_scene_crossed(scene, spot, anchor->at, NULL) == 0;
    aw_faces room;
    aw_heard heard;
    aw_hear(&heard, scene, spot, anchor->at, aw_faces_of(scene, anchor, &room), NULL);
    t->n_paths = heard.n;
    t->received = heard.received;
    t->snr_db = heard.snr_db;
    for (size_t i = 0; i < heard.n; i++) {
        t->paths[i] = heard.paths[i];
        t->bias += heard.paths[i].first * heard.paths[i].excess / heard.received;
    }
    if (!(heard.received > 0))
        t->bias = (double)NAN;
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
