/* One row for each style. The look is the nautical chart's: pale paper, thin dark ink, land in
 * buff, shallows in deepening blue. Nothing is told by colour alone.
 *
 * To add a style: a name in aw_ink (sheet.h) and a row here in the same order. */
#include "draw/sheet.h"

#define INK  0x22303A
#define DEEP 0x0B3C5D
#define ROSE 0x9B2247
#define NONE (-1L)

const aw_ink_row aw_ink_rows[AW_INKS] = {
    [AW_INK_PAPER] = {.name = "paper", .stroke = NONE, .fill = 0xFDFBF4},
    [AW_INK_TINT] = {.name = "tint", .stroke = NONE, .fill = 0xF0F9FF},
    [AW_INK_NO_FIX] = {"no-fix", INK, 0xFFFFFF, 0.25, 1.6, 1.0, 0, false, false},
    [AW_INK_STIPPLE] = {.name = "stipple", .stroke = NONE, .fill = ROSE},
    [AW_INK_BETTER] = {.name = "better", .stroke = NONE, .fill = 0xCBE3F1},
    [AW_INK_WORSE] = {.name = "worse", .stroke = NONE, .fill = 0xF0C4A8},
    [AW_INK_LAND] = {"land", 0x6E5F3C, 0xE9D9A8, 0.18, 0, 0, 0, false, false},
    [AW_INK_HATCH] = {"hatch", 0x9A8A5C, NONE, 0.08, 0, 0, 0, false, false, false},
    [AW_INK_OVERHEAD] = {"overhead", 0x6E5F3C, NONE, 0.22, 0.9, 0.6, 0, false, false, false},
    [AW_INK_SHORE] = {"shore", INK, NONE, 0.5, 0, 0, 0, false, false},
    [AW_INK_CONTOUR] = {"contour", DEEP, NONE, 0.13, 0, 0, 0, false, false},
    [AW_INK_NEED] = {"need", ROSE, NONE, 0.5, 0, 0, 0, false, false},
    [AW_INK_ZONE] = {"zone", INK, NONE, 0.25, 3.0, 0.9, 0, false, false},
    [AW_INK_ANCHOR] = {.name = "anchor", .stroke = NONE, .fill = INK},
    [AW_INK_RING] = {"ring", INK, NONE, 0.2, 0, 0, 0, false, false},
    [AW_INK_CHANGE] = {"change", ROSE, NONE, 0.35, 0, 0, 0, false, false},
    [AW_INK_REGION] = {"region", DEEP, NONE, 0.3, 0, 0, 0, false, false},
    [AW_INK_LIMIT] = {"limit", ROSE, NONE, 1.0, 0, 0, 0, false, false},
    [AW_INK_LEADER] = {"leader", INK, NONE, 0.1, 0, 0, 0, false, false},
    [AW_INK_BEARING] = {"bearing", INK, NONE, 0.2, 0, 0, 0, false, false},
    [AW_INK_THROUGH] = {"through", INK, NONE, 0.2, 4.0, 1.4, 0, false, false},
    [AW_INK_END] = {"end", ROSE, NONE, 0.4, 0, 0, 0, false, false},
    [AW_INK_ELLIPSE] = {"ellipse", ROSE, NONE, 0.35, 0, 0, 0, false, false},
    [AW_INK_FRAME] = {"frame", INK, NONE, 0.5, 0, 0, 0, false, false},
    [AW_INK_RULE] = {"rule", INK, NONE, 0.18, 0, 0, 0, false, false},
    [AW_INK_SOUNDING] = {.name = "sounding", .stroke = NONE, .fill = INK, .size = 1.0},
    [AW_INK_VALUE] = {.name = "value",
                      .stroke = NONE,
                      .fill = 0x082F4A,
                      .size = 1.0,
                      .italic = true,
                      .halo = true},
    [AW_INK_NAME] =
        {.name = "name", .stroke = NONE, .fill = INK, .size = 1.05, .bold = true, .halo = true},
    [AW_INK_ZONE_NAME] = {.name = "zone-name",
                          .stroke = NONE,
                          .fill = INK,
                          .size = 1.15,
                          .bold = true,
                          .halo = true},
    [AW_INK_LAND_NAME] =
        {.name = "land-name", .stroke = NONE, .fill = 0x4A3F26, .size = 1.0, .italic = true},
    [AW_INK_NOTE] = {.name = "note", .stroke = NONE, .fill = INK, .size = 1.0, .halo = true},
    [AW_INK_HEADING] = {.name = "heading", .stroke = NONE, .fill = INK, .size = 1.1, .bold = true},
    [AW_INK_TITLE] = {.name = "title", .stroke = NONE, .fill = INK, .size = 1.7, .bold = true},
};

/* Even steps of lightness, 0.978 to 0.678 in Oklab, hue 235 to 225 degrees; the greys have the same
 * lightness. One hue and a steady fall of lightness serve every kind of colour vision. */
static const long ramp[2][9] = {
    {0xF0F9FF, 0xDEEEF8, 0xCBE3F1, 0xB9D8E9, 0xA6CEE2, 0x92C3DA, 0x7EB8D2, 0x6AAECA, 0x53A3C1},
    {0xF8F8F8, 0xEBEBEB, 0xDFDFDF, 0xD3D3D3, 0xC6C6C6, 0xBBBBBB, 0xAFAFAF, 0xA3A3A3, 0x979797},
};

/* Luma of a colour as a grey. */
static long to_grey(long colour)
{
    if (colour < 0)
        return colour;
    const long y =
        (299 * (colour >> 16 & 255) + 587 * (colour >> 8 & 255) + 114 * (colour & 255) + 500) /
        1000;
    return y << 16 | y << 8 | y;
}

long aw_ink_fill(aw_ink ink, double shade, bool grey)
{
    if (ink == AW_INK_TINT) {
        const int step = (int)(8 * (shade < 0 ? 0 : shade > 1 ? 1 : shade) + 0.5);
        return ramp[grey ? 1 : 0][step];
    }
    return grey ? to_grey(aw_ink_rows[ink].fill) : aw_ink_rows[ink].fill;
}

long aw_ink_stroke(aw_ink ink, bool grey)
{
    return grey ? to_grey(aw_ink_rows[ink].stroke) : aw_ink_rows[ink].stroke;
}
