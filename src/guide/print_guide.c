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
  isw_guide_print_season_head(print, facts->plan->sheet);
  isw_guide_print_seasons(print, facts, 0);
  char *note = isw_words_say(ISW_SAY_GUIDE_TABLE_NOTE, isw_words_text(ISW_SAY_GUIDE_READING));
  isw_guide_print_text(print, ISW_PRINT_SMALL, note);
  g_free(note);
}

/* ---- page 3: districts ---- */

struct district_block {
  const struct isw_guide_facts *facts;
  int d;
};

static void print_district(struct isw_print *print, const void *self) {
  const struct district_block *block = self;
  char *name = isw_guide_print_name(block->facts, block->d);
  isw_guide_print_text(print, ISW_PRINT_SUBHEADING, name);
  isw_guide_print_seasons(print, block->facts, 1 + block->d);
  const struct isw_guide_areas *areas = block->facts->areas;
  int district = areas->items[block->d].district;
  if (block->d + 1 == areas->n || areas->items[block->d + 1].district != district) {
    isw_guide_print_slope(print, block->facts, district);
    isw_guide_print_own_text(
        print, ISW_PRINT_BODY,
        isw_guide_text_of(block->facts->publication->district_texts,
                          isw_regions_district_name(block->facts->districts, district)));
  }
  g_free(name);
}

/* From district `first` on while they fit on the page, or all of them; returns the first that did
 * not. */
static int print_districts(struct guide_print *guide, int first, bool all) {
  struct isw_print *print = &guide->print;
  struct district_block block = {guide->facts, first};
  isw_guide_print_season_head(print, guide->facts->plan->sheet);
  for (; block.d < guide->facts->areas->n; block.d++) {
    bool fits = isw_guide_measure_print(print, print_district, &block) < isw_guide_room_left(print);
    if (!fits && !all && block.d > first) break;
    if (!fits && block.d > first) {
      isw_guide_next_page(print);
      isw_guide_print_season_head(print, guide->facts->plan->sheet);
    }
    print_district(print, &block);
  }
  return block.d;
}

/* ---- how to read ---- */

static char *read_odds(const struct isw_sheet *sheet) {
  return sheet->has_chilling
             ? isw_words_say(ISW_SAY_GUIDE_READ_CHILLED, isw_words_chilling_makes(sheet))
             : g_strdup(isw_words_text(ISW_SAY_GUIDE_READ_FROST));
}

static void print_reading(struct guide_print *guide) {
  struct isw_print *print = &guide->print;
  static const enum isw_sentence before[] = {ISW_SAY_GUIDE_READ_SOW, ISW_SAY_GUIDE_READ_BEST,
                                             ISW_SAY_GUIDE_READ_YEARS, ISW_SAY_GUIDE_READ_CUT};
  static const enum isw_sentence after[] = {ISW_SAY_GUIDE_READ_SHARE, ISW_SAY_GUIDE_READ_RISKY};
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_READING));
  for (size_t i = 0; i < G_N_ELEMENTS(before); i++)
    isw_guide_print_item(print, ISW_PRINT_SMALL, isw_words_text(before[i]));
  char *odds = read_odds(guide->facts->plan->sheet);
  isw_guide_print_item(print, ISW_PRINT_SMALL, odds);
  g_free(odds);
  for (size_t i = 0; i < G_N_ELEMENTS(after); i++)
    isw_guide_print_item(print, ISW_PRINT_SMALL, isw_words_text(after[i]));
}

/* ---- spreads ---- */

static void turn_to_even_page(struct isw_print *print) {
  isw_guide_next_page(print);
  if (print->page % 2 == 1) {
    isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
    isw_guide_next_page(print);
  }
}

static char *quartile_words(const struct isw_table_row *row, enum isw_table_date date) {
  char low[ISW_DATE_SIZE], middle[ISW_DATE_SIZE], high[ISW_DATE_SIZE];
  if (!row->has_dates) return g_strdup("–");
  return isw_words_say(ISW_SAY_GUIDE_QUARTILES, isw_words_short_date(row->day[date][1], middle),
                       isw_words_short_date(row->day[date][0], low),
                       isw_words_short_date(row->day[date][2], high));
}

struct season_numbers {
  const struct isw_guide_facts *facts;
  int v, s;
  double pad_mm;
};

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

