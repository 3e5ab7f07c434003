#include "regions/place_list.h"

#include <glib.h>
#include <string.h>

#include "climate/grid.h"
#include "documents/csv_fields.h"
#include "documents/csv_table.h"
#include "regions/vector_layer.h"

enum { NAME, LAT, LON, COLUMNS };
static const char *const column_names[COLUMNS] = {"name", "lat", "lon"};

struct reading {
  const char *path;
  const struct isw_grid *grid;
  struct isw_locator *locator;
  int column[COLUMNS];
  GArray *places;       /* struct isw_named_place */
  GHashTable *where_of; /* name -> where it was first, char * */
};

/* where: "file:line" or "file: feature N". Takes place's name. */
static enum isw_status add_place(struct reading *reading, const char *where,
                                 struct isw_named_place place, bool inside,
                                 struct isw_error *error) {
  const char *before = g_hash_table_lookup(reading->where_of, place.name);
  enum isw_status status = ISW_OK;
  if (place.name[0] == '\0')
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: a place without a name", where);
  else if (before != NULL)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: place %s is there already (%s)\nGive each its own name", where,
                           place.name, before);
  else if (!inside)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: place %s lies outside the grid of the normals\nCorrect its "
                           "position, or leave it out",
                           where, place.name);
  if (status != ISW_OK) {
    g_free(place.name);
    return status;
  }
  g_hash_table_insert(reading->where_of, place.name, g_strdup(where));
  g_array_append_val(reading->places, place);
  return ISW_OK;
}

/* ---- tables ---- */

static enum isw_status read_header(void *into, const GPtrArray *fields, int line,
                                   struct isw_error *error) {
  struct reading *reading = into;
  return isw_documents_find_all_columns(reading->path, fields, line, COLUMNS, column_names,
                                        reading->column, error);
}

static enum isw_status read_row(void *into, const GPtrArray *fields, int line,
                                struct isw_error *error) {
  struct reading *reading = into;
  const char *text[COLUMNS];
  for (int c = 0; c < COLUMNS; c++) text[c] = g_ptr_array_index(fields, (guint)reading->column[c]);
  struct isw_named_place place = {.name = NULL};
  enum isw_status status = isw_documents_read_csv_position(
      reading->path, line, text[LAT], text[LON], &place.lat_deg, &place.lon_deg, error);
  if (status != ISW_OK) return status;
  place.name = g_strstrip(g_strdup(text[NAME]));
  bool inside =
      isw_climate_find_cell(reading->locator, place.lat_deg, place.lon_deg, &place.col, &place.row);
  char *where = g_strdup_printf("%s:%d", reading->path, line);
  status = add_place(reading, where, place, inside, error);
  g_free(where);
  return status;
}

static enum isw_status read_table(struct reading *reading, struct isw_error *error) {
  char *text = NULL;
  size_t length = 0;
  enum isw_status status = isw_documents_load_table(reading->path, &text, &length, error);
  if (status == ISW_OK)
    status = isw_documents_read_table(reading->path, text, length, read_header, read_row, reading,
                                      error);
  g_free(text);
  return status;
}

/* ---- vector files ---- */

static enum isw_status read_feature(struct reading *reading, const struct isw_vector_layer *layer,
                                    OGRFeatureH feature, int column, struct isw_error *error) {
  struct isw_named_place place = {.name = isw_regions_feature_text(feature, column)};
  char *where = isw_regions_name_feature(layer, feature, place.name);
  double x, y;
  enum isw_status status = isw_regions_bring_point(layer, feature, where, &x, &y, error);
  if (status == ISW_OK) {
    bool inside = isw_climate_find_point(reading->grid, x, y, &place.col, &place.row) &&
                  isw_climate_locate_cell(reading->locator, place.col, place.row, &place.lat_deg,
                                          &place.lon_deg);
    status = add_place(reading, where, place, inside, error);
  } else {
    g_free(place.name);
  }
  g_free(where);
  return status;
}

static enum isw_status read_layer(struct reading *reading, const char *name_column,
                                  struct isw_log *log, struct isw_error *error) {
  struct isw_vector_layer layer;
  enum isw_status status =
      isw_regions_open_layer(reading->path, "places", reading->grid, log, &layer, error);
  if (status != ISW_OK) return status;
  int column;
  status = isw_regions_find_column(&layer, name_column != NULL ? name_column : column_names[NAME],
                                   &column, error);
  OGRFeatureH feature = NULL;
  while (status == ISW_OK &&
         (status = isw_regions_next_feature(&layer, &feature, error)) == ISW_OK &&
         feature != NULL) {
    status = read_feature(reading, &layer, feature, column, error);
    OGR_F_Destroy(feature);
  }
  isw_regions_close_layer(&layer);
  return status;
}

/* ---- both ---- */

static bool is_table(const char *path) {
  size_t length = strlen(path);
  return length >= 4 && g_ascii_strcasecmp(path + length - 4, ".csv") == 0;
}

enum isw_status isw_regions_read_places(const char *path, const char *name_column,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_place_list **out, struct isw_error *error) {
  struct reading reading = {.path = path, .grid = grid};
  enum isw_status status = isw_climate_new_locator(grid, &reading.locator, error);
  if (status != ISW_OK) return status;
  reading.places = g_array_new(FALSE, FALSE, sizeof(struct isw_named_place));
  reading.where_of = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, g_free);
  status =
      is_table(path) ? read_table(&reading, error) : read_layer(&reading, name_column, log, error);
  if (status == ISW_OK && reading.places->len == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: holds no place", path);
  g_hash_table_unref(reading.where_of);
  isw_climate_free_locator(reading.locator);
  struct isw_place_list *places = g_new0(struct isw_place_list, 1);
  places->count = (int)reading.places->len;
  places->items = (struct isw_named_place *)(void *)g_array_free(reading.places, FALSE);
  if (status != ISW_OK) {
    isw_regions_free_places(places);
    return status;
  }
  *out = places;
  return ISW_OK;
}

void isw_regions_free_places(struct isw_place_list *places) {
  if (places == NULL) return;
  for (int i = 0; i < places->count; i++) g_free(places->items[i].name);
  g_free(places->items);
  g_free(places);
}
