/* A document for people as JSON: the same sections, blocks and cells. */
#include "report/book.h"

#include <math.h>

static const aw_book *book_of(const aw_subject *s)
{
    return s->of;
}

/* --- cells --- */

static const char *const look_words[] = {
    [AW_LOOK_PLAIN] = "plain",       [AW_LOOK_STRONG] = "strong",
    [AW_LOOK_SOFT] = "soft",         [AW_LOOK_MISSED] = "missed",
    [AW_LOOK_NOT_MET] = "not met",   [AW_LOOK_MET] = "met",
    [AW_LOOK_MET_WELL] = "met well", [AW_LOOK_UNDECIDED] = "undecided",
    [AW_LOOK_UNASKED] = "not asked", [AW_LOOKS] = NULL};
static const char *const figure_words[] = {[AW_FIGURE_STATED] = "stated",
                                           [AW_FIGURE_DRAWN] = "drawn",
                                           [AW_FIGURE_LINEAR] = "linear",
                                           [AW_FIGURE_KINDS] = NULL};

AW_GETTER(get_look)
{
    v->text = look_words[((const aw_book_cell *)s->of)->look];
    return true;
}

AW_GETTER(get_figure_kind)
{
    const aw_book_cell *cell = s->of;
    v->text = figure_words[cell->kind];
    return isfinite(cell->value);
}

AW_GETTER(get_value)
{
    v->number = ((const aw_book_cell *)s->of)->value;
    return true;
}

static const aw_member cell_members[] = {
    AW_TEXT("text", aw_book_cell, text, "as it is read"),
    AW_TEXT("under", aw_book_cell, under, "what stands smaller under it"),
    AW_WORD("look", get_look, look_words, "what it is set off as"),
    AW_GOT("value", NUMBER, get_value, "",
           "the figure, in SI units; infinite ones and those that do not exist are null"),
    AW_TEXT("unit", aw_book_cell, unit, "of the value"),
    AW_WORD("figure", get_figure_kind, figure_words,
            "how it came about: stated, drawn by simulation, or a linear estimate"),
};
static const aw_shape cell_shape = AW_SHAPE("cell", "A cell of a table", cell_members);

/* --- blocks --- */

AW_GETTER(get_cell)
{
    const aw_book_block *block = s->of;
    if (i >= block->n_cells)
        return false;
    v->object = (aw_subject){&block->cells[i], s->with, i, 0};
    return true;
}

static const aw_member column_members[] = {
    AW_TEXT("head", aw_book_column, head, "its heading"),
    AW_TRUTH("right", aw_book_column, right, "whether it stands to the right, as figures do"),
};
static const aw_shape column_shape = AW_SHAPE("book_column", "A column of a table", column_members);

AW_GETTER(get_column)
{
    const aw_book_block *block = s->of;
    if (i >= block->n_columns)
        return false;
    v->object = (aw_subject){&block->columns[i], s->with, i, 0};
    return true;
}

static const char *const block_words[] = {
    [AW_BLOCK_TEXT] = "text",     [AW_BLOCK_HEADING] = "heading", [AW_BLOCK_LIST] = "list",
    [AW_BLOCK_BOXES] = "boxes",   [AW_BLOCK_FACTS] = "facts",     [AW_BLOCK_TABLE] = "table",
    [AW_BLOCK_FIGURE] = "figure", [AW_BLOCK_LACK] = "lack",       [AW_BLOCK_KINDS] = NULL};

AW_GETTER(get_block_kind)
{
    v->text = block_words[((const aw_book_block *)s->of)->kind];
    return true;
}

static const aw_member block_members[] = {
    AW_WORD("kind", get_block_kind, block_words,
            "text, a heading, a list, boxes (cells in threes: question, answer, a line under it), "
            "facts (in twos: name, what is so), a table, a figure, or what is lacking"),
    AW_TEXT("text", aw_book_block, text, "the paragraph, the heading or the caption"),
    AW_LIST("columns", get_column, &column_shape, "of a table, from left to right"),
    AW_LIST("cells", get_cell, &cell_shape, "of a table row by row; items, boxes, facts"),
    AW_TRUTH("total", aw_book_block, has_total, "whether the last row is a sum"),
};
static const aw_shape block_shape = AW_SHAPE("block", "A part of a section", block_members);

/* --- sections --- */

AW_GETTER(get_block)
{
    const aw_book_section *section = s->of;
    if (i >= section->n)
        return false;
    v->object = (aw_subject){&section->blocks[i], s->with, i, 0};
    return true;
}

static const aw_member section_members[] = {
    AW_TEXT("id", aw_book_section, id, "names it, as --sections does"),
    AW_TEXT("title", aw_book_section, title, "its heading"),
    AW_LIST("blocks", get_block, &block_shape, "what stands in it"),
};
static const aw_shape section_shape =
    AW_SHAPE("book_section", "A section of a report", section_members);

AW_GETTER(get_section)
{
    if (i >= book_of(s)->n)
        return false;
    v->object = (aw_subject){&book_of(s)->sections[i], s->with, i, 0};
    return true;
}

/* Of the letterhead: 0 and 1 at the left, 2 and 3 at the right. */
AW_GETTER(get_letterhead)
{
    v->text = i < 2 ? book_of(s)->left[i] : book_of(s)->right[i - 2];
    return v->text != NULL;
}

static const aw_member book_members[] = {
    AW_RUN_MEMBERS,
    AW_TEXT("kind", aw_book, kind, "client or visit"),
    AW_TEXT("title", aw_book, title, "over all"),
    AW_TEXT("headline", aw_book, headline, "what the figures say, in one line"),
    AW_WHICH("from", TEXT, get_letterhead, 0, "", "letterhead: whose report it is"),
    AW_WHICH("author", TEXT, get_letterhead, 1, "", "and by whom"),
    AW_WHICH("client", TEXT, get_letterhead, 2, "", "for whom"),
    AW_WHICH("revision", TEXT, get_letterhead, 3, "", "revision and date"),
    AW_LIST("sections", get_section, &section_shape, "in their order"),
    AW_RUN_END,
};
const aw_shape aw_book_shape =
    AW_SHAPE("report", "A report as its writers are given it", book_members);

void aw_book_json(const aw_book *book, aw_text *out)
{
    aw_document_json(&aw_book_shape, &(aw_subject){.of = book, .with = book}, out);
    out->failed |= book->failed;
}
