/* DESIGN: page 1 answers: what to choose, the year by district, what to read first; page 2 the maps
 * of what to choose, page 3 the districts and how to read the rest; then for each variety a spread:
 * maps on an even page, numbers on the odd one after it, which face each other when printed on both
 * sides and bound; then the calendars, what did not fit on page 3, method, sources. Room that would
 * stay empty is ruled for the reader's own notes. */
#include "guide/print_guide.h"

#include <math.h>
#include <string.h>

#include "chart/districts.h"
#include "chart/map_panel.h"
#include "growth/pick.h"
#include "guide/guide_words.h"
#include "guide/print_calendar.h"
#include "guide/print_year.h"
#include "output/window_rasters.h"
#include "survey/area_share.h"
#include "words/date_words.h"
#include "words/say.h"

static const double panel_most_mm = 110.0, panel_least_mm = 48.0, panel_heading_mm = 8.0;
static const double panel_scale = 0.88; /* of lettering, against a map that has a page to itself */

struct guide_print {
  struct isw_print print;
  const struct isw_guide_facts *facts;
  struct isw_map_page map_page; /* districts and their names as the maps of the print show them */
  struct isw_folder *folder;
};

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].name;
}

/* ---- pages 1 and 2: picks ---- */

static char *range_words(const struct isw_table_row *row) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  if (!row->has_dates) return g_strdup("–");
  return g_strdup_printf("%s – %s", isw_guide_part_of_month(row->day[ISW_TABLE_SOW_FROM][1], from),
                         isw_guide_part_of_month(row->day[ISW_TABLE_SOW_TO][1], to));
}

static char *part_words(const struct isw_table_row *row, enum isw_table_date date) {
  char part[ISW_DATE_SIZE];
  return g_strdup(row->has_dates ? isw_guide_part_of_month(row->day[date][1], part) : "–");
}

/* Type, chosen on, sow, best, cut from, window on, score: what the summary tables share. New
 * strings. */
enum { PICK_TEXTS = 7 };
static void pick_texts(const struct isw_guide_facts *facts, int region, int s,
                       char *texts[PICK_TEXTS]) {
  struct isw_table_pick pick = isw_guide_read_pick(facts->table, region, s);
  int v = isw_guide_chosen_variety(facts->plan, pick.variety);
  struct isw_table_row row;
  isw_guide_read_row(facts->table, region, MAX(v, 0), s, &row);
  for (int i = 0; i < PICK_TEXTS; i++) texts[i] = NULL;
  if (row.area_km2 > 0.0) {
    texts[0] = isw_guide_pick_words(facts, pick);
    texts[1] = g_strdup_printf("%d\u00a0%%", isw_survey_share(pick.share, 1.0).percent);
  } else {
    texts[0] = g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_DATA));
  }
  if (row.area_km2 > 0.0 && v >= 0) {
    texts[2] = range_words(&row);
    texts[3] = part_words(&row, ISW_TABLE_BEST_SOW);
    texts[4] = part_words(&row, ISW_TABLE_HARVEST);
    texts[5] = g_strdup_printf("%d\u00a0%%", isw_survey_share(row.window_share, 1.0).percent);
    texts[6] = g_strdup_printf("%d", row.median_score);
  }
  for (int i = 0; i < PICK_TEXTS; i++)
    if (texts[i] == NULL) texts[i] = g_strdup("–");
}

static void free_texts(int n, char **texts) {
  for (int i = 0; i < n; i++) g_free(texts[i]);
}

