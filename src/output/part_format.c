#include "output/part_format.h"

void isw_output_split_bands(const int16_t *bands, size_t n_bands, size_t cells, uint8_t *planes) {
  for (size_t b = 0; b < n_bands; b++) {
    uint8_t *low = planes + 2 * b * cells, *high = low + cells;
    uint16_t previous = 0;
    for (size_t c = 0; c < cells; c++) {
      uint16_t value = (uint16_t)bands[c * n_bands + b];
      uint16_t difference = (uint16_t)(value - previous);
      low[c] = (uint8_t)(difference & 0xff);
      high[c] = (uint8_t)(difference >> 8);
      previous = value;
    }
  }
}

void isw_output_merge_bands(const uint8_t *planes, size_t n_bands, size_t cells, int16_t *bands) {
  for (size_t b = 0; b < n_bands; b++) {
    const uint8_t *low = planes + 2 * b * cells, *high = low + cells;
    uint16_t value = 0;
    for (size_t c = 0; c < cells; c++) {
      value = (uint16_t)(value + low[c] + (high[c] << 8));
      bands[c * n_bands + b] = (int16_t)value;
    }
  }
}
