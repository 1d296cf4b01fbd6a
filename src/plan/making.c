#include "plan/making.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistr.h>

#include "base/plane.h"
#include "plan/grow.h"

#define CLOSED_WITHIN 0.005
#define MOST_NAME     60
#define MOST_NUMBERED 50

const aw_point *aw_making_points(aw_making *m, const aw_piece *piece)
{
    aw_point *at = aw_arena_take_array(m->made->memory, piece->n, sizeof *at);
    for (size_t i = 0; at != NULL && i < piece->n; i++)
        at[i] = aw_frame_site(&m->made->frame, m->plan->at[piece->first + i]);
    return at;
}

bool aw_making_is_closed(const aw_piece *piece, const aw_point at[], size_t *n)
{
    *n = piece->n;
    if (piece->kind == AW_PIECE_RING || piece->kind == AW_PIECE_AREA)
        return true;
    if (piece->kind != AW_PIECE_LINE || piece->n < 4 ||
        aw_length(at[0].x - at[piece->n - 1].x, at[0].y - at[piece->n - 1].y) > CLOSED_WITHIN)
        return false;
    *n = piece->n - 1;
    return true;
}

bool aw_making_leave(aw_making *m, const char *source, const char *what, size_t n, double length)
{
    aw_made *made = m->made;
    if (n == 0)
        return true;
    if (!aw_grow(&made->left, made->n_left, &made->room_left, sizeof *made->left))
        return false;
    made->left[made->n_left++] = (aw_left_out){source, what, n, length};
    return true;
}

/* --- names --- */

/* At most so many characters, without blanks at either end. */
static void shorten(char *name, size_t most)
{
    const uint8_t *at = (const uint8_t *)name;
    size_t n = 0;
    ucs4_t c;
    int width;
    while (n < most && (width = u8_strmbtouc(&c, at)) > 0) {
        at += width;
        n++;
    }
    name[at - (const uint8_t *)name] = '\0';
    for (size_t k = strlen(name); k > 0 && name[k - 1] == ' '; k--)
        name[k - 1] = '\0';
}

static bool is_taken(const aw_made *made, aw_role role, const char *name)
{
    for (size_t i = 0; i < made->n_items; i++)
        if (made->items[i].role == role && strcmp(made->items[i].name, name) == 0)
            return true;
    return false;
}

/* The wanted name if it is free, else with a number behind it, as all of one source have if nothing
 * is wanted. */
static const char *choose_name(aw_making *m, const aw_source *source, const char *wanted)
{
    const aw_role role = source->rule->role;
    const bool candidate = role == AW_ROLE_CANDIDATES;
    char name[512], base[480];
    size_t k = 2;
    snprintf(base, sizeof base, "%s", wanted != NULL && *wanted != '\0' ? wanted : source->name);
    shorten(base, candidate ? MOST_NUMBERED : MOST_NAME);
    snprintf(name, sizeof name, "%s", base);
    if (wanted == NULL || *wanted == '\0') {
        k = ++m->n_numbered;
        name[0] = '\0';
    }
    shorten(base, (candidate ? MOST_NUMBERED : MOST_NAME) - 8);
    while (name[0] == '\0' || is_taken(m->made, role, name))
        snprintf(name, sizeof name, "%s %zu", base, k++);
    m->n_numbered = wanted == NULL || *wanted == '\0' ? k - 1 : m->n_numbered;
    return aw_arena_copy_text(m->made->memory, name, strlen(name));
}

aw_made_item *aw_making_add(aw_making *m, const aw_source *source, const char *name,
                            const aw_point at[], size_t n)
{
    aw_made *made = m->made;
    aw_point *copy = aw_arena_take_array(made->memory, n, sizeof *copy);
    name = choose_name(m, source, name);
    if (copy == NULL || name == NULL ||
        !aw_grow(&made->items, made->n_items, &made->room_items, sizeof *made->items))
        return NULL;
    memcpy(copy, at, n * sizeof *at);
    made->counts[source->rule->role]++;
    aw_made_item *item = &made->items[made->n_items++];
    *item = (aw_made_item){.role = source->rule->role,
                           .name = name,
                           .rule = source->rule,
                           .source = source->name,
                           .from_block = source->is_block,
                           .at = copy,
                           .n = n,
                           .thickness = NAN,
                           .height = NAN,
                           .tag = source->rule->tag};
    return item;
}

/* --- texts --- */

/* Its own layer's, of no block, before any other; of another layer's blocks none. */
static int rank_of(const aw_making *m, const aw_source *source, const aw_piece *text)
{
    if (strcmp(m->plan->layers[text->layer].name, source->name) == 0)
        return 2;
    return text->insert == AW_NO_INSERT;
}

const char *aw_making_text_in(const aw_making *m, const aw_source *source, const aw_ring *ring)
{
    aw_polygon polygon = {.at = ring->at, .n = ring->n};
    const char *best = NULL;
    int best_rank = 1;
    double nearest = INFINITY;
    aw_point middle = {0, 0};
    aw_polygon_close(&polygon);
    for (size_t i = 0; i < ring->n; i++) {
        middle.x += ring->at[i].x / (double)ring->n;
        middle.y += ring->at[i].y / (double)ring->n;
    }
    for (size_t i = 0; i < m->plan->n_pieces; i++) {
        const aw_piece *piece = &m->plan->pieces[i];
        if (piece->kind != AW_PIECE_TEXT || !m->counts[i])
            continue;
        const int rank = rank_of(m, source, piece);
        const aw_point at = aw_frame_site(&m->made->frame, m->plan->at[piece->first]);
        const double far = aw_length(at.x - middle.x, at.y - middle.y);
        if (rank < best_rank || (rank == best_rank && far >= nearest) || at.x < polygon.low.x ||
            at.x > polygon.high.x || at.y < polygon.low.y || at.y > polygon.high.y ||
            !aw_polygon_holds(&polygon, at.x, at.y))
            continue;
        best_rank = rank;
        nearest = far;
        best = piece->text;
    }
    return best;
}
