#include "guide/record_lines.h"

#include "guide/guide_words.h"
#include "survey/place_crops.h"
#include "words/record_words.h"
#include "words/say.h"

GPtrArray *isw_guide_record_lines(const struct isw_guide_facts *facts,
                                  const struct isw_guide_site *site, bool brief) {
  if (site->place == NULL || site->place->backtest == NULL) return NULL;
  const struct isw_words_place about = {
      .plan = facts->plan, .place = site->place, .fahrenheit = facts->page->fahrenheit};
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  const int n = isw_survey_list_crops(facts->plan, site->place, crops);
  if (n == 0) return NULL;
  GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
  g_ptr_array_add(lines, isw_words_record_of(&about));
  g_ptr_array_add(lines, isw_words_record_lead(&about));
  for (int c = 0; c < n; c++) {
    char *seasons = isw_guide_crop_seasons(facts->plan, &crops[c]);
    char *text = isw_words_record(&about, crops[c].variety, crops[c].season,
                                  brief ? ISW_RECORD_FAULTS + 1 : ISW_RECORD_LINES);
    g_ptr_array_add(lines, isw_words_say(ISW_SAY_GUIDE_CROP_REMARK, seasons, text));
    g_free(text);
    g_free(seasons);
  }
  g_ptr_array_add(lines, g_strdup(isw_words_text(ISW_SAY_RECORD_NIGHTS)));
  return lines;
}
