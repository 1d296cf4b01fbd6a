/* The one place where what people read leaves metres for the units of their site. */
#include "report/lengths.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/table.h"
#include "report/figures.h"

#define INCH (AW_FOOT / 12)

const char *aw_coordinate_unit(aw_units units)
{
    return aw_unit_name(units);
}

const char *aw_small_unit(aw_units units)
{
    return units == AW_FEET ? "in" : "m";
}

const char *aw_area_unit(aw_units units)
{
    return units == AW_FEET ? "ft²" : "m²";
}

static aw_length_text write_figure(const char *format, double value)
{
    aw_length_text length;
    snprintf(length.text, sizeof length.text, isfinite(value) ? format : "–", value);
    return length;
}

static aw_length_text with_unit(aw_length_text length, double value, const char *unit)
{
    const size_t n = strlen(length.text);
    if (isfinite(value))
        snprintf(length.text + n, sizeof length.text - n, " %s", unit);
    return length;
}

aw_length_text aw_coordinate_figure(const char *format, double metres, aw_units units)
{
    if (units == AW_METRES)
        return write_figure(format, metres);
    return write_figure(format[1] == '+' ? "%+.2f" : "%.2f", metres / AW_FOOT);
}

aw_length_text aw_coordinate_words(const char *format, double metres, aw_units units)
{
    return with_unit(aw_coordinate_figure(format, metres, units), metres,
                     aw_coordinate_unit(units));
}

aw_length_text aw_small_figure(const char *format, double metres, aw_units units)
{
    const double inches = metres / INCH;
    const bool tiny = inches != 0 && fabs(inches) < 0.05;
    if (units == AW_METRES)
        return write_figure(format, metres);
    if (format[1] == '+')
        return write_figure(tiny ? "%+.1g" : "%+.1f", inches);
    return write_figure(tiny ? "%.1g" : "%.1f", inches);
}

aw_length_text aw_small_words(const char *format, double metres, aw_units units)
{
    return with_unit(aw_small_figure(format, metres, units), metres, aw_small_unit(units));
}

static const char *two_digits(double metres)
{
    return metres < 0.995 ? "%.2f" : metres < 9.95 ? "%.1f" : "%.0f";
}

aw_length_text aw_error_figure(double metres, aw_units units)
{
    return aw_small_figure(two_digits(metres), metres, units);
}

aw_length_text aw_error_words(double metres, aw_units units)
{
    return with_unit(aw_error_figure(metres, units), metres, aw_small_unit(units));
}

aw_length_text aw_error_figure_asked(double metres, double asked, aw_units units)
{
    const double unit = units == AW_METRES ? 1 : INCH;
    aw_length_text length = aw_error_figure(metres, units);
    aw_figure_tell_apart(metres / unit, asked / unit, true, "", length.text);
    return length;
}

aw_length_text aw_error_words_asked(double metres, double asked, aw_units units)
{
    return with_unit(aw_error_figure_asked(metres, asked, units), metres, aw_small_unit(units));
}

const char *aw_sheet_unit(aw_units units)
{
    return units == AW_FEET ? "in" : "cm";
}

static double sheet_scale(aw_units units)
{
    return units == AW_FEET ? 1 / INCH : 100;
}

/* From here on a figure has its unit, m or ft, as each sounding has. */
static bool is_long(double metres, aw_units units)
{
    return metres / aw_unit_metres(units) >= 9.95;
}

aw_length_text aw_sheet_figure(double metres, double asked, aw_units units)
{
    const bool feet = units == AW_FEET;
    const double large = metres / aw_unit_metres(units), small = metres * sheet_scale(units);
    const double step = pow(10, floor(log10(fmax(large, 1))) - 1);
    aw_length_text length;
    if (!isfinite(metres))
        return write_figure("%.0f", metres);
    if (is_long(metres, units)) {
        snprintf(length.text, sizeof length.text, "%.0f %s", round(large / step) * step,
                 aw_unit_name(units));
        return length;
    }
    length = small >= 99.5 ? write_figure("%.0f", round(small / 10) * 10)
                           : write_figure(feet || small >= 9.95 ? "%.0f" : "%.1f", small);
    aw_figure_tell_apart(small, asked * sheet_scale(units), true, "", length.text);
    return length;
}

aw_length_text aw_sheet_words(double metres, double asked, aw_units units)
{
    const aw_length_text length = aw_sheet_figure(metres, asked, units);
    return is_long(metres, units) ? length : with_unit(length, metres, aw_sheet_unit(units));
}

aw_length_text aw_sheet_need(double metres, aw_units units)
{
    return write_figure("%.4g", metres * sheet_scale(units));
}

aw_length_text aw_distance_figure(double metres, aw_units units)
{
    return aw_coordinate_figure(two_digits(metres), metres, units);
}

aw_length_text aw_distance_words(double metres, aw_units units)
{
    return with_unit(aw_distance_figure(metres, units), metres, aw_coordinate_unit(units));
}

aw_length_text aw_area_figure(const char *format, double area, aw_units units)
{
    return write_figure(format, units == AW_METRES ? area : area / (AW_FOOT * AW_FOOT));
}

aw_length_text aw_area_words(const char *format, double area, aw_units units)
{
    return with_unit(aw_area_figure(format, area, units), area, aw_area_unit(units));
}

aw_length_text aw_spot_figure(const double at[], size_t n, aw_units units)
{
    aw_length_text length;
    size_t used = 0;
    for (size_t k = 0; k < n; k++)
        used += (size_t)snprintf(length.text + used, sizeof length.text - used, "%s%.2f",
                                 k > 0 ? ", " : "(", at[k] / aw_unit_metres(units));
    snprintf(length.text + used, sizeof length.text - used, ")");
    return length;
}
