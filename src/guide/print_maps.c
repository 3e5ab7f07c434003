#include "guide/print_maps.h"

#include "chart/districts.h"
#include "chart/map_panel.h"
#include "chart/map_words.h"
#include "guide/guide_words.h"
#include "output/opens_rasters.h"
#include "output/window_rasters.h"
#include "words/say.h"

static const double panel_most_mm = 118.0, panel_least_mm = 48.0, panel_heading_mm = 8.0,
                    second_line_mm = 4.0;
static const double panel_scale = 0.88; /* of lettering, against a map that has a page to itself */
static const double column_gap_mm = 6.0;
static const double two_columns_below = 1.3; /* width over height of the region */

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].title;
}

/* What the numbers on the maps mean; nothing where they have names. */
static void print_key(struct isw_print *print, const void *self) {
  const struct isw_guide_facts *facts = self;
  if (!facts->numbered) return;
  char *names = NULL;
  for (int d = 0; d < isw_regions_district_count(facts->districts); d++) {
    if (isw_regions_district_size(facts->districts, d) == 0) continue; /* not on the map */
    char number[16];
    g_snprintf(number, sizeof number, "%d", d + 1);
    char *name = isw_words_say(ISW_SAY_GUIDE_NUMBERED_NAME, number,
                               isw_regions_district_name(facts->districts, d));
    char *more = names != NULL ? isw_words_say(ISW_SAY_GUIDE_MORE, names, name) : g_strdup(name);
    g_free(names);
    g_free(name);
    names = more;
  }
  if (names == NULL) return;
  char *key = isw_words_say(ISW_SAY_GUIDE_DISTRICTS_KEY, names);
  isw_guide_print_text(print, ISW_PRINT_SMALL, key);
  g_free(key);
  g_free(names);
}

static struct isw_pen panel_pen(const struct isw_print *print) {
  struct isw_pen pen = print->pen;
  pen.scale = panel_scale;
  pen.spans = false; /* a map is one figure */
  return pen;
}

/* Both sides' sowing dates take two lines over a column. */
static double heading_mm(const struct isw_guide_maps *maps) {
  bool two_lines = maps->columns > 1 && maps->facts->page->both_hemispheres;
  return panel_heading_mm + (two_lines ? second_line_mm : 0.0);
}

/* Size of a panel, its heading aside, where n of them share what is left of the page. */
static struct isw_box panel_size(const struct isw_print *print, const struct isw_guide_maps *maps,
                                 int n) {
  double key_mm = isw_guide_measure_print(print, print_key, maps->facts);
  int rows = (MAX(n, 1) + maps->columns - 1) / maps->columns;
  double height_mm = (isw_guide_room_left(print) - key_mm) / rows - heading_mm(maps);
  return (struct isw_box){
      .width_mm = (print->width_mm - (maps->columns - 1) * column_gap_mm) / maps->columns,
      .height_mm = CLAMP(height_mm, panel_least_mm, panel_most_mm)};
}

/* A map in words, for those who do not see it. New. */
typedef char *describe_panel(const struct isw_guide_maps *maps, int v, int s);

static char *describe_pick(const struct isw_guide_maps *maps, int v, int s) {
  (void)v;
  const struct isw_plan *plan = maps->facts->plan;
  struct isw_map_words words;
  isw_chart_word_pick_map(&maps->page, plan->sheet, &plan->sheet->seasons[plan->seasons[s]],
                          isw_survey_pick_tally(maps->facts->tally, s), &words);
  char *description = g_strdup(words.description);
  isw_chart_clear_words(&words);
  return description;
}

static char *describe_opens(const struct isw_guide_maps *maps, int v, int s) {
  (void)v;
  const struct isw_plan *plan = maps->facts->plan;
  struct isw_map_words words;
  isw_chart_word_opens_map(&maps->page, plan, &plan->sheet->seasons[plan->seasons[s]],
                           &maps->facts->opens[s], &words);
  char *description = g_strdup(words.description);
  isw_chart_clear_words(&words);
  return description;
}

static char *describe_sowing(const struct isw_guide_maps *maps, int v, int s) {
  const struct isw_plan *plan = maps->facts->plan;
  struct isw_map_words words;
  isw_chart_word_sowing_map(
      &maps->page, &plan->sheet->varieties[plan->varieties[v]],
      &plan->sheet->seasons[plan->seasons[s]],
      isw_survey_result_tally(maps->facts->tally, isw_growth_result_index(plan, v, s)), &words);
  char *description = g_strdup(words.description);
  isw_chart_clear_words(&words);
  return description;
}

