/* Two layouts side by side: what stands in each panel and where, and what the words say of it. */
#include "sheets.h"

/* Radius that holds 95 % of a circular normal law, in sigmas: sqrt(-2 ln 0.05). */
#define SIGMAS_95 2.447746830680816
#define MOST      64

/* Two layouts of a demo floor: the second lacks the first anchor, has the second one elsewhere and
 * one more. */
typedef struct pair {
    aw_scenario a, b;
    aw_anchor anchors[MOST];
    aw_beside what;
} pair;

static void read_pair(pair *p, const char *name, double x, double y)
{
    read_demo(&p->a, name);
    read_demo(&p->b, name);
    const aw_polygon *o = &p->a.floor.outline;
    const size_t n = p->b.n_anchors;
    memcpy(p->anchors, p->b.anchors + 1, (n - 1) * sizeof *p->anchors);
    p->anchors[0].at[0] += 0.2 * (o->high.x - o->low.x);
    p->anchors[n - 1] = p->b.anchors[0];
    p->anchors[n - 1].name = "new";
    p->anchors[n - 1].at[0] += 0.1 * (o->high.x - o->low.x);
    p->b.anchors = p->anchors;
    p->what = (aw_beside){.before = {&p->a, "As planned", 1.23, 1.17, 1.30},
                          .after = {&p->b, "With the change", 0.71, 0.67, 0.75},
                          .spot = {x, y}};
}

static void free_pair(pair *p)
{
    aw_scenario_free(&p->a);
    aw_scenario_free(&p->b);
}

static void draw(aw_sheet *sheet, const aw_beside *what)
{
    aw_errors errors = {0};
    ck_assert_msg(aw_beside_draw(sheet, what, &errors), "%s",
                  errors.n > 0 ? errors.list[0].text : "no reason");
    aw_errors_free(&errors);
}

static const aw_item *find_text(const aw_sheet *sheet, const char *text)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && strstr(sheet->items[i].text, text) != NULL)
            return &sheet->items[i];
    ck_abort_msg("'%s' is not on the sheet", text);
}

static size_t count_texts(const aw_sheet *sheet, const char *text)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        n += sheet->items[i].kind == AW_ITEM_TEXT && strcmp(sheet->items[i].text, text) == 0;
    return n;
}

/* The drawn outlines, before and after. */
static void find_floors(const aw_sheet *sheet, const aw_item *floors[2])
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_LINE && sheet->items[i].ink == AW_INK_SHORE) {
            ck_assert_uint_lt(n, 2);
            floors[n++] = &sheet->items[i];
        }
    ck_assert_uint_eq(n, 2);
}

static double stated_scale(const aw_sheet *sheet)
{
    double scale = 0;
    ck_assert_int_eq(sscanf(find_text(sheet, "Scale 1:")->text, "Scale 1:%lf", &scale), 1);
    return scale;
}

/* Where a place of the floor stands on paper, from the drawn outline's first corner. */
static aw_point on_paper(const aw_scenario *s, const aw_item *floor, double mm, double x, double y)
{
    return (aw_point){floor->at[0].x + (x - s->floor.outline.at[0].x) * mm,
                      floor->at[0].y - (y - s->floor.outline.at[0].y) * mm};
}

START_TEST(no_two_texts_touch_and_every_anchor_is_named_on_any_floor_and_paper)
{
    for (int portrait = 0; portrait <= 1; portrait++) {
        pair p;
        aw_sheet sheet;
        const char *name = scenarios[_i / AW_PAPERS];
        read_pair(&p, name, 3.1, 2.7);
        p.what.options =
            (aw_chart_options){.paper = (aw_paper)(_i % AW_PAPERS), .portrait = portrait};
        draw(&sheet, &p.what);
        check_texts(&sheet, name);
        ck_assert(!has_text(&sheet, "left out for want of room"));
        ck_assert(!has_text(&sheet, "…"));
        for (size_t i = 0; i < p.a.n_zones; i++)
            ck_assert_msg(count_texts(&sheet, p.a.zones[i].name) == 2, "%s: zone %s", name,
                          p.a.zones[i].name);
        for (size_t i = 0; i < p.a.n_anchors; i++)
            ck_assert_msg(has_text(&sheet, p.a.anchors[i].name), "%s", p.a.anchors[i].name);
        ck_assert(has_text(&sheet, "new "));
        aw_sheet_free(&sheet);
        free_pair(&p);
    }
}
END_TEST

