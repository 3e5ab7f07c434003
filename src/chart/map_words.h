/* The words of maps: titles, headings and the sentence that stands for a picture. */
#ifndef ISW_CHART_MAP_WORDS_H
#define ISW_CHART_MAP_WORDS_H

#include <glib.h>

#include "chart/compare_titles.h"
#include "chart/map_page.h"
#include "survey/comparison.h"
#include "survey/opens_map.h"
#include "survey/tally.h"
#include "words/say.h"

struct isw_map_words {
  char *title, *subtitle, *heading, *note;
  char *description; /* alt text, a few sentences */
};
void isw_chart_clear_words(struct isw_map_words *words);

/* The season's sowing dates where most of this page lies, 0..364: what the page counts days from.
 */
struct isw_window isw_chart_season_days(const struct isw_map_page *page,
                                        const struct isw_season *season);

/* Append a sentence, after a space where something stands already. Takes sentence. */
void isw_chart_add_sentence(GString *text, char *sentence);

/* Region, crop, the sentences of what is shown, the sowing dates looked at, the conditions. New. */
char *isw_chart_word_subtitle(const struct isw_map_page *page, const struct isw_season *season,
                              const char *what);

/* Region, where there is one: the beginning of subtitle and alt text. */
GString *isw_chart_start_with_region(const struct isw_map_page *page);

/* A sentence of the season's sowing dates: `one` takes two dates; `both`, for a page that lies on
 * both sides of the equator, four: north from and to, south from and to. New. */
char *isw_chart_word_season_dates(const struct isw_map_page *page, const struct isw_season *season,
                                  enum isw_sentence one, enum isw_sentence both);

void isw_chart_word_sowing_map(const struct isw_map_page *page, const struct isw_variety *variety,
                               const struct isw_season *season,
                               const struct isw_result_tally *tally, struct isw_map_words *out);
void isw_chart_word_score_map(const struct isw_map_page *page, const struct isw_variety *variety,
                              const struct isw_season *season, const struct isw_result_tally *tally,
                              struct isw_map_words *out);
void isw_chart_word_years_map(const struct isw_map_page *page, const struct isw_variety *variety,
                              const struct isw_season *season, const struct isw_result_tally *tally,
                              struct isw_map_words *out);
void isw_chart_word_span_map(const struct isw_map_page *page, const struct isw_season *season,
                             const struct isw_span_tally *tally, bool last,
                             struct isw_map_words *out);
void isw_chart_word_pick_map(const struct isw_map_page *page, const struct isw_sheet *sheet,
                             const struct isw_season *season, const struct isw_pick_tally *tally,
                             struct isw_map_words *out);
void isw_chart_word_opens_map(const struct isw_map_page *page, const struct isw_plan *plan,
                              const struct isw_season *season, const struct isw_opens_tally *tally,
                              struct isw_map_words *out);
void isw_chart_word_compare_map(const struct isw_map_page *page,
                                const struct isw_compare_titles *titles,
                                const struct isw_season *season,
                                const struct isw_compare_tally *tally, struct isw_map_words *out);

#endif
