/* DESIGN: a district is a list of OGR shapes in the grid's CRS. Cells are found block by block with
 * GDAL's rasteriser in a block-sized dataset in memory, by cell centres, one district at a time, so
 * that a cell in two districts counts in both and memory does not grow with the grid. */
#include "guide/district_set.h"

#include <cpl_error.h>
#include <gdal.h>
#include <gdal_alg.h>
#include <glib.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "climate/climate.h"
#include "climate/grid_geometry.h"

enum { FEW_CELLS = 10 };
static const double full_turn_deg = 360.0;
/* Straight edges between few vertices bend when they are reprojected. */
static const double edges_per_diagonal = 128.0;

struct district {
  char *name;
  GPtrArray *shapes; /* OGRGeometryH in the grid's CRS */
  OGREnvelope envelope;
  long long cells_inside, cells_with_data;
};

struct isw_district_set {
  char *vector;
  struct isw_grid grid;
  GPtrArray *districts; /* struct district */
  GArray *found;        /* struct isw_district_cells of the block in hand */
  GPtrArray *found_cells;
  long long overlapping_cells;
  int overlap[2]; /* the first two that share a cell */
};

static struct district *district_at(const struct isw_district_set *set, int index) {
  return g_ptr_array_index(set->districts, index);
}

static void free_shape(gpointer shape) {
  OGR_G_DestroyGeometry(shape);
}

static void free_district(gpointer data) {
  struct district *district = data;
  g_free(district->name);
  g_ptr_array_unref(district->shapes);
  g_free(district);
}

static void free_cells(gpointer cells) {
  g_array_unref(cells);
}

void isw_guide_free_districts(struct isw_district_set *set) {
  if (set == NULL) return;
  g_ptr_array_unref(set->districts);
  g_array_unref(set->found);
  g_ptr_array_unref(set->found_cells);
  isw_climate_free_grid(&set->grid);
  g_free(set->vector);
  g_free(set);
}

int isw_guide_district_count(const struct isw_district_set *set) {
  return (int)set->districts->len;
}

const char *isw_guide_district_name(const struct isw_district_set *set, int district) {
  return district_at(set, district)->name;
}

long long isw_guide_district_size(const struct isw_district_set *set, int district) {
  return district_at(set, district)->cells_with_data;
}

/* ---- reading ---- */

static enum isw_status fail_column(const char *vector, const char *column, OGRFeatureDefnH schema,
                                   struct isw_error *error) {
  GString *names = g_string_new(NULL);
  for (int i = 0; i < OGR_FD_GetFieldCount(schema); i++)
    g_string_append_printf(names, "%s%s", i > 0 ? ", " : "",
                           OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(schema, i)));
  enum isw_status status =
      isw_base_fail(error, ISW_USAGE, "--district-name %s: %s has no such column; it has: %s",
                    column, vector, names->len > 0 ? names->str : "none at all");
  g_string_free(names, TRUE);
  return status;
}

/* NULL where none is needed; fails where there is no way. */
static enum isw_status make_transform(OGRLayerH layer, const char *vector,
                                      const struct isw_grid *grid,
                                      OGRCoordinateTransformationH *out, struct isw_error *error) {
  *out = NULL;
  OGRSpatialReferenceH given = OGR_L_GetSpatialRef(layer);
  if (given == NULL)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: has no CRS, so that nobody knows where its districts are; add it "
                         "(a shapefile's .prj, or ogr2ogr -a_srs)",
                         vector);
  OGRSpatialReferenceH from = OSRClone(given), to = OSRNewSpatialReference(grid->wkt);
  OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
  OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
  enum isw_status status = ISW_OK;
  if (!OSRIsSame(from, to)) {
    CPLErrorReset();
    *out = OCTNewCoordinateTransformation(from, to);
    if (*out == NULL)
      status = isw_base_fail(error, ISW_INPUT_CONTENT,
                             "%s: its CRS cannot be brought into that of the grid: %s", vector,
                             CPLGetLastErrorMsg());
  }
  OSRDestroySpatialReference(from);
  OSRDestroySpatialReference(to);
  return status;
}

static struct district *find_or_add(struct isw_district_set *set, const char *name) {
  for (guint i = 0; i < set->districts->len; i++)
    if (strcmp(district_at(set, (int)i)->name, name) == 0) return district_at(set, (int)i);
  struct district *district = g_new0(struct district, 1);
  district->name = g_strdup(name);
  district->shapes = g_ptr_array_new_with_free_func(free_shape);
  g_ptr_array_add(set->districts, district);
  return district;
}

