/* Writing DXF, R12: what every program reads. An anchor is a reference of a block with its name and
 * height as attributes, and a text beside it, since not all programs show attributes of R12. */
#include <math.h>
#include <stdint.h>
#include <string.h>
#include <unistr.h>

#include "plan/inside.h"
#include "plan/marks.h"
#include "plan/unit.h"

#define LETTERS 0.3  /* m high */
#define SYMBOL  0.25 /* m from the middle of an anchor's cross to its ends */

typedef struct writing {
    const aw_marks *marks;
    aw_text *out;
    double unit; /* m */
    int digits;
} writing;

static void pair(writing *w, int code, const char *value)
{
    aw_text_format(w->out, "%3d\n%s\n", code, value);
}

static void number(writing *w, int code, double metres)
{
    aw_text_format(w->out, "%3d\n%.*f\n", code, w->digits, metres / w->unit + 0.0);
}

static void point(writing *w, int code, aw_point at)
{
    number(w, code, at.x);
    number(w, code + 10, at.y);
}

/* ASCII, other characters written out. */
static void words(writing *w, int code, const char *text)
{
    aw_text_format(w->out, "%3d\n", code);
    for (const uint8_t *at = (const uint8_t *)text; *at != '\0';) {
        ucs4_t c;
        const int width = u8_strmbtouc(&c, at);
        if (c >= 0x20 && c < 0x7F)
            aw_text_format(w->out, "%c", (int)c);
        else if (c > 0xFFFF)
            aw_text_format(w->out, "\\U+%04X\\U+%04X", (unsigned)(0xD800 + ((c - 0x10000) >> 10)),
                           (unsigned)(0xDC00 + ((c - 0x10000) & 0x3FF)));
        else
            aw_text_format(w->out, "\\U+%04X", (unsigned)c);
        at += width > 0 ? width : 1;
    }
    aw_text_add(w->out, "\n");
}

static void begin(writing *w, const char *entity, const char *layer)
{
    pair(w, 0, entity);
    pair(w, 8, layer);
}

/* --- head --- */

static void add_extent(writing *w)
{
    aw_point low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < w->marks->n; i++)
        for (size_t k = 0; k < w->marks->list[i].n; k++) {
            const aw_point at = w->marks->list[i].at[k];
            low = (aw_point){fmin(low.x, at.x), fmin(low.y, at.y)};
            high = (aw_point){fmax(high.x, at.x), fmax(high.y, at.y)};
        }
    pair(w, 9, "$EXTMIN");
    point(w, 10, low);
    pair(w, 9, "$EXTMAX");
    point(w, 10, high);
}

static void add_header(writing *w, aw_plan_unit unit)
{
    static const char *const codes[AW_PLAN_UNITS] = {"4", "5", "6", "1", "2"};
    const bool imperial = unit == AW_PLAN_IN || unit == AW_PLAN_FT;
    pair(w, 0, "SECTION");
    pair(w, 2, "HEADER");
    pair(w, 9, "$ACADVER");
    pair(w, 1, "AC1009");
    pair(w, 9, "$DWGCODEPAGE");
    pair(w, 3, "ANSI_1252");
    pair(w, 9, "$INSUNITS");
    pair(w, 70, codes[unit]);
    pair(w, 9, "$MEASUREMENT");
    pair(w, 70, imperial ? "0" : "1");
    add_extent(w);
    pair(w, 9, "$PDMODE");
    pair(w, 70, "35");
    pair(w, 9, "$PDSIZE");
    number(w, 40, SYMBOL);
    pair(w, 0, "ENDSEC");
}

static bool is_first_of_layer(const aw_marks *m, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (strcmp(m->list[k].layer, m->list[i].layer) == 0)
            return false;
    return true;
}

static void add_layer(writing *w, const char *name, int colour)
{
    pair(w, 0, "LAYER");
    pair(w, 2, name);
    pair(w, 70, "0");
    aw_text_format(w->out, " 62\n%d\n", colour);
    pair(w, 6, "CONTINUOUS");
}

static void add_tables(writing *w)
{
    pair(w, 0, "SECTION");
    pair(w, 2, "TABLES");
    pair(w, 0, "TABLE");
    pair(w, 2, "LTYPE");
    pair(w, 70, "1");
    pair(w, 0, "LTYPE");
    pair(w, 2, "CONTINUOUS");
    pair(w, 70, "0");
    pair(w, 3, "Solid line");
    pair(w, 72, "65");
    pair(w, 73, "0");
    pair(w, 40, "0.0");
    pair(w, 0, "ENDTAB");
    pair(w, 0, "TABLE");
    pair(w, 2, "LAYER");
    pair(w, 70, "32");
    add_layer(w, "0", 7);
    add_layer(w, "AW-ANCHOR-TEXT", 7);
    for (size_t i = 0; i < w->marks->n; i++)
        if (is_first_of_layer(w->marks, i))
            add_layer(w, w->marks->list[i].layer, 1 + (int)(i % 6));
    pair(w, 0, "ENDTAB");
    pair(w, 0, "TABLE");
    pair(w, 2, "STYLE");
    pair(w, 70, "1");
    pair(w, 0, "STYLE");
    pair(w, 2, "STANDARD");
    pair(w, 70, "0");
    pair(w, 40, "0.0");
    pair(w, 41, "1.0");
    pair(w, 50, "0.0");
    pair(w, 71, "0");
    number(w, 42, LETTERS);
    pair(w, 3, "txt");
    pair(w, 4, "");
    pair(w, 0, "ENDTAB");
    pair(w, 0, "ENDSEC");
}