START_TEST(long_titles_and_captions_are_cut_and_touch_nothing)
{
    pair p;
    aw_sheet sheet;
    char title[400] = "", caption[400] = "";
    for (int i = 0; i < 30; i++) {
        strncat(title, "bogie works ", sizeof title - strlen(title) - 1);
        strncat(caption, "moved again ", sizeof caption - strlen(caption) - 1);
    }
    read_pair(&p, "tram-hall", 65, 30);
    p.a.title = title;
    p.what.before.caption = p.what.after.caption = caption;
    p.what.options.portrait = _i;
    draw(&sheet, &p.what);
    check_texts(&sheet, "long");
    ck_assert(has_text(&sheet, "Scale 1:"));
    const aw_item *date = find_text(&sheet, "Date: ");
    for (size_t i = 0; i < sheet.n; i++) /* the scale bars are the only black boxes in the block */
        if (sheet.items[i].kind == AW_ITEM_FILL && sheet.items[i].ink == AW_INK_ANCHOR &&
            sheet.items[i].n_points == 4)
            ck_assert_double_gt(sheet.items[i].at[0].y, date->high.y);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

START_TEST(both_panels_have_the_stated_scale)
{
    for (int paper = AW_PAPER_A4; paper < AW_PAPERS; paper++) {
        pair p;
        aw_sheet sheet;
        const aw_item *floors[2];
        read_pair(&p, scenarios[_i], 3.1, 2.7);
        p.what.options.paper = (aw_paper)paper;
        draw(&sheet, &p.what);
        find_floors(&sheet, floors);
        const aw_polygon *o = &p.a.floor.outline;
        const double mm = 1000 / stated_scale(&sheet);
        for (int k = 0; k < 2; k++)
            for (size_t i = 0; i < o->n; i++) {
                const aw_point at = on_paper(&p.a, floors[k], mm, o->at[i].x, o->at[i].y);
                ck_close(floors[k]->at[i].x, at.x, 1e-12);
                ck_close(floors[k]->at[i].y, at.y, 1e-12);
            }
        aw_sheet_free(&sheet);
        free_pair(&p);
    }
}
END_TEST

/* A hall of 72 by 38 m fills a landscape sheet better abreast, a shed of 60 by 9 m one above the
 * other. */
START_TEST(panels_stand_side_by_side_or_where_the_floor_is_wide_one_above_the_other)
{
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    read_pair(&p, "tram-hall", 65, 30);
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    ck_assert_double_eq(floors[0]->at[0].y, floors[1]->at[0].y);
    ck_assert_double_gt(floors[1]->at[0].x, floors[0]->at[1].x);
    aw_sheet_free(&sheet);
    free_pair(&p);
    read_pair(&p, "washing-shed", 40, 8);
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    ck_assert_double_eq(floors[0]->at[0].x, floors[1]->at[0].x);
    ck_assert_double_gt(floors[1]->at[2].y, floors[0]->at[0].y);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

START_TEST(caption_and_figures_stand_over_their_floor)
{
    static const char *const texts[2][3] = {
        {"As planned", "p95 123 cm (117 to 130 cm)", "4 of 18 anchors usable, HDOP 2.4"},
        {"With the change", "p95 71 cm (67 to 75 cm)", "18 anchors usable, HDOP "}};
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    read_pair(&p, "tram-hall", 65, 30);
    p.what.tag = 1;
    p.what.options = (aw_chart_options){.date = "2026-11-25", .revision = "C"};
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    for (int k = 0; k < 2; k++) {
        double above = 0;
        for (int i = 0; i < 3; i++) {
            const aw_item *text = find_text(&sheet, texts[k][i]);
            if (k == 1 && i == 2) /* both say so: the last one is the second panel's */
                for (size_t j = 0; j < sheet.n; j++)
                    if (sheet.items[j].kind == AW_ITEM_TEXT &&
                        strstr(sheet.items[j].text, texts[k][i]) != NULL)
                        text = &sheet.items[j];
            ck_assert_double_ge(text->low.x, floors[k]->at[0].x - 1e-9);
            ck_assert_double_le(text->high.x, floors[k]->at[1].x);
            ck_assert_double_gt(text->low.y, above);
            ck_assert_double_lt(text->high.y, floors[k]->at[2].y);
            above = text->low.y;
        }
    }
    ck_assert(has_text(&sheet, "Tram overhaul hall"));
    ck_assert(has_text(&sheet, "Spot: 65.00, 30.00 m"));
    ck_assert(has_text(&sheet, "Tag: bogie tag at 0.9 m, 2d fix"));
    ck_assert(has_text(&sheet, "Date: 2026-11-25     Revision: C"));
    ck_assert_uint_eq(count_texts(&sheet, "plan north"), 1);
    ck_assert_uint_eq(count_texts(&sheet, "Legend"), 1);
    ck_assert_uint_eq(count_texts(&sheet, "Cautions"), 1);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* 1.23 m are 48.4 in; 0.3048 m are a foot. */
START_TEST(a_site_in_feet_reads_in_feet_and_inches)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "crate-hall", 110 * 0.3048, 30 * 0.3048);
    draw(&sheet, &p.what);
    ck_assert(has_text(&sheet, "p95 48 in (46 to 51 in)"));
    ck_assert(has_text(&sheet, "Spot: 110.00, 30.00 ft"));
    ck_assert(has_text(&sheet, "D4 10.2 ft"));
    ck_assert(has_text(&sheet, "crate trolley at 3.3 ft"));
    ck_assert(!has_text(&sheet, " cm"));
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* A spot nearly in line with a row of anchors that has no others: its ellipse is long. */
START_TEST(a_huge_ellipse_stays_in_its_panel)
{
    pair p;
    aw_sheet sheet;
    double longest = 0;
    size_t panels = 0;
    read_pair(&p, "washing-shed", 3.1, 1.2);
    draw(&sheet, &p.what);
    const aw_item *other = find_text(&sheet, "With the change"),
                  *strip = find_text(&sheet, "Legend");
    for (size_t i = 1; i + 1 < sheet.n; i++) {
        const aw_item *item = &sheet.items[i], *clip = item - 1;
        if (item->ink != AW_INK_ELLIPSE || item->kind != AW_ITEM_LINE || clip->kind != AW_ITEM_CLIP)
            continue;
        for (size_t k = 0; k < item->n_points; k++)
            longest = fmax(longest, fabs(item->at[k].x - item->at[0].x));
        ck_assert_double_ge(clip->at[0].x, 0);
        ck_assert_double_le(clip->at[2].y, panels == 0 ? other->low.y : strip->low.y);
        ck_assert_int_eq((item + 1)->kind, AW_ITEM_FREE);
        panels++;
    }
    ck_assert_uint_eq(panels, 2);
    ck_assert_double_gt(longest, 50);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

START_TEST(what_is_not_known_is_not_said)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "tram-hall", 65, 30);
    p.what.before.p95 = (double)NAN;
    p.what.after.p95_low = p.what.after.p95_high = (double)NAN;
    draw(&sheet, &p.what);
    ck_assert_uint_eq(count_texts(&sheet, "no p95: too few fixes"), 1);
    ck_assert_uint_eq(count_texts(&sheet, "p95 71 cm"), 1);
    ck_assert(!has_text(&sheet, "In brackets"));
    aw_sheet_free(&sheet);
    /* Out of reach of every anchor but the nearest there is no position, hence no ellipse. */
    p.a.ranging.range = p.b.ranging.range = 9;
    draw(&sheet, &p.what);
    ck_assert(has_text(&sheet, "anchors usable, no position"));
    ck_assert(!has_text(&sheet, "error ellipse"));
    for (size_t i = 0; i < sheet.n; i++)
        ck_assert_int_ne(sheet.items[i].ink, AW_INK_ELLIPSE);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* Lines of an ink whose first point is at a place of the paper. */
static size_t count_from(const aw_sheet *sheet, aw_ink ink, aw_point from)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        n += item->kind == AW_ITEM_LINE && item->ink == ink && item->n_points == 2 &&
             hypot(item->at[0].x - from.x, item->at[0].y - from.y) < 1e-9;
    }
    return n;
}

