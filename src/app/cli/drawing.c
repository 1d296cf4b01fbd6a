/* What every command that draws a sheet does the same way: its options, and writing the file. */
#include "app/cli/cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_WIDTH 200
#define MOST_WIDTH  20000
/* Pixels up to which a picture has the smaller sheet, where none is asked for. */
#define SMALL_WIDTH 2000
/* Characters of date and revision in a title block. */
#define LONGEST_NOTE 60
/* Height in pixels below which a figure cannot be read. */
#define LEAST_TEXT 11.0

static cli_kind kind_of(const char *path)
{
    static const char *const endings[] = {
        [CLI_SVG] = ".svg", [CLI_PNG] = ".png", [CLI_PDF] = ".pdf"};
    const size_t n = path ? strlen(path) : 0;
    for (int k = CLI_SVG; k <= CLI_PDF; k++)
        if (n > 4 && strcmp(path + n - 4, endings[k]) == 0)
            return (cli_kind)k;
    return CLI_NO_KIND;
}

static bool read_width(const cli_options *options, cli_drawing *drawing)
{
    const char *text = options->width ? options->width : "1600";
    drawing->width = strspn(text, "0123456789") == strlen(text) ? strtoul(text, NULL, 10) : 0;
    if (options->width != NULL && drawing->kind != CLI_PNG)
        cli_complain("--width goes with a PNG");
    else if (drawing->width < LEAST_WIDTH || drawing->width > MOST_WIDTH)
        cli_complain("--width: %s is not a whole number in [%d, %d]", text, LEAST_WIDTH,
                     MOST_WIDTH);
    else
        return true;
    return false;
}

static bool read_paper(const cli_options *options, cli_drawing *drawing)
{
    aw_chart_options *look = &drawing->look;
    look->paper =
        drawing->kind == CLI_PNG && drawing->width <= SMALL_WIDTH ? AW_PAPER_A4 : AW_PAPER_A3;
    if (options->sheet == NULL)
        return true;
    for (look->paper = 0; look->paper < AW_PAPERS; look->paper++)
        if (strcmp(aw_paper_rows[look->paper].name, options->sheet) == 0)
            return true;
    cli_complain("--sheet: '%s' is not one of A4, A3, A1, letter, tabloid", options->sheet);
    return false;
}

/* What stands in the title block. */
static bool check_texts(const aw_chart_options *look)
{
    const struct {
        const char *option, *text;
    } texts[] = {{"--date", look->date},     {"--revision", look->revision},
                 {"--client", look->client}, {"--site", look->site},
                 {"--number", look->number}, {"--author", look->author}};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        if (texts[i].text != NULL && !cli_check_text(texts[i].option, texts[i].text, LONGEST_NOTE))
            return false;
    return true;
}

bool cli_read_drawing(cli_drawing *drawing, const cli_options *options, const char *command,
                      const char *option, const char *path)
{
    aw_chart_options *look = &drawing->look;
    *drawing = (cli_drawing){.path = path, .kind = kind_of(path), .quiet = options->quiet};
    *look = (aw_chart_options){.layer = AW_LAYER_P95,
                               .portrait = options->portrait,
                               .grey = options->grey,
                               .relative = options->relative,
                               .date = options->date,
                               .revision = options->revision,
                               .client = options->client,
                               .site = options->site,
                               .number = options->number,
                               .author = options->author,
                               .files = {{options->scenario, NULL}},
                               .assessed = true};
    if (drawing->kind == CLI_NO_KIND)
        cli_complain("%s needs %s FILE.svg, FILE.png or FILE.pdf", command, option);
    if (!check_texts(look))
        return false;
    if (drawing->kind == CLI_NO_KIND || !read_width(options, drawing) ||
        !read_paper(options, drawing))
        return false;
    if (drawing->kind == CLI_PNG) {
        const aw_paper_row *paper = &aw_paper_rows[look->paper];
        look->least_text =
            LEAST_TEXT * (look->portrait ? paper->height : paper->width) / (double)drawing->width;
    }
    return true;
}

