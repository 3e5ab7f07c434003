/* What the climate reader says of cells. */
#ifndef ISW_CLIMATE_CELLS_H
#define ISW_CLIMATE_CELLS_H

/* Per cell. LEFT_OUT: it has data, but does not count in a mask, and so is not VALID. */
enum { ISW_CELL_VALID = 1, ISW_CELL_SOUTH = 2, ISW_CELL_LEFT_OUT = 4 };
enum { ISW_CELL_NORMALS = 24 }; /* tmin of 12 months, then tmax of 12 months */

/* Of all blocks read so far. */
struct isw_climate_counts {
  long long cells, valid, empty, partial, inverted; /* partial: only some months; inverted: above */
  char first_inverted[96];                          /* names the first one */
};

#endif