static void add_shape(struct district *district, OGRGeometryH shape) {
  OGREnvelope envelope;
  OGR_G_GetEnvelope(shape, &envelope);
  if (district->shapes->len == 0) {
    district->envelope = envelope;
  } else {
    district->envelope.MinX = MIN(district->envelope.MinX, envelope.MinX);
    district->envelope.MinY = MIN(district->envelope.MinY, envelope.MinY);
    district->envelope.MaxX = MAX(district->envelope.MaxX, envelope.MaxX);
    district->envelope.MaxY = MAX(district->envelope.MaxY, envelope.MaxY);
  }
  g_ptr_array_add(district->shapes, shape);
}

static bool is_areal(OGRGeometryH shape) {
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(shape));
  return type == wkbPolygon || type == wkbMultiPolygon || type == wkbTriangle ||
         type == wkbPolyhedralSurface || type == wkbTIN;
}

/* The feature's shape in the grid's CRS. *out stays NULL for an empty one. */
static enum isw_status bring_shape(OGRGeometryH given, OGRCoordinateTransformationH transform,
                                   const char *what, OGRGeometryH *out, struct isw_error *error) {
  *out = NULL;
  if (given == NULL || OGR_G_IsEmpty(given)) return ISW_OK;
  OGRGeometryH shape = OGR_G_GetLinearGeometry(given, 0.0, NULL);
  OGR_G_FlattenTo2D(shape);
  enum isw_status status = ISW_OK;
  CPLErrorReset();
  if (!is_areal(shape)) {
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: is a %s; districts must be polygons",
                           what, OGR_G_GetGeometryName(shape));
  } else if (!OGR_G_IsValid(shape)) {
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: the shape is invalid (%s); repair it, for instance with "
                           "ogr2ogr -makevalid",
                           what, CPLGetLastErrorMsg());
  } else if (transform != NULL) {
    OGREnvelope envelope;
    OGR_G_GetEnvelope(shape, &envelope);
    double diagonal = hypot(envelope.MaxX - envelope.MinX, envelope.MaxY - envelope.MinY);
    if (diagonal > 0.0) OGR_G_Segmentize(shape, diagonal / edges_per_diagonal);
    if (OGR_G_Transform(shape, transform) != OGRERR_NONE)
      status =
          isw_base_fail(error, ISW_INPUT_CONTENT, "%s: cannot be brought into the grid's CRS: %s",
                        what, CPLGetLastErrorMsg());
  }
  if (status == ISW_OK)
    *out = shape;
  else
    OGR_G_DestroyGeometry(shape);
  return status;
}

static enum isw_status read_feature(struct isw_district_set *set, OGRFeatureH feature, int column,
                                    OGRCoordinateTransformationH transform, struct isw_log *log,
                                    struct isw_error *error) {
  const char *name =
      OGR_F_IsFieldSetAndNotNull(feature, column) ? OGR_F_GetFieldAsString(feature, column) : "";
  char *clean = g_utf8_make_valid(name, -1);
  g_strstrip(clean);
  char *what =
      g_strdup_printf("%s: feature %lld (%s)", set->vector, (long long)OGR_F_GetFID(feature),
                      clean[0] != '\0' ? clean : "without a name");
  enum isw_status status = ISW_OK;
  OGRGeometryH shape = NULL;
  if (clean[0] == '\0')
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: its name is empty; name every district, or choose another column "
                           "with --district-name",
                           what);
  else
    status = bring_shape(OGR_F_GetGeometryRef(feature), transform, what, &shape, error);
  if (status == ISW_OK) {
    struct district *district = find_or_add(set, clean);
    if (shape != NULL)
      add_shape(district, shape);
    else
      isw_base_warn(log, "%s: has no shape", what);
  }
  g_free(clean);
  g_free(what);
  return status;
}

