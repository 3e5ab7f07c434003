/* DESIGN: only cells with climate data are carried, in row order; flags and district of every cell
 * tell which they are. Each result is its bands one after the other, each band as differences from
 * cell to cell, which compress some twenty times. Places are found through a lattice of latitudes
 * and longitudes over the grid, between whose points the script interpolates. */
#include "guide/page_data.h"

#include <cpl_conv.h>
#include <json-glib/json-glib.h>
#include <math.h>
#include <string.h>

#include "chart/palette.h"
#include "crop/sheet_doubts.h"
#include "guide/guide_words.h"
#include "guide/page_tables.h"
#include "guide/record_lines.h"
#include "survey/place_crops.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/say.h"

enum { LATTICE_PARTS = 64, DEFLATE_LEVEL = 9 };
static const double micro = 1e6;

char *isw_guide_pack_values(const int16_t *values, size_t n) {
  uint8_t *bytes = g_malloc(2 * n + 1);
  uint16_t last = 0;
  for (size_t i = 0; i < n; i++) {
    uint16_t difference = (uint16_t)((uint16_t)values[i] - last);
    last = (uint16_t)values[i];
    bytes[2 * i] = (uint8_t)(difference & 0xff);
    bytes[2 * i + 1] = (uint8_t)(difference >> 8);
  }
  size_t packed_size = 0;
  void *packed = CPLZLibDeflate(bytes, 2 * n, DEFLATE_LEVEL, NULL, 0, &packed_size);
  char *text = g_base64_encode(packed, packed_size);
  CPLFree(packed);
  g_free(bytes);
  return text;
}

static void add_text(JsonBuilder *builder, const char *name, const char *value) {
  json_builder_set_member_name(builder, name);
  json_builder_add_string_value(builder, value);
}

static void add_int(JsonBuilder *builder, const char *name, long long value) {
  json_builder_set_member_name(builder, name);
  json_builder_add_int_value(builder, value);
}

static void add_flag(JsonBuilder *builder, const char *name, bool value) {
  json_builder_set_member_name(builder, name);
  json_builder_add_boolean_value(builder, value);
}

static void add_packed(JsonBuilder *builder, const int16_t *values, size_t n) {
  char *text = isw_guide_pack_values(values, n);
  json_builder_add_string_value(builder, text);
  g_free(text);
}

static void add_colour(JsonBuilder *builder, struct isw_colour colour) {
  char text[8];
  g_snprintf(text, sizeof text, "#%06x", isw_chart_hex_of_colour(colour));
  json_builder_add_string_value(builder, text);
}

/* What the script says: sentences as templates, of plural ones each form and, for each count up to
 * the days of a year, which form it takes. */
static void add_sentence(JsonBuilder *builder, enum isw_sentence sentence) {
  json_builder_set_member_name(builder, isw_words_id(sentence));
  if (sentence == ISW_SAY_SHORT_DATE) sentence = isw_words_date_form(false);
  if (sentence == ISW_SAY_LONG_DATE) sentence = isw_words_date_form(true);
  if (!isw_words_is_plural(sentence)) {
    json_builder_add_string_value(builder, isw_words_template(sentence));
    return;
  }
  GPtrArray *forms = g_ptr_array_new();
  GString *of = g_string_new(NULL);
  for (int count = 0; count <= ISW_YEAR_DAYS; count++) {
    const char *form = isw_words_count_template(sentence, count);
    guint index = 0;
    while (index < forms->len && strcmp(forms->pdata[index], form) != 0) index++;
    if (index == forms->len) g_ptr_array_add(forms, (char *)form);
    g_string_append_printf(of, "%u", index);
  }
  json_builder_begin_object(builder);
  json_builder_set_member_name(builder, "forms");
  json_builder_begin_array(builder);
  for (guint i = 0; i < forms->len; i++) json_builder_add_string_value(builder, forms->pdata[i]);
  json_builder_end_array(builder);
  add_text(builder, "of", of->str);
  json_builder_end_object(builder);
  g_string_free(of, TRUE);
  g_ptr_array_unref(forms);
}

