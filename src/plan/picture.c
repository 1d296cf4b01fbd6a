/* What kind of picture it is, by its first bytes; the program that reads it; and its size, which is
 * asked before anything is decoded. */
#include "plan/picture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "plan/child.h"

/* Of the head of an SVG this much is looked at. */
#define MOST_HEAD ((size_t)64 << 10)
/* Between the shapes of an SVG's view box and of what is drawn, as a share. */
#define SAME_SHAPE 0.01

typedef struct reading {
    const aw_floor_picture *picture;
    const aw_run *run;
    int input;
    double seconds;
} reading;

static bool refuse(const reading *r, const char *why)
{
    aw_errors_add(r->run->errors, AW_ERROR, r->picture->place.line, r->picture->place.column,
                  "picture: %s: %s", r->picture->file, why);
    return false;
}

static bool run_out(const reading *r)
{
    aw_errors_add(r->run->errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

/* Runs a program of others; `package` is where Debian has it. */
static bool convert(reading *r, const char *program, const char *package, const char *const words[],
                    aw_text *out)
{
    char why[160];
    aw_child child = {.program = program,
                      .words = words,
                      .input = r->input,
                      .seconds = &r->seconds,
                      .whole = out};
    const aw_child_end end = aw_child_run(&child, r->run);
    aw_text_free(&child.said);
    switch (end) {
    case AW_CHILD_DONE:
        return true;
    case AW_CHILD_STOPPED:
        return false;
    case AW_CHILD_FAILED:
        return run_out(r);
    case AW_CHILD_MISSING:
        snprintf(why, sizeof why, "reading it takes the program %s; install %s", program, package);
        break;
    case AW_CHILD_LATE:
        snprintf(why, sizeof why, "reading it took over %g s, which is the limit",
                 AW_CHILD_SECONDS);
        break;
    case AW_CHILD_LONG:
        snprintf(why, sizeof why, "it is over 64 MB of pixels, which is the limit");
        break;
    default:
        snprintf(why, sizeof why, "it is damaged: %s could not read it", program);
        break;
    }
    return refuse(r, why);
}

/* --- sizes --- */

static double big_endian(const char bytes[4])
{
    double n = 0;
    for (int k = 0; k < 4; k++)
        n = n * 256 + (unsigned char)bytes[k];
    return n;
}

static bool is_png(const char *bytes, size_t n)
{
    return n >= 24 && memcmp(bytes, "\x89PNG\r\n\x1a\n", 8) == 0 &&
           memcmp(bytes + 12, "IHDR", 4) == 0;
}

bool aw_png_measure(const char *bytes, size_t n, double *width, double *height)
{
    if (!is_png(bytes, n))
        return false;
    *width = big_endian(bytes + 16);
    *height = big_endian(bytes + 20);
    return *width > 0 && *height > 0 && *width * *height <= AW_PICTURE_PIXELS &&
           *width <= AW_PICTURE_SIDE && *height <= AW_PICTURE_SIDE;
}

/* Of the PNG's own pixels. */
static bool measure_png(const reading *r, const aw_text *png, double *width, double *height)
{
    if (!is_png(png->at, png->n))
        return refuse(r, "it is damaged: no picture came of it");
    return aw_png_measure(png->at, png->n, width, height) ||
           refuse(r, "it has over 40 million pixels, or none; 40 million are the limit");
}

/* The value of an attribute in the head of an SVG, NULL without. */
static const char *attribute(const char *tag, const char *end, const char *name)
{
    const size_t n = strlen(name);
    for (const char *at = tag; (at = strstr(at, name)) != NULL && at < end; at += n) {
        const char *value = at + n;
        value += strspn(value, " \t\r\n");
        if (*value != '=' || strchr(" \t\r\n", at[-1]) == NULL)
            continue;
        value++;
        value += strspn(value, " \t\r\n");
        if (*value == '"' || *value == '\'')
            return value + 1;
    }
    return NULL;
}

/* Units of an SVG: of its view box, else of its width and height. */
static bool measure_svg(const reading *r, const char *bytes, size_t n, double *width,
                        double *height)
{
    char *head = strndup(bytes, n < MOST_HEAD ? n : MOST_HEAD);
    if (head == NULL)
        return run_out(r);
    const char *tag = strstr(head, "<svg");
    const char *end = tag != NULL ? strchr(tag, '>') : NULL;
    const char *box = end != NULL ? attribute(tag + 4, end, "viewBox") : NULL;
    const char *across = end != NULL ? attribute(tag + 4, end, "width") : NULL;
    const char *down = end != NULL ? attribute(tag + 4, end, "height") : NULL;
    double numbers[4] = {0};
    char *next = NULL;
    for (int k = 0; box != NULL && k < 4; k++, box = next + strspn(next, " ,\t\r\n"))
        numbers[k] = strtod(box, &next);
    *width = box != NULL ? numbers[2] : across != NULL ? strtod(across, NULL) : 0;
    *height = box != NULL ? numbers[3] : down != NULL ? strtod(down, NULL) : 0;
    free(head);
    if (box != NULL && (numbers[0] != 0 || numbers[1] != 0))
        return refuse(r, "its viewBox does not begin at 0, 0");
    return (*width > 0 && *height > 0 && isfinite(*width) && isfinite(*height)) ||
           refuse(r, "the SVG says no size: neither a viewBox nor width and height");
}

/* Points of a PDF page as it is seen, turned as it says. */
static bool measure_page(reading *r, const char *page, double *width, double *height)
{
    const char *const words[] = {"-f", page, "-l", page, AW_CHILD_INPUT, NULL};
    aw_text said = {0};
    bool fine = convert(r, "pdfinfo", "poppler-utils", words, &said);
    const char *size = fine && said.at != NULL ? strstr(said.at, " size:") : NULL;
    const char *turn = size != NULL ? strstr(size, " rot:") : NULL;
    if (fine && (size == NULL || sscanf(size, " size: %lf x %lf", width, height) != 2))
        fine = refuse(r, "the PDF has no such page");
    if (fine && turn != NULL && strtol(turn + 5, NULL, 10) % 180 != 0) {
        const double other = *width;
        *width = *height;
        *height = other;
    }
    aw_text_free(&said);
    return fine;
}

/* --- kinds --- */

static bool read_svg(reading *r, const char *bytes, size_t n, aw_picture_file *file)
{
    if (!measure_svg(r, bytes, n, &file->width, &file->height))
        return false;
    const char *const words[] = {
        "-f",           "png", file->width >= file->height ? "-w" : "-h", AW_PICTURE_LONG, "-a",
        AW_CHILD_INPUT, NULL};
    double width, height;
    if (!convert(r, "rsvg-convert", "librsvg2-bin", words, &file->png) ||
        !measure_png(r, &file->png, &width, &height))
        return false;
    return fabs(width * file->height / (height * file->width) - 1) < SAME_SHAPE ||
           refuse(r, "the SVG's width and height have another shape than its viewBox");
}

static bool read_page(reading *r, aw_picture_file *file)
{
    char page[16];
    double width, height;
    snprintf(page, sizeof page, "%u", r->picture->page);
    const char *const words[] = {
        "-png", "-singlefile", "-cropbox",      "-f",           page, "-l",
        page,   "-scale-to",   AW_PICTURE_LONG, AW_CHILD_INPUT, "-",  NULL};
    file->is_page = true;
    return measure_page(r, page, &file->width, &file->height) &&
           convert(r, "pdftocairo", "poppler-utils", words, &file->png) &&
           measure_png(r, &file->png, &width, &height);
}

static bool read_jpeg(reading *r, aw_picture_file *file)
{
    static const char *const words[] = {
        "-q", "-if",          "JPEG",        "-of", "PNG", "--config", "GDAL_PAM_ENABLED",
        "NO", AW_CHILD_INPUT, "/vsistdout/", NULL};
    return convert(r, "gdal_translate", "gdal-bin", words, &file->png) &&
           measure_png(r, &file->png, &file->width, &file->height);
}

static bool read_kind(reading *r, const char *bytes, size_t n, aw_picture_file *file)
{
    char head[1025] = "";
    memcpy(head, bytes, n < sizeof head - 1 ? n : sizeof head - 1);
    if (is_png(bytes, n)) {
        aw_text_add_bytes(&file->png, bytes, n);
        return file->png.failed ? run_out(r)
                                : measure_png(r, &file->png, &file->width, &file->height);
    }
    r->input = aw_child_file(&bytes, &n, 1);
    if (r->input < 0)
        return run_out(r);
    const bool read = memcmp(head, "\xff\xd8\xff", 3) == 0 ? read_jpeg(r, file)
                      : memcmp(head, "%PDF-", 5) == 0      ? read_page(r, file)
                      : strstr(head, "<svg") != NULL       ? read_svg(r, bytes, n, file)
                                                     : refuse(r, "it is no PNG, JPEG, SVG or PDF");
    close(r->input);
    return read;
}

/* Its path: from the scenario's folder. The caller frees it. */
static char *path_of(const aw_floor_picture *picture, const char *scenario)
{
    const char *slash = strrchr(scenario, '/');
    aw_text path = {0};
    if (*picture->file != '/' && slash != NULL)
        aw_text_add_bytes(&path, scenario, (size_t)(slash - scenario) + 1);
    aw_text_add(&path, picture->file);
    if (!path.failed)
        return path.at;
    aw_text_free(&path);
    return NULL;
}

bool aw_picture_read(aw_picture_file *file, const aw_floor_picture *picture, const char *path,
                     const aw_run *run)
{
    reading r = {.picture = picture, .run = run, .input = -1, .seconds = AW_CHILD_SECONDS};
    char *bytes = NULL, *own = path_of(picture, path);
    size_t n = 0;
    aw_errors errors = {0};
    *file = (aw_picture_file){0};
    bool read = own != NULL ? aw_file_read(own, &bytes, &n, &errors) : run_out(&r);
    if (errors.n_errors > 0)
        refuse(&r, errors.list[0].text);
    read = read && read_kind(&r, bytes, n, file);
    aw_errors_free(&errors);
    free(bytes);
    free(own);
    return read;
}
