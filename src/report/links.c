/* The links of one spot laid open: for each anchor its law, and every path the law was made of. */
#include "report/links.h"

#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/standing.h"
#include "report/table.h"
#include "report/figures.h"
#include "report/words.h"

#define DEGREE (M_PI / 180)

/* What a link weighs with the solver, as often as it is received. */
static double expected_weight(const aw_link_trace *a)
{
    return a->received / (a->link.believed * a->link.believed);
}

/* The link's share of all weight over many fixes; 0 where nothing is received. */
double aw_trace_weight(const aw_link_trace traces[], size_t n, size_t i)
{
    double total = 0;
    for (size_t k = 0; k < n; k++)
        total += expected_weight(&traces[k]);
    return total > 0 ? expected_weight(&traces[i]) / total : 0;
}

const char *const aw_link_state_words[] = {"clear", "obstructed", "lost", NULL};

const char *aw_link_state_word(const aw_link *link)
{
    return aw_link_state_words[link->state];
}

static void add_dash(aw_table *t, const char *format, double value)
{
    if (isnan(value))
        aw_table_add(t, "-");
    else
        aw_table_add(t, format, value);
}

/* What rounds to nothing and is not gets a digit more. */
static void add_share(aw_table *t, double share)
{
    if (share > 0 && share < 0.0005)
        aw_table_add(t, "< 0.1 %%");
    else
        aw_table_add(t, share > 0 && share < 0.005 ? "%.1f %%" : "%.0f %%", 100 * share);
}

static void add_small(aw_table *t, double metres, aw_units units)
{
    aw_table_add(t, "%s", isnan(metres) ? "-" : aw_small_figure("%.3f", metres, units).text);
}

static double installation_of(const aw_link *link)
{
    return sqrt(link->survey * link->survey + link->delay * link->delay);
}

