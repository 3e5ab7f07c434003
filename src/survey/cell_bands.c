#include "survey/cell_bands.h"

#include "base/dates.h"
#include "growth/pick.h"
#include "growth/result.h"

const char *const isw_survey_band_names[ISW_CELL_BANDS] = {
    "score",      "best_sow", "sow_from",     "sow_to",   "window_days",
    "transplant", "harvest",  "growing_days", "limit",    "frost_risk",
    "bolt_risk",  "years",    "edge",         "cut_from", "cut_to"};

#define DAY_OF_YEAR "day of year"
const char *const isw_survey_band_units[ISW_CELL_BANDS] = {
    "points of 100",     DAY_OF_YEAR, DAY_OF_YEAR, DAY_OF_YEAR, "days", DAY_OF_YEAR,
    DAY_OF_YEAR,         "days",      "code",      "%",         "%",    "years of 10",
    "sum of 1, 2, 4, 8", DAY_OF_YEAR, DAY_OF_YEAR};

const char *const isw_survey_span_names[ISW_SPAN_BANDS] = {"sow_from",   "sow_to",    "span_days",
                                                           "first_type", "last_type", "types"};
const char *const isw_survey_span_units[ISW_SPAN_BANDS] = {
    DAY_OF_YEAR, DAY_OF_YEAR, "days", "variety in sheet order", "variety in sheet order",
    "varieties"};

const bool isw_survey_band_is_date[ISW_CELL_BANDS] = {
    [ISW_BAND_BEST_SOW] = true,   [ISW_BAND_SOW_FROM] = true, [ISW_BAND_SOW_TO] = true,
    [ISW_BAND_TRANSPLANT] = true, [ISW_BAND_HARVEST] = true,  [ISW_BAND_CUT_FROM] = true,
    [ISW_BAND_CUT_TO] = true};
const bool isw_survey_span_band_is_date[ISW_SPAN_BANDS] = {
    [ISW_SPAN_SOW_FROM] = true, [ISW_SPAN_SOW_TO] = true};

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
  bands[ISW_BAND_YEARS] = (int16_t)result->years;
  bands[ISW_BAND_EDGE] = (int16_t)result->edge;
  bands[ISW_BAND_CUT_FROM] = day_of_year(result->cut_from_day);
  bands[ISW_BAND_CUT_TO] = day_of_year(result->cut_to_day);
}

void isw_survey_encode_span(const struct isw_span *span, int16_t bands[ISW_SPAN_BANDS]) {
  for (int b = 0; b < ISW_SPAN_BANDS; b++) bands[b] = 0;
  if (span->days.days == 0) return;
  bands[ISW_SPAN_SOW_FROM] = day_of_year(span->days.from_day);
  bands[ISW_SPAN_SOW_TO] = day_of_year(span->days.to_day);
  bands[ISW_SPAN_DAYS] = (int16_t)span->days.days;
  bands[ISW_SPAN_FIRST_TYPE] = (int16_t)(span->runs[0].variety + 1);
  bands[ISW_SPAN_LAST_TYPE] = (int16_t)(span->runs[span->n_runs - 1].variety + 1);
  bands[ISW_SPAN_TYPES] = (int16_t)span->n_types;
}

/* ---- values from outside ---- */

static bool all_in_range(const int16_t *values, int n, const int16_t ranges[][2]) {
  for (int i = 0; i < n; i++)
    if (values[i] < ranges[i][0] || values[i] > ranges[i][1]) return false;
  return true;
}

#define DAY_OF_YEAR_RANGE \
  { 0, ISW_YEAR_DAYS }

bool isw_survey_bands_can_be(const int16_t bands[ISW_CELL_BANDS]) {
  static const int16_t ranges[ISW_CELL_BANDS][2] = {
      [ISW_BAND_SCORE] = {0, 100},
      [ISW_BAND_BEST_SOW] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_SOW_FROM] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_SOW_TO] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_WINDOW_DAYS] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_TRANSPLANT] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_HARVEST] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_GROWING_DAYS] = DAY_OF_YEAR_RANGE, /* no crop stands longer */
      [ISW_BAND_LIMIT] = {0, ISW_LIMIT_CUT_OUTSIDE},
      [ISW_BAND_FROST_RISK] = {0, 100},
      [ISW_BAND_BOLT_RISK] = {0, 100},
      [ISW_BAND_YEARS] = {-1, ISW_YEARS_OF_TEN},
      [ISW_BAND_EDGE] = {0, ISW_EDGES - 1},
      [ISW_BAND_CUT_FROM] = DAY_OF_YEAR_RANGE,
      [ISW_BAND_CUT_TO] = DAY_OF_YEAR_RANGE};
  return all_in_range(bands, ISW_CELL_BANDS, ranges) &&
         (bands[ISW_BAND_WINDOW_DAYS] == 0 || bands[ISW_BAND_BEST_SOW] > 0);
}

bool isw_survey_span_can_be(const int16_t bands[ISW_SPAN_BANDS], int n_varieties) {
  const int16_t types = (int16_t)n_varieties;
  const int16_t ranges[ISW_SPAN_BANDS][2] = {
      [ISW_SPAN_SOW_FROM] = DAY_OF_YEAR_RANGE, [ISW_SPAN_SOW_TO] = DAY_OF_YEAR_RANGE,
      [ISW_SPAN_DAYS] = DAY_OF_YEAR_RANGE,     [ISW_SPAN_FIRST_TYPE] = {0, types},
      [ISW_SPAN_LAST_TYPE] = {0, types},       [ISW_SPAN_TYPES] = {0, types}};
  return all_in_range(bands, ISW_SPAN_BANDS, ranges) &&
         (bands[ISW_SPAN_DAYS] == 0 ||
          (bands[ISW_SPAN_SOW_FROM] > 0 && bands[ISW_SPAN_SOW_TO] > 0 &&
           bands[ISW_SPAN_FIRST_TYPE] > 0 && bands[ISW_SPAN_LAST_TYPE] > 0));
}

bool isw_survey_pick_can_be(uint8_t code, int n_varieties) {
  const int variety = code > ISW_PICK_RISKY_CODE ? code - ISW_PICK_RISKY_CODE : code;
  return variety <= n_varieties;
}
