/* What was asked and what is reached: a row for each zone. */
#include <math.h>

#include "book/client.h"
#include "report/standing.h"
#include "report/stamp.h"
#include "report/words.h"
#include "report/worth.h"
#include "report/lengths.h"

/* "–" where a part is not asked. */
static void add_good(aw_client *c, const aw_zone_result *r)
{
    const aw_part_result *p = &r->parts[AW_PART_SHARE];
    const bool asked = !isnan(p->asked);
    if (!asked || isnan(p->found.value)) {
        aw_book_add_cell(c->book, SAY(c, DASH));
        return;
    }
    const char *share = aw_client_share(c, p->found.value, p->asked);
    const bool missed = p->verdict == AW_NOT_MET;
    aw_book_add_number(c->book, missed ? SAY(c, MISSED, share) : share, p->found.value, "share",
                       AW_FIGURE_DRAWN)
        ->look = missed ? AW_LOOK_MISSED : AW_LOOK_PLAIN;
}

static void add_p95(aw_client *c, const aw_zone_result *r)
{
    const aw_part_result *p = &r->parts[AW_PART_P95];
    const bool missed = p->verdict == AW_NOT_MET && !isnan(p->asked);
    const char *p95 = aw_client_error(c, r->errors.p95, p->asked);
    aw_book_add_number(c->book, missed ? SAY(c, MISSED, p95) : p95, r->errors.p95, "m",
                       AW_FIGURE_DRAWN)
        ->look = missed ? AW_LOOK_MISSED : AW_LOOK_STRONG;
}

static void add_row(aw_client *c, size_t zone)
{
    const aw_zone_result *r = &c->st->assessment.zones[zone];
    const aw_zone *z = &c->s->zones[zone];
    char name[AW_ROW_NAME_ROOM];
    aw_book_add_seen(c->book, aw_row_name(c->s, zone, name), AW_LOOK_STRONG)->under =
        aw_book_copy(c->book, c->s->tags[z->tag].name);
    const char *asked = aw_client_asked(c, z);
    aw_book_add_cell(c->book, *asked != '\0' ? asked : SAY(c, DASH));
    aw_book_add_number(c->book, aw_client_error(c, r->errors.p50, z->need.p50), r->errors.p50, "m",
                       AW_FIGURE_DRAWN);
    add_p95(c, r);
    aw_book_add_cell(c->book, isfinite(r->band_low) && isfinite(r->band_high)
                                  ? SAY(c, TO, aw_client_error(c, r->band_low, (double)NAN),
                                        aw_client_error(c, r->band_high, (double)NAN))
                                  : SAY(c, NONE));
    add_good(c, r);
    aw_book_add_number(c->book, aw_chance_words(r).text, r->parts[AW_PART_CHANCE].found.value,
                       "share", AW_FIGURE_DRAWN);
    aw_book_add_seen(c->book, aw_client_verdict(c, r), aw_client_look(r));
    aw_book_add_cell(c->book, aw_client_spot(c, r->errors.worst_at));
}

/* p95 of the floor alone, where there is no zone. */
static void add_floor(aw_client *c)
{
    const aw_pooled *floor = &c->st->assessment.floor;
    aw_book_add_seen(c->book, SAY(c, FLOOR), AW_LOOK_STRONG)->under =
        aw_book_copy(c->book, c->s->tags[0].name);
    aw_book_add_cell(c->book, SAY(c, DASH));
    aw_book_add_number(c->book, aw_client_error(c, floor->p50, (double)NAN), floor->p50, "m",
                       AW_FIGURE_DRAWN);
    aw_book_add_number(c->book, aw_client_error(c, floor->p95, (double)NAN), floor->p95, "m",
                       AW_FIGURE_DRAWN)
        ->look = AW_LOOK_STRONG;
    for (int k = 0; k < 3; k++)
        aw_book_add_cell(c->book, SAY(c, DASH));
    aw_book_add_seen(c->book, SAY(c, NOT_ASKED), AW_LOOK_UNASKED);
    aw_book_add_cell(c->book, aw_client_spot(c, floor->worst_at));
}

void aw_client_zones(aw_client *c)
{
    const aw_units units = c->s->units;
    aw_text remarks = {0};
    aw_book_add(c->book, AW_BLOCK_TABLE,
                SAY(c, ZONES_CAPTION, aw_small_unit(units), aw_coordinate_unit(units)));
    aw_client_column(c, AW_SAY_COL_ZONE, false);
    aw_client_column(c, AW_SAY_COL_ASKED, false);
    aw_client_column(c, AW_SAY_COL_P50, true);
    aw_client_column(c, AW_SAY_COL_P95, true);
    aw_client_column(c, AW_SAY_COL_RANGE, true);
    aw_client_column(c, AW_SAY_COL_GOOD, true);
    aw_client_column(c, AW_SAY_COL_CHANCE, true);
    aw_client_column(c, AW_SAY_COL_VERDICT, true);
    aw_client_column(c, AW_SAY_COL_WORST, true);
    for (size_t i = 0; i < c->s->n_zones; i++)
        add_row(c, i);
    if (c->s->n_zones == 0)
        add_floor(c);
    aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, ZONES_NOTE));
    aw_level_remarks(c->s, &remarks);
    aw_bench_warning(c->s, &remarks);
    const char *text = aw_book_take(c->book, &remarks);
    if (*text != '\0')
        aw_book_add(c->book, AW_BLOCK_TEXT, text);
}

void aw_client_chart(aw_client *c)
{
    const aw_studies *st = c->st;
    for (size_t i = aw_studies_picture(st, AW_PICTURE_CHART, 0); i < st->n_pictures;
         i = aw_studies_picture(st, AW_PICTURE_CHART, i + 1)) {
        const aw_tag *tag = &c->s->tags[st->pictures[i].tag];
        const char *height =
            aw_book_copy(c->book, aw_coordinate_words("%.4g", tag->height, c->s->units).text);
        aw_book_add(c->book, AW_BLOCK_FIGURE,
                    SAY(c, CHART_CAPTION, tag->name, height,
                        c->s->units == AW_FEET ? SAY(c, INCHES) : SAY(c, CENTIMETRES)))
            ->figure = i;
    }
}
