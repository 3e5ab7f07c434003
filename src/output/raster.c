/* DESIGN. Blocks are tiles. They are given to GDAL band by band as whole tiles, past its block
 * cache: the driver gathers them in the one tile it keeps, and deflates that when the next tile
 * begins. So writing needs the memory of a tile per raster whatever the raster's size, and rasters
 * can be written by several threads at once, one thread per raster.
 *
 * Statistics are summed as whole numbers while blocks pass, so that they are the same whatever the
 * order, and written as metadata before closing: GDAL keeps them in the file, no side-car. */
#include "output/raster.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal.h>
#include <glib.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TILE_SIZE = 256 };

struct band_sums {
  long long cells, sum, squares; /* of what is not nodata */
  int least, most;
};

struct isw_raster {
  GDALDatasetH dataset;
  GDALDataType type;
  int n_bands;
  double nodata;
  bool *zero_is_nodata;   /* [n_bands] */
  void *plane;            /* one band of a tile */
  struct band_sums *sums; /* [n_bands] */
  long long cells;        /* of the raster */
  long long tiles, tiles_written;
  char *path;
  char *wkt; /* of the grid */
  double transform[6];
  bool failed; /* GDAL told of a failure: the first */
  CPLErrorNum failure;
  char why[256];
};

/* On a full disk GDAL's calls succeed and only tell of an error. While it writes, it reads its own
 * tags back: one that the disk does not give is left out of the file (colours were), and libtiff,
 * whose words begin with its name, only warns. Other warnings are about forms of the CRS. */
static void CPL_STDCALL note_failure(CPLErr severity, CPLErrorNum number, const char *text) {
  struct isw_raster *raster = CPLGetErrorHandlerUserData();
  bool tag_lost =
      severity == CE_Warning && (g_str_has_prefix(text, "TIFF") || g_str_has_prefix(text, "_TIFF"));
  if (raster->failed || (severity < CE_Failure && !tag_lost)) return;
  raster->failed = true;
  raster->failure = number;
  g_strlcpy(raster->why, text, sizeof raster->why);
}

/* Around GDAL's calls on a raster, within one thread. */
static void watch(struct isw_raster *raster) {
  CPLPushErrorHandlerEx(note_failure, raster);
}

static void unwatch(void) {
  CPLPopErrorHandler();
}

/* libtiff has no number for it, only words. */
static bool memory_was_short(const struct isw_raster *raster) {
  return raster->failure == CPLE_OutOfMemory || strstr(raster->why, "allocate") != NULL ||
         strstr(raster->why, "memory") != NULL;
}

static enum isw_status written(const struct isw_raster *raster, bool ok, struct isw_error *error) {
  if (ok && !raster->failed) return ISW_OK;
  const char *why = raster->why;
  if (memory_was_short(raster))
    return isw_base_fail(error, ISW_RESOURCES, "%s: too little memory (%s); ask for fewer threads",
                         raster->path, why);
  return isw_base_fail(error, ISW_OUTPUT,
                       "%s: cannot be written completely (%s); is the disk full?", raster->path,
                       why[0] != '\0' ? why : "no reason given");
}

