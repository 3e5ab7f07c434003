/* The words of the chart of a year. */
#ifndef ISW_CHART_PLACE_YEAR_WORDS_H
#define ISW_CHART_PLACE_YEAR_WORDS_H

#include <glib.h>

#include "chart/place_year_view.h"

struct isw_year_words {
  char *title, *subtitle, *source;
  char *description; /* alt text */
};
void isw_chart_word_year(const struct isw_year_view *view, bool fahrenheit,
                         struct isw_year_words *out);
void isw_chart_clear_year_words(struct isw_year_words *words);

/* "spring and summer" */
char *isw_chart_name_crop_seasons(const struct isw_year_view *view,
                                  const struct isw_place_crop *crop);
/* "26 Jul-7 Aug Late storage type, to 14 Aug ..."; new. */
char *isw_chart_word_types(const struct isw_year_view *view);
/* "Slow-bolting spring type" */
const char *isw_chart_crop_title(const struct isw_year_view *view,
                                 const struct isw_place_crop *crop);
/* "Spring: Slow-bolting spring type"; new. */
char *isw_chart_word_crop_heading(const struct isw_year_view *view,
                                  const struct isw_year_crop *crop);
/* Dates, score and risks of a crop, a sentence a line, NULL after the last; new ones. */
enum { ISW_CROP_LINES_MAX = 4 };
void isw_chart_word_crop(const struct isw_year_view *view, const struct isw_year_crop *crop,
                         char *lines[ISW_CROP_LINES_MAX + 1]);
/* "Summer: Nothing to sow. The nearest is ..." for chosen season s without a pick, or NULL; new. */
char *isw_chart_word_no_crop(const struct isw_year_view *view, int s);

/* "5 Mar–18 Mar", "5–18 Mar" */
char *isw_chart_word_days(int from_day, int to_day);

double isw_chart_show_temperature(double temp_C, bool fahrenheit);

#endif
