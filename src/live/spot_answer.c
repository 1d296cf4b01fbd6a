/* Why here: a spot explained, and each remedy as operations that a page can ask for. */
#include <math.h>
#include <string.h>

#include "anchorwise/explain.h"
#include "anchorwise/report.h"
#include "base/plane.h"
#include "live/answer.h"
#include "report/explain.h"
#include "report/figures.h"
#include "report/lengths.h"
#include "report/verdict.h"

typedef struct told {
    const aw_explanation *explanation;
    const aw_scenario *scenario;
} told;

static const aw_explanation *explanation_of(const aw_subject *s)
{
    return ((const told *)s->with)->explanation;
}

static const aw_scenario *scenario_of(const aw_subject *s)
{
    return ((const told *)s->with)->scenario;
}

static double degrees(double radians)
{
    return radians * 180 / M_PI;
}

/* --- sentences --- */

static void add_reach(const aw_explanation *e, const aw_scenario *s, aw_text *out)
{
    const size_t needed = (size_t)s->tags[e->tag].fix + 1;
    if (isnan(e->p95.value) && e->used < needed)
        aw_text_format(out, "No fix: %zu of %zu anchors reach this spot, %zu are needed.", e->used,
                       s->n_anchors, needed);
    else if (isnan(e->p95.value))
        aw_text_add(out, "No p95: too few of the draws give a fix.");
    else
        aw_text_format(out, "95 of 100 fixes here err by at most %s, half of them by at most %s.",
                       aw_error_words(e->p95.value, s->units).text,
                       aw_error_words(e->p50, s->units).text);
}

static void add_directions(const aw_explanation *e, const aw_scenario *s, aw_text *out)
{
    aw_text_format(out, "%zu of %zu anchors serve it", e->used, s->n_anchors);
    if (!isnan(e->gap))
        aw_text_format(out, "; %.0f° of the horizon are blind", degrees(e->gap));
    aw_text_add(out, ".");
}

AW_GETTER(get_sentence)
{
    const aw_explanation *e = explanation_of(s);
    char share[AW_FIGURE_ROOM];
    if (i == 0)
        add_reach(e, scenario_of(s), &v->room);
    else if (i == 1)
        add_directions(e, scenario_of(s), &v->room);
    else if (i == 2 && e->fix_share < 1)
        aw_text_format(&v->room, "%s of the draws give no fix.",
                       aw_figure_share(1 - e->fix_share, share));
    else
        return false;
    v->text = v->room.at;
    return true;
}

/* --- anchors that serve, and those that do not --- */

static const aw_sightline *line_of(const aw_subject *s)
{
    return s->of;
}

AW_GETTER(get_anchor)
{
    v->text = scenario_of(s)->anchors[s->i].name;
    return true;
}

AW_GETTER(get_anchor_at)
{
    v->numbers = scenario_of(s)->anchors[s->i].at;
    v->n = 3;
    return true;
}

AW_GETTER(get_bearing)
{
    v->number = degrees(i == 0 ? line_of(s)->bearing : line_of(s)->elevation);
    return true;
}

AW_GETTER(get_sight)
{
    aw_sightline_words(line_of(s), scenario_of(s)->units, &v->room);
    v->text = v->room.at;
    return true;
}

static const aw_member line_members[] = {
    AW_GOT("anchor", TEXT, get_anchor, "", "its name"),
    AW_GOT("at", NUMBERS, get_anchor_at, "m", "where it hangs"),
    AW_WHICH("bearing_deg", NUMBER, get_bearing, 0, "degrees", "clockwise from plan north"),
    AW_NUMBER("range_m", aw_sightline, link.range, "m", "straight"),
    AW_WHICH("up_deg", NUMBER, get_bearing, 1, "degrees", "over the horizon"),
    AW_GOT("sight", TEXT, get_sight, "", "what is in the way"),
};
static const aw_shape line_shape =
    AW_SHAPE("live_sightline", "An anchor that serves", line_members);

/* The i-th anchor that serves, as its place among all; their number if there is none. */
AW_GETTER(get_serving)
{
    const aw_explanation *e = explanation_of(s);
    for (size_t k = 0; k < scenario_of(s)->n_anchors; k++)
        if (e->lines[k].link.n_outcomes > 0 && i-- == 0) {
            v->object = (aw_subject){&e->lines[k], s->with, k, 0};
            return true;
        }
    return false;
}

/* What takes a link: the same text for all that are lost to the same. */
static const char *taker_of(const aw_sightline *l)
{
    return l->too_far ? "out of range" : l->blocker != NULL ? l->blocker : "too weak";
}

