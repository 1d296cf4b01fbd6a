/* The links of one spot, for programs. */
#include "report/links.h"

#include <math.h>

#include "anchorwise.h"
#include "report/standing.h"
#include "report/told.h"

#define DEGREE (M_PI / 180)

typedef aw_told_links told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

static const aw_link_trace *trace_of(const aw_subject *s)
{
    return s->of;
}

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

/* --- a path --- */

AW_GETTER(get_kind)
{
    v->text = aw_path_kind_name(((const aw_path *)s->of)->kind);
    return true;
}

AW_GETTER(get_meets)
{
    const aw_path *p = s->of;
    v->text = p->n_meets > 0 ? p->meets : NULL;
    return true;
}

static const char *const path_kinds[] = {"direct", "through", "over",      "around", "mirrored",
                                         "under",  "mixed",   "scattered", NULL};
static const aw_member path_members[] = {
    AW_WORD("kind", get_kind, path_kinds, "how it goes"),
    AW_GOT("meets", TEXT, get_meets, "", "what it meets that costs most; null: nothing"),
    AW_COUNT("met", aw_path, n_meets, "", "bodies and faces that it meets"),
    AW_NUMBER("loss_db", aw_path, loss_db, "dB", "beyond free space at its own length"),
    AW_NUMBER("excess_m", aw_path, excess, "m", "beyond the straight range"),
    AW_NUMBER("power_dbm", aw_path, power_dbm, "dBm", "median at the receiver"),
    AW_NUMBER("found_share", aw_path, found, "share", "how often the receiver finds it"),
    AW_NUMBER("first_share", aw_path, first, "share", "how often it is the one timed"),
};
static const aw_shape path_shape = AW_SHAPE("path", "A path of a link", path_members);

/* --- a link --- */

AW_GETTER(get_state)
{
    v->text = aw_link_state_word(&trace_of(s)->link);
    return true;
}

AW_GETTER(get_elevation)
{
    v->number = trace_of(s)->elevation / DEGREE;
    return true;
}

static const char *const hindrances[] = {"into the ground",
                                         "out of range",
                                         "more loss than the budget",
                                         "no path found",
                                         "below the noise",
                                         "below the sensitivity",
                                         NULL};

AW_GETTER(get_hindrance)
{
    const aw_hindrance h = trace_of(s)->hindrance;
    v->text = h == AW_HINDRANCE_NONE ? NULL : aw_hindrance_name(h);
    return true;
}

AW_GETTER(get_weight)
{
    const told *t = told_of(s);
    v->number = aw_trace_weight(t->traces, t->run.scenario->n_anchors, s->i);
    return true;
}

AW_GETTER(get_extrapolated)
{
    v->truth = isnan(trace_of(s)->law_db) ? -1 : trace_of(s)->law_extrapolated;
    return true;
}

AW_GETTER(get_path)
{
    if (i >= trace_of(s)->n_paths)
        return false;
    v->object = (aw_subject){&trace_of(s)->paths[i], s->with, s->i, i};
    return true;
}

static const aw_member link_members[] = {
    AW_GOT("name", TEXT, aw_get_anchor_name, "", "the anchor"),
    AW_GOT("at_m", NUMBERS, aw_get_anchor_at, "m", "x, y, height"),
    AW_WORD("link", get_state, aw_link_state_words, "state of the link"),
    AW_NUMBER("range_m", aw_link_trace, link.range, "m", "straight distance"),
    AW_GOT("elevation_deg", NUMBER, get_elevation, "degrees", "of the anchor over the tag"),
    AW_NUMBER("received_share", aw_link_trace, received, "share", "frames received and timed"),
    AW_WORD("why_lost", get_hindrance, hindrances,
            "what keeps half of its frames or more from being received"),
    AW_NUMBER("bias_m", aw_link_trace, bias, "m", "mean excess of what is timed"),
    AW_NUMBER("white_m", aw_link_trace, link.white, "m", "1 sigma that every fix draws anew"),
    AW_NUMBER("spot_m", aw_link_trace, link.spot, "m", "1 sigma of the reflections of a spot"),
    AW_NUMBER("tail_share", aw_link_trace, link.tail_share, "share",
              "spots with tail_m in place of spot_m"),
    AW_NUMBER("tail_m", aw_link_trace, link.tail, "m", "1 sigma there"),
    AW_NUMBER("survey_m", aw_link_trace, link.survey, "m", "1 sigma of the survey, each axis"),
    AW_NUMBER("delay_m", aw_link_trace, link.delay, "m", "1 sigma of cable and antenna"),
    AW_NUMBER("believed_m", aw_link_trace, link.believed, "m", "1 sigma that the solver assumes"),
    AW_GOT("weight_share", NUMBER, get_weight, "share", "of the solver's weight"),
    AW_NUMBER("snr_db", aw_link_trace, snr_db, "dB", "of the path timed at the median"),
    AW_NUMBER("path_loss_db", aw_link_trace, path_loss_db, "dB", "of all paths together"),
    AW_NUMBER("law_db", aw_link_trace, law_db, "dB", "by the environment's published law"),
    AW_GOT("law_extrapolated", TRUTH, get_extrapolated, "",
           "whether the range lies outside that law's"),
    AW_LIST("paths", get_path, &path_shape, "its paths, the shortest first"),
};
static const aw_shape link_shape = AW_SHAPE("link", "The link of an anchor", link_members);

/* --- the document --- */

AW_GETTER(get_spot)
{
    v->numbers = told_of(s)->spot;
    v->n = 3;
    return true;
}

AW_GETTER(get_taken)
{
    aw_get_spot_taken(told_of(s)->run.scenario, told_of(s)->spot, v);
    return true;
}

AW_GETTER(get_level)
{
    v->text = aw_spot_level_name(told_of(s)->run.scenario, told_of(s)->spot);
    return true;
}

AW_GETTER(get_link)
{
    const told *t = s->of;
    if (i >= t->run.scenario->n_anchors)
        return false;
    v->object = (aw_subject){&t->traces[i], t, i, 0};
    return true;
}

static const aw_member members[] = {
    AW_RUN_HEAD,
    AW_GOT("spot_m", NUMBERS, get_spot, "m", "x, y, height of the tag"),
    AW_GOT("taken_by", TEXT, get_taken, "", "what already fills the spot; null: nothing"),
    AW_GOT("on_level", TEXT, get_level, "", "the level that the tag stands on"),
    AW_LIST("links", get_link, &link_shape, "every anchor's"),
    AW_RUN_END,
};
const aw_shape aw_links_shape = AW_SHAPE("links", "The links of one spot", members);

void aw_traces_json(const aw_link_trace traces[], const aw_scenario *s, const char *file,
                    const double spot[3], aw_text *out)
{
    const told t = {{s, file}, traces, spot};
    aw_document_json(&aw_links_shape, &AW_DOCUMENT(t), out);
}
