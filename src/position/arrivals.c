/* The random numbers of a block, by name, and what they add to the arrivals of each link. */
#include "position/arrivals.h"

#include <math.h>
#include <string.h>

/* Added to a term's number for each name of fresh draws. */
#define FRESH 16u

enum { NOISE, COIN, SURVEY_X, SURVEY_Y, SURVEY_Z, DELAY, HEIGHT, SIDE, FADE, SCATTER, SUBSETS };

static aw_stream stream_of(const aw_trials_case *c, uint32_t anchor, uint32_t term)
{
    return (aw_stream){c->seed, c->cell, anchor, term + FRESH * c->fresh};
}

static void set_fades(aw_lane_errors *e, const aw_link *link)
{
    e->fade_sigma = (float)link->fade_sigma;
    e->lost_db = (float)link->lost_db;
    e->n_outcomes = (int)link->n_outcomes;
    for (size_t k = 0; k < link->n_outcomes; k++) {
        e->fade_from[k] = (float)link->outcomes[k].fade_db;
        e->excess[k] = (float)link->outcomes[k].excess;
    }
    e->scattered_db = (float)link->scattered_db;
    e->scattered_least = (float)link->scattered_least;
}

/* A word is a share: its first bits choose two points of the table, the rest where between them. */
static void draw_scattered(aw_trials *t, const aw_trials_case *c, const aw_link *link,
                           uint32_t first, size_t lanes)
{
    enum { REST = 32 - 12 };
    _Static_assert(AW_SCATTER_STEPS == 1 << 12, "steps by the first bits of a word");
    const aw_stream s = stream_of(c, link->key, SCATTER);
    t->kernel->words(&s, first, lanes, t->word);
    for (size_t l = 0; l < lanes; l++) {
        const float *low = t->scatter_table + (t->word[l] >> REST);
        const float part = (float)(t->word[l] & ((1u << REST) - 1)) * (1.0f / (1u << REST));
        t->scattered[l] = low[0] + (low[1] - low[0]) * part;
    }
}

/* Draws the error terms of one link and sums them into its row of late[]. */
static void draw_link(aw_trials *t, const aw_trials_case *c, size_t k, uint32_t first, size_t lanes)
{
    const aw_link *link = t->link[k];
    const double spot2 = link->white * link->white + link->spot * link->spot;
    const double tail2 = link->white * link->white + link->tail * link->tail;
    aw_lane_errors e = {.bias = (float)aw_link_bias(link),
                        .sigma = (float)sqrt(spot2),
                        .tail_sigma = (float)sqrt(tail2),
                        .survey = (float)link->survey,
                        .delay = (float)link->delay,
                        .rise = t->az[k],
                        .noise = t->noise,
                        .along2 = t->ax[k] * t->ax[k] + t->ay[k] * t->ay[k]};
    aw_stream s = stream_of(c, link->key, NOISE);
    t->kernel->normals(&s, first, lanes, t->noise);
    if (link->tail_share >= 1)
        e.sigma = e.tail_sigma;
    else if (link->tail_share > 0) {
        s = stream_of(c, link->key, COIN);
        t->kernel->words(&s, first, lanes, t->coin);
        e.coin = t->coin;
        e.tail_below = (uint32_t)(link->tail_share * 0x1p32);
    }
    if (link->survey > 0) {
        const float **axes[3] = {&e.survey_x, &e.survey_y, &e.survey_z};
        for (uint32_t k3 = 0; k3 < 3; k3++)
            *axes[k3] = aw_installation_draws_normals(t->lasting, link->key, SURVEY_X + k3, first,
                                                      lanes, t->survey[k3]);
    }
    for (int axis = 0; axis < 3; axis++)
        e.u[axis] = (float)link->u[axis];
    if (link->delay > 0)
        e.late =
            aw_installation_draws_normals(t->lasting, link->key, DELAY, first, lanes, t->delay);
    if (link->fade_sigma > 0 || link->scatters) {
        s = stream_of(c, link->key, FADE);
        t->kernel->normals(&s, first, lanes, t->fade);
        set_fades(&e, link);
        e.fade = t->fade;
    }
    if (link->scatters) {
        draw_scattered(t, c, link, first, lanes);
        e.scattered = t->scattered;
    }
    for (int axis = 0; axis < 2 && t->follows; axis++) {
        e.gain[axis] = t->gain[axis][k];
        e.linear[axis] = t->along[axis];
    }
    e.height = c->bound->dims == 2 && c->height_sigma > 0 ? t->height : NULL;
    t->kernel->arrive(&e, lanes, t->late + k * AW_BLOCK, t->fades ? t->heard + k * AW_BLOCK : NULL);
}

void aw_arrivals_draw(aw_trials *t, const aw_trials_case *c, uint32_t first, size_t lanes)
{
    const aw_stream s = stream_of(c, 0, HEIGHT);
    if (c->bound->dims == 2 && c->height_sigma > 0) {
        t->kernel->normals(&s, first, lanes, t->height);
        for (size_t l = 0; l < lanes; l++)
            t->height[l] *= (float)c->height_sigma;
    }
    t->first = first;
    t->sides_drawn = 0;
    for (int axis = 0; axis < 2 && t->follows; axis++)
        memset(t->along[axis], 0, lanes * sizeof(float));
    for (size_t k = 0; k < t->n_links; k++)
        draw_link(t, c, k, first, lanes);
}

unsigned aw_arrivals_side(aw_trials *t, const aw_trials_case *c, uint32_t draw)
{
    const uint32_t lane = draw - t->first, chunk = lane / AW_CHUNK;
    if ((t->sides_drawn >> chunk & 1) == 0) {
        const aw_stream s = stream_of(c, 0, SIDE);
        t->kernel->words(&s, t->first + chunk * AW_CHUNK, AW_CHUNK, t->side + chunk * AW_CHUNK);
        t->sides_drawn |= 1u << chunk;
    }
    return t->side[lane] >> 31;
}

aw_draw_name aw_arrivals_name(const aw_trials_case *c, uint32_t draw)
{
    return (aw_draw_name){c->seed, c->cell, draw, SUBSETS + FRESH * c->fresh};
}
