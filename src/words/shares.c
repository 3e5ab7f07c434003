#include "words/shares.h"

#include <glib.h>
#include <math.h>
#include <stdbool.h>

#include "words/say.h"

void isw_words_share_areas(int n, const double *area_m2, int *percent) {
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

const char *isw_words_format_share(int percent, double area_m2, char out[ISW_SHARE_SIZE]) {
  if (percent == 0 && area_m2 > 0) {
    g_strlcpy(out, isw_words_text(ISW_SAY_SHARE_BELOW_ONE), ISW_SHARE_SIZE);
    return out;
  }
  char number[16];
  g_snprintf(number, sizeof number, "%d", percent);
  char *text = isw_words_say(ISW_SAY_SHARE, number);
  g_strlcpy(out, text, ISW_SHARE_SIZE);
  g_free(text);
  return out;
}
