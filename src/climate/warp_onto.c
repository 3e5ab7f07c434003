#include "climate/warp_onto.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdalwarper.h>
#include <math.h>
#include <string.h>

static double *one_value(double value) {
  double *values = CPLMalloc(sizeof(double));
  values[0] = value;
  return values;
}

GDALDatasetH isw_climate_warp_onto(GDALDatasetH from, double nodata, const struct isw_grid *grid) {
  double transform[6];
  memcpy(transform, grid->transform, sizeof transform);
  GDALWarpOptions *options = GDALCreateWarpOptions();
  options->hSrcDS = from;
  options->eResampleAlg = GRA_Average;
  options->nBandCount = 1;
  options->panSrcBands = CPLMalloc(sizeof(int));
  options->panDstBands = CPLMalloc(sizeof(int));
  options->panSrcBands[0] = options->panDstBands[0] = 1;
  if (!isnan(nodata)) {
    options->padfSrcNoDataReal = one_value(nodata);
    options->padfDstNoDataReal = one_value(nodata);
    options->papszWarpOptions = CSLSetNameValue(options->papszWarpOptions, "INIT_DEST", "NO_DATA");
  }
  char **sides = CSLSetNameValue(NULL, "DST_SRS", grid->wkt);
  options->pTransformerArg = GDALCreateGenImgProjTransformer2(from, NULL, sides);
  options->pfnTransformer = GDALGenImgProjTransform;
  CSLDestroy(sides);
  GDALDatasetH warped = NULL;
  if (options->pTransformerArg != NULL) {
    GDALSetGenImgProjTransformerDstGeoTransform(options->pTransformerArg, transform);
    warped = GDALCreateWarpedVRT(from, grid->width, grid->height, transform, options);
    if (warped == NULL) GDALDestroyGenImgProjTransformer(options->pTransformerArg);
  }
  GDALDestroyWarpOptions(options);
  return warped;
}
