#include "guide/guide_words.h"

#include <math.h>

#include "growth/pick.h"
#include "regions/district_overlaps.h"
#include "survey/place_crops.h"
#include "words/cautions.h"
#include "words/condition_words.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/quantities.h"
#include "words/say.h"
#include "words/shares.h"

char *isw_guide_caution(const struct isw_guide_facts *facts, int index) {
  return isw_words_caution(facts->plan, index);
}

static char *method_of_scores(const struct isw_plan *plan) {
  const struct isw_conditions *asked = &plan->conditions;
  char score[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(score, sizeof score, "%.4g", asked->good_score);
  char *first = plan->sheet->has_chilling ? isw_words_say(ISW_SAY_GUIDE_METHOD_SCORE_CHILLED,
                                                          isw_words_chilling_makes(plan->sheet))
                                          : g_strdup(isw_words_text(ISW_SAY_GUIDE_METHOD_SCORE));
  if (asked->least_years == 0)
    return isw_words_join(first, isw_words_say(ISW_SAY_GUIDE_METHOD_YEARS_ALONE, score));
  char *years = isw_words_number(asked->least_years);
  char *text = isw_words_join(first, isw_words_say(ISW_SAY_GUIDE_METHOD_YEARS, score, years));
  g_free(years);
  return text;
}

static char *method_of_picks(const struct isw_conditions *asked) {
  bool counted = asked->least_years > 0;
  char *days = isw_words_number(ISW_PICK_WINDOW_DAYS);
  char *least = isw_words_number(counted ? ISW_PICK_RISKY_YEARS : ISW_PICK_RISKY_TENTHS / 10);
  char *text = isw_words_say(counted ? ISW_SAY_GUIDE_METHOD_PICK : ISW_SAY_GUIDE_METHOD_PICK_ALONE,
                             days, least);
  g_free(days);
  g_free(least);
  return text;
}

char *isw_guide_method(const struct isw_guide_facts *facts, int index) {
  switch (index) {
    case 0: return g_strdup(isw_words_text(ISW_SAY_GUIDE_METHOD_CURVE));
    case 1: return method_of_scores(facts->plan);
    case 2: return method_of_picks(&facts->plan->conditions);
    case 3: return g_strdup(isw_words_text(ISW_SAY_GUIDE_METHOD_DISTRICT));
    default: return NULL;
  }
}

char *isw_guide_subject(const struct isw_guide_facts *facts) {
  return isw_words_say(ISW_SAY_GUIDE_SUBJECT, facts->plan->sheet->title);
}

char *isw_guide_subjects(int n, const struct isw_guide_facts *crops) {
  const char **titles = g_new(const char *, (gsize)n);
  for (int c = 0; c < n; c++) titles[c] = crops[c].plan->sheet->title;
  char *list = isw_words_list(n, titles), *subject = isw_words_say(ISW_SAY_GUIDE_SUBJECT, list);
  g_free(list);
  g_free(titles);
  return subject;
}

char *isw_guide_title(int n, const struct isw_guide_facts *crops) {
  const char *region = crops->page->region_title;
  char *subject = isw_guide_subjects(n, crops);
  if (region == NULL || region[0] == '\0') return subject;
  char *title = isw_words_say(ISW_SAY_GUIDE_TITLE, region, subject);
  g_free(subject);
  return title;
}

static char *number_name(const struct isw_guide_facts *facts, int area, const char *name) {
  if (!facts->numbered) return g_strdup(name);
  char number[16];
  g_snprintf(number, sizeof number, "%d", facts->areas->items[area].district + 1);
  return isw_words_say(ISW_SAY_GUIDE_NUMBERED_NAME, number, name);
}

char *isw_guide_print_name(const struct isw_guide_facts *facts, int area) {
  return number_name(facts, area, facts->areas->items[area].name);
}

char *isw_guide_print_district_name(const struct isw_guide_facts *facts, int area) {
  int district = facts->areas->items[area].district;
  return number_name(facts, area, isw_regions_district_name(facts->districts, district));
}

char *isw_guide_area_heights(const struct isw_guide_facts *facts, int area) {
  const struct isw_guide_area *of = &facts->areas->items[area];
  if (of->band == ISW_NO_BAND) return NULL;
  return isw_guide_word_heights(of->from_m, of->to_m, facts->page->fahrenheit);
}

bool isw_guide_begins_district(const struct isw_guide_facts *facts, int area) {
  const struct isw_guide_area *items = facts->areas->items;
  return area == 0 || items[area - 1].district != items[area].district;
}

bool isw_guide_ends_district(const struct isw_guide_facts *facts, int area) {
  return area + 1 == facts->areas->n || isw_guide_begins_district(facts, area + 1);
}

char *isw_guide_period_words(const struct isw_guide_facts *facts) {
  char *period = isw_words_normals(facts->period);
  GString *text = g_string_new(period);
  g_free(period);
  isw_words_append_conditions(text, facts->plan, facts->page->fahrenheit);
  if (facts->page->mask_line != NULL) g_string_append_printf(text, " %s", facts->page->mask_line);
  return g_string_free(text, FALSE);
}

/* Which districts lie in others, and what that means; of many, how many. */
static void append_overlaps(GString *text, const struct isw_guide_facts *facts) {
  enum { NAMED = 3 };
  struct isw_district_overlap *overlaps;
  int n = isw_regions_list_overlaps(facts->districts, &overlaps);
  for (int i = 0; i < n && n <= NAMED; i++) {
    char *said = isw_words_say(
        overlaps[i].inside ? ISW_SAY_GUIDE_DISTRICT_INSIDE : ISW_SAY_GUIDE_DISTRICTS_OVERLAP,
        isw_regions_district_name(facts->districts, overlaps[i].smaller),
        isw_regions_district_name(facts->districts, overlaps[i].larger));
    g_string_append_printf(text, " %s", said);
    g_free(said);
  }
  char number[16];
  g_snprintf(number, sizeof number, "%d", n);
  char *many = n > NAMED ? isw_words_say(ISW_SAY_GUIDE_MANY_OVERLAPS, number) : NULL;
  if (many != NULL) g_string_append_printf(text, " %s", many);
  g_free(many);
  g_free(overlaps);
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
  append_overlaps(text, facts);
  g_string_append_printf(text, " %s", isw_words_text(ISW_SAY_NO_FORECAST));
  return g_string_free(text, FALSE);
}

char *isw_guide_foot(const struct isw_guide_facts *facts) {
  char *period = isw_guide_period_words(facts);
  char *foot = g_strdup_printf("%s %s %s", period, isw_words_text(ISW_SAY_NO_FORECAST),
                               isw_words_text(ISW_SAY_LABELS_FIRST));
  g_free(period);
  return foot;
}

bool isw_guide_area_has_pick(const struct isw_guide_facts *facts, int area) {
  if (facts->areas->items[area].band == ISW_NO_BAND) return true;
  for (int s = 0; s < facts->plan->n_seasons; s++)
    if (isw_guide_read_pick(facts->table, 1 + area, s).variety >= 0) return true;
  return false;
}

static char *word_slope(const struct isw_guide_facts *facts, int s, struct isw_height_slope slope) {
  const struct isw_plan *plan = facts->plan;
  char *season = isw_words_capital(plan->sheet->seasons[plan->seasons[s]].title);
  char *height = isw_guide_word_height(isw_guide_band_m(facts->table), facts->page->fahrenheit);
  char *spread = isw_words_number((int)lround(slope.spread_days));
  int days = (int)lround(slope.days_per_band);
  char *text =
      days > 0   ? isw_words_count_with(ISW_SAY_GUIDE_HIGHER_LATER, days, season, height, spread)
      : days < 0 ? isw_words_count_with(ISW_SAY_GUIDE_HIGHER_EARLIER, -days, season, height, spread)
                 : isw_words_say(ISW_SAY_GUIDE_HIGHER_SAME, season, height, spread);
  g_free(season);
  g_free(height);
  g_free(spread);
  return text;
}

char *isw_guide_land_words(const struct isw_guide_facts *facts, int district) {
  GString *all = g_string_new(NULL);
  double kept = isw_guide_read_kept_share(facts->table, district);
  if (facts->page->mask_line != NULL && !isnan(kept)) {
    char share[ISW_SHARE_SIZE];
    char *text = isw_words_say(ISW_SAY_GUIDE_KEPT, isw_words_format_share(kept, 1.0, share));
    g_string_append(all, text);
    g_free(text);
  }
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    struct isw_table_pick pick = isw_guide_read_district_pick(facts->table, district, s);
    int v = isw_guide_chosen_variety(facts->plan, pick.variety);
    if (v < 0 || pick.risky) continue;
    struct isw_height_slope slope = isw_guide_read_slope(facts->table, district, v, s);
    if (!slope.has) continue;
    char *text = word_slope(facts, s, slope);
    g_string_append_printf(all, "%s%s", all->len > 0 ? " " : "", text);
    g_free(text);
  }
  return g_string_free(all, all->len == 0);
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

char *isw_guide_crop_seasons(const struct isw_plan *plan, const struct isw_place_crop *crop) {
  const char *names[ISW_SEASONS_MAX];
  for (int i = 0; i < crop->n_seasons; i++)
    names[i] = plan->sheet->seasons[plan->seasons[crop->seasons[i]]].title;
  char *list = isw_words_list(crop->n_seasons, names), *capital = isw_words_capital(list);
  g_free(list);
  return capital;
}

char *isw_guide_season_dates(const struct isw_guide_facts *facts, int s) {
  enum { NORTH, SOUTH, SIDES };
  const struct isw_plan *plan = facts->plan;
  char from[SIDES][ISW_DATE_SIZE], to[SIDES][ISW_DATE_SIZE];
  for (int side = 0; side < SIDES; side++) {
    struct isw_window days =
        isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], side == SOUTH);
    isw_words_short_date(days.from_day, from[side]);
    isw_words_short_date(days.to_day, to[side]);
  }
  if (facts->page->both_hemispheres)
    return isw_words_say(ISW_SAY_GUIDE_DAYS_OF_BOTH, from[NORTH], to[NORTH], from[SOUTH],
                         to[SOUTH]);
  int side = facts->page->south ? SOUTH : NORTH;
  return isw_words_say(ISW_SAY_GUIDE_DAYS, from[side], to[side]);
}

