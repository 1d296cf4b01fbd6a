/* report: one file for the client, a sheet for the installers, a list for the site visit. */
#include "app/cli/cli.h"

#include <stdlib.h>
#include <string.h>

#include "book/client.h"
#include "book/installers.h"
#include "book/visit.h"
#include "book/writers.h"

const char *const cli_report_kinds[] = {"client", "installers", "visit", NULL};

/* Characters of the letterhead's texts, and bytes of its picture. */
#define LONGEST_NOTE 60
#define MOST_IMAGE   (4u << 20)

typedef enum form { FORM_HTML, FORM_PDF, FORM_SVG, FORM_NONE } form;

/* What was asked for, read before any study runs. */
typedef struct order {
    bool wanted[AW_CLIENT_SECTIONS];
    form form;
    aw_paper paper;
    char *image;
    size_t n_image;
    aw_units units;
    aw_scenario against;
    bool has_against;
} order;

static bool is_kind(const cli_options *o, const char *kind)
{
    return strcmp(o->kind, kind) == 0;
}

static form form_of(const char *path)
{
    static const char *const endings[] = {".html", ".pdf", ".svg"};
    const size_t n = path != NULL ? strlen(path) : 0;
    for (int k = 0; k < FORM_NONE; k++)
        if (n > strlen(endings[k]) && strcmp(path + n - strlen(endings[k]), endings[k]) == 0)
            return (form)k;
    return FORM_NONE;
}

static bool read_form(order *r, const cli_options *o)
{
    const bool sheet = is_kind(o, "installers");
    r->form = form_of(o->out);
    if (o->json && sheet)
        cli_complain("report installers has no JSON; --csv FILE has its rows");
    else if (o->csv != NULL && !sheet)
        cli_complain("--csv goes with report installers");
    else if (o->json)
        return true;
    else if (sheet ? r->form != FORM_PDF && r->form != FORM_SVG
                   : r->form != FORM_HTML && r->form != FORM_PDF)
        cli_complain("report %s needs --out FILE.%s", o->kind,
                     sheet ? "pdf or FILE.svg" : "html or FILE.pdf");
    else
        return true;
    return false;
}

static bool read_paper(order *r, const cli_options *o)
{
    r->paper = is_kind(o, "installers") ? AW_PAPER_A3 : AW_PAPER_A4;
    if (o->sheet == NULL)
        return true;
    for (int k = 0; k < AW_PAPERS; k++)
        if (k != AW_PAPER_A1 && strcmp(aw_paper_rows[k].name, o->sheet) == 0) {
            r->paper = (aw_paper)k;
            return true;
        }
    cli_complain("--sheet: '%s' is not one of A4, A3, letter, tabloid", o->sheet);
    return false;
}

/* Marks the sections of a list; all without one. */
static bool read_sections(order *r, const cli_options *o)
{
    for (int k = 0; k < AW_CLIENT_SECTIONS; k++)
        r->wanted[k] = o->sections == NULL;
    if (o->sections != NULL && !is_kind(o, "client")) {
        cli_complain("--sections goes with report client");
        return false;
    }
    for (const char *at = o->sections; at != NULL && *at != '\0';) {
        const size_t length = strcspn(at, ",");
        int k = 0;
        while (k < AW_CLIENT_SECTIONS && (strlen(aw_client_section_ids[k]) != length ||
                                          strncmp(aw_client_section_ids[k], at, length) != 0))
            k++;
        if (k == AW_CLIENT_SECTIONS) {
            char written[64];
            snprintf(written, sizeof written, "%.*s", (int)length, at);
            cli_complain_of_unknown("--sections: unknown section", written, aw_client_section_ids,
                                    AW_CLIENT_SECTIONS,
                                    "known are zones, chart, spot, anchors, why, bill, confirm, "
                                    "basis, proof, care");
            return false;
        }
        r->wanted[k] = true;
        at += length + (at[length] == ',');
    }
    return true;
}

static bool read_image(order *r, const cli_options *o)
{
    aw_errors errors = {0};
    if (o->image == NULL)
        return true;
    bool sound = aw_file_read(o->image, &r->image, &r->n_image, &errors);
    if (!sound)
        aw_errors_write(&errors, o->image, false, stderr);
    const aw_book_image image = {r->image, r->n_image};
    if (sound && (r->n_image > MOST_IMAGE || !aw_book_image_is_sound(&image))) {
        cli_complain("--image: '%s' is not a PNG of at most 4 MiB and 40 million pixels", o->image);
        sound = false;
    }
    aw_errors_free(&errors);
    return sound;
}

