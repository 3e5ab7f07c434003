#include "guide/print_seasons.h"

#include "guide/guide_words.h"
#include "guide/season_words.h"
#include "words/say.h"

/* Season, then what season_words.h says of it. */
enum { ROW_TEXTS = 1 + ISW_SEASON_COLUMNS };
static const double row_widths_mm[ROW_TEXTS] = {17.0, 29.0, 42.0, 13.5, 16.0,
                                                24.5, 10.5, 13.5, 12.0};

static void start_season_table(struct isw_print_table *table) {
  *table = (struct isw_print_table){.n = ROW_TEXTS, .pad_mm = 0.8};
  for (int i = 0; i < ROW_TEXTS; i++) {
    table->width_mm[i] = row_widths_mm[i];
    table->heads[i] = i == 0 ? isw_words_text(ISW_SAY_GUIDE_HEAD_SEASON)
                             : isw_guide_season_head((enum isw_season_column)(i - 1));
  }
}

void isw_guide_print_season_head(struct isw_print *print) {
  struct isw_print_table table;
  start_season_table(&table);
  isw_guide_print_head(print, &table);
}

void isw_guide_print_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                             int region) {
  struct isw_print_table table;
  start_season_table(&table);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    struct isw_season_words words;
    isw_guide_word_season(facts, region, s, &words);
    char *name = isw_words_capital(facts->plan->sheet->seasons[facts->plan->seasons[s]].title);
    const char *texts[ROW_TEXTS] = {name};
    for (int i = 0; i < ISW_SEASON_COLUMNS; i++) texts[1 + i] = words.texts[i];
    isw_guide_print_row(print, &table, texts);
    isw_guide_clear_season_words(&words);
    g_free(name);
  }
  print->y_mm += 1.5;
}

void isw_guide_print_cautions(struct isw_print *print, const void *facts) {
  char *caution;
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_READ_FIRST));
  for (int i = 0; (caution = isw_guide_caution(facts, i)) != NULL; i++) {
    isw_guide_print_item(print, ISW_PRINT_BODY, caution);
    g_free(caution);
  }
}
