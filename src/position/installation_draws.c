/* A short list of kept streams, looked up by anchor and term in the order in which they first came:
 * the order in which every later cell asks for them too. */
#include "position/installation_draws.h"

#include <stdlib.h>

#define NO_CELL 0xFFFFFFFFu

typedef struct kept {
    uint32_t anchor, term;
    float *normals; /* NULL: did not fit */
} kept;

struct aw_installation_draws {
    const aw_kernel *kernel;
    aw_lasting_draws of;
    kept *list;
    size_t n_list, room, last; /* last: where the latest look-up ended */
    size_t bytes;
    float spare[AW_BLOCK + AW_CHUNK];
};

aw_installation_draws *aw_installation_draws_create(const aw_kernel *kernel)
{
    aw_installation_draws *l = calloc(1, sizeof *l);
    if (l != NULL)
        l->kernel = kernel;
    return l;
}

static void drop(aw_installation_draws *l)
{
    for (size_t i = 0; i < l->n_list; i++)
        free(l->list[i].normals);
    l->n_list = l->last = 0;
    l->bytes = 0;
}

void aw_installation_draws_free(aw_installation_draws *lasting)
{
    if (lasting == NULL)
        return;
    drop(lasting);
    free(lasting->list);
    free(lasting);
}

void aw_installation_draws_begin(aw_installation_draws *l, const aw_lasting_draws *of)
{
    const aw_lasting_draws *was = &l->of;
    if (was->seed == of->seed && was->first == of->first && was->n == of->n &&
        was->share == of->share && was->list == of->list && was->list_name == of->list_name)
        return;
    drop(l);
    l->of = *of;
}

static uint32_t installation_of(const aw_lasting_draws *of, uint32_t draw)
{
    const uint32_t group = draw / of->share;
    return of->list != NULL ? of->list[group] : group;
}

/* At most AW_BLOCK draws belong to installations as near each other, and to fewer chunks more. */
static void make(aw_installation_draws *l, uint32_t anchor, uint32_t term, uint32_t from,
                 size_t lanes, float out[])
{
    const aw_lasting_draws *of = &l->of;
    const aw_stream s = {of->seed, NO_CELL, anchor, term};
    if (of->share == 1 && of->list == NULL) {
        l->kernel->normals(&s, from, lanes, out);
        return;
    }
    const uint32_t begin = installation_of(of, from) / AW_CHUNK * AW_CHUNK;
    const uint32_t last = installation_of(of, from + (uint32_t)lanes - 1);
    l->kernel->normals(&s, begin, (last - begin) / AW_CHUNK * AW_CHUNK + AW_CHUNK, l->spare);
    for (size_t i = 0; i < lanes;) { /* one installation's draws at a time */
        const uint32_t draw = from + (uint32_t)i, m = installation_of(of, draw);
        const size_t left = (size_t)(draw / of->share + 1) * of->share - from;
        for (const size_t end = left < lanes ? left : lanes; i < end; i++)
            out[i] = l->spare[m - begin];
    }
}

static kept *find(aw_installation_draws *l, uint32_t anchor, uint32_t term)
{
    for (size_t i = 0; i < l->n_list; i++) {
        const size_t at = (l->last + i) % l->n_list;
        if (l->list[at].anchor == anchor && l->list[at].term == term) {
            l->last = at;
            return &l->list[at];
        }
    }
    return NULL;
}

/* Keeps a new stream, if it fits; NULL without memory for the list itself. */
static kept *keep(aw_installation_draws *l, uint32_t anchor, uint32_t term)
{
    if (l->n_list == l->room) {
        const size_t room = l->room ? 2 * l->room : 64;
        kept *list = realloc(l->list, room * sizeof *list);
        if (list == NULL)
            return NULL;
        l->list = list;
        l->room = room;
    }
    kept *k = &l->list[l->n_list++];
    *k = (kept){anchor, term, NULL};
    const size_t n = l->of.n, bytes = n * sizeof *k->normals;
    if (l->bytes + bytes <= AW_LASTING_MOST)
        k->normals = aligned_alloc(64, (bytes + 63) / 64 * 64);
    if (k->normals == NULL)
        return k;
    l->bytes += bytes;
    for (size_t i = 0; i < n; i += AW_BLOCK)
        make(l, anchor, term, l->of.first + (uint32_t)i, n - i < AW_BLOCK ? n - i : AW_BLOCK,
             k->normals + i);
    return k;
}

const float *aw_installation_draws_normals(aw_installation_draws *l, uint32_t anchor, uint32_t term,
                                           uint32_t from, size_t lanes, float scratch[])
{
    kept *k = find(l, anchor, term);
    if (k == NULL)
        k = keep(l, anchor, term);
    if (k != NULL && k->normals != NULL)
        return k->normals + (from - l->of.first);
    make(l, anchor, term, from, lanes, scratch);
    return scratch;
}
