/* Path data as SVG 1.1 has it (section 8.3): after a letter l stand pairs of numbers. A viewer
 * stops at the first mistake, and the rest of the curve is gone. */
#include <ctype.h>
#include <string.h>

#include "aw_test.h"
#include "draw/sheet.h"

/* The path data of a sheet's one item; the text stays the caller's. */
static const char *data_of(const aw_text *svg)
{
    const char *at = strstr(svg->at, " d=\"");
    ck_assert_ptr_nonnull(at);
    return at + strlen(" d=\"");
}

static void draw(aw_text *out, const size_t points_of_paths[], size_t n)
{
    aw_sheet sheet = {.width = 100, .height = 100, .text_size = 3};
    aw_errors errors = {0};
    aw_item *line = aw_sheet_add(&sheet, AW_ITEM_LINE, AW_INK_SHORE);
    double x = 0;
    for (size_t k = 0; k < n; k++) {
        for (size_t i = 0; i < points_of_paths[k]; i++, x += 1)
            aw_sheet_point(&sheet, line, x, x);
        aw_sheet_end_path(&sheet, line);
    }
    ck_assert(aw_sheet_svg(&sheet, out, &errors));
    aw_sheet_free(&sheet);
}

/* Points of each path. */
static const size_t cases[][3] = {{1, 3, 2}, {3, 1, 2}, {2, 2, 1}, {1, 1, 1}, {0, 1, 4}, {4, 0, 2}};

START_TEST(a_path_of_one_point_does_not_end_the_curve)
{
    aw_text svg = {0};
    size_t begun = 0, moved = 0, wanted = 0, paths = 0;
    draw(&svg, cases[_i], 3);
    const char *data = data_of(&svg), *end = strchr(data, '"');
    for (const char *p = data; p < end; p++) {
        begun += *p == 'M';
        moved += *p == 'l';
        if (*p == 'l')
            ck_assert_msg(isdigit((unsigned char)p[1]) || p[1] == '-', "%.*s", (int)(end - data),
                          data);
    }
    for (int k = 0; k < 3; k++) {
        wanted += cases[_i][k] > 1;
        paths += cases[_i][k] > 0;
    }
    ck_assert_uint_eq(moved, wanted);
    ck_assert_uint_eq(begun, paths);
    aw_text_free(&svg);
}
END_TEST

static TCase *paths(void)
{
    TCase *tc = tcase_create("paths");
    tcase_add_loop_test(tc, a_path_of_one_point_does_not_end_the_curve, 0,
                        sizeof cases / sizeof *cases);
    return tc;
}

AW_TEST_MAIN("svg", paths())