static void add_words(JsonBuilder *builder) {
  static const enum isw_sentence said[] = {
#define ISW_SENTENCE(id, arguments, context, text) ISW_SAY_##id,
#define ISW_PLURAL(id, arguments, context, one, many) ISW_SAY_##id,
#include "words/sentences_card.def"
#include "words/sentences_date.def"
#include "words/sentences_page.def"
#include "words/sentences_shared.def"
#undef ISW_SENTENCE
#undef ISW_PLURAL
  };
  json_builder_set_member_name(builder, "words");
  json_builder_begin_object(builder);
  for (size_t i = 0; i < G_N_ELEMENTS(said); i++) add_sentence(builder, said[i]);
  json_builder_end_object(builder);
}

static void add_season_days(JsonBuilder *builder, const char *name, const struct isw_season *season,
                            bool south) {
  struct isw_window days = isw_growth_season_days(season, south);
  json_builder_set_member_name(builder, name);
  json_builder_begin_object(builder);
  add_int(builder, "from", days.from_day + 1);
  add_int(builder, "to", days.to_day + 1);
  add_int(builder, "days", days.days);
  json_builder_end_object(builder);
}

/* The season's order of varieties, as chosen indexes. */
static void add_order(JsonBuilder *builder, const struct isw_plan *plan,
                      const struct isw_season *season) {
  json_builder_set_member_name(builder, "order");
  json_builder_begin_array(builder);
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    int v = isw_guide_chosen_variety(plan, season->preferred[i]);
    if (v >= 0) json_builder_add_int_value(builder, v);
  }
  json_builder_end_array(builder);
}

/* Of every type; what only a type to choose needs is in its details. */
static const enum isw_cell_band page_bands[] = {
    ISW_BAND_SCORE, ISW_BAND_BEST_SOW, ISW_BAND_SOW_FROM, ISW_BAND_WINDOW_DAYS, ISW_BAND_YEARS};

static void add_bands(JsonBuilder *builder) {
  json_builder_set_member_name(builder, "bands");
  json_builder_begin_array(builder);
  for (size_t b = 0; b < G_N_ELEMENTS(page_bands); b++)
    json_builder_add_string_value(builder, isw_survey_band_names[page_bands[b]]);
  json_builder_end_array(builder);
}

static void add_names(JsonBuilder *builder, const struct isw_guide_facts *facts) {
  const struct isw_plan *plan = facts->plan;
  char *period = isw_guide_period_words(facts);
  add_text(builder, "periodText", period);
  g_free(period);
  add_flag(builder, "south", facts->page->south);
  add_text(builder, "crop", plan->sheet->crop);
  add_text(builder, "cropTitle", plan->sheet->title);
  add_text(builder, "version", ISOSOW_VERSION);
  add_flag(builder, "dateNumbers", isw_words_date_style() == ISW_DATES_NUMBERS);
  json_builder_set_member_name(builder, "varieties");
  json_builder_begin_array(builder);
  for (int v = 0; v < plan->n_varieties; v++) {
    json_builder_begin_object(builder);
    add_text(builder, "id", plan->sheet->varieties[plan->varieties[v]].name);
    add_text(builder, "title", plan->sheet->varieties[plan->varieties[v]].title);
    add_int(builder, "index", plan->varieties[v]);
    add_flag(builder, "freezes", isw_crop_can_freeze(plan->sheet, plan->varieties[v]));
    add_flag(builder, "bolts", plan->sheet->varieties[plan->varieties[v]].bolts);
    json_builder_set_member_name(builder, "colour");
    add_colour(builder, isw_chart_variety_fill(plan->varieties[v], false).ground);
    struct isw_fill fill = isw_chart_variety_fill(plan->varieties[v], false);
    GString *background = g_string_new(NULL);
    isw_guide_append_background(background, &fill);
    add_text(builder, "background", background->str);
    g_string_free(background, TRUE);
    json_builder_set_member_name(builder, "riskyColour");
    add_colour(builder, isw_chart_variety_fill(plan->varieties[v], true).ground);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "seasons");
  json_builder_begin_array(builder);
  for (int s = 0; s < plan->n_seasons; s++) {
    const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
    json_builder_begin_object(builder);
    add_text(builder, "id", season->name);
    add_text(builder, "name", season->title);
    add_int(builder, "start", (int)plan->programmes[plan->programme_of[0][s]].start);
    add_season_days(builder, "north", season, false);
    add_season_days(builder, "south", season, true);
    add_order(builder, plan, season);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
  /* What the map opens with: sowing dates of the first season's most common pick. */
  int first = isw_guide_chosen_variety(plan, isw_guide_read_pick(facts->table, 0, 0).variety);
  add_int(builder, "firstSeason", 0);
  add_int(builder, "firstVariety", MAX(first, 0));
}

/* The sheet's calendar lines, as isw_survey_list_events dates them. */
static void add_tasks(JsonBuilder *builder, const struct isw_sheet *sheet) {
  static const char *const anchors[] = {[ISW_AT_SOWING] = "sowing",
                                        [ISW_AT_TRANSPLANT] = "transplant",
                                        [ISW_AT_HARVEST] = "harvest",
                                        [ISW_AT_STAGE] = "stage"};
  add_int(builder, "manureDays", ISW_MANURE_DAYS);
  json_builder_set_member_name(builder, "tasks");
  json_builder_begin_array(builder);
  for (int t = 0; t < sheet->n_tasks; t++) {
    json_builder_begin_object(builder);
    add_text(builder, "at", anchors[sheet->tasks[t].anchor]);
    add_int(builder, "stage", sheet->tasks[t].stage);
    add_int(builder, "day", sheet->tasks[t].day);
    add_text(builder, "text", sheet->tasks[t].text);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
}

static void add_colours(JsonBuilder *builder) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  json_builder_set_member_name(builder, "periodColours");
  json_builder_begin_array(builder);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) add_colour(builder, colours[i]);
  json_builder_end_array(builder);
}

