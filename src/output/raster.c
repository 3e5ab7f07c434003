#include "output/raster.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal.h>
#include <glib.h>
#include <stdlib.h>

enum { TILE_SIZE = 256 };

struct isw_raster {
  GDALDatasetH dataset;
  GDALDataType type;
  int n_bands;
  char *path;
};

/* On a full disk GDAL's calls succeed and only leave an error behind. */
static enum isw_status written(const struct isw_raster *raster, bool ok, struct isw_error *error) {
  if (ok && CPLGetLastErrorType() < CE_Failure) return ISW_OK;
  const char *why = CPLGetLastErrorMsg();
  return isw_base_fail(error, ISW_OUTPUT,
                       "%s: cannot be written completely (%s); is the disk full?", raster->path,
                       why[0] != '\0' ? why : "no reason given");
}

static void describe(GDALDatasetH dataset, const struct isw_raster_spec *spec) {
  for (int b = 0; b < spec->n_bands; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    GDALSetDescription(band, spec->descriptions[b]);
    GDALSetRasterNoDataValue(band, spec->nodata);
  }
  for (int i = 0; i < spec->n_metadata; i++) {
    const struct isw_raster_metadata *item = &spec->metadata[i];
    GDALMajorObjectH owner =
        item->band < 0 ? dataset : (GDALMajorObjectH)GDALGetRasterBand(dataset, item->band + 1);
    GDALSetMetadataItem(owner, item->key, item->value, NULL);
  }
  if (spec->n_colours == 0) return;
  GDALColorTableH table = GDALCreateColorTable(GPI_RGB);
  for (int i = 0; i < spec->n_colours; i++) {
    GDALColorEntry entry = {spec->colours[i][0], spec->colours[i][1], spec->colours[i][2],
                            spec->colours[i][3]};
    GDALSetColorEntry(table, i, &entry);
  }
  GDALSetRasterColorTable(GDALGetRasterBand(dataset, 1), table);
  GDALDestroyColorTable(table);
}

enum isw_status isw_output_create_raster(const char *path, const struct isw_raster_spec *spec,
                                         struct isw_raster **out, struct isw_error *error) {
  struct isw_raster *raster = g_new0(struct isw_raster, 1);
  raster->path = g_strdup(path);
  raster->n_bands = spec->n_bands;
  raster->type = spec->type == ISW_RASTER_BYTE ? GDT_Byte : GDT_Int16;
  char **options = NULL;
  options = CSLSetNameValue(options, "TILED", "YES");
  options = CSLSetNameValue(options, "BLOCKXSIZE", "256");
  options = CSLSetNameValue(options, "BLOCKYSIZE", "256");
  options = CSLSetNameValue(options, "INTERLEAVE", "PIXEL");
  options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
  options = CSLSetNameValue(options, "ZLEVEL", "4");
  options = CSLSetNameValue(options, "PREDICTOR", "2");
  options = CSLSetNameValue(options, "BIGTIFF", "IF_SAFER");
  CPLErrorReset();
  GDALDriverH driver = GDALGetDriverByName("GTiff");
  raster->dataset = GDALCreate(driver, path, spec->grid->width, spec->grid->height, spec->n_bands,
                               raster->type, options);
  CSLDestroy(options);
  enum isw_status status = written(raster, raster->dataset != NULL, error);
  if (status == ISW_OK) {
    double transform[6];
    for (int i = 0; i < 6; i++) transform[i] = spec->grid->transform[i];
    GDALSetGeoTransform(raster->dataset, transform);
    GDALSetProjection(raster->dataset, spec->grid->wkt);
    describe(raster->dataset, spec);
    status = written(raster, true, error);
  }
  if (status != ISW_OK) {
    isw_output_drop_raster(raster);
    return status;
  }
  *out = raster;
  return ISW_OK;
}

enum isw_status isw_output_write_block(struct isw_raster *raster, int col, int row, int width,
                                       int height, const void *data, struct isw_error *error) {
  int value_bytes = GDALGetDataTypeSizeBytes(raster->type);
  GSpacing pixel = (GSpacing)raster->n_bands * value_bytes;
  CPLErrorReset();
  /* GDAL's buffer is not const, though writing leaves it as it is. */
  CPLErr result = GDALDatasetRasterIOEx(
      raster->dataset, GF_Write, col, row, width, height, (void *)(uintptr_t)data, width, height,
      raster->type, raster->n_bands, NULL, pixel, pixel * width, value_bytes, NULL);
  return written(raster, result == CE_None, error);
}

static unsigned long long file_size(const char *path) {
  VSILFILE *file = VSIFOpenL(path, "rb");
  if (file == NULL) return 0;
  VSIFSeekL(file, 0, SEEK_END);
  unsigned long long size = VSIFTellL(file);
  VSIFCloseL(file);
  return size;
}

/* Every tile must lie inside the file, and the last one must decode. */
static bool is_whole(const char *path, int n_bands) {
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  if (dataset == NULL) return false;
  unsigned long long size_bytes = file_size(path);
  bool whole = GDALGetRasterCount(dataset) == n_bands;
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  int across = (GDALGetRasterXSize(dataset) + TILE_SIZE - 1) / TILE_SIZE;
  int down = (GDALGetRasterYSize(dataset) + TILE_SIZE - 1) / TILE_SIZE;
  for (int y = 0; y < down && whole; y++) {
    for (int x = 0; x < across && whole; x++) {
      char key[64];
      g_snprintf(key, sizeof key, "BLOCK_OFFSET_%d_%d", x, y);
      const char *offset = GDALGetMetadataItem(band, key, "TIFF");
      unsigned long long start = offset != NULL ? strtoull(offset, NULL, 10) : 0;
      g_snprintf(key, sizeof key, "BLOCK_SIZE_%d_%d", x, y);
      const char *size = GDALGetMetadataItem(band, key, "TIFF");
      unsigned long long length = size != NULL ? strtoull(size, NULL, 10) : 0;
      whole = start > 0 && length > 0 && start + length <= size_bytes;
    }
  }
  gint16 value;
  whole = whole && GDALRasterIO(band, GF_Read, GDALGetRasterXSize(dataset) - 1,
                                GDALGetRasterYSize(dataset) - 1, 1, 1, &value, 1, 1, GDT_Int16, 0,
                                0) == CE_None;
  GDALClose(dataset);
  return whole;
}

static void free_raster(struct isw_raster *raster) {
  g_free(raster->path);
  g_free(raster);
}

enum isw_status isw_output_close_raster(struct isw_raster *raster, struct isw_error *error) {
  CPLErrorReset();
  GDALFlushCache(raster->dataset);
  enum isw_status status = written(raster, true, error);
  CPLErrorReset();
  GDALClose(raster->dataset);
  if (status == ISW_OK) status = written(raster, true, error);
  if (status == ISW_OK && !is_whole(raster->path, raster->n_bands))
    status = isw_base_fail(error, ISW_OUTPUT, "%s: is not whole after writing; is the disk full?",
                           raster->path);
  free_raster(raster);
  return status;
}

void isw_output_drop_raster(struct isw_raster *raster) {
  if (raster == NULL) return;
  if (raster->dataset != NULL) GDALClose(raster->dataset);
  free_raster(raster);
}
