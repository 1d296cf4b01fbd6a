/* A DXF by way of ogr2ogr: one run for the pieces, one for the references of blocks, whose names
 * and attributes the first does not tell. GDAL has no list of drivers to use, only one to leave
 * out: all but the wanted are named, so that nothing in the file can make it open others. */
#include "plan/build.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>
#include <unistr.h>

#include "plan/child.h"
#include "plan/letters.h"

/* Lines that a run may print. */
#define MOST_LINES 2000000

typedef struct dxf {
    aw_plan *plan;
    const aw_run *run;
    aw_dxf_scan scan;
    int file; /* the drawing as ogr2ogr gets it */
    double seconds;
    aw_text drivers;
    size_t n_lines;
    size_t layer;      /* of the latest piece */
    size_t *by_handle; /* inserts in the order of their handles */
    bool layer_0_hidden, failed;
} dxf;

/* --- what it is told --- */

/* " ESRI Shapefile -vector- (rw+v): ESRI Shapefile": the name stands before " -". */
static bool take_driver(char line[], size_t length, void *context)
{
    dxf *d = context;
    char *end = memmem(line, length, " -", 2);
    while (*line == ' ')
        line++;
    if (end == NULL || end <= line || length == 0)
        return true;
    const size_t n = (size_t)(end - line);
    if ((n == 3 && memcmp(line, "DXF", 3) == 0) || (n == 10 && memcmp(line, "GeoJSONSeq", 10) == 0))
        return true;
    aw_text_add(&d->drivers, d->drivers.n > 0 ? "," : "");
    aw_text_add_bytes(&d->drivers, line, n);
    return true;
}

static bool refuse(const dxf *d, const char *what)
{
    aw_errors_add(d->run->errors, AW_ERROR, 0, 0, "%s", what);
    return false;
}

/* What GDAL says of what it left out. */
static void take_said(dxf *d, const char *said)
{
    while (*said != '\0') {
        const size_t n = strcspn(said, "\n");
        const char *text = aw_letters_decode(d->plan->memory, said, n < 200 ? n : 200, "UTF-8");
        if (text != NULL && strncmp(text, "ERROR", 5) == 0) {
            d->plan->n_dropped++;
            aw_plan_note(d->plan, "an entity could not be read and is left out: %s", text);
        } else if (text != NULL && strstr(text, "does not exist") != NULL) {
            aw_plan_note(d->plan, "%s: bind the reference in the drawing program and save it again",
                         strncmp(text, "Warning 1: ", 11) == 0 ? text + 11 : text);
        }
        said += n + (said[n] == '\n');
    }
}

/* The first line that says ERROR, else nothing. */
static const char *first_error(const char *said)
{
    const char *at = said != NULL ? strstr(said, "ERROR ") : NULL;
    return at != NULL ? at : "";
}

static bool judge(dxf *d, const aw_child *child, aw_child_end end)
{
    const char *error = first_error(child->said.at);
    switch (end) {
    case AW_CHILD_DONE:
        if (child->said.n > 0)
            take_said(d, child->said.at);
        return true;
    case AW_CHILD_MISSING:
        return refuse(d, "reading a DXF takes the program ogr2ogr; install gdal-bin "
                         "(Debian: apt-get install gdal-bin), or save the plan as GeoJSON");
    case AW_CHILD_LATE:
        return refuse(d, "reading the drawing took over 14 s, which is the limit");
    case AW_CHILD_LONG:
        return refuse(d, "the drawing comes apart into over 512 MB, which is the limit");
    case AW_CHILD_STOPPED:
        if (d->n_lines > MOST_LINES)
            return refuse(d, "the drawing comes apart into over 2 000 000 pieces, which is the "
                             "limit");
        return d->failed ? aw_plan_run_out(d->run) : false;
    case AW_CHILD_FAILED:
        return refuse(d, "out of memory for the program that reads the drawing");
    default:
        aw_errors_add(d->run->errors, AW_ERROR, 0, 0,
                      "the drawing is damaged: ogr2ogr could not read it%s%.*s",
                      *error != '\0' ? ": " : "", (int)strcspn(error, "\n"), error);
        return false;
    }
}

static bool ogr2ogr(dxf *d, const char *const words[],
                    bool (*take)(char line[], size_t length, void *context))
{
    aw_child child = {.program = "ogr2ogr",
                      .words = words,
                      .input = d->file,
                      .seconds = &d->seconds,
                      .take = take,
                      .context = d};
    d->n_lines = 0;
    const aw_child_end end = aw_child_run(&child, d->run);
    const bool fine = judge(d, &child, end);
    aw_text_free(&child.said);
    return fine;
}

