#include "plan/solids.h"

#include <geos_c.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>

#include "base/plane.h"
#include "plan/grow.h"

#define ROUND    0.001
#define SIMPLIFY 0.005
#define STRAIGHT 0.0005

typedef GEOSContextHandle_t geos;

static void be_quiet(__attribute__((unused)) const char *message,
                     __attribute__((unused)) void *context)
{
}

static geos begin(void)
{
    const geos g = GEOS_init_r();
    if (g != NULL) {
        GEOSContext_setErrorMessageHandler_r(g, be_quiet, NULL);
        GEOSContext_setNoticeMessageHandler_r(g, be_quiet, NULL);
    }
    return g;
}

/* The next of a chain of operations: the one before is freed. */
static GEOSGeometry *next(geos g, GEOSGeometry *before, GEOSGeometry *after)
{
    if (before != NULL)
        GEOSGeom_destroy_r(g, before);
    return after;
}

void aw_rings_free(aw_rings *rings)
{
    for (size_t i = 0; i < rings->n; i++)
        free(rings->list[i].at);
    free(rings->list);
    *rings = (aw_rings){0};
}

/* --- to GEOS --- */

static GEOSCoordSequence *sequence(geos g, const aw_point at[], size_t n, bool closed)
{
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, (unsigned)(n + closed), 2);
    for (size_t i = 0; s != NULL && i < n + closed; i++)
        GEOSCoordSeq_setXY_r(g, s, (unsigned)i, at[i % n].x, at[i % n].y);
    return s;
}

static GEOSGeometry *make_ring(geos g, const aw_point at[], size_t n)
{
    GEOSCoordSequence *s = sequence(g, at, n, true);
    GEOSGeometry *ring = s != NULL ? GEOSGeom_createLinearRing_r(g, s) : NULL;
    return ring != NULL ? GEOSGeom_createPolygon_r(g, ring, NULL, 0) : NULL;
}

static double rounded(double x)
{
    return round(x / ROUND) * ROUND;
}

static GEOSGeometry *make_line(geos g, const aw_stroke *l)
{
    const aw_point at[2] = {{rounded(l->a.x), rounded(l->a.y)}, {rounded(l->b.x), rounded(l->b.y)}};
    GEOSCoordSequence *s = sequence(g, at, 2, false);
    return s != NULL ? GEOSGeom_createLineString_r(g, s) : NULL;
}

/* The rectangle of a wall, square ends at half its thickness: corners are filled. */
static GEOSGeometry *make_wall(geos g, const aw_stroke *w)
{
    const double length = aw_length(w->b.x - w->a.x, w->b.y - w->a.y), h = w->thickness / 2;
    const double ux = (w->b.x - w->a.x) / length * h, uy = (w->b.y - w->a.y) / length * h;
    const aw_point at[4] = {{w->a.x - ux + uy, w->a.y - uy - ux},
                            {w->b.x + ux + uy, w->b.y + uy - ux},
                            {w->b.x + ux - uy, w->b.y + uy + ux},
                            {w->a.x - ux - uy, w->a.y - uy + ux}};
    return make_ring(g, at, 4);
}

/* All of them in one collection; NULL also if there are none. */
static GEOSGeometry *collect(geos g, const aw_strokes *all, int type,
                             GEOSGeometry *(*make)(geos g, const aw_stroke *one))
{
    GEOSGeometry **list = calloc(all->n + 1, sizeof *list);
    size_t n = 0;
    for (size_t i = 0; list != NULL && i < all->n; i++)
        if (aw_length(all->list[i].b.x - all->list[i].a.x, all->list[i].b.y - all->list[i].a.y) >
                ROUND &&
            (list[n] = make(g, &all->list[i])) != NULL)
            n++;
    GEOSGeometry *together =
        list != NULL && n > 0 ? GEOSGeom_createCollection_r(g, type, list, (unsigned)n) : NULL;
    free(list);
    return together;
}

/* --- from GEOS --- */

static double area_of(geos g, const GEOSGeometry *geometry)
{
    double area = 0;
    return geometry != NULL && GEOSArea_r(g, geometry, &area) == 1 ? area : 0;
}

/* Takes out corners on the line of their neighbours: where faces were joined, and where the ring
 * happens to begin. */
static void drop_straight(aw_ring *ring)
{
    size_t kept = 0;
    for (size_t i = 0; i < ring->n; i++) {
        const aw_point a = ring->at[kept > 0 ? kept - 1 : ring->n - 1], b = ring->at[i],
                       c = i + 1 < ring->n ? ring->at[i + 1] : ring->at[0];
        const double along = aw_length(c.x - a.x, c.y - a.y),
                     area = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
        if (fabs(area) > STRAIGHT * along || ring->n - i + kept <= 3)
            ring->at[kept++] = b;
    }
    ring->n = kept;
}

