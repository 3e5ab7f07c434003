/* DESIGN: bytes of a part file. Whole numbers are little-endian.
 *
 *   +----------------+-----+----------+-----+----------+
 *   | "isosow part\n"| u32 | share    | u32 | run      |   head: both texts are JSON
 *   +----------------+-----+----------+-----+----------+
 *   | u64 index | frame: flags | frame per result ... | frame per season's picks ... |
 *   |                                                 | frame per season's spans ... |
 *   |   ... a row of these per block; a block without a valid cell ends after its flags     |
 *   +----------+-----+-----------------+--------------+
 *   | counts   | u32 | SHA-256 (32)    | "part end\n" |   tail, read backwards from the end
 *   +----------+-----+-----------------+--------------+
 *
 * The checksum is that of everything before it. A frame is its length (u32) and a zlib stream. A
 * result's or a span's frame holds, per band, the differences between neighbouring cells: all low
 * bytes, then all high bytes; that is what makes them small, and the same on every machine. */
#ifndef ISW_OUTPUT_PART_FORMAT_H
#define ISW_OUTPUT_PART_FORMAT_H

#include <glib.h>

#include "survey/cell_bands.h"

#define ISW_PART_HEAD "isosow part\n"
#define ISW_PART_END "part end\n"

enum {
  ISW_PART_HEAD_BYTES = sizeof ISW_PART_HEAD - 1,
  ISW_PART_END_BYTES = sizeof ISW_PART_END - 1,
  ISW_PART_CHECKSUM_BYTES = 32,
  ISW_PART_TAIL_BYTES = 4 + ISW_PART_CHECKSUM_BYTES + ISW_PART_END_BYTES
};

/* bands [cells][n_bands] <-> planes [n_bands][2][cells] bytes of differences. */
void isw_output_split_bands(const int16_t *bands, size_t n_bands, size_t cells, uint8_t *planes);
void isw_output_merge_bands(const uint8_t *planes, size_t n_bands, size_t cells, int16_t *bands);

#endif
