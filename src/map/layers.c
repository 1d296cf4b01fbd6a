/* One row for each quantity of a cell; CSV, JSON and charts loop over it.
 *
 * To add a layer: its name in aw_layer (map.h), a row here in the same order, and its value in
 * fill_links() or fill_errors() of map.c. New layers go to the end, since columns keep their
 * places. */
#include "anchorwise/map.h"

#define LENGTHS                                                                                    \
    {                                                                                              \
        0.2, 0.5, 1, 2, 5, 10                                                                      \
    }
#define RATIOS                                                                                     \
    {                                                                                              \
        1, 1.5, 2, 3, 5, 10                                                                        \
    }

const aw_layer_row aw_layer_rows[AW_LAYERS] = {
    [AW_LAYER_USED] = {"used", "usable anchors", "", false, AW_FIGURE_COUNT, {3, 4, 5, 6, 8, 10}},
    [AW_LAYER_HDOP] = {"hdop", "HDOP", "", true, AW_FIGURE_RATIO, RATIOS},
    [AW_LAYER_VDOP] = {"vdop", "VDOP", "", true, AW_FIGURE_RATIO, RATIOS},
    [AW_LAYER_PDOP] = {"pdop", "PDOP", "", true, AW_FIGURE_RATIO, RATIOS},
    [AW_LAYER_TDOP] = {"tdop", "TDOP", "", true, AW_FIGURE_RATIO, RATIOS},
    [AW_LAYER_GDOP] = {"gdop", "GDOP", "", true, AW_FIGURE_RATIO, RATIOS},
    [AW_LAYER_BOUND] = {"bound_m", "bound, horizontal DRMS", "m", true, AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_BIAS] = {"bias_m", "bias of the fix", "m", true, AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_P50] = {"p50_m", "p50 of the horizontal error", "m", true, AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_P95] = {"p95_m", "p95 of the horizontal error", "m", true, AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_RMS] = {"rms_m", "r.m.s. horizontal error", "m", true, AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_FIX_SHARE] = {"fix_share",
                            "share of draws with a fix",
                            "",
                            false,
                            AW_FIGURE_SHARE,
                            {0.5, 0.8, 0.9, 0.95, 0.98, 0.99}},
    [AW_LAYER_AMBIGUOUS_SHARE] = {"ambiguous_share",
                                  "share of ambiguous fixes",
                                  "",
                                  true,
                                  AW_FIGURE_SHARE,
                                  {0.01, 0.02, 0.05, 0.1, 0.2, 0.5}},
    [AW_LAYER_VERTICAL_P50] = {"vertical_p50_m", "p50 of the vertical error", "m", true,
                               AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_VERTICAL_P95] = {"vertical_p95_m", "p95 of the vertical error", "m", true,
                               AW_FIGURE_LENGTH, LENGTHS},
    [AW_LAYER_RECEIVED] = {"received",
                           "anchors received, on average",
                           "",
                           false,
                           AW_FIGURE_COUNT,
                           {3, 4, 5, 6, 8, 10}},
    [AW_LAYER_DIRECT_SHARE] = {"direct_share",
                               "arrivals by the direct path",
                               "",
                               false,
                               AW_FIGURE_SHARE,
                               {0.5, 0.8, 0.9, 0.95, 0.98, 0.99}},
    [AW_LAYER_LINK_BIAS] = {"link_bias_m", "mean excess of what is timed", "m", true,
                            AW_FIGURE_LENGTH, LENGTHS},
};
