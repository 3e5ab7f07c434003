/* DESIGN: page 1 picks, page 2 districts, page 3 cautions and how to read; then for each variety a
 * spread of facing pages (even page maps, odd page numbers); then the calendars, what did not fit
 * on page 2, method, sources. */
#include "guide/print_guide.h"

#include <math.h>

#include "chart/map_panel.h"
#include "guide/guide_words.h"
#include "guide/print_calendar.h"
#include "output/place_words.h"
#include "output/window_rasters.h"

static const double panel_most_mm = 74.0, panel_least_mm = 48.0, panel_heading_mm = 8.0;

struct guide_print {
  struct isw_print print;
  const struct isw_guide_facts *facts;
  struct isw_folder *folder;
};

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].name;
}

/* ---- page 1: picks ---- */

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

/* Type, sow, best, cut from, window on, score: what the summary tables share. New strings. */
enum { PICK_TEXTS = 6 };
static void pick_texts(const struct isw_guide_facts *facts, int region, int s,
                       char *texts[PICK_TEXTS]) {
  struct isw_table_pick pick = isw_guide_read_pick(facts->table, region, s);
  int v = isw_guide_chosen_variety(facts->plan, pick.variety);
  struct isw_table_row row;
  isw_guide_read_row(facts->table, region, MAX(v, 0), s, &row);
  if (row.area_km2 <= 0.0 || v < 0) {
    texts[0] = g_strdup(row.area_km2 > 0.0 ? "nothing worth sowing" : "no climate data");
    for (int i = 1; i < PICK_TEXTS; i++) texts[i] = g_strdup("–");
    return;
  }
  char *words = isw_guide_pick_words(facts, pick);
  texts[0] = g_strdup_printf("%s (on %.0f\u00a0%%)", words, 100.0 * pick.share);
  g_free(words);
  texts[1] = range_words(&row);
  texts[2] = part_words(&row, ISW_TABLE_BEST_SOW);
  texts[3] = part_words(&row, ISW_TABLE_HARVEST);
  texts[4] = g_strdup_printf("%.0f\u00a0%%", 100.0 * row.window_share);
  texts[5] = g_strdup_printf("%d", row.median_score);
}

static void free_texts(int n, char **texts) {
  for (int i = 0; i < n; i++) g_free(texts[i]);
}

static void print_pick_table(struct guide_print *guide) {
  static const struct isw_print_table table = {
      .n = 7,
      .width_mm = {33.0, 52.0, 36.0, 17.0, 17.0, 13.0, 10.0},
      .heads = {"Season", "Type to choose", "Sow", "Best", "Cut from", "On", "Sc."}};
  const struct isw_guide_facts *facts = guide->facts;
  isw_guide_print_head(&guide->print, &table);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    char *dates = isw_guide_season_dates(facts, s);
    char *season = g_strdup_printf("%s\n%s", season_name(facts->plan, s), dates);
    char *texts[1 + PICK_TEXTS] = {season};
    pick_texts(facts, 0, s, texts + 1);
    isw_guide_print_row(&guide->print, &table, (const char *const *)texts);
    free_texts(1 + PICK_TEXTS, texts);
    g_free(dates);
  }
  guide->print.y_mm += 2.0;
}

static double panel_height(const struct isw_print *print, int n) {
  return CLAMP(isw_guide_room_left(print) / MAX(n, 1) - panel_heading_mm, panel_least_mm,
               panel_most_mm);
}

static struct isw_box panel_box(const struct isw_print *print, double height_mm) {
  return (struct isw_box){isw_guide_print_left_mm, print->y_mm, isw_guide_print_width_mm,
                          height_mm};
}

static enum isw_status print_pick_maps(struct guide_print *guide, struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  struct isw_print *print = &guide->print;
  double height = panel_height(print, plan->n_seasons);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
    isw_guide_need_room(print, height + panel_heading_mm - 1.0);
    char *heading = isw_output_capital(season_name(plan, s));
    isw_guide_print_text(print, ISW_PRINT_BODY, heading);
    g_free(heading);
    char *name = isw_output_pick_name(plan, s, ".tif");
    status = isw_chart_draw_pick_panel(
        &print->pen, guide->facts->page, isw_output_temporary_path(guide->folder, name), plan,
        isw_survey_pick_tally(guide->facts->tally, s), panel_box(print, height), error);
    g_free(name);
    print->y_mm += height + 1.0;
  }
  return status;
}

/* ---- page 2: districts ---- */

