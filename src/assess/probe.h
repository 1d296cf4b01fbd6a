/* The setback that one point of a zone's border asks for, on one side of it. */
#ifndef AW_ASSESS_PROBE_H
#define AW_ASSESS_PROBE_H

#include "assess/border.h"
#include "map/spot.h"

/* Places drawn for a border point, more or less: the units of work that a watch is told. */
#define AW_PROBE_LOOKS         6
#define AW_PROBE_LOOKS_AT_LAST 3

typedef enum aw_probe_end {
    AW_PROBE_RIGHT,   /* from `depth` on decisions are right */
    AW_PROBE_WRONG,   /* up to where the distance from the border rises no further they are not */
    AW_PROBE_BLOCKED, /* nor up to where no tag can be for a metre and more: something stands there,
                         or the floor ends */
    AW_PROBE_NOWHERE, /* which begins at the border */
} aw_probe_end;

typedef struct aw_probe {
    aw_border_point point;
    bool inside;
    aw_probe_end end;
    double depth;   /* m from the border; NaN unless right */
    aw_point at;    /* that place, or else the one nearest to right; NaN if nowhere */
    double nearest; /* depth of `at`, m */
    double share;   /* of reports inside the zone there */
    double no_fix;  /* of draws without a fix there */
} aw_probe;

/* One thread's room. */
typedef struct aw_prober {
    const aw_scenario *scenario;
    const aw_zone *zone;
    const aw_scene *scene;
    const aw_grid *grid;
    const aw_run *run;
    aw_spot spot;
    aw_trials *trials;
    float *x, *y;  /* room for the draws of aw_probe_confirm(); else NULL */
    size_t rounds; /* 0: draws 0 ... M - 1; else so many times M others */
    bool stopped;
} aw_prober;

/* Seeks the setback of a border point: places along the steepest rise of the distance from the
 * border, each with draws of its own, not more than a step of the study apart, up to the first
 * where decisions are right. It is then the end of the last stretch where a tag can be and they are
 * not, within 1 %. Nothing is known if the prober was stopped by its watch. */
void aw_probe_seek(aw_probe *probe, aw_prober *prober);

/* The same again from where it was found, by `rounds` times the draws, which are others. */
void aw_probe_confirm(aw_probe *probe, aw_prober *prober, size_t rounds);

#endif