/* --- what comes --- */

/* Invalid UTF-8 becomes '?': the reader of JSON would refuse the line. */
static json_t *read_line(dxf *d, char line[], size_t length)
{
    json_error_t error;
    const uint8_t *bad;
    if (++d->n_lines > MOST_LINES)
        return NULL;
    while ((bad = u8_check((const uint8_t *)line, length)) != NULL)
        line[(const char *)bad - line] = '?';
    return json_loadb(line, length, JSON_ALLOW_NUL, &error);
}

static const char *property(const json_t *feature, const char *key)
{
    return json_string_value(json_object_get(json_object_get(feature, "properties"), key));
}

/* The colour of a style ends in its opacity: PEN(c:#00ff0000). */
static bool is_transparent(const char *style)
{
    const char *colour = style != NULL ? strstr(style, "c:#") : NULL;
    return colour != NULL && strspn(colour + 3, "0123456789abcdefABCDEF") == 8 &&
           colour[9] == '0' && colour[10] == '0';
}

/* LABEL(f:"Arial",t:"12,s:3g",s:2.5g): the size, in the drawing's unit. */
static double text_height(const char *style)
{
    bool quoted = false;
    for (const char *c = style; c != NULL && *c != '\0'; c++) {
        if (*c == '\\' && c[1] != '\0')
            c++;
        else if (*c == '"')
            quoted = !quoted;
        else if (!quoted && strncmp(c, ",s:", 3) == 0)
            return strtod(c + 3, NULL);
    }
    return (double)NAN;
}