static bool add_exterior(geos g, aw_rings *rings, const GEOSGeometry *polygon)
{
    const GEOSGeometry *line = GEOSGetExteriorRing_r(g, polygon);
    const GEOSCoordSequence *s = line != NULL ? GEOSGeom_getCoordSeq_r(g, line) : NULL;
    unsigned n = 0;
    if (s == NULL || GEOSCoordSeq_getSize_r(g, s, &n) != 1 || n < 4)
        return true;
    aw_ring ring = {calloc(n, sizeof *ring.at), n - 1};
    if (ring.at == NULL || !aw_grow(&rings->list, rings->n, &rings->room, sizeof *rings->list)) {
        free(ring.at);
        return false;
    }
    for (unsigned i = 0; i + 1 < n; i++)
        GEOSCoordSeq_getXY_r(g, s, i, &ring.at[i].x, &ring.at[i].y);
    drop_straight(&ring);
    rings->list[rings->n++] = ring;
    return true;
}

/* Every polygon of a geometry, or the largest alone, on whole millimetres. */
static bool add_polygons(geos g, aw_rings *rings, const GEOSGeometry *geometry, bool largest,
                         size_t *small)
{
    GEOSGeometry *plain = GEOSTopologyPreserveSimplify_r(g, geometry, SIMPLIFY);
    GEOSGeometry *whole = plain != NULL ? GEOSGeom_setPrecision_r(g, plain, ROUND, 0) : NULL;
    next(g, plain, NULL);
    const int n = whole != NULL ? GEOSGetNumGeometries_r(g, whole) : 0;
    const GEOSGeometry *best = NULL;
    bool fine = whole != NULL;
    for (int i = 0; fine && i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(g, whole, i);
        if (GEOSGeomTypeId_r(g, part) != GEOS_POLYGON)
            continue;
        if (largest)
            best = area_of(g, part) > area_of(g, best) ? part : best;
        else if (area_of(g, part) < AW_LEAST_AREA)
            ++*small;
        else
            fine = add_exterior(g, rings, part);
    }
    if (fine && largest && area_of(g, best) >= AW_LEAST_AREA)
        fine = add_exterior(g, rings, best);
    else if (largest)
        ++*small;
    next(g, whole, NULL);
    return fine;
}

/* --- what lines enclose --- */

static size_t count_parts(geos g, const GEOSGeometry *geometry)
{
    const int n = geometry != NULL ? GEOSGetNumGeometries_r(g, geometry) : 0;
    return n > 0 && !GEOSisEmpty_r(g, geometry) ? (size_t)n : 0;
}

bool aw_rings_enclosed(const aw_strokes *lines, aw_rings *rings, size_t *loose, size_t *small)
{
    const geos g = begin();
    if (g == NULL)
        return false;
    GEOSGeometry *all = collect(g, lines, GEOS_MULTILINESTRING, make_line), *cuts = NULL,
                 *dangles = NULL;
    const bool any = all != NULL;
    all = any ? next(g, all, GEOSUnaryUnion_r(g, all)) : NULL;
    GEOSGeometry *faces = all != NULL ? GEOSPolygonize_full_r(g, all, &cuts, &dangles, NULL) : NULL;
    *loose += count_parts(g, cuts) + count_parts(g, dangles);
    faces = faces != NULL ? next(g, faces, GEOSUnaryUnion_r(g, faces)) : NULL;
    const bool fine =
        !any ||
        (faces != NULL && (GEOSisEmpty_r(g, faces) || add_polygons(g, rings, faces, false, small)));
    next(g, cuts, NULL);
    next(g, dangles, NULL);
    next(g, all, NULL);
    next(g, faces, NULL);
    GEOS_finish_r(g);
    return fine;
}

bool aw_rings_add(aw_rings *rings, const aw_point at[], size_t n, size_t *small)
{
    const geos g = n >= 3 ? begin() : NULL;
    if (n < 3) {
        ++*small;
        return true;
    }
    GEOSGeometry *ring = g != NULL ? make_ring(g, at, n) : NULL;
    if (ring != NULL && GEOSisValid_r(g, ring) != 1)
        ring = next(g, ring, GEOSMakeValid_r(g, ring));
    const bool fine = ring != NULL && add_polygons(g, rings, ring, true, small);
    if (g != NULL) {
        next(g, ring, NULL);
        GEOS_finish_r(g);
    }
    return fine;
}

