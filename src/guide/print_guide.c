/* DESIGN: page 1 answers: the year by district, what to choose, what to read first; then the maps
 * of what to choose, the districts, how to read the rest; then for each variety its maps and its
 * numbers by district, which face each other when printed on both sides and bound where the numbers
 * take one page; then places, calendars, method, sources. No page is left empty for that: room that
 * stays on one is ruled for the reader's own notes. */
#include "guide/print_guide.h"

#include <math.h>
#include <string.h>

#include "chart/districts.h"
#include "chart/map_panel.h"
#include "growth/pick.h"
#include "guide/guide_words.h"
#include "guide/print_calendar.h"
#include "guide/print_maps.h"
#include "guide/print_publication.h"
#include "guide/print_seasons.h"
#include "guide/print_year.h"
#include "guide/season_words.h"
#include "output/window_rasters.h"
#include "survey/area_share.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/quantities.h"
#include "words/say.h"
#include "words/shares.h"

struct guide_print {
  struct isw_print print;
  const struct isw_guide_facts *facts;
  struct isw_guide_maps maps;
  int n_crops, c; /* crops of the print, and which is at work; what is said once stands with the
                     first or the last */
  const struct isw_guide_facts *crops;
};

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].title;
}

/* ---- pages 1 and 2: picks ---- */

static void free_texts(int n, char **texts) {
  for (int i = 0; i < n; i++) g_free(texts[i]);
}

static void print_region(struct isw_print *print, const void *self) {
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_WHAT_WHEN));
  const struct isw_guide_facts *facts = self;
  isw_guide_print_season_head(print, facts->plan->sheet, false);
  isw_guide_print_seasons(print, facts, 0);
  char *note = isw_words_say(ISW_SAY_GUIDE_TABLE_NOTE, isw_words_text(ISW_SAY_GUIDE_READING));
  isw_guide_print_text(print, ISW_PRINT_SMALL, note);
  g_free(note);
}

/* ---- districts ---- */

struct district_block {
  const struct isw_guide_facts *facts;
  int d;
  bool again; /* the district's name, on a page on which its bands go on */
};

/* The rows of an area: below its district's name, where it is the first, its heights. */
static void print_area(struct isw_print *print, const void *self) {
  const struct district_block *block = self;
  const struct isw_guide_facts *facts = block->facts;
  if (block->again || isw_guide_begins_district(facts, block->d)) {
    char *name = isw_guide_print_district_name(facts, block->d);
    isw_guide_print_text(print, ISW_PRINT_SUBHEADING, name);
    g_free(name);
  }
  char *heights = isw_guide_area_heights(facts, block->d);
  isw_guide_print_area_seasons(print, facts, 1 + block->d, heights);
  g_free(heights);
  if (!isw_guide_ends_district(facts, block->d)) return;
  int district = facts->areas->items[block->d].district;
  isw_guide_print_land(print, facts, ISW_PRINT_SMALL, district);
  isw_guide_print_own_text(
      print, ISW_PRINT_BODY,
      isw_guide_text_of(facts->publication->district_texts,
                        isw_regions_district_name(facts->districts, district)));
}

static void print_districts(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  struct district_block block = {guide->facts, 0, false};
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_DISTRICTS));
  isw_guide_print_season_head(print, guide->facts->plan->sheet, false);
  for (; block.d < guide->facts->areas->n; block.d++) {
    if (isw_guide_measure_print(print, print_area, &block) > isw_guide_room_left(print) &&
        block.d > 0) {
      isw_guide_next_page(print);
      isw_guide_print_season_head(print, guide->facts->plan->sheet, false);
      block.again = !isw_guide_begins_district(guide->facts, block.d);
    }
    print_area(print, &block);
    block.again = false;
  }
}

/* ---- how to read ---- */

static char *read_odds(const struct isw_sheet *sheet) {
  return sheet->has_chilling
             ? isw_words_say(ISW_SAY_GUIDE_READ_CHILLED, isw_words_chilling_makes(sheet))
             : g_strdup(isw_words_text(ISW_SAY_GUIDE_READ_FROST));
}

