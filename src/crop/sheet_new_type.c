#include "crop/sheet_new_type.h"

#include <glib.h>
#include <math.h>

#include "base/dates.h"
#include "crop/sheet_doubts.h"
#include "crop/sheet_sections.h"

const double isw_crop_days_per_best_day = 1.03;

/* Of what a warm end moves, this share moves the best: between the built-in types .75 to 1. */
static const double best_share = 0.75;
static const double least_days = 0.5, least_ramp_K = 1.0;

static double tenths(double value) {
  return round(10 * value) / 10;
}

static int first_in_field(const struct isw_sheet *sheet) {
  return MAX(isw_crop_transplant_stage(sheet), 0);
}

/* The stages that heat ends first: those that stop in less of it than the first in the field, or
 * the last. Judged by the sheet's first variety, so that all types have the same. */
static void find_sensitive(const struct isw_sheet *sheet, bool sensitive[ISW_STAGES_MAX]) {
  const struct isw_stage *stages = sheet->varieties[0].stages;
  const int field = first_in_field(sheet), n = sheet->n_stages;
  bool any = false;
  for (int k = 0; k < n; k++) {
    sensitive[k] = k > field && stages[k].band.stops_above_C < stages[field].band.stops_above_C;
    any = any || sensitive[k];
  }
  if (!any) sensitive[n - 1] = true;
}

static double warm_end_C(const struct isw_sheet *sheet, const struct isw_stage *stages,
                         const bool sensitive[ISW_STAGES_MAX]) {
  double end_C = -INFINITY;
  for (int k = 0; k < sheet->n_stages; k++)
    if (sensitive[k]) end_C = fmax(end_C, stages[k].band.stops_above_C);
  return end_C;
}

/* How far a variety is from what is said: in days, else in the heat it stands. */
static double distance(const struct isw_sheet *sheet, int v, const struct isw_catalogue_type *type,
                       const bool sensitive[ISW_STAGES_MAX]) {
  if (!isnan(type->days))
    return fabs(isw_crop_total_days(sheet, v) - type->days / isw_crop_days_per_best_day);
  if (!isnan(type->hottest_week_C))
    return fabs(warm_end_C(sheet, sheet->varieties[v].stages, sensitive) - type->hottest_week_C);
  return v;
}

static enum isw_status find_like(const struct isw_sheet *sheet,
                                 const struct isw_catalogue_type *type,
                                 const bool sensitive[ISW_STAGES_MAX], int *like,
                                 struct isw_error *error) {
  if (type->like != NULL) {
    *like = isw_crop_find_variety(sheet, type->like);
    if (*like >= 0) return ISW_OK;
    GString *names = g_string_new(NULL);
    for (int v = 0; v < sheet->n_varieties; v++)
      g_string_append_printf(names, "%s%s", v > 0 ? ", " : "", sheet->varieties[v].name);
    isw_base_fail(error, ISW_USAGE, "%s has no variety '%s'; it has: %s", sheet->origin, type->like,
                  names->str);
    g_string_free(names, TRUE);
    return ISW_USAGE;
  }
  *like = 0;
  for (int v = 1; v < sheet->n_varieties; v++)
    if (distance(sheet, v, type, sensitive) < distance(sheet, *like, type, sensitive)) *like = v;
  return ISW_OK;
}