/* Millionths of a degree, or null. */
static void add_degrees(JsonBuilder *builder, double degrees) {
  if (isfinite(degrees))
    json_builder_add_int_value(builder, (gint64)floor(degrees * micro + 0.5));
  else
    json_builder_add_null_value(builder);
}

static enum isw_status add_lattice(JsonBuilder *builder, const struct isw_grid *grid,
                                   struct isw_error *error) {
  struct isw_locator *locator;
  enum isw_status status = isw_climate_new_locator(grid, &locator, error);
  if (status != ISW_OK) return status;
  int step = MAX(1, (MAX(grid->width, grid->height) + LATTICE_PARTS - 1) / LATTICE_PARTS);
  int cols = (grid->width + step - 1) / step + 1, rows = (grid->height + step - 1) / step + 1;
  double *lat = g_new(double, (gsize)cols *(gsize)rows),
         *lon = g_new(double, (gsize)cols *(gsize)rows);
  double last_lon = NAN;
  for (int j = 0; j < rows; j++) {
    /* Each row goes on from the start of the row above, so that 180 degrees is no cliff. */
    if (j > 0 && isfinite(lon[(j - 1) * cols])) last_lon = lon[(j - 1) * cols];
    for (int i = 0; i < cols; i++) {
      int k = j * cols + i;
      if (!isw_climate_locate_cell(locator, i * step, j * step, &lat[k], &lon[k]))
        lat[k] = lon[k] = NAN;
      if (!isfinite(lon[k])) continue;
      if (isfinite(last_lon)) lon[k] = last_lon + remainder(lon[k] - last_lon, 360.0);
      last_lon = lon[k];
    }
  }
  json_builder_set_member_name(builder, "lattice");
  json_builder_begin_object(builder);
  add_int(builder, "step", step);
  add_int(builder, "cols", cols);
  add_int(builder, "rows", rows);
  const struct {
    const char *name;
    const double *values;
  } both[] = {{"lat", lat}, {"lon", lon}};
  for (size_t b = 0; b < G_N_ELEMENTS(both); b++) {
    json_builder_set_member_name(builder, both[b].name);
    json_builder_begin_array(builder);
    for (int k = 0; k < cols * rows; k++) add_degrees(builder, both[b].values[k]);
    json_builder_end_array(builder);
  }
  json_builder_end_object(builder);
  isw_climate_free_locator(locator);
  g_free(lat);
  g_free(lon);
  return ISW_OK;
}

/* Width of a cell over its height on the ground, in the middle of the grid. */
static double cell_aspect(const struct isw_grid *grid) {
  static const double least = 0.2, most = 5.0;
  const double *t = grid->transform;
  double aspect = fabs(t[1] / t[5]);
  if (grid->geographic) {
    double middle_deg = t[3] + t[5] * grid->height / 2.0;
    aspect *= cos(middle_deg * G_PI / 180.0);
  }
  return isfinite(aspect) ? CLAMP(aspect, least, most) : 1.0;
}

