/* One row for each style, one pair of colours for each thing that has a colour. The look is the
 * nautical chart's: pale paper, thin dark ink, land in buff, water in deepening blue. Rose means a
 * need and nothing else; nothing is told by colour alone. The greys are chosen, not computed: by
 * lightness alone land would equal a tint, and white is taken by water without a fix.
 *
 * To add a style: a name in aw_ink (sheet.h) and a row here in the same order. */
#include "draw/sheet.h"

/* Colours by what they stand for. */
enum {
    NONE = -1,
    PAPER,
    INK,
    SOFT,
    DEEP,
    DEEP_TEXT,
    ROSE,
    LAND,
    LAND_LINE,
    LAND_TEXT,
    OVERHEAD_TEXT,
    NO_FIX,
    NO_FIX_LINE,
    BETTER,
    WORSE,
    OPEN_FLOOR,
    BLIND,
    COLOURS
};

/* In colour and in grey. */
static const long colours[COLOURS][2] = {
    [PAPER] = {0xFCF9F0, 0xFFFFFF},      [INK] = {0x16242F, 0x0E0E0E},
    [SOFT] = {0x55636D, 0x4A4A4A},       [DEEP] = {0x1D5C86, 0x2E2E2E},
    [DEEP_TEXT] = {0x0B2C45, 0x0E0E0E},  [ROSE] = {0x9C0F4B, 0x000000},
    [LAND] = {0xEBD7A4, 0x565656},       [LAND_LINE] = {0x6A5A34, 0x1E1E1E},
    [LAND_TEXT] = {0x4B3E1D, 0xFFFFFF},  [OVERHEAD_TEXT] = {0x2C2410, 0x0E0E0E},
    [NO_FIX] = {0xDEDBD5, 0xFFFFFF},     [NO_FIX_LINE] = {0x7C7A75, 0x2E2E2E},
    [OPEN_FLOOR] = {0xF4FCFD, 0xEBEBEB}, [BLIND] = {0xF3E2D3, 0xD6D6D6},
    [BETTER] = {0xBFD9EC, 0xD6D6D6},     [WORSE] = {0xF2C9A6, 0x848484},
};

/* Tints from the best class to the worst, one hue; the greys begin below white. Neighbours are at
 * least 4.5 apart by CIEDE2000 for every kind of colour vision. */
static const long tints[AW_TINTS][2] = {
    {0xF4FCFD, 0xEBEBEB}, {0xD8EBF2, 0xD6D6D6}, {0xBBD9E5, 0xC3C3C3}, {0xA1C9DC, 0xB1B1B1},
    {0x88B9D3, 0xA1A1A1}, {0x71AACD, 0x929292}, {0x5C9BC7, 0x848484},
};

/* Size of a text, mm on A3, as a multiple of a sounding's. */
#define MM(size) ((size) / 2.35)