static void print_items(struct isw_print *print, const struct isw_guide_facts *facts,
                        enum isw_print_style style) {
  static const enum isw_sentence before[] = {ISW_SAY_GUIDE_READ_SOW, ISW_SAY_GUIDE_READ_BEST,
                                             ISW_SAY_GUIDE_READ_YEARS, ISW_SAY_GUIDE_READ_CUT};
  static const enum isw_sentence after[] = {ISW_SAY_GUIDE_READ_SHARE, ISW_SAY_GUIDE_READ_RISKY};
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_READING));
  for (size_t i = 0; i < G_N_ELEMENTS(before); i++)
    isw_guide_print_item(print, style, isw_words_text(before[i]));
  char *odds = read_odds(facts->plan->sheet);
  isw_guide_print_item(print, style, odds);
  g_free(odds);
  for (size_t i = 0; i < G_N_ELEMENTS(after); i++)
    isw_guide_print_item(print, style, isw_words_text(after[i]));
}

struct reading {
  const struct isw_guide_facts *facts;
  enum isw_print_style style;
  bool glossary;
};

static void draw_reading(struct isw_print *print, const void *self) {
  const struct reading *reading = self;
  print_items(print, reading->facts, reading->style);
  if (reading->glossary) isw_guide_print_glossary(print, reading->facts);
}

/* On an odd page, so that the spreads that follow face each other: below the districts, or on a
 * page of its own where those end on an even one. */
static void print_reading(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  struct reading reading = {guide->facts, ISW_PRINT_SMALL, guide->c == 0};
  bool fits = isw_guide_measure_print(print, draw_reading, &reading) < isw_guide_room_left(print);
  if (!fits || print->page % 2 == 0) {
    isw_guide_next_page(print);
    reading.style = ISW_PRINT_BODY;
  }
  draw_reading(print, &reading);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
}

/* ---- spreads ---- */

static char *quartile_words(const struct isw_table_row *row, enum isw_table_date date) {
  char low[ISW_DATE_SIZE], middle[ISW_DATE_SIZE], high[ISW_DATE_SIZE];
  if (!row->has_dates) return g_strdup("–");
  const int *days = row->day[date];
  if (days[0] == days[1] && days[1] == days[2])
    return g_strdup(isw_words_short_date(days[1], middle));
  return isw_words_say(ISW_SAY_GUIDE_QUARTILES, isw_words_short_date(row->day[date][1], middle),
                       isw_words_short_date(row->day[date][0], low),
                       isw_words_short_date(row->day[date][2], high));
}

struct season_numbers {
  const struct isw_guide_facts *facts;
  int v, s;
  double pad_mm;
};

static bool has_window_anywhere(const struct season_numbers *season) {
  for (int d = 0; d < season->facts->areas->n; d++) {
    struct isw_table_row row;
    isw_guide_read_row(season->facts->table, 1 + d, season->v, season->s, &row);
    if (row.area_km2 > 0.0 && row.has_dates) return true;
  }
  return false;
}

static char *cut_words(const struct isw_table_row *row) {
  if (!row->has_dates) return g_strdup("–");
  int from = row->day[ISW_TABLE_CUT_FROM][1], to = row->day[ISW_TABLE_CUT_TO][1];
  return isw_guide_days_words((struct isw_window){from, to, from == to ? 1 : 2});
}

static char *years_words(const struct isw_table_row *row) {
  char years[16];
  if (!row->has_dates || row->median_years < 0) return g_strdup("–");
  g_snprintf(years, sizeof years, "%d", row->median_years);
  return isw_words_say(ISW_SAY_GUIDE_OF_TEN_YEARS, years);
}

static void print_no_window(struct isw_print *print, const struct season_numbers *season) {
  struct isw_table_row row;
  isw_guide_read_row(season->facts->table, 0, season->v, season->s, &row);
  char *limit = isw_guide_limit_words(season->facts->plan, season->v, season->s, row.main_limit);
  char *text = isw_words_say(ISW_SAY_GUIDE_NO_WINDOW_ANYWHERE, limit);
  isw_guide_print_text(print, ISW_PRINT_BODY, text);
  g_free(text);
  g_free(limit);
}