static bool has_line(const aw_sheet *sheet, aw_ink ink, aw_point from, aw_point to)
{
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        if (item->kind == AW_ITEM_LINE && item->ink == ink && item->n_points == 2 &&
            hypot(item->at[0].x - from.x, item->at[0].y - from.y) < 1e-9 &&
            hypot(item->at[1].x - to.x, item->at[1].y - to.y) < 1e-9)
            return true;
    }
    return false;
}

/* Every link of a layout as its bearing: to the anchor where it is usable. */
static void check_bearings(const aw_sheet *sheet, const aw_scenario *s, const aw_beside *what,
                           const aw_item *floor)
{
    const double mm = 1000 / stated_scale(sheet);
    const double spot[3] = {what->spot.x, what->spot.y, s->tags[what->tag].height};
    const aw_point from = on_paper(s, floor, mm, spot[0], spot[1]);
    aw_link links[MOST];
    size_t of[AW_LINK_LOST + 1] = {0};
    aw_scene *scene = aw_scene_create(s);
    aw_links_at(scene, spot, links);
    aw_scene_free(scene);
    for (size_t k = 0; k < s->n_anchors; k++) {
        const aw_point to = on_paper(s, floor, mm, s->anchors[k].at[0], s->anchors[k].at[1]);
        of[links[k].state]++;
        if (links[k].state != AW_LINK_LOST)
            ck_assert_msg(
                has_line(sheet, links[k].state == AW_LINK_CLEAR ? AW_INK_BEARING : AW_INK_THROUGH,
                         from, to),
                "no bearing to %s", s->anchors[k].name);
    }
    ck_assert_uint_eq(count_from(sheet, AW_INK_BEARING, from),
                      of[AW_LINK_CLEAR] + of[AW_LINK_LOST]);
    ck_assert_uint_eq(count_from(sheet, AW_INK_THROUGH, from), of[AW_LINK_THROUGH]);
}