/* The insert with a handle, which is the only one. */
static size_t find_insert(const dxf *d, const char *handle)
{
    size_t low = 0, high = d->plan->n_inserts;
    if (!d->plan->names_by_piece || handle == NULL)
        return AW_NO_INSERT;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const int by = strcmp(d->plan->inserts[d->by_handle[middle]].handle, handle);
        if (by == 0)
            return d->by_handle[middle];
        if (by < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return AW_NO_INSERT;
}

/* Pieces that a block draws on layer 0 stand on the layer of the block: GDAL hides them with layer
 * 0. */
static bool is_hidden(const dxf *d, const json_t *feature, const char *layer, size_t insert)
{
    const char *handle = property(feature, "EntityHandle");
    if (handle != NULL && aw_dxf_is_invisible(&d->scan, handle))
        return true;
    if (!is_transparent(property(feature, "OGR_STYLE")))
        return false;
    return !(d->layer_0_hidden && insert != AW_NO_INSERT && strcmp(layer, "0") != 0 &&
             !d->plan->layers[d->plan->inserts[insert].layer].hidden);
}

static bool is_true(const json_t *feature, const char *key)
{
    const json_t *value = json_object_get(json_object_get(feature, "properties"), key);
    return json_is_true(value) || (json_is_integer(value) && json_integer_value(value) != 0);
}

static bool add_feature(dxf *d, const json_t *feature)
{
    aw_plan *p = d->plan;
    const char *layer = property(feature, "Layer"), *text = property(feature, "Text");
    aw_piece piece = {.kind = AW_PIECE_POINT, .height = (double)NAN};
    if (is_true(feature, "PaperSpace")) {
        p->n_paper++;
        return true;
    }
    layer = layer != NULL ? layer : "0";
    piece.insert = find_insert(d, property(feature, "EntityHandle"));
    if (text != NULL && *text != '\0') {
        piece.kind = AW_PIECE_TEXT;
        piece.height = text_height(property(feature, "OGR_STYLE"));
        piece.text = aw_letters_decode(p->memory, text, strlen(text), "UTF-8");
        if (piece.text == NULL)
            return false;
    }
    layer = aw_letters_decode(p->memory, layer, strlen(layer), "UTF-8");
    if (layer == NULL || !aw_plan_layer_at(p, layer, &d->layer))
        return false;
    piece.layer = d->layer;
    piece.hidden = is_hidden(d, feature, layer, piece.insert);
    return aw_plan_add_geometry(p, json_object_get(feature, "geometry"), &piece, NULL);
}

static bool take_piece(char line[], size_t length, void *context)
{
    dxf *d = context;
    json_t *feature = read_line(d, line, length);
    if (feature == NULL) {
        d->plan->n_dropped += d->n_lines <= MOST_LINES;
        return d->n_lines <= MOST_LINES;
    }
    d->failed = !add_feature(d, feature);
    json_decref(feature);
    return !d->failed;
}

/* ["H 7.5", "NAME A 1"]: tag, blank, value. */
static bool read_attributes(dxf *d, const json_t *list, aw_insert *insert)
{
    const size_t n = json_array_size(list);
    aw_attribute *all = n > 0 ? aw_arena_take_array(d->plan->memory, n, sizeof *all) : NULL;
    if (n > 0 && all == NULL)
        return false;
    for (size_t i = 0; i < n; i++) {
        const char *text = json_string_value(json_array_get(list, i));
        text = text != NULL ? text : "";
        const size_t tag = strcspn(text, " ");
        const char *value = text[tag] == ' ' ? text + tag + 1 : "";
        all[i] = (aw_attribute){aw_letters_decode(d->plan->memory, text, tag, "UTF-8"),
                                aw_letters_decode(d->plan->memory, value, strlen(value), "UTF-8")};
        if (all[i].tag == NULL || all[i].value == NULL)
            return false;
    }
    insert->attributes = all;
    insert->n_attributes = n;
    return true;
}

static bool add_reference(dxf *d, const json_t *feature)
{
    aw_plan *p = d->plan;
    const char *layer = property(feature, "Layer"), *block = property(feature, "BlockName"),
               *handle = property(feature, "EntityHandle");
    const json_t *at = json_object_get(json_object_get(feature, "geometry"), "coordinates");
    const json_t *x = json_array_get(at, 0), *y = json_array_get(at, 1);
    aw_insert insert = {0};
    if (block == NULL || is_true(feature, "PaperSpace") || !json_is_number(x) || !json_is_number(y))
        return true;
    layer = layer != NULL ? layer : "0";
    layer = aw_letters_decode(p->memory, layer, strlen(layer), "UTF-8");
    insert.block = aw_letters_decode(p->memory, block, strlen(block), "UTF-8");
    insert.handle = aw_arena_copy_text(p->memory, handle != NULL ? handle : "",
                                       handle != NULL ? strlen(handle) : 0);
    insert.at = (aw_point){json_number_value(x), json_number_value(y)};
    if (layer == NULL || insert.block == NULL || insert.handle == NULL ||
        !aw_plan_layer_at(p, layer, &d->layer))
        return false;
    insert.layer = d->layer;
    return read_attributes(
               d, json_object_get(json_object_get(feature, "properties"), "BlockAttributes"),
               &insert) &&
           aw_plan_add_insert(p, &insert);
}

static bool take_reference(char line[], size_t length, void *context)
{
    dxf *d = context;
    json_t *feature = read_line(d, line, length);
    if (feature == NULL)
        return d->n_lines <= MOST_LINES;
    d->failed = !add_reference(d, feature);
    json_decref(feature);
    return !d->failed;
}

/* --- the runs --- */

static int compare_handles(const void *a, const void *b, void *context)
{
    const aw_insert *inserts = context;
    return strcmp(inserts[*(const size_t *)a].handle, inserts[*(const size_t *)b].handle);
}

/* The handles are names only if no two inserts share one; a grid of one insert does. */
static bool sort_inserts(dxf *d)
{
    aw_plan *p = d->plan;
    d->by_handle = calloc(p->n_inserts + 1, sizeof *d->by_handle);
    if (d->by_handle == NULL)
        return aw_plan_run_out(d->run);
    for (size_t i = 0; i < p->n_inserts; i++)
        d->by_handle[i] = i;
    qsort_r(d->by_handle, p->n_inserts, sizeof *d->by_handle, compare_handles, p->inserts);
    p->names_by_piece = d->scan.has_handles && p->n_inserts > 0;
    return true;
}

#define SKIP(d)                                                                                    \
    "--config", "GDAL_SKIP", (d)->drivers.at != NULL ? (d)->drivers.at : "OGR_VRT", "--config",    \
        "DXF_ENCODING", (d)->scan.encoding
#define FROM(sql)                                                                                  \
    "-f", "GeoJSONSeq", "/vsistdout/", AW_CHILD_INPUT, "-lco", "COORDINATE_PRECISION=6",           \
        "-dialect", "OGRSQL", "-sql", sql

static bool run_both(dxf *d)
{
    const char *const pieces[] = {
        SKIP(d),
        "--config",
        "OGR_ARC_STEPSIZE",
        "1",
        "--config",
        "DXF_MERGE_BLOCK_GEOMETRIES",
        "FALSE",
        "--config",
        "DXF_FEATURE_LIMIT_PER_BLOCK",
        "100000",
        FROM("SELECT Layer, PaperSpace, EntityHandle, Text, OGR_STYLE FROM entities"),
        NULL};
    const char *const references[] = {
        SKIP(d),
        "--config",
        "DXF_INLINE_BLOCKS",
        "FALSE",
        FROM("SELECT Layer, BlockName, BlockAttributes, PaperSpace, EntityHandle FROM entities "
             "WHERE BlockName IS NOT NULL"),
        NULL};
    if (d->scan.has_inserts) {
        aw_watch_stage(d->run->watch, 0, "reading blocks");
        if (!ogr2ogr(d, references, take_reference) || !sort_inserts(d))
            return false;
    }
    aw_watch_stage(d->run->watch, d->scan.n_entities, "reading entities");
    return ogr2ogr(d, pieces, take_piece);
}

static bool list_drivers(dxf *d)
{
    static const char *const formats[] = {"--formats", NULL};
    return ogr2ogr(d, formats, take_driver) && !d->drivers.failed;
}

static const char HEADER_TEXT[] = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n0\nENDSEC\n"
                                  "0\nSECTION\n2\nTABLES\n0\nENDSEC\n";

/* GDAL wants a header first, and no comments before it. */
static bool open_copy(dxf *d, const char text[], size_t length)
{
    const char *const parts[] = {HEADER_TEXT, text + d->scan.begin};
    const size_t lengths[] = {d->scan.has_header ? 0 : sizeof HEADER_TEXT - 1,
                              length - d->scan.begin};
    d->file = aw_child_file(parts, lengths, 2);
    return d->file >= 0 || aw_plan_run_out(d->run);
}

/* Solids and pictures that GDAL leaves out without a word. */
static void note_left_out(aw_plan *p, const aw_dxf_scan *scan)
{
    static const char *const silent[] = {
        "IMAGE",     "REGION",  "3DSOLID",           "BODY",     "SURFACE",
        "OLE2FRAME", "WIPEOUT", "ACAD_PROXY_ENTITY", "UNDERLAY", "PDFUNDERLAY",
        "RAY",       "XLINE",   "ACAD_TABLE",        "TOLERANCE"};
    for (size_t i = 0; i < scan->n_types; i++)
        for (size_t k = 0; k < sizeof silent / sizeof *silent; k++)
            if (strcasecmp(scan->types[i].type, silent[k]) == 0)
                aw_plan_note(p, "%zu entit%s of type %s hold%s no lines and %s left out",
                             scan->types[i].n, scan->types[i].n == 1 ? "y" : "ies", silent[k],
                             scan->types[i].n == 1 ? "s" : "",
                             scan->types[i].n == 1 ? "is" : "are");
    for (size_t i = 0; i < scan->n_blocks; i++)
        if (scan->blocks[i].path != NULL)
            aw_plan_note(p,
                         "block %s stands in another file, %s: bind the reference in the drawing "
                         "program and save it again",
                         scan->blocks[i].name, scan->blocks[i].path);
}

static bool take_tables(dxf *d)
{
    aw_plan *p = d->plan;
    size_t layer = 0;
    memcpy(p->version, d->scan.version, sizeof p->version);
    p->header_unit = d->scan.unit;
    for (size_t i = 0; i < d->scan.n_layers; i++) {
        if (!aw_plan_layer_at(p, d->scan.layers[i].name, &layer))
            return aw_plan_run_out(d->run);
        p->layers[layer].hidden = d->scan.layers[i].hidden;
        d->layer_0_hidden |= d->scan.layers[i].hidden && strcmp(p->layers[layer].name, "0") == 0;
    }
    note_left_out(p, &d->scan);
    if (!d->scan.ended)
        aw_plan_note(p, "the drawing ends without EOF: something may be missing");
    return true;
}

/* The points of inserts are yet where the drawing has them. */
static void move_inserts(aw_plan *p)
{
    for (size_t i = 0; i < p->n_inserts; i++) {
        p->inserts[i].at.x -= p->base[0];
        p->inserts[i].at.y -= p->base[1];
    }
}

bool aw_plan_read_dxf(aw_plan *plan, const char text[], size_t length, const aw_run *run)
{
    dxf d = {.plan = plan, .run = run, .file = -1, .seconds = AW_CHILD_SECONDS};
    plan->form = AW_PLAN_DXF;
    const bool done = aw_dxf_scan_read(&d.scan, text, length, run->errors) && take_tables(&d) &&
                      open_copy(&d, text, length) && list_drivers(&d) && run_both(&d);
    if (done)
        move_inserts(plan);
    if (d.file >= 0)
        close(d.file);
    free(d.by_handle);
    aw_text_free(&d.drivers);
    aw_dxf_scan_free(&d.scan);
    return done;
}
