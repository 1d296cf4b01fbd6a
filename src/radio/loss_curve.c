#include "radio/loss_curve.h"

#include <math.h>

/* What is darker counts as this dark, dB. */
#define DARK 1000

/* Cosine of the angle of a node. */
static double cosine_of(size_t node)
{
    return cos((double)node * M_PI / (2 * AW_ANGLES));
}

aw_loss_by_angle aw_loss_by_angle_through(aw_arena *arena, const aw_leaf leaves[], size_t n,
                                          const aw_channel *channel)
{
    double *db = aw_arena_take_array(arena, AW_ANGLES, sizeof *db);
    for (size_t i = 0; db != NULL && i < AW_ANGLES; i++)
        db[i] = fmin(aw_slab_loss(leaves, n, channel, cosine_of(i)), DARK);
    return (aw_loss_by_angle){db};
}

aw_loss_by_angle aw_loss_by_angle_mirrored(aw_arena *arena, const aw_leaf leaves[], size_t n,
                                           const aw_channel *channel)
{
    double *db = aw_arena_take_array(arena, AW_ANGLES, sizeof *db);
    for (size_t i = 0; db != NULL && i < AW_ANGLES; i++)
        db[i] = fmin(aw_slab_mirror_loss(leaves, n, channel, cosine_of(i)), DARK);
    return (aw_loss_by_angle){db};
}

aw_loss_by_angle aw_loss_by_angle_of_face(aw_arena *arena, const aw_dielectric *d,
                                          const aw_channel *channel)
{
    double *db = aw_arena_take_array(arena, AW_ANGLES, sizeof *db);
    for (size_t i = 0; db != NULL && i < AW_ANGLES; i++)
        db[i] = fmin(aw_face_mirror_loss(d, channel, cosine_of(i)), DARK);
    return (aw_loss_by_angle){db};
}

aw_loss_by_length aw_loss_by_length_through(aw_arena *arena, const aw_dielectric *d,
                                            const aw_channel *channel)
{
    double thickness[AW_SOLID], *db = aw_arena_take_array(arena, AW_SOLID, sizeof *db);
    for (size_t i = 0; i < AW_SOLID; i++)
        thickness[i] = AW_SOLID_END * (double)i / (AW_SOLID - 1);
    if (db != NULL)
        aw_slab_losses(d, channel, thickness, AW_SOLID, db);
    for (size_t i = 0; db != NULL && i < AW_SOLID; i++)
        db[i] = fmin(db[i], DARK);
    return (aw_loss_by_length){db, aw_dielectric_absorption(d, channel->centre)};
}

static double between(const double db[], double at, size_t n)
{
    if (at >= (double)(n - 1))
        return db[n - 1];
    const size_t i = (size_t)at;
    const double share = at - (double)i;
    return db[i] + share * (db[i + 1] - db[i]);
}

double aw_loss_by_angle_at(const aw_loss_by_angle *table, double cosine)
{
    const double angle = acos(fmin(fmax(cosine, 0), 1));
    return between(table->db, angle * (2 * AW_ANGLES / M_PI), AW_ANGLES);
}

double aw_loss_by_length_at(const aw_loss_by_length *table, double length)
{
    return between(table->db, length * ((AW_SOLID - 1) / AW_SOLID_END), AW_SOLID) +
           table->slope * fmax(length - AW_SOLID_END, 0);
}
