/* GeoJSON (RFC 7946): features as pieces, their properties as the attributes of a reference to a
 * block. Longitude and latitude are projected to metres by a transverse Mercator about the middle
 * of what is drawn, scale 1 there, on the WGS 84 ellipsoid. Source of the series: J. P. Snyder, Map
 * Projections - A Working Manual, USGS Professional Paper 1395, 1987, equations 8-9, 8-10 and 3-21.
 */
#include "plan/build.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "anchorwise/text.h"
#include "plan/inside.h"
#include "plan/letters.h"

#define MOST_BYTES ((size_t)32 << 20)
/* Wider than this, degrees, no site is: what reaches further is a local plan of small numbers. */
#define WIDEST 0.2

static const char *copy(aw_plan *p, const char *text)
{
    return aw_letters_decode(p->memory, text, strlen(text), "UTF-8");
}

static const char *value_text(aw_plan *p, const json_t *value)
{
    char number[AW_NUMBER_ROOM];
    if (json_is_string(value))
        return copy(p, json_string_value(value));
    if (!json_is_number(value))
        return "";
    aw_number_text(json_number_value(value), number);
    return copy(p, number);
}

static const char *first_of(const json_t *properties, const char *const keys[])
{
    for (; *keys != NULL; keys++) {
        const char *text = json_string_value(json_object_get(properties, *keys));
        if (text != NULL && *text != '\0')
            return text;
    }
    return NULL;
}

static bool add_properties(aw_plan *p, json_t *properties, aw_insert *insert)
{
    const size_t n = json_object_size(properties);
    aw_attribute *all = n > 0 ? aw_arena_take_array(p->memory, n, sizeof *all) : NULL;
    const char *key;
    json_t *value;
    size_t i = 0;
    if (n > 0 && all == NULL)
        return false;
    json_object_foreach(properties, key, value)
    {
        all[i] = (aw_attribute){copy(p, key), value_text(p, value)};
        if (all[i].tag == NULL || all[i++].value == NULL)
            return false;
    }
    insert->attributes = all;
    insert->n_attributes = n;
    return true;
}

/* The text of an area stands in it, as on a drawing. */
static bool add_text_inside(aw_plan *p, const aw_piece *piece, size_t first)
{
    const aw_piece *last = p->n_pieces > 0 ? &p->pieces[p->n_pieces - 1] : NULL;
    if (p->n_at == first || last->kind != AW_PIECE_AREA)
        return true;
    const aw_point at = aw_ring_inside(p->at + last->first, last->n);
    json_t *point = json_pack("{s: s, s: [f, f]}", "type", "Point", "coordinates",
                              at.x + p->base[0], at.y + p->base[1]);
    const bool fine = point != NULL && aw_plan_add_geometry(p, point, piece, NULL);
    json_decref(point);
    return fine;
}

static bool add_feature(aw_plan *p, const json_t *feature, const char *otherwise)
{
    static const char *const layers[] = {"layer", "Layer", NULL},
                             *const blocks[] = {"block", "BlockName", NULL},
                             *const texts[] = {"text", "Text", NULL};
    json_t *properties = json_object_get(feature, "properties");
    const char *layer = first_of(properties, layers), *block = first_of(properties, blocks),
               *text = first_of(properties, texts);
    aw_piece piece = {.kind = text != NULL ? AW_PIECE_TEXT : AW_PIECE_POINT,
                      .insert = p->n_inserts,
                      .height = (double)NAN};
    aw_insert insert = {.block = copy(p, block != NULL ? block : ""), .handle = ""};
    layer = copy(p, layer != NULL ? layer : otherwise);
    if (layer == NULL || insert.block == NULL || !aw_plan_layer_at(p, layer, &insert.layer) ||
        !add_properties(p, properties, &insert) ||
        (text != NULL && (piece.text = copy(p, text)) == NULL))
        return false;
    piece.layer = insert.layer;
    const size_t first = p->n_at;
    if (!aw_plan_add_geometry(p, json_object_get(feature, "geometry"), &piece, NULL) ||
        !aw_plan_add_insert(p, &insert))
        return false;
    if (p->n_at > first)
        p->inserts[p->n_inserts - 1].at = p->at[first];
    return text == NULL || add_text_inside(p, &piece, first);
}

static bool add_features(aw_plan *p, const json_t *root)
{
    const char *name = json_string_value(json_object_get(root, "name"));
    const json_t *features = json_object_get(root, "features");
    const char *otherwise = name != NULL && *name != '\0' ? name : "features";
    for (size_t i = 0; i < json_array_size(features); i++)
        if (!add_feature(p, json_array_get(features, i), otherwise))
            return false;
    return true;
}

