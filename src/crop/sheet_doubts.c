/* The bounds are common practice, no source: no cool-season crop that heads comes near them. */
#include "crop/sheet_doubts.h"

#include <glib.h>
#include <math.h>

static const double coldest_stop_C = 7.2; /* 45 degF */
static const double longest_days = 60.0, widest_band_K = 24.0;
static const double warmer_later_K = 5.0, totals_apart = 3.0;

double isw_crop_total_days(const struct isw_sheet *sheet, int variety) {
  double days = 0;
  for (int k = 0; k < sheet->n_stages; k++) days += sheet->varieties[variety].stages[k].days;
  return days;
}

bool isw_crop_can_freeze(const struct isw_sheet *sheet, int variety) {
  for (int k = 0; k < sheet->n_stages; k++)
    if (isfinite(sheet->varieties[variety].stages[k].dies_below_C)) return true;
  return false;
}

/* Takes text; a stage that varieties share is told of once. */
static void add(GPtrArray *doubts, char *text) {
  for (guint i = 0; i < doubts->len; i++) {
    if (g_strcmp0(g_ptr_array_index(doubts, i), text) != 0) continue;
    g_free(text);
    return;
  }
  g_ptr_array_add(doubts, text);
}

static void doubt_stage(GPtrArray *doubts, const struct isw_stage *stage,
                        const struct isw_stage *before) {
  if (stage->band.stops_above_C < coldest_stop_C)
    add(doubts,
        g_strdup_printf("stage '%s' stops above %.0f degC already: are its numbers degC, in a "
                        "sheet of unit F?",
                        stage->name, stage->band.stops_above_C));
  if (stage->days > longest_days)
    add(doubts,
        g_strdup_printf("stage '%s' takes %.4g days at best; days count from the stage's own "
                        "start, not from sowing",
                        stage->name, stage->days));
  if (isfinite(stage->dies_below_C) && stage->dies_below_C > 0)
    add(doubts,
        g_strdup_printf("stage '%s' dies below %.1f degC, which is no frost; dies_below is for "
                        "what kills in a night",
                        stage->name, stage->dies_below_C));
  if (before != NULL && stage->band.best_from_C > before->band.best_from_C + warmer_later_K)
    add(doubts,
        g_strdup_printf("stage '%s' is at its best from %.0f degC, the one before it from %.0f: "
                        "cool-season crops mostly want it cooler later",
                        stage->name, stage->band.best_from_C, before->band.best_from_C));
}

static void doubt_variety(GPtrArray *doubts, const struct isw_sheet *sheet, int v) {
  const struct isw_variety *variety = &sheet->varieties[v];
  for (int k = 0; k < sheet->n_stages; k++)
    doubt_stage(doubts, &variety->stages[k], k > 0 ? &variety->stages[k - 1] : NULL);
  if (sheet->has_chilling && !variety->bolts)
    add(doubts,
        g_strdup_printf("variety '%s' has no bolts, in a sheet that has chilling: it never bolts",
                        variety->name));
  const double first = isw_crop_total_days(sheet, 0), own = isw_crop_total_days(sheet, v);
  if (own > totals_apart * first || first > totals_apart * own)
    add(doubts, g_strdup_printf("variety '%s' takes %.4g days in all, '%s' %.4g", variety->name,
                                own, sheet->varieties[0].name, first));
}

static bool are_bands_wide(const struct isw_sheet *sheet) {
  for (int k = 0; k < sheet->n_stages; k++) {
    const struct isw_band *band = &sheet->varieties[0].stages[k].band;
    if (band->stops_above_C - band->stops_below_C < widest_band_K) return false;
  }
  return true;
}

char **isw_crop_list_doubts(const struct isw_sheet *sheet) {
  GPtrArray *doubts = g_ptr_array_new();
  if (sheet->swing >= 1 && are_bands_wide(sheet))
    add(doubts,
        g_strdup("swing 1 is for bands measured at constant temperature; these are as wide as "
                 "handbooks state them, as means of the day: swing 0.5?"));
  for (int v = 0; v < sheet->n_varieties; v++) doubt_variety(doubts, sheet, v);
  g_ptr_array_add(doubts, NULL);
  return (char **)g_ptr_array_free(doubts, FALSE);
}
