/* The last pass over a block: planes of months to 24 values per cell, with every check a cell gets.
 * Pure, no I/O. */
#ifndef ISW_CLIMATE_INTERLEAVE_H
#define ISW_CLIMATE_INTERLEAVE_H

#include <stddef.h>
#include <stdint.h>

struct isw_interleave_counts {
  size_t valid, empty, partial, inverted;
  size_t first_inverted; /* cell index; meaningful when inverted > 0 */
  size_t refused;        /* cells out of range, or tmin above tmax by more than 0.5 K */
  size_t first_refused;
};

/* n cells. planes[24][stride] degC with NAN for none -> normals[n][24], flags[n] (ISW_CELL_VALID or
 * 0). */
void isw_climate_interleave(size_t n, const float *planes, size_t stride, float *normals,
                            uint8_t *flags, struct isw_interleave_counts *counts);

#endif