static void print_season(struct isw_print *print, const void *self) {
  const struct season_numbers *season = self;
  struct isw_print_table table = {
      .n = 8,
      .width_mm = {24.0, 16.0, 24.5, 24.5, 24.5, 24.0, 15.5, 25.0},
      .size_mm = 2.5,
      .heads = {isw_words_text(ISW_SAY_GUIDE_HEAD_DISTRICT),
                isw_words_text(ISW_SAY_GUIDE_HEAD_WINDOW),
                isw_words_text(ISW_SAY_GUIDE_HEAD_SOW_FROM),
                isw_words_text(ISW_SAY_GUIDE_HEAD_BEST), isw_words_text(ISW_SAY_GUIDE_HEAD_SOW_TO),
                isw_words_text(ISW_SAY_GUIDE_HEAD_CUT), isw_words_text(ISW_SAY_GUIDE_HEAD_YEARS),
                isw_words_text(ISW_SAY_GUIDE_HEAD_LIMIT)},
      .pad_mm = season->pad_mm};
  const struct isw_guide_facts *facts = season->facts;
  char *heading = isw_words_capital(season_name(facts->plan, season->s));
  isw_guide_print_text(print, ISW_PRINT_SUBHEADING, heading);
  g_free(heading);
  isw_guide_print_head(print, &table);
  for (int d = 0; d < facts->areas->n; d++) {
    struct isw_table_row row;
    isw_guide_read_row(facts->table, 1 + d, season->v, season->s, &row);
    char share[ISW_SHARE_SIZE];
    bool any = row.area_km2 > 0.0;
    char *texts[] = {isw_guide_print_name(facts, d),
                     g_strdup(any ? isw_words_format_share(row.window_share, 1.0, share) : "–"),
                     quartile_words(&row, ISW_TABLE_SOW_FROM),
                     quartile_words(&row, ISW_TABLE_BEST_SOW),
                     quartile_words(&row, ISW_TABLE_SOW_TO),
                     cut_words(&row),
                     years_words(&row),
                     any ? isw_guide_limit_words(facts->plan, season->v, season->s, row.main_limit)
                         : g_strdup("–")};
    isw_guide_print_row(print, &table, (const char *const *)texts);
    free_texts(G_N_ELEMENTS(texts), texts);
  }
}

/* Roomy where all seasons fit on the page so. */
static void print_numbers(struct guide_print *guide, int v) {
  static const double pads_mm[] = {2.0, 1.6, 1.2, 0.8};
  struct isw_print *print = &guide->print;
  isw_guide_print_text(print, ISW_PRINT_SMALL, isw_words_text(ISW_SAY_GUIDE_QUARTILES_NOTE));
  struct season_numbers season = {guide->facts, v, 0, 0.0};
  int n = guide->facts->plan->n_seasons;
  for (size_t i = 0; i < G_N_ELEMENTS(pads_mm); i++) {
    season.pad_mm = pads_mm[i];
    if (n * isw_guide_measure_print(print, print_season, &season) < isw_guide_room_left(print))
      break;
  }
  for (season.s = 0; season.s < n; season.s++) isw_guide_print_whole(print, print_season, &season);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
}

