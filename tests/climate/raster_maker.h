/* Rasters for the tests: the real Colorado normals read with GDAL alone (not with the code under
 * test) and written again in another form. */
#ifndef ISW_TEST_RASTER_MAKER_H
#define ISW_TEST_RASTER_MAKER_H

#include <check.h>
#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { COLS = 205, ROWS = 119, CELLS = COLS * ROWS, MONTHS = 12, BANDS_MAX = 14 };

#define COLORADO TEST_SOURCE_DIR "/data/colorado/"

static const double colorado_transform[6] = {
    -109.520832091333332, 0.041666666666667, 0, 41.479168058333336, 0, -0.041666666666667};

/* Twelve planes of degC, NAN where there is none. */
struct normals {
  float month[MONTHS][CELLS];
};

static inline struct normals *read_colorado(const char *name) {
  GDALAllRegister();
  char *path = g_strconcat(COLORADO, name, NULL);
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  ck_assert_ptr_nonnull(dataset);
  struct normals *normals = g_new(struct normals, 1);
  for (int m = 0; m < MONTHS; m++) {
    float *plane = normals->month[m];
    ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, m + 1), GF_Read, 0, 0, COLS, ROWS,
                                  plane, COLS, ROWS, GDT_Float32, 0, 0),
                     CE_None);
    for (int i = 0; i < CELLS; i++)
      if (plane[i] == -9999.0f) plane[i] = NAN;
  }
  GDALClose(dataset);
  g_free(path);
  return normals;
}

/* How a raster is written. Zeros are the plain form: Float32 GeoTIFF, degC said, January first. */
struct raster_form {
  const char *format;              /* NULL: GTiff */
  GDALDataType type;               /* 0: Float32 */
  double unit_factor, unit_shift;  /* stated = factor * degC + shift; factor 0: 1 */
  double scale, offset;            /* stated = scale * packed + offset; scale 0: 1 */
  double nodata;                   /* packed; written where there is none */
  double declared_nodata;          /* 0: as nodata */
  bool nan_too;                    /* every other missing cell is NaN instead */
  bool no_nodata;                  /* do not declare */
  const char *unit;                /* NULL: degC; "": none */
  int bands;                       /* 0: 12 */
  const int *order;                /* band b holds month order[b]; 12 is the annual mean */
  const char *const *descriptions; /* per band, or NULL */
  double move_x;                   /* of the origin */
  double move_cells;               /* the same, in cells */
  bool south_up, no_crs, mask;
  char **options;
};

static inline int16_t form_month(const struct raster_form *form, int band) {
  return (int16_t)(form->order != NULL ? form->order[band] : band);
}

static inline double form_value(const struct normals *normals, int month, int cell) {
  if (month < MONTHS) return (double)normals->month[month][cell];
  double sum = 0.0;
  for (int m = 0; m < MONTHS; m++) sum += (double)normals->month[m][cell];
  return sum / MONTHS;
}

static inline GDALDatasetH make_in_memory(const struct normals *normals,
                                          const struct raster_form *form) {
  int bands = form->bands != 0 ? form->bands : MONTHS;
  GDALDataType type = form->type != 0 ? form->type : GDT_Float32;
  GDALDatasetH dataset = GDALCreate(GDALGetDriverByName("MEM"), "", COLS, ROWS, bands, type, NULL);
  double transform[6];
  memcpy(transform, colorado_transform, sizeof transform);
  transform[0] += form->move_x + form->move_cells * transform[1];
  if (form->south_up) {
    transform[3] += ROWS * transform[5];
    transform[5] = -transform[5];
  }
  GDALSetGeoTransform(dataset, transform);
  if (!form->no_crs) {
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    OSRImportFromEPSG(crs, 4326);
    GDALSetSpatialRef(dataset, crs);
    OSRDestroySpatialReference(crs);
  }
  double factor = form->unit_factor != 0.0 ? form->unit_factor : 1.0;
  double scale = form->scale != 0.0 ? form->scale : 1.0;
  bool packed = form->scale != 0.0 || form->offset != 0.0;
  double *values = g_new(double, CELLS);
  uint8_t *mask = g_new(uint8_t, CELLS);
  if (form->mask) GDALCreateDatasetMaskBand(dataset, GMF_PER_DATASET);
  for (int b = 0; b < bands; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    int month = form_month(form, b);
    for (int i = 0; i < CELLS; i++) {
      int to = form->south_up ? (ROWS - 1 - i / COLS) * COLS + i % COLS : i;
      double value_C = form_value(normals, month, i);
      double stated = factor * value_C + form->unit_shift;
      values[to] = packed ? round((stated - form->offset) / scale) : stated;
      mask[to] = isnan(value_C) ? 0 : 255;
      if (isnan(value_C)) values[to] = form->nan_too && i % 2 == 0 ? NAN : form->nodata;
    }
    ck_assert_int_eq(
        GDALRasterIO(band, GF_Write, 0, 0, COLS, ROWS, values, COLS, ROWS, GDT_Float64, 0, 0),
        CE_None);
    if (!form->no_nodata)
      GDALSetRasterNoDataValue(band,
                               form->declared_nodata != 0.0 ? form->declared_nodata : form->nodata);
    if (packed) {
      GDALSetRasterScale(band, scale);
      GDALSetRasterOffset(band, form->offset);
    }
    const char *unit = form->unit != NULL ? form->unit : "degC";
    if (unit[0] != '\0') GDALSetRasterUnitType(band, unit);
    if (form->descriptions != NULL) GDALSetDescription(band, form->descriptions[b]);
    if (form->mask && b == 0)
      ck_assert_int_eq(GDALRasterIO(GDALGetMaskBand(band), GF_Write, 0, 0, COLS, ROWS, mask, COLS,
                                    ROWS, GDT_Byte, 0, 0),
                       CE_None);
  }
  g_free(values);
  g_free(mask);
  return dataset;
}

static inline void save_copy(GDALDatasetH from, const char *format, const char *path,
                             char **options) {
  CPLSetConfigOption("GDAL_TIFF_INTERNAL_MASK", "YES");
  GDALDatasetH copy =
      GDALCreateCopy(GDALGetDriverByName(format), path, from, FALSE, options, NULL, NULL);
  ck_assert_msg(copy != NULL, "%s: %s", path, CPLGetLastErrorMsg());
  GDALClose(copy);
}

static inline void make_raster(const struct normals *normals, const struct raster_form *form,
                               const char *path) {
  GDALDatasetH dataset = make_in_memory(normals, form);
  save_copy(dataset, form->format != NULL ? form->format : "GTiff", path, form->options);
  GDALClose(dataset);
}

/* Twelve files of one band; format holds one %d or %02d. */
static inline void make_months(const struct normals *normals, const struct raster_form *form,
                               const char *path_format) {
  for (int month = 0; month < MONTHS; month++) {
    struct raster_form one = *form;
    int order[1] = {month};
    one.bands = 1;
    one.order = order;
    char **halves = g_strsplit(path_format, "{month}", 2);
    char *path = g_strdup_printf(
        form->move_x == 0.0 && strstr(path_format, "plain") != NULL ? "%s%d%s" : "%s%02d%s",
        halves[0], month + 1, halves[1]);
    make_raster(normals, &one, path);
    g_free(path);
    g_strfreev(halves);
  }
}

#endif