/* Boxes stand where no font has a sign for a character. */
static void warn_of_missing(const aw_sheet *sheet)
{
    aw_text missing = {0};
    aw_sheet_missing(sheet, &missing);
    if (missing.n > 0)
        fprintf(stderr,
                "anchorwise: warning: no font of this machine has %s: install one "
                "(fonts-noto-core has most scripts), or write the name otherwise\n",
                missing.at);
    aw_text_free(&missing);
}

/* Scales that plans are drawn in, 1 : n. */
static bool is_usual_scale(double n)
{
    static const double usual[] = {1,   5,   10,  20,  25,   50,   75,   100,  125, 150,
                                   200, 250, 400, 500, 1000, 1250, 2000, 2500, 5000};
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++)
        if (fabs(n / usual[i] - 1) < 0.01)
            return true;
    return false;
}

/* A page of a PDF has a size, so its points tell a scale; one that nobody draws in is a hint that
 * a point is off. */
static void tell_scale(const cli_options *options, const aw_floor_picture *picture,
                       const aw_picture_file *file)
{
    const double scale = aw_picture_metres(picture) * 72 / 0.0254;
    if (file->is_page && !options->quiet && !is_usual_scale(scale))
        fprintf(
            stderr,
            "%s:%d:%d: warning: picture: by its two points the page is drawn 1 : %.4g, which is no "
            "usual scale; look at the points once more\n",
            options->scenario, picture->place.line, picture->place.column, scale);
}

int cli_read_picture(cli_drawing *drawing, const cli_options *options, const aw_scenario *scenario)
{
    const aw_floor_picture *picture = &scenario->floor.picture;
    aw_errors errors = {0};
    aw_picture_file file = {0};
    if (picture->file == NULL || drawing->path == NULL)
        return STATUS_DONE;
    if (aw_picture_read(&file, picture, options->scenario, &(aw_run){.errors = &errors}) &&
        aw_pale_create(&drawing->pale, picture, &file, &errors)) {
        drawing->look.pale = &drawing->pale;
        tell_scale(options, picture, &file);
    }
    aw_errors_write(&errors, options->scenario, false, stderr);
    const int status = errors.n_errors == 0               ? STATUS_DONE
                       : aw_errors_out_of_memory(&errors) ? STATUS_FAILED
                                                          : STATUS_WRONG;
    aw_text_free(&file.png);
    aw_errors_free(&errors);
    return status;
}

bool cli_make_drawing(const cli_drawing *drawing, const aw_sheet *sheet, aw_text *text,
                      aw_errors *errors)
{
    if (!drawing->quiet)
        warn_of_missing(sheet);
    if (drawing->kind == CLI_SVG)
        return aw_sheet_svg(sheet, text, errors);
    return drawing->kind == CLI_PDF ? aw_sheet_pdf(sheet, text, errors)
                                    : aw_sheet_png(sheet, drawing->width, text, errors);
}

bool cli_read_side_drawing(cli_drawing *drawing, const cli_options *options, const char *command)
{
    const char *lost = options->sheet      ? "--sheet"
                       : options->portrait ? "--portrait"
                       : options->grey     ? "--grey"
                       : options->width    ? "--width"
                       : options->date     ? "--date"
                       : options->revision ? "--revision"
                       : options->client   ? "--client"
                       : options->site     ? "--site"
                       : options->number   ? "--number"
                       : options->author   ? "--author"
                                           : NULL;
    if (options->chart != NULL)
        return cli_read_drawing(drawing, options, command, "--chart", options->chart);
    if (lost != NULL)
        cli_complain("%s goes with --chart", lost);
    return lost == NULL;
}

void cli_name_files(cli_drawing *drawing, const cli_options *options, const cli_given given[],
                    size_t n)
{
    for (size_t k = 0; k < n; k++)
        drawing->look.files[k] = (aw_checked_file){options->scenarios[k], given[k].checksum};
}

int cli_write_drawing(const cli_drawing *drawing, aw_sheet *sheet, aw_errors *errors)
{
    aw_text text = {0};
    int status = STATUS_FAILED;
    if (errors->n_errors == 0)
        cli_make_drawing(drawing, sheet, &text, errors);
    aw_errors_write(errors, "anchorwise", false, stderr);
    if (errors->n_errors == 0)
        status = cli_write(&text, drawing->path);
    aw_text_free(&text);
    aw_sheet_free(sheet);
    aw_errors_free(errors);
    return status;
}