START_TEST(each_panel_has_the_bearings_of_its_layout)
{
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    const double tags[] = {0, 1};
    read_pair(&p, _i < 2 ? "tram-hall" : "l-hall", _i < 2 ? 65 : 12, _i < 2 ? 30 : 10);
    p.what.tag = _i < 2 ? (size_t)tags[_i] : 0;
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    check_bearings(&sheet, &p.a, &p.what, floors[0]);
    check_bearings(&sheet, &p.b, &p.what, floors[1]);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* Half the greatest extent of the ellipse round a place of the paper, mm. */
static double reach_of_ellipse(const aw_sheet *sheet, aw_point centre)
{
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        double x = 0, y = 0, most = 0;
        if (item->ink != AW_INK_ELLIPSE || item->kind != AW_ITEM_LINE)
            continue;
        for (size_t k = 0; k < item->n_points; k++) {
            x += item->at[k].x / (double)item->n_points;
            y += item->at[k].y / (double)item->n_points;
            most = fmax(most, hypot(item->at[k].x - centre.x, item->at[k].y - centre.y));
        }
        if (hypot(x - centre.x, y - centre.y) < 1e-6)
            return most;
    }
    ck_abort_msg("no ellipse at the spot");
}

static double major_of(const aw_scenario *s, const aw_beside *what)
{
    const double spot[3] = {what->spot.x, what->spot.y, s->tags[what->tag].height};
    aw_link links[MOST];
    aw_scene *scene = aw_scene_create(s);
    aw_links_at(scene, spot, links);
    aw_scene_free(scene);
    const aw_bound bound = aw_bound_at(links, s->n_anchors, s->tags[what->tag].fix);
    return aw_bound_spread(&bound, s->tags[what->tag].height_sigma).major;
}

