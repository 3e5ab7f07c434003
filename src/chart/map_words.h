/* The words of map sheets: titles, headings and the sentence that stands for a picture. */
#ifndef ISW_CHART_MAP_WORDS_H
#define ISW_CHART_MAP_WORDS_H

#include <glib.h>

#include "chart/map_sheet.h"

struct isw_map_words {
  char *title, *subtitle, *heading, *note;
  char *description; /* alt text, one or two sentences */
};
void isw_chart_clear_words(struct isw_map_words *words);

/* The season's sowing dates where most of this page lies, 0..364: what the page counts days from.
 */
struct isw_window isw_chart_season_days(const struct isw_map_page *page,
                                        const struct isw_season *season);

/* The season's sowing dates, for every hemisphere that the page shows: "1 July to 31 December", or
 * "1 July to 31 December north of the equator, 30 December to 1 July south of it". To be freed. */
char *isw_chart_season_date_words(const struct isw_map_page *page, const struct isw_season *season);

void isw_chart_word_sowing_map(const struct isw_map_page *page, const struct isw_variety *variety,
                               const struct isw_season *season,
                               const struct isw_result_tally *tally, struct isw_map_words *out);
void isw_chart_word_score_map(const struct isw_map_page *page, const struct isw_variety *variety,
                              const struct isw_season *season, const struct isw_result_tally *tally,
                              struct isw_map_words *out);
void isw_chart_word_pick_map(const struct isw_map_page *page, const struct isw_sheet *sheet,
                             const struct isw_season *season, const struct isw_pick_tally *tally,
                             struct isw_map_words *out);

#endif
