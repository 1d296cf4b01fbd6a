/* The sheet of an outage against the figures that it was given: discs as large as factors are, the
 * table's figures, the pairs' counts. Then figures are told wrongly, and each time the reading has
 * to notice. */
#include "draw/losses.h"
#include "report/outage.h"
#include "sheets.h"

/* An outage of figures by chance: loss 0 none, then each anchor, then each pair. */
typedef struct made {
    aw_scenario s;
    aw_outage o;
} made;

static void make(made *m, uint64_t state)
{
    read_demo(&m->s, "tram-hall");
    const size_t n = m->s.n_anchors, places = m->s.n_zones + 1;
    const size_t losses = 1 + n + n * (n - 1) / 2;
    m->o = (aw_outage){.n_singles = n,
                       .n_losses = losses,
                       .n_places = places,
                       .losses = calloc(losses, sizeof *m->o.losses),
                       .figures = calloc(losses * places, sizeof *m->o.figures),
                       .worst = calloc(n + 1, sizeof *m->o.worst),
                       .intact = calloc(m->s.n_zones, sizeof *m->o.intact),
                       .sturdy = calloc(m->s.n_zones, sizeof *m->o.sturdy)};
    ck_assert(m->o.losses && m->o.figures && m->o.worst && m->o.intact && m->o.sturdy);
    size_t at = n + 1;
    for (size_t i = 0; i < n; i++) {
        m->o.losses[i + 1] = (aw_loss){1, {i, 0}};
        for (size_t k = i + 1; k < n; k++)
            m->o.losses[at++] = (aw_loss){2, {i, k}};
    }
    for (size_t place = 0; place < places; place++)
        for (size_t loss = 0; loss < losses; loss++) {
            aw_loss_figures *f = &m->o.figures[place * losses + loss];
            f->p95 = loss == 0 ? 0.5 : 0.5 * (1 + 3 * pow(test_uniform(&state), 4));
            f->falls_short = loss > 0 && test_uniform(&state) < 0.1;
        }
    for (size_t i = 0; i < m->s.n_zones; i++)
        m->o.intact[i].verdict = AW_MET;
}

static void release(made *m)
{
    free(m->o.losses);
    free(m->o.figures);
    free(m->o.worst);
    free(m->o.intact);
    free(m->o.sturdy);
    aw_scenario_free(&m->s);
}

/* The largest factor over zones with a need, and needs that fall, found here again. */
static double factor_of(const made *m, size_t loss, size_t *felled)
{
    double most = 1;
    *felled = 0;
    for (size_t z = 0; z < m->s.n_zones; z++) {
        const aw_loss_figures *f = &m->o.figures[(z + 1) * m->o.n_losses];
        if (!aw_need_is_stated(&m->s.zones[z].need))
            continue;
        most = fmax(most, f[loss].p95 / f[0].p95);
        *felled += f[loss].falls_short && !f[0].falls_short;
    }
    return most;
}

/* Radius of the ring round an anchor's place, by the outline of the floor that is drawn. */
static double drawn_radius(const aw_sheet *sheet, const aw_scenario *s, size_t anchor)
{
    const aw_polygon *o = &s->floor.outline;
    const aw_item *shore = NULL;
    for (size_t i = 0; i < sheet->n && shore == NULL; i++)
        if (sheet->items[i].ink == AW_INK_SHORE && sheet->items[i].kind == AW_ITEM_LINE)
            shore = &sheet->items[i];
    ck_assert_ptr_nonnull(shore);
    const double mm = (shore->at[1].x - shore->at[0].x) / (o->at[1].x - o->at[0].x);
    const aw_point p = {shore->at[0].x + (s->anchors[anchor].at[0] - o->at[0].x) * mm,
                        shore->at[0].y - (s->anchors[anchor].at[1] - o->at[0].y) * mm};
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *t = &sheet->items[i];
        double x = 0, y = 0;
        if (t->ink != AW_INK_RING || t->kind != AW_ITEM_LINE || t->n_points < 20)
            continue;
        for (size_t k = 0; k < t->n_points; k++) {
            x += t->at[k].x / (double)t->n_points;
            y += t->at[k].y / (double)t->n_points;
        }
        if (hypot(x - p.x, y - p.y) < 1e-6)
            return hypot(t->at[0].x - p.x, t->at[0].y - p.y);
    }
    return (double)NAN;
}

static size_t count_ink(const aw_sheet *sheet, aw_ink ink)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        n += sheet->items[i].kind == AW_ITEM_TEXT && sheet->items[i].ink == ink;
    return n;
}

