/* Sizes of paper, and how large its type is. */
#include "draw/floor_sheet.h"

const aw_paper_row aw_paper_rows[AW_PAPERS] = {
    [AW_PAPER_A4] = {"A4", 297, 210, 2.115},
    [AW_PAPER_A3] = {"A3", 420, 297, 2.35},
    [AW_PAPER_A1] = {"A1", 841, 594, 3.525},
    [AW_PAPER_LETTER] = {"letter", 279.4, 215.9, 2.115},
    [AW_PAPER_TABLOID] = {"tabloid", 431.8, 279.4, 2.35},
};

bool aw_draft_is_picture(const aw_draft *d)
{
    return d->sheet->text_size > 1.4 * aw_paper_rows[d->options->paper].text_size;
}

double aw_draft_type(const aw_draft *d)
{
    return d->sheet->text_size / 2.35;
}