bool aw_rings_add_hull(aw_rings *rings, const aw_point at[], size_t n, size_t *small)
{
    const geos g = n >= 3 ? begin() : NULL;
    if (n < 3) {
        ++*small;
        return true;
    }
    GEOSCoordSequence *s = g != NULL ? sequence(g, at, n, false) : NULL;
    GEOSGeometry *hull = s != NULL ? GEOSGeom_createLineString_r(g, s) : NULL;
    hull = hull != NULL ? next(g, hull, GEOSConvexHull_r(g, hull)) : NULL;
    const bool fine = hull != NULL && add_polygons(g, rings, hull, true, small);
    if (g != NULL) {
        next(g, hull, NULL);
        GEOS_finish_r(g);
    }
    return fine;
}

/* --- outline --- */

static GEOSGeometry *grown(geos g, const GEOSGeometry *geometry, double by)
{
    return geometry != NULL
               ? GEOSBufferWithStyle_r(g, geometry, by, 8, GEOSBUF_CAP_FLAT, GEOSBUF_JOIN_MITRE, 5)
               : NULL;
}

static GEOSGeometry *closed(geos g, const GEOSGeometry *geometry, double gap)
{
    GEOSGeometry *out = grown(g, geometry, gap / 2);
    return out != NULL ? next(g, out, grown(g, out, -gap / 2)) : NULL;
}

/* Without its holes. */
static GEOSGeometry *filled(geos g, const GEOSGeometry *geometry)
{
    const int n = geometry != NULL ? GEOSGetNumGeometries_r(g, geometry) : 0;
    GEOSGeometry **list = calloc((size_t)n + 1, sizeof *list);
    unsigned k = 0;
    for (int i = 0; list != NULL && i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(g, geometry, i);
        const GEOSGeometry *line =
            GEOSGeomTypeId_r(g, part) == GEOS_POLYGON ? GEOSGetExteriorRing_r(g, part) : NULL;
        GEOSGeometry *ring = line != NULL ? GEOSGeom_clone_r(g, line) : NULL;
        if (ring != NULL && (list[k] = GEOSGeom_createPolygon_r(g, ring, NULL, 0)) != NULL)
            k++;
    }
    GEOSGeometry *all =
        list != NULL ? GEOSGeom_createCollection_r(g, GEOS_MULTIPOLYGON, list, k) : NULL;
    free(list);
    return all != NULL ? next(g, all, GEOSUnaryUnion_r(g, all)) : NULL;
}

/* The rooms between walls whose gaps are closed. */
static GEOSGeometry *rooms_of(geos g, const GEOSGeometry *walls, double gap)
{
    GEOSGeometry *shut = closed(g, walls, gap), *whole = filled(g, shut);
    GEOSGeometry *rooms = shut != NULL && whole != NULL ? GEOSDifference_r(g, whole, shut) : NULL;
    next(g, shut, NULL);
    next(g, whole, NULL);
    return rooms;
}

static bool add_floor(geos g, aw_rings *rings, const GEOSGeometry *rooms, double thickest)
{
    size_t small = 0;
    GEOSGeometry *one = closed(g, rooms, thickest + 0.002), *whole = filled(g, one);
    const bool fine = whole != NULL && add_polygons(g, rings, whole, true, &small);
    next(g, one, NULL);
    next(g, whole, NULL);
    return fine && small == 0;
}

bool aw_rings_add_outline(aw_rings *rings, const aw_strokes *walls, double *gap, bool *is_hull)
{
    static const double gaps[] = {0.02, 0.1, 0.3, 1.4, 3.2, 6, 10};
    const geos g = begin();
    GEOSGeometry *all = g != NULL ? collect(g, walls, GEOS_MULTIPOLYGON, make_wall) : NULL;
    double thickest = 0;
    size_t small = 0;
    bool fine = false, found = false;
    for (size_t i = 0; i < walls->n; i++)
        thickest = fmax(thickest, walls->list[i].thickness);
    GEOSGeometry *hull = all != NULL ? GEOSConvexHull_r(g, all) : NULL;
    if (all != NULL && walls->n <= AW_OUTLINE_WALLS)
        all = next(g, all, GEOSUnaryUnion_r(g, all));
    for (size_t i = 0;
         all != NULL && !found && walls->n <= AW_OUTLINE_WALLS && i < sizeof gaps / sizeof *gaps;
         i++) {
        GEOSGeometry *rooms = rooms_of(g, all, gaps[i]);
        if (area_of(g, rooms) > area_of(g, hull) / 2)
            found = add_floor(g, rings, rooms, thickest);
        *gap = gaps[i];
        next(g, rooms, NULL);
    }
    *is_hull = !found;
    fine = found || (hull != NULL && add_polygons(g, rings, hull, true, &small));
    if (g != NULL) {
        next(g, all, NULL);
        next(g, hull, NULL);
        GEOS_finish_r(g);
    }
    return fine;
}
