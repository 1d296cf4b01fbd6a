/* Charts are drawn for the page that they stand on. */
#include "book/figures.h"

#include <stdlib.h>

#include "draw/chart.h"

static aw_sheet *add_picture(aw_studies *st, aw_picture_kind kind, size_t tag)
{
    aw_picture *p = &st->pictures[st->n_pictures++];
    *p = (aw_picture){.kind = kind, .tag = tag};
    return &p->sheet;
}

/* Whether a tag's floor is shown: the first, and those that zones have. */
static bool is_shown(const aw_scenario *s, size_t tag)
{
    bool shown = tag == 0 && s->n_zones == 0;
    for (size_t i = 0; i < s->n_zones; i++)
        shown = shown || s->zones[i].tag == tag;
    return shown;
}

static bool draw_chart(aw_studies *st, size_t tag, const aw_run *run)
{
    const aw_studies_plan *p = st->plan;
    const aw_chart_options look = {.layer = AW_LAYER_P95,
                                   .paper = (aw_paper)p->paper,
                                   .by_tag = p->scenario->n_tags > 1,
                                   .tag = tag,
                                   .date = p->date,
                                   .revision = p->revision,
                                   .client = p->client,
                                   .author = p->author,
                                   .files = {{p->file, p->checksum}},
                                   .pale = p->pale,
                                   .assessed = true};
    aw_chart *chart = aw_chart_create(p->scenario, &look, run);
    const bool drawn =
        chart != NULL && aw_chart_draw(add_picture(st, AW_PICTURE_CHART, tag), chart, run->errors);
    aw_chart_free(chart);
    return drawn;
}

bool aw_figures_draw(aw_studies *st, const aw_run *run)
{
    const aw_studies_plan *p = st->plan;
    const aw_scenario *s = p->scenario;
    bool done = true;
    st->pictures = calloc(s->n_tags + 2, sizeof *st->pictures);
    if (st->pictures == NULL) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the report");
        return false;
    }
    for (size_t tag = 0; done && p->wanted[AW_CLIENT_CHART] && tag < s->n_tags; tag++)
        if (is_shown(s, tag))
            done = draw_chart(st, tag, run);
    if (done && st->is_explained)
        done = aw_rose_draw(add_picture(st, AW_PICTURE_ROSE, 0), &st->explanation, s, run->errors);
    if (done && st->has_counts && st->weakest < s->n_zones)
        done = aw_ratio_draw(add_picture(st, AW_PICTURE_CURVES, 0), &st->counts, run->errors);
    return done;
}
