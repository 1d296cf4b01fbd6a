/** @file chart.h
 *  The accuracy chart: one quantity over the floor, drawn as a nautical chart at a true scale.
 *
 *  docs/charts.md explains every mark. The same scenario and options give the same sheet: no clock,
 * no chance but the scenario's seed. */
#ifndef AW_DRAW_CHART_H
#define AW_DRAW_CHART_H

#include "anchorwise/map.h"
#include "draw/sheet.h"

typedef enum aw_paper {
    AW_PAPER_A4,
    AW_PAPER_A3,
    AW_PAPER_A1,
    AW_PAPER_LETTER,
    AW_PAPER_TABLOID,
    AW_PAPERS
} aw_paper;

typedef struct aw_paper_row {
    const char *name;
    double width, height; /**< mm, landscape */
    double text_size;     /**< mm */
} aw_paper_row;

extern const aw_paper_row aw_paper_rows[AW_PAPERS];

/** A file as the title block tells of it; NULL: not told. */
typedef struct aw_checked_file {
    const char *name;
    const char *checksum; /**< aw_checksum() of its bytes */
} aw_checked_file;

typedef struct aw_chart_options {
    aw_layer layer;
    aw_paper paper;
    bool portrait, grey;
    bool relative; /**< zones are tinted by shares of their need, not by fixed classes; p95 only */
    bool by_tag;   /**< the whole floor, zones and spots too, is of `tag` */
    size_t tag;
    double least_text;    /**< mm; text is not set smaller than this */
    const char *date;     /**< as it shall stand in the title block; NULL: none */
    const char *revision; /**< likewise, as the next ones are */
    const char *client, *site, *number, *author;
    aw_checked_file files[2]; /**< the scenario; of two layouts both */
    bool assessed; /**< zones are assessed: verdicts, worst spots and a headline stand on the sheet
                    */
    const struct aw_pale *pale; /**< the client's plan under it, not owned; NULL: none */
    const aw_point *spots;      /**< whose bearings are drawn, m */
    size_t n_spots;
} aw_chart_options;

/** What a chart shows, computed once: its values over the floor. */
typedef struct aw_chart aw_chart;

/** Computes a chart of a scenario that passed aw_map_check(); both must outlive it, as must what
 * the options point to. Zones with a tag of their own get that tag's values, unless the chart is by
 * one tag; needs of zones with another tag are then not marked. NULL if stopped (no
 *  complaint), without memory, if the layer has no value anywhere (a 2d tag has no VDOP), a spot is
 * off the floor, or a chart relative to needs has none to show (errors). */
aw_chart *aw_chart_create(const aw_scenario *scenario, const aw_chart_options *options,
                          const aw_run *run);
void aw_chart_free(aw_chart *chart);

/** Lays out its sheet; no map is run, only the spots are drawn. False without memory (an error).
 *  aw_sheet_free() the sheet either way. */
bool aw_chart_draw(aw_sheet *sheet, const aw_chart *chart, aw_errors *errors);

/** Layer by its key ("p95_m"); AW_LAYERS if there is none. */
aw_layer aw_layer_named(const char *key);

#endif