/* One panel below its heading. */
typedef enum isw_status draw_panel(struct isw_pen *pen, const struct isw_guide_maps *maps, int v,
                                   int s, struct isw_box box, struct isw_error *error);

static enum isw_status draw_pick(struct isw_pen *pen, const struct isw_guide_maps *maps, int v,
                                 int s, struct isw_box box, struct isw_error *error) {
  (void)v;
  const struct isw_plan *plan = maps->facts->plan;
  char *name = isw_output_pick_name(plan, s, ".tif");
  enum isw_status status =
      isw_chart_draw_pick_panel(pen, &maps->page, isw_output_temporary_path(maps->folder, name),
                                plan, &plan->sheet->seasons[plan->seasons[s]],
                                isw_survey_pick_tally(maps->facts->tally, s), box, error);
  g_free(name);
  return status;
}

static enum isw_status draw_sowing(struct isw_pen *pen, const struct isw_guide_maps *maps, int v,
                                   int s, struct isw_box box, struct isw_error *error) {
  const struct isw_plan *plan = maps->facts->plan;
  char *name = isw_output_result_name(plan, v, s, ".tif");
  enum isw_status status = isw_chart_draw_sowing_panel(
      pen, &maps->page, isw_output_temporary_path(maps->folder, name),
      &plan->sheet->varieties[plan->varieties[v]], &plan->sheet->seasons[plan->seasons[s]],
      isw_survey_result_tally(maps->facts->tally, isw_growth_result_index(plan, v, s)), box, error);
  g_free(name);
  return status;
}

static enum isw_status draw_opens(struct isw_pen *pen, const struct isw_guide_maps *maps, int v,
                                  int s, struct isw_box box, struct isw_error *error) {
  (void)v;
  const struct isw_plan *plan = maps->facts->plan;
  char *name = isw_output_opens_name(plan, s, ".tif");
  enum isw_status status = isw_chart_draw_opens_panel(
      pen, &maps->page, isw_output_temporary_path(maps->folder, name), plan,
      &plan->sheet->seasons[plan->seasons[s]], &maps->facts->opens[s], box, error);
  g_free(name);
  return status;
}

/* A panel for each season that has a heading. */
static enum isw_status print_panels(struct isw_print *print, const struct isw_guide_maps *maps,
                                    draw_panel *draw, describe_panel *describe, int v,
                                    char *const *headings, struct isw_error *error) {
  int n = 0, shown[ISW_SEASONS_MAX];
  for (int s = 0; s < maps->facts->plan->n_seasons; s++)
    if (headings[s] != NULL) shown[n++] = s;
  struct isw_box box = panel_size(print, maps, n);
  struct isw_pen pen = panel_pen(print);
  enum isw_status status = ISW_OK;
  for (int i = 0; i < n && status == ISW_OK; i++) {
    const int s = shown[i], column = i % maps->columns;
    if (column == 0) isw_guide_need_room(print, box.height_mm + heading_mm(maps) - 1.0);
    box.x_mm = print->left_mm + column * (box.width_mm + column_gap_mm);
    isw_guide_print_beside(print, ISW_PRINT_BODY, box.x_mm, box.width_mm, headings[s]);
    box.y_mm = print->y_mm + heading_mm(maps) - 1.0;
    char *alternative = describe(maps, v, s);
    isw_guide_begin_figure(&print->structure, alternative);
    g_free(alternative);
    status = draw(&pen, maps, v, s, box, error);
    isw_guide_end_figure(&print->structure);
    if (column == maps->columns - 1 || i == n - 1) print->y_mm += box.height_mm + heading_mm(maps);
  }
  if (status == ISW_OK) print_key(print, maps->facts);
  return status;
}

enum isw_status isw_guide_print_pick_maps(struct isw_print *print,
                                          const struct isw_guide_maps *maps,
                                          struct isw_error *error) {
  const struct isw_plan *plan = maps->facts->plan;
  char *headings[ISW_SEASONS_MAX];
  for (int s = 0; s < plan->n_seasons; s++) {
    char *capital = isw_words_capital(season_name(plan, s));
    headings[s] = isw_words_say(ISW_SAY_GUIDE_PICK_MAP, capital);
    g_free(capital);
  }
  enum isw_status status = print_panels(print, maps, draw_pick, describe_pick, 0, headings, error);
  for (int s = 0; s < plan->n_seasons; s++) g_free(headings[s]);
  return status;
}

/* Is the season closed anywhere as it is? */
static bool lacks_window(const struct isw_guide_facts *facts, int s) {
  for (int code = 0; code < ISW_OPENS_CODES_MAX; code++)
    if (code != ISW_OPENS_CODE_ALREADY && facts->opens[s].code_m2[code] > 0.0) return true;
  return false;
}

