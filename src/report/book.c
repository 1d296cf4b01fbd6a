/* The content grows by doubling inside one arena; what was outgrown is freed with the rest. */
#include "report/book.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"

static aw_arena *arena_of(aw_book *book)
{
    if (book->memory == NULL)
        book->memory = aw_arena_create();
    book->failed |= book->memory == NULL;
    return book->memory;
}

static const char *copy(aw_book *book, const char text[], size_t length)
{
    aw_arena *arena = arena_of(book);
    const char *own = arena != NULL ? aw_arena_copy_text(arena, text, length) : NULL;
    book->failed |= own == NULL;
    return own != NULL ? own : "";
}

const char *aw_book_copy(aw_book *book, const char *text)
{
    return text != NULL ? copy(book, text, strlen(text)) : NULL;
}

const char *aw_book_take(aw_book *book, aw_text *text)
{
    book->failed |= text->failed;
    const char *own = copy(book, text->at != NULL ? text->at : "", text->n);
    aw_text_free(text);
    return own;
}

const char *aw_book_print(aw_book *book, const char *format, ...)
{
    char *printed = NULL;
    va_list arguments;
    va_start(arguments, format);
    const int length = vasprintf(&printed, format, arguments);
    va_end(arguments);
    book->failed |= length < 0;
    if (length < 0)
        return "";
    const char *own = copy(book, printed, (size_t)length);
    free(printed);
    return own;
}

/* A list with room for one more item: itself, or a copy in the arena; NULL without memory. */
static void *make_room(aw_book *book, void *list, size_t n, size_t *room, size_t size)
{
    aw_arena *arena = arena_of(book);
    if (arena == NULL || book->failed)
        return NULL;
    if (n < *room)
        return list;
    const size_t more = *room > 0 ? 2 * *room : 8;
    void *grown = aw_arena_take_array(arena, more, size);
    book->failed |= grown == NULL;
    if (grown == NULL)
        return NULL;
    if (n > 0)
        memcpy(grown, list, n * size);
    *room = more;
    return grown;
}

aw_book_section *aw_book_begin(aw_book *b, const char *id, const char *title)
{
    aw_book_section *list = make_room(b, b->sections, b->n, &b->room, sizeof *list);
    if (list == NULL)
        return &b->spare_section;
    b->sections = list;
    list[b->n] = (aw_book_section){.id = aw_book_copy(b, id), .title = aw_book_copy(b, title)};
    return &list[b->n++];
}

aw_book_block *aw_book_add(aw_book *b, aw_block_kind kind, const char *text)
{
    aw_book_section *s = b->n > 0 ? &b->sections[b->n - 1] : &b->spare_section;
    aw_book_block *list = make_room(b, s->blocks, s->n, &s->room, sizeof *list);
    if (list == NULL)
        return &b->spare_block;
    s->blocks = list;
    list[s->n] = (aw_book_block){.kind = kind, .text = aw_book_copy(b, text != NULL ? text : "")};
    return &list[s->n++];
}

/* The block that was begun last. */
static aw_book_block *last_block(aw_book *b)
{
    aw_book_section *s = b->n > 0 ? &b->sections[b->n - 1] : &b->spare_section;
    return s->n > 0 ? &s->blocks[s->n - 1] : &b->spare_block;
}

void aw_book_add_column(aw_book *b, const char *head, bool right)
{
    aw_book_block *block = last_block(b);
    aw_book_column *list =
        make_room(b, block->columns, block->n_columns, &block->room_columns, sizeof *list);
    if (list == NULL)
        return;
    block->columns = list;
    list[block->n_columns++] = (aw_book_column){aw_book_copy(b, head), right};
}

aw_book_cell *aw_book_add_cell(aw_book *b, const char *text)
{
    aw_book_block *block = last_block(b);
    aw_book_cell *list =
        make_room(b, block->cells, block->n_cells, &block->room_cells, sizeof *list);
    if (list == NULL)
        return &b->spare_cell;
    block->cells = list;
    list[block->n_cells] =
        (aw_book_cell){.text = aw_book_copy(b, text != NULL ? text : ""), .value = (double)NAN};
    return &list[block->n_cells++];
}

aw_book_cell *aw_book_add_seen(aw_book *b, const char *text, aw_book_look look)
{
    aw_book_cell *cell = aw_book_add_cell(b, text);
    cell->look = look;
    return cell;
}

aw_book_cell *aw_book_add_number(aw_book *b, const char *text, double value, const char *unit,
                                 aw_figure_kind kind)
{
    aw_book_cell *cell = aw_book_add_cell(b, text);
    cell->value = value;
    cell->unit = unit;
    cell->kind = kind;
    return cell;
}

void aw_book_free(aw_book *book)
{
    aw_arena_free(book->memory);
    *book = (aw_book){0};
}
