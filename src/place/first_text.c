/* The words of a first scenario. Lengths of the hall stand as they were given, the others to 0.01
 * of its units. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "place/first_layout.h"

/* Where a moving tag was measured in a clear space: neither the best figures nor the worst. */
#define START "not measured"

/* m */
#define TAG_HEIGHT   1.2
#define HEIGHT_SIGMA 0.1
#define SURVEY_SIGMA 0.02
#define DELAY_SIGMA  0.03
/* Of the example of an obstacle: lower than the tags, so that it hides nothing. */
#define CHEST_LENGTH 1.2
#define CHEST_DEPTH  0.6
#define CHEST_TOP    1.0

typedef struct writer {
    aw_text *out;
    const aw_hall *hall;
    const aw_first_layout *layout;
} writer;

static const aw_start *find_start(void)
{
    for (size_t i = 0; i < aw_starts_n; i++)
        if (strcmp(aw_starts[i].name, START) == 0)
            return &aw_starts[i];
    assert(false && "the starting point of a first scenario is in the table");
    return NULL;
}

/* With all terms, m. */
static double arrival_error(void)
{
    const aw_start *s = find_start();
    return sqrt(pow(s->sigma, 2) + (1 - s->tail_share) * pow(s->spot_sigma, 2) +
                s->tail_share * pow(s->tail_sigma, 2) + pow(s->delay_sigma, 2));
}

static void add(const writer *w, const char *piece)
{
    aw_text_add(w->out, piece);
}

static void add_number(const writer *w, const char *before, double value)
{
    add(w, before);
    aw_text_number(w->out, value);
}

static double in_units(const writer *w, double metres)
{
    const double length = metres / aw_unit_metres(w->hall->units);
    const double parts = length < 1 ? 1000 : 100;
    return round(length * parts) / parts;
}

static void add_length(const writer *w, const char *before, double metres)
{
    add_number(w, before, in_units(w, metres));
}

/* With its unit, for comments. */
static void add_words(const writer *w, const char *before, double metres)
{
    add_length(w, before, metres);
    aw_text_format(w->out, " %s", aw_unit_name(w->hall->units));
}

/* Corners of a rectangle, numbers as they are. */
static void add_rectangle(const writer *w, double x0, double y0, double x1, double y1)
{
    const double corners[4][2] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    for (int i = 0; i < 4; i++) {
        add_number(w, i == 0 ? "[[" : ", [", corners[i][0]);
        add_number(w, ", ", corners[i][1]);
        add(w, "]");
    }
    add(w, "]");
}

static void add_head(const writer *w)
{
    add(w,
        "# A first scenario, made from the dimensions of a hall alone. It can be assessed as it "
        "is:\n"
        "#\n"
        "#     anchorwise assess FILE\n"
        "#\n"
        "# The layout is a first guess and no promise. Put in what stands in the hall, assess it, "
        "and\n"
        "# improve it with 'anchorwise place', which takes the 'candidates' named at the end. "
        "Every\n"
        "# key is explained by 'anchorwise help scenario'.\n");
}

/* By estimate no layout reaches the need. */
static void add_unreached(const writer *w, aw_first_best best)
{
    add_number(w, "#\n# NEED NOT REACHED: p95 ", w->hall->need);
    aw_text_format(w->out,
                   " %s is more than such layouts reach by the errors of\n"
                   "# '%s', by which one arrival errs by",
                   aw_unit_name(w->hall->units), START);
    add_words(w, " ", arrival_error());
    aw_text_format(w->out, " (1 sigma). The best one tried, of %zu anchors,\n# is", best.anchors);
    add_words(w, " estimated at p95 ", best.p95);
    add(w, "; below is a plain one. Ask for less, or measure\n"
           "# what the equipment reaches: 'anchorwise help starts' tells what others did.\n");
}

/* The best one is the one that is written. */
static void add_shortfall(const writer *w, aw_first_best best)
{
    if (best.anchors == 0)
        return;
    if (best.p95 > w->hall->need * aw_unit_metres(w->hall->units)) {
        add_unreached(w, best);
        return;
    }
    add_words(w, "#\n# ON THE EDGE: the layout below is estimated at p95 ", best.p95);
    add_number(w, ", too near to ", w->hall->need);
    aw_text_format(w->out, " %s to be sure,\n# and none of those tried is better.\n",
                   aw_unit_name(w->hall->units));
}

static void add_floor(const writer *w)
{
    const aw_hall *h = w->hall;
    add_number(w, "anchorwise: 1\ntitle: Hall of ", h->length);
    add_number(w, " x ", h->width);
    aw_text_format(w->out, " %s\nunits: %s", aw_unit_name(h->units), aw_unit_name(h->units));
    add(w, "   # of every length below\n\nfloor:\n  outline: ");
    add_rectangle(w, 0, 0, h->length, h->width);
    add_number(w, "   # corners [x, y], of any shape\n  ceiling: ", h->height);
    add(w, "   # or the height of what hangs lowest under it\n");
}

