/* Digits of a share, a count, and of what stands beside what is asked of it. */
#include "report/figures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Never 100 % for what is less, never 0 % for what is more. */
const char *aw_figure_share(double share, char out[AW_FIGURE_ROOM])
{
    if (!isfinite(share))
        snprintf(out, AW_FIGURE_ROOM, "–");
    else if (share < 1 && share > 0.99)
        snprintf(out, AW_FIGURE_ROOM, share < 0.9995 ? "%.1f %%" : "> 99.9 %%", 100 * share);
    else if (share > 0 && share < 0.01)
        snprintf(out, AW_FIGURE_ROOM, share >= 0.0005 ? "%.1f %%" : "< 0.1 %%", 100 * share);
    else
        snprintf(out, AW_FIGURE_ROOM, "%.0f %%", 100 * share);
    return out;
}

/* Digits that a double cannot tell apart are not asked for. */
#define MOST_DECIMALS 12

static bool is_on_its_side(const char *text, double value, double asked, bool at_most)
{
    char digits[AW_FIGURE_ROOM];
    const double shown = strtod(text + strspn(text, "<> "), NULL);
    snprintf(digits, sizeof digits, "%.12g", asked);
    const double limit = strtod(digits, NULL);
    if ((*text == '<' && asked < shown) || (*text == '>' && asked > shown))
        return false;
    return at_most ? (value <= asked) == (shown <= limit) : (value >= asked) == (shown >= limit);
}

static size_t count_decimals(const char *text)
{
    const char *point = strchr(text, '.');
    return point != NULL ? strspn(point + 1, "0123456789") : 0;
}

void aw_figure_tell_apart(double value, double asked, bool at_most, const char *unit,
                          char out[AW_FIGURE_ROOM])
{
    size_t decimals = count_decimals(out);
    while (isfinite(value) && isfinite(asked) && decimals < MOST_DECIMALS &&
           !is_on_its_side(out, value, asked, at_most))
        snprintf(out, AW_FIGURE_ROOM, "%.*f%s", (int)++decimals, value, unit);
}

const char *aw_figure_share_asked(double share, double asked, char out[AW_FIGURE_ROOM])
{
    aw_figure_share(share, out);
    aw_figure_tell_apart(100 * share, 100 * asked, false, " %", out);
    return out;
}

const char *aw_figure_count(size_t count, char out[AW_FIGURE_ROOM])
{
    char digits[AW_FIGURE_ROOM];
    const int n = snprintf(digits, sizeof digits, "%zu", count);
    size_t k = 0;
    for (int i = 0; i < n && k + 2 < AW_FIGURE_ROOM; i++) {
        if (i > 0 && (n - i) % 3 == 0)
            out[k++] = ' ';
        out[k++] = digits[i];
    }
    out[k] = '\0';
    return out;
}
