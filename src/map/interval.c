/* One rule for each kind of figure. */
#include "map/interval.h"

#include <math.h>

/* Of a normal law, beyond which 2.5 % lie. */
#define REACH 1.959963985

static void percentile_ends(const aw_trials *trials, double q, bool vertical, double ends[2])
{
    aw_trials_interval(trials, q, vertical, ends);
    ends[0] = isnan(ends[0]) ? 0 : ends[0];
    ends[1] = isnan(ends[1]) ? HUGE_VAL : ends[1];
}

static void rms_ends(const aw_draws *d, double rms, double ends[2])
{
    double n = 0, sum = 0, squares = 0;
    for (size_t i = 0; i < d->n; i++) {
        const double square = (double)d->radius[i] * (double)d->radius[i];
        if (isinf(square))
            continue;
        n++;
        sum += square;
        squares += square * square;
    }
    const double mean = sum / n, error = sqrt(fmax(0, squares / n - mean * mean) / n);
    ends[0] = sqrt(fmax(0, rms * rms - REACH * error));
    ends[1] = sqrt(rms * rms + REACH * error);
}

/* E. B. Wilson, Journal of the American Statistical Association 22:209-212, 1927. */
static void share_ends(double share, double n, double ends[2])
{
    const double z2 = REACH * REACH / n, middle = (share + z2 / 2) / (1 + z2);
    const double half = REACH * sqrt(share * (1 - share) / n + z2 / (4 * n)) / (1 + z2);
    ends[0] = middle - half;
    ends[1] = middle + half;
}

void aw_layer_interval(aw_layer layer, const aw_trials *trials, const aw_draws *d, double value,
                       double ends[2])
{
    ends[0] = ends[1] = value;
    if (isnan(value))
        return;
    switch (layer) {
    case AW_LAYER_P50:
    case AW_LAYER_VERTICAL_P50:
        percentile_ends(trials, 0.5, layer == AW_LAYER_VERTICAL_P50, ends);
        break;
    case AW_LAYER_P95:
    case AW_LAYER_VERTICAL_P95:
        percentile_ends(trials, 0.95, layer == AW_LAYER_VERTICAL_P95, ends);
        break;
    case AW_LAYER_RMS:
        rms_ends(d, value, ends);
        break;
    case AW_LAYER_FIX_SHARE:
    case AW_LAYER_AMBIGUOUS_SHARE:
        share_ends(value, (double)d->n, ends);
        break;
    default:
        break;
    }
    ends[0] = fmin(ends[0], value);
    ends[1] = fmax(ends[1], value);
}