static void print_pick_table(struct guide_print *guide) {
  static const struct isw_print_table table = {
      .n = 9,
      .width_mm = {14.5, 25.0, 36.0, 14.5, 31.0, 15.0, 15.5, 14.5, 12.0},
      .heads = {"Season", "Sowing dates looked at", "Type to choose", "Chosen on", "Sow", "Best",
                "Cut from", "Window on", "Score"}};
  const struct isw_guide_facts *facts = guide->facts;
  isw_guide_print_head(&guide->print, &table);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    char *texts[2 + PICK_TEXTS] = {isw_words_capital(season_name(facts->plan, s)),
                                   isw_guide_season_dates(facts, s)};
    pick_texts(facts, 0, s, texts + 2);
    isw_guide_print_row(&guide->print, &table, (const char *const *)texts);
    free_texts(2 + PICK_TEXTS, texts);
  }
  guide->print.y_mm += 1.5;
  isw_guide_print_text(&guide->print, ISW_PRINT_SMALL,
                       "Chosen on: share of the area on which this type is the one to choose. "
                       "Window on: share of the area on which it has days that are good for "
                       "sowing. Dates: the middle of the area. More on page 3.");
}

/* What the numbers on the maps mean; nothing where they have names. */
static void print_key(struct isw_print *print, const void *self) {
  const struct isw_guide_facts *facts = self;
  if (!facts->numbered) return;
  char *names = NULL;
  for (int d = 0; d < isw_regions_district_count(facts->districts); d++) {
    char *name = isw_guide_print_name(facts, d);
    char *more =
        names != NULL ? isw_words_say(ISW_SAY_GUIDE_KEY_MORE, names, name) : g_strdup(name);
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

static double panel_height(struct guide_print *guide, int n) {
  double key = isw_guide_measure_print(&guide->print, print_key, guide->facts);
  return CLAMP((isw_guide_room_left(&guide->print) - key) / MAX(n, 1) - panel_heading_mm,
               panel_least_mm, panel_most_mm);
}

static struct isw_pen panel_pen(const struct guide_print *guide) {
  struct isw_pen pen = guide->print.pen;
  pen.scale = panel_scale;
  return pen;
}

static struct isw_box panel_box(const struct isw_print *print, double height_mm) {
  return (struct isw_box){print->left_mm, print->y_mm, isw_guide_print_width_mm, height_mm};
}

static enum isw_status print_pick_maps(struct guide_print *guide, struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  struct isw_print *print = &guide->print;
  double height = panel_height(guide, plan->n_seasons);
  struct isw_pen pen = panel_pen(guide);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
    isw_guide_need_room(print, height + panel_heading_mm - 1.0);
    char *capital = isw_words_capital(season_name(plan, s));
    char *heading = g_strdup_printf("%s: the type to choose", capital);
    isw_guide_print_text(print, ISW_PRINT_BODY, heading);
    g_free(capital);
    g_free(heading);
    char *name = isw_output_pick_name(plan, s, ".tif");
    status = isw_chart_draw_pick_panel(
        &pen, &guide->map_page, isw_output_temporary_path(guide->folder, name), plan,
        &plan->sheet->seasons[plan->seasons[s]], isw_survey_pick_tally(guide->facts->tally, s),
        panel_box(print, height), error);
    g_free(name);
    print->y_mm += height + 1.0;
  }
  if (status == ISW_OK) print_key(print, guide->facts);
  return status;
}

/* ---- page 3: districts ---- */

static const struct isw_print_table district_table = {
    .n = 9,
    .width_mm = {25.0, 14.0, 36.0, 14.5, 30.5, 15.5, 15.5, 15.0, 12.0},
    .heads = {"District", "Season", "Type to choose", "Chosen on", "Sow", "Best", "Cut from",
              "Window on", "Score"}};

/* Rows from district `first` on while they fit, or all of them; returns the first that did not. */
static int print_districts(struct guide_print *guide, int first, bool all) {
  const struct isw_guide_facts *facts = guide->facts;
  struct isw_print *print = &guide->print;
  isw_guide_print_head(print, &district_table);
  int d = first;
  for (; d < isw_regions_district_count(facts->districts); d++) {
    char *texts[ISW_SEASONS_MAX][2 + PICK_TEXTS];
    double height = 0.0;
    for (int s = 0; s < facts->plan->n_seasons; s++) {
      texts[s][0] = s == 0 ? isw_guide_print_name(facts, d) : g_strdup("");
      texts[s][1] = g_strdup(season_name(facts->plan, s));
      pick_texts(facts, 1 + d, s, texts[s] + 2);
      height += isw_guide_row_height(print, &district_table, (const char *const *)texts[s]);
    }
    bool fits = all || d == first || height < isw_guide_room_left(print) - 8.0;
    for (int s = 0; s < facts->plan->n_seasons; s++) {
      if (fits) isw_guide_print_row(print, &district_table, (const char *const *)texts[s]);
      free_texts(2 + PICK_TEXTS, texts[s]);
    }
    if (!fits) break;
  }
  print->y_mm += 2.0;
  return d;
}

/* ---- cautions, how to read ---- */

static void print_cautions(struct isw_print *print, const void *self) {
  char *caution;
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_READ_FIRST));
  for (int i = 0; (caution = isw_guide_caution(self, i)) != NULL; i++) {
    isw_guide_print_item(print, caution);
    g_free(caution);
  }
}

