#include "chart/shares.h"

#include <glib.h>
#include <math.h>
#include <stdbool.h>

void isw_chart_share_areas(int n, const double *area_m2, int *percent) {
  double total = 0;
  for (int i = 0; i < n; i++) total += area_m2[i];
  for (int i = 0; i < n; i++) percent[i] = 0;
  if (!(total > 0)) return;
  int left = 100;
  for (int i = 0; i < n; i++) {
    percent[i] = (int)floor(100 * area_m2[i] / total);
    left -= percent[i];
  }
  /* Whatever flooring left over goes to the largest remainders, once each. */
  bool *raised = g_new0(bool, (gsize)MAX(n, 1));
  for (; left > 0; left--) {
    int best = -1;
    double most = 0;
    for (int i = 0; i < n; i++) {
      double rest = 100 * area_m2[i] / total - floor(100 * area_m2[i] / total);
      if (!raised[i] && rest > most) {
        most = rest;
        best = i;
      }
    }
    if (best < 0) break;
    raised[best] = true;
    percent[best]++;
  }
  g_free(raised);
}

const char *isw_chart_format_share(int percent, double area_m2, char out[ISW_SHARE_SIZE]) {
  /* U+2009, a thin space, keeps number and sign together. */
  if (percent == 0 && area_m2 > 0)
    g_snprintf(out, ISW_SHARE_SIZE, "<1\u2009%%");
  else
    g_snprintf(out, ISW_SHARE_SIZE, "%d\u2009%%", percent);
  return out;
}