static enum isw_status read_layer(struct isw_district_set *set, GDALDatasetH dataset,
                                  const char *name_column, struct isw_log *log,
                                  struct isw_error *error) {
  OGRLayerH layer = GDALDatasetGetLayer(dataset, 0);
  if (layer == NULL)
    return isw_base_fail(error, ISW_INPUT_FILE,
                         "%s: holds no vector layer; give districts as "
                         "polygons",
                         set->vector);
  if (GDALDatasetGetLayerCount(dataset) > 1)
    isw_base_notice(log, "%s: its first layer (%s) is taken", set->vector, OGR_L_GetName(layer));
  OGRFeatureDefnH schema = OGR_L_GetLayerDefn(layer);
  int column = OGR_FD_GetFieldIndex(schema, name_column);
  if (column < 0) return fail_column(set->vector, name_column, schema, error);
  OGRCoordinateTransformationH transform;
  enum isw_status status = make_transform(layer, set->vector, &set->grid, &transform, error);
  OGRFeatureH feature;
  CPLErrorReset();
  while (status == ISW_OK && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
    status = read_feature(set, feature, column, transform, log, error);
    OGR_F_Destroy(feature);
  }
  if (transform != NULL) OCTDestroyCoordinateTransformation(transform);
  if (status == ISW_OK && set->districts->len == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: holds no district", set->vector);
  return status;
}

enum isw_status isw_guide_open_districts(const char *vector, const char *name_column,
                                         const struct isw_grid *grid, struct isw_log *log,
                                         struct isw_district_set **out, struct isw_error *error) {
  CPLErrorReset();
  GDALDatasetH dataset = GDALOpenEx(
      vector, GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
  if (dataset == NULL)
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read as districts: %s", vector,
                         CPLGetLastErrorMsg());
  struct isw_district_set *set = g_new0(struct isw_district_set, 1);
  set->vector = g_strdup(vector);
  isw_climate_copy_grid(grid, &set->grid);
  set->districts = g_ptr_array_new_with_free_func(free_district);
  set->found = g_array_new(FALSE, FALSE, sizeof(struct isw_district_cells));
  set->found_cells = g_ptr_array_new_with_free_func(free_cells);
  enum isw_status status = read_layer(set, dataset, name_column, log, error);
  GDALClose(dataset);
  if (status == ISW_OK)
    *out = set;
  else
    isw_guide_free_districts(set);
  return status;
}

/* ---- cells ---- */

/* A block of the grid as the rasteriser sees it. */
struct window {
  double transform[6];
  OGREnvelope envelope;
};

static struct window place_window(const struct isw_grid *grid, int col, int row, int width,
                                  int height) {
  struct window window;
  memcpy(window.transform, grid->transform, sizeof window.transform);
  isw_climate_grid_point(grid, col, row, &window.transform[0], &window.transform[3]);
  for (int corner = 0; corner < 4; corner++) {
    double x, y;
    isw_climate_grid_point(grid, col + (corner % 2) * width, row + (corner / 2) * height, &x, &y);
    window.envelope.MinX = corner == 0 ? x : MIN(window.envelope.MinX, x);
    window.envelope.MaxX = corner == 0 ? x : MAX(window.envelope.MaxX, x);
    window.envelope.MinY = corner == 0 ? y : MIN(window.envelope.MinY, y);
    window.envelope.MaxY = corner == 0 ? y : MAX(window.envelope.MaxY, y);
  }
  return window;
}

static bool meet(const OGREnvelope *a, const OGREnvelope *b, double shift) {
  return a->MinX + shift <= b->MaxX && a->MaxX + shift >= b->MinX && a->MinY <= b->MaxY &&
         a->MaxY >= b->MinY;
}

/* Burn the district into mask (a MEM dataset's pixels), also where the grid's longitudes are a turn
 * away from the district's. *any: something may have been burnt. */
static enum isw_status burn_district(const struct isw_district_set *set,
                                     const struct district *district, const struct window *window,
                                     GDALDatasetH mask, bool *any, struct isw_error *error) {
  static const double shifts[] = {0.0, -1.0, 1.0};
  size_t n_shifts = set->grid.geographic ? G_N_ELEMENTS(shifts) : 1;
  *any = false;
  for (size_t i = 0; i < n_shifts && district->shapes->len > 0; i++) {
    double shift = shifts[i] * full_turn_deg;
    if (!meet(&district->envelope, &window->envelope, shift)) continue;
    if (!*any) GDALFillRaster(GDALGetRasterBand(mask, 1), 0.0, 0.0);
    double transform[6];
    memcpy(transform, window->transform, sizeof transform);
    transform[0] -= shift;
    GDALSetGeoTransform(mask, transform);
    GArray *burns = g_array_new(FALSE, FALSE, sizeof(double));
    double one = 1.0;
    for (guint s = 0; s < district->shapes->len; s++) g_array_append_val(burns, one);
    int band = 1;
    CPLErrorReset();
    CPLErr burnt = GDALRasterizeGeometries(mask, 1, &band, (int)district->shapes->len,
                                           (OGRGeometryH *)district->shapes->pdata, NULL, NULL,
                                           (double *)(void *)burns->data, NULL, NULL, NULL);
    g_array_unref(burns);
    if (burnt != CE_None)
      return isw_base_fail(error, ISW_RESOURCES, "district %s cannot be laid over the grid: %s",
                           district->name, CPLGetLastErrorMsg());
    *any = true;
  }
  return ISW_OK;
}

static GArray *list_cells(struct district *district, const uint8_t *mask, const uint8_t *flags,
                          size_t n) {
  GArray *cells = g_array_new(FALSE, FALSE, sizeof(uint32_t));
  for (size_t i = 0; i < n; i++) {
    if (!mask[i]) continue;
    district->cells_inside++;
    uint32_t cell = (uint32_t)i;
    if (flags[i] & ISW_CELL_VALID) g_array_append_val(cells, cell);
  }
  district->cells_with_data += cells->len;
  return cells;
}

static void note_overlaps(struct isw_district_set *set, int index, const GArray *cells,
                          int *owner) {
  for (guint i = 0; i < cells->len; i++) {
    uint32_t cell = g_array_index(cells, uint32_t, i);
    if (owner[cell] > 0) {
      if (set->overlapping_cells++ == 0) {
        set->overlap[0] = owner[cell] - 1;
        set->overlap[1] = index;
      }
    } else {
      owner[cell] = index + 1;
    }
  }
}

enum isw_status isw_guide_find_district_cells(struct isw_district_set *set, int col, int row,
                                              int width, int height, const uint8_t *flags,
                                              int *n_out, const struct isw_district_cells **out,
                                              struct isw_error *error) {
  g_array_set_size(set->found, 0);
  g_ptr_array_set_size(set->found_cells, 0);
  size_t n = (size_t)width * (size_t)height;
  struct window window = place_window(&set->grid, col, row, width, height);
  GDALDatasetH mask = GDALCreate(GDALGetDriverByName("MEM"), "", width, height, 1, GDT_Byte, NULL);
  if (mask == NULL)
    return isw_base_fail(error, ISW_RESOURCES, "no memory for a block of districts");
  GDALRasterBandH band = GDALGetRasterBand(mask, 1);
  uint8_t *pixels = g_malloc(n);
  int *owner = g_new0(int, n);
  enum isw_status status = ISW_OK;
  for (int d = 0; d < isw_guide_district_count(set) && status == ISW_OK; d++) {
    struct district *district = district_at(set, d);
    bool any;
    status = burn_district(set, district, &window, mask, &any, error);
    if (status != ISW_OK || !any) continue;
    if (GDALRasterIO(band, GF_Read, 0, 0, width, height, pixels, width, height, GDT_Byte, 0, 0) !=
        CE_None) {
      status = isw_base_fail(error, ISW_INTERNAL, "districts in memory cannot be read back");
      continue;
    }
    GArray *cells = list_cells(district, pixels, flags, n);
    note_overlaps(set, d, cells, owner);
    g_ptr_array_add(set->found_cells, cells);
    struct isw_district_cells found = {d, cells->len, (const uint32_t *)(void *)cells->data};
    if (found.n > 0) g_array_append_val(set->found, found);
  }
  GDALClose(mask);
  g_free(pixels);
  g_free(owner);
  *n_out = (int)set->found->len;
  *out = (const struct isw_district_cells *)(const void *)set->found->data;
  return status;
}

/* By more than a cell, so that rounding along a shared edge is not told. */
static bool reaches_out(const struct isw_district_set *set, const struct district *district) {
  static const double shifts[] = {0.0, -1.0, 1.0};
  struct window whole = place_window(&set->grid, 0, 0, set->grid.width, set->grid.height);
  double cell = fmax(hypot(set->grid.transform[1], set->grid.transform[4]),
                     hypot(set->grid.transform[2], set->grid.transform[5]));
  for (size_t i = 0; i < (set->grid.geographic ? G_N_ELEMENTS(shifts) : 1); i++) {
    double shift = shifts[i] * full_turn_deg;
    if (district->envelope.MinX + shift >= whole.envelope.MinX - cell &&
        district->envelope.MaxX + shift <= whole.envelope.MaxX + cell &&
        district->envelope.MinY >= whole.envelope.MinY - cell &&
        district->envelope.MaxY <= whole.envelope.MaxY + cell)
      return false;
  }
  return true;
}

void isw_guide_report_districts(const struct isw_district_set *set, struct isw_log *log) {
  for (int d = 0; d < isw_guide_district_count(set); d++) {
    const struct district *district = district_at(set, d);
    if (district->shapes->len == 0) continue; /* said when it was read */
    if (district->cells_inside == 0)
      isw_base_warn(log,
                    "district %s: holds no cell's centre of the grid; it lies outside or is "
                    "smaller than a cell",
                    district->name);
    else if (district->cells_with_data == 0)
      isw_base_warn(log, "district %s: has no cell with climate data", district->name);
    else if (district->cells_with_data < FEW_CELLS)
      isw_base_warn(log,
                    "district %s: has few cells with climate data (%lld); its numbers say little",
                    district->name, district->cells_with_data);
    if (district->cells_inside > 0 && reaches_out(set, district))
      isw_base_warn(
          log, "district %s: reaches beyond the grid; its numbers are those of the part inside",
          district->name);
  }
  if (set->overlapping_cells > 0)
    isw_base_warn(log,
                  "districts overlap on %lld cells, %s and %s first; such cells count in each of "
                  "them",
                  set->overlapping_cells, isw_guide_district_name(set, set->overlap[0]),
                  isw_guide_district_name(set, set->overlap[1]));
}
