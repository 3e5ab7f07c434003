/* What themes that colour dates share. */
#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"

void isw_chart_start_dates(struct isw_map_body *body, const struct isw_season *season) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) body->fills[i] = isw_chart_plain_fill(colours[i]);
  body->edged = ISW_CLASS_EMPTY;
  body->start_day = isw_chart_season_days(body->page, season).from_day;
}

bool isw_chart_set_date(struct isw_map_body *body, size_t i, int day_of_year, int days) {
  if (body->after == NULL)
    body->after = g_new(int16_t, (gsize)body->grid.width * (gsize)body->grid.height);
  const bool has = days > 0 && day_of_year > 0;
  body->after[i] = has ? (int16_t)isw_base_days_forward(body->start_day, day_of_year - 1) : -1;
  body->grid.classes[i] = days == ISW_BANDS_NODATA ? ISW_CLASS_NONE
                          : has ? (uint8_t)isw_base_ten_day_period(day_of_year - 1)
                                : ISW_CLASS_EMPTY;
  return has;
}
