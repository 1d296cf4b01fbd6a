/* chart: the accuracy chart, as SVG, PNG or PDF. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>

#define LEAST_WIDTH 200
#define MOST_WIDTH  20000
/* Height in pixels below which a figure cannot be read. */
#define LEAST_TEXT 11.0

typedef enum kind { SVG, PNG, PDF, UNKNOWN } kind;

static kind kind_of(const char *path)
{
    static const char *const endings[] = {".svg", ".png", ".pdf"};
    const size_t n = strlen(path);
    for (int k = 0; k < UNKNOWN; k++)
        if (n > 4 && strcmp(path + n - 4, endings[k]) == 0)
            return (kind)k;
    return UNKNOWN;
}

static bool read_width(const cli_options *options, kind out, size_t *width)
{
    const char *text = options->width ? options->width : "1600";
    *width = strspn(text, "0123456789") == strlen(text) ? strtoul(text, NULL, 10) : 0;
    if (options->width != NULL && out != PNG)
        cli_complain("--width goes with a PNG");
    else if (*width < LEAST_WIDTH || *width > MOST_WIDTH)
        cli_complain("--width: %s is not a whole number in [%d, %d]", text, LEAST_WIDTH,
                     MOST_WIDTH);
    else
        return true;
    return false;
}

static bool read_sheet(const cli_options *options, aw_chart_options *chart)
{
    chart->paper = AW_PAPER_A3;
    if (options->sheet == NULL)
        return true;
    for (chart->paper = 0; chart->paper < AW_PAPERS; chart->paper++)
        if (strcmp(aw_paper_rows[chart->paper].name, options->sheet) == 0)
            return true;
    cli_complain("--sheet: '%s' is not one of A4, A3, A1", options->sheet);
    return false;
}

static bool read_layer(const cli_options *options, aw_chart_options *chart)
{
    chart->layer = options->layer ? aw_layer_named(options->layer) : AW_LAYER_P95;
    if (chart->layer < AW_LAYERS)
        return true;
    fprintf(stderr, "anchorwise: --layer: unknown layer '%s'; known are", options->layer);
    for (int i = 0; i < AW_LAYERS; i++)
        fprintf(stderr, "%s %s", i > 0 ? "," : "", aw_layer_rows[i].key);
    fputs("\n", stderr);
    return false;
}

static bool read_spots(const cli_options *options, const aw_scenario *s, aw_point spots[])
{
    for (size_t i = 0; i < options->n_spots; i++) {
        double at[2];
        if (!cli_read_lengths(options->spots[i], s, 2, at)) {
            cli_complain("--spot: '%s' is not X,Y, two lengths within 100 000 m",
                         options->spots[i]);
            return false;
        }
        spots[i] = (aw_point){at[0], at[1]};
    }
    return true;
}

static bool write_sheet(const aw_sheet *sheet, kind out, size_t width, aw_text *text,
                        aw_errors *errors)
{
    if (out == SVG)
        return aw_sheet_svg(sheet, text, errors);
    return out == PDF ? aw_sheet_pdf(sheet, text, errors)
                      : aw_sheet_png(sheet, width, text, errors);
}

/* Complaints about the options that only the drawing finds out: a status of its own. */
static int draw(const cli_options *options, const aw_scenario *s, const aw_chart_options *chart,
                kind out, size_t width)
{
    aw_errors errors = {0};
    aw_text text = {0};
    aw_sheet sheet = {0};
    aw_chart *shown = aw_chart_create(s, chart, &errors);
    const bool drawn = shown != NULL && aw_chart_draw(&sheet, shown, &errors);
    const bool wrong =
        !drawn && errors.n_errors > 0 && strncmp(errors.list[0].text, "out of memory", 13) != 0;
    if (drawn)
        write_sheet(&sheet, out, width, &text, &errors);
    int status = cli_report(&errors, chart->watch);
    if (status == STATUS_DONE)
        status = cli_write(&text, options->out);
    aw_text_free(&text);
    aw_sheet_free(&sheet);
    aw_chart_free(shown);
    aw_errors_free(&errors);
    return wrong ? STATUS_WRONG : status;
}

int cli_chart(const cli_options *options)
{
    aw_scenario s;
    aw_point spots[CLI_MOST_SPOTS];
    aw_chart_options chart = {.portrait = options->portrait,
                              .grey = options->grey,
                              .date = options->date,
                              .revision = options->revision,
                              .spots = spots,
                              .n_spots = options->n_spots};
    size_t width = 0;
    if (options->out == NULL || kind_of(options->out) == UNKNOWN)
        return cli_complain("chart needs --out FILE.svg, FILE.png or FILE.pdf");
    const kind out = kind_of(options->out);
    chart.threads = cli_threads(options);
    if (chart.threads == 0 || !read_width(options, out, &width) || !read_sheet(options, &chart) ||
        !read_layer(options, &chart))
        return STATUS_WRONG;
    if (out == PNG) {
        const aw_paper_row *paper = &aw_paper_rows[chart.paper];
        chart.least_text =
            LEAST_TEXT * (chart.portrait ? paper->height : paper->width) / (double)width;
    }
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE && !read_spots(options, &s, spots))
        status = STATUS_WRONG;
    if (status == STATUS_DONE) {
        chart.watch = cli_watch(options, 0);
        status = draw(options, &s, &chart, out, width);
    }
    aw_scenario_free(&s);
    return status;
}