static const struct isw_print_table district_table = {
    .n = 8,
    .width_mm = {28.0, 17.0, 46.0, 34.0, 16.5, 16.5, 12.0, 8.0},
    .heads = {"District", "Season", "Type to choose", "Sow", "Best", "Cut from", "On", "Sc."}};

/* Rows from district `first` on while they fit, or all of them; returns the first that did not. */
static int print_districts(struct guide_print *guide, int first, bool all) {
  const struct isw_guide_facts *facts = guide->facts;
  struct isw_print *print = &guide->print;
  isw_guide_print_head(print, &district_table);
  int d = first;
  for (; d < isw_guide_district_count(facts->districts); d++) {
    char *texts[ISW_SEASONS_MAX][2 + PICK_TEXTS];
    double height = 0.0;
    for (int s = 0; s < facts->plan->n_seasons; s++) {
      texts[s][0] = g_strdup(s == 0 ? isw_guide_district_name(facts->districts, d) : "");
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

/* ---- page 3 ---- */

static void print_reading(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  isw_guide_print_text(print, ISW_PRINT_HEADING, "Read this first");
  for (int i = 0; isw_guide_caution(i) != NULL; i++)
    isw_guide_print_item(print, isw_guide_caution(i));
  isw_guide_print_text(print, ISW_PRINT_HEADING, "How to read the tables and maps");
  static const char *const reading[] = {
      "Sow: the window of good days, from its first to its last, at the middle of the district: on "
      "half of the area that has a window it begins (or ends) earlier, on half later. “early”, "
      "“mid” and “late” are the days 1 to 10, 11 to 20 and 21 to the end of a month.",
      "Best: the season's sowing day with the highest score. Cut from: when the heads of that "
      "sowing are ready. A window may reach past the season's own dates; the best day does not.",
      "On: the share of the district's area that has a window. Sc. (score): 0 to 100, of the best "
      "day; below 50 poor, 50 to 69 risky, 70 to 84 good, 85 and more very good.",
      "Risky: no type has a window, this one comes nearest. In the numbers of each type the two "
      "small dates are the quartiles: a quarter of the area is earlier than the first, a quarter "
      "later than the second."};
  for (size_t i = 0; i < G_N_ELEMENTS(reading); i++) isw_guide_print_item(print, reading[i]);
}

/* ---- spreads ---- */

static void turn_to_even_page(struct isw_print *print) {
  isw_guide_next_page(print);
  if (print->page % 2 == 1) {
    isw_guide_print_text(print, ISW_PRINT_SMALL, "This page is left empty.");
    isw_guide_next_page(print);
  }
}

static enum isw_status print_sowing_maps(struct guide_print *guide, int v,
                                         struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  struct isw_print *print = &guide->print;
  double height = panel_height(print, plan->n_seasons);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
    const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
    isw_guide_need_room(print, height + panel_heading_mm - 1.0);
    char *dates = isw_guide_season_dates(guide->facts, s);
    char *capital = isw_output_capital(season->name);
    char *heading = g_strdup_printf("%s, sowing dates looked at: %s", capital, dates);
    isw_guide_print_text(print, ISW_PRINT_BODY, heading);
    g_free(dates);
    g_free(capital);
    g_free(heading);
    char *name = isw_output_result_name(plan, v, s, ".tif");
    status = isw_chart_draw_sowing_panel(
        &print->pen, guide->facts->page, isw_output_temporary_path(guide->folder, name), season,
        isw_survey_result_tally(guide->facts->tally, isw_growth_result_index(plan, v, s)),
        panel_box(print, height), error);
    g_free(name);
    print->y_mm += height + 1.0;
  }
  return status;
}

static char *quartile_words(const struct isw_table_row *row, enum isw_table_date date) {
  char low[ISW_DATE_SIZE], middle[ISW_DATE_SIZE], high[ISW_DATE_SIZE];
  if (!row->has_dates) return g_strdup("–");
  return g_strdup_printf("%s\n%s, %s", isw_base_format_short_date(row->day[date][1], middle),
                         isw_base_format_short_date(row->day[date][0], low),
                         isw_base_format_short_date(row->day[date][2], high));
}

static void print_numbers(struct guide_print *guide, int v) {
  static const struct isw_print_table table = {
      .n = 8,
      .width_mm = {28.0, 12.0, 27.0, 27.0, 27.0, 27.0, 8.5, 21.5},
      .heads = {"District", "On", "Sow from", "Best", "Sow to", "Cut from", "Sc.", "Limited by"}};
  const struct isw_guide_facts *facts = guide->facts;
  const struct isw_plan *plan = facts->plan;
  for (int s = 0; s < plan->n_seasons; s++) {
    char *heading = isw_output_capital(season_name(plan, s));
    isw_guide_print_text(&guide->print, ISW_PRINT_SUBHEADING, heading);
    g_free(heading);
    isw_guide_print_head(&guide->print, &table);
    for (int d = 0; d < isw_guide_district_count(facts->districts); d++) {
      struct isw_table_row row;
      isw_guide_read_row(facts->table, 1 + d, v, s, &row);
      char limit[ISW_LIMIT_NAME_SIZE];
      bool any = row.area_km2 > 0.0;
      char *texts[] = {
          g_strdup(isw_guide_district_name(facts->districts, d)),
          any ? g_strdup_printf("%.0f\u00a0%%", 100.0 * row.window_share) : g_strdup("–"),
          quartile_words(&row, ISW_TABLE_SOW_FROM),
          quartile_words(&row, ISW_TABLE_BEST_SOW),
          quartile_words(&row, ISW_TABLE_SOW_TO),
          quartile_words(&row, ISW_TABLE_HARVEST),
          any ? g_strdup_printf("%d", row.median_score) : g_strdup("–"),
          g_strdup(any ? isw_growth_limit_name(plan->sheet, row.main_limit, limit) : "–")};
      isw_guide_print_row(&guide->print, &table, (const char *const *)texts);
      free_texts(G_N_ELEMENTS(texts), texts);
    }
  }
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
  for (int d = 0; d < isw_guide_district_count(guide->facts->districts); d++)
    isw_guide_print_calendar(print, guide->facts, d);
}

static void print_end(struct guide_print *guide) {
  const struct isw_guide_facts *facts = guide->facts;
  const struct isw_sheet *sheet = facts->plan->sheet;
  struct isw_print *print = &guide->print;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_HEADING, "Method");
  for (int i = 0; isw_guide_method(i) != NULL; i++)
    isw_guide_print_text(print, ISW_PRINT_BODY, isw_guide_method(i));
  isw_guide_print_text(print, ISW_PRINT_HEADING, "Sources");
  if (facts->page->source_line != NULL) isw_guide_print_item(print, facts->page->source_line);
  for (int i = 0; i < sheet->n_sources; i++) isw_guide_print_item(print, sheet->sources[i]);
}

static enum isw_status print_all(struct guide_print *guide, const char *title, const char *lead,
                                 struct isw_error *error) {
  struct isw_print *print = &guide->print;
  isw_guide_print_text(print, ISW_PRINT_TITLE, title);
  isw_guide_print_text(print, ISW_PRINT_LEAD, lead);
  print_pick_table(guide);
  enum isw_status status = print_pick_maps(guide, error);
  if (status != ISW_OK) return status;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_HEADING, "Districts");
  int left = print_districts(guide, 0, false);
  bool more = left < isw_guide_district_count(guide->facts->districts);
  if (more) isw_guide_print_text(print, ISW_PRINT_SMALL, "Further districts: towards the end.");
  isw_guide_next_page(print);
  print_reading(guide);
  for (int v = 0; v < guide->facts->plan->n_varieties && status == ISW_OK; v++)
    status = print_spread(guide, v, error);
  if (status != ISW_OK) return status;
  print_calendars(guide);
  if (more) {
    isw_guide_next_page(print);
    isw_guide_print_text(print, ISW_PRINT_HEADING, "Districts, continued");
    print_districts(guide, left, true);
  }
  print_end(guide);
  return ISW_OK;
}

enum isw_status isw_guide_write_print(const struct isw_guide_facts *facts,
                                      struct isw_folder *folder, const char *path,
                                      struct isw_error *error) {
  struct guide_print *guide = g_new0(struct guide_print, 1);
  guide->facts = facts;
  guide->folder = folder;
  char *title = isw_guide_title(facts), *period = isw_guide_period_words(facts);
  char *foot = g_strdup_printf(
      "%s An average year, not a forecast. Labels, local rules and your extension service come "
      "first.",
      period);
  char *lead = g_strdup_printf("%s An average year, not a forecast.", period);
  enum isw_status status = isw_guide_open_print(path, title, foot, &guide->print, error);
  if (status == ISW_OK) status = print_all(guide, title, lead, error);
  struct isw_error closing;
  enum isw_status closed = isw_guide_close_print(&guide->print, path, &closing);
  if (status == ISW_OK && closed != ISW_OK) {
    status = closed;
    if (error != NULL) *error = closing;
  }
  g_free(title);
  g_free(period);
  g_free(foot);
  g_free(lead);
  g_free(guide);
  return status;
}
