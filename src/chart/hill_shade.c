/* DESIGN: heights -> GDAL's warper, onto the map's samples (at most SIDE_MOST of them) -> GDAL's
 * hill shade. Slopes on a small map are gentle: heights are drawn out with the size of a cell. */
#include "chart/hill_shade.h"

#include <cpl_error.h>
#include <cpl_string.h>
#include <gdal_utils.h>
#include <gdalwarper.h>
#include <glib.h>
#include <math.h>

enum { SIDE_MOST = 1600 };
static const double plain_cell_m = 60, most_drawn_out = 8;
static const double darkest = 0.42, lightest = 0.32; /* share of the way to black, to white */
static const double degree_m = 111120;
static const float unknown = -9999;

uint32_t isw_chart_shade_colour(uint32_t colour, int shade) {
  int range = shade < ISW_SHADE_FLAT ? ISW_SHADE_FLAT : 255 - ISW_SHADE_FLAT;
  double light = (double)(shade - ISW_SHADE_FLAT) / range;
  uint32_t out = 0;
  for (int shift = 16; shift >= 0; shift -= 8) {
    double channel = (colour >> shift) & 255;
    channel += light < 0 ? darkest * light * channel : lightest * light * (255 - channel);
    out |= (uint32_t)lround(channel) << shift;
  }
  return out;
}

static GDALDatasetH wrap_heights(const struct isw_relief *relief) {
  const struct isw_grid *grid = &relief->grid;
  GDALDatasetH heights =
      GDALCreate(GDALGetDriverByName("MEM"), "", grid->width, grid->height, 1, GDT_Float32, NULL);
  if (heights == NULL) return NULL;
  gsize n = (gsize)grid->width * (gsize)grid->height;
  float *known = g_new(float, n);
  for (gsize i = 0; i < n; i++)
    known[i] = isnan(relief->height_m[i]) ? unknown : relief->height_m[i];
  double transform[6];
  for (int i = 0; i < 6; i++) transform[i] = grid->transform[i];
  GDALSetGeoTransform(heights, transform);
  GDALSetProjection(heights, grid->wkt);
  GDALRasterBandH band = GDALGetRasterBand(heights, 1);
  GDALSetRasterNoDataValue(band, unknown);
  CPLErr written = GDALRasterIO(band, GF_Write, 0, 0, grid->width, grid->height, known, grid->width,
                                grid->height, GDT_Float32, 0, 0);
  g_free(known);
  if (written == CE_None) return heights;
  GDALClose(heights);
  return NULL;
}

/* Heights on width x height samples of the frame, in the map's own CRS and order of rows. */
static GDALDatasetH warp_heights(const struct isw_relief *relief,
                                 const struct isw_map_source *source,
                                 const struct isw_map_frame *frame, int width, int height) {
  const double *t = source->grid.transform;
  const struct isw_cell_window *w = &frame->window;
  double step_x = (double)w->cols / width, step_y = (double)w->rows / height;
  double transform[6] = {t[0] + w->col * t[1] + w->row * t[2], t[1] * step_x, t[2] * step_y,
                         t[3] + w->col * t[4] + w->row * t[5], t[4] * step_x, t[5] * step_y};
  GDALDatasetH from = wrap_heights(relief);
  GDALDatasetH to = GDALCreate(GDALGetDriverByName("MEM"), "", width, height, 1, GDT_Float32, NULL);
  bool done = from != NULL && to != NULL;
  if (done) {
    GDALSetGeoTransform(to, transform);
    GDALSetProjection(to, source->grid.wkt);
    GDALSetRasterNoDataValue(GDALGetRasterBand(to, 1), unknown);
    GDALFillRaster(GDALGetRasterBand(to, 1), unknown, 0);
    done = GDALReprojectImage(from, NULL, to, NULL, GRA_CubicSpline, 0, 0.125, NULL, NULL, NULL) ==
           CE_None;
  }
  if (from != NULL) GDALClose(from);
  if (done) return to;
  if (to != NULL) GDALClose(to);
  return NULL;
}

static GDALDatasetH shade_heights(GDALDatasetH heights, double cell_m, double unit_m) {
  char text[64], number[G_ASCII_DTOSTR_BUF_SIZE];
  double drawn_out = CLAMP(sqrt(cell_m / plain_cell_m), 1, most_drawn_out);
  char **arguments = CSLAddString(NULL, "-of");
  arguments = CSLAddString(arguments, "MEM");
  arguments = CSLAddString(arguments, "-compute_edges");
  arguments = CSLAddString(arguments, "-z");
  arguments = CSLAddString(arguments, g_ascii_formatd(number, sizeof number, "%.6f", drawn_out));
  arguments = CSLAddString(arguments, "-s");
  g_snprintf(text, sizeof text, "%s", g_ascii_formatd(number, sizeof number, "%.6f", unit_m));
  arguments = CSLAddString(arguments, text);
  GDALDEMProcessingOptions *options = GDALDEMProcessingOptionsNew(arguments, NULL);
  CSLDestroy(arguments);
  if (options == NULL) return NULL;
  int misused = FALSE;
  GDALDatasetH shades = GDALDEMProcessing("", heights, "hillshade", NULL, options, &misused);
  GDALDEMProcessingOptionsFree(options);
  return shades;
}

enum isw_status isw_chart_make_hill_shade(const struct isw_relief *relief,
                                          const struct isw_map_source *source,
                                          const struct isw_map_frame *frame, int width, int height,
                                          uint8_t **out, struct isw_error *error) {
  double scale = fmax(fmax(width, height) / (double)SIDE_MOST, 1.0);
  int coarse_width = MAX((int)lround(width / scale), 2);
  int coarse_height = MAX((int)lround(height / scale), 2);
  double unit_m = source->grid.geographic ? degree_m : 1;
  double sample_m = hypot(source->grid.transform[1], source->grid.transform[4]) * unit_m *
                    frame->window.cols / coarse_width;
  double cell_m = hypot(relief->grid.transform[1], relief->grid.transform[4]) *
                  (relief->grid.geographic ? degree_m : 1);
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH heights = warp_heights(relief, source, frame, coarse_width, coarse_height);
  GDALDatasetH shades =
      heights != NULL ? shade_heights(heights, fmax(sample_m, cell_m), unit_m) : NULL;
  uint8_t *shade = g_new(uint8_t, (gsize)width * (gsize)height);
  GDALRasterIOExtraArg how;
  INIT_RASTERIO_EXTRA_ARG(how);
  how.eResampleAlg = GRIORA_Bilinear;
  bool done = shades != NULL &&
              GDALRasterIOEx(GDALGetRasterBand(shades, 1), GF_Read, 0, 0, coarse_width,
                             coarse_height, shade, width, height, GDT_Byte, 0, 0, &how) == CE_None;
  CPLPopErrorHandler();
  if (shades != NULL) GDALClose(shades);
  if (heights != NULL) GDALClose(heights);
  if (!done) {
    g_free(shade);
    return isw_base_fail(error, ISW_INTERNAL, "cannot shade the relief: %s", CPLGetLastErrorMsg());
  }
  /* 0 is GDAL's nodata. */
  for (gsize i = 0; i < (gsize)width * (gsize)height; i++)
    if (shade[i] == 0) shade[i] = ISW_SHADE_FLAT;
  *out = shade;
  return ISW_OK;
}
