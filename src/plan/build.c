#include "plan/build.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <strings.h>

#include "plan/grow.h"
#include "plan/letters.h"

/* Beyond this a coordinate is a fault of the drawing: a national grid in mm reaches 6e9. */
#define FARTHEST 1e12

bool aw_plan_run_out(const aw_run *run)
{
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the plan");
    return false;
}

void aw_plan_note(aw_plan *plan, const char *format, ...)
{
    char text[400];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    aw_errors_add(&plan->notes, AW_WARNING, 0, 0, "%s", text);
}

bool aw_plan_layer_at(aw_plan *p, const char *name, size_t *layer)
{
    /* Pieces of one layer come together. */
    if (*layer < p->n_layers && strcmp(p->layers[*layer].name, name) == 0)
        return true;
    for (size_t i = 0; i < p->n_layers; i++)
        if (strcasecmp(p->layers[i].name, name) == 0) {
            *layer = i;
            return true;
        }
    if (!aw_grow(&p->layers, p->n_layers, &p->room_layers, sizeof *p->layers))
        return false;
    const char *copy = aw_arena_copy_text(p->memory, name, strlen(name));
    if (copy == NULL)
        return false;
    *layer = p->n_layers++;
    p->layers[*layer] = (aw_plan_layer){.name = copy};
    return true;
}

bool aw_plan_add_insert(aw_plan *p, const aw_insert *insert)
{
    if (!aw_grow(&p->inserts, p->n_inserts, &p->room_inserts, sizeof *p->inserts))
        return false;
    p->inserts[p->n_inserts++] = *insert;
    return true;
}

/* --- geometry --- */

static bool read_position(const json_t *list, double at[2])
{
    for (size_t k = 0; k < 2; k++) {
        const json_t *x = json_array_get(list, k);
        at[k] = json_is_number(x) ? json_number_value(x) : (double)NAN;
        if (!(fabs(at[k]) <= FARTHEST))
            return false;
    }
    return true;
}

static bool add_point(aw_plan *p, double at[2], void (*project)(const aw_plan *plan, double at[2]))
{
    if (!aw_grow(&p->at, p->n_at, &p->room_at, sizeof *p->at))
        return false;
    if (project != NULL)
        project(p, at);
    else if (p->n_at == 0 && p->n_pieces == 0)
        p->base[0] = floor(at[0]), p->base[1] = floor(at[1]);
    p->at[p->n_at++] = (aw_point){at[0] - p->base[0], at[1] - p->base[1]};
    return true;
}

static bool add_piece(aw_plan *p, const aw_piece *piece)
{
    if (!aw_grow(&p->pieces, p->n_pieces, &p->room_pieces, sizeof *p->pieces))
        return false;
    p->pieces[p->n_pieces++] = *piece;
    return true;
}

/* A list of positions. One that is not finite takes its piece with it. */
static bool add_path(aw_plan *p, const json_t *list, aw_piece piece,
                     void (*project)(const aw_plan *plan, double at[2]))
{
    double at[2], first[2] = {0, 0};
    const size_t n = json_array_size(list);
    piece.first = p->n_at;
    for (size_t i = 0; i < n; i++) {
        if (!read_position(json_array_get(list, i), at)) {
            p->n_at = piece.first;
            p->n_empty++;
            return true;
        }
        const bool again = i + 1 == n && n > 2 && at[0] == first[0] && at[1] == first[1];
        if (i == 0)
            first[0] = at[0], first[1] = at[1];
        if (again && piece.kind == AW_PIECE_LINE)
            piece.kind = AW_PIECE_RING;
        if (!again && !add_point(p, at, project))
            return false;
    }
    piece.n = p->n_at - piece.first;
    if (piece.n == 0)
        p->n_empty++;
    return piece.n == 0 || add_piece(p, &piece);
}

static bool add_parts(aw_plan *p, const json_t *list, const aw_piece *model,
                      void (*project)(const aw_plan *plan, double at[2]))
{
    for (size_t i = 0; i < json_array_size(list); i++)
        if (!add_path(p, json_array_get(list, i), *model, project))
            return false;
    return true;
}

bool aw_plan_add_geometry(aw_plan *p, const json_t *geometry, const aw_piece *model,
                          void (*project)(const aw_plan *plan, double at[2]))
{
    const char *type = json_string_value(json_object_get(geometry, "type"));
    const json_t *list = json_object_get(geometry, "coordinates");
    aw_piece piece = *model;
    bool fine = true;
    if (type == NULL) {
        p->n_empty++;
    } else if (strcmp(type, "Point") == 0) {
        json_t *one = json_pack("[O]", list);
        fine = one != NULL && add_path(p, one, piece, project);
        json_decref(one);
    } else if (strcmp(type, "MultiPoint") == 0) {
        for (size_t i = 0; fine && i < json_array_size(list); i++) {
            json_t *one = json_pack("[O]", json_array_get(list, i));
            fine = one != NULL && add_path(p, one, piece, project);
            json_decref(one);
        }
    } else if (strcmp(type, "LineString") == 0) {
        piece.kind = AW_PIECE_LINE;
        fine = add_path(p, list, piece, project);
    } else if (strcmp(type, "MultiLineString") == 0) {
        piece.kind = AW_PIECE_LINE;
        fine = add_parts(p, list, &piece, project);
    } else if (strcmp(type, "Polygon") == 0) {
        piece.kind = AW_PIECE_AREA;
        fine = add_parts(p, list, &piece, project);
    } else if (strcmp(type, "MultiPolygon") == 0) {
        piece.kind = AW_PIECE_AREA;
        for (size_t i = 0; fine && i < json_array_size(list); i++)
            fine = add_parts(p, json_array_get(list, i), &piece, project);
    } else {
        const json_t *parts = json_object_get(geometry, "geometries");
        for (size_t i = 0; fine && i < json_array_size(parts); i++)
            fine = aw_plan_add_geometry(p, json_array_get(parts, i), model, project);
    }
    return fine;
}

/* --- what it holds --- */

void aw_plan_count(aw_plan *p)
{
    for (size_t i = 0; i < p->n_layers; i++) {
        p->layers[i].low = (aw_point){INFINITY, INFINITY};
        p->layers[i].high = (aw_point){-INFINITY, -INFINITY};
    }
    for (size_t i = 0; i < p->n_pieces; i++) {
        const aw_piece *piece = &p->pieces[i];
        aw_plan_layer *l = &p->layers[piece->layer];
        if (piece->hidden) {
            l->n_hidden++;
            continue;
        }
        l->counts[piece->kind]++;
        for (size_t k = 0; k < piece->n; k++) {
            const aw_point at = p->at[piece->first + k];
            l->low = (aw_point){fmin(l->low.x, at.x), fmin(l->low.y, at.y)};
            l->high = (aw_point){fmax(l->high.x, at.x), fmax(l->high.y, at.y)};
        }
    }
    for (size_t i = 0; i < p->n_inserts; i++)
        p->layers[p->inserts[i].layer].n_inserts++;
}

void aw_plan_free(aw_plan *p)
{
    free(p->pieces);
    free(p->at);
    free(p->layers);
    free(p->inserts);
    aw_errors_free(&p->notes);
    aw_arena_free(p->memory);
    *p = (aw_plan){0};
}