char *isw_guide_days_words(struct isw_window days) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  isw_words_short_date(days.from_day, from);
  if (days.days == 1) return g_strdup(from);
  return isw_words_say(ISW_SAY_GUIDE_DATES, from, isw_words_short_date(days.to_day, to));
}

char *isw_guide_type_words(const struct isw_guide_facts *facts, int variety,
                           struct isw_window days) {
  char *dates = isw_guide_days_words(days);
  char *text =
      isw_words_say(ISW_SAY_GUIDE_TYPE_DATES, facts->plan->sheet->varieties[variety].title, dates);
  g_free(dates);
  return text;
}

char *isw_guide_limit_words(const struct isw_plan *plan, int v, int s, int limit) {
  switch (limit) {
    case ISW_LIMIT_NOTHING: return g_strdup("–");
    case ISW_LIMIT_FROST: return g_strdup(isw_words_text(ISW_SAY_LIMIT_FROST));
    case ISW_LIMIT_BOLTING:
      return plan->sheet->chilling_makes != NULL
                 ? isw_words_say(ISW_SAY_LIMIT_MAY_MAKE, plan->sheet->chilling_makes)
                 : g_strdup(isw_words_text(ISW_SAY_LIMIT_MAY_BOLT));
    case ISW_LIMIT_NEVER_MATURES: return g_strdup(isw_words_text(ISW_SAY_LIMIT_NEVER_MATURES));
    case ISW_LIMIT_CUT_OUTSIDE: return g_strdup(isw_words_text(ISW_SAY_GUIDE_LIMIT_CUT));
    default: break;
  }
  const struct isw_stage *stage =
      &plan->programmes[plan->programme_of[v][s]].stages[(limit - 1) / 2];
  bool cold = limit % 2 == 1;
  const char *own = cold ? stage->says.cold : stage->says.warm;
  if (own != NULL) return g_strdup(own);
  return isw_words_say(cold ? ISW_SAY_LIMIT_STAGE_COLD : ISW_SAY_LIMIT_STAGE_WARM, stage->title);
}
