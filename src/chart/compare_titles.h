/* What a map calls the two sides of a comparison. */
#ifndef ISW_CHART_COMPARE_TITLES_H
#define ISW_CHART_COMPARE_TITLES_H

struct isw_compare_titles {
  const char *a, *b;
};

#endif
