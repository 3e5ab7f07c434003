#include "words/cautions.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "survey/place_crops.h"
#include "words/say.h"

/* Does any stage of the chosen varieties stand under something that warms it? */
static bool has_warm_shelter(const struct isw_plan *plan) {
  for (int p = 0; p < plan->n_programmes; p++)
    for (int k = 0; k < plan->sheet->n_stages; k++) {
      int shelter = plan->programmes[p].stages[k].shelter;
      if (shelter != ISW_OPEN_GROUND && plan->sheet->shelters[shelter].warm_to_C > -INFINITY)
        return true;
    }
  return false;
}

char *isw_words_caution(const struct isw_plan *plan, int index) {
  const char *many = plan->sheet->cut.many;
  char days[16];
  /* The nursery's is left out where there is none. */
  enum { NURSERY = ISW_CAUTION_MANURE + 1, FROZEN };
  if (index >= NURSERY && !has_warm_shelter(plan)) index++;
  switch (index) {
    case 0: return g_strdup(isw_words_text(ISW_SAY_CAUTION_NORMALS));
    case 1: return g_strdup(isw_words_text(ISW_SAY_CAUTION_BLIND));
    case 2: return g_strdup(isw_words_text(ISW_SAY_CAUTION_FROST));
    case 3: return g_strdup(isw_words_text(ISW_SAY_CAUTION_LABELS));
    case ISW_CAUTION_MANURE:
      g_snprintf(days, sizeof days, "%d", ISW_MANURE_DAYS);
      return isw_words_say(ISW_SAY_CAUTION_MANURE, days);
    case NURSERY: return g_strdup(isw_words_text(ISW_SAY_CAUTION_NURSERY));
    case FROZEN:
      return many != NULL ? isw_words_say(ISW_SAY_CAUTION_FROZEN, many)
                          : g_strdup(isw_words_text(ISW_SAY_CAUTION_FROZEN_PRODUCE));
    default: return NULL;
  }
}

char *isw_words_normals(const char *period) {
  return period != NULL ? isw_words_say(ISW_SAY_NORMALS_OF, period)
                        : g_strdup(isw_words_text(ISW_SAY_NORMALS_UNKNOWN));
}

int isw_words_period_end(const char *period) {
  enum { YEAR_DIGITS = 4 };
  int year = 0;
  for (const char *c = period; c != NULL && *c != '\0';) {
    int digits = (int)strspn(c, "0123456789");
    if (digits == YEAR_DIGITS) year = (int)g_ascii_strtoll(c, NULL, 10);
    c += digits > 0 ? digits : 1;
  }
  return year;
}

char *isw_words_old_normals(const char *period, int this_year) {
  int end = isw_words_period_end(period);
  if (end == 0 || this_year - end <= ISW_OLD_NORMALS_YEARS) return NULL;
  char years[16];
  g_snprintf(years, sizeof years, "%d", ISW_OLD_NORMALS_YEARS);
  return isw_words_say(ISW_SAY_NORMALS_OLD, years);
}
