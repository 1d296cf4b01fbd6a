/* Few layouts, and keys that are compared one by one: both lists are short beside what a layout
 * takes to be looked at. */
#include "place/pool.h"

#include <stdlib.h>
#include <string.h>

#include "place/fitness.h"

uint64_t aw_mix(uint64_t z)
{
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

uint64_t aw_candidate_key(size_t candidate)
{
    return candidate == AW_NO_CANDIDATE ? 0 : aw_mix((candidate + 1) * 0x9E3779B97F4A7C15u);
}

uint64_t aw_layout_key(const size_t layout[], size_t n)
{
    uint64_t key = 0;
    for (size_t i = 0; i < n; i++)
        key ^= aw_candidate_key(layout[i]);
    return key;
}

bool aw_pool_create(aw_pool *p, size_t room)
{
    bool done = true;
    *p = (aw_pool){.n = 0};
    for (size_t i = 0; done && i < AW_POOL; i++)
        done = (p->list[i].at = calloc(room + 1, sizeof(size_t))) != NULL;
    return done;
}

void aw_pool_free(aw_pool *p)
{
    for (size_t i = 0; i < AW_POOL; i++)
        free(p->list[i].at);
    free(p->refused);
    *p = (aw_pool){.n = 0};
}

void aw_pool_add(aw_pool *p, const aw_chosen *layout, size_t out, size_t in, double price,
                 uint64_t key)
{
    size_t at = p->n;
    for (size_t i = 0; i < p->n; i++)
        if (p->keys[i] == key)
            return;
    while (at > 0 && p->list[at - 1].price > price)
        at--;
    if (at == AW_POOL)
        return;
    p->n += p->n < AW_POOL;
    const aw_chosen last = p->list[p->n - 1];
    memmove(&p->list[at + 1], &p->list[at], (p->n - 1 - at) * sizeof *p->list);
    memmove(&p->keys[at + 1], &p->keys[at], (p->n - 1 - at) * sizeof *p->keys);
    aw_chosen *kept = &p->list[at];
    *kept = (aw_chosen){.at = last.at, .price = price};
    for (size_t i = 0; i < layout->n; i++)
        if (layout->at[i] != out)
            kept->at[kept->n++] = layout->at[i];
    if (in != AW_NO_CANDIDATE)
        kept->at[kept->n++] = in;
    p->keys[at] = key;
}

bool aw_pool_refuse(aw_pool *p, uint64_t key)
{
    if (p->n_refused == p->room_refused) {
        uint64_t *more = realloc(p->refused, (2 * p->room_refused + 64) * sizeof *more);
        if (more == NULL)
            return false;
        p->refused = more;
        p->room_refused = 2 * p->room_refused + 64;
    }
    p->refused[p->n_refused++] = key;
    return true;
}

bool aw_pool_refuses(const aw_pool *p, uint64_t key)
{
    for (size_t i = 0; i < p->n_refused; i++)
        if (p->refused[i] == key)
            return true;
    return false;
}
