#include "guide/print_seasons.h"

#include "guide/guide_words.h"
#include "guide/season_words.h"
#include "words/say.h"

/* Season, then what season_words.h says of it. */
enum { ROW_TEXTS = 1 + ISW_SEASON_COLUMNS };
static const double row_widths_mm[ROW_TEXTS] = {17.0, 29.0, 42.0, 13.5, 16.0,
                                                24.5, 10.5, 13.5, 12.0};

/* A place has no share of an area. */
static bool has_column(const struct isw_sheet *sheet, enum isw_season_column column, bool place) {
  return isw_guide_has_season_column(sheet, column) && !(place && column == ISW_SEASON_SHARE);
}

/* A column that the crop or a place does not have leaves its width to the dates. */
static void start_season_table(const struct isw_sheet *sheet, bool place,
                               struct isw_print_table *table) {
  *table = (struct isw_print_table){.pad_mm = 0.8};
  double left_mm = 0.0;
  for (int i = 0; i < ROW_TEXTS; i++) {
    const enum isw_season_column column = (enum isw_season_column)(i - 1);
    if (i > 0 && !has_column(sheet, column, place)) {
      left_mm += row_widths_mm[i];
      continue;
    }
    table->width_mm[table->n] = row_widths_mm[i];
    table->heads[table->n++] =
        i == 0 ? isw_words_text(ISW_SAY_GUIDE_HEAD_SEASON) : isw_guide_season_head(sheet, column);
  }
  table->width_mm[1 + ISW_SEASON_SOW] += left_mm;
}

void isw_guide_print_season_head(struct isw_print *print, const struct isw_sheet *sheet,
                                 bool place) {
  struct isw_print_table table;
  start_season_table(sheet, place, &table);
  isw_guide_print_head(print, &table);
}

/* Takes words. */
static void print_row(struct isw_print *print, const struct isw_print_table *table,
                      const struct isw_guide_facts *facts, bool place, int s,
                      struct isw_season_words *words) {
  char *name = isw_words_capital(facts->plan->sheet->seasons[facts->plan->seasons[s]].title);
  const char *texts[ROW_TEXTS] = {name};
  int n = 1;
  for (int i = 0; i < ISW_SEASON_COLUMNS; i++)
    if (has_column(facts->plan->sheet, (enum isw_season_column)i, place))
      texts[n++] = words->texts[i];
  isw_guide_print_row(print, table, texts);
  isw_guide_clear_season_words(words);
  g_free(name);
}

void isw_guide_print_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                             int region) {
  isw_guide_print_area_seasons(print, facts, region, NULL);
}

void isw_guide_print_area_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                                  int region, const char *group) {
  struct isw_print_table table;
  start_season_table(facts->plan->sheet, false, &table);
  if (group != NULL) isw_guide_print_group(print, &table, group, 0.0);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    struct isw_season_words words;
    isw_guide_word_season(facts, region, s, &words);
    print_row(print, &table, facts, false, s, &words);
  }
  print->y_mm += 1.5;
}

void isw_guide_print_place_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                                   const struct isw_place *place) {
  struct isw_print_table table;
  start_season_table(facts->plan->sheet, true, &table);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    struct isw_season_words words;
    isw_guide_word_place_season(facts, place, s, &words);
    print_row(print, &table, facts, true, s, &words);
  }
  print->y_mm += 1.5;
}

static void print_cautions(struct isw_print *print, const struct isw_guide_facts *facts,
                           enum isw_print_style style) {
  char *caution;
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_READ_FIRST));
  for (int i = 0; (caution = isw_guide_caution(facts, i)) != NULL; i++) {
    isw_guide_print_item(print, style, caution);
    g_free(caution);
  }
}

void isw_guide_print_cautions(struct isw_print *print, const void *facts) {
  print_cautions(print, facts, ISW_PRINT_BODY);
}

void isw_guide_print_small_cautions(struct isw_print *print, const void *facts) {
  print_cautions(print, facts, ISW_PRINT_SMALL);
}
