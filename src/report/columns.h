/** @file
 *  Tables declared once: a column names a member of what its rows tell of, and how people read it.
 *  The rows are those of the JSON (shape.h); a heading is found by the column's name in the one
 *  table of headings, its unit follows from the format.
 *
 *      static const aw_column columns[] = {
 *          {.key = "name", .head = "zone"},
 *          {.key = "p95_m", .format = AW_AS_ERROR, .asked = "need.p95_m"},
 *          {.head = "need", .words = add_need},
 *      };
 *      static const aw_listed zones = AW_LISTED(&aw_assessment_shape, "zones", NULL, columns);
 *      aw_listed_write(&zones, &document, colour, out);
 */
#ifndef AW_REPORT_COLUMNS_H
#define AW_REPORT_COLUMNS_H

#include "report/shape.h"
#include "report/table.h"

/* How a value is read. Lengths are in the units of the site (lengths.h). */
typedef enum aw_format {
    AW_AS_TEXT,     /* broken into lines where it has no room */
    AW_AS_WORD,     /* never */
    AW_AS_FIGURE,   /* likewise, to the right */
    AW_AS_ERROR,    /* two digits of m; with more where something is asked, at most */
    AW_AS_FINE,     /* of an error, mm */
    AW_AS_PLACE,    /* on the site, cm */
    AW_AS_RANGE,    /* on the site, dm */
    AW_AS_DISTANCE, /* on the site, two digits */
    AW_AS_AREA,
    AW_AS_SPOT,  /* x, y */
    AW_AS_SPACE, /* x, y, height */
    AW_AS_SHARE, /* percent; with more digits where something is asked, at least */
    AW_AS_COUNT,
    AW_AS_AMOUNT, /* of money, in the scenario's currency */
    AW_AS_DEGREES,
    AW_AS_TENTHS, /* of degrees */
    AW_AS_DB,
    AW_AS_DBM,
    AW_AS_VERDICT, /* in its colour */
    AW_FORMATS
} aw_format;

/* A path leads from a row's shape to a member: by keys, with dots between, into objects, and by an
 * index to an item of a list: "need.p95_m", "p95_m.0". */
typedef struct aw_column {
    const char *key;        /* a path; NULL: `words` alone */
    const char *head;       /* its name among the headings; NULL: the path */
    const char *of;         /* a name behind the heading; NULL: none */
    const char *asked;      /* the path of what is asked of it */
    const char *low, *high; /* paths: "VALUE (LOW to HIGH)", without a key "LOW to HIGH" */
    const char *none;       /* where its member has no value; NULL: a dash */
    bool blank;             /* where nothing is there, nothing; false: a dash */
    aw_format format;
    /* Adds what is not one member: behind the key's value, where that is there. */
    void (*words)(const aw_subject *row, size_t item, aw_units units, aw_text *out);
    aw_verdict (*colour)(const aw_subject *row, size_t item); /* NULL: of a verdict its own */
    size_t item;                                              /* what both are asked for */
} aw_column;

/* Such a function of one file. */
#define AW_WORDS(name)                                                                             \
    static void name(__attribute__((unused)) const aw_subject *row,                                \
                     __attribute__((unused)) size_t item, __attribute__((unused)) aw_units units,  \
                     aw_text *out)

/* A table of a document: which list its rows are, which of them, and its columns. */
typedef struct aw_listed {
    const aw_shape *document;
    const char *rows; /* the path of a list */
    const char *only; /* path at which a row has a value, or is not shown; NULL: all are */
    const aw_column *columns;
    size_t n;
} aw_listed;

#define AW_LISTED(document_, rows_, only_, columns_)                                               \
    {                                                                                              \
        .document = (document_), .rows = (rows_), .only = (only_), .columns = (columns_),          \
        .n = sizeof(columns_) / sizeof *(columns_)                                                 \
    }

/* Writes the table and an empty line; nothing without rows. The document's subject begins with an
 * aw_report_run (run.h). */
void aw_listed_write(const aw_listed *what, const aw_subject *document, bool colour, aw_text *out);

/* The same in steps, where rows come from several places: the object at a path, whose key names a
 * row that has no name, and the rows of the list. */
typedef struct aw_listing {
    const aw_listed *what;
    const aw_subject *document;
    aw_table table;
} aw_listing;
void aw_listing_add(aw_listing *list, const char *path);
void aw_listing_add_rows(aw_listing *list);
/* A row of the list's shape that the list has not. */
void aw_listing_add_row(aw_listing *list, const aw_subject *row);
void aw_listing_write(aw_listing *list, aw_text *out);

/* --- what several tables have in a column --- */

/* The need of a zone, of rows with one at s->i of a document; of an aw_zone_result why it does not
 * meet its own, or that it does with margin, and its chance; a star for a zone with a level over
 * it. */
void aw_add_zone_need(const aw_subject *row, size_t item, aw_units units, aw_text *out);
void aw_add_reasons(const aw_subject *row, size_t item, aw_units units, aw_text *out);
void aw_add_chance(const aw_subject *row, size_t item, aw_units units, aw_text *out);
void aw_add_level_star(const aw_subject *row, size_t item, aw_units units, aw_text *out);

/* What is at a path: its member, NULL if the shape has none or an object on the way is not there.
 * The caller frees value->room. An item of a list of numbers is in value->number. */
const aw_member *aw_path_find(const aw_shape *shape, const aw_subject *subject, const char *path,
                              aw_value *value);

/* The words of a heading; a name that is not among them is a fault of the program. */
const char *aw_heading(const char *name);

/* Likewise of what is told by one of a few words, "SUBJECT.NAME": a verdict, a direction, a side.
 */
const char *aw_word(const char *subject, const char *name);

#endif
