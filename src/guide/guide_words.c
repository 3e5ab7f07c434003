#include "guide/guide_words.h"

#include "survey/place_crops.h"
#include "words/cautions.h"
#include "words/condition_words.h"
#include "words/date_words.h"
#include "words/say.h"

char *isw_guide_caution(const struct isw_guide_facts *facts, int index) {
  return isw_words_caution(facts->plan, index);
}

char *isw_guide_method(const struct isw_guide_facts *facts, int index) {
  char score[G_ASCII_DTOSTR_BUF_SIZE];
  switch (index) {
    case 0: return g_strdup(isw_words_text(ISW_SAY_GUIDE_METHOD_CURVE));
    case 1:
      g_ascii_formatd(score, sizeof score, "%.4g", facts->plan->conditions.good_score);
      return isw_words_say(ISW_SAY_GUIDE_METHOD_SCORE, score);
    case 2: return g_strdup(isw_words_text(ISW_SAY_GUIDE_METHOD_PICK));
    case 3: return g_strdup(isw_words_text(ISW_SAY_GUIDE_METHOD_DISTRICT));
    default: return NULL;
  }
}

char *isw_guide_subject(const struct isw_guide_facts *facts) {
  return isw_words_say(ISW_SAY_GUIDE_SUBJECT, facts->plan->sheet->title);
}

char *isw_guide_title(const struct isw_guide_facts *facts) {
  const char *region = facts->page->region_title;
  char *subject = isw_guide_subject(facts);
  if (region == NULL || region[0] == '\0') return subject;
  char *title = isw_words_say(ISW_SAY_GUIDE_TITLE, region, subject);
  g_free(subject);
  return title;
}

char *isw_guide_print_name(const struct isw_guide_facts *facts, int district) {
  const char *name = isw_regions_district_name(facts->districts, district);
  if (!facts->numbered) return g_strdup(name);
  char number[16];
  g_snprintf(number, sizeof number, "%d", district + 1);
  return isw_words_say(ISW_SAY_GUIDE_NUMBERED_NAME, number, name);
}

char *isw_guide_period_words(const struct isw_guide_facts *facts) {
  char *period = isw_words_normals(facts->period);
  GString *text = g_string_new(period);
  g_free(period);
  isw_words_append_conditions(text, facts->plan, false);
  return g_string_free(text, FALSE);
}

char *isw_guide_lead(const struct isw_guide_facts *facts) {
  char *period = isw_guide_period_words(facts);
  GString *text = g_string_new(period);
  g_free(period);
  GDateTime *now = g_date_time_new_from_unix_utc(facts->now);
  char *old = isw_words_old_normals(facts->period, now != NULL ? g_date_time_get_year(now) : 0);
  if (now != NULL) g_date_time_unref(now);
  if (old != NULL) g_string_append_printf(text, " %s", old);
  g_free(old);
  g_string_append_printf(text, " %s", isw_words_text(ISW_SAY_NO_FORECAST));
  return g_string_free(text, FALSE);
}

const char *isw_guide_part_of_month(int day, char *out) {
  return isw_words_period(isw_base_ten_day_period(day), out);
}

char *isw_guide_pick_words(const struct isw_guide_facts *facts, struct isw_table_pick pick) {
  if (pick.variety < 0) return g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_PICK));
  const char *title = facts->plan->sheet->varieties[pick.variety].title;
  return pick.risky ? isw_words_say(ISW_SAY_GUIDE_RISKY_PICK, title) : g_strdup(title);
}

int isw_guide_chosen_variety(const struct isw_plan *plan, int variety) {
  for (int v = 0; v < plan->n_varieties; v++)
    if (plan->varieties[v] == variety) return v;
  return -1;
}

char *isw_guide_season_dates(const struct isw_guide_facts *facts, int s) {
  const struct isw_plan *plan = facts->plan;
  struct isw_window days =
      isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], facts->page->south);
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  return isw_words_say(ISW_SAY_GUIDE_DAYS, isw_words_short_date(days.from_day, from),
                       isw_words_short_date(days.to_day, to));
}