static void print_numbers_row(struct isw_print *print, const struct isw_print_table *table,
                              const struct season_numbers *season, int d, char *name) {
  struct isw_table_row row;
  isw_guide_read_row(season->facts->table, 1 + d, season->v, season->s, &row);
  char share[ISW_SHARE_SIZE];
  bool any = row.area_km2 > 0.0;
  char *texts[] = {
      name,
      g_strdup(any ? isw_words_format_share(row.window_share, 1.0, share) : "–"),
      quartile_words(&row, ISW_TABLE_SOW_FROM),
      quartile_words(&row, ISW_TABLE_BEST_SOW),
      quartile_words(&row, ISW_TABLE_SOW_TO),
      cut_words(&row),
      years_words(&row),
      any ? isw_guide_limit_words(season->facts->plan, season->v, season->s, row.main_limit)
          : g_strdup("–")};
  isw_guide_print_row(print, table, (const char *const *)texts);
  free_texts(G_N_ELEMENTS(texts), texts);
}

/* Rows by district; where districts are split, by height below the district's name. */
static void print_season(struct isw_print *print, const void *self) {
  const struct season_numbers *season = self;
  static const double two_rows_mm = 16.0;
  const struct isw_guide_facts *facts = season->facts;
  bool split = isw_guide_band_m(facts->table) > 0.0;
  struct isw_print_table table = {
      .n = 8,
      .width_mm = {26.0, 15.2, 25.0, 25.0, 25.0, 24.3, 14.0, 23.5},
      .size_mm = 2.5,
      .heads = {isw_words_text(split ? ISW_SAY_GUIDE_HEAD_HEIGHT : ISW_SAY_GUIDE_HEAD_DISTRICT),
                isw_words_text(ISW_SAY_GUIDE_HEAD_WINDOW),
                isw_words_text(ISW_SAY_GUIDE_HEAD_SOW_FROM),
                isw_words_text(ISW_SAY_GUIDE_HEAD_BEST), isw_words_text(ISW_SAY_GUIDE_HEAD_SOW_TO),
                isw_words_text(ISW_SAY_GUIDE_HEAD_CUT), isw_words_text(ISW_SAY_GUIDE_HEAD_YEARS),
                isw_words_text(ISW_SAY_GUIDE_HEAD_LIMIT)},
      .pad_mm = season->pad_mm};
  char *heading = isw_words_capital(season_name(facts->plan, season->s));
  isw_guide_print_text(print, ISW_PRINT_SUBHEADING, heading);
  g_free(heading);
  if (!has_window_anywhere(season)) {
    print_no_window(print, season);
    return;
  }
  isw_guide_print_head(print, &table);
  char *group = NULL;
  for (int d = 0; d < facts->areas->n; d++) {
    if (split && isw_guide_begins_district(facts, d)) {
      g_free(group);
      group = isw_guide_print_district_name(facts, d);
      isw_guide_print_group(print, &table, group, two_rows_mm);
    }
    char *heights = isw_guide_area_heights(facts, d);
    print_numbers_row(print, &table, season, d,
                      heights != NULL ? heights : isw_guide_print_name(facts, d));
  }
  g_free(group);
}

static double seasons_height(struct guide_print *guide, struct season_numbers season) {
  double sum_mm = 0.0;
  for (season.s = 0; season.s < guide->facts->plan->n_seasons; season.s++)
    sum_mm += isw_guide_measure_print(&guide->print, print_season, &season);
  return sum_mm;
}

/* As roomy as fits on as few pages as it takes. A season moves to the next page as a whole where it
 * is not longer than half of one; longer ones would leave too much empty. */
static void print_numbers(struct guide_print *guide, int v) {
  static const double pads_mm[] = {2.0, 1.6, 1.2, 0.8, 0.5};
  enum { PADS = G_N_ELEMENTS(pads_mm) };
  struct isw_print *print = &guide->print;
  isw_guide_print_text(print, ISW_PRINT_SMALL, isw_words_text(ISW_SAY_GUIDE_QUARTILES_NOTE));
  struct season_numbers season = {guide->facts, v, 0, pads_mm[PADS - 1]};
  static const double lost_mm = 14.0; /* of a page to heads that are repeated, and below rows */
  double page_mm = print->bottom_mm - print->top_mm, used_mm = print->y_mm - print->top_mm;
  double pages = 1.0, height_mm = used_mm + seasons_height(guide, season);
  if (height_mm > page_mm) pages = ceil(height_mm / (page_mm - lost_mm));
  double room_mm = pages > 1.0 ? pages * (page_mm - lost_mm) : page_mm;
  for (size_t i = 0; i < PADS; i++) {
    season.pad_mm = pads_mm[i];
    if (used_mm + seasons_height(guide, season) < room_mm) break;
  }
  for (season.s = 0; season.s < guide->facts->plan->n_seasons; season.s++) {
    if (isw_guide_measure_print(print, print_season, &season) < page_mm / 2.0)
      isw_guide_print_whole(print, print_season, &season);
    else
      print_season(print, &season);
  }
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
}

