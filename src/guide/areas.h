/* The areas that a guide has rows, strips and calendars for: its districts, or where heights are
 * asked for, the bands of elevation that each district has. */
#ifndef ISW_GUIDE_AREAS_H
#define ISW_GUIDE_AREAS_H

#include <stdbool.h>

#include "regions/district_set.h"

struct isw_guide_area {
  int district;
  int band; /* of from_m / (to_m - from_m), rounded down; ISW_NO_BAND: all of the district */
  double from_m, to_m;
  char *name; /* "Cloudback", "Cloudback, 900 to 1200 m" */
};
enum { ISW_NO_BAND = -1000000 };

struct isw_guide_areas {
  int n;
  struct isw_guide_area *items; /* in the districts' order, then upwards */
};

/* The band of a height, bands being step_m wide from 0 m on. */
int isw_guide_band_of(double height_m, double step_m);

/* A range of heights as readers see it: "900 to 1200 m", or in feet. New. */
char *isw_guide_word_heights(double from_m, double to_m, bool feet);

/* "300 m", or in feet to the nearest hundred. New. */
char *isw_guide_word_height(double height_m, bool feet);

/* The area of a district and band, or -1. */
int isw_guide_find_area(const struct isw_guide_areas *areas, int district, int band);

#endif
