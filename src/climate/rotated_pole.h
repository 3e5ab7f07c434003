/* netCDF grids on a rotated pole (CF Conventions 1.10, appendix F, rotated_latitude_longitude),
 * usual for regional climate models. GDAL 3.6 gives them neither CRS nor geotransform. */
#ifndef ISW_CLIMATE_ROTATED_POLE_H
#define ISW_CLIMATE_ROTATED_POLE_H

#include <gdal.h>
#include <stdbool.h>

/* WKT of the derived CRS that the dataset's first band names by its grid_mapping, new (g_free);
 * NULL: it names none of this kind. On the ellipsoid that it states, or WGS 84. */
char *isw_climate_rotated_crs(GDALDatasetH dataset);

/* Geotransform from the axes of the dataset's variable, whose last two dimensions are rows and
 * columns, as GDAL's rows run. false: no such axes, or not evenly spaced. */
bool isw_climate_read_axes(GDALDatasetH dataset, double transform[6]);

#endif
