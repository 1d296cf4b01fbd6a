/* What a receiver hears of one link under a radio, and the law that follows. */
#ifndef AW_RADIO_FIRST_PATH_H
#define AW_RADIO_FIRST_PATH_H

#include "radio/paths.h"
#include "radio/radio_scene.h"
#include "radio/shadow.h"

typedef struct aw_first_path {
    size_t n;
    aw_path paths[AW_OUTCOMES]; /* rays by excess; each has more power than those before it */
    double limit[AW_OUTCOMES];  /* dB, fade up to which each is found */
    size_t rays;                /* all but what is scattered, which is the last of the paths */
    double least;               /* m, least excess of what is scattered */
    double fade_sigma;          /* dB */
    double lost_db;             /* fade above which no frame is timed */
    double total_dbm;           /* median power of all of them */
    double received;
    size_t usual;  /* the path timed at a fade of 0, or where that is too much at lost_db */
    double snr_db; /* of that path there, after processing gain */
} aw_first_path;

/* Paths between two places. `faces` are those that the anchor sees; shade as in toll.h. */
void aw_first_path_find(aw_first_path *heard, const aw_scene *scene, const double spot[3],
                        const double anchor[3], const aw_faces *faces, aw_shade *shade);

/* Fades beyond so many sigmas, once in a million draws, do not happen. */
#define AW_NEVER 4.753424

/* Power below which a path is never found, dBm. */
double aw_found_above(const aw_radio_scene *air);

/* Adds what is scattered to the rays of a link of that range, whose shortest way, found or not, has
 * that excess, m; infinite: nothing gets there. */
void aw_first_path_scatter(aw_first_path *heard, const aw_radio_scene *air, double range,
                           double shortest);

/* Completes a link, whose errors are those of a clear one with fixed figures and whose range is
 * set. */
void aw_first_path_law(aw_link *link, const aw_radio_scene *air, const aw_first_path *heard);

/* Faces that an anchor, of the scenario or not, sees; `room` holds them if it is not. */
const aw_faces *aw_faces_of(const aw_scene *scene, const aw_anchor *anchor, aw_faces *room);

#endif