static enum isw_status print_spread(struct guide_print *guide, int v, struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  const char *title = plan->sheet->varieties[plan->varieties[v]].title;
  isw_guide_next_page(&guide->print);
  isw_guide_print_text(&guide->print, ISW_PRINT_HEADING, title);
  enum isw_status status = isw_guide_print_sowing_maps(&guide->print, &guide->maps, v, error);
  if (status != ISW_OK) return status;
  isw_guide_next_page(&guide->print);
  char *heading = isw_words_say(ISW_SAY_GUIDE_TYPE_BY_DISTRICT, title);
  isw_guide_print_text(&guide->print, ISW_PRINT_HEADING, heading);
  g_free(heading);
  print_numbers(guide, v);
  return ISW_OK;
}

/* ---- the end matter ---- */

static void print_calendars(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  isw_guide_next_page(print);
  isw_guide_print_text(print, ISW_PRINT_TITLE, isw_words_text(ISW_SAY_GUIDE_CALENDARS));
  const struct isw_guide_facts *facts = guide->facts;
  const struct isw_guide_sites *sites = facts->sites;
  isw_guide_print_text(print, ISW_PRINT_LEAD,
                       isw_words_text(sites->n_named > 0 ? ISW_SAY_GUIDE_CALENDARS_NOTE_NAMED
                                                         : ISW_SAY_GUIDE_CALENDARS_NOTE));
  for (int a = 0; a < facts->areas->n; a++) {
    int i = isw_guide_next_named(sites, a, 0);
    if (i < 0 && isw_guide_area_has_pick(facts, a))
      isw_guide_print_calendar(print, facts, &sites->sites[a]);
    for (; i >= 0; i = isw_guide_next_named(sites, a, i + 1))
      isw_guide_print_calendar(print, facts, &sites->named[i]);
  }
  for (int i = isw_guide_next_named(sites, -1, 0); i >= 0;
       i = isw_guide_next_named(sites, -1, i + 1))
    isw_guide_print_calendar(print, facts, &sites->named[i]);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
}

static void print_end(struct guide_print *guide) {
  const struct isw_guide_facts *facts = guide->facts;
  const struct isw_sheet *sheet = facts->plan->sheet;
  struct isw_print *print = &guide->print;
  isw_guide_next_page(print);
  isw_guide_print_moves(print, facts);
  if (guide->c == guide->n_crops - 1) isw_guide_print_after(print, facts);
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_METHOD));
  char *paragraph;
  for (int i = 0; (paragraph = isw_guide_method(facts, i)) != NULL; i++) {
    isw_guide_print_text(print, ISW_PRINT_BODY, paragraph);
    g_free(paragraph);
  }
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_SOURCES));
  if (facts->page->source_line != NULL)
    isw_guide_print_item(print, ISW_PRINT_BODY, facts->page->source_line);
  for (int i = 0; i < sheet->n_sources; i++)
    isw_guide_print_item(print, ISW_PRINT_BODY, sheet->sources[i]);
  if (guide->c < guide->n_crops - 1) return;
  isw_guide_print_own_text(print, ISW_PRINT_BODY, facts->publication->credit);
  isw_guide_print_own_text(print, ISW_PRINT_BODY, facts->publication->licence);
}

/* ---- the year ---- */

/* The strips of page 1 beside `reserved_mm` of other things: with their words and drawn out where
 * there is room for that, low where there is little. Returns how many stand there. */
static int print_first_strips(struct guide_print *guide, double reserved_mm) {
  static const double stretch_most = 1.5;
  static const struct isw_guide_year modes[] = {{.words = true}, {.words = false}, {.tight = true}};
  enum { FEW = 3 };
  struct isw_print *print = &guide->print;
  double room_mm = isw_guide_room_left(print) - reserved_mm;
  struct isw_guide_year year;
  int n = 0;
  for (size_t m = 0; m < G_N_ELEMENTS(modes) && n < guide->facts->areas->n; m++) {
    year = modes[m];
    year.facts = guide->facts;
    year.n = guide->facts->areas->n;
    year.stretch = 1.0;
    n = isw_guide_count_strips(print, &year, room_mm);
  }
  if (n < MIN(FEW, guide->facts->areas->n)) return 0;
  year.n = n;
  double height_mm = isw_guide_measure_print(print, isw_guide_print_year, &year);
  year.stretch = stretch_most;
  double grown_mm = isw_guide_measure_print(print, isw_guide_print_year, &year);
  double share = grown_mm > height_mm ? (room_mm - height_mm) / (grown_mm - height_mm) : 0.0;
  year.stretch = 1.0 + (stretch_most - 1.0) * CLAMP(share, 0.0, 1.0);
  isw_guide_print_year(print, &year);
  return n;
}