static bool check_texts(const cli_options *o)
{
    const struct {
        const char *option, *text;
    } texts[] = {{"--date", o->date},
                 {"--revision", o->revision},
                 {"--client", o->client},
                 {"--author", o->author},
                 {"--from", o->from}};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        if (texts[i].text != NULL && !cli_check_text(texts[i].option, texts[i].text, LONGEST_NOTE))
            return false;
    return true;
}

/* The other layout, whose floor has to be the same. */
static int read_against(order *r, const cli_site *site)
{
    cli_options other = *site->options;
    aw_errors errors = {0};
    if (other.against == NULL)
        return STATUS_DONE;
    other.scenarios[0] = other.scenario = other.paths[0] = other.against;
    int status = cli_read_one(&r->against, 0, &other, NULL);
    r->has_against = true;
    if (status == STATUS_DONE && !aw_same_floor(&site->scenario, &r->against, &errors))
        status = STATUS_WRONG;
    aw_errors_write(&errors, other.against, false, stderr);
    aw_errors_free(&errors);
    return status;
}

static void add_letterhead(aw_book *book, const cli_options *o, const aw_language *language)
{
    aw_text text = {0};
    book->left[0] = aw_book_copy(book, o->from);
    if (o->author != NULL)
        aw_phrase_fill(language, AW_SAY_AUTHOR, (const char *const[]){o->author, NULL}, &text);
    book->left[1] = o->author != NULL ? aw_book_take(book, &text) : NULL;
    if (o->client != NULL)
        aw_phrase_fill(language, AW_SAY_FOR, (const char *const[]){o->client, NULL}, &text);
    book->right[0] = o->client != NULL ? aw_book_take(book, &text) : NULL;
    const char *revision = o->revision != NULL ? o->revision : "",
               *date = o->date != NULL ? o->date : "";
    const aw_phrase phrase = o->revision != NULL && o->date != NULL ? AW_SAY_REVISION_AND_DATE
                             : o->revision != NULL                  ? AW_SAY_REVISION_ALONE
                                                                    : AW_SAY_DATE_ALONE;
    aw_phrase_fill(language, phrase, (const char *const[]){revision, date, NULL}, &text);
    const char *right = aw_book_take(book, &text);
    book->right[1] = *right != '\0' ? right : NULL;
    book->foot = aw_book_print(book, "%s%s%s", book->run.scenario->title,
                               *right != '\0' ? " – " : "", right);
}

/* A book that was made, as it was asked for. */
static int write_book(cli_site *site, const order *r, const aw_book *book,
                      const aw_picture *pictures, size_t n_pictures)
{
    const aw_book_layout layout = {.pictures = pictures,
                                   .n_pictures = n_pictures,
                                   .paper = r->paper,
                                   .date = site->options->date,
                                   .image = {r->image, r->n_image}};
    aw_text text = {0};
    aw_watch_stage(site->run.watch, 0, "writing the report");
    if (site->options->json)
        aw_book_json(book, &text);
    else if (r->form == FORM_PDF)
        aw_book_pdf(book, &layout, &text, &site->errors);
    else
        aw_book_html(book, &layout, &text, &site->errors);
    if (book->failed)
        aw_errors_add(&site->errors, AW_ERROR, 0, 0, "out of memory for the report");
    return cli_show(site, cli_end(site), &text);
}

static int write_client(cli_site *site, const order *r)
{
    const cli_options *o = site->options;
    aw_book book = {0};
    aw_studies st = {0};
    aw_studies_plan plan = {.scenario = &site->scenario,
                            .against = r->has_against ? &r->against : NULL,
                            .file = o->scenario,
                            .checksum = site->given.checksum,
                            .against_file = o->against,
                            .quick = o->quick,
                            .cheapest = o->cheapest,
                            .pale = site->drawing.look.pale,
                            .paper = (int)r->paper,
                            .date = o->date,
                            .revision = o->revision,
                            .client = o->client,
                            .author = o->author};
    memcpy(plan.wanted, r->wanted, sizeof plan.wanted);
    const size_t work = aw_assess_work(&site->scenario);
    int status;
    if (aw_studies_run(&st, &plan, cli_begin(site, (o->quick ? 10 : 60) * work, " or more"))) {
        aw_client client = {
            .book = &book, .st = &st, .s = &site->scenario, .language = &aw_english};
        aw_client_write(&client);
        add_letterhead(&book, o, client.language);
        status = write_book(site, r, &book, st.pictures, st.n_pictures);
    } else {
        status = cli_report_asked(&site->errors, site->run.watch);
    }
    aw_book_free(&book);
    aw_studies_free(&st);
    return status;
}

