/* DESIGN: areas are kept as their changes from day to day, so that a cell costs a few additions and
 * not one for each of its days. */
#include "guide/type_days.h"

#include <glib.h>
#include <string.h>

enum { ALL_DAYS = ISW_YEAR_DAYS + 1 };

/* Chosen index of the i-th variety in the season's order, or -1. */
static int chosen_in_order(const struct isw_plan *plan, int s, int i) {
  int variety = plan->sheet->seasons[plan->seasons[s]].preferred[i];
  for (int v = 0; v < plan->n_varieties; v++)
    if (plan->varieties[v] == variety) return v;
  return -1;
}

static int list_runs(const int8_t *types, struct isw_type_days_run *runs, int runs_max) {
  int n = 0;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    if (types[day] < 0) continue;
    if (n > 0 && runs[n - 1].v == types[day] && runs[n - 1].to == day - 1)
      runs[n - 1].to = day;
    else if (n < runs_max)
      runs[n++] = (struct isw_type_days_run){types[day], day, day};
  }
  return n;
}

int isw_guide_find_cell_runs(const struct isw_plan *plan, int s, struct isw_window season,
                             const struct isw_window *windows,
                             struct isw_type_days_run runs[ISW_CELL_RUNS_MAX]) {
  int8_t types[ISW_YEAR_DAYS];
  bool any = false;
  for (int v = 0; v < plan->n_varieties; v++) any = any || windows[v].days > 0;
  if (!any) return 0;
  memset(types, -1, sizeof types);
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    int v = chosen_in_order(plan, s, i);
    if (v < 0) continue;
    int first = isw_base_days_forward(season.from_day, windows[v].from_day);
    for (int k = 0; k < windows[v].days; k++) {
      int day = (first + k) % ISW_YEAR_DAYS;
      if (day < season.days && types[day] < 0) types[day] = (int8_t)v;
    }
  }
  return list_runs(types, runs, ISW_CELL_RUNS_MAX);
}

void isw_guide_add_cell_runs(struct isw_type_days *days, int n,
                             const struct isw_type_days_run *runs, double area_m2) {
  for (int i = 0; i < n; i++) {
    double **begin_m2 = &days->begin_m2[runs[i].v];
    if (*begin_m2 == NULL) *begin_m2 = g_new0(double, ALL_DAYS);
    (*begin_m2)[runs[i].from] += area_m2;
    (*begin_m2)[runs[i].to + 1] -= area_m2;
  }
  if (n > 0) days->span_m2 += area_m2;
}

void isw_guide_clear_type_days(struct isw_type_days *days) {
  for (int v = 0; v < ISW_VARIETIES_MAX; v++) g_free(days->begin_m2[v]);
  *days = (struct isw_type_days){.span_m2 = 0.0};
}

int isw_guide_find_region_runs(const struct isw_plan *plan, int s, const struct isw_type_days *days,
                               double area_m2, struct isw_type_days_run runs[ISW_REGION_RUNS_MAX]) {
  static const double most = 0.5, rounding = 1e-9;
  double type_m2[ISW_VARIETIES_MAX] = {0.0};
  int8_t types[ISW_YEAR_DAYS];
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    double sum_m2 = 0.0;
    int largest = -1;
    for (int i = 0; i < plan->sheet->n_varieties; i++) {
      int v = chosen_in_order(plan, s, i);
      if (v < 0 || days->begin_m2[v] == NULL) continue;
      type_m2[v] += days->begin_m2[v][day];
      sum_m2 += type_m2[v];
      if (largest < 0 || type_m2[v] > type_m2[largest] + rounding * area_m2) largest = v;
    }
    bool enough = area_m2 > 0.0 && sum_m2 >= (most - rounding) * area_m2;
    types[day] = (int8_t)(enough ? largest : -1);
  }
  return list_runs(types, runs, ISW_REGION_RUNS_MAX);
}
