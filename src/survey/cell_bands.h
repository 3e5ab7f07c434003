/* A result, and a season's span, as the integers a raster holds (docs/outputs.md). */
#ifndef ISW_SURVEY_CELL_BANDS_H
#define ISW_SURVEY_CELL_BANDS_H

#include <stdbool.h>
#include <stdint.h>

#include "growth/span.h"
#include "growth/windows.h"

enum isw_cell_band {
  ISW_BAND_SCORE = 0,
  ISW_BAND_BEST_SOW,
  ISW_BAND_SOW_FROM,
  ISW_BAND_SOW_TO,
  ISW_BAND_WINDOW_DAYS,
  ISW_BAND_TRANSPLANT,
  ISW_BAND_HARVEST,
  ISW_BAND_GROWING_DAYS,
  ISW_BAND_LIMIT,
  ISW_BAND_FROST_RISK,
  ISW_BAND_BOLT_RISK,
  ISW_BAND_YEARS,
  ISW_BAND_EDGE,
  ISW_BAND_CUT_FROM,
  ISW_BAND_CUT_TO,
  ISW_CELL_BANDS
};
/* Of a season, whatever the variety: the days on which some type can be sown. */
enum isw_span_band {
  ISW_SPAN_SOW_FROM = 0,
  ISW_SPAN_SOW_TO,
  ISW_SPAN_DAYS,
  ISW_SPAN_FIRST_TYPE, /* varieties in sheet order from 1 */
  ISW_SPAN_LAST_TYPE,
  ISW_SPAN_TYPES,
  ISW_SPAN_BANDS
};
/* Most years of a band, and how many sums its edges have. */
enum { ISW_YEARS_OF_TEN = 10, ISW_EDGES = 16 };
enum { ISW_BANDS_NODATA = -32768, ISW_PICK_NODATA = 255 };

/* Band descriptions and units, exactly as rasters carry them. */
extern const char *const isw_survey_band_names[ISW_CELL_BANDS];
extern const char *const isw_survey_band_units[ISW_CELL_BANDS];
extern const char *const isw_survey_span_names[ISW_SPAN_BANDS];
extern const char *const isw_survey_span_units[ISW_SPAN_BANDS];
/* Bands that hold a day of the year, 1-365, or 0: none. */
extern const bool isw_survey_band_is_date[ISW_CELL_BANDS];
extern const bool isw_survey_span_band_is_date[ISW_SPAN_BANDS];

/* A variety's result in one season as the values of its bands. */
void isw_survey_encode_result(const struct isw_result *result, int16_t bands[ISW_CELL_BANDS]);
/* The same of a season's span; 0 throughout without one. */
void isw_survey_encode_span(const struct isw_span *span, int16_t bands[ISW_SPAN_BANDS]);

/* Whether values that come from outside (a part) are such as the functions above and
 * isw_growth_pick_code can give, of a cell with climate data and a sheet of n_varieties. */
bool isw_survey_bands_can_be(const int16_t bands[ISW_CELL_BANDS]);
bool isw_survey_span_can_be(const int16_t bands[ISW_SPAN_BANDS], int n_varieties);
bool isw_survey_pick_can_be(uint8_t code, int n_varieties);

#endif