START_TEST(both_ellipses_have_the_stated_magnification)
{
    static const double spots[4][2] = {{65, 30}, {40, 8}, {12, 10}, {30, 9}};
    static const char *const names[4] = {"tram-hall", "washing-shed", "l-hall", "crate-hall"};
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    double times = 1;
    read_pair(&p, names[_i], spots[_i][0], spots[_i][1]);
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    const double mm = 1000 / stated_scale(&sheet);
    const char *stated = find_text(&sheet, "error ellipse, 95 %")->text;
    if (strstr(stated, "true size") == NULL)
        ck_assert_int_eq(sscanf(stated, "error ellipse, 95 %%, drawn %lfx", &times), 1);
    for (int k = 0; k < 2; k++) {
        const aw_scenario *s = k == 0 ? &p.a : &p.b;
        const aw_point at = on_paper(s, floors[k], mm, p.what.spot.x, p.what.spot.y);
        ck_close(reach_of_ellipse(&sheet, at), SIGMAS_95 * major_of(s, &p.what) * mm * times, 1e-6);
    }
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

static bool has_ink_above(const aw_sheet *sheet, aw_ink ink, double strip)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind != AW_ITEM_TEXT && sheet->items[i].ink == ink &&
            sheet->items[i].n_points > 0 && sheet->items[i].at[0].y < strip)
            return true;
    return false;
}

START_TEST(the_legend_has_the_marks_that_are_drawn_and_no_others)
{
    static const struct {
        const char *text;
        aw_ink ink;
    } marks[] = {{"bearing through something", AW_INK_THROUGH},
                 {"bearing lost here", AW_INK_END},
                 {"error ellipse", AW_INK_ELLIPSE},
                 {"anchor added", AW_INK_CHANGE},
                 {"anchor taken away", AW_INK_CHANGE},
                 {"anchor moved", AW_INK_CHANGE},
                 {"anchor, mounting height", AW_INK_ANCHOR},
                 {"obstacle or wall", AW_INK_LAND},
                 {"obstacle over or under the tag", AW_INK_OVERHEAD},
                 {"border of a zone", AW_INK_ZONE}};
    pair p;
    aw_sheet sheet;
    read_pair(&p, scenarios[_i / 2], 3.1, 2.7);
    if (_i % 2 == 1)
        p.what.after.scenario = &p.a;
    draw(&sheet, &p.what);
    const double strip = find_text(&sheet, "Legend")->low.y;
    for (size_t k = 0; k < sizeof marks / sizeof *marks; k++)
        ck_assert_msg(has_text(&sheet, marks[k].text) == has_ink_above(&sheet, marks[k].ink, strip),
                      "%s: %s", scenarios[_i / 2], marks[k].text);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* 0.15 is the share under which measured layouts keep no order (compare.h). */
START_TEST(two_p95_too_near_each_other_are_said_not_to_be_told_apart)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "tram-hall", 65, 30);
    for (int near = 0; near <= 1; near++) {
        p.what.before.p95 = 1;
        p.what.after.p95 = near ? 0.86 : 0.84;
        draw(&sheet, &p.what);
        ck_assert_int_eq(has_text(&sheet, "not told apart"), near);
        aw_sheet_free(&sheet);
    }
    free_pair(&p);
}
END_TEST