static enum isw_status print_spread(struct guide_print *guide, int v, struct isw_error *error) {
  const struct isw_plan *plan = guide->facts->plan;
  const char *title = plan->sheet->varieties[plan->varieties[v]].title;
  turn_to_even_page(&guide->print);
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
  isw_guide_print_text(print, ISW_PRINT_LEAD, isw_words_text(ISW_SAY_GUIDE_CALENDARS_NOTE));
  const struct isw_guide_facts *facts = guide->facts;
  const struct isw_guide_sites *sites = facts->sites;
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

/* The strips go on the first page that has room for them beside `reserved_mm` of other things, with
 * their words and drawn out where there is room for that; at last anywhere. */
static bool print_year(struct guide_print *guide, double reserved_mm, bool at_last) {
  static const double stretch_most = 1.5;
  struct isw_print *print = &guide->print;
  struct isw_guide_year year = {
      .facts = guide->facts, .n = guide->facts->areas->n, .words = true, .stretch = 1.0};
  double room = isw_guide_room_left(print) - reserved_mm;
  double height = isw_guide_measure_print(print, isw_guide_print_year, &year);
  if (height > room && !at_last) {
    year.words = false;
    height = isw_guide_measure_print(print, isw_guide_print_year, &year);
  }
  bool fits = height < room;
  if (!fits && !at_last) return false;
  if (fits) {
    year.stretch = stretch_most;
    double grown = isw_guide_measure_print(print, isw_guide_print_year, &year);
    double share = grown > height ? (room - height) / (grown - height) : 0.0;
    year.stretch = 1.0 + (stretch_most - 1.0) * CLAMP(share, 0.0, 1.0);
  }
  isw_guide_print_year(print, &year);
  return true;
}

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
  struct isw_print_titles titles = {guide->facts, has_region ? region : subject,
                                    has_region ? subject : NULL, lead};
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
  isw_guide_print_season_head(&guide->print, guide->facts->plan->sheet);
  for (int i = 0; i < sites->n_named; i++) {
    struct named_row row = {guide->facts, &sites->named[i]};
    if (isw_guide_measure_print(&guide->print, print_named_row, &row) >
        isw_guide_room_left(&guide->print)) {
      isw_guide_next_page(&guide->print);
      isw_guide_print_season_head(&guide->print, guide->facts->plan->sheet);
    }
    print_named_row(&guide->print, &row);
  }
}

static enum isw_status print_all(struct guide_print *guide, const char *lead,
                                 struct isw_error *error) {
  struct isw_print *print = &guide->print;
  print_title(guide, lead);
  double cautions_mm = isw_guide_measure_print(print, isw_guide_print_cautions, guide->facts);
  double region_mm = isw_guide_measure_print(print, print_region, guide->facts);
  static const double spare_mm = 2.0;
  /* One row for all heights of a region would be true nowhere. */
  bool split = isw_guide_band_m(guide->facts->table) > 0.0;
  bool year_done = print_year(guide, cautions_mm + (split ? spare_mm : region_mm), false);
  if (!split)
    print_region(print, guide->facts);
  else if (!year_done)
    isw_guide_print_text(print, ISW_PRINT_BODY, isw_words_text(ISW_SAY_GUIDE_SPLIT));
  isw_guide_print_whole(print, isw_guide_print_cautions, guide->facts);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_OWN_DATES));
  isw_guide_next_page(print);
  enum isw_status status = isw_guide_print_pick_maps(print, &guide->maps, error);
  if (status != ISW_OK) return status;
  isw_guide_next_page(print);
  isw_guide_print_whole(print, isw_guide_print_season_texts, guide->facts);
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_DISTRICTS));
  int left = print_districts(guide, 0, false);
  bool more = left < guide->facts->areas->n;
  if (more)
    isw_guide_print_text(print, ISW_PRINT_SMALL, isw_words_text(ISW_SAY_GUIDE_DISTRICTS_LATER));
  print_reading(guide);
  year_done = year_done || print_year(guide, 0.0, false);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
  for (int v = 0; v < guide->facts->plan->n_varieties && status == ISW_OK; v++)
    status = print_spread(guide, v, error);
  if (status != ISW_OK) return status;
  print_named_places(guide);
  print_calendars(guide);
  if (more) {
    isw_guide_next_page(print);
    isw_guide_print_text(print, ISW_PRINT_HEADING,
                         isw_words_text(ISW_SAY_GUIDE_DISTRICTS_CONTINUED));
    print_districts(guide, left, true);
  }
  if (!year_done) {
    isw_guide_next_page(print);
    print_year(guide, 0.0, true);
  }
  print_end(guide);
  return ISW_OK;
}

/* A crop after the first begins on an odd page, as the print does. */
static void turn_to_section(struct isw_print *print) {
  isw_guide_next_page(print);
  if (print->page % 2 == 1) return;
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
  isw_guide_next_page(print);
}

static enum isw_status print_crop(struct guide_print *guide, const struct isw_guide_facts *given,
                                  struct isw_folder *folder, struct isw_error *error) {
  struct isw_guide_facts facts = *given;
  guide->facts = &facts;
  guide->maps = (struct isw_guide_maps){.facts = &facts, .page = *given->page, .folder = folder};
  if (guide->c > 0) turn_to_section(&guide->print);
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
