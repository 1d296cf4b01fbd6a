/* The order of the sections. */
#include "book/client.h"

static const struct {
    aw_phrase title;
    void (*add)(aw_client *client);
    bool is_whole, begins_page, is_wide;
} sections[AW_CLIENT_SECTIONS] = {
    [AW_CLIENT_ZONES] = {AW_SAY_ZONES, aw_client_zones, true, false, false},
    [AW_CLIENT_CHART] = {AW_SAY_CHART, aw_client_chart, false, true, true},
    [AW_CLIENT_SPOT] = {AW_SAY_SPOT, aw_client_spot_section, true, false, false},
    [AW_CLIENT_ANCHORS] = {AW_SAY_ANCHORS, aw_client_anchors, false, true, false},
    [AW_CLIENT_WHY] = {AW_SAY_WHY, aw_client_why, false, false, false},
    [AW_CLIENT_BILL] = {AW_SAY_BILL, aw_client_bill, true, false, false},
    [AW_CLIENT_CONFIRM] = {AW_SAY_CONFIRM, aw_client_confirm, true, false, false},
    [AW_CLIENT_BASIS] = {AW_SAY_BASIS, aw_client_basis, false, false, false},
    [AW_CLIENT_PROOF] = {AW_SAY_PROOF, aw_client_proof, true, false, false},
    [AW_CLIENT_CARE] = {AW_SAY_CARE, aw_client_care, true, false, false},
};

void aw_client_write(aw_client *c)
{
    aw_book *book = c->book;
    book->run = (aw_report_run){c->s, c->st->plan->file};
    book->kind = "client";
    book->title = SAY(c, TITLE, c->s->title);
    book->contents = SAY(c, CONTENTS);
    book->page_words = c->language->phrases[AW_SAY_PAGE_OF];
    book->continued = SAY(c, CONTINUED);
    aw_client_summary(c);
    for (int k = 0; k < AW_CLIENT_SECTIONS; k++) {
        if (!c->st->plan->wanted[k])
            continue;
        aw_book_section *section =
            aw_book_begin(book, aw_client_section_ids[k],
                          aw_client_say(c, sections[k].title, (const char *const[]){NULL}));
        section->is_whole = sections[k].is_whole;
        section->begins_page = sections[k].begins_page;
        section->is_wide = sections[k].is_wide;
        sections[k].add(c);
    }
}