static void list_links(const aw_link_trace traces[], const aw_scenario *s, aw_text *out)
{
    static const char *const errors[] = {"bias", "white", "spot", "installation", "believed"};
    bool any = false;
    for (size_t i = 0; i < s->n_anchors; i++)
        any = any || traces[i].hindrance != AW_HINDRANCE_NONE;
    aw_table t = {.columns = any ? 12 : 11, .align = "llrrrrrrrrrl", .heads = 1};
    aw_table_add(&t, "anchor");
    aw_table_add(&t, "link");
    aw_table_add(&t, "range (%s)", aw_coordinate_unit(s->units));
    aw_table_add(&t, "elevation");
    for (size_t i = 0; i < sizeof errors / sizeof *errors; i++)
        aw_table_add(&t, "%s (%s)", errors[i], aw_small_unit(s->units));
    aw_table_add(&t, "weight");
    aw_table_add(&t, "received");
    if (any)
        aw_table_add(&t, "why lost");
    for (size_t i = 0; i < s->n_anchors; i++) {
        const aw_link_trace *a = &traces[i];
        const bool tails = a->link.tail_share > 0;
        aw_table_add(&t, "%s", s->anchors[i].name);
        aw_table_add(&t, "%s", aw_link_state_word(&a->link));
        aw_table_add(&t, "%s", aw_coordinate_figure("%.2f", a->link.range, s->units).text);
        aw_table_add(&t, "%.1f°", a->elevation / DEGREE);
        add_small(&t, a->bias, s->units);
        add_small(&t, a->link.white, s->units);
        if (tails)
            aw_table_add(
                &t, "%s, %.0f %%: %s", aw_small_figure("%.3f", a->link.spot, s->units).text,
                100 * a->link.tail_share, aw_small_figure("%.3f", a->link.tail, s->units).text);
        else
            add_small(&t, a->link.spot, s->units);
        add_small(&t, installation_of(&a->link), s->units);
        add_small(&t, a->link.believed, s->units);
        add_share(&t, aw_trace_weight(traces, s->n_anchors, i));
        add_share(&t, a->received);
        if (any)
            aw_table_add(&t, "%s", aw_hindrance_name(a->hindrance));
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
}

/* A receiver of fixed figures looks for no path: the link is used, or why it is not is told. */
static void list_path(const aw_link_trace *a, const aw_path *p, aw_units units, aw_table *t)
{
    const bool looks = !isnan(p->power_dbm) || a->hindrance == AW_HINDRANCE_NONE;
    aw_table_add(t, "%s", aw_path_kind_name(p->kind));
    if (p->n_meets > 1)
        aw_table_add(t, "%s and %zu more", p->meets, p->n_meets - 1);
    else
        aw_table_add(t, "%s", p->n_meets == 1 ? p->meets : "");
    aw_table_add(t, "%.1f dB", p->loss_db);
    add_small(t, p->excess, units);
    add_dash(t, "%.1f dBm", p->power_dbm);
    if (looks) {
        add_share(t, p->found);
        add_share(t, p->first);
    } else {
        aw_table_add(t, "%s", aw_hindrance_name(a->hindrance));
        aw_table_add(t, "-");
    }
}

static void list_paths(const aw_link_trace traces[], const aw_scenario *s, aw_text *out)
{
    static const char *const heads[] = {"anchor", "path",  "meets", "loss",
                                        "",       "power", "found", "timed first"};
    aw_table t = {.columns = 8, .align = "lllrrrrr", .heads = 1};
    for (size_t i = 0; i < t.columns; i++)
        if (heads[i][0] != '\0')
            aw_table_add(&t, "%s", heads[i]);
        else
            aw_table_add(&t, "excess (%s)", aw_small_unit(s->units));
    for (size_t i = 0; i < s->n_anchors; i++) {
        aw_table_add(&t, "%s", s->anchors[i].name);
        if (traces[i].n_paths == 0)
            aw_table_add(&t, "none");
        for (size_t k = 0; k < traces[i].n_paths; k++) {
            if (k > 0)
                aw_table_add(&t, "%s", "");
            list_path(&traces[i], &traces[i].paths[k], s->units, &t);
        }
        aw_table_end_row(&t);
    }
    aw_table_write(&t, out);
    aw_table_free(&t);
}

/* Our path loss, all paths together, beside a law that others measured. */
static void list_laws(const aw_link_trace traces[], const aw_scenario *s, aw_text *out)
{
    static const char *const heads[] = {"anchor", "ratio to noise", "path loss", "published", ""};
    aw_table t = {.columns = 5, .align = "lrrrl", .heads = 1};
    for (size_t i = 0; i < t.columns; i++)
        aw_table_add(&t, "%s", heads[i]);
    for (size_t i = 0; i < s->n_anchors; i++) {
        const aw_link_trace *a = &traces[i];
        aw_table_add(&t, "%s", s->anchors[i].name);
        add_dash(&t, "%.1f dB", a->snr_db);
        add_dash(&t, "%.1f dB", a->path_loss_db);
        add_dash(&t, "%.1f dB", a->law_db);
        aw_table_add(&t, "%s", a->law_extrapolated ? "beyond its ranges" : "");
    }
    aw_text_format(out, "\nPath loss, ours and that of %s\n\n",
                   aw_environment_name(s->radio.environment));
    aw_table_write(&t, out);
    aw_table_free(&t);
}

void aw_traces_table(const aw_link_trace traces[], const aw_scenario *s, const char *file,
                     const double spot[3], aw_text *out)
{
    aw_text_format(out, "%s: %s\n", file, s->title);
    aw_changes_words(s, out);
    aw_text_format(out, "spot %s %s, height %s\n\n", aw_spot_figure(spot, 2, s->units).text,
                   aw_coordinate_unit(s->units),
                   aw_coordinate_words("%.2f", spot[2], s->units).text);
    const size_t from = out->n;
    aw_spot_remarks(s, spot, out);
    list_links(traces, s, out);
    aw_text_add(out, "\nPaths, the shortest first\n\n");
    list_paths(traces, s, out);
    if (s->radio.given)
        list_laws(traces, s, out);
    aw_text_add(out, "\nErrors are 1 sigma. White is new for every fix; spot stays with the "
                     "spot, and where a second figure follows it holds in that share of spots; "
                     "installation stays with the anchor. Weight is the share of the "
                     "solver's weight over many fixes, as often as each link is received; why lost "
                     "is told of links that lose half of their frames or more.\n");
    aw_isolate_names(out, from);
}
