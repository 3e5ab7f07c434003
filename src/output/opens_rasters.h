/* The rasters of what opens a season: one per season, codes of survey/opens_map.h. */
#ifndef ISW_OUTPUT_OPENS_RASTERS_H
#define ISW_OUTPUT_OPENS_RASTERS_H

#include "output/folder.h"
#include "output/raster.h"
#include "survey/opens_map.h"

/* "opens-<season>" with an ending. New, g_free. s: chosen index. */
char *isw_output_opens_name(const struct isw_plan *plan, int s, const char *ending);

/* Create a season's raster in the folder's temporary place. period: NULL where not stated. colours:
 * RGBA of codes 0..255. *out is new, to be closed or dropped. ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_create_opens_raster(const struct isw_plan *plan, int s,
                                               const struct isw_grid *grid, const char *period,
                                               const uint8_t colours[256][4],
                                               struct isw_folder *folder, struct isw_raster **out,
                                               struct isw_error *error);

#endif