static void print_reading(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  isw_guide_print_text(print, ISW_PRINT_HEADING, "How to read the tables and maps");
  static const char *const reading[] = {
      "Sow: the window of good days, from its first to its last, at the middle of the district: on "
      "half of the area that has a window it begins (or ends) earlier, on half later. “early”, "
      "“mid” and “late” are the days 1 to 10, 11 to 20 and 21 to the end of a month.",
      "Best: the season's sowing day with the highest score. Cut from: when the heads of that "
      "sowing are ready. A window may reach past the season's own dates; the best day does not.",
      "Chosen on: the share of the area on which this type is the one to choose; elsewhere another "
      "one is, or none. Window on: the share of the area on which the type has a window.",
      "Score: 0 to 100, of the best day, at the middle of the area; below 50 poor, 50 to 69 risky, "
      "70 to 84 good, 85 and more very good.",
      "Risky: no type has a window, this one comes nearest. In the numbers of each type the two "
      "small dates are the quartiles: a quarter of the area is earlier than the first, a quarter "
      "later than the second."};
  for (size_t i = 0; i < G_N_ELEMENTS(reading); i++) isw_guide_print_item(print, reading[i]);
}

/* ---- spreads ---- */

static void turn_to_even_page(struct isw_print *print) {
  isw_guide_next_page(print);
  if (print->page % 2 == 1) {
    isw_guide_print_notes(print, "Notes");
    isw_guide_next_page(print);
  }
}

static enum isw_status print_sowing_maps(struct guide_print *guide, int v,
                                         struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  struct isw_print *print = &guide->print;
  double height = panel_height(guide, plan->n_seasons);
  struct isw_pen pen = panel_pen(guide);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
    const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
    isw_guide_need_room(print, height + panel_heading_mm - 1.0);
    char *dates = isw_guide_season_dates(guide->facts, s);
    char *capital = isw_words_capital(season->name);
    char *heading = g_strdup_printf("%s, sowing dates looked at: %s", capital, dates);
    isw_guide_print_text(print, ISW_PRINT_BODY, heading);
    g_free(dates);
    g_free(capital);
    g_free(heading);
    char *name = isw_output_result_name(plan, v, s, ".tif");
    status = isw_chart_draw_sowing_panel(
        &pen, &guide->map_page, isw_output_temporary_path(guide->folder, name),
        &plan->sheet->varieties[plan->varieties[v]], season,
        isw_survey_result_tally(guide->facts->tally, isw_growth_result_index(plan, v, s)),
        panel_box(print, height), error);
    g_free(name);
    print->y_mm += height + 1.0;
  }
  if (status == ISW_OK) print_key(print, guide->facts);
  return status;
}

static char *quartile_words(const struct isw_table_row *row, enum isw_table_date date) {
  char low[ISW_DATE_SIZE], middle[ISW_DATE_SIZE], high[ISW_DATE_SIZE];
  if (!row->has_dates) return g_strdup("–");
  return g_strdup_printf("%s\n%s – %s", isw_words_short_date(row->day[date][1], middle),
                         isw_words_short_date(row->day[date][0], low),
                         isw_words_short_date(row->day[date][2], high));
}

