/* What a chart says of zones and anchors, held against the assessment it was made from. */
#include "report/stamp.h"
#include "sheets.h"

static void draw(aw_sheet *sheet, aw_scenario *s, const char *name, aw_chart_options options)
{
    aw_errors errors = {0};
    read_demo(s, name);
    s->study.draws = 100;
    options.assessed = true;
    options.layer = AW_LAYER_P95;
    aw_chart *chart = aw_chart_create(s, &options, &(aw_run){2, NULL, &errors});
    ck_assert_ptr_nonnull(chart);
    ck_assert(aw_chart_draw(sheet, chart, &errors));
    aw_chart_free(chart);
}

static size_t count(const aw_sheet *sheet, aw_ink ink, const char *text)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        n += sheet->items[i].kind == AW_ITEM_TEXT && sheet->items[i].ink == ink &&
             strcmp(sheet->items[i].text, text) == 0;
    return n;
}

/* The text of an ink at the height of another one's middle, right of it and nearest to it. */
static const aw_item *right_of(const aw_sheet *sheet, const aw_item *from, aw_ink ink)
{
    const double middle = (from->low.y + from->high.y) / 2;
    const aw_item *best = NULL;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *t = &sheet->items[i];
        if (t->kind == AW_ITEM_TEXT && t->ink == ink && t->low.y < middle && t->high.y > middle &&
            t->low.x >= from->high.x && (best == NULL || t->low.x < best->low.x))
            best = t;
    }
    return best;
}

static const aw_item *find(const aw_sheet *sheet, aw_ink ink, const char *text)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && sheet->items[i].ink == ink &&
            strcmp(sheet->items[i].text, text) == 0)
            return &sheet->items[i];
    return NULL;
}