static int write_visit(cli_site *site, const order *r)
{
    const cli_options *o = site->options;
    aw_book book = {0};
    aw_studies st = {0};
    aw_studies_plan plan = {.scenario = &site->scenario, .file = o->scenario, .quick = o->quick};
    int status;
    plan.wanted[AW_CLIENT_CONFIRM] = true;
    const size_t work =
        o->quick ? aw_assess_work(&site->scenario) : aw_sensitivity_work(&site->scenario);
    if (aw_studies_run(&st, &plan, cli_begin(site, work, ""))) {
        aw_client client = {
            .book = &book, .st = &st, .s = &site->scenario, .language = &aw_english};
        aw_visit_write(&client);
        add_letterhead(&book, o, client.language);
        status = write_book(site, r, &book, NULL, 0);
    } else {
        status = cli_report_asked(&site->errors, site->run.watch);
    }
    aw_book_free(&book);
    aw_studies_free(&st);
    return status;
}

/* Sheets and rows, the rows first: both or none are there when the sheets fail to be drawn. */
static int write_sheets(cli_site *site, const order *r, const aw_installers *what)
{
    const cli_options *o = site->options;
    aw_sheet sheets[AW_INSTALLERS_SHEETS] = {0};
    aw_text text = {0}, rows = {0};
    size_t n = 0;
    bool drawn = aw_installers_draw(sheets, &n, what, &site->errors);
    if (drawn && r->form == FORM_PDF)
        aw_sheets_pdf(sheets, n, &text, &site->errors);
    else if (drawn)
        aw_sheet_svg(&sheets[0], &text, &site->errors);
    int status = cli_end(site);
    if (status == STATUS_DONE && r->form == FORM_SVG && n > 1)
        status = cli_complain("so many anchors take %zu sheets; give --out FILE.pdf", n);
    if (status == STATUS_DONE && o->csv != NULL) {
        aw_installers_csv(what, &rows);
        status = cli_write(&rows, o->csv);
    }
    if (status == STATUS_DONE)
        status = cli_write(&text, o->out);
    for (size_t i = 0; i < n; i++)
        aw_sheet_free(&sheets[i]);
    aw_text_free(&text);
    aw_text_free(&rows);
    return status;
}

static int write_installers(cli_site *site, const order *r)
{
    const cli_options *o = site->options;
    const aw_scenario *s = &site->scenario;
    aw_freedoms freedoms = {0};
    const aw_run *run = cli_begin(site, o->quick ? 1 : aw_freedom_work(s, s->n_anchors), "");
    int status = STATUS_STOPPED;
    if (o->quick || aw_freedom_run(&freedoms, s, s->n_anchors, AW_FREEDOM_REACH, run)) {
        const aw_installers what = {.scenario = s,
                                    .freedoms = o->quick ? NULL : &freedoms,
                                    .language = &aw_english,
                                    .paper = r->paper,
                                    .client = o->client,
                                    .author = o->author,
                                    .date = o->date,
                                    .revision = o->revision,
                                    .checksum = site->given.checksum};
        status = write_sheets(site, r, &what);
    } else {
        status = cli_end(site);
    }
    aw_freedom_free(&freedoms);
    return status;
}

static int run_order(cli_site *site, order *r)
{
    int status = read_against(r, site);
    site->drawing.path = site->options->out;
    if (status == STATUS_DONE)
        status = cli_read_picture(&site->drawing, site->options, &site->scenario);
    if (status != STATUS_DONE)
        return status;
    if (site->options->units != NULL)
        site->scenario.units = r->units;
    return is_kind(site->options, "client")  ? write_client(site, r)
           : is_kind(site->options, "visit") ? write_visit(site, r)
                                             : write_installers(site, r);
}

static int run(cli_site *site)
{
    order r = {.form = FORM_NONE};
    int status = STATUS_WRONG;
    if (read_form(&r, site->options) && read_paper(&r, site->options) &&
        read_sections(&r, site->options) && check_texts(site->options) &&
        read_image(&r, site->options) &&
        (site->options->units == NULL || cli_read_units(site->options, &r.units)))
        status = run_order(site, &r);
    free(r.image);
    aw_scenario_free(&r.against);
    return status;
}

int cli_write_report(const cli_options *options)
{
    if (options->kind == NULL)
        return cli_complain("report needs client, installers or visit before the scenario");
    return cli_with_site(options, NULL, run);
}