/* Whether anchor k is lost; `first`: and no anchor before it to the same. */
static bool is_lost(const aw_explanation *e, size_t k, bool first)
{
    if (e->lines[k].link.n_outcomes > 0)
        return false;
    for (size_t i = 0; first && i < k; i++)
        if (e->lines[i].link.n_outcomes == 0 &&
            strcmp(taker_of(&e->lines[i]), taker_of(&e->lines[k])) == 0)
            return false;
    return true;
}

/* The i-th anchor that is lost to the same as that of the group. */
static size_t lost_in_group(const aw_subject *s, size_t i)
{
    const aw_explanation *e = explanation_of(s);
    const size_t n = scenario_of(s)->n_anchors;
    for (size_t k = s->i; k < n; k++)
        if (is_lost(e, k, false) && strcmp(taker_of(&e->lines[k]), taker_of(line_of(s))) == 0 &&
            i-- == 0)
            return k;
    return n;
}

AW_GETTER(get_taker)
{
    v->text = taker_of(line_of(s));
    return true;
}

AW_GETTER(get_lost_anchor)
{
    const size_t k = lost_in_group(s, i);
    v->text = k < scenario_of(s)->n_anchors ? scenario_of(s)->anchors[k].name : NULL;
    return v->text != NULL;
}

AW_GETTER(get_lost_end)
{
    const size_t k = lost_in_group(s, i);
    v->numbers = k < scenario_of(s)->n_anchors ? scenario_of(s)->anchors[k].at : NULL;
    v->n = 2;
    return v->numbers != NULL;
}

static const aw_member lost_members[] = {
    AW_GOT("by", TEXT, get_taker, "", "what hides them"),
    AW_GOT("anchors", TEXTS, get_lost_anchor, "", "that are lost to it"),
    AW_GOT("ends", ROWS, get_lost_end, "m", "where these hang"),
};
static const aw_shape lost_shape = AW_SHAPE("live_lost", "Anchors lost to one thing", lost_members);

AW_GETTER(get_lost)
{
    const aw_explanation *e = explanation_of(s);
    for (size_t k = 0; k < scenario_of(s)->n_anchors; k++)
        if (is_lost(e, k, true) && i-- == 0) {
            v->object = (aw_subject){&e->lines[k], s->with, k, 0};
            return true;
        }
    return false;
}

/* --- remedies --- */

static const aw_remedy *remedy_of(const aw_subject *s)
{
    return s->of;
}

/* The zone that holds the spot, then and now: "bogie bay 0.73 to 0.68 m; need not met". */
static void add_zone(const aw_subject *s, const aw_remedy *r, aw_text *out)
{
    const aw_explanation *e = explanation_of(s);
    const aw_scenario *all = scenario_of(s);
    for (size_t z = 0; z < all->n_zones; z++) {
        const double was = e->zones[z].errors.p95, is = r->zones[z].errors.p95;
        if (!aw_polygon_holds(&all->zones[z].outline, e->spot[0], e->spot[1]))
            continue;
        aw_text_format(out, " %s %s to %s", all->zones[z].name,
                       aw_error_figure(was, all->units).text, aw_error_words(is, all->units).text);
        if (r->zones[z].verdict != AW_NO_NEED)
            aw_text_format(out, "; its need then %s", aw_verdict_phrase(r->zones[z].verdict));
        aw_text_add(out, ".");
    }
}

AW_GETTER(get_remedy_words)
{
    const aw_remedy *r = remedy_of(s);
    const aw_scenario *all = scenario_of(s);
    aw_remedy_words(r, all, &v->room);
    aw_text_format(&v->room, ": p95 here %s", aw_error_words(r->p95.value, all->units).text);
    if (!isnan(r->price))
        aw_text_format(&v->room, ", %+.0f %s", r->price, all->prices.currency);
    aw_text_add(&v->room, r->breaks  ? ". BREAKS a need that is met now."
                          : r->harms ? ". At the cost of a zone."
                                     : ".");
    add_zone(s, r, &v->room);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_op)
{
    v->text = remedy_of(s)->kind == AW_REMEDY_ADD ? "add" : "set";
    return true;
}

AW_GETTER(get_op_at)
{
    const aw_remedy *r = remedy_of(s);
    const bool adds = r->kind == AW_REMEDY_ADD;
    v->text = i == 0          ? "anchors"
              : adds || i > 2 ? NULL
              : i == 1        ? scenario_of(s)->anchors[r->anchor].name
                              : "at";
    return v->text != NULL;
}

AW_GETTER(get_op_place)
{
    v->numbers = remedy_of(s)->at;
    v->n = 3;
    return remedy_of(s)->kind != AW_REMEDY_ADD;
}

