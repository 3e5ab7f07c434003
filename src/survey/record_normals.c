#include "survey/record_normals.h"

#include <math.h>

#include "growth/month_sums.h"

enum { STANDARD_YEARS = 30, DECADE = 10 };

int isw_survey_period_years(const struct isw_record_request *request) {
  return request->to_year - request->from_year + 1;
}

bool isw_survey_is_standard_period(const struct isw_record_request *request) {
  return isw_survey_period_years(request) == STANDARD_YEARS && request->to_year % DECADE == 0;
}

static void note_month(struct isw_record_normals *out, int k, int years) {
  if (years < out->needed) out->short_months++;
  if (k > 0 && years >= out->worst_years) return;
  out->worst = k;
  out->worst_years = years;
}

static void find_spread(const struct isw_record_request *request, bool south,
                        const struct isw_month_sums *sums, struct isw_normals *out) {
  double sum_K = 0.0;
  int n = 0;
  for (int month = request->from_month;; month = (month + 1) % ISW_YEAR_MONTHS) {
    sum_K += isw_growth_month_spread_K(&sums[isw_growth_season_month(month, south)]);
    n++;
    if (month == request->to_month) break;
  }
  out->has_year_spread = !isnan(sum_K);
  out->year_spread_K = out->has_year_spread ? sum_K / n : 0.0;
}

void isw_survey_record_normals(const struct isw_record_request *request,
                               const struct isw_station_record *station, bool south,
                               struct isw_record_normals *out) {
  struct isw_month_sums sums[ISW_YEAR_MONTHS] = {{.n_tmin = 0}};
  *out = (struct isw_record_normals){
      .needed = isw_growth_years_needed(isw_survey_period_years(request), request->least_percent)};
  for (int y = 0; y < station->n_years; y++) {
    const struct isw_record_year *year = &station->years[y];
    if (year->year < request->from_year || year->year > request->to_year) continue;
    out->years++;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++)
      isw_growth_add_month(&sums[m], year->tmin_C[m], year->tmax_C[m]);
  }
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    out->normals.tmin_C[m] = isw_growth_month_tmin_C(&sums[m], out->needed);
    out->normals.tmax_C[m] = isw_growth_month_tmax_C(&sums[m], out->needed);
    note_month(out, m, sums[m].n_tmin);
  }
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) note_month(out, ISW_YEAR_MONTHS + m, sums[m].n_tmax);
  out->valid = out->short_months == 0 && out->worst_years > 0;
  find_spread(request, south, sums, &out->normals);
}
