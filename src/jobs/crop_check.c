#include "jobs/crop_check.h"

#include <math.h>

#include "base/dates.h"
#include "base/units.h"
#include "crop/sheet_doubts.h"
#include "words/place_words.h"

enum { BAND_NUMBERS = 4 };

static void append_band(GString *text, const struct isw_band *band, enum isw_unit unit) {
  const double temps_C[BAND_NUMBERS] = {band->stops_below_C, band->best_from_C, band->best_to_C,
                                        band->stops_above_C};
  for (int i = 0; i < BAND_NUMBERS; i++)
    g_string_append_printf(text, "%s%.4g", i > 0 ? " " : "",
                           round(10 * isw_base_from_celsius(temps_C[i], unit)) / 10);
  g_string_append_printf(text, " deg%s", isw_base_unit_name(unit));
}

/* "8 degC (46.4 degF)" */
static void append_temperature(GString *text, double temp_C) {
  g_string_append_printf(text, "%.4g degC (%.4g degF)", round(10 * temp_C) / 10,
                         round(10 * isw_base_from_celsius(temp_C, ISW_UNIT_F)) / 10);
}

static void append_both_bands(GString *text, const struct isw_band *band) {
  append_band(text, band, ISW_UNIT_C);
  g_string_append(text, " (");
  append_band(text, band, ISW_UNIT_F);
  g_string_append_c(text, ')');
}

static void append_stage(GString *text, const struct isw_sheet *sheet,
                         const struct isw_stage *stage) {
  g_string_append_printf(text, "  %s: %.4g days at best, in ", stage->name, stage->days);
  append_both_bands(text, &stage->band);
  if (stage->transplant) g_string_append(text, ", begins with planting out");
  if (stage->shelter != ISW_OPEN_GROUND)
    g_string_append_printf(text, ", under %s", sheet->shelters[stage->shelter].name);
  if (stage->chills && sheet->has_chilling) g_string_append(text, ", chilling counts");
  if (isfinite(stage->dies_below_C)) {
    g_string_append(text, ", dies below ");
    append_temperature(text, stage->dies_below_C);
  } else {
    g_string_append(text, ", never freezes");
  }
  g_string_append_c(text, '\n');
}

static void append_variety(GString *text, const struct isw_sheet *sheet, int v) {
  const struct isw_variety *variety = &sheet->varieties[v];
  const char *makes = isw_words_chilling_makes(sheet);
  g_string_append_printf(text, "%s: %.4g days from sowing to cut at best", variety->name,
                         isw_crop_total_days(sheet, v));
  if (variety->bolts && sheet->has_chilling)
    g_string_append_printf(text, "; %s: safe up to %.4g chilling days, all from %.4g on\n", makes,
                           variety->bolts_safe, variety->bolts_all);
  else if (sheet->chilling_makes != NULL)
    g_string_append_printf(text, "; %s: never\n", makes);
  else
    g_string_append(text, "; never bolts\n");
  for (int k = 0; k < sheet->n_stages; k++) append_stage(text, sheet, &variety->stages[k]);
}

/* ", by at most 2 K (3.6 degF)"; nothing without a bound. */
static void append_bound(GString *text, double most_K) {
  if (isfinite(most_K))
    g_string_append_printf(text, ", by at most %.4g K (%.4g degF)", most_K,
                           most_K / isw_base_difference_to_kelvin(1, ISW_UNIT_F));
}

static void append_shelter(GString *text, const struct isw_sheet *sheet, int i) {
  const struct isw_shelter *shelter = &sheet->shelters[i];
  const struct isw_shelter_use *use = &sheet->shelter_uses[i];
  g_string_append_printf(text, "shelter %s: ", shelter->name);
  if (isfinite(shelter->warm_to_C)) {
    g_string_append(text, "warms up to ");
    append_temperature(text, shelter->warm_to_C);
    append_bound(text, shelter->warm_most_K);
  } else {
    g_string_append(text, "does not warm");
  }
  if (isfinite(shelter->cool_to_C)) {
    g_string_append(text, "; cools down to ");
    append_temperature(text, shelter->cool_to_C);
    append_bound(text, shelter->cool_most_K);
  } else {
    g_string_append(text, "; does not cool");
  }
  for (int s = 0; s < sheet->n_seasons; s++)
    if (use->not_in_season[s]) g_string_append_printf(text, "; not in %s", sheet->seasons[s].name);
  for (int v = 0; v < sheet->n_varieties; v++)
    if (use->not_for_variety[v])
      g_string_append_printf(text, "; not over %s", sheet->varieties[v].name);
  g_string_append_c(text, '\n');
}

static void append_chilling(GString *text, const struct isw_sheet *sheet) {
  if (!sheet->has_chilling) {
    g_string_append(text, "no chilling\n");
    return;
  }
  g_string_append_printf(text, "chilling days, which make %s, in ",
                         isw_words_chilling_makes(sheet));
  append_both_bands(text, &sheet->chilling);
  g_string_append_c(text, '\n');
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
  append_chilling(text, sheet);
  for (int i = 0; i < sheet->n_shelters; i++) append_shelter(text, sheet, i);
  g_string_append_printf(text, "swing: the bands see %.4g of a day's\n", sheet->swing);
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

enum isw_status isw_jobs_tell_doubts(const struct isw_request *request, const char *file,
                                     const struct isw_sheet *sheet, struct isw_error *error) {
  char **doubts = isw_crop_list_doubts(sheet);
  const guint n = g_strv_length(doubts);
  struct isw_log log = request->log;
  enum isw_status status = ISW_OK;
  for (guint i = 0; i < n && !request->options->strict; i++)
    isw_base_warn(&log, "%s: %s", file, doubts[i]);
  if (n > 0 && request->options->strict)
    status = isw_base_fail(error, ISW_INPUT_DOUBT, "%s: %s", file, doubts[0]);
  g_strfreev(doubts);
  return status;
}