/* "A7": the first that no anchor has. */
AW_GETTER(get_new_name)
{
    const aw_scenario *all = scenario_of(s);
    for (size_t k = 1; k <= all->n_anchors + 1; k++) {
        bool taken = false;
        v->room.n = 0;
        aw_text_format(&v->room, "A%zu", k);
        for (size_t a = 0; !v->room.failed && a < all->n_anchors; a++)
            taken = taken || strcmp(all->anchors[a].name, v->room.at) == 0;
        if (!taken)
            break;
    }
    v->text = v->room.at;
    return true;
}

static const aw_member new_members[] = {
    AW_GOT("name", TEXT, get_new_name, "", "that is free"),
    AW_NUMBERS("at", aw_remedy, at, 3, "m", "where it hangs"),
};
static const aw_shape new_shape = AW_SHAPE("live_new", "One more anchor", new_members);

AW_GETTER(get_op_new)
{
    v->object = *s;
    return remedy_of(s)->kind == AW_REMEDY_ADD;
}

static const aw_member op_members[] = {
    AW_GOT("op", TEXT, get_op, "", "add or set"),
    AW_GOT("at", TEXTS, get_op_at, "", "what is changed"),
    AW_MAY("value", NUMBERS, get_op_place, 0, NULL, "where the anchor hangs then"),
    AW_MAY("value", OBJECT, get_op_new, 0, &new_shape, "the anchor that is new"),
};
static const aw_shape op_shape = AW_SHAPE("live_op", "An operation", op_members);

AW_GETTER(get_do)
{
    v->object = *s;
    return i == 0;
}

static const aw_member remedy_members[] = {
    AW_GOT("words", TEXT, get_remedy_words, "", "what it is, and what it brings"),
    AW_LIST("do", get_do, &op_shape, "the operations of it"),
};
static const aw_shape remedy_shape = AW_SHAPE("live_remedy", "What would help", remedy_members);

AW_GETTER(get_remedy)
{
    if (i >= explanation_of(s)->n_remedies)
        return false;
    v->object = (aw_subject){&explanation_of(s)->remedies[i], s->with, i, 0};
    return true;
}

/* --- the spot --- */

AW_GETTER(get_tag)
{
    v->text = scenario_of(s)->tags[explanation_of(s)->tag].name;
    return true;
}

AW_GETTER(get_figure)
{
    v->number = i == 0 ? explanation_of(s)->p95.value : explanation_of(s)->p50;
    return isfinite(v->number);
}

AW_GETTER(get_gap)
{
    v->number = degrees(explanation_of(s)->gap);
    return isfinite(v->number);
}

AW_GETTER(get_azimuth)
{
    v->number = degrees(explanation_of(s)->spread.azimuth);
    return true;
}

static const aw_member ellipse_members[] = {
    AW_NUMBER("along_m", aw_explanation, along, "m", "95 of 100 fixes err by less along it"),
    AW_NUMBER("across_m", aw_explanation, across, "m", "and by less across it"),
    AW_GOT("azimuth_deg", NUMBER, get_azimuth, "degrees", "of its long axis, from +x towards +y"),
};
static const aw_shape ellipse_shape =
    AW_SHAPE("live_ellipse", "Which way the error lies", ellipse_members);

AW_GETTER(get_ellipse)
{
    v->object = (aw_subject){explanation_of(s), s->with, 0, 0};
    return isfinite(explanation_of(s)->along);
}

static const aw_member members[] = {
    AW_NUMBERS("at", aw_explanation, spot, 3, "m", "the spot, at the tag's height"),
    AW_GOT("tag", TEXT, get_tag, "", "that is asked for"),
    AW_GOT("words", TEXTS, get_sentence, "", "what there is to say"),
    AW_MAY("p95_m", NUMBER, get_figure, 0, NULL, "here"),
    AW_MAY("p50_m", NUMBER, get_figure, 1, NULL, "here"),
    AW_LIST("serving", get_serving, &line_shape, "anchors that serve it"),
    AW_LIST("lost", get_lost, &lost_shape, "those that do not, by what hides them"),
    AW_MAY("gap_deg", NUMBER, get_gap, 0, NULL, "widest fan of bearings without an anchor"),
    AW_MAY("ellipse", OBJECT, get_ellipse, 0, &ellipse_shape, "of the error"),
    AW_LIST("remedies", get_remedy, &remedy_shape, "the best first"),
};
static const aw_shape spot_shape = AW_SHAPE("live_spot", "Why a spot is as it is", members);

void aw_spot_json(const aw_explanation *explanation, const aw_scenario *scenario, aw_text *out)
{
    const told all = {explanation, scenario};
    aw_document_json(&spot_shape, &(aw_subject){.of = explanation, .with = &all}, out);
}