/* Stamp, row of the table and mark of each zone are those of its result. */
START_TEST(zones_say_what_was_assessed)
{
    aw_scenario s;
    aw_sheet sheet;
    aw_assessment a;
    aw_errors errors = {0};
    draw(&sheet, &s, scenarios[_i], (aw_chart_options){.paper = AW_PAPER_A3});
    ck_assert(aw_assess_run(&a, &s, &(aw_run){2, NULL, &errors}));
    size_t stamped = 0;
    for (size_t i = 0; i < s.n_zones; i++) {
        const aw_zone_result *r = &a.zones[i];
        const aw_letter_text letter = aw_zone_letter(i);
        const aw_ink ink = r->verdict == AW_NOT_MET ? AW_INK_LETTER_MISSED : AW_INK_LETTER;
        /* In the table and in each strip of the plan, each time filled or not as the verdict is. */
        ck_assert_uint_ge(count(&sheet, ink, letter.text), 2);
        const aw_item *row = find(&sheet, AW_INK_TABLE_NAME, s.zones[i].name);
        ck_assert_msg(row != NULL, "%s is not in the table", s.zones[i].name);
        const aw_item *p95 = right_of(&sheet, row, AW_INK_RESULT);
        ck_assert_ptr_nonnull(p95);
        if (isfinite(r->errors.p95))
            ck_assert_msg(
                fabs(atof(p95->text) / r->errors.p95 * (s.units == AW_FEET ? 0.0254 : 0.01) - 1) <
                    0.06,
                "%s: %s for %g", s.zones[i].name, p95->text, r->errors.p95);
        const aw_item *verdict = right_of(
            &sheet, row, r->verdict == AW_NOT_MET ? AW_INK_VERDICT_MISSED : AW_INK_VERDICT);
        ck_assert_ptr_nonnull(verdict);
        ck_assert_str_eq(verdict->text, r->verdict == AW_NOT_MET     ? "NOT MET"
                                        : r->with_margin             ? "met with margin"
                                        : r->verdict == AW_MET       ? "met"
                                        : r->verdict == AW_UNDECIDED ? "undecided"
                                                                     : "–");
        aw_text part = {0};
        aw_stamp_part(r, s.units, AW_ON_A_SHEET, &part);
        stamped += part.at != NULL && count(&sheet, AW_INK_STAMP_PART, part.at) > 0;
        aw_text_free(&part);
    }
    ck_assert_uint_ge(2 * stamped, s.n_zones - 1);
    aw_assessment_free(&a);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* A stamp lies in its zone. */
START_TEST(a_stamp_lies_in_its_zone)
{
    aw_scenario s;
    aw_sheet sheet;
    draw(&sheet, &s, "tram-hall", (aw_chart_options){.paper = AW_PAPER_A3});
    for (size_t z = 0; z < s.n_zones; z++) {
        const aw_item *name = find(&sheet, AW_INK_ZONE_NAME, s.zones[z].name);
        const aw_item *border = NULL;
        size_t number = 0;
        for (size_t i = 0; i < sheet.n; i++)
            if (sheet.items[i].ink == AW_INK_ZONE && sheet.items[i].kind == AW_ITEM_LINE &&
                sheet.items[i].n_points >= 4 && number++ == z)
                border = &sheet.items[i];
        ck_assert_msg(name != NULL && border != NULL, "%s", s.zones[z].name);
        aw_point low = border->at[0], high = low;
        for (size_t k = 1; k < border->n_points; k++) {
            low = (aw_point){fmin(low.x, border->at[k].x), fmin(low.y, border->at[k].y)};
            high = (aw_point){fmax(high.x, border->at[k].x), fmax(high.y, border->at[k].y)};
        }
        ck_assert(name->low.x > low.x && name->high.x < high.x && name->low.y > low.y &&
                  name->high.y < high.y);
    }
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* Coordinates of the schedule are the scenario's, and every anchor of a demo is in it. */
START_TEST(the_schedule_has_every_anchor)
{
    aw_scenario s;
    aw_sheet sheet;
    char text[32];
    draw(&sheet, &s, scenarios[_i], (aw_chart_options){.paper = AW_PAPER_A3});
    const double unit = s.units == AW_FEET ? 0.3048 : 1;
    for (size_t i = 0; i < s.n_anchors; i++) {
        const aw_item *at = find(&sheet, AW_INK_TABLE_NAME, s.anchors[i].name);
        ck_assert_msg(at != NULL, "%s is not listed", s.anchors[i].name);
        for (int axis = 0; axis < 3; axis++) {
            at = right_of(&sheet, at, AW_INK_TABLE);
            snprintf(text, sizeof text, "%.1f", s.anchors[i].at[axis] / unit);
            ck_assert_str_eq(at->text, text);
        }
    }
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* Where a place in m lies on a floor that is drawn, whole or as one strip of it. */
static aw_point on_floor(const aw_item *shore, const aw_polygon *o, const double at[2])
{
    aw_point low = {1e9, 1e9}, high = {-1e9, -1e9};
    for (size_t k = 0; k < shore->n_points; k++) {
        low = (aw_point){fmin(low.x, shore->at[k].x), fmin(low.y, shore->at[k].y)};
        high = (aw_point){fmax(high.x, shore->at[k].x), fmax(high.y, shore->at[k].y)};
    }
    const double mm = (high.x - low.x) / (o->high.x - o->low.x);
    ck_assert_double_eq_tol(mm, (high.y - low.y) / (o->high.y - o->low.y), 1e-9);
    return (aw_point){low.x + (at[0] - o->low.x) * mm, low.y + (o->high.y - at[1]) * mm};
}

static bool has_buoy(const aw_sheet *sheet, aw_ink ink, aw_point p)
{
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *t = &sheet->items[i];
        if (t->ink == ink && t->kind == AW_ITEM_LINE && t->n_points == 2 &&
            fabs(t->at[0].y - p.y) < 1e-6 && fabs(t->at[1].y - p.y) < 1e-6 &&
            fabs((t->at[0].x + t->at[1].x) / 2 - p.x) < 1e-6)
            return true;
    }
    return false;
}

/* The buoy of a zone that has a worst spot stands there: its water line is centred on it. */
START_TEST(worst_spots_stand_where_they_are)
{
    aw_scenario s;
    aw_sheet sheet;
    aw_assessment a;
    aw_errors errors = {0};
    draw(&sheet, &s, scenarios[_i], (aw_chart_options){.paper = AW_PAPER_A3});
    ck_assert(aw_assess_run(&a, &s, &(aw_run){2, NULL, &errors}));
    for (size_t z = 0; z < s.n_zones; z++) {
        const double *at = a.zones[z].errors.worst_at;
        const aw_ink ink = a.zones[z].verdict == AW_NOT_MET ? AW_INK_SPAR_MISSED : AW_INK_SPAR;
        bool found = !isfinite(at[0]);
        for (size_t i = 0; i < sheet.n && !found; i++)
            found = sheet.items[i].ink == AW_INK_SHORE && sheet.items[i].kind == AW_ITEM_LINE &&
                    has_buoy(&sheet, ink, on_floor(&sheet.items[i], &s.floor.outline, at));
        ck_assert_msg(found, "%s", s.zones[z].name);
    }
    aw_assessment_free(&a);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* --- words --- */

static aw_zone_result made(aw_verdict verdict, int part, double asked, double found)
{
    aw_zone_result r = {.verdict = verdict};
    for (int i = 0; i < AW_PARTS; i++)
        r.parts[i] = (aw_part_result){.asked = (double)NAN, .verdict = AW_NO_NEED};
    r.parts[part] = (aw_part_result){asked, {found, found, found}, verdict};
    return r;
}

START_TEST(a_stamp_tells_the_part_that_decides)
{
    static const struct {
        aw_verdict verdict;
        int part;
        double asked, found;
        const char *word, *words, *drawn;
    } cases[] = {
        {AW_NOT_MET, AW_PART_SHARE, 0.95, 0.87, "NOT MET", "87 of 95 % of cells",
         "87 of 95 % of cells"},
        {AW_NOT_MET, AW_PART_P95, 1, 1.13, "NOT MET", "p95 1.1 of 1 m", "p95 110 of 100 cm"},
        {AW_NOT_MET, AW_PART_P95, 1, 1.004, "NOT MET", "p95 1.004 of 1 m", "p95 100.4 of 100 cm"},
        {AW_MET, AW_PART_P95, 1, 0.75, "MET", "p95 0.75 m", "p95 75 cm"},
        {AW_NOT_MET, AW_PART_P95, 1, 16.4, "NOT MET", "p95 16 of 1 m", "p95 16 m of 100 cm"},
        {AW_MET, AW_PART_P95, 0.8, 0.7996, "MET", "p95 0.80 m", "p95 80 cm"},
        {AW_MET, AW_PART_SHARE, 0.9, 1, "MET", "100 of 90 % of cells", "100 of 90 % of cells"},
        {AW_UNDECIDED, AW_PART_SHARE, 0.9, 0.91, "UNDECIDED", "91 of 90 % of cells",
         "91 of 90 % of cells"},
        {AW_NOT_MET, AW_PART_CHANCE, 0.8, 0.64, "NOT MET", "chance 64 of 80 %",
         "chance 64 of 80 %"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const aw_zone_result r =
            made(cases[i].verdict, cases[i].part, cases[i].asked, cases[i].found);
        aw_text words = {0}, drawn = {0};
        ck_assert_str_eq(aw_stamp_word(&r), cases[i].word);
        aw_stamp_part(&r, AW_METRES, AW_IN_A_TEXT, &words);
        ck_assert_str_eq(words.at, cases[i].words);
        aw_stamp_part(&r, AW_METRES, AW_ON_A_SHEET, &drawn);
        ck_assert_str_eq(drawn.at, cases[i].drawn);
        aw_text_free(&words);
        aw_text_free(&drawn);
    }
}
END_TEST

/* A title that is too long for a line of its block goes on in the next, every word of it. */
START_TEST(no_title_is_cut)
{
    static const char *const words[] = {"Theatre", "scenery", "store"};
    for (int paper = 0; paper < AW_PAPERS; paper++) {
        aw_scenario s;
        aw_sheet sheet;
        draw(&sheet, &s, "scenery-store", (aw_chart_options){.paper = (aw_paper)paper});
        for (size_t w = 0; w < sizeof words / sizeof *words; w++) {
            bool found = false;
            for (size_t i = 0; i < sheet.n; i++)
                found |= sheet.items[i].kind == AW_ITEM_TEXT &&
                         sheet.items[i].ink == AW_INK_TITLE &&
                         strstr(sheet.items[i].text, words[w]) != NULL;
            ck_assert_msg(found, "%s: %s", aw_paper_rows[paper].name, words[w]);
        }
        aw_sheet_free(&sheet);
        aw_scenario_free(&s);
    }
}
END_TEST

START_TEST(letters_go_on_behind_z)
{
    static const struct {
        size_t zone;
        const char *letter;
    } cases[] = {{0, "A"}, {25, "Z"}, {26, "AA"}, {51, "AZ"}, {52, "BA"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_assert_str_eq(aw_zone_letter(cases[i].zone).text, cases[i].letter);
}
END_TEST

static TCase *sheets(void)
{
    TCase *tc = tcase_create("sheets");
    tcase_add_loop_test(tc, zones_say_what_was_assessed, 0, N_SCENARIOS);
    tcase_add_test(tc, a_stamp_lies_in_its_zone);
    tcase_add_loop_test(tc, the_schedule_has_every_anchor, 0, N_SCENARIOS);
    tcase_add_loop_test(tc, worst_spots_stand_where_they_are, 0, N_SCENARIOS);
    return tc;
}

static TCase *words(void)
{
    TCase *tc = tcase_create("words");
    tcase_add_test(tc, a_stamp_tells_the_part_that_decides);
    tcase_add_test(tc, no_title_is_cut);
    tcase_add_test(tc, letters_go_on_behind_z);
    return tc;
}

AW_TEST_MAIN("verdicts_drawn", sheets(), words())
