#include "guide/place_details.h"

#include "base/interrupt.h"
#include "survey/cell_normals.h"
#include "survey/opens_map.h"
#include "survey/place_crops.h"
#include "survey/place_types.h"
#include "words/place_words.h"

enum { CHUNK = 64 }; /* places held at a time, in full some 60 kB each */

struct maker {
  const struct isw_region_grid *region;
  struct isw_place_details *details;
  GHashTable *numbers; /* text -> number + 1 */
  int threads, n;
  bool fahrenheit;
  struct isw_site sites[CHUNK];
  int cells[CHUNK];
};

/* Takes text. */
static int16_t number_text(struct maker *maker, char *text) {
  if (text == NULL || text[0] == '\0') {
    g_free(text);
    return 0;
  }
  gpointer known = g_hash_table_lookup(maker->numbers, text);
  if (known != NULL) {
    g_free(text);
    return (int16_t)(GPOINTER_TO_INT(known) - 1);
  }
  int number = (int)maker->details->texts->len;
  if (number > INT16_MAX) { /* not with any sheet that can be read */
    g_free(text);
    return 0;
  }
  g_ptr_array_add(maker->details->texts, text);
  g_hash_table_insert(maker->numbers, text, GINT_TO_POINTER(number + 1));
  return (int16_t)number;
}

static int16_t tenths_of_percent(double share) {
  return (int16_t)isw_growth_round_tenths(100.0 * share);
}

/* Also of a risky type, which has no dates to work by. */
static void take_odds(struct maker *maker, const struct isw_words_place *about,
                      const struct isw_place_crop *crop, int16_t *bands) {
  const struct isw_plan *plan = about->plan;
  const struct isw_place_result *result = isw_survey_crop_result(plan, about->place, crop);
  bands[ISW_DETAIL_LIMIT] =
      number_text(maker, isw_words_limit(about, isw_survey_crop_programme(plan, crop), result));
  struct isw_risk_range odds =
      isw_survey_risk_range(plan, about->place, crop->variety, crop->season);
  bands[ISW_DETAIL_FROST_FROM] = tenths_of_percent(odds.frost_least);
  bands[ISW_DETAIL_FROST_TO] = tenths_of_percent(odds.frost_most);
  bands[ISW_DETAIL_BOLTING_FROM] = tenths_of_percent(odds.bolt_least);
  bands[ISW_DETAIL_BOLTING_TO] = tenths_of_percent(odds.bolt_most);
}

static char *word_further_windows(const struct isw_place_result *result) {
  char *text = NULL;
  for (int i = 0; i < result->n_other_windows; i++)
    if (result->other_windows[i].days >= ISW_PICK_WINDOW_DAYS)
      text = isw_words_join(text, isw_words_also_good(result->other_windows[i]));
  return text;
}

static void take_window(struct maker *maker, const struct isw_words_place *about,
                        const struct isw_place_crop *crop, int16_t *bands) {
  const struct isw_plan *plan = about->plan;
  const struct isw_place_result *result = isw_survey_crop_result(plan, about->place, crop);
  int v = crop->variety, s = crop->season;
  bands[ISW_DETAIL_START] =
      number_text(maker, isw_words_start(about, isw_survey_crop_programme(plan, crop), result));
  bands[ISW_DETAIL_WAIT] = number_text(maker, isw_words_wait(about, crop));
  bands[ISW_DETAIL_EDGE] = number_text(maker, isw_words_edge(about, v, s));
  bands[ISW_DETAIL_ALSO] = number_text(maker, word_further_windows(result));
  bands[ISW_DETAIL_BETTER] = number_text(maker, isw_words_better_type(about, v, s));
  bands[ISW_DETAIL_TRANSPLANT] = (int16_t)(result->result.transplant_day + 1);
  bands[ISW_DETAIL_HARVEST] = (int16_t)(result->result.harvest_day + 1);
  int first_cut, last_cut;
  isw_survey_cut_after(plan, about->place, crop, &first_cut, &last_cut);
  bands[ISW_DETAIL_CUT_FIRST] = (int16_t)first_cut;
  bands[ISW_DETAIL_CUT_LAST] = (int16_t)last_cut;
  struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
  int n = isw_survey_list_events(plan, about->place, crop, events);
  for (int i = 0; i < n; i++)
    if (events[i].kind == ISW_EVENT_MANURE) bands[ISW_DETAIL_MANURE] = (int16_t)events[i].after;
  for (int k = 0; k < result->sowing.n_stages; k++)
    bands[ISW_DETAIL_STAGES + k] = (int16_t)result->sowing.runs[k].from_after;
}

