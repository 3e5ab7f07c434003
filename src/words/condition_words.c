#include "words/condition_words.h"

#include <math.h>

#include "base/units.h"
#include "words/date_words.h"
#include "words/say.h"

static void append(GString *out, char *sentence) {
  g_string_append_printf(out, " %s", sentence);
  g_free(sentence);
}

static void append_difference(GString *out, double difference_K, bool fahrenheit,
                              enum isw_sentence in_C, enum isw_sentence in_F) {
  double unit_K = fahrenheit ? isw_base_difference_to_kelvin(1.0, ISW_UNIT_F) : 1.0;
  char number[32];
  g_snprintf(number, sizeof number, "%.3g", fabs(difference_K) / unit_K);
  append(out, isw_words_say(fahrenheit ? in_F : in_C, number));
}

static void append_years(GString *out, const struct isw_conditions *asked,
                         const struct isw_conditions *usual, bool fahrenheit) {
  if (asked->least_years != usual->least_years) {
    char number[32];
    g_snprintf(number, sizeof number, "%d", asked->least_years);
    append(out, isw_words_say(ISW_SAY_CONDITION_YEARS, number));
  }
  if (asked->own_year_spread)
    append(out, g_strdup(isw_words_text(ISW_SAY_CONDITION_OWN_YEAR_SPREAD)));
  else if (fabs(asked->year_spread_K - usual->year_spread_K) > 0)
    append_difference(out, asked->year_spread_K, fahrenheit, ISW_SAY_CONDITION_YEAR_SPREAD_C,
                      ISW_SAY_CONDITION_YEAR_SPREAD_F);
}

void isw_words_append_conditions(GString *out, const struct isw_plan *plan, bool fahrenheit) {
  if (plan == NULL) return;
  const struct isw_conditions usual = isw_growth_default_conditions(), *asked = &plan->conditions;
  if (fabs(asked->good_score - usual.good_score) > 0) {
    char number[32];
    g_snprintf(number, sizeof number, "%.4g", asked->good_score);
    append(out, isw_words_say(ISW_SAY_CONDITION_GOOD, number));
  }
  if (asked->least_years == 0)
    append(out, g_strdup(isw_words_text(ISW_SAY_CONDITION_NO_YEARS)));
  else
    append_years(out, asked, &usual, fahrenheit);
  if (asked->has_cut) {
    char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
    append(out, isw_words_say(ISW_SAY_CONDITION_CUT, isw_words_long_date(asked->cut_from_day, from),
                              isw_words_long_date(asked->cut_to_day, to)));
  }
  if (fabs(asked->spread_K - usual.spread_K) > 0)
    append_difference(out, asked->spread_K, fahrenheit, ISW_SAY_CONDITION_SPREAD_C,
                      ISW_SAY_CONDITION_SPREAD_F);
  if (asked->warmer_K > 0)
    append_difference(out, asked->warmer_K, fahrenheit, ISW_SAY_CONDITION_WARMER_C,
                      ISW_SAY_CONDITION_WARMER_F);
  if (asked->warmer_K < 0)
    append_difference(out, asked->warmer_K, fahrenheit, ISW_SAY_CONDITION_COOLER_C,
                      ISW_SAY_CONDITION_COOLER_F);
  if (asked->grown_under != ISW_OPEN_GROUND)
    append(out,
           isw_words_say(ISW_SAY_CONDITION_UNDER, plan->sheet->shelters[asked->grown_under].title));
  if (asked->start == ISW_START_DIRECT || asked->start == ISW_START_NURSERY)
    g_string_append_printf(
        out, " %s",
        isw_words_text(asked->start == ISW_START_DIRECT ? ISW_SAY_CONDITION_DIRECT
                                                        : ISW_SAY_CONDITION_NURSERY));
}
