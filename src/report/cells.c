/* The cells of a map as CSV, one column for each layer, and one for what was set. */
#include "anchorwise/level.h"
#include "anchorwise/report.h"

#include "report/csv.h"

void aw_cells_csv(const aw_map *map, const aw_scenario *s, aw_text *out)
{
    aw_text set = {0};
    aw_text_add(out, "x_m,y_m,z_m");
    for (int layer = 0; layer < AW_LAYERS; layer++)
        aw_text_format(out, ",%s", aw_layer_rows[layer].key);
    aw_text_add(out, s->n_changes > 0 ? ",set\r\n" : "\r\n");
    if (s->n_changes > 0)
        aw_csv_set(s, &set);
    for (size_t cell = 0; cell < map->grid.n; cell++) {
        const aw_point at = aw_grid_centre(&map->grid, map->grid.number[cell]);
        aw_text_number(out, at.x);
        aw_text_add(out, ",");
        aw_text_number(out, at.y);
        aw_text_add(out, ",");
        aw_text_number(out, aw_tag_at(s, map->tag, at.x, at.y));
        for (size_t layer = 0; layer < AW_LAYERS; layer++) {
            aw_text_add(out, ",");
            aw_text_number(out, map->value[layer * map->grid.n + cell]);
        }
        if (set.n > 0) {
            aw_text_add(out, ",");
            aw_csv_text(set.at, out);
        }
        aw_text_add(out, "\r\n");
    }
    out->failed |= set.failed;
    aw_text_free(&set);
}
