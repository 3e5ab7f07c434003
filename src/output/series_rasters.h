/* Normals and year spread made from series, as rasters that the other commands read: tmin.tif and
 * tmax.tif (12 bands, hundredths of a degC, the period in their metadata), year_spread.tif (one
 * band, thousandths of a K). */
#ifndef ISW_OUTPUT_SERIES_RASTERS_H
#define ISW_OUTPUT_SERIES_RASTERS_H

#include <stdbool.h>

#include "output/folder.h"
#include "survey/series_normals.h"

struct isw_series_rasters;

/* Their names in the folder, tmin.tif first; year_spread.tif only with `spread`. Returns how many.
 */
int isw_output_series_raster_names(bool spread, const char *names[3]);

/* Start them in the folder's temporary place. period: "1961-1990". *out is new, to be finished or
 * freed. ISW_OUTPUT. */
enum isw_status isw_output_start_series_rasters(struct isw_folder *folder,
                                                const struct isw_grid *grid, const char *period,
                                                bool spread, struct isw_series_rasters **out,
                                                struct isw_error *error);

/* An isw_take_series_block of the rasters. */
enum isw_status isw_output_take_series_block(void *rasters, const struct isw_series_block *block,
                                             struct isw_error *error);

/* Close and check all. ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_finish_series_rasters(struct isw_series_rasters *rasters,
                                                 struct isw_error *error);
void isw_output_free_series_rasters(struct isw_series_rasters *rasters); /* takes NULL */

#endif
