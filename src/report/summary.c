/* What a scenario describes, so that a second pair of eyes finds the slip in the numbers. */
#include "anchorwise/report.h"

#include <math.h>

#include "anchorwise.h"
#include "base/plane.h"
#include "report/columns.h"
#include "report/lengths.h"
#include "report/names.h"
#include "report/table.h"
#include "report/told.h"
#include "report/words.h"

static double area_of(const aw_polygon *p)
{
    return fabs(aw_polygon_area(p->at, p->n));
}

static void add_errors(const aw_scenario *s, aw_text *out)
{
    const aw_ranging *r = &s->ranging;
    aw_text_format(out, "%s spot (%s in %.3g %% of spots), %s survey, %s delay",
                   aw_small_words("%.3g", r->spot_sigma, s->units).text,
                   aw_small_words("%.3g", r->tail_sigma, s->units).text, 100 * r->tail_share,
                   aw_small_words("%.3g", r->survey_sigma, s->units).text,
                   aw_small_words("%.3g", r->delay_sigma, s->units).text);
}

static const char *figures_of(const aw_scenario *s)
{
    return aw_scenario_is_site(s) ? "site figures" : "bench figures";
}

static void add_floor(const aw_scenario *s, aw_text *out)
{
    const aw_polygon *o = &s->floor.outline;
    aw_text_format(out, "%s x %s, %s, ceiling %s",
                   aw_coordinate_figure("%.4g", o->high.x - o->low.x, s->units).text,
                   aw_coordinate_words("%.4g", o->high.y - o->low.y, s->units).text,
                   aw_area_words("%.0f", area_of(o), s->units).text,
                   aw_coordinate_words("%.3g", s->floor.ceiling, s->units).text);
}

static void add_study(const aw_scenario *s, aw_text *out)
{
    aw_text_format(out, "step %s, %s, seed %llu, ",
                   aw_coordinate_words("%.3g", s->study.step, s->units).text,
                   aw_draws_words(&s->study).text, (unsigned long long)s->study.seed);
    if (isnan(s->study.margin))
        aw_text_format(out, "chance %.3g", s->study.chance);
    else
        aw_text_format(out, "margin %.3g", s->study.margin);
    if (!isnan(s->study.odds))
        aw_text_format(out, ", odds %.3g", s->study.odds);
}

/* With a radio, white sigma, reach and losses are those of paths, power and noise. */
static void add_ranging(const aw_scenario *s, aw_text *out)
{
    const aw_ranging *r = &s->ranging;
    if (!s->radio.given)
        aw_text_format(out, "sigma %s white, ", aw_small_words("%.3g", r->sigma, s->units).text);
    add_errors(s, out);
    if (s->radio.given)
        aw_text_format(out, "; %s", figures_of(s));
}

static void add_reach(const aw_scenario *s, aw_text *out)
{
    if (!s->radio.given)
        aw_text_format(out, "range %s, loss budget %.3g dB; %s",
                       aw_coordinate_words("%.4g", s->ranging.range, s->units).text,
                       s->ranging.budget_db, figures_of(s));
}

static void add_radio(const aw_scenario *s, aw_text *out)
{
    const aw_radio *r = &s->radio;
    if (r->given)
        aw_text_format(out, "channel %u (%.1f MHz, %.1f MHz wide), %s, %s",
                       (unsigned)r->channel.number, r->channel.centre / 1e6,
                       r->channel.bandwidth / 1e6, aw_environment_name(r->environment),
                       r->mode == AW_ANCHORS_SEND ? "anchors send" : "tags send");
}

static void add_sender(const aw_scenario *s, aw_text *out)
{
    const aw_radio *r = &s->radio;
    if (r->given)
        aw_text_format(
            out, "%.4g dBm/MHz, back-off %.3g dB, frame gain %.3g dB%s, arrival floor %s",
            r->density_dbm_mhz, r->backoff_db, r->frame_gain_db, r->licensed ? ", licensed" : "",
            aw_small_words("%.3g", r->arrival_floor, s->units).text);
}

static void add_receiver(const aw_scenario *s, aw_text *out)
{
    const aw_receiver *r = &s->radio.receiver;
    if (s->radio.given)
        aw_text_format(out,
                       "noise figure %.3g dB, preamble %u symbols, sensitivity %.4g dBm, detects "
                       "%.3g dB over noise and %.3g dB under the strongest",
                       r->noise_figure_db, (unsigned)r->preamble, r->sensitivity_dbm, r->detect_db,
                       r->dynamic_db);
}

