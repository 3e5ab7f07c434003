#include "guide/areas.h"

#include <glib.h>
#include <math.h>

#include "words/quantities.h"
#include "words/say.h"

static const double metres_per_foot = 0.3048; /* by definition */

int isw_guide_band_of(double height_m, double step_m) {
  return (int)floor(height_m / step_m);
}

/* Feet to the nearest hundred: as exact as a band's ends are meant. */
static char *word_feet(double height_m) {
  return isw_words_number(100 * (int)lround(height_m / metres_per_foot / 100.0));
}

char *isw_guide_word_heights(double from_m, double to_m, bool feet) {
  char *from = feet ? word_feet(from_m) : isw_words_number((int)lround(from_m));
  char *to = feet ? word_feet(to_m) : isw_words_number((int)lround(to_m));
  char *text = isw_words_say(feet ? ISW_SAY_GUIDE_HEIGHTS_FEET : ISW_SAY_GUIDE_HEIGHTS, from, to);
  g_free(from);
  g_free(to);
  return text;
}

char *isw_guide_word_height(double height_m, bool feet) {
  char *number = feet ? word_feet(height_m) : isw_words_number((int)lround(height_m));
  char *text = isw_words_say(feet ? ISW_SAY_GUIDE_FEET : ISW_SAY_GUIDE_METRES, number);
  g_free(number);
  return text;
}

int isw_guide_find_area(const struct isw_guide_areas *areas, int district, int band) {
  for (int a = 0; a < areas->n; a++)
    if (areas->items[a].district == district &&
        (areas->items[a].band == band || areas->items[a].band == ISW_NO_BAND))
      return a;
  return -1;
}
