#include "output/place_words.h"

#include <string.h>

#include "words/classes.h"

/* By the calendar: the time of year there, whatever the sheet calls its seasons. */
static const char *time_of_year(int day, bool south) {
  static const char *const names[] = {"winter", "spring", "summer", "autumn"};
  int month, day_of_month;
  isw_base_date_of_day(day + (south ? ISW_HALF_YEAR_DAYS : 0), &month, &day_of_month);
  return names[month % 12 / 3];
}

static const struct {
  const char *stage, *does;
} stage_does[] = {
    {"germination", "seed comes up"}, {"emergence", "seed comes up"},
    {"seedling", "seedlings grow"},   {"nursery", "seedlings grow"},
    {"rosette", "leaves grow"},       {"leaf", "leaves grow"},
    {"leaves", "leaves grow"},        {"vegetative", "leaves grow"},
    {"heading", "hearts form"},       {"filling", "hearts fill"},
    {"bulbing", "bulbs form"},        {"rooting", "roots grow"},
    {"flowering", "flowers open"},    {"pods", "pods fill"},
    {"pod-filling", "pods fill"},     {"ripening", "the crop ripens"},
};

static char *stage_limit(const char *stage, bool too_cold) {
  const char *amount = too_cold ? "the cold" : "too much heat";
  for (size_t i = 0; i < G_N_ELEMENTS(stage_does); i++)
    if (strcmp(stage, stage_does[i].stage) == 0)
      return g_strdup_printf("%s in %s", stage_does[i].does, amount);
  return g_strdup_printf("the %s stage passes in %s", stage, amount);
}

static char *bolting_limit(const struct isw_programme *programme, const struct isw_place *place,
                           const struct isw_place_result *result) {
  int last = 0; /* end of the days that chill */
  for (int k = 0; k < result->sowing.n_stages; k++)
    if (programme->stages[k].chills) last = result->sowing.runs[k].to_after;
  const char *how = isw_words_bolting_class(result->result.bolt_risk) == ISW_BOLTING_HIGH
                        ? "likely to bolt"
                        : "may bolt";
  if (last == 0) return g_strdup_printf("%s after a cold start", how);
  return g_strdup_printf("%s after a cold %s", how,
                         time_of_year(result->result.best_sow_day + last / 2, place->south));
}

char *isw_output_limit_words(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct isw_place *place, const struct isw_place_result *result) {
  int limit = result->result.limit;
  switch (limit) {
    case ISW_LIMIT_NOTHING: return g_strdup("");
    case ISW_LIMIT_FROST: return g_strdup("frost kills too often");
    case ISW_LIMIT_BOLTING: return bolting_limit(programme, place, result);
    case ISW_LIMIT_NEVER_MATURES: return g_strdup("never gets ready here");
    default: break;
  }
  int stage = (limit - 1) / 2;
  if (stage >= plan->sheet->n_stages) return g_strdup("");
  return stage_limit(programme->stages[stage].name, limit % 2 == 1);
}

char *isw_output_start_words(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct isw_place *place, const struct isw_place_result *result) {
  int shelter_index = programme->stages[0].shelter;
  if (shelter_index == ISW_OPEN_GROUND || result->sowing.n_stages == 0)
    return g_strdup("sow in place");
  const struct isw_shelter *shelter = &plan->sheet->shelters[shelter_index];
  double lo_C = 0.0, hi_C = 0.0;
  int days = 0;
  for (int k = 0; k < result->sowing.n_stages; k++) {
    if (programme->stages[k].shelter != shelter_index) break;
    const struct isw_stage_run *run = &result->sowing.runs[k];
    for (int i = run->from_after; i < run->to_after; i++, days++) {
      lo_C += place->year.tmin_C[isw_base_wrap_day(result->result.best_sow_day + i)];
      hi_C += place->year.tmax_C[isw_base_wrap_day(result->result.best_sow_day + i)];
    }
  }
  static const double matters_K = 2.0;
  bool warms = shelter->warm_to_C - lo_C / days > matters_K && shelter->warm_most_K > matters_K;
  bool cools = hi_C / days - shelter->cool_to_C > 0.0;
  bool in_place = programme->transplant_stage < 0;
  const char *verb = in_place ? "sow in place" : "start seed";
  if (warms && cools)
    return g_strdup_printf("%s under cover (%s), warm at night and shaded by day", verb,
                           shelter->name);
  if (warms)
    return g_strdup_printf(in_place ? "%s under cover (%s)" : "%s indoors or under cover (%s)",
                           verb, shelter->name);
  if (cools) return g_strdup_printf("%s in the shade (%s)", verb, shelter->name);
  return g_strdup_printf(in_place ? "%s under cover (%s)" : "%s in the %s", verb, shelter->name);
}

int isw_output_columns(const char *text) {
  int columns = 0;
  for (const char *c = text; *c != '\0'; c = g_utf8_next_char(c)) {
    gunichar letter = g_utf8_get_char(c);
    columns += g_unichar_iszerowidth(letter) ? 0 : g_unichar_iswide(letter) ? 2 : 1;
  }
  return columns;
}

void isw_output_append_wrapped(GString *out, const char *text, int at, int indent, int width) {
  char **words = g_strsplit(text, " ", -1);
  bool line_empty = true;
  for (char **word = words; *word != NULL; word++) {
    if (**word == '\0') continue;
    int columns = isw_output_columns(*word);
    if (!line_empty && at + 1 + columns > width) {
      g_string_append_printf(out, "\n%*s", indent, "");
      at = indent;
      line_empty = true;
    }
    if (!line_empty) g_string_append_c(out, ' '), at++;
    g_string_append(out, *word);
    at += columns;
    line_empty = false;
  }
  g_string_append_c(out, '\n');
  g_strfreev(words);
}

int isw_output_period_end(const char *period) {
  enum { YEAR_DIGITS = 4 };
  int year = 0;
  for (const char *c = period; c != NULL && *c != '\0';) {
    int digits = (int)strspn(c, "0123456789");
    if (digits == YEAR_DIGITS) year = (int)g_ascii_strtoll(c, NULL, 10);
    c += digits > 0 ? digits : 1;
  }
  return year;
}