struct season_numbers {
  const struct isw_guide_facts *facts;
  int v, s;
  double pad_mm;
};

static void print_season(struct isw_print *print, const void *self) {
  const struct season_numbers *season = self;
  struct isw_print_table table = {.n = 8,
                                  .width_mm = {27.5, 15.0, 26.0, 26.0, 26.0, 26.0, 12.0, 19.5},
                                  .heads = {"District", "Window on", "Sow from", "Best", "Sow to",
                                            "Cut from", "Score", "Limited by"},
                                  .pad_mm = season->pad_mm};
  const struct isw_guide_facts *facts = season->facts;
  char *heading = isw_words_capital(season_name(facts->plan, season->s));
  isw_guide_print_text(print, ISW_PRINT_SUBHEADING, heading);
  g_free(heading);
  isw_guide_print_head(print, &table);
  for (int d = 0; d < isw_regions_district_count(facts->districts); d++) {
    struct isw_table_row row;
    isw_guide_read_row(facts->table, 1 + d, season->v, season->s, &row);
    char limit[ISW_LIMIT_NAME_SIZE];
    bool any = row.area_km2 > 0.0;
    char *texts[] = {
        isw_guide_print_name(facts, d),
        any ? g_strdup_printf("%d\u00a0%%", isw_survey_share(row.window_share, 1.0).percent)
            : g_strdup("–"),
        quartile_words(&row, ISW_TABLE_SOW_FROM),
        quartile_words(&row, ISW_TABLE_BEST_SOW),
        quartile_words(&row, ISW_TABLE_SOW_TO),
        quartile_words(&row, ISW_TABLE_HARVEST),
        any ? g_strdup_printf("%d", row.median_score) : g_strdup("–"),
        g_strdup(any ? isw_growth_limit_name(facts->plan->sheet, row.main_limit, limit) : "–")};
    isw_guide_print_row(print, &table, (const char *const *)texts);
    free_texts(G_N_ELEMENTS(texts), texts);
  }
}

/* Roomy where all seasons fit on the page so. */
static void print_numbers(struct guide_print *guide, int v) {
  static const double pads_mm[] = {2.0, 1.6, 1.2, 0.8};
  struct isw_print *print = &guide->print;
  isw_guide_print_text(print, ISW_PRINT_SMALL,
                       "Upper date: the middle of the district. Lower two: a quarter of its area "
                       "is earlier than the first, a quarter later than the second.");
  struct season_numbers season = {guide->facts, v, 0, 0.0};
  int n = guide->facts->plan->n_seasons;
  for (size_t i = 0; i < G_N_ELEMENTS(pads_mm); i++) {
    season.pad_mm = pads_mm[i];
    if (n * isw_guide_measure_print(print, print_season, &season) < isw_guide_room_left(print))
      break;
  }
  for (season.s = 0; season.s < n; season.s++) isw_guide_print_whole(print, print_season, &season);
  isw_guide_print_notes(print, "Notes");
}

static enum isw_status print_spread(struct guide_print *guide, int v, struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  const char *title = plan->sheet->varieties[plan->varieties[v]].title;
  turn_to_even_page(&guide->print);
  isw_guide_print_text(&guide->print, ISW_PRINT_HEADING, title);
  enum isw_status status = print_sowing_maps(guide, v, error);
  if (status != ISW_OK) return status;
  isw_guide_next_page(&guide->print);
  char *heading = g_strdup_printf("%s by district", title);
  isw_guide_print_text(&guide->print, ISW_PRINT_HEADING, heading);
  g_free(heading);
  print_numbers(guide, v);
  return ISW_OK;
}

/* ---- the end matter ---- */

