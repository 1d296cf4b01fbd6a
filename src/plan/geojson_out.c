/* Writing GeoJSON. RFC 7946 has longitude and latitude alone; a plan's own metres are told by the
 * `crs` of its forerunner of 2008, which programs still read. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

#include "plan/marks.h"

static json_t *position(aw_point at)
{
    return json_pack("[f, f]", round(at.x * 1e6) / 1e6, round(at.y * 1e6) / 1e6);
}

static json_t *positions(const aw_mark *m)
{
    json_t *list = json_array();
    for (size_t i = 0; i < m->n + (m->kind == AW_MARK_RING); i++)
        json_array_append_new(list, position(m->at[i % m->n]));
    return list;
}

static json_t *geometry(const aw_mark *m)
{
    if (m->kind == AW_MARK_ANCHOR)
        return json_pack("{s: s, s: o}", "type", "Point", "coordinates", position(m->at[0]));
    if (m->kind == AW_MARK_LINE)
        return json_pack("{s: s, s: o}", "type", "LineString", "coordinates", positions(m));
    return json_pack("{s: s, s: [o]}", "type", "Polygon", "coordinates", positions(m));
}

static void set_length(json_t *properties, const char *key, double value)
{
    if (!isnan(value))
        json_object_set_new(properties, key, json_real(value));
}

static json_t *feature(const aw_mark *m)
{
    json_t *properties = json_object();
    json_object_set_new(properties, "layer", json_string(m->layer));
    if (m->name != NULL) {
        json_object_set_new(properties, "name", json_string(m->name));
        if (m->kind == AW_MARK_RING)
            json_object_set_new(properties, "text", json_string(m->name));
    }
    set_length(properties, "height", m->height);
    set_length(properties, "base", m->base);
    set_length(properties, "top", m->top);
    if (m->material != NULL)
        json_object_set_new(properties, "material", json_string(m->material));
    return json_pack("{s: s, s: o, s: o}", "type", "Feature", "properties", properties, "geometry",
                     geometry(m));
}

void aw_marks_geojson(const aw_marks *marks, aw_text *out)
{
    json_t *features = json_array();
    for (size_t i = 0; i < marks->n; i++)
        json_array_append_new(features, feature(&marks->list[i]));
    json_t *root = json_pack("{s: s, s: s, s: {s: s, s: {s: s}}, s: o}", "type",
                             "FeatureCollection", "unit", "m", "crs", "type", "name", "properties",
                             "name", "urn:ogc:def:crs:OGC::Engineering", "features", features);
    char *text = root != NULL ? json_dumps(root, JSON_COMPACT) : NULL;
    if (text != NULL)
        aw_text_format(out, "%s\n", text);
    else
        out->failed = true;
    free(text);
    json_decref(root);
}