const aw_ink_row aw_ink_rows[AW_INKS] = {
    [AW_INK_PAPER] = {.name = "paper", .stroke = NONE, .fill = PAPER},
    [AW_INK_TINT] = {.name = "tint", .stroke = NONE, .fill = PAPER},
    [AW_INK_FLOOR] = {.name = "floor", .stroke = NONE, .fill = OPEN_FLOOR},
    [AW_INK_BLIND] = {.name = "blind", .stroke = NONE, .fill = BLIND},
    [AW_INK_NO_FIX] = {"no-fix", INK, NO_FIX, 0.22, {1, 0.7}},
    [AW_INK_NO_FIX_HATCH] = {"no-fix-hatch", NO_FIX_LINE, NONE, 0.22},
    [AW_INK_STIPPLE] = {.name = "stipple", .stroke = NONE, .fill = ROSE},
    [AW_INK_TIED] = {"tied", ROSE, NONE, 0.13},
    [AW_INK_BETTER] = {.name = "better", .stroke = NONE, .fill = BETTER},
    [AW_INK_WORSE] = {.name = "worse", .stroke = NONE, .fill = WORSE},
    [AW_INK_LAND] = {"land", LAND_LINE, LAND, 0.3},
    [AW_INK_OVERHEAD] = {"overhead", LAND_LINE, NONE, 0.25, {0.9, 0.6}},
    [AW_INK_SHORE] = {"shore", INK, NONE, 0.6},
    [AW_INK_CONTOUR] = {"contour", DEEP, NONE, 0.16},
    [AW_INK_NEED] = {"need", ROSE, NONE, 0.6},
    [AW_INK_ZONE] = {"zone", INK, NONE, 0.25, {3.2, 0.8, 0.5, 0.8}},
    [AW_INK_ANCHOR] = {.name = "anchor", .stroke = NONE, .fill = INK},
    [AW_INK_RING] = {"ring", INK, NONE, 0.2},
    [AW_INK_CHANGE] = {"change", ROSE, NONE, 0.35},
    [AW_INK_DEEP] = {.name = "deep", .stroke = NONE, .fill = DEEP},
    [AW_INK_FELLS] = {.name = "fells", .stroke = NONE, .fill = ROSE},
    [AW_INK_DISC] = {.name = "disc", .stroke = NONE, .fill = BETTER},
    [AW_INK_REGION] = {"region", DEEP, NONE, 0.3, {1.2, 0.8}},
    [AW_INK_OPEN] = {"open", DEEP, NONE, 0.3},
    [AW_INK_LIMIT] = {"limit", ROSE, NONE, 1.0},
    [AW_INK_LEADER] = {"leader", INK, NONE, 0.1},
    [AW_INK_BEARING] = {"bearing", INK, NONE, 0.2},
    [AW_INK_THROUGH] = {"through", INK, NONE, 0.2, {4.0, 1.4}},
    [AW_INK_HEARD] = {"heard", DEEP, NONE, 0.45},
    [AW_INK_HEARD_THROUGH] = {"heard-through", DEEP, NONE, 0.45, {4.0, 1.4}},
    [AW_INK_HIDDEN] = {"hidden", SOFT, NONE, 0.18, {0.9, 0.8}},
    [AW_INK_ARC] = {"arc", ROSE, NONE, 1.1},
    [AW_INK_END] = {"end", ROSE, NONE, 0.4},
    [AW_INK_ELLIPSE] = {"ellipse", ROSE, NONE, 0.35},
    [AW_INK_FRAME] = {"frame", INK, NONE, 0.5},
    [AW_INK_RULE] = {"rule", INK, NONE, 0.18},
    [AW_INK_LEFT_OUT] = {"left-out", SOFT, NONE, 0.18},
    [AW_INK_NEAT] = {"neat", INK, NONE, 0.7},
    [AW_INK_WINDOW] = {"window", ROSE, NONE, 0.35},
    [AW_INK_WINDOW_BEHIND] = {"window-behind", ROSE, NONE, 0.35, {1.2, 0.7}},
    [AW_INK_KEY_SHORE] = {"key-shore", INK, NONE, 0.35},
    [AW_INK_CROSS] = {"cross", SOFT, NONE, 0.12},
    [AW_INK_BLOCK_RULE] = {"block-rule", INK, NONE, 0.3},
    [AW_INK_ROSE] = {"rose", ROSE, NONE, 0.15},
    [AW_INK_SPAR] = {"spar", INK, NONE, 0.35},
    [AW_INK_SPAR_MISSED] = {"spar-missed", ROSE, NONE, 0.35},
    [AW_INK_HALO] = {"halo", PAPER, NONE, 1.1},
    [AW_INK_NOT_MET] = {"frame-not-met", ROSE, NONE, 0.45},
    [AW_INK_NOT_MET_INNER] = {"frame-not-met-inner", ROSE, NONE, 0.16},
    [AW_INK_MET_WELL] = {"frame-met-well", INK, NONE, 0.5},
    [AW_INK_MET] = {"frame-met", INK, NONE, 0.25},
    [AW_INK_UNDECIDED] = {"frame-undecided", INK, NONE, 0.35, {1.2, 0.8}},
    [AW_INK_UNASKED] = {"frame-unasked", SOFT, NONE, 0.15},
    [AW_INK_SOUNDING] = {.name = "sounding", NONE, INK, .size = MM(2.35), .italic = true},
    [AW_INK_MISSED] = {"missed", NONE, INK, .size = MM(2.35), .bold = true, .italic = true},
    [AW_INK_VALUE] = {"value", NONE, DEEP_TEXT, .size = MM(2.35), .italic = true, .halo = true},
    [AW_INK_NAME] = {"name", NONE, INK, .size = MM(2.35), .bold = true, .halo = true},
    [AW_INK_ZONE_NAME] = {"zone-name", NONE, INK, .size = MM(3), .bold = true, .halo = true},
    [AW_INK_LAND_NAME] = {"land-name", NONE, LAND_TEXT, .size = MM(2.35)},
    [AW_INK_OVERHEAD_NAME] = {"overhead-name", NONE, OVERHEAD_TEXT, .size = MM(2.35)},
    [AW_INK_NO_FIX_NAME] = {"no-fix-name", NONE, INK, .size = MM(2.6), .bold = true, .halo = true,
                            .spacing = 0.15},
    [AW_INK_NOTE] = {"note", NONE, INK, .size = MM(2.35), .halo = true},
    [AW_INK_HEADING] = {"heading", NONE, INK, .size = MM(2.5), .bold = true},
    [AW_INK_TITLE] = {"title", NONE, INK, .size = MM(4), .bold = true, .serif = true},
    [AW_INK_SHEET_TITLE] = {"sheet-title", NONE, INK, .size = MM(6), .bold = true, .serif = true,
                            .spacing = 0.09},
    [AW_INK_SUBTITLE] = {"subtitle", NONE, SOFT, .size = MM(3), .italic = true, .serif = true},
    [AW_INK_HEADLINE] = {"headline", NONE, INK, .size = MM(3.5)},
    [AW_INK_GRADUATION] = {"graduation", NONE, INK, .size = MM(2)},
    [AW_INK_BLOCK_HEAD] = {"block-head", NONE, INK, .size = MM(2.3), .bold = true, .spacing = 0.09},
    [AW_INK_TABLE] = {"table", NONE, INK, .size = MM(2.2)},
    [AW_INK_TABLE_HEAD] = {"table-head", NONE, SOFT, .size = MM(1.9)},
    [AW_INK_TABLE_NAME] = {"table-name", NONE, INK, .size = MM(2.2), .bold = true},
    [AW_INK_RESULT] = {"result", NONE, INK, .size = MM(2.2), .italic = true},
    [AW_INK_VERDICT] = {"verdict", NONE, INK, .size = MM(2.2), .bold = true},
    [AW_INK_VERDICT_MISSED] = {"verdict-missed", NONE, ROSE, .size = MM(2.2), .bold = true},
    [AW_INK_PICTURE_MISSED] = {"picture-missed", NONE, ROSE, .size = MM(2.35), .bold = true},
    [AW_INK_LABEL] = {"label", NONE, SOFT, .size = MM(1.75)},
    [AW_INK_STAMP] = {"stamp", NONE, INK, .size = MM(2.3), .bold = true, .spacing = 0.09},
    [AW_INK_STAMP_MISSED] = {"stamp-missed", NONE, ROSE, .size = MM(2.3), .bold = true,
                             .spacing = 0.09},
    [AW_INK_STAMP_SOFT] = {"stamp-soft", NONE, SOFT, .size = MM(2.3), .bold = true,
                           .spacing = 0.09},
    [AW_INK_STAMP_PART] = {"stamp-part", NONE, INK, .size = MM(1.9), .italic = true},
    [AW_INK_ZONE_NEED] = {"zone-need", NONE, INK, .size = MM(2.1)},
    [AW_INK_LETTER] = {"letter", NONE, INK, .size = MM(2.2), .bold = true},
    [AW_INK_LETTER_MISSED] = {"letter-missed", NONE, PAPER, .size = MM(2.2), .bold = true},
    [AW_INK_HEARD_NAME] = {"heard-name", NONE, DEEP, .size = MM(2.2), .bold = true, .halo = true},
    [AW_INK_LOST_NAME] = {"lost-name", NONE, ROSE, .size = MM(2.2), .halo = true},
    [AW_INK_BLIND_NAME] = {"blind-name", NONE, ROSE, .size = MM(3), .bold = true, .serif = true,
                           .halo = true},
    [AW_INK_BIG] = {"big", NONE, DEEP, .size = MM(6), .bold = true, .serif = true},
    [AW_INK_BIG_MISSED] = {"big-missed", NONE, ROSE, .size = MM(6), .bold = true, .serif = true},
    [AW_INK_CAPTION] = {"caption", NONE, INK, .size = MM(3), .bold = true, .serif = true,
                        .spacing = 0.05},
    [AW_INK_FELLED] = {"felled", NONE, ROSE, .size = MM(1.9), .bold = true, .halo = true},
    [AW_INK_LIMIT_NAME] = {"limit-name", NONE, ROSE, .size = MM(2.35), .bold = true, .halo = true},
    [AW_INK_WORST] = {"worst", NONE, INK, .size = MM(2.35), .bold = true, .italic = true},
};

static long colour_of(long which, bool grey)
{
    return which < 0 ? which : colours[which][grey ? 1 : 0];
}

/* The step of a shade in [0, 1]. */
static int step_of(double shade)
{
    return (int)((AW_TINTS - 1) * (shade < 0 ? 0 : shade > 1 ? 1 : shade) + 0.5);
}

long aw_ink_fill(aw_ink ink, double shade, bool grey)
{
    if (ink == AW_INK_TINT)
        return tints[step_of(shade)][grey ? 1 : 0];
    return colour_of(aw_ink_rows[ink].fill, grey);
}

long aw_ink_stroke(aw_ink ink, bool grey)
{
    return colour_of(aw_ink_rows[ink].stroke, grey);
}