static enum isw_status add_grid(JsonBuilder *builder, const struct isw_guide_facts *facts,
                                struct isw_error *error) {
  const struct isw_region_grid *region = facts->region;
  json_builder_set_member_name(builder, "grid");
  json_builder_begin_object(builder);
  add_int(builder, "width", region->width);
  add_int(builder, "height", region->height);
  add_int(builder, "fullWidth", facts->grid->width);
  add_int(builder, "fullHeight", facts->grid->height);
  add_int(builder, "step", region->step);
  json_builder_set_member_name(builder, "aspect");
  json_builder_add_double_value(builder, cell_aspect(facts->grid));
  add_flag(builder, "mirrored", facts->grid->transform[1] < 0.0);
  add_flag(builder, "upsideDown", facts->grid->transform[5] > 0.0);
  enum isw_status status = add_lattice(builder, facts->grid, error);
  json_builder_end_object(builder);
  return status;
}

static void add_cells(JsonBuilder *builder, const struct isw_guide_facts *facts) {
  const struct isw_region_grid *region = facts->region;
  const struct isw_plan *plan = facts->plan;
  size_t cells = (size_t)region->width * (size_t)region->height, n = 0;
  int16_t *values = g_new(int16_t, cells * ISW_CELL_BANDS);
  size_t *valid = g_new(size_t, cells);
  for (size_t i = 0; i < cells; i++) {
    values[i] = region->flags[i];
    if (region->flags[i] & ISW_CELL_VALID) valid[n++] = i;
  }
  json_builder_set_member_name(builder, "flags");
  add_packed(builder, values, cells);
  json_builder_set_member_name(builder, "district");
  add_packed(builder, region->area, cells);
  json_builder_set_member_name(builder, "picks");
  json_builder_begin_array(builder);
  for (int s = 0; s < plan->n_seasons; s++) {
    for (size_t i = 0; i < n; i++) values[i] = region->picks[s][valid[i]];
    add_packed(builder, values, n);
  }
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "results");
  json_builder_begin_array(builder);
  for (int r = 0; r < plan->n_varieties * plan->n_seasons; r++) {
    for (size_t b = 0; b < G_N_ELEMENTS(page_bands); b++)
      for (size_t i = 0; i < n; i++)
        values[b * n + i] = region->bands[r][valid[i] * ISW_CELL_BANDS + page_bands[b]];
    add_packed(builder, values, n * G_N_ELEMENTS(page_bands));
  }
  json_builder_end_array(builder);
  g_free(valid);
  g_free(values);
}

/* Names of the bands, the texts of those that are texts, and the bands of each season. */
static void add_details(JsonBuilder *builder, const struct isw_guide_facts *facts) {
  static const char *const names[ISW_DETAIL_STAGES] = {
      "start",     "limit",    "wait",       "edge",     "also",         "better",
      "nothing",   "opens",    "manure",     "opener",   "transplant",   "harvest",
      "cut_first", "cut_last", "frost_from", "frost_to", "bolting_from", "bolting_to"};
  const struct isw_place_details *details = facts->details;
  const struct isw_region_grid *region = facts->region;
  size_t cells = (size_t)region->width * (size_t)region->height, n_bands = (size_t)details->n_bands;
  json_builder_set_member_name(builder, "detailBands");
  json_builder_begin_array(builder);
  for (int b = 0; b < ISW_DETAIL_STAGES; b++) json_builder_add_string_value(builder, names[b]);
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "stages");
  json_builder_begin_array(builder);
  for (int k = 0; k < facts->plan->sheet->n_stages; k++)
    json_builder_add_string_value(builder, facts->plan->sheet->varieties[0].stages[k].title);
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "texts");
  json_builder_begin_array(builder);
  for (guint i = 0; i < details->texts->len; i++)
    json_builder_add_string_value(builder, details->texts->pdata[i]);
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "details");
  json_builder_begin_array(builder);
  int16_t *values = g_new(int16_t, cells * n_bands);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    size_t n = 0;
    for (size_t b = 0; b < n_bands; b++)
      for (size_t i = 0; i < cells; i++)
        if (region->flags[i] & ISW_CELL_VALID) values[n++] = details->bands[s][i * n_bands + b];
    add_packed(builder, values, n);
  }
  json_builder_end_array(builder);
  g_free(values);
}

