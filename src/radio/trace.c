/* One link laid open. */
#include "anchorwise/paths.h"

#include <math.h>

#include "base/plane.h"

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

void aw_link_trace_at(const aw_scene *scene, const double spot[3], const aw_anchor *anchor,
                      aw_link_trace *trace)
{
    *trace = (aw_link_trace){.link = aw_link_at(scene, spot, anchor)};
    const double *d = trace->link.to_anchor;
    trace->elevation = atan2(d[2], aw_length(d[0], d[1]));
    trace_fixed(scene, spot, anchor, trace);
}