/* Those that found no room on page 1. */
static void print_further_strips(struct guide_print *guide, int first) {
  struct isw_guide_year year = {.facts = guide->facts,
                                .first = first,
                                .n = guide->facts->areas->n - first,
                                .words = true,
                                .stretch = 1.0};
  if (year.n == 0) return;
  year.words = isw_guide_measure_print(&guide->print, isw_guide_print_year, &year) <
               isw_guide_room_left(&guide->print);
  isw_guide_print_year(&guide->print, &year);
}

/* ---- page 1 ---- */

static void print_before(struct isw_print *print, const void *self) {
  const struct isw_guide_facts *facts = self;
  isw_guide_print_imprint(print, facts);
  isw_guide_print_own_texts(print, ISW_PRINT_BODY, facts->publication->before);
}

static void print_other_crops(struct guide_print *guide) {
  if (guide->n_crops == 1) return;
  const char **titles = g_new(const char *, (gsize)guide->n_crops);
  int n = 0;
  for (int c = 0; c < guide->n_crops; c++)
    if (c != guide->c) titles[n++] = guide->crops[c].plan->sheet->title;
  char *list = isw_words_list(n, titles), *text = isw_words_say(ISW_SAY_GUIDE_OTHER_CROPS, list);
  isw_guide_print_text(&guide->print, ISW_PRINT_SMALL, text);
  g_free(text);
  g_free(list);
  g_free(titles);
}

/* A long text before the guide has a page of its own, so that the answers stay together. */
static void print_title(struct guide_print *guide, const char *lead) {
  static const double short_mm = 45.0;
  struct isw_print *print = &guide->print;
  const char *region = guide->facts->page->region_title;
  char *subject = isw_guide_subject(guide->facts);
  bool has_region = region != NULL && region[0] != '\0';
  struct isw_print_titles titles = {
      guide->facts, has_region ? region : subject, has_region ? subject : NULL, lead, NULL, false};
  isw_guide_print_titles(print, &titles);
  g_free(subject);
  print_other_crops(guide);
  if (guide->c > 0) return;
  double before_mm = isw_guide_measure_print(print, print_before, guide->facts);
  print_before(print, guide->facts);
  if (before_mm > short_mm) isw_guide_next_page(print);
}

struct named_row {
  const struct isw_guide_facts *facts;
  const struct isw_guide_site *site;
};

static void print_named_row(struct isw_print *print, const void *self) {
  const struct named_row *row = self;
  const struct isw_guide_areas *areas = row->facts->areas;
  char *name = row->site->area >= 0 ? isw_words_say(ISW_SAY_GUIDE_PLACE_IN, row->site->name,
                                                    areas->items[row->site->area].name)
                                    : g_strdup(row->site->name);
  isw_guide_print_text(print, ISW_PRINT_SUBHEADING, name);
  isw_guide_print_place_seasons(print, row->facts, row->site->place);
  g_free(name);
}

static void print_named_places(struct guide_print *guide) {
  const struct isw_guide_sites *sites = guide->facts->sites;
  if (sites->n_named == 0) return;
  isw_guide_next_page(&guide->print);
  isw_guide_print_text(&guide->print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_PLACES));
  isw_guide_print_season_head(&guide->print, guide->facts->plan->sheet, true);
  for (int i = 0; i < sites->n_named; i++) {
    struct named_row row = {guide->facts, &sites->named[i]};
    if (isw_guide_measure_print(&guide->print, print_named_row, &row) >
        isw_guide_room_left(&guide->print)) {
      isw_guide_next_page(&guide->print);
      isw_guide_print_season_head(&guide->print, guide->facts->plan->sheet, true);
    }
    print_named_row(&guide->print, &row);
  }
}

