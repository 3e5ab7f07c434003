#include "survey/area_share.h"

#include <math.h>

/* What sums of areas in another order may differ by. */
static const double summing_error = 1e-9;

int isw_survey_share_tenths(double part_m2, double whole_m2) {
  if (!(whole_m2 > 0.0)) return 0;
  double tenths = 1000.0 * part_m2 / whole_m2;
  return (int)floor(fmin(fmax(tenths, 0.0), 1000.0) + 0.5 + summing_error);
}

struct isw_share isw_survey_share(double part_m2, double whole_m2) {
  struct isw_share share = {.percent = (isw_survey_share_tenths(part_m2, whole_m2) + 5) / 10};
  if (share.percent == 0 && part_m2 > summing_error * whole_m2) share.beyond = -1;
  if (share.percent == 100 && whole_m2 - part_m2 > summing_error * whole_m2) share.beyond = 1;
  return share;
}