/* --- longitude and latitude --- */

/* Whether the file names a coordinate system that is not longitude and latitude. */
static bool is_local(const json_t *root)
{
    const json_t *crs = json_object_get(root, "crs");
    const char *name =
        json_string_value(json_object_get(json_object_get(crs, "properties"), "name"));
    return name != NULL && strstr(name, "CRS84") == NULL && strstr(name, "4326") == NULL;
}

static bool is_degrees(aw_plan *p, aw_point *middle)
{
    aw_point low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < p->n_at; i++) {
        const aw_point at = {p->at[i].x + p->base[0], p->at[i].y + p->base[1]};
        low = (aw_point){fmin(low.x, at.x), fmin(low.y, at.y)};
        high = (aw_point){fmax(high.x, at.x), fmax(high.y, at.y)};
    }
    *middle = (aw_point){(low.x + high.x) / 2, (low.y + high.y) / 2};
    return p->n_at > 0 && low.x >= -180 && high.x <= 180 && low.y >= -90 && high.y <= 90 &&
           high.x - low.x <= WIDEST && high.y - low.y <= WIDEST;
}

/* Length of the meridian from the equator. */
static double meridian(double e2, double phi)
{
    const double e4 = e2 * e2, e6 = e4 * e2;
    return (1 - e2 / 4 - 3 * e4 / 64 - 5 * e6 / 256) * phi -
           (3 * e2 / 8 + 3 * e4 / 32 + 45 * e6 / 1024) * sin(2 * phi) +
           (15 * e4 / 256 + 45 * e6 / 1024) * sin(4 * phi) - 35 * e6 / 3072 * sin(6 * phi);
}

static aw_point project(aw_point degrees, aw_point middle)
{
    const double a = 6378137.0, flat = 1 / 298.257223563, e2 = flat * (2 - flat);
    const double radian = M_PI / 180, phi = degrees.y * radian;
    const double tangent = tan(phi), cosine = cos(phi), t = tangent * tangent;
    const double c = e2 / (1 - e2) * cosine * cosine, ep2 = e2 / (1 - e2);
    const double n = a / sqrt(1 - e2 * sin(phi) * sin(phi));
    const double l = (degrees.x - middle.x) * radian * cosine, l2 = l * l;
    const double north = a * (meridian(e2, phi) - meridian(e2, middle.y * radian));
    return (aw_point){
        n * l *
            (1 + l2 / 6 * (1 - t + c) + l2 * l2 / 120 * (5 - 18 * t + t * t + 72 * c - 58 * ep2)),
        north + n * tangent * l2 *
                    (0.5 + l2 / 24 * (5 - t + 9 * c + 4 * c * c) +
                     l2 * l2 / 720 * (61 - 58 * t + t * t + 600 * c - 330 * ep2))};
}

static void project_all(aw_plan *p, aw_point middle)
{
    for (size_t i = 0; i < p->n_at; i++)
        p->at[i] = project((aw_point){p->at[i].x + p->base[0], p->at[i].y + p->base[1]}, middle);
    for (size_t i = 0; i < p->n_inserts; i++)
        p->inserts[i].at = project(
            (aw_point){p->inserts[i].at.x + p->base[0], p->inserts[i].at.y + p->base[1]}, middle);
    p->base[0] = p->base[1] = 0;
    p->has_degrees = true;
    p->middle[0] = middle.x;
    p->middle[1] = middle.y;
}

bool aw_plan_read_geojson(aw_plan *p, const char text[], size_t length, const aw_run *run)
{
    json_error_t error;
    aw_point middle;
    if (length > MOST_BYTES) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "GeoJSON over 32 MB, which is the limit");
        return false;
    }
    p->form = AW_PLAN_GEOJSON;
    json_t *root = json_loadb(text, length, JSON_ALLOW_NUL, &error);
    const char *unit = json_string_value(json_object_get(root, "unit"));
    if (root == NULL) {
        aw_errors_add(run->errors, AW_ERROR, error.line, error.column, "not JSON: %s", error.text);
        return false;
    }
    const char *type = json_string_value(json_object_get(root, "type"));
    const bool known = type != NULL && strcmp(type, "FeatureCollection") == 0;
    if (!known)
        aw_errors_add(run->errors, AW_ERROR, 1, 1, "not GeoJSON: no FeatureCollection");
    const bool done = known && (add_features(p, root) || aw_plan_run_out(run));
    if (done && !is_local(root) && is_degrees(p, &middle))
        project_all(p, middle);
    p->names_by_piece = true;
    if (unit != NULL && strcmp(unit, "m") == 0)
        p->header_unit = 6;
    json_decref(root);
    return done;
}