static void describe(GDALDatasetH dataset, const struct isw_raster_spec *spec) {
  for (int b = 0; b < spec->n_bands; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    GDALSetDescription(band, spec->descriptions[b]);
    GDALSetRasterNoDataValue(band, spec->nodata);
    if (spec->units != NULL) GDALSetRasterUnitType(band, spec->units[b]);
    if (spec->scale > 0.0) GDALSetRasterScale(band, spec->scale);
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

const char isw_output_crs_item[] = "CRS_WKT";

enum isw_status isw_output_create_raster(const char *path, const struct isw_raster_spec *spec,
                                         struct isw_raster **out, struct isw_error *error) {
  struct isw_raster *raster = g_new0(struct isw_raster, 1);
  raster->path = g_strdup(path);
  raster->n_bands = spec->n_bands;
  raster->nodata = spec->nodata;
  raster->sums = g_new0(struct band_sums, (gsize)spec->n_bands);
  raster->zero_is_nodata = g_new0(bool, (gsize)spec->n_bands);
  for (int b = 0; b < spec->n_bands && spec->zero_is_nodata != NULL; b++)
    raster->zero_is_nodata[b] = spec->zero_is_nodata[b];
  raster->cells = (long long)spec->grid->width * spec->grid->height;
  raster->tiles = (((long long)spec->grid->width + TILE_SIZE - 1) / TILE_SIZE) *
                  (((long long)spec->grid->height + TILE_SIZE - 1) / TILE_SIZE);
  raster->type = spec->type == ISW_RASTER_BYTE ? GDT_Byte : GDT_Int16;
  raster->plane =
      g_malloc((gsize)TILE_SIZE * TILE_SIZE * (gsize)GDALGetDataTypeSizeBytes(raster->type));
  char **options = NULL;
  options = CSLSetNameValue(options, "TILED", "YES");
  options = CSLSetNameValue(options, "BLOCKXSIZE", "256");
  options = CSLSetNameValue(options, "BLOCKYSIZE", "256");
  options = CSLSetNameValue(options, "INTERLEAVE", "PIXEL");
  options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
  options = CSLSetNameValue(options, "ZLEVEL", "4");
  options = CSLSetNameValue(options, "PREDICTOR", "2");
  options = CSLSetNameValue(options, "BIGTIFF", "IF_SAFER");
  watch(raster);
  GDALDriverH driver = GDALGetDriverByName("GTiff");
  raster->dataset = GDALCreate(driver, path, spec->grid->width, spec->grid->height, spec->n_bands,
                               raster->type, options);
  CSLDestroy(options);
  enum isw_status status = written(raster, raster->dataset != NULL, error);
  if (status == ISW_OK) {
    double transform[6];
    for (int i = 0; i < 6; i++) raster->transform[i] = transform[i] = spec->grid->transform[i];
    raster->wkt = g_strdup(spec->grid->wkt);
    GDALSetGeoTransform(raster->dataset, transform);
    if (isw_climate_is_rotated(spec->grid->wkt))
      GDALSetMetadataItem(raster->dataset, isw_output_crs_item, spec->grid->wkt, NULL);
    else
      GDALSetProjection(raster->dataset, spec->grid->wkt);
    describe(raster->dataset, spec);
    status = written(raster, true, error);
  }
  unwatch();
  if (status != ISW_OK) {
    isw_output_drop_raster(raster);
    return status;
  }
  *out = raster;
  return ISW_OK;
}

/* Values this small fit an int when a row of their squares is summed. */
enum { SMALL_VALUE = 2047 };
_Static_assert((long long)TILE_SIZE *SMALL_VALUE *SMALL_VALUE <= INT_MAX, "a row's squares");

static long long sum_squares(const int16_t *values, int width, bool small) {
  int squares = 0;
  long long long_squares = 0;
  if (small)
    for (int x = 0; x < width; x++) squares += values[x] * values[x];
  else
    for (int x = 0; x < width; x++) long_squares += values[x] * values[x];
  return squares + long_squares;
}

/* Values of one row; nodata is not among the sums. Numbers are as narrow as they may be, so that
 * the compiler takes many at once: this is of every value that is written. */
static void add_row(struct band_sums *sums, const int16_t *row, int width, int16_t nodata) {
  int16_t counted[TILE_SIZE], least = INT16_MAX, most = INT16_MIN, absent = 0;
  int sum = 0;
  for (int x = 0; x < width; x++) {
    const int16_t gone = (int16_t) - (row[x] == nodata); /* all bits or none */
    const int16_t value = (int16_t)(row[x] & ~gone);
    const int16_t low = (int16_t)(value | (gone & INT16_MAX));
    const int16_t high = (int16_t)(value | (gone & INT16_MIN));
    counted[x] = value;
    absent = (int16_t)(absent - gone);
    least = low < least ? low : least;
    most = high > most ? high : most;
  }
  if (absent == width) return;
  for (int x = 0; x < width; x++) sum += counted[x];
  const bool small = least >= -SMALL_VALUE && most <= SMALL_VALUE;
  sums->least = sums->cells == 0 ? least : MIN(sums->least, least);
  sums->most = sums->cells == 0 ? most : MAX(sums->most, most);
  sums->cells += width - absent;
  sums->sum += sum;
  sums->squares += sum_squares(counted, width, small);
}

/* Pick a band out of a block; what lies past the raster's edge is nodata. */
static void fill_plane_int16(const struct isw_raster *raster, int band, int width, int height,
                             const int16_t *data) {
  int16_t *plane = raster->plane;
  const int16_t nodata = (int16_t)raster->nodata;
  size_t step = (size_t)raster->n_bands;
  if (width < TILE_SIZE || height < TILE_SIZE)
    for (int i = 0; i < TILE_SIZE * TILE_SIZE; i++) plane[i] = nodata;
  for (int y = 0; y < height; y++) {
    const int16_t *from = data + (size_t)y * (size_t)width * step + (size_t)band;
    int16_t *to = plane + (size_t)y * TILE_SIZE;
    for (int x = 0; x < width; x++) to[x] = from[(size_t)x * step];
    for (int x = 0; x < width && raster->zero_is_nodata[band]; x++)
      to[x] = to[x] == 0 ? nodata : to[x];
    add_row(&raster->sums[band], to, width, nodata);
  }
}

static void fill_plane_byte(const struct isw_raster *raster, int band, int width, int height,
                            const uint8_t *data) {
  uint8_t *plane = raster->plane;
  int16_t row[TILE_SIZE];
  size_t step = (size_t)raster->n_bands;
  memset(plane, (uint8_t)raster->nodata, (size_t)TILE_SIZE * TILE_SIZE);
  for (int y = 0; y < height; y++) {
    const uint8_t *from = data + (size_t)y * (size_t)width * step + (size_t)band;
    for (int x = 0; x < width; x++) {
      row[x] = from[(size_t)x * step];
      plane[y * TILE_SIZE + x] = (uint8_t)row[x];
    }
    add_row(&raster->sums[band], row, width, (int16_t)raster->nodata);
  }
}

static void set_statistic(GDALRasterBandH band, const char *name, double value) {
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(text, sizeof text, "%.14g", value);
  GDALSetMetadataItem(band, name, text, NULL);
}

/* Of a band that holds anything, under GDAL's own names. */
static void write_statistics(const struct isw_raster *raster) {
  for (int b = 0; b < raster->n_bands; b++) {
    const struct band_sums *sums = &raster->sums[b];
    if (sums->cells == 0) continue;
    GDALRasterBandH band = GDALGetRasterBand(raster->dataset, b + 1);
    const double cells = (double)sums->cells, mean = (double)sums->sum / cells;
    const double variance = (double)sums->squares / cells - mean * mean;
    set_statistic(band, "STATISTICS_MINIMUM", sums->least);
    set_statistic(band, "STATISTICS_MAXIMUM", sums->most);
    set_statistic(band, "STATISTICS_MEAN", mean);
    set_statistic(band, "STATISTICS_STDDEV", sqrt(MAX(variance, 0.0)));
    set_statistic(band, "STATISTICS_VALID_PERCENT", 100.0 * cells / (double)raster->cells);
  }
}

enum isw_status isw_output_write_block(struct isw_raster *raster, int col, int row, int width,
                                       int height, const void *data, struct isw_error *error) {
  CPLErr result = CE_None;
  watch(raster);
  for (int b = 0; b < raster->n_bands && result == CE_None; b++) {
    if (raster->type == GDT_Byte)
      fill_plane_byte(raster, b, width, height, data);
    else
      fill_plane_int16(raster, b, width, height, data);
    result = GDALWriteBlock(GDALGetRasterBand(raster->dataset, b + 1), col / TILE_SIZE,
                            row / TILE_SIZE, raster->plane);
  }
  unwatch();
  raster->tiles_written++;
  return written(raster, result == CE_None, error);
}

void isw_output_skip_block(struct isw_raster *raster) {
  raster->tiles_written++;
}

static unsigned long long file_size(const char *path) {
  VSILFILE *file = VSIFOpenL(path, "rb");
  if (file == NULL) return 0;
  VSIFSeekL(file, 0, SEEK_END);
  unsigned long long size = VSIFTellL(file);
  VSIFCloseL(file);
  return size;
}

/* Where PROJ cannot open its tables (too little memory, too many files) GDAL puts the place into a
 * file beside, which would stay behind, and nothing fails. */
static bool has_place(const struct isw_raster *raster, GDALDatasetH dataset) {
  char *beside = g_strconcat(raster->path, ".aux.xml", NULL);
  bool elsewhere = g_file_test(beside, G_FILE_TEST_EXISTS);
  g_free(beside);
  if (elsewhere) return false;
  double transform[6];
  if (GDALGetGeoTransform(dataset, transform) != CE_None) return false;
  for (int i = 0; i < 6; i++)
    if (fabs(transform[i] - raster->transform[i]) > 1e-9 * fabs(raster->transform[i])) return false;
  const char *wkt = GDALGetProjectionRef(dataset);
  const char *item = GDALGetMetadataItem(dataset, isw_output_crs_item, NULL);
  return raster->wkt[0] == '\0' || (wkt != NULL && wkt[0] != '\0') || item != NULL;
}

/* Every tile must lie inside the file, the last one must decode; *placed: it lies where it should.
 */
static bool is_whole(const struct isw_raster *raster, bool *placed) {
  GDALDatasetH dataset = GDALOpen(raster->path, GA_ReadOnly);
  if (dataset == NULL) return false;
  const char *path = raster->path;
  const int n_bands = raster->n_bands;
  unsigned long long size_bytes = file_size(path);
  bool whole = GDALGetRasterCount(dataset) == n_bands;
  *placed = has_place(raster, dataset);
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  int across = (int)(((long long)GDALGetRasterXSize(dataset) + TILE_SIZE - 1) / TILE_SIZE);
  int down = (int)(((long long)GDALGetRasterYSize(dataset) + TILE_SIZE - 1) / TILE_SIZE);
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
  g_free(raster->plane);
  g_free(raster->sums);
  g_free(raster->zero_is_nodata);
  g_free(raster->path);
  g_free(raster->wkt);
  g_free(raster);
}

enum isw_status isw_output_close_raster(struct isw_raster *raster, struct isw_error *error) {
  watch(raster);
  write_statistics(raster);
  GDALFlushCache(raster->dataset);
  GDALClose(raster->dataset);
  unwatch();
  enum isw_status status = written(raster, true, error);
  /* GDAL would fill what is missing with nodata, and the file would look whole. */
  if (status == ISW_OK && raster->tiles_written != raster->tiles)
    status = isw_base_fail(error, ISW_INTERNAL, "%s: %lld of %lld tiles were given", raster->path,
                           raster->tiles_written, raster->tiles);
  bool placed = true;
  if (status == ISW_OK && !is_whole(raster, &placed))
    status = isw_base_fail(error, ISW_OUTPUT, "%s: is not whole after writing; is the disk full?",
                           raster->path);
  if (status == ISW_OK && !placed)
    status = isw_base_fail(error, ISW_RESOURCES,
                           "%s: its place on Earth could not be written; is memory short, or are "
                           "too many files open?",
                           raster->path);
  free_raster(raster);
  return status;
}

void isw_output_drop_raster(struct isw_raster *raster) {
  if (raster == NULL) return;
  if (raster->dataset != NULL) GDALClose(raster->dataset);
  free_raster(raster);
}
