/* A raster seen on another grid, read block by block, so that memory does not grow with either. */
#ifndef ISW_CLIMATE_WARP_ONTO_H
#define ISW_CLIMATE_WARP_ONTO_H

#include <gdal.h>

#include "climate/grid.h"

/* A virtual dataset of the first band of `from` on the grid, by area-weighted mean; it borrows
 * `from`, and is closed before it with GDALClose. nodata: value that does not take part, given back
 * where nothing does; NAN: every value takes part. NULL: GDAL says why. */
GDALDatasetH isw_climate_warp_onto(GDALDatasetH from, double nodata, const struct isw_grid *grid);

#endif