static enum isw_status set_days(const struct isw_sheet *sheet,
                                const struct isw_catalogue_type *type, struct isw_new_type *out,
                                struct isw_error *error) {
  const double had = isw_crop_total_days(sheet, out->like);
  const int n = sheet->n_stages, kept = n > 1 ? 1 : 0;
  out->best_days = had;
  if (isnan(type->days)) return ISW_OK;
  out->best_days = tenths(type->days / isw_crop_days_per_best_day);
  const double first = kept > 0 ? out->stages[0].days : 0;
  const double share = (out->best_days - first) / (had - first);
  double left = out->best_days - first;
  for (int k = kept; k < n; k++) {
    struct isw_stage *stage = &out->stages[k];
    const bool usual = stage->at_most_days == isw_crop_usual_at_most(stage->days);
    stage->days = k + 1 < n ? tenths(share * stage->days) : tenths(left);
    left -= stage->days;
    if (stage->days < least_days)
      return isw_base_fail(error, ISW_USAGE,
                           "‹days› %g: too few for the stages of %s, the first of which takes %g "
                           "at best",
                           type->days, sheet->varieties[out->like].name, first);
    stage->at_most_days = usual ? isw_crop_usual_at_most(stage->days)
                                : MAX(stage->at_most_days, (int)ceil(stage->days));
  }
  return ISW_OK;
}

static enum isw_status set_warm_ends(const struct isw_sheet *sheet,
                                     const struct isw_catalogue_type *type,
                                     const bool sensitive[ISW_STAGES_MAX], struct isw_new_type *out,
                                     struct isw_error *error) {
  if (isnan(type->hottest_week_C)) return ISW_OK;
  const double shift_K = type->hottest_week_C - warm_end_C(sheet, out->stages, sensitive);
  for (int k = first_in_field(sheet); k < sheet->n_stages; k++) {
    struct isw_band *band = &out->stages[k].band;
    const double before_C = band->stops_above_C;
    if (sensitive[k]) {
      band->stops_above_C += shift_K;
      band->best_to_C =
          fmin(band->best_to_C + best_share * shift_K, band->stops_above_C - least_ramp_K);
    } else {
      band->stops_above_C = fmax(band->stops_above_C, type->hottest_week_C);
    }
    out->warmer[k] = sensitive[k] || band->stops_above_C > before_C;
    if (band->best_to_C < band->best_from_C)
      return isw_base_fail(error, ISW_USAGE,
                           "‹heads-to›: %.1f degC leaves stage '%s' no temperature to be at its "
                           "best, which begins at %.1f",
                           type->hottest_week_C, out->stages[k].name, band->best_from_C);
  }
  return ISW_OK;
}

static enum isw_status set_frost(const struct isw_sheet *sheet,
                                 const struct isw_catalogue_type *type, struct isw_new_type *out,
                                 struct isw_error *error) {
  if (isnan(type->stands_C)) return ISW_OK;
  double hardiest_C = INFINITY;
  for (int k = first_in_field(sheet); k < sheet->n_stages; k++)
    if (isfinite(out->stages[k].dies_below_C))
      hardiest_C = fmin(hardiest_C, out->stages[k].dies_below_C);
  if (!isfinite(hardiest_C))
    return isw_base_fail(error, ISW_USAGE,
                         "‹stands›: no stage of %s can freeze in the field; give a sheet that says "
                         "dies_below",
                         sheet->varieties[out->like].name);
  for (int k = first_in_field(sheet); k < sheet->n_stages; k++)
    if (isfinite(out->stages[k].dies_below_C))
      out->stages[k].dies_below_C =
          fmin(out->stages[k].dies_below_C + type->stands_C - hardiest_C, 0.0);
  return ISW_OK;
}

enum isw_status isw_crop_derive_type(const struct isw_sheet *sheet,
                                     const struct isw_catalogue_type *type,
                                     struct isw_new_type *out, struct isw_error *error) {
  bool sensitive[ISW_STAGES_MAX] = {false};
  *out = (struct isw_new_type){.like = 0};
  find_sensitive(sheet, sensitive);
  enum isw_status status = find_like(sheet, type, sensitive, &out->like, error);
  if (status != ISW_OK) return status;
  for (int k = 0; k < sheet->n_stages; k++) out->stages[k] = sheet->varieties[out->like].stages[k];
  status = set_days(sheet, type, out, error);
  if (status == ISW_OK) status = set_warm_ends(sheet, type, sensitive, out, error);
  if (status == ISW_OK) status = set_frost(sheet, type, out, error);
  return status;
}
