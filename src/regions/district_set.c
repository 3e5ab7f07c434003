#include "regions/district_set.h"

#include <glib.h>

#include "regions/district_inner.h"
#include "regions/vector_layer.h"

struct isw_district *isw_regions_district_at(const struct isw_district_set *set, int index) {
  return g_ptr_array_index(set->districts, index);
}

static void free_shape(gpointer shape) {
  OGR_G_DestroyGeometry(shape);
}

static void free_district(gpointer data) {
  struct isw_district *district = data;
  g_free(district->name);
  g_ptr_array_unref(district->shapes);
  g_free(district);
}

static void free_cells(gpointer cells) {
  g_array_unref(cells);
}

void isw_regions_free_districts(struct isw_district_set *set) {
  if (set == NULL) return;
  g_hash_table_unref(set->by_name);
  g_ptr_array_unref(set->districts);
  g_free(set->smaller_first);
  g_hash_table_unref(set->overlaps);
  g_array_unref(set->found);
  g_ptr_array_unref(set->found_cells);
  isw_climate_free_grid(&set->grid);
  g_free(set);
}

int isw_regions_district_count(const struct isw_district_set *set) {
  return (int)set->districts->len;
}

const char *isw_regions_district_name(const struct isw_district_set *set, int district) {
  return isw_regions_district_at(set, district)->name;
}

bool isw_regions_districts_are_named(const struct isw_district_set *set) {
  return set->named;
}

/* ---- reading ---- */

static struct isw_district *add_district(struct isw_district_set *set, const char *name) {
  struct isw_district *district = g_new0(struct isw_district, 1);
  district->name = g_strdup(name);
  district->shapes = g_ptr_array_new_with_free_func(free_shape);
  g_ptr_array_add(set->districts, district);
  return district;
}

static struct isw_district *find_or_add(struct isw_district_set *set, const char *name) {
  if (!set->named) return add_district(set, name);
  struct isw_district *district = g_hash_table_lookup(set->by_name, name);
  if (district != NULL) return district;
  district = add_district(set, name);
  g_hash_table_insert(set->by_name, district->name, district);
  return district;
}

static void add_shape(struct isw_district *district, OGRGeometryH shape) {
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

/* column: -1 where nobody asks for names. together: all shapes are one district. */
static enum isw_status read_feature(struct isw_district_set *set,
                                    const struct isw_vector_layer *layer, OGRFeatureH feature,
                                    int column, bool together, struct isw_log *log,
                                    struct isw_error *error) {
  char *name = column < 0 ? g_strdup("") : isw_regions_feature_text(feature, column);
  char *what = isw_regions_name_feature(layer, feature, name);
  enum isw_status status = ISW_OK;
  OGRGeometryH shape = NULL;
  if (column >= 0 && name[0] == '\0')
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: its name is empty; name every district, or choose another column "
                           "for the names",
                           what);
  else
    status = isw_regions_bring_polygons(layer, feature, what, &shape, error);
  if (status == ISW_OK) {
    struct isw_district *district = together && set->districts->len > 0
                                        ? isw_regions_district_at(set, 0)
                                        : find_or_add(set, name);
    if (shape != NULL)
      add_shape(district, shape);
    else
      isw_base_warn(log, "%s: has no shape", what);
  }
  g_free(name);
  g_free(what);
  return status;
}

static enum isw_status read_layer(struct isw_district_set *set, struct isw_vector_layer *layer,
                                  const char *name_column, bool together, struct isw_log *log,
                                  struct isw_error *error) {
  int column = -1;
  enum isw_status status = ISW_OK;
  if (name_column != NULL) status = isw_regions_find_column(layer, name_column, &column, error);
  OGRFeatureH feature = NULL;
  while (status == ISW_OK &&
         (status = isw_regions_next_feature(layer, &feature, error)) == ISW_OK && feature != NULL) {
    status = read_feature(set, layer, feature, column, together, log, error);
    OGR_F_Destroy(feature);
  }
  if (status == ISW_OK && set->districts->len == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: holds no %s", layer->path, layer->noun);
  return status;
}

static enum isw_status open_set(const char *vector, const char *noun, const char *name_column,
                                bool together, const struct isw_grid *grid, struct isw_log *log,
                                struct isw_district_set **out, struct isw_error *error) {
  *out = NULL;
  struct isw_vector_layer layer;
  enum isw_status status = isw_regions_open_layer(vector, noun, grid, log, &layer, error);
  if (status != ISW_OK) return status;
  struct isw_district_set *set = g_new0(struct isw_district_set, 1);
  set->named = name_column != NULL;
  isw_climate_copy_grid(grid, &set->grid);
  set->districts = g_ptr_array_new_with_free_func(free_district);
  set->by_name = g_hash_table_new(g_str_hash, g_str_equal);
  set->overlaps = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
  set->found = g_array_new(FALSE, FALSE, sizeof(struct isw_district_cells));
  set->found_cells = g_ptr_array_new_with_free_func(free_cells);
  status = read_layer(set, &layer, name_column, together, log, error);
  isw_regions_close_layer(&layer);
  if (status != ISW_OK) {
    isw_regions_free_districts(set);
    return status;
  }
  isw_regions_order_districts(set);
  *out = set;
  return status;
}

enum isw_status isw_regions_open_districts(const char *vector, const char *name_column,
                                           const struct isw_grid *grid, struct isw_log *log,
                                           struct isw_district_set **out, struct isw_error *error) {
  return open_set(vector, "districts", name_column, false, grid, log, out, error);
}

enum isw_status isw_regions_open_shapes(const char *vector, const char *noun,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_district_set **out, struct isw_error *error) {
  return open_set(vector, noun, NULL, true, grid, log, out, error);
}
