/* What maps show beside the climate, for orientation: water, roads and borders of one vector file,
 * all of its layers. */
#ifndef ISW_REGIONS_MAP_LAYERS_H
#define ISW_REGIONS_MAP_LAYERS_H

#include <stdbool.h>

#include "base/log.h"
#include "climate/grid.h"
#include "regions/district_shapes.h"

/* Lowest first, as they lie on a map. */
enum isw_layer_kind { ISW_LAYER_WATER, ISW_LAYER_BORDER, ISW_LAYER_ROAD, ISW_LAYER_KINDS };

struct isw_map_layers;

/* Lines and polygons, brought into the grid's CRS. Their kind stands in a column `kind`, or in the
 * layer's name: whatever holds water, river or lake; road, street or highway; border or boundary.
 * ISW_INPUT_FILE: cannot be read, or not to its end; ISW_INPUT_CONTENT: no CRS, or a feature of no
 * such kind. Points are left out and told to log. */
enum isw_status isw_regions_open_map_layers(const char *path, const struct isw_grid *grid,
                                            struct isw_log *log, struct isw_map_layers **out,
                                            struct isw_error *error);
void isw_regions_free_map_layers(struct isw_map_layers *layers); /* takes NULL */

int isw_regions_count_shapes(const struct isw_map_layers *layers, enum isw_layer_kind kind);

/* Lines, or rings of an area, of one shape. Safe from several threads at once. */
void isw_regions_visit_shape(const struct isw_map_layers *layers, enum isw_layer_kind kind,
                             int index, bool *is_area, isw_ring_visitor *visit, void *into);

#endif