/* Whether a sheet drawn of one outage shows the figures of another. */
static bool shows(const made *drawn, const made *asked)
{
    const aw_losses what = {&drawn->o, &drawn->s, {.paper = AW_PAPER_A3}};
    aw_errors errors = {0};
    aw_sheet sheet;
    ck_assert(aw_losses_draw(&sheet, &what, &errors));
    check_texts(&sheet, "losses");
    bool shown = true;
    size_t pairs = 0, felled;
    for (size_t i = 0; i < asked->o.n_singles; i++) {
        const double factor = factor_of(asked, i + 1, &felled);
        const double want = felled > 0 || factor >= 1.15 ? 1.3 + 2 * log10(fmin(factor, 20)) : 1.1;
        shown = shown && fabs(drawn_radius(&sheet, &drawn->s, i) - want) < 1e-6;
    }
    for (size_t loss = asked->o.n_singles + 1; loss < asked->o.n_losses; loss++) {
        factor_of(asked, loss, &felled);
        pairs += felled > 0;
    }
    shown = shown && count_ink(&sheet, AW_INK_FELLED) == pairs;
    aw_sheet_free(&sheet);
    aw_errors_free(&errors);
    return shown;
}

START_TEST(discs_and_pairs_are_those_of_the_outage)
{
    made m;
    make(&m, 40 + (uint64_t)_i);
    ck_assert(shows(&m, &m));
    release(&m);
}
END_TEST

/* Whether the middle of a line, which is drawn as a strip of four corners, comes into a text. */
static bool runs_through(const aw_item *strip, const aw_item *text)
{
    const aw_point from = {(strip->at[0].x + strip->at[3].x) / 2,
                           (strip->at[0].y + strip->at[3].y) / 2};
    const aw_point to = {(strip->at[1].x + strip->at[2].x) / 2,
                         (strip->at[1].y + strip->at[2].y) / 2};
    for (int i = 0; i <= 1000; i++) {
        const double x = from.x + (to.x - from.x) * i / 1000,
                     y = from.y + (to.y - from.y) * i / 1000;
        if (x > text->low.x && x < text->high.x && y > text->low.y && y < text->high.y)
            return true;
    }
    return false;
}

/* The lines from anchors to zones keep off what zones say of themselves. */
START_TEST(no_line_runs_through_the_words_of_a_zone)
{
    made m;
    aw_sheet sheet;
    aw_errors errors = {0};
    size_t pairs = 0;
    make(&m, 7 + (uint64_t)_i);
    const aw_losses what = {&m.o, &m.s, {.paper = AW_PAPER_A3}};
    ck_assert(aw_losses_draw(&sheet, &what, &errors));
    for (size_t i = 0; i < sheet.n; i++)
        for (size_t k = 0; k < sheet.n; k++) {
            const aw_item *strip = &sheet.items[i], *text = &sheet.items[k];
            if ((strip->ink != AW_INK_DEEP && strip->ink != AW_INK_FELLS) ||
                (text->ink != AW_INK_ZONE_NAME && text->ink != AW_INK_ZONE_NEED))
                continue;
            ck_assert_uint_ge(strip->n_points, 4);
            ck_assert_msg(!runs_through(strip, text), "'%s' is crossed", text->text);
            pairs++;
        }
    ck_assert_uint_gt(pairs, 10);
    aw_sheet_free(&sheet);
    release(&m);
}
END_TEST

START_TEST(a_figure_told_wrongly_is_noticed)
{
    made m, wrong;
    make(&m, 40);
    make(&wrong, 40);
    const size_t n = m.o.n_losses;
    if (_i == 0) /* a hundredth larger */
        for (size_t k = 0; k < n * m.o.n_places; k++)
            wrong.o.figures[k].p95 *= k % n == 0 ? 1 : 1.01;
    else if (_i == 1) /* its neighbour's */
        for (size_t place = 0; place < m.o.n_places; place++)
            for (size_t i = 1; i <= m.o.n_singles; i++)
                wrong.o.figures[place * n + i] = m.o.figures[place * n + i % m.o.n_singles + 1];
    else /* a pair that fells a need does not */
        for (size_t place = 1; place < m.o.n_places; place++)
            for (size_t i = m.o.n_singles + 1; i < n; i += 2)
                wrong.o.figures[place * n + i].falls_short = false;
    ck_assert(!shows(&m, &wrong));
    release(&m);
    release(&wrong);
}
END_TEST

static TCase *losses(void)
{
    TCase *tc = tcase_create("losses");
    tcase_add_loop_test(tc, discs_and_pairs_are_those_of_the_outage, 0, 4);
    tcase_add_loop_test(tc, no_line_runs_through_the_words_of_a_zone, 0, 4);
    tcase_add_loop_test(tc, a_figure_told_wrongly_is_noticed, 0, 3);
    return tc;
}

AW_TEST_MAIN("losses drawn", losses())