static void add_heading(const aw_scenario *s, const char *file, aw_text *out)
{
    static const struct {
        const char *name;
        void (*add)(const aw_scenario *s, aw_text *out);
    } lines[] = {{"floor", add_floor},      {"study", add_study}, {"ranging", add_ranging},
                 {"", add_reach},           {"radio", add_radio}, {"", add_sender},
                 {"receiver", add_receiver}};
    aw_table t = {.columns = 2, .align = "Ll"};
    aw_title_words(s, file, out);
    aw_text_add(out, "\n");
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        aw_text words = {0};
        lines[i].add(s, &words);
        if (words.n > 0) {
            aw_table_add(&t, "%s", lines[i].name);
            aw_table_add(&t, "%s", words.at);
        }
        t.failed |= words.failed;
        aw_text_free(&words);
    }
    aw_table_write(&t, out);
}

static void list_anchors(const aw_scenario *s, aw_table *t)
{
    double low = s->anchors[0].at[2], high = low;
    for (size_t i = 0; i < s->n_anchors; i++) {
        low = fmin(low, s->anchors[i].at[2]);
        high = fmax(high, s->anchors[i].at[2]);
    }
    aw_table_add(t, "%zu anchor%s", s->n_anchors, s->n_anchors == 1 ? "" : "s");
    if (low < high)
        aw_table_add(t, "heights %s to %s", aw_coordinate_figure("%.3g", low, s->units).text,
                     aw_coordinate_words("%.3g", high, s->units).text);
    else
        aw_table_add(t, "height %s", aw_coordinate_words("%.3g", low, s->units).text);
    aw_table_end_row(t);
    for (size_t i = 0; i < s->n_anchors; i++) {
        const double *at = s->anchors[i].at;
        aw_table_add(t, "  %s", s->anchors[i].name);
        aw_table_add(t, "%s %s, %s up", aw_spot_figure(at, 2, s->units).text,
                     aw_coordinate_unit(s->units),
                     aw_coordinate_words("%.2f", at[2], s->units).text);
        aw_table_end_row(t);
    }
}

static void list_levels(const aw_scenario *s, aw_table *t)
{
    if (s->n_levels == 0)
        return;
    aw_table_add(t, "%zu level%s", s->n_levels, s->n_levels == 1 ? "" : "s");
    aw_table_end_row(t);
    for (size_t i = 0; i < s->n_levels; i++) {
        const aw_level *l = &s->levels[i];
        aw_table_add(t, "  %s", l->name);
        const bool slab = l->slab.thickness > 0;
        aw_table_add(t, "%s, its floor at %s%s%s%s%s",
                     aw_area_words("%.1f", area_of(&l->outline), s->units).text,
                     aw_coordinate_words("%+.2f", l->height, s->units).text,
                     slab            ? ", slab "
                     : l->height > 0 ? ", solid"
                                     : "",
                     slab ? aw_small_words("%.3g", l->slab.thickness, s->units).text : "",
                     slab ? " of " : "", slab ? s->materials[l->slab.material].name : "");
        aw_table_end_row(t);
    }
}

static void list_obstacles(const aw_scenario *s, aw_table *t)
{
    const size_t named = aw_named_obstacles(s);
    aw_table_add(t, "%zu obstacle%s, %zu wall%s", named, named == 1 ? "" : "s", s->n_walls,
                 s->n_walls == 1 ? "" : "s");
    aw_table_end_row(t);
    for (size_t i = 0; i < named; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        aw_table_add(t, "  %s", o->name);
        aw_text shell = {0};
        if (o->shell > 0)
            aw_text_format(&shell, ", shell %s", aw_small_words("%.3g", o->shell, s->units).text);
        aw_table_add(t, "%s, %s to %s, %s%s",
                     aw_area_words("%.1f", area_of(&o->footprint), s->units).text,
                     aw_coordinate_figure("%.2f", o->base, s->units).text,
                     aw_coordinate_words("%.2f", o->top, s->units).text,
                     s->materials[o->material].name, shell.n > 0 ? shell.at : "");
        t->failed |= shell.failed;
        aw_text_free(&shell);
        aw_table_end_row(t);
    }
    for (size_t i = 0; i < s->n_walls; i++) {
        const aw_wall *w = &s->walls[i];
        double length = 0;
        for (size_t k = 0; k + 1 < w->n; k++)
            length += hypot(w->path[k + 1].x - w->path[k].x, w->path[k + 1].y - w->path[k].y);
        aw_table_add(t, "  %s", w->name);
        aw_table_add(t, "%s long, %s thick, %s to %s, %s",
                     aw_coordinate_words("%.1f", length, s->units).text,
                     aw_small_words("%.3g", w->thickness, s->units).text,
                     aw_coordinate_figure("%.2f", w->base, s->units).text,
                     aw_coordinate_words("%.2f", w->top, s->units).text,
                     s->materials[w->material].name);
        aw_table_end_row(t);
    }
}