static void take_season(struct maker *maker, const struct isw_place *place, int s, int16_t *bands) {
  const struct isw_plan *plan = maker->region->plan;
  struct isw_words_place about = {.plan = plan, .place = place, .fahrenheit = maker->fahrenheit};
  struct isw_pick pick = place->seasons[s].pick;
  bands[ISW_DETAIL_OPENS] = number_text(maker, isw_words_opening(&about, s));
  const struct isw_opening *opening = &place->seasons[s].opening;
  bands[ISW_DETAIL_OPENER] = opening->by == ISW_OPENS_ITSELF ? ISW_OPENS_CODE_ALREADY
                             : opening->by == ISW_OPENS_SHELTER
                                 ? (int16_t)(ISW_OPENS_CODE_FIRST_SHELTER + opening->shelter)
                                 : ISW_OPENS_CODE_NOTHING;
  int v = 0;
  while (v < plan->n_varieties && plan->varieties[v] != pick.variety) v++;
  if (v == plan->n_varieties) {
    bands[ISW_DETAIL_NOTHING] = number_text(maker, isw_words_no_pick(&about, s));
    return;
  }
  struct isw_place_crop crop = {
      .n_seasons = 1, .seasons = {s}, .variety = v, .season = s, .risky = pick.risky};
  take_odds(maker, &about, &crop, bands);
  if (!pick.risky) take_window(maker, &about, &crop, bands);
}

static void take_chunk(struct maker *maker) {
  struct isw_place *places[CHUNK];
  const struct isw_plan *plan = maker->region->plan;
  isw_survey_new_places(plan, maker->n, maker->sites, maker->threads, true, places);
  for (int i = 0; i < maker->n; i++) {
    size_t at = (size_t)maker->cells[i] * (size_t)maker->details->n_bands;
    for (int s = 0; s < plan->n_seasons; s++)
      take_season(maker, places[i], s, maker->details->bands[s] + at);
    isw_survey_free_place(places[i]);
  }
  maker->n = 0;
}

static void add_cell(struct maker *maker, int cell, const float *normals, float year_spread_K,
                     uint8_t flags) {
  struct isw_site *site = &maker->sites[maker->n];
  *site = (struct isw_site){
      .name = "", .lat_text = "", .lon_text = "", .south = (flags & ISW_CELL_SOUTH) != 0};
  isw_survey_take_normals(normals, year_spread_K, &site->normals);
  maker->cells[maker->n++] = cell;
  if (maker->n == CHUNK) take_chunk(maker);
}

static enum isw_status take_row(struct maker *maker, struct isw_climate *climate, int row,
                                int full_width, float *normals, float *year_spread_K,
                                uint8_t *flags, struct isw_error *error) {
  const struct isw_region_grid *region = maker->region;
  int col, full_row;
  isw_guide_full_cell(region, row * region->width, &col, &full_row);
  enum isw_status status = isw_climate_read_cells(climate, 0, full_row, full_width, 1, normals,
                                                  year_spread_K, flags, error);
  for (int i = 0; i < region->width && status == ISW_OK; i++) {
    int cell = row * region->width + i;
    isw_guide_full_cell(region, cell, &col, &full_row);
    if (region->flags[cell] & ISW_CELL_VALID)
      add_cell(maker, cell, normals + (size_t)col * ISW_CELL_NORMALS, year_spread_K[col],
               flags[col]);
  }
  return status;
}

enum isw_status isw_guide_new_details(struct isw_climate *climate,
                                      const struct isw_region_grid *region, int threads,
                                      bool fahrenheit, struct isw_place_details **out,
                                      struct isw_error *error) {
  const struct isw_plan *plan = region->plan;
  struct isw_place_details *details = g_new0(struct isw_place_details, 1);
  size_t cells = (size_t)region->width * (size_t)region->height;
  details->n_bands = ISW_DETAIL_STAGES + plan->sheet->n_stages;
  details->bands = g_new(int16_t *, (size_t)plan->n_seasons);
  for (int s = 0; s < plan->n_seasons; s++)
    details->bands[s] = g_new0(int16_t, cells * (size_t)details->n_bands);
  details->texts = g_ptr_array_new_with_free_func(g_free);
  g_ptr_array_add(details->texts, g_strdup(""));
  struct maker *maker = g_new0(struct maker, 1);
  maker->region = region;
  maker->details = details;
  maker->threads = threads;
  maker->fahrenheit = fahrenheit;
  maker->numbers = g_hash_table_new(g_str_hash, g_str_equal);
  int full_width = isw_climate_grid(climate)->width;
  float *normals = g_new(float, (size_t)full_width *ISW_CELL_NORMALS);
  float *year_spread_K = g_new(float, (size_t)full_width);
  uint8_t *flags = g_new(uint8_t, (size_t)full_width);
  enum isw_status status = ISW_OK;
  for (int row = 0; row < region->height && status == ISW_OK; row++) {
    status = take_row(maker, climate, row, full_width, normals, year_spread_K, flags, error);
    if (status == ISW_OK && isw_base_interrupted_by())
      status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted; no results were changed");
  }
  if (status == ISW_OK && maker->n > 0) take_chunk(maker);
  g_free(flags);
  g_free(year_spread_K);
  g_free(normals);
  g_hash_table_unref(maker->numbers);
  g_free(maker);
  if (status == ISW_OK)
    *out = details;
  else
    isw_guide_free_details(details, region);
  return status;
}

void isw_guide_free_details(struct isw_place_details *details,
                            const struct isw_region_grid *region) {
  if (details == NULL) return;
  for (int s = 0; s < region->plan->n_seasons; s++) g_free(details->bands[s]);
  g_free(details->bands);
  g_ptr_array_unref(details->texts);
  g_free(details);
}
