/* DESIGN: chunks of cells small enough that a chunk's 24 runs and its interleaved copy stay in the
 * first-level cache. Per chunk, passes along the cells (the compiler's vectors) find the extremes
 * and the sum of what is missing; a cell is looked at by itself only when something is wrong. */
#include "climate/interleave.h"

#include <math.h>
#include <string.h>

#include "base/dates.h"
#include "climate/cells.h"
#include "climate/limits.h"

enum { CHUNK = 64 };

static const float coldest_C = (float)ISW_COLDEST_C, warmest_C = (float)ISW_WARMEST_C;
static const float most_inverted_K = (float)ISW_MOST_INVERTED_K;

struct extremes {
  float low[CHUNK], high[CHUNK], inverted_K[CHUNK];
  int32_t missing[CHUNK];
};

static void find_extremes(size_t n, const float *restrict planes, size_t stride,
                          struct extremes *restrict e) {
  for (size_t i = 0; i < n; i++) {
    e->low[i] = INFINITY;
    e->high[i] = e->inverted_K[i] = -INFINITY;
    e->missing[i] = 0;
  }
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) {
    const float *lo = planes + (size_t)month * stride;
    const float *hi = planes + (size_t)(month + ISW_YEAR_MONTHS) * stride;
    for (size_t i = 0; i < n; i++) {
      float a = lo[i], b = hi[i], difference = a - b;
      e->missing[i] += (a != a) + (b != b);
      /* Comparisons with NAN are false: what is missing changes nothing. */
      e->low[i] = a < e->low[i] ? a : e->low[i];
      e->low[i] = b < e->low[i] ? b : e->low[i];
      e->high[i] = a > e->high[i] ? a : e->high[i];
      e->high[i] = b > e->high[i] ? b : e->high[i];
      e->inverted_K[i] = difference > e->inverted_K[i] ? difference : e->inverted_K[i];
    }
  }
}

static void copy_cells(size_t n, const float *restrict planes, size_t stride,
                       float *restrict normals) {
  for (int k = 0; k < ISW_CELL_NORMALS; k++) {
    const float *from = planes + (size_t)k * stride;
    float *to = normals + k;
    for (size_t i = 0; i < n; i++) to[i * ISW_CELL_NORMALS] = from[i];
  }
}

void isw_climate_interleave(size_t n, const float *planes, size_t stride, float *normals,
                            uint8_t *flags, struct isw_interleave_counts *counts) {
  memset(counts, 0, sizeof *counts);
  struct extremes e;
  for (size_t start = 0; start < n; start += CHUNK) {
    size_t m = n - start < CHUNK ? n - start : CHUNK;
    find_extremes(m, planes + start, stride, &e);
    copy_cells(m, planes + start, stride, normals + start * ISW_CELL_NORMALS);
    for (size_t i = 0; i < m; i++) {
      size_t cell = start + i;
      flags[cell] = 0;
      if (e.missing[i] == ISW_CELL_NORMALS) {
        counts->empty++;
        continue;
      }
      if (e.low[i] < coldest_C || e.high[i] > warmest_C || e.inverted_K[i] > most_inverted_K) {
        if (counts->refused++ == 0) counts->first_refused = cell;
      } else if (e.inverted_K[i] > 0.0f) {
        if (counts->inverted++ == 0) counts->first_inverted = cell;
      } else if (e.missing[i] > 0) {
        counts->partial++;
      } else {
        flags[cell] = ISW_CELL_VALID;
        counts->valid++;
      }
    }
  }
}