static void list_tags_and_zones(const aw_scenario *s, aw_table *t)
{
    aw_table_add(t, "%zu tag%s", s->n_tags, s->n_tags == 1 ? "" : "s");
    aw_table_end_row(t);
    for (size_t i = 0; i < s->n_tags; i++) {
        aw_table_add(t, "  %s", s->tags[i].name);
        aw_table_add(t, "height %s (sigma %s), %dd fix",
                     aw_coordinate_words("%.2f", s->tags[i].height, s->units).text,
                     aw_small_words("%.3g", s->tags[i].height_sigma, s->units).text,
                     (int)s->tags[i].fix);
        aw_table_end_row(t);
    }
    aw_table_add(t, "%zu zone%s", s->n_zones, s->n_zones == 1 ? "" : "s");
    aw_table_end_row(t);
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *z = &s->zones[i];
        aw_text need = {0};
        aw_table_add(t, "  %s", z->name);
        aw_need_words(&z->need, s->units, &need);
        aw_table_add(t, "%s, %s, %s", aw_area_words("%.1f", area_of(&z->outline), s->units).text,
                     s->tags[z->tag].name, need.n > 0 ? need.at : "no need stated");
        t->failed |= need.failed;
        aw_text_free(&need);
        aw_table_end_row(t);
    }
}

/* --- the bill --- */

/* Cable is counted, and priced, by the site's units. */
static double metre_of(const aw_subject *row, aw_units units)
{
    const aw_bill_line *line = row->of;
    return line->is_length && units == AW_FEET ? AW_FOOT : 1;
}

AW_WORDS(add_count)
{
    const double count = ((const aw_bill_line *)row->of)->count;
    if (!isnan(count))
        aw_text_format(out, "%.4g", count / metre_of(row, units));
}

AW_WORDS(add_unit)
{
    const aw_bill_line *line = row->of;
    aw_text_add(out, line->is_length ? aw_coordinate_unit(units) : line->unit);
}

AW_WORDS(add_price)
{
    const double price = ((const aw_bill_line *)row->of)->price;
    if (!isnan(price))
        aw_text_format(out, "%.7g", price * metre_of(row, units));
}

static const aw_column bill_columns[] = {
    {.key = "what"},
    {.head = "count", .format = AW_AS_FIGURE, .words = add_count, .blank = true},
    {.head = "unit", .format = AW_AS_WORD, .words = add_unit, .blank = true},
    {.head = "price_each", .format = AW_AS_FIGURE, .words = add_price, .blank = true},
    {.key = "amount", .format = AW_AS_AMOUNT},
};

/* The sum is one line more. */
static void list_prices(const aw_scenario *s, const char *file, aw_text *out)
{
    static const aw_listed bill_lines =
        AW_LISTED(&aw_summary_shape, "prices.lines", NULL, bill_columns);
    aw_bill bill = {0};
    if (!aw_has_prices(s))
        return;
    const aw_told_summary told = {{s, file}, NULL, NULL, &bill};
    aw_listing list = {.what = &bill_lines, .document = &AW_DOCUMENT(told)};
    if (aw_bill_make(&bill, s)) {
        const aw_bill_line sum = {
            .what = "sum", .unit = "", .count = NAN, .price = NAN, .amount = bill.total};
        aw_listing_add_rows(&list);
        aw_listing_add_row(&list, &(aw_subject){&sum, &told, 0, 0});
        aw_listing_write(&list, out);
    } else {
        out->failed = true;
    }
    aw_bill_free(&bill);
}

void aw_scenario_summary(const aw_scenario *s, const char *file, aw_text *out)
{
    aw_table t = {.columns = 2, .align = "ll"};
    add_heading(s, file, out);
    const size_t from = out->n;
    aw_text_add(out, "\n");
    list_anchors(s, &t);
    list_levels(s, &t);
    list_obstacles(s, &t);
    list_tags_and_zones(s, &t);
    aw_table_write(&t, out);
    aw_text_add(out, "\n");
    list_prices(s, file, out);
    aw_isolate_names(out, from);
}

/* Two digits are as many as the cost is good for. */
static double rounded(double x)
{
    const double unit = x > 0 ? pow(10, floor(log10(x)) - 1) : 1;
    return round(x / unit) * unit;
}

void aw_effort_words(double seconds, double bytes, unsigned threads, aw_text *out)
{
    const double wall = seconds / threads;
    if (wall < 1)
        aw_text_add(out, "under a second");
    else if (wall < 100)
        aw_text_format(out, "about %.2g s", rounded(wall));
    else if (wall < 6000)
        aw_text_format(out, "about %.3g min", rounded(wall / 60));
    else
        aw_text_format(out, "about %.10g h", rounded(wall / 3600));
    aw_text_format(out, " on %u thread%s", threads, threads > 1 ? "s" : "");
    if (bytes > 0)
        aw_text_format(out, " and %.10g MB", rounded(bytes / 1e6));
}
