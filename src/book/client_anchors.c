/* The anchors: where they hang, what each is worth, and how far each may move. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/client.h"
#include "book/mounting.h"
#include "report/stamp.h"
#include "report/lengths.h"

/* Zones that fall with an anchor, named at most. */
#define MOST_FALLING 2
/* Items of the list of anchors that cannot be lost; the last one counts the rest. */
#define MOST_VITAL 12

/* Whether a loss makes a zone fall short that does not with all anchors. */
static bool falls(const aw_outage *o, size_t zone, size_t loss)
{
    return aw_outage_at(o, zone + 1, loss)->falls_short &&
           !aw_outage_at(o, zone + 1, 0)->falls_short;
}

/* The zone that falls, with the part that fails where that was drawn. */
static const char *name_fall(aw_client *c, size_t zone, size_t loss)
{
    const aw_sturdy *sturdy = &c->st->outage.sturdy[zone];
    const char *name = c->s->zones[zone].name;
    if (sturdy->loss != loss || sturdy->confirmed.verdict != AW_NOT_MET)
        return SAY(c, FALLS, name);
    aw_text part = {0};
    aw_stamp_part(&sturdy->confirmed, c->s->units, AW_IN_A_TEXT, &part);
    return SAY(c, FALLS_BY, name, aw_book_take(c->book, &part));
}

static bool add_if_lost(aw_client *c, size_t anchor)
{
    const aw_outage *o = &c->st->outage;
    const char *named[MOST_FALLING];
    size_t n = 0;
    for (size_t z = 0; z < c->s->n_zones; z++)
        if (falls(o, z, anchor + 1)) {
            if (n < MOST_FALLING)
                named[n] = name_fall(c, z, anchor + 1);
            n++;
        }
    if (n == 0)
        aw_book_add_cell(c->book, aw_client_needs(c) > 0 ? SAY(c, NONE_FALLS) : SAY(c, DASH));
    else
        aw_book_add_seen(c->book,
                         n > MOST_FALLING
                             ? SAY(c, FALL_MORE, aw_client_list(c, named, MOST_FALLING),
                                   aw_book_print(c->book, "%zu", n - MOST_FALLING))
                             : aw_client_list(c, named, n),
                         AW_LOOK_STRONG);
    return n > 0;
}

/* "W 0.25, E 2+", or one word for all sides. */
static void add_moves(aw_client *c, const aw_freedom *f)
{
    static const char sides[] = "ENWS";
    aw_text text = {0};
    size_t free = 0, ended = 0;
    for (int k = 0; k < 4; k++) {
        const aw_limit *l = &f->sides[k];
        free += l->kind == AW_LIMIT_REACH;
        ended += l->distance < 0.005;
        if (l->distance >= 0.005)
            aw_text_format(&text, "%s%c %s%s", text.n > 0 ? ", " : "", sides[k],
                           aw_coordinate_figure("%.3g", l->distance, c->s->units).text,
                           l->kind == AW_LIMIT_REACH ? "+" : "");
    }
    const char *each = aw_book_take(c->book, &text);
    aw_book_add_cell(
        c->book,
        ended == 4 ? SAY(c, NONE)
        : free == 4
            ? SAY(c, ALL_SIDES,
                  aw_book_copy(
                      c->book,
                      aw_coordinate_figure("%.3g", c->st->freedoms.reach, c->s->units).text))
            : each);
}

static bool has_freedom(const aw_client *c)
{
    return c->st->has_freedom && c->st->freedoms.n == c->s->n_anchors;
}

static void add_freedom(aw_client *c, size_t anchor)
{
    const aw_freedom *f = &c->st->freedoms.list[anchor];
    const aw_mounting_heights h = aw_mounting_heights_of(c->s, f);
    add_moves(c, f);
    aw_book_add_cell(
        c->book,
        SAY(c, TO, aw_book_copy(c->book, aw_coordinate_figure("%.1f", h.low, c->s->units).text),
            aw_book_copy(c->book, aw_coordinate_figure("%.1f", h.high, c->s->units).text)));
}

