/* A result as the integers a raster holds (docs/outputs.md). */
#ifndef ISW_SURVEY_CELL_BANDS_H
#define ISW_SURVEY_CELL_BANDS_H

#include <stdint.h>

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
  ISW_CELL_BANDS
};
enum { ISW_BANDS_NODATA = -32768, ISW_PICK_NODATA = 255 };

/* Band descriptions, exactly as rasters carry them. */
extern const char *const isw_survey_band_names[ISW_CELL_BANDS];

void isw_survey_encode_result(const struct isw_result *result, int16_t bands[ISW_CELL_BANDS]);

#endif