START_TEST(bench_figures_of_either_layout_are_called_so)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "tram-hall", 65, 30);
    for (int k = 0; k < 3; k++) {
        aw_scenario bench = k == 1 ? p.a : p.b;
        bench.ranging.spot_sigma = bench.ranging.tail_sigma = bench.ranging.survey_sigma =
            bench.ranging.delay_sigma = 0;
        p.what.before.scenario = k == 1 ? &bench : &p.a;
        p.what.after.scenario = k == 2 ? &bench : &p.b;
        draw(&sheet, &p.what);
        ck_assert_int_eq(has_text(&sheet, "BENCH FIGURES"), k > 0);
        ck_assert_int_eq(has_text(&sheet, "Site figures"), k == 0);
        aw_sheet_free(&sheet);
    }
    free_pair(&p);
}
END_TEST

START_TEST(a_spot_off_the_floor_is_refused)
{
    pair p;
    aw_sheet sheet;
    aw_errors errors = {0};
    read_pair(&p, "crate-hall", 119 * 0.3048, 30 * 0.3048);
    ck_assert(!aw_beside_draw(&sheet, &p.what, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_str_eq(errors.list[0].text, "the spot 119,30 is off the floor");
    aw_sheet_free(&sheet);
    aw_errors_free(&errors);
    free_pair(&p);
}
END_TEST

START_TEST(the_same_input_gives_the_same_bytes_and_grey_has_no_colour)
{
    pair p;
    aw_errors errors = {0};
    aw_text svg[2] = {{0}};
    read_pair(&p, "tram-hall", 65, 30);
    p.what.options.grey = true;
    for (int k = 0; k < 2; k++) {
        aw_sheet sheet;
        draw(&sheet, &p.what);
        ck_assert(aw_sheet_svg(&sheet, &svg[k], &errors));
        aw_sheet_free(&sheet);
    }
    ck_assert_str_eq(svg[0].at, svg[1].at);
    size_t colours = 0;
    for (const char *at = svg[0].at; (at = strchr(at, '#')) != NULL; at++)
        if (strspn(at + 1, "0123456789abcdefABCDEF") >= 6) {
            ck_assert_msg(strncmp(at + 1, at + 3, 2) == 0 && strncmp(at + 3, at + 5, 2) == 0,
                          "%.7s", at);
            colours++;
        }
    ck_assert_uint_gt(colours, 5);
    aw_text_free(&svg[0]);
    aw_text_free(&svg[1]);
    free_pair(&p);
}
END_TEST

static TCase *beside(void)
{
    TCase *tc = tcase_create("beside");
    tcase_add_loop_test(tc, no_two_texts_touch_and_every_anchor_is_named_on_any_floor_and_paper, 0,
                        N_SCENARIOS * AW_PAPERS);
    tcase_add_loop_test(tc, long_titles_and_captions_are_cut_and_touch_nothing, 0, 2);
    tcase_add_loop_test(tc, both_panels_have_the_stated_scale, 0, N_SCENARIOS);
    tcase_add_test(tc, panels_stand_side_by_side_or_where_the_floor_is_wide_one_above_the_other);
    tcase_add_test(tc, caption_and_figures_stand_over_their_floor);
    tcase_add_test(tc, a_site_in_feet_reads_in_feet_and_inches);
    tcase_add_test(tc, a_huge_ellipse_stays_in_its_panel);
    tcase_add_test(tc, what_is_not_known_is_not_said);
    tcase_add_loop_test(tc, each_panel_has_the_bearings_of_its_layout, 0, 3);
    tcase_add_loop_test(tc, both_ellipses_have_the_stated_magnification, 0, 4);
    tcase_add_loop_test(tc, the_legend_has_the_marks_that_are_drawn_and_no_others, 0,
                        2 * N_SCENARIOS);
    tcase_add_test(tc, two_p95_too_near_each_other_are_said_not_to_be_told_apart);
    tcase_add_test(tc, bench_figures_of_either_layout_are_called_so);
    tcase_add_test(tc, a_spot_off_the_floor_is_refused);
    tcase_add_test(tc, the_same_input_gives_the_same_bytes_and_grey_has_no_colour);
    return tc;
}

AW_TEST_MAIN("beside", beside())
