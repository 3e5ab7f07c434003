#include "guide/guide_words.h"

#include "chart/condition_words.h"
#include "words/date_words.h"

static const char *const cautions[] = {
    "Monthly normals are an average year, not a forecast: in single years frost and heat come "
    "earlier or later than on the dates here. Sow in several lots where much hangs on it.",
    "Nothing here knows the soil, water, light, pests, slope, frost hollows or the warmth of a "
    "town. Your own records and your neighbours' come first.",
    "Frost odds take single nights to be independent of each other, which overstates them "
    "somewhat.",
    "Fertilizer and pesticides: follow the label, local rules and the advice of your extension "
    "service.",
    "Raw manure: worked in no later than 120 days before the earliest cut, because the edible part "
    "touches the soil; aged manure counts as raw, only compost made to a recorded time and "
    "temperature standard does not. Local rules come first.",
    "Do not eat or store heads that were frozen and have gone soft or begun to rot.",
    NULL};

static const char *const method[] = {
    "Monthly means of the daily minimum and maximum temperature (normals over many years) become a "
    "smooth course of the year whose months keep their means. For each of the 365 days as a sowing "
    "day the crop is followed stage by stage: each day brings a stage forward by how well its "
    "temperatures, taken as a sine between minimum and maximum, suit the stage.",
    "A sowing day's score is 100 times the fit of its worst stage, times the odds to survive "
    "frost, "
    "times the share of plants that do not bolt (flower instead of heading after too much cold). "
    "Days of a score of 70 or more with little frost and bolting are good days, and an unbroken "
    "run "
    "of them around the season's best day is the window.",
    "The type to choose in a season is the first, in the crop sheet's order of preference, with a "
    "window of a week or more; failing that the first with any window; failing that the one with "
    "the highest score if that is 50 or more, called risky.",
    "District dates are medians by ground area over the cells whose middle lies in the district "
    "and "
    "that have a window, counted in days since the season's first day, so that windows across New "
    "Year do not average to July. The typical place of a district is the cell whose best days and "
    "scores are nearest to its medians.",
    NULL};

const char *isw_guide_caution(int index) {
  return cautions[index];
}

const char *isw_guide_method(int index) {
  return method[index];
}

char *isw_guide_subject(const struct isw_guide_facts *facts) {
  return g_strdup_printf("%s: when to sow", facts->plan->sheet->title);
}

char *isw_guide_title(const struct isw_guide_facts *facts) {
  const char *region = facts->page->region_title;
  char *subject = isw_guide_subject(facts);
  if (region == NULL || region[0] == '\0') return subject;
  char *title = g_strdup_printf("%s – %s", region, subject);
  g_free(subject);
  return title;
}

char *isw_guide_print_name(const struct isw_guide_facts *facts, int district) {
  const char *name = isw_guide_district_name(facts->districts, district);
  return facts->numbered ? g_strdup_printf("%d\u00a0%s", district + 1, name) : g_strdup(name);
}

char *isw_guide_period_words(const struct isw_guide_facts *facts) {
  GString *text = g_string_new(NULL);
  if (facts->period != NULL)
    g_string_printf(text, "Normals of %s.", facts->period);
  else
    g_string_assign(text, "Normals, period not stated.");
  isw_chart_append_conditions(text, facts->plan, false);
  return g_string_free(text, FALSE);
}

const char *isw_guide_part_of_month(int day, char *out) {
  return isw_words_period(isw_base_ten_day_period(day), out);
}

char *isw_guide_pick_words(const struct isw_guide_facts *facts, struct isw_table_pick pick) {
  if (pick.variety < 0) return g_strdup("nothing worth sowing");
  return g_strconcat(facts->plan->sheet->varieties[pick.variety].title,
                     pick.risky ? " (risky)" : "", NULL);
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
  return g_strdup_printf("%s to %s", isw_words_short_date(days.from_day, from),
                         isw_words_short_date(days.to_day, to));
}