static void add_obstacles(const writer *w)
{
    const aw_first_layout *l = w->layout;
    const double half = fmin(CHEST_LENGTH, l->length / 4) / 2;
    const double depth = fmin(CHEST_DEPTH, l->width / 5);
    add(w, "\n# What stands in the hall decides most: machines, racks, vehicles, each with its top "
           "and "
           "material\n"
           "# (metal, concrete, brick, wood, glass ...). This one is lower than the tags and hides "
           "nothing:\n"
           "# put the real ones in its place. What does not reach the floor has a 'base' too.\n"
           "obstacles:\n  - {name: tool chest, footprint: ");
    add_rectangle(w, in_units(w, l->length / 2 - half), 0, in_units(w, l->length / 2 + half),
                  in_units(w, depth));
    add_length(w, ", top: ", CHEST_TOP);
    add(w, ", material: metal}\n");
}

static void add_anchors(const writer *w)
{
    const aw_first_layout *l = w->layout;
    aw_text_format(w->out, "\n# %zu along the walls, from the corner at [0, 0]",
                   l->n - l->n_inside);
    if (l->n_inside > 0)
        aw_text_format(w->out, "; then %zu inside, on columns or hung from the roof", l->n_inside);
    add(w, ".\n# Each is [x, y, height]; keep them clear of ducts, cranes and doors.\nanchors:\n");
    for (size_t i = 0; i < l->n; i++) {
        aw_text_format(w->out, "  - {name: A%zu, at: ", i + 1);
        for (int k = 0; k < 3; k++)
            add_length(w, k == 0 ? "[" : ", ", l->at[i][k]);
        add(w, "]}\n");
    }
}

static void add_tags(const writer *w)
{
    add(w, "\n# One kind of tag, on the papers that go with a work order on its trolley. "
           "height_sigma: how far\n# the true height is from the one stated (1 sigma).\n"
           "tags:\n  - {name: work order tag, ");
    add_length(w, "height: ", TAG_HEIGHT);
    add_length(w, ", height_sigma: ", HEIGHT_SIGMA);
    add(w, "}\n");
}

static void add_ranging(const writer *w)
{
    const aw_start *s = find_start();
    aw_text_format(w->out, "\n# The error of an arrival. '%s' is the start for bids; measured:\n",
                   s->name);
    aw_text_format(w->out, "# %s\n# (%s).\n", s->measured, s->source);
    add(w, "# 'anchorwise help starts' has others; where you measure, write `measured`.\n"
           "# The three below are assumptions: have the supplier and the surveyor confirm them.\n"
           "ranging:\n");
    aw_text_format(w->out, "  start: %s", s->name);
    add_length(w, "\n  range: ", AW_FIRST_REACH);
    add_length(w, "   # longest usable distance\n  survey_sigma: ", SURVEY_SIGMA);
    add_length(w, "   # of an anchor's surveyed place, each axis\n  delay_sigma: ", DELAY_SIGMA);
    add(w, "   # of its cable and antenna delay\n");
}

static void add_zones(const writer *w)
{
    const aw_hall *h = w->hall;
    const aw_first_layout *l = w->layout;
    const bool asked = !isnan(h->need);
    if (asked)
        add(w,
            "\n# What is asked for where: 95 of 100 fixes err by at most p95. Give each area that "
            "needs\n# something else a zone of its own.\n");
    else
        aw_text_format(
            w->out,
            "\n# Where accuracy is asked for. No need is stated yet: behind the outline "
            "goes\n# 'need: {p95: %s}' for 95 of 100 fixes within that. Each area can be "
            "a zone.\n",
            h->units == AW_FEET ? "2" : "0.5");
    add(w, "zones:\n  - {name: work area, outline: ");
    add_rectangle(w, in_units(w, l->margin), in_units(w, l->margin),
                  in_units(w, l->length - l->margin), in_units(w, l->width - l->margin));
    if (asked)
        add_number(w, ", need: {p95: ", h->need);
    add(w, asked ? "}}\n" : "}\n");
}

static void add_study(const writer *w)
{
    add_length(w,
               "\n# The floor is worked out in cells of this side, each by so many draws.\n"
               "study: {step: ",
               w->layout->step);
    add(w,
        ", draws: 1000, seed: 1}\n\n"
        "# What else a scenario can say, each under its own key:\n"
        "#   walls       partitions inside the hall\n"
        "#   levels      pits and mezzanines\n"
        "#   materials   what is not built in, by its loss\n"
        "#   candidates  where anchors could hang, for 'anchorwise place FILE --out placed.yaml'\n"
        "#   prices      of anchors, cable, mounts and lifts, so that 'place' looks for the "
        "cheapest\n"
        "#   radio       power, receiver and surroundings, in place of range and fixed losses\n");
}

void aw_first_text_add(aw_text *out, const aw_hall *hall, const aw_first_layout *layout,
                       aw_first_best best)
{
    const writer own = {out, hall, layout}, *w = &own;
    add_head(w);
    add_shortfall(w, best);
    add_floor(w);
    add_obstacles(w);
    add_anchors(w);
    add_tags(w);
    add_ranging(w);
    add_zones(w);
    add_study(w);
}
