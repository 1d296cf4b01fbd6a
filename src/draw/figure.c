/* Figures of a chart as soundings, contours and legend show them. */
#include <math.h>
#include <stdio.h>

#include "draw/draft.h"
#include "report/lengths.h"

bool aw_draft_shows_needs(const aw_draft *d)
{
    return d->options->layer == AW_LAYER_P95 && d->contrast == NULL;
}

const char *aw_draft_unit(const aw_draft *d)
{
    switch (aw_layer_rows[d->options->layer].figure) {
    case AW_FIGURE_LENGTH:
        return d->scenario->units == AW_FEET ? "inches" : "cm";
    case AW_FIGURE_SHARE:
        return "%";
    case AW_FIGURE_RATIO:
    case AW_FIGURE_COUNT:
        break;
    }
    return "";
}

/* A decimal where it matters, below 10 and above 99; never 100 for what is less. */
static void write_percent(double percent, char out[24])
{
    const bool fine = percent < 9.95 || (percent > 99 && percent < 100);
    const double tenths = percent > 99 ? floor(percent * 10) : round(percent * 10);
    snprintf(out, 24, fine ? "%.3g" : "%.0f", fine ? tenths / 10 : percent);
}

/* A difference with its sign; nothing but 0 where it rounds to that. */
static void write_difference(double value, char out[24])
{
    const double whole = round(value);
    snprintf(out, 24, "%s%.0f", whole > 0 ? "+" : whole < 0 ? "−" : "", fabs(whole));
}

void aw_draft_figure(const aw_draft *d, double value, char out[24])
{
    const double small = d->scenario->units == AW_FEET ? 12 / AW_FOOT : 100;
    if (d->contrast != NULL) {
        write_difference(value * small, out);
        return;
    }
    switch (aw_layer_rows[d->options->layer].figure) {
    case AW_FIGURE_LENGTH:
        snprintf(out, 24, "%.23s", aw_sheet_figure(value, NAN, d->scenario->units).text);
        break;
    case AW_FIGURE_RATIO:
        snprintf(out, 24, value < 9.95 ? "%.1f" : "%.0f", value);
        break;
    case AW_FIGURE_SHARE:
        write_percent(100 * value, out);
        break;
    case AW_FIGURE_COUNT:
        snprintf(out, 24, "%.0f", value);
        break;
    }
}

void aw_draft_border(const aw_draft *d, double value, char out[24])
{
    if (aw_layer_rows[d->options->layer].figure == AW_FIGURE_LENGTH && d->contrast == NULL &&
        d->scenario->units == AW_METRES && value >= 1)
        snprintf(out, 24, "%.2g m", value);
    else if (aw_layer_rows[d->options->layer].figure == AW_FIGURE_LENGTH && d->contrast == NULL &&
             d->scenario->units == AW_FEET && value >= 2)
        snprintf(out, 24, "%.2g ft", value / AW_FOOT);
    else
        aw_draft_figure(d, value, out);
}
