#include "survey/area_spread.h"

#include <stdlib.h>

#include "base/dates.h"

struct part {
  int value;
  double area_m2;
};

/* Areas are added in one order and may be compared after another. */
static const double rounding = 1e-12;

static struct part *part_at(const struct isw_area_spread *spread, guint index) {
  return &g_array_index(spread->parts, struct part, index);
}

static guint part_count(const struct isw_area_spread *spread) {
  return spread->parts != NULL ? spread->parts->len : 0;
}

void isw_survey_add_to_spread(struct isw_area_spread *spread, int value, double area_m2) {
  if (!(area_m2 > 0.0)) return;
  if (spread->parts == NULL) spread->parts = g_array_new(FALSE, FALSE, sizeof(struct part));
  guint low = 0, high = spread->parts->len;
  while (low < high) {
    guint middle = (low + high) / 2;
    if (part_at(spread, middle)->value < value)
      low = middle + 1;
    else
      high = middle;
  }
  if (low < spread->parts->len && part_at(spread, low)->value == value) {
    part_at(spread, low)->area_m2 += area_m2;
  } else {
    struct part part = {value, area_m2};
    g_array_insert_val(spread->parts, low, part);
  }
}

void isw_survey_clear_spread(struct isw_area_spread *spread) {
  if (spread->parts != NULL) g_array_unref(spread->parts);
  spread->parts = NULL;
}

double isw_survey_spread_m2(const struct isw_area_spread *spread) {
  double sum_m2 = 0.0;
  for (guint i = 0; i < part_count(spread); i++) sum_m2 += part_at(spread, i)->area_m2;
  return sum_m2;
}

bool isw_survey_spread_quantile(const struct isw_area_spread *spread, double share, int *out) {
  guint n = part_count(spread);
  if (n == 0) return false;
  double wanted_m2 = share * isw_survey_spread_m2(spread) * (1.0 - rounding), sum_m2 = 0.0;
  guint i = 0;
  while (i + 1 < n && (sum_m2 += part_at(spread, i)->area_m2) < wanted_m2) i++;
  *out = part_at(spread, i)->value;
  return true;
}

static double distances_from(const struct isw_area_spread *spread, int value) {
  double sum = 0.0;
  for (guint i = 0; i < part_count(spread); i++) {
    int forward = isw_base_days_forward(value, part_at(spread, i)->value);
    sum += part_at(spread, i)->area_m2 * MIN(forward, ISW_YEAR_DAYS - forward);
  }
  return sum;
}

bool isw_survey_spread_circular_median(const struct isw_area_spread *spread, int *out) {
  double least = 0.0;
  int best = 0;
  for (guint i = 0; i < part_count(spread); i++) {
    int value = part_at(spread, i)->value;
    double sum = distances_from(spread, value);
    bool nearer = i > 0 && sum <= least * (1.0 + rounding) && abs(value) < abs(best);
    if (i > 0 && !(sum < least * (1.0 - rounding)) && !nearer) continue;
    least = sum;
    best = value;
  }
  if (part_count(spread) == 0) return false;
  *out = best;
  return true;
}