/* One row for all heights of a region would be true nowhere, so a split one has none. Returns how
 * many areas have their strip there. */
static int print_first_page(struct guide_print *guide, const char *lead) {
  static const double spare_mm = 2.0;
  struct isw_print *print = &guide->print;
  const struct isw_guide_facts *facts = guide->facts;
  print_title(guide, lead);
  bool split = isw_guide_band_m(facts->table) > 0.0;
  double region_mm = spare_mm + (split ? 0.0 : isw_guide_measure_print(print, print_region, facts));
  struct isw_guide_year usual = {
      .facts = facts, .n = facts->areas->n, .words = false, .stretch = 1.0};
  double cautions_mm = isw_guide_measure_print(print, isw_guide_print_cautions, facts);
  isw_print_draw *cautions = isw_guide_print_cautions;
  if (isw_guide_count_strips(print, &usual, isw_guide_room_left(print) - region_mm - cautions_mm) <
      usual.n) {
    cautions = isw_guide_print_small_cautions;
    cautions_mm = isw_guide_measure_print(print, cautions, facts);
  }
  int strips = print_first_strips(guide, cautions_mm + region_mm);
  if (!split) print_region(print, facts);
  isw_guide_print_whole(print, cautions, facts);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_OWN_DATES));
  return strips;
}

static enum isw_status print_all(struct guide_print *guide, const char *lead,
                                 struct isw_error *error) {
  struct isw_print *print = &guide->print;
  int strips = print_first_page(guide, lead);
  isw_guide_next_page(print);
  enum isw_status status = isw_guide_print_pick_maps(print, &guide->maps, error);
  if (status != ISW_OK) return status;
  isw_guide_next_page(print);
  print_further_strips(guide, strips);
  isw_guide_print_whole(print, isw_guide_print_season_texts, guide->facts);
  print_districts(guide);
  print_reading(guide);
  for (int v = 0; v < guide->facts->plan->n_varieties && status == ISW_OK; v++)
    status = print_spread(guide, v, error);
  if (status == ISW_OK) status = isw_guide_print_opens_maps(print, &guide->maps, error);
  if (status != ISW_OK) return status;
  print_named_places(guide);
  print_calendars(guide);
  print_end(guide);
  return ISW_OK;
}

static enum isw_status print_crop(struct guide_print *guide, const struct isw_guide_facts *given,
                                  struct isw_folder *folder, struct isw_error *error) {
  struct isw_guide_facts facts = *given;
  guide->facts = &facts;
  guide->maps = (struct isw_guide_maps){.facts = &facts, .page = *given->page, .folder = folder};
  if (guide->c > 0) isw_guide_next_page(&guide->print);
  bool fit = true;
  enum isw_status status = isw_guide_arrange_maps(&guide->print, &guide->maps, &fit, error);
  facts.numbered = !fit;
  guide->maps.page.numbered = facts.numbered;
  if (status != ISW_OK) return status;
  char *lead = isw_guide_lead(&facts);
  status = print_all(guide, lead, error);
  g_free(lead);
  return status;
}

enum isw_status isw_guide_write_print(int n, const struct isw_guide_facts *crops,
                                      struct isw_folder *folder, const char *path,
                                      struct isw_error *error) {
  struct guide_print *guide = g_new0(struct guide_print, 1);
  guide->n_crops = n;
  guide->crops = crops;
  const struct isw_map_page *page = crops->page;
  char *title = isw_guide_title(n, crops), *subject = isw_guide_subjects(n, crops);
  char *foot = isw_guide_foot(crops);
  struct isw_print_paper paper = {.width_mm = page->width_mm,
                                  .height_mm = page->height_mm,
                                  .title = title,
                                  .subject = subject,
                                  .author = crops->publication->publisher,
                                  .now = crops->now};
  enum isw_status status = isw_guide_open_print(path, &paper, foot, &guide->print, error);
  for (int c = 0; c < n && status == ISW_OK; c++) {
    guide->c = c;
    status = print_crop(guide, &crops[c], folder, error);
  }
  struct isw_error closing;
  enum isw_status closed = isw_guide_close_print(&guide->print, path, &closing);
  if (status == ISW_OK && closed != ISW_OK) {
    status = closed;
    if (error != NULL) *error = closing;
  }
  g_free(title);
  g_free(subject);
  g_free(foot);
  g_free(guide);
  return status;
}
