#include "chart/condition_words.h"

#include <math.h>

#include "base/units.h"

static void append_difference(GString *out, const char *before, double difference_K,
                              bool fahrenheit, const char *after) {
  double unit_K = fahrenheit ? isw_base_difference_to_kelvin(1.0, ISW_UNIT_F) : 1.0;
  g_string_append_printf(out, " %s %.3g\u00a0°%c%s", before, fabs(difference_K) / unit_K,
                         fahrenheit ? 'F' : 'C', after);
}

void isw_chart_append_conditions(GString *out, const struct isw_plan *plan, bool fahrenheit) {
  if (plan == NULL) return;
  const struct isw_conditions usual = isw_growth_default_conditions(), *asked = &plan->conditions;
  if (fabs(asked->good_score - usual.good_score) > 0)
    g_string_append_printf(out, " Good day: score %.4g or more.", asked->good_score);
  if (fabs(asked->spread_K - usual.spread_K) > 0)
    append_difference(out, "Single days spread by", asked->spread_K, fahrenheit, ".");
  if (fabs(asked->warmer_K) > 0)
    append_difference(out, "Every normal", asked->warmer_K, fahrenheit,
                      asked->warmer_K > 0 ? " warmer." : " cooler.");
  if (asked->grown_under != ISW_OPEN_GROUND)
    g_string_append_printf(out, " Field stages under: %s.",
                           plan->sheet->shelters[asked->grown_under].name);
  if (asked->start == ISW_START_DIRECT) g_string_append(out, " All sown in place.");
  if (asked->start == ISW_START_NURSERY) g_string_append(out, " All started in the nursery.");
}
