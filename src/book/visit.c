/* The order is that of the report's section on what to confirm; lines of things in the hall follow
 * from the scenario. Blanks are to be filled in on site. */
#include "book/visit.h"

#include "anchorwise/level.h"
#include "book/mounting.h"
#include "report/lengths.h"

#define BLANK "…………"

static const char *on_site(aw_client *c, double metres)
{
    return aw_book_copy(c->book, aw_coordinate_figure("%.2f", metres, c->s->units).text);
}

/* Assumptions: how to measure them, what to photograph and ask. */
static void add_ranked(aw_client *c)
{
    aw_assumption order[AW_ASSUMPTIONS];
    size_t breaks;
    size_t n = aw_client_order(c, order, &breaks);
    const bool ranked = n > 0;
    for (int a = 0; !ranked && a < AW_ASSUMPTIONS; a++)
        if (aw_assumption_range_of(c->s, (aw_assumption)a).present)
            order[n++] = (aw_assumption)a;
    aw_book_begin(c->book, "measure", SAY(c, VISIT_MEASURE))->is_whole = true;
    if (!ranked)
        aw_client_lack(c, AW_SAY_LACK_RANK);
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, VISIT_MEASURE_CAPTION));
    aw_client_column(c, AW_SAY_COL_NUMBER, true);
    aw_client_column(c, AW_SAY_COL_WHAT, false);
    aw_client_column(c, AW_SAY_COL_MEASURE, false);
    aw_client_column(c, AW_SAY_COL_PHOTOGRAPH, false);
    aw_client_column(c, AW_SAY_COL_FOUND, false);
    for (size_t i = 0; i < n; i++) {
        aw_book_add_cell(c->book, aw_book_print(c->book, "%zu", i + 1));
        aw_book_add_seen(c->book, aw_client_assumed(c, order[i]),
                         i < breaks ? AW_LOOK_MISSED : AW_LOOK_STRONG);
        aw_book_add_cell(c->book, aw_client_how(c, order[i]));
        aw_book_add_cell(c->book, c->language->pictured[order[i]]);
        aw_book_add_cell(c->book, BLANK);
    }
    if (breaks > 0)
        aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, VISIT_BREAKS));
}

static void add_thing(aw_client *c, const char *name, const char *material, double base, double top)
{
    aw_book_add_seen(c->book, name, AW_LOOK_STRONG);
    aw_book_add_cell(c->book, material);
    aw_book_add_number(c->book, on_site(c, base), base, "m", AW_FIGURE_STATED);
    aw_book_add_cell(c->book, BLANK);
    aw_book_add_number(c->book, on_site(c, top), top, "m", AW_FIGURE_STATED);
    aw_book_add_cell(c->book, BLANK);
}

static void add_things(aw_client *c)
{
    const aw_scenario *s = c->s;
    aw_book_begin(c->book, "things", SAY(c, VISIT_THINGS));
    if (s->n_obstacles + s->n_walls == 0) {
        aw_client_lack(c, AW_SAY_LACK_THINGS);
        return;
    }
    aw_book_add(c->book, AW_BLOCK_TABLE,
                SAY(c, VISIT_THINGS_CAPTION, aw_coordinate_unit(s->units)));
    aw_client_column(c, AW_SAY_COL_WHAT, false);
    aw_client_column(c, AW_SAY_COL_MATERIAL, false);
    aw_client_column(c, AW_SAY_COL_BASE, true);
    aw_client_column(c, AW_SAY_COL_FOUND, false);
    aw_client_column(c, AW_SAY_COL_TOP, true);
    aw_client_column(c, AW_SAY_COL_FOUND, false);
    for (size_t i = 0, n = aw_named_obstacles(s); i < n; i++)
        add_thing(c, s->obstacles[i].name, s->materials[s->obstacles[i].material].name,
                  s->obstacles[i].base, s->obstacles[i].top);
    for (size_t i = 0; i < s->n_walls; i++)
        add_thing(c, s->walls[i].name, s->materials[s->walls[i].material].name, s->walls[i].base,
                  s->walls[i].top);
}

/* Where anchors are to hang: whether something carries them there. */
static void add_places(aw_client *c)
{
    const aw_scenario *s = c->s;
    aw_book_begin(c->book, "places", SAY(c, VISIT_PLACES));
    aw_book_add(c->book, AW_BLOCK_TABLE,
                SAY(c, VISIT_PLACES_CAPTION, aw_coordinate_unit(s->units)));
    aw_client_column(c, AW_SAY_COL_ANCHOR, false);
    aw_client_column(c, AW_SAY_COL_X, true);
    aw_client_column(c, AW_SAY_COL_Y, true);
    aw_client_column(c, AW_SAY_COL_HEIGHT, true);
    aw_client_column(c, AW_SAY_COL_MOUNT, false);
    aw_client_column(c, AW_SAY_COL_CARRIES, false);
    aw_client_column(c, AW_SAY_COL_STEEL, false);
    for (size_t i = 0; i < s->n_anchors; i++) {
        const double *at = s->anchors[i].at;
        const aw_mount *mount = aw_has_prices(s) ? aw_mount_at(&s->prices, at[2]) : NULL;
        aw_book_add_seen(c->book, s->anchors[i].name, AW_LOOK_STRONG);
        for (int k = 0; k < 3; k++)
            aw_book_add_number(c->book, on_site(c, at[k]), at[k], "m", AW_FIGURE_STATED);
        aw_book_add_cell(c->book, mount != NULL ? mount->name : SAY(c, DASH));
        aw_book_add_cell(c->book, BLANK);
        aw_book_add_cell(c->book, BLANK);
    }
}

static void add_list(aw_client *c, const char *id, aw_phrase title, const aw_phrase items[],
                     size_t n)
{
    aw_book_begin(c->book, id, c->language->phrases[title])->is_whole = true;
    aw_book_add(c->book, AW_BLOCK_LIST, "");
    for (size_t i = 0; i < n; i++)
        aw_book_add_cell(c->book, c->language->phrases[items[i]]);
}

void aw_visit_write(aw_client *c)
{
    static const aw_phrase questions[] = {AW_SAY_ASK_STATES, AW_SAY_ASK_POWER, AW_SAY_ASK_ACCESS,
                                          AW_SAY_ASK_ZONES,  AW_SAY_ASK_TAGS,  AW_SAY_ASK_RADIO,
                                          AW_SAY_ASK_PROOF};
    static const aw_phrase cautions[] = {AW_SAY_CARE_HEIGHT, AW_SAY_CARE_MAINS, AW_SAY_CARE_VISIT,
                                         AW_SAY_CARE_SAFETY};
    aw_book *book = c->book;
    book->run = (aw_report_run){c->s, c->st->plan->file};
    book->kind = "visit";
    book->title = SAY(c, VISIT_TITLE, c->s->title);
    book->headline = SAY(c, VISIT_HEADLINE);
    book->contents = SAY(c, CONTENTS);
    book->page_words = c->language->phrases[AW_SAY_PAGE_OF];
    book->continued = SAY(c, CONTINUED);
    add_ranked(c);
    add_things(c);
    add_places(c);
    add_list(c, "ask", AW_SAY_VISIT_ASK, questions, sizeof questions / sizeof *questions);
    add_list(c, "care", AW_SAY_CARE, cautions, sizeof cautions / sizeof *cautions);
}