static void print_calendars(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_TITLE, "Calendars");
  isw_guide_print_text(print, ISW_PRINT_LEAD,
                       "For the place most typical of each district; sown on the best day. Dates "
                       "are those of an average year.");
  for (int d = 0; d < isw_regions_district_count(guide->facts->districts); d++)
    isw_guide_print_calendar(print, guide->facts, d);
  isw_guide_print_notes(print, "Notes");
}

static void print_end(struct guide_print *guide) {
  const struct isw_guide_facts *facts = guide->facts;
  const struct isw_sheet *sheet = facts->plan->sheet;
  struct isw_print *print = &guide->print;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_METHOD));
  char *paragraph;
  for (int i = 0; (paragraph = isw_guide_method(facts, i)) != NULL; i++) {
    isw_guide_print_text(print, ISW_PRINT_BODY, paragraph);
    g_free(paragraph);
  }
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_SOURCES));
  if (facts->page->source_line != NULL) isw_guide_print_item(print, facts->page->source_line);
  for (int i = 0; i < sheet->n_sources; i++) isw_guide_print_item(print, sheet->sources[i]);
}

/* The year's picture goes on the first page that has room for it beside `reserved_mm` of other
 * things, drawn out a little where there is room; at last anywhere. */
static bool print_year(struct guide_print *guide, double reserved_mm, bool at_last) {
  static const double stretch_most = 1.5;
  struct isw_print *print = &guide->print;
  struct isw_guide_year year = {guide->facts, 1.0};
  double room = isw_guide_room_left(print) - reserved_mm;
  double height = isw_guide_measure_print(print, isw_guide_print_year, &year);
  bool fits = height < room;
  if (!fits && !at_last) return false;
  if (fits) {
    year.stretch = stretch_most;
    double grown = isw_guide_measure_print(print, isw_guide_print_year, &year);
    double share = (room - height) / (grown - height);
    year.stretch = 1.0 + (stretch_most - 1.0) * CLAMP(share, 0.0, 1.0);
  }
  isw_guide_print_year(print, &year);
  return true;
}

static void print_title(struct guide_print *guide, const char *lead) {
  const char *region = guide->facts->page->region_title;
  char *subject = isw_guide_subject(guide->facts);
  if (region != NULL && region[0] != '\0') {
    isw_guide_print_text(&guide->print, ISW_PRINT_TITLE, region);
    isw_guide_print_text(&guide->print, ISW_PRINT_SUBTITLE, subject);
  } else {
    isw_guide_print_text(&guide->print, ISW_PRINT_TITLE, subject);
  }
  g_free(subject);
  isw_guide_print_text(&guide->print, ISW_PRINT_LEAD, lead);
}

static enum isw_status print_all(struct guide_print *guide, const char *lead,
                                 struct isw_error *error) {
  struct isw_print *print = &guide->print;
  print_title(guide, lead);
  print_pick_table(guide);
  double cautions_mm = isw_guide_measure_print(print, print_cautions, guide->facts);
  bool year_done = print_year(guide, cautions_mm, false);
  isw_guide_print_whole(print, print_cautions, guide->facts);
  isw_guide_print_notes(print, "Your own dates, and what came of them");
  isw_guide_next_page(print);
  enum isw_status status = print_pick_maps(guide, error);
  if (status != ISW_OK) return status;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_HEADING, "Districts");
  int left = print_districts(guide, 0, false);
  bool more = left < isw_regions_district_count(guide->facts->districts);
  if (more) isw_guide_print_text(print, ISW_PRINT_SMALL, "Further districts: towards the end.");
  print_reading(guide);
  year_done = year_done || print_year(guide, 0.0, false);
  isw_guide_print_notes(print, "Notes");
  for (int v = 0; v < guide->facts->plan->n_varieties && status == ISW_OK; v++)
    status = print_spread(guide, v, error);
  if (status != ISW_OK) return status;
  print_calendars(guide);
  if (more) {
    isw_guide_next_page(print);
    isw_guide_print_text(print, ISW_PRINT_HEADING, "Districts, continued");
    print_districts(guide, left, true);
  }
  if (!year_done) {
    isw_guide_next_page(print);
    print_year(guide, 0.0, true);
  }
  print_end(guide);
  return ISW_OK;
}

