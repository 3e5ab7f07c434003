#include "regions/map_layers.h"

#include <glib.h>
#include <ogr_api.h>
#include <string.h>

#include "regions/district_inner.h"
#include "regions/vector_layer.h"

struct isw_map_layers {
  GPtrArray *shapes[ISW_LAYER_KINDS]; /* OGRGeometryH in the grid's CRS */
};

static void destroy_shape(gpointer shape) {
  OGR_G_DestroyGeometry(shape);
}

static bool find_kind(const char *text, enum isw_layer_kind *out) {
  static const struct {
    const char *word;
    enum isw_layer_kind kind;
  } words[] = {{"water", ISW_LAYER_WATER},   {"river", ISW_LAYER_WATER},
               {"lake", ISW_LAYER_WATER},    {"road", ISW_LAYER_ROAD},
               {"street", ISW_LAYER_ROAD},   {"highway", ISW_LAYER_ROAD},
               {"border", ISW_LAYER_BORDER}, {"boundar", ISW_LAYER_BORDER}};
  char *lower = g_ascii_strdown(text, -1);
  bool found = false;
  for (size_t i = 0; i < G_N_ELEMENTS(words) && !found; i++) {
    found = strstr(lower, words[i].word) != NULL;
    if (found) *out = words[i].kind;
  }
  g_free(lower);
  return found;
}

static bool is_point(OGRGeometryH shape) {
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(shape));
  return type == wkbPoint || type == wkbMultiPoint;
}

static enum isw_status add_feature(const struct isw_vector_layer *layer, OGRFeatureH feature,
                                   int kind_column, struct isw_map_layers *layers, int *points,
                                   struct isw_error *error) {
  char *text = kind_column >= 0 ? isw_regions_feature_text(feature, kind_column)
                                : g_strdup(OGR_L_GetName(layer->layer));
  char *what = isw_regions_name_feature(layer, feature, text);
  enum isw_layer_kind kind = ISW_LAYER_WATER;
  enum isw_status status = ISW_OK;
  OGRGeometryH shape = NULL;
  if (!find_kind(text, &kind))
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: \"%s\" says neither water, road nor border; say so in a column "
                           "kind, or in the layer's name",
                           what, text);
  if (status == ISW_OK) status = isw_regions_bring_shape(layer, feature, what, &shape, error);
  if (shape != NULL && is_point(shape)) {
    OGR_G_DestroyGeometry(shape);
    (*points)++;
  } else if (shape != NULL) {
    g_ptr_array_add(layers->shapes[kind], shape);
  }
  g_free(text);
  g_free(what);
  return status;
}

static enum isw_status add_layer(const char *path, int index, const struct isw_grid *grid,
                                 struct isw_log *log, struct isw_map_layers *layers, int *count,
                                 struct isw_error *error) {
  struct isw_vector_layer layer;
  enum isw_status status =
      isw_regions_open_layer_at(path, "map layers", index, grid, &layer, error);
  if (status != ISW_OK) return status;
  *count = GDALDatasetGetLayerCount(layer.dataset);
  int column = OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(layer.layer), "kind"), points = 0;
  OGRFeatureH feature = NULL;
  do {
    status = isw_regions_next_feature(&layer, &feature, error);
    if (feature == NULL) break;
    status = add_feature(&layer, feature, column, layers, &points, error);
    OGR_F_Destroy(feature);
  } while (status == ISW_OK);
  if (points > 0)
    isw_base_notice(log, "%s: %d points of layer %s are left out; a list of places names them",
                    path, points, OGR_L_GetName(layer.layer));
  isw_regions_close_layer(&layer);
  return status;
}

enum isw_status isw_regions_open_map_layers(const char *path, const struct isw_grid *grid,
                                            struct isw_log *log, struct isw_map_layers **out,
                                            struct isw_error *error) {
  struct isw_map_layers *layers = g_new0(struct isw_map_layers, 1);
  for (int k = 0; k < ISW_LAYER_KINDS; k++)
    layers->shapes[k] = g_ptr_array_new_with_free_func(destroy_shape);
  int count = 1;
  enum isw_status status = ISW_OK;
  for (int i = 0; i < count && status == ISW_OK; i++)
    status = add_layer(path, i, grid, log, layers, &count, error);
  if (status == ISW_OK)
    *out = layers;
  else
    isw_regions_free_map_layers(layers);
  return status;
}

void isw_regions_free_map_layers(struct isw_map_layers *layers) {
  if (layers == NULL) return;
  for (int k = 0; k < ISW_LAYER_KINDS; k++) g_ptr_array_unref(layers->shapes[k]);
  g_free(layers);
}

int isw_regions_count_shapes(const struct isw_map_layers *layers, enum isw_layer_kind kind) {
  return (int)layers->shapes[kind]->len;
}

void isw_regions_visit_shape(const struct isw_map_layers *layers, enum isw_layer_kind kind,
                             int index, bool *is_area, isw_ring_visitor *visit, void *into) {
  OGRGeometryH shape = g_ptr_array_index(layers->shapes[kind], index);
  *is_area = OGR_G_GetDimension(shape) == 2;
  isw_regions_visit_parts(shape, isw_regions_middle_of(shape), visit, into);
}
