#include "output/cog.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <gdal.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdbool.h>
#include <string.h>

enum { TILE_SIZE = 256 };

static enum isw_status failed(const char *path, const char *what, struct isw_error *error) {
  const char *why = CPLGetLastErrorMsg();
  return isw_base_fail(error, ISW_OUTPUT, "%s: %s%s%s; is the disk full?", path, what,
                       why[0] != '\0' ? ": " : "", why);
}

/* ---- what must have stayed ---- */

static bool same_text(const char *a, const char *b) {
  return g_strcmp0(a, b) == 0;
}

/* Whatever the drivers keep for themselves stands in other domains. */
static bool same_metadata(GDALMajorObjectH a, GDALMajorObjectH b) {
  char **from = GDALGetMetadata(a, NULL);
  for (int i = 0; i < CSLCount(from); i++) {
    char *key = NULL;
    const char *value = CPLParseNameValue(from[i], &key);
    bool same = key == NULL || same_text(value, GDALGetMetadataItem(b, key, NULL));
    CPLFree(key);
    if (!same) return false;
  }
  return true;
}

static bool same_colours(GDALRasterBandH a, GDALRasterBandH b) {
  GDALColorTableH from = GDALGetRasterColorTable(a), to = GDALGetRasterColorTable(b);
  if (from == NULL || to == NULL) return from == to;
  int n = GDALGetColorEntryCount(from);
  bool same = n == GDALGetColorEntryCount(to);
  for (int i = 0; i < n && same; i++)
    same =
        memcmp(GDALGetColorEntry(from, i), GDALGetColorEntry(to, i), sizeof(GDALColorEntry)) == 0;
  return same;
}

static bool same_band(GDALDatasetH a, GDALDatasetH b, int number) {
  GDALRasterBandH from = GDALGetRasterBand(a, number), to = GDALGetRasterBand(b, number);
  int had = 0, has = 0;
  double old_nodata = GDALGetRasterNoDataValue(from, &had);
  double new_nodata = GDALGetRasterNoDataValue(to, &has);
  bool large = GDALGetRasterXSize(a) > 2 * TILE_SIZE || GDALGetRasterYSize(a) > 2 * TILE_SIZE;
  return GDALGetRasterDataType(from) == GDALGetRasterDataType(to) && had == has &&
         (int)old_nodata == (int)new_nodata &&
         same_text(GDALGetDescription(from), GDALGetDescription(to)) && same_metadata(from, to) &&
         same_colours(from, to) && (!large || GDALGetOverviewCount(to) > 0);
}

/* Every value, tile by tile. */
static bool same_values(GDALDatasetH a, GDALDatasetH b) {
  int width = GDALGetRasterXSize(a), height = GDALGetRasterYSize(a);
  int n_bands = GDALGetRasterCount(a);
  gsize bytes = (gsize)TILE_SIZE * TILE_SIZE * (gsize)n_bands * sizeof(gint16);
  gint16 *from = g_malloc0(bytes), *to = g_malloc0(bytes);
  bool same = true;
  for (int row = 0; row < height && same; row += TILE_SIZE) {
    for (int col = 0; col < width && same; col += TILE_SIZE) {
      int w = MIN(TILE_SIZE, width - col), h = MIN(TILE_SIZE, height - row);
      GDALDatasetH datasets[] = {a, b};
      gint16 *values[] = {from, to};
      for (int k = 0; k < 2 && same; k++)
        same = GDALDatasetRasterIO(datasets[k], GF_Read, col, row, w, h, values[k], w, h, GDT_Int16,
                                   n_bands, NULL, 0, 0, 0) == CE_None;
      same = same && memcmp(from, to, (gsize)w * (gsize)h * (gsize)n_bands * sizeof(gint16)) == 0;
    }
  }
  g_free(from);
  g_free(to);
  return same;
}

static bool is_faithful(GDALDatasetH plain, const char *path) {
  GDALDatasetH cog = GDALOpen(path, GA_ReadOnly);
  if (cog == NULL) return false;
  double was[6], is[6];
  bool same = GDALGetRasterXSize(plain) == GDALGetRasterXSize(cog) &&
              GDALGetRasterYSize(plain) == GDALGetRasterYSize(cog) &&
              GDALGetRasterCount(plain) == GDALGetRasterCount(cog) &&
              GDALGetGeoTransform(plain, was) == GDALGetGeoTransform(cog, is) &&
              memcmp(was, is, sizeof was) == 0 &&
              same_text(GDALGetProjectionRef(plain), GDALGetProjectionRef(cog)) &&
              same_text(GDALGetMetadataItem(cog, "LAYOUT", "IMAGE_STRUCTURE"), "COG") &&
              same_metadata(plain, cog);
  for (int b = 1; b <= GDALGetRasterCount(plain) && same; b++) same = same_band(plain, cog, b);
  same = same && same_values(plain, cog);
  GDALClose(cog);
  return same;
}

/* ---- writing ---- */

static bool copy_as_cog(GDALDatasetH plain, const char *path) {
  char **options = NULL;
  options = CSLSetNameValue(options, "BLOCKSIZE", "256");
  options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
  options = CSLSetNameValue(options, "LEVEL", "4");
  options = CSLSetNameValue(options, "PREDICTOR", "STANDARD");
  options = CSLSetNameValue(options, "OVERVIEWS", "IGNORE_EXISTING");
  options = CSLSetNameValue(options, "RESAMPLING", "NEAREST");
  options = CSLSetNameValue(options, "OVERVIEW_RESAMPLING", "NEAREST");
  options = CSLSetNameValue(options, "BIGTIFF", "IF_SAFER");
  CPLErrorReset();
  GDALDatasetH copy =
      GDALCreateCopy(GDALGetDriverByName("COG"), path, plain, TRUE, options, NULL, NULL);
  CSLDestroy(options);
  if (copy == NULL) return false;
  GDALFlushCache(copy);
  bool written = CPLGetLastErrorType() < CE_Failure;
  if (written) CPLErrorReset();
  GDALClose(copy);
  return written && CPLGetLastErrorType() < CE_Failure;
}

enum isw_status isw_output_make_cog(const char *path, struct isw_error *error) {
  char *made = g_strconcat(path, ".cog", NULL);
  GDALDatasetH plain = GDALOpen(path, GA_ReadOnly);
  enum isw_status status = ISW_OK;
  if (plain == NULL)
    status = failed(path, "cannot be read again", error);
  else if (!copy_as_cog(plain, made))
    status = failed(path, "cannot be rewritten as a cloud-optimised GeoTIFF", error);
  else if (!is_faithful(plain, made))
    status = failed(path, "its cloud-optimised copy is not the same", error);
  if (plain != NULL) GDALClose(plain);
  if (status == ISW_OK && g_rename(made, path) != 0)
    status = failed(path, "its cloud-optimised copy cannot be put in place", error);
  if (status != ISW_OK) g_unlink(made);
  g_free(made);
  return status;
}