/* Do all districts' names find room on the smallest maps without covering them? */
static enum isw_status names_fit(struct guide_print *guide, bool *fit, struct isw_error *error) {
  static const double covered_most = 0.14;
  const struct isw_plan *plan = guide->facts->plan;
  char *name = isw_output_pick_name(plan, 0, ".tif");
  struct isw_map_source source;
  enum isw_status status =
      isw_chart_open_source(isw_output_temporary_path(guide->folder, name), guide->map_page.map_crs,
                            0, ISW_PICK_NODATA, &source, error);
  g_free(name);
  if (status != ISW_OK) return status;
  double height = panel_height(guide, MAX(plan->n_seasons, 3));
  struct isw_box room = {0.0, 0.0, isw_guide_print_width_mm / 2.0, height};
  struct isw_map_frame frame = isw_chart_fit_frame(&source, room, 10.0);
  struct isw_pen pen = panel_pen(guide);
  struct isw_label_space space;
  isw_chart_init_label_space(&space, frame.box);
  GPtrArray *names = NULL;
  status = isw_chart_place_district_names(&pen, &source, &frame, guide->map_page.districts, false,
                                          &space, &names, error);
  if (status == ISW_OK) {
    double covered = 0.0;
    for (guint i = 0; i < space.taken->len; i++) {
      const struct isw_label_box *box = &g_array_index(space.taken, struct isw_label_box, i);
      covered += 4.0 * box->half_width_mm * box->half_height_mm;
    }
    *fit = covered <= covered_most * frame.box.width_mm * frame.box.height_mm;
    for (int d = 0; d < isw_regions_district_count(guide->facts->districts); d++) {
      bool found = isw_regions_district_size(guide->facts->districts, d) == 0;
      for (guint i = 0; i < names->len && !found; i++)
        found = ((const struct isw_district_name *)g_ptr_array_index(names, i))->district == d;
      *fit = *fit && found;
    }
    g_ptr_array_unref(names);
  }
  isw_chart_clear_label_space(&space);
  isw_chart_close_source(&source);
  return status;
}

enum isw_status isw_guide_write_print(const struct isw_guide_facts *given,
                                      struct isw_folder *folder, const char *path,
                                      struct isw_error *error) {
  struct guide_print *guide = g_new0(struct guide_print, 1);
  struct isw_guide_facts facts = *given;
  guide->facts = &facts;
  guide->map_page = *given->page;
  guide->folder = folder;
  char *title = isw_guide_title(&facts), *subject = isw_guide_subject(&facts);
  char *period = isw_guide_period_words(&facts);
  char *foot = g_strdup_printf("%s %s %s", period, isw_words_text(ISW_SAY_NO_FORECAST),
                               isw_words_text(ISW_SAY_LABELS_FIRST));
  struct isw_print_paper paper = {.width_mm = given->page->width_mm,
                                  .height_mm = given->page->height_mm,
                                  .title = title,
                                  .subject = subject,
                                  .now = given->now};
  char *lead = isw_guide_lead(&facts);
  enum isw_status status = isw_guide_open_print(path, &paper, foot, &guide->print, error);
  bool fit = true;
  if (status == ISW_OK) status = names_fit(guide, &fit, error);
  facts.numbered = !fit;
  guide->map_page.numbered = facts.numbered;
  if (status == ISW_OK) status = print_all(guide, lead, error);
  struct isw_error closing;
  enum isw_status closed = isw_guide_close_print(&guide->print, path, &closing);
  if (status == ISW_OK && closed != ISW_OK) {
    status = closed;
    if (error != NULL) *error = closing;
  }
  g_free(title);
  g_free(subject);
  g_free(period);
  g_free(foot);
  g_free(lead);
  g_free(guide);
  return status;
}
