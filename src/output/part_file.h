/* Part files: the finished blocks of a share of a grid, to be joined into rasters later.
 *
 * A part file is made under another name in the parts folder, brought to the disk and renamed, so
 * that what has a part's name is whole unless somebody cut it afterwards; that shows too. */
#ifndef ISW_OUTPUT_PART_FILE_H
#define ISW_OUTPUT_PART_FILE_H

#include "survey/survey.h"

/* Share `number` (1..) of `of` shares. */
struct isw_part {
  int number, of;
  long long first_block, block_count;
};

enum { ISW_PARTS_MAX = 100000 };

/* Contiguous shares that differ by at most one block; 1 <= number <= of <= blocks. */
struct isw_part isw_output_share_blocks(long long blocks, int number, int of);

/* What a block of the run consists of. */
struct isw_part_shape {
  int grid_width, grid_height; /* cells */
  int n_results, n_seasons;
  int n_varieties; /* of the sheet, chosen or not: codes count in it */
};

/* "part-K-of-N.isosow"; new, g_free. */
char *isw_output_part_name(int number, int of);
/* Whether a plain name is such a one. */
bool isw_output_is_part_name(const char *name);

/* ---- writing ---- */

struct isw_part_writer;

/* Start a part in folder dir (made when it is not there). run: text that says what the part belongs
 * to, the same in every part of a run. Sweeps up what killed writers of this part left. ISW_OUTPUT.
 */
enum isw_status isw_output_create_part(const char *dir, const struct isw_part *part,
                                       const struct isw_part_shape *shape, const char *run,
                                       struct isw_part_writer **out, struct isw_error *error);

/* Write one block; blocks come in order. A sink's take_block; self is the writer. ISW_OUTPUT. */
enum isw_status isw_output_write_part_block(void *self, const struct isw_block *block,
                                            struct isw_error *error);

/* Complete the file, bring it to the disk, give it its name. The writer is gone afterwards, also
 * when that failed. ISW_OUTPUT. */
enum isw_status isw_output_finish_part(struct isw_part_writer *writer,
                                       const struct isw_climate_counts *counts,
                                       struct isw_error *error);

/* Give up: removes the unfinished file; takes NULL. */
void isw_output_drop_part(struct isw_part_writer *writer);

/* ---- reading ---- */

struct isw_part_reader;

/* Head and tail of a part. ISW_INPUT_FILE: cannot be read; ISW_INPUT_CONTENT: not a part, or cut.
 */
enum isw_status isw_output_open_part(const char *path, struct isw_part_reader **out,
                                     struct isw_error *error);
void isw_output_close_part(struct isw_part_reader *reader); /* takes NULL */

/* What head and tail say; borrowed from the reader. */
const struct isw_part *isw_output_part_share(const struct isw_part_reader *reader);
const char *isw_output_part_run(const struct isw_part_reader *reader);
const struct isw_climate_counts *isw_output_part_counts(const struct isw_part_reader *reader);

/* Give every block to the sink, then compare the checksum of the whole file. A block that comes to
 * the sink holds values that a run of this shape can give, and nodata in cells without climate
 * data. ISW_INPUT_CONTENT when the part is damaged. */
enum isw_status isw_output_replay_part(struct isw_part_reader *reader,
                                       const struct isw_part_shape *shape,
                                       const struct isw_sink *sink, struct isw_error *error);

#endif
