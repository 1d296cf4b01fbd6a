/* What a scene with a radio has prepared: the stuff of every body, its edges, faces that mirror. */
#ifndef AW_RADIO_RADIO_SCENE_H
#define AW_RADIO_RADIO_SCENE_H

#include "anchorwise/link.h"
#include "radio/boxes.h"
#include "radio/edge_integral.h"
#include "radio/edges.h"
#include "radio/loss_curve.h"
#include "radio/scene.h"

/* How a body is passed. */
typedef enum aw_passage {
    AW_PASS_NOT,   /* opaque */
    AW_PASS_FIXED, /* loss and delay as measured */
    AW_PASS_WALL,  /* leaves at an angle, once for each stretch of legs in touch */
    AW_PASS_SHELL, /* leaves at an angle, once for each face */
    AW_PASS_SOLID  /* by the way inside */
} aw_passage;

typedef struct aw_body_radio {
    const char *name; /* of the body */
    aw_passage passage;
    double loss_db, delay;          /* once for the body: fixed, or added */
    double loss_times, delay_times; /* the radio's */
    const aw_leaf *leaves;          /* of walls and shells */
    size_t n_leaves;
    aw_loss_by_angle angles; /* likewise */
    aw_loss_by_length ways;  /* of solids */
    double root;             /* likewise: square root of the permittivity, less 1 */
} aw_body_radio;

/* A flat face that mirrors: what lies beyond it does not count. */
typedef struct aw_face {
    const char *name;
    double normal[3], offset; /* of the plane, normal . x = offset; mirrors on the side of normal */
    const aw_polygon *within; /* a level face; NULL: an upright one from..to, base..top */
    bool floor;               /* a level face, only where the floor has this height */
    aw_point from, to;
    double base, top;
    double size;            /* m^2 */
    const aw_polygon *hall; /* of the outline: legs stay within it; NULL: of a body, or level */
    const aw_loss_by_angle *angles;
} aw_face;

#define AW_FACES 24

/* The faces that count for one anchor. */
typedef struct aw_faces {
    const aw_face *face[AW_FACES];
    size_t n;
} aw_faces;

typedef struct aw_radio_scene {
    const aw_radio *radio;
    double hz, wavelength;
    double eirp;          /* dBm */
    double noise;         /* dBm, of receiver and air, after processing gain */
    double fade_sigma[2]; /* dB, of links that are not clear, and of those that are */
    aw_body_radio *stuff; /* of every body of the scene */
    aw_boxes boxes;       /* likewise */
    aw_edges edges;       /* likewise, and of pits */
    bool has_rims;        /* some of pits */
    const aw_edge_rules *rules;
    aw_face *faces;
    size_t n_faces;
    aw_faces *of_anchor; /* of every anchor of the scenario */
} aw_radio_scene;

/* Prepares a scene, whose bodies stand, for a scenario with a radio. NULL without memory. */
const aw_radio_scene *aw_radio_scene_create(const aw_scene *scene);

/* Faces that an anchor sees, at most AW_FACES: those with the most size x mirrored power over the
 * square of their distance. */
void aw_faces_seen(const aw_radio_scene *air, const double anchor[3], aw_faces *faces);

#endif
