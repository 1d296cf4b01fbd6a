/* The links of one spot laid open: for each anchor its law, and every path the law was made of. */
#include "report/links.h"

#include "anchorwise/report.h"

#include "anchorwise.h"
#include "report/columns.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/told.h"
#include "report/words.h"

static const aw_column link_columns[] = {
    {.key = "name", .head = "anchor"},
    {.key = "link", .format = AW_AS_WORD},
    {.key = "range_m", .format = AW_AS_PLACE},
    {.key = "elevation_deg", .format = AW_AS_TENTHS},
    {.key = "weight_share", .format = AW_AS_SHARE},
    {.key = "received_share", .format = AW_AS_SHARE},
    {.key = "why_lost", .blank = true},
};
static const aw_listed link_table = AW_LISTED(&aw_links_shape, "links", NULL, link_columns);

static const aw_column error_columns[] = {
    {.key = "name", .head = "anchor"},           {.key = "bias_m", .format = AW_AS_FINE},
    {.key = "white_m", .format = AW_AS_FINE},    {.key = "spot_m", .format = AW_AS_FINE},
    {.key = "tail_m", .format = AW_AS_FINE},     {.key = "tail_share", .format = AW_AS_SHARE},
    {.key = "survey_m", .format = AW_AS_FINE},   {.key = "delay_m", .format = AW_AS_FINE},
    {.key = "believed_m", .format = AW_AS_FINE},
};
static const aw_listed error_table = AW_LISTED(&aw_links_shape, "links", NULL, error_columns);

/* Of path row->k, or of a link without any. */
AW_WORDS(add_anchor)
{
    const aw_told_links *t = row->with;
    if (row->k == 0)
        aw_text_add(out, t->run.scenario->anchors[row->i].name);
}

AW_WORDS(add_more)
{
    const aw_path *p = row->of;
    if (p->n_meets > 1)
        aw_text_format(out, " and %zu more", p->n_meets - 1);
}

static const aw_column path_columns[] = {
    {.head = "anchor", .words = add_anchor, .blank = true},
    {.key = "kind", .format = AW_AS_WORD},
    {.key = "meets", .words = add_more, .blank = true},
    {.key = "loss_db", .format = AW_AS_DB},
    {.key = "excess_m", .format = AW_AS_FINE},
    {.key = "power_dbm", .format = AW_AS_DBM},
    {.key = "found_share", .format = AW_AS_SHARE},
    {.key = "first_share", .format = AW_AS_SHARE},
};
static const aw_listed path_table = AW_LISTED(&aw_links_shape, "links", NULL, path_columns);

/* A row for each path, or for a link that has none. */
static void list_paths(const aw_told_links *t, const aw_subject *document, aw_text *out)
{
    aw_listing list = {.what = &path_table, .document = document};
    for (size_t i = 0; i < t->run.scenario->n_anchors; i++) {
        char path[64];
        const size_t n = t->traces[i].n_paths;
        for (size_t k = 0; k < (n > 0 ? n : 1); k++) {
            snprintf(path, sizeof path, n > 0 ? "links.%zu.paths.%zu" : "links.%zu", i, k);
            aw_listing_add(&list, path);
        }
    }
    aw_listing_write(&list, out);
}

AW_WORDS(add_extrapolated)
{
    if (((const aw_link_trace *)row->of)->law_extrapolated)
        aw_text_add(out, "beyond its ranges");
}

/* Our path loss, all paths together, beside a law that others measured. */
static const aw_column law_columns[] = {
    {.key = "name", .head = "anchor"},
    {.key = "snr_db", .format = AW_AS_DB},
    {.key = "path_loss_db", .format = AW_AS_DB},
    {.key = "law_db", .format = AW_AS_DB},
    {.key = "law_extrapolated", .head = "remark", .words = add_extrapolated, .blank = true},
};
static const aw_listed law_table = AW_LISTED(&aw_links_shape, "links", NULL, law_columns);

void aw_traces_table(const aw_link_trace traces[], const aw_scenario *s, const char *file,
                     const double spot[3], aw_text *out)
{
    aw_text_format(out, "%s: %s\n", file, s->title);
    aw_changes_words(s, out);
    aw_text_format(out, "spot %s %s, height %s\n\n", aw_spot_figure(spot, 2, s->units).text,
                   aw_coordinate_unit(s->units),
                   aw_coordinate_words("%.2f", spot[2], s->units).text);
    const size_t from = out->n;
    const aw_told_links t = {{s, file}, traces, spot};
    const aw_subject document = AW_DOCUMENT(t);
    aw_spot_remarks(s, spot, out);
    aw_listed_write(&link_table, &document, false, out);
    aw_text_add(out, "Errors of each link, 1 sigma\n\n");
    aw_listed_write(&error_table, &document, false, out);
    aw_text_add(out, "Paths, the shortest first\n\n");
    list_paths(&t, &document, out);
    if (s->radio.given) {
        aw_text_format(out, "Path loss, ours and that of %s\n\n",
                       aw_environment_name(s->radio.environment));
        aw_listed_write(&law_table, &document, false, out);
    }
    aw_text_add(out,
                "White error is new for every fix; that of a spot stays with the spot, and in a "
                "share of spots the larger one, tail, takes its place; survey and delay stay "
                "with the anchor. Weight is the share of the solver's weight over many fixes, "
                "as often as each link is received; why lost is told of links that lose half "
                "of their frames or more.\n");
    aw_isolate_names(out, from);
}