/* Classes of the map of what opens a season, by code; none where nobody asked for it. */
static void add_openings(JsonBuilder *builder, const struct isw_guide_facts *facts) {
  const struct isw_sheet *sheet = facts->plan->sheet;
  json_builder_set_member_name(builder, "openings");
  json_builder_begin_array(builder);
  const int n = facts->opens != NULL ? ISW_OPENS_CODE_FIRST_SHELTER + sheet->n_shelters : 0;
  for (int code = 0; code < n; code++) {
    const int shelter = code - ISW_OPENS_CODE_FIRST_SHELTER;
    char *name = shelter >= 0
                     ? isw_words_say(ISW_SAY_LEGEND_OPENS_UNDER, sheet->shelters[shelter].title)
                     : g_strdup(isw_words_text(code == ISW_OPENS_CODE_NOTHING
                                                   ? ISW_SAY_LEGEND_OPENS_NOT
                                                   : ISW_SAY_LEGEND_OPEN_ALREADY));
    json_builder_begin_object(builder);
    add_text(builder, "name", name);
    json_builder_set_member_name(builder, "colour");
    if (code == ISW_OPENS_CODE_NOTHING)
      json_builder_add_null_value(builder);
    else
      add_colour(builder, isw_chart_opens_fill(code).ground);
    json_builder_end_object(builder);
    g_free(name);
  }
  json_builder_end_array(builder);
}

static void add_districts(JsonBuilder *builder, const struct isw_guide_facts *facts) {
  json_builder_set_member_name(builder, "districts");
  json_builder_begin_array(builder);
  for (int d = 0; d < facts->areas->n; d++) {
    json_builder_begin_object(builder);
    add_text(builder, "name", facts->areas->items[d].name);
    add_int(builder, "cell", facts->sites->sites[d].cell);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
}

/* How a place's real years went: the cell whose card shows it, a heading and paragraphs. */
static void add_record(JsonBuilder *builder, const struct isw_guide_facts *facts,
                       const struct isw_guide_site *site) {
  GPtrArray *lines = isw_guide_record_lines(facts, site, false);
  if (lines == NULL) return;
  add_int(builder, "cell", site->cell);
  json_builder_set_member_name(builder, "record");
  json_builder_begin_array(builder);
  for (guint i = 0; i < lines->len; i++) json_builder_add_string_value(builder, lines->pdata[i]);
  json_builder_end_array(builder);
  g_ptr_array_unref(lines);
}

/* The named places, for who looks for one by its name. */
static void add_places(JsonBuilder *builder, const struct isw_guide_facts *facts) {
  const struct isw_place_list *places = facts->page->places;
  json_builder_set_member_name(builder, "places");
  json_builder_begin_array(builder);
  for (int i = 0; places != NULL && i < places->count; i++) {
    json_builder_begin_object(builder);
    add_text(builder, "name", places->items[i].name);
    json_builder_set_member_name(builder, "at");
    json_builder_begin_array(builder);
    add_degrees(builder, places->items[i].lat_deg);
    add_degrees(builder, places->items[i].lon_deg);
    json_builder_end_array(builder);
    add_record(builder, facts, &facts->sites->named[i]);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
}

/* In JSON these three stand inside strings only. */
static char *escape_for_script(const char *json) {
  GString *text = g_string_sized_new(strlen(json) + 64);
  for (const char *c = json; *c != '\0'; c++) {
    if (*c == '<' || *c == '>' || *c == '&')
      g_string_append_printf(text, "\\u%04x", (unsigned)*c);
    else
      g_string_append_c(text, *c);
  }
  return g_string_free(text, FALSE);
}

enum isw_status isw_guide_make_page_data(const struct isw_guide_facts *facts, char **out,
                                         struct isw_error *error) {
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  add_words(builder);
  add_bands(builder);
  add_names(builder, facts);
  add_tasks(builder, facts->plan->sheet);
  add_flag(builder, "hasChilling", facts->plan->sheet->has_chilling);
  add_text(builder, "chillingMakes", isw_words_chilling_makes(facts->plan->sheet));
  add_colours(builder);
  enum isw_status status = add_grid(builder, facts, error);
  add_openings(builder, facts);
  add_districts(builder, facts);
  add_places(builder, facts);
  add_cells(builder, facts);
  add_details(builder, facts);
  json_builder_end_object(builder);
  if (status == ISW_OK) {
    JsonNode *root = json_builder_get_root(builder);
    char *json = json_to_string(root, FALSE);
    *out = escape_for_script(json);
    g_free(json);
    json_node_unref(root);
  }
  g_object_unref(builder);
  return status;
}
