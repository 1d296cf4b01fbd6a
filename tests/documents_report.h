/* What a report prints, line by line, of a small one made here. */
#ifndef AW_TESTS_DOCUMENTS_REPORT_H
#define AW_TESTS_DOCUMENTS_REPORT_H

#include "documents_site.h"
#include "report/book.h"

static void make_book(aw_book *b)
{
    *b = (aw_book){.run = {&all.s, "a.yaml"},
                   .kind = "client",
                   .title = "Hall: how exact",
                   .headline = "All is well.",
                   .left = {"Maker", "By me"},
                   .right = {"For you", "Revision 2"}};
    aw_book_begin(b, "zones", "What is reached");
    aw_book_add(b, AW_BLOCK_TEXT, "A paragraph.");
    aw_book_add(b, AW_BLOCK_TABLE, "Figures")->has_total = true;
    aw_book_add_column(b, "zone", false);
    aw_book_add_column(b, "p95", true);
    aw_book_add_seen(b, "bay", AW_LOOK_STRONG)->under = "tag";
    aw_book_add_number(b, "0.5 m", 0.512, "m", AW_FIGURE_DRAWN);
    aw_book_add_seen(b, "sum", AW_LOOK_MISSED);
    aw_book_add_number(b, "2 m", 2.25, "m", AW_FIGURE_LINEAR);
    aw_book_begin(b, "care", "Cautions");
    aw_book_add(b, AW_BLOCK_LIST, "");
    aw_book_add_cell(b, "Take care.");
}

static void say_report(aw_text *out)
{
    aw_book b;
    make_book(&b);
    aw_book_json(&b, out);
    aw_book_free(&b);
}

static void hold_cell(document *d, size_t i, const char *const texts[5], double value)
{
    static const char *const keys[] = {"text", "under", "look", "unit", "figure"};
    for (size_t k = 0; k < 5; k++)
        text(d, at("sections.0.blocks.1.cells.%zu.%s", i, keys[k]), texts[k]);
    number(d, at("sections.0.blocks.1.cells.%zu.%s", i, "value"), value);
}

static void hold_table(document *d)
{
    const double none = (double)NAN;
    text(d, "sections.0.blocks.1.kind", "table");
    text(d, "sections.0.blocks.1.text", "Figures");
    truth(d, "sections.0.blocks.1.total", 1);
    length(d, "sections.0.blocks.1.columns", 2);
    text(d, "sections.0.blocks.1.columns.0.head", "zone");
    truth(d, "sections.0.blocks.1.columns.0.right", 0);
    text(d, "sections.0.blocks.1.columns.1.head", "p95");
    truth(d, "sections.0.blocks.1.columns.1.right", 1);
    length(d, "sections.0.blocks.1.cells", 4);
    hold_cell(d, 0, (const char *const[]){"bay", "tag", "strong", NULL, NULL}, none);
    hold_cell(d, 1, (const char *const[]){"0.5 m", NULL, "plain", "m", "drawn"}, 0.512);
    hold_cell(d, 2, (const char *const[]){"sum", NULL, "missed", NULL, NULL}, none);
    hold_cell(d, 3, (const char *const[]){"2 m", NULL, "plain", "m", "linear"}, 2.25);
}

static void hold_report(document *d)
{
    hold_run(d);
    text(d, "kind", "client");
    text(d, "title", "Hall: how exact");
    text(d, "headline", "All is well.");
    text(d, "from", "Maker");
    text(d, "author", "By me");
    text(d, "client", "For you");
    text(d, "revision", "Revision 2");
    length(d, "sections", 2);
    text(d, "sections.0.id", "zones");
    text(d, "sections.0.title", "What is reached");
    text(d, "sections.1.id", "care");
    text(d, "sections.1.title", "Cautions");
    length(d, "sections.0.blocks", 2);
    length(d, "sections.1.blocks", 1);
    text(d, "sections.0.blocks.0.kind", "text");
    text(d, "sections.0.blocks.0.text", "A paragraph.");
    truth(d, "sections.0.blocks.0.total", 0);
    length(d, "sections.0.blocks.0.columns", 0);
    length(d, "sections.0.blocks.0.cells", 0);
    hold_table(d);
    text(d, "sections.1.blocks.0.cells.0.text", "Take care.");
}

#endif