static void add_line(writing *w, const char *layer, aw_point a, aw_point b)
{
    begin(w, "LINE", layer);
    point(w, 10, a);
    point(w, 11, b);
}

static void add_tag(writing *w, const char *tag, double down)
{
    begin(w, "ATTDEF", "0");
    point(w, 10, (aw_point){SYMBOL, -down});
    number(w, 40, LETTERS);
    pair(w, 1, "");
    pair(w, 3, tag);
    pair(w, 2, tag);
    pair(w, 70, "0");
}

static void add_blocks(writing *w)
{
    pair(w, 0, "SECTION");
    pair(w, 2, "BLOCKS");
    begin(w, "BLOCK", "0");
    pair(w, 2, "AW_ANCHOR");
    pair(w, 70, "2");
    point(w, 10, (aw_point){0, 0});
    pair(w, 3, "AW_ANCHOR");
    add_line(w, "0", (aw_point){-SYMBOL, 0}, (aw_point){SYMBOL, 0});
    add_line(w, "0", (aw_point){0, -SYMBOL}, (aw_point){0, SYMBOL});
    add_tag(w, "NAME", 0);
    add_tag(w, "HEIGHT", LETTERS);
    begin(w, "ENDBLK", "0");
    pair(w, 0, "ENDSEC");
}

/* --- entities --- */

static void add_text(writing *w, const char *layer, aw_point at, const char *text)
{
    begin(w, "TEXT", layer);
    point(w, 10, at);
    number(w, 40, LETTERS);
    words(w, 1, text);
}

static void add_attribute(writing *w, const aw_mark *m, double down, const char *tag,
                          const char *value)
{
    begin(w, "ATTRIB", m->layer);
    point(w, 10, (aw_point){m->at[0].x + SYMBOL, m->at[0].y - down});
    number(w, 40, LETTERS);
    words(w, 1, value);
    pair(w, 2, tag);
    pair(w, 70, "1");
}

static void add_anchor(writing *w, const aw_mark *m)
{
    char height[32];
    snprintf(height, sizeof height, "%.3f", m->height);
    begin(w, "INSERT", m->layer);
    pair(w, 66, "1");
    pair(w, 2, "AW_ANCHOR");
    point(w, 10, m->at[0]);
    add_attribute(w, m, 0, "NAME", m->name);
    add_attribute(w, m, LETTERS, "HEIGHT", height);
    begin(w, "SEQEND", m->layer);
    add_text(w, "AW-ANCHOR-TEXT", (aw_point){m->at[0].x + SYMBOL, m->at[0].y + SYMBOL}, m->name);
}

static void add_path(writing *w, const aw_mark *m)
{
    begin(w, "POLYLINE", m->layer);
    pair(w, 66, "1");
    pair(w, 10, "0");
    pair(w, 20, "0");
    pair(w, 70, m->kind == AW_MARK_RING ? "1" : "0");
    for (size_t i = 0; i < m->n; i++) {
        begin(w, "VERTEX", m->layer);
        point(w, 10, m->at[i]);
    }
    begin(w, "SEQEND", m->layer);
    if (m->name != NULL && m->kind == AW_MARK_RING)
        add_text(w, m->layer, aw_ring_inside(m->at, m->n), m->name);
}

void aw_marks_dxf(const aw_marks *marks, aw_text *out)
{
    const aw_plan_unit unit = marks->place->unit;
    writing w = {marks, out, aw_plan_unit_metres[unit],
                 unit == AW_PLAN_M || unit == AW_PLAN_FT ? 9 : 6};
    add_header(&w, unit);
    add_tables(&w);
    add_blocks(&w);
    pair(&w, 0, "SECTION");
    pair(&w, 2, "ENTITIES");
    for (size_t i = 0; i < marks->n; i++)
        if (marks->list[i].kind == AW_MARK_ANCHOR)
            add_anchor(&w, &marks->list[i]);
        else
            add_path(&w, &marks->list[i]);
    pair(&w, 0, "ENDSEC");
    pair(&w, 0, "EOF");
}
