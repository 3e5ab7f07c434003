#include "jobs/crop_check.h"

#include <math.h>

#include "base/dates.h"
#include "base/units.h"
#include "crop/sheet_doubts.h"

enum { BAND_NUMBERS = 4 };

static void append_band(GString *text, const struct isw_band *band, enum isw_unit unit) {
  const double temps_C[BAND_NUMBERS] = {band->stops_below_C, band->best_from_C, band->best_to_C,
                                        band->stops_above_C};
  for (int i = 0; i < BAND_NUMBERS; i++)
    g_string_append_printf(text, "%s%.4g", i > 0 ? " " : "",
                           round(10 * isw_base_from_celsius(temps_C[i], unit)) / 10);
  g_string_append_printf(text, " deg%s", isw_base_unit_name(unit));
}

static void append_stage(GString *text, const struct isw_sheet *sheet,
                         const struct isw_stage *stage) {
  g_string_append_printf(text, "  %s: %.4g days at best, in ", stage->name, stage->days);
  append_band(text, &stage->band, ISW_UNIT_C);
  g_string_append(text, " (");
  append_band(text, &stage->band, ISW_UNIT_F);
  g_string_append_c(text, ')');
  if (stage->shelter != ISW_OPEN_GROUND)
    g_string_append_printf(text, ", under %s", sheet->shelters[stage->shelter].name);
  if (isfinite(stage->dies_below_C))
    g_string_append_printf(text, ", dies below %.4g degC (%.4g degF)\n", stage->dies_below_C,
                           round(10 * isw_base_from_celsius(stage->dies_below_C, ISW_UNIT_F)) / 10);
  else
    g_string_append(text, ", never freezes\n");
}

static void append_variety(GString *text, const struct isw_sheet *sheet, int v) {
  const struct isw_variety *variety = &sheet->varieties[v];
  g_string_append_printf(text, "%s: %.4g days from sowing to cut at best", variety->name,
                         isw_crop_total_days(sheet, v));
  if (variety->bolts && sheet->has_chilling)
    g_string_append_printf(text, "; bolts: safe up to %.4g chilling days, all from %.4g on\n",
                           variety->bolts_safe, variety->bolts_all);
  else
    g_string_append(text, "; never bolts\n");
  for (int k = 0; k < sheet->n_stages; k++) append_stage(text, sheet, &variety->stages[k]);
}

/* How many seasons hold a day, and which comes first. */
static int seasons_on(const struct isw_sheet *sheet, int day) {
  int n = 0;
  for (int s = 0; s < sheet->n_seasons; s++) {
    const struct isw_season *season = &sheet->seasons[s];
    n += isw_base_days_forward(season->sow_from_day, day) <=
         isw_base_days_forward(season->sow_from_day, season->sow_to_day);
  }
  return n;
}

/* Runs of days that as many seasons hold: none, or several. */
static void append_runs(GString *text, const struct isw_sheet *sheet, bool gaps) {
  for (int from = 0, to; from < ISW_YEAR_DAYS; from = to + 1) {
    for (to = from; to < ISW_YEAR_DAYS; to++)
      if (gaps ? seasons_on(sheet, to) > 0 : seasons_on(sheet, to) < 2) break;
    if (to == from) continue;
    char first[ISW_DATE_SIZE], last[ISW_DATE_SIZE];
    g_string_append_printf(text, "  %s: %s to %s\n", gaps ? "in no season" : "in several seasons",
                           isw_base_format_month_day(from, first),
                           isw_base_format_month_day(to - 1, last));
  }
}

void isw_jobs_append_understood(GString *text, const struct isw_sheet *sheet) {
  for (int v = 0; v < sheet->n_varieties; v++) append_variety(text, sheet, v);
  g_string_append(text, "seasons:");
  for (int s = 0; s < sheet->n_seasons; s++) {
    const struct isw_season *season = &sheet->seasons[s];
    char first[ISW_DATE_SIZE], last[ISW_DATE_SIZE];
    g_string_append_printf(text, "%s %s, sown %s to %s%s", s > 0 ? ";" : "", season->name,
                           isw_base_format_month_day(season->sow_from_day, first),
                           isw_base_format_month_day(season->sow_to_day, last),
                           season->start == ISW_START_DIRECT ? " in place" : "");
  }
  g_string_append_c(text, '\n');
  append_runs(text, sheet, true);
  append_runs(text, sheet, false);
}
