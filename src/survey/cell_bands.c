#include "survey/cell_bands.h"

const char *const isw_survey_band_names[ISW_CELL_BANDS] = {
    "score",   "best_sow",     "sow_from", "sow_to",     "window_days", "transplant",
    "harvest", "growing_days", "limit",    "frost_risk", "bolt_risk"};

/* Day 0..364 to day of year 1..365; none (-1) to 0. */
static int16_t day_of_year(int day) {
  return (int16_t)(day + 1);
}

/* Shares are not below 0, so cutting off rounds half up. (floor would be a call.) */
static int16_t whole_percent(double share) {
  return (int16_t)(share * 100.0 + 0.5);
}

void isw_survey_encode_result(const struct isw_result *result, int16_t bands[ISW_CELL_BANDS]) {
  bands[ISW_BAND_SCORE] = (int16_t)((result->score_tenths + 5) / 10);
  bands[ISW_BAND_BEST_SOW] = day_of_year(result->best_sow_day);
  bands[ISW_BAND_SOW_FROM] = day_of_year(result->window.from_day);
  bands[ISW_BAND_SOW_TO] = day_of_year(result->window.to_day);
  bands[ISW_BAND_WINDOW_DAYS] = (int16_t)result->window.days;
  bands[ISW_BAND_TRANSPLANT] = day_of_year(result->transplant_day);
  bands[ISW_BAND_HARVEST] = day_of_year(result->harvest_day);
  bands[ISW_BAND_GROWING_DAYS] = (int16_t)result->growing_days;
  bands[ISW_BAND_LIMIT] = (int16_t)result->limit;
  bands[ISW_BAND_FROST_RISK] = whole_percent(result->frost_risk);
  bands[ISW_BAND_BOLT_RISK] = whole_percent(result->bolt_risk);
}