static bool add_anchor(aw_client *c, size_t i)
{
    const aw_anchor *a = &c->s->anchors[i];
    const aw_mount *mount = aw_has_prices(c->s) ? aw_mount_at(&c->s->prices, a->at[2]) : NULL;
    const double cable = aw_mounting_cable(c->s, a->at), share = c->st->assessment.used_share[i];
    aw_book_add_seen(c->book, a->name, AW_LOOK_STRONG);
    for (int k = 0; k < 3; k++)
        aw_book_add_number(c->book, aw_client_place(c, a->at[k]), a->at[k], "m", AW_FIGURE_STATED);
    aw_book_add_cell(c->book, mount != NULL ? mount->name : SAY(c, DASH));
    aw_book_add_number(
        c->book,
        isnan(cable) ? SAY(c, DASH)
                     : aw_book_copy(c->book, aw_coordinate_figure("%.1f", cable, c->s->units).text),
        cable, "m", AW_FIGURE_STATED);
    aw_book_add_number(c->book, aw_client_share(c, share, (double)NAN), share, "share",
                       AW_FIGURE_STATED);
    const bool falls_short = add_if_lost(c, i);
    if (has_freedom(c))
        add_freedom(c, i);
    return falls_short;
}

/* Which anchors cannot be lost, and whether any one can. */
static void add_sturdiness(aw_client *c, const char *vital[], size_t n)
{
    const aw_outage *o = &c->st->outage;
    if (aw_client_needs(c) == 0)
        return;
    const size_t told = n < MOST_VITAL ? n : MOST_VITAL;
    if (n > MOST_VITAL)
        vital[MOST_VITAL - 1] =
            SAY(c, SO_MANY_MORE, aw_book_print(c->book, "%zu", n - MOST_VITAL + 1));
    aw_book_add(c->book, AW_BLOCK_TEXT,
                n > 1 ? SAY(c, VITAL, aw_client_number_first(c, n), aw_client_list(c, vital, told))
                : n == 1                     ? SAY(c, VITAL_ONE, vital[0])
                : o->verdict == AW_MET       ? SAY(c, STURDY)
                : o->verdict == AW_UNDECIDED ? SAY(c, STURDY_UNDECIDED)
                                             : SAY(c, NONE_MORE_FALLS));
}

/* What the freedom is, and which needs it does not keep. */
static void add_freedom_note(aw_client *c)
{
    const aw_freedoms *f = &c->st->freedoms;
    const char *bad[2];
    size_t n = 0;
    if (!c->st->has_freedom) {
        aw_client_lack(c, AW_SAY_LACK_FREEDOM);
        return;
    }
    for (size_t z = 0; z < c->s->n_zones && n < 2; z++)
        if (f->today[z].verdict != AW_NO_NEED && !f->kept[z])
            bad[n++] = c->s->zones[z].name;
    const char *reach =
        aw_book_copy(c->book, aw_coordinate_words("%.3g", f->reach, c->s->units).text);
    if (f->n == 0)
        aw_book_add(c->book, AW_BLOCK_LACK, SAY(c, LACK_NEED_TO_KEEP));
    else
        aw_book_add(c->book, AW_BLOCK_TEXT,
                    n > 0 ? SAY(c, MOVES_NOTE_NOT_KEPT, reach, aw_client_list(c, bad, n))
                          : SAY(c, MOVES_NOTE, reach));
}

void aw_client_anchors(aw_client *c)
{
    const char **vital = calloc(c->s->n_anchors, sizeof *vital);
    size_t n = 0;
    aw_book_add(c->book, AW_BLOCK_TABLE, SAY(c, ANCHORS_CAPTION, aw_coordinate_unit(c->s->units)));
    aw_client_column(c, AW_SAY_COL_ANCHOR, false);
    aw_client_column(c, AW_SAY_COL_X, true);
    aw_client_column(c, AW_SAY_COL_Y, true);
    aw_client_column(c, AW_SAY_COL_HEIGHT, true);
    aw_client_column(c, AW_SAY_COL_MOUNT, false);
    aw_client_column(c, AW_SAY_COL_CABLE, true);
    aw_client_column(c, AW_SAY_COL_SERVES, true);
    aw_client_column(c, AW_SAY_COL_IF_LOST, false);
    if (has_freedom(c)) {
        aw_client_column(c, AW_SAY_COL_MOVES, false);
        aw_client_column(c, AW_SAY_COL_HEIGHTS, true);
    }
    c->book->failed |= vital == NULL;
    for (size_t i = 0; vital != NULL && i < c->s->n_anchors; i++)
        if (add_anchor(c, i))
            vital[n++] = c->s->anchors[i].name;
    add_sturdiness(c, vital, n);
    aw_book_add(c->book, AW_BLOCK_TEXT, SAY(c, LOSS_NOTE));
    add_freedom_note(c);
    free(vital);
}