enum isw_status isw_guide_print_opens_maps(struct isw_print *print,
                                           const struct isw_guide_maps *maps,
                                           struct isw_error *error) {
  const struct isw_plan *plan = maps->facts->plan;
  char *headings[ISW_SEASONS_MAX] = {NULL};
  bool any = false;
  for (int s = 0; s < plan->n_seasons && maps->facts->opens != NULL; s++) {
    if (!lacks_window(maps->facts, s)) continue;
    any = true;
    char *capital = isw_words_capital(season_name(plan, s));
    headings[s] = isw_words_say(ISW_SAY_GUIDE_OPENS_MAP, capital);
    g_free(capital);
  }
  if (!any) return ISW_OK;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_OPENS));
  isw_guide_print_text(print, ISW_PRINT_BODY, isw_words_text(ISW_SAY_MAP_OPENS_WHAT));
  enum isw_status status =
      print_panels(print, maps, draw_opens, describe_opens, 0, headings, error);
  for (int s = 0; s < plan->n_seasons; s++) g_free(headings[s]);
  return status;
}

enum isw_status isw_guide_print_sowing_maps(struct isw_print *print,
                                            const struct isw_guide_maps *maps, int v,
                                            struct isw_error *error) {
  const struct isw_plan *plan = maps->facts->plan;
  char *headings[ISW_SEASONS_MAX];
  for (int s = 0; s < plan->n_seasons; s++) {
    char *dates = isw_guide_season_dates(maps->facts, s);
    char *capital = isw_words_capital(season_name(plan, s));
    headings[s] = isw_words_say(ISW_SAY_GUIDE_SOWING_MAP, capital, dates);
    g_free(dates);
    g_free(capital);
  }
  enum isw_status status =
      print_panels(print, maps, draw_sowing, describe_sowing, v, headings, error);
  for (int s = 0; s < plan->n_seasons; s++) g_free(headings[s]);
  return status;
}

/* Do all districts' names find room in this frame without covering it? */
static enum isw_status names_fit(struct isw_print *print, const struct isw_guide_maps *maps,
                                 const struct isw_map_source *source, struct isw_map_frame frame,
                                 bool *fit, struct isw_error *error) {
  static const double covered_most = 0.14;
  const struct isw_district_set *districts = maps->facts->districts;
  struct isw_pen pen = panel_pen(print);
  struct isw_label_space space;
  isw_chart_init_label_space(&space, frame.box);
  GPtrArray *names = NULL;
  enum isw_status status = isw_chart_place_district_names(
      &pen, source, &frame, maps->page.districts, false, &space, &names, error);
  if (status == ISW_OK) {
    double covered = 0.0;
    for (guint i = 0; i < space.taken->len; i++) {
      const struct isw_label_box *box = &g_array_index(space.taken, struct isw_label_box, i);
      covered += 4.0 * box->half_width_mm * box->half_height_mm;
    }
    *fit = covered <= covered_most * frame.box.width_mm * frame.box.height_mm;
    for (int d = 0; d < isw_regions_district_count(districts); d++) {
      bool found = isw_regions_district_size(districts, d) == 0;
      for (guint i = 0; i < names->len && !found; i++)
        found = ((const struct isw_district_name *)g_ptr_array_index(names, i))->district == d;
      *fit = *fit && found;
    }
    g_ptr_array_unref(names);
  }
  isw_chart_clear_label_space(&space);
  return status;
}

enum isw_status isw_guide_arrange_maps(struct isw_print *print, struct isw_guide_maps *maps,
                                       bool *fit, struct isw_error *error) {
  static const double pixels_per_mm = 10.0;
  const struct isw_plan *plan = maps->facts->plan;
  char *name = isw_output_pick_name(plan, 0, ".tif");
  struct isw_map_source source;
  enum isw_status status =
      isw_chart_open_source(isw_output_temporary_path(maps->folder, name), maps->page.map_crs, 0,
                            ISW_PICK_NODATA, &source, error);
  g_free(name);
  if (status != ISW_OK) return status;
  double shape =
      isw_chart_cell_aspect(&source, source.data) * source.data.cols / MAX(source.data.rows, 1);
  maps->columns = shape < two_columns_below && plan->n_seasons > 1 ? 2 : 1;
  struct isw_box room = panel_size(print, maps, MAX(plan->n_seasons, 3));
  room.width_mm = maps->columns == 1 ? print->width_mm / 2.0 : room.width_mm;
  struct isw_map_frame frame = isw_chart_fit_frame(&source, room, pixels_per_mm);
  status = names_fit(print, maps, &source, frame, fit, error);
  isw_chart_close_source(&source);
  return status;
}
