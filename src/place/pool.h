/* Layouts that a search remembers: those that meet every need, and those that draws refused. */
#ifndef AW_PLACE_POOL_H
#define AW_PLACE_POOL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A layout of candidates, kept ones first. */
typedef struct aw_chosen {
    size_t *at, n;
    double price;     /* of its anchors; their number without prices */
    double shortfall; /* 0: every need is met */
} aw_chosen;

/* Layouts that meet every need by linear estimates, the cheapest first. */
#define AW_POOL 64
typedef struct aw_pool {
    aw_chosen list[AW_POOL];
    uint64_t keys[AW_POOL];
    size_t n;
    uint64_t *refused; /* keys of layouts that draws refused */
    size_t n_refused, room_refused;
} aw_pool;

/* Room for layouts of so many anchors. False without memory; aw_pool_free() it either way. */
bool aw_pool_create(aw_pool *pool, size_t room);
void aw_pool_free(aw_pool *pool);

/* Keeps a layout with one candidate out and one in, if it is cheap enough. */
void aw_pool_add(aw_pool *pool, const aw_chosen *layout, size_t out, size_t in, double price,
                 uint64_t key);

bool aw_pool_refuse(aw_pool *pool, uint64_t key);
bool aw_pool_refuses(const aw_pool *pool, uint64_t key);

/* Names a layout whatever the order of its candidates; those of single candidates are joined by
 * exclusive or. 0 for AW_NO_CANDIDATE. */
uint64_t aw_candidate_key(size_t candidate);
uint64_t aw_layout_key(const size_t layout[], size_t n);

/* The mixing of splitmix64 (Steele, Lea, Flood 2014). */
uint64_t aw_mix(uint64_t z);

#endif
