/* The rasters of a comparison: one per season, bands of survey/comparison.h. */
#ifndef ISW_OUTPUT_COMPARE_RASTERS_H
#define ISW_OUTPUT_COMPARE_RASTERS_H

#include "climate/grid.h"
#include "output/folder.h"
#include "survey/comparison.h"

/* What the files say of the two sides. */
struct isw_compare_labels {
  const char *a, *b; /* as file names say it: "standard", "standard-grown-under-row-cover" */
  const struct isw_plan *plan; /* A's: the crop, and the conditions that both sides share */
  const char *period;          /* NULL: not stated */
};

/* "A-vs-B-SEASON" with an ending; season NULL: "A-vs-B". New, g_free. */
char *isw_output_compare_name(const struct isw_compare_labels *labels, const char *season,
                              const char *ending);

struct isw_compare_rasters;

/* Create one raster per season in the folder's temporary place. *out is new, to be freed.
 * ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_create_compare_rasters(const struct isw_compare_labels *labels,
                                                  int n_seasons, const char *const *seasons,
                                                  const struct isw_grid *grid,
                                                  struct isw_folder *folder,
                                                  struct isw_compare_rasters **out,
                                                  struct isw_error *error);

/* Write one block (first column and row, size in cells) of a season (its index in `seasons`).
 * compared: [height * width][ISW_COMPARE_BANDS]; where a block may lie: isw_output_write_block.
 * ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_write_compare_block(struct isw_compare_rasters *rasters, int season,
                                               int col, int row, int width, int height,
                                               const int16_t *compared, struct isw_error *error);

/* Close and check every raster; the first failure is returned, all are closed. ISW_OUTPUT,
 * ISW_RESOURCES, ISW_INTERNAL, as isw_output_close_raster. */
enum isw_status isw_output_close_compare_rasters(struct isw_compare_rasters *rasters,
                                                 struct isw_error *error);

/* Releases; rasters that are still open are dropped unchecked. Takes NULL. */
void isw_output_free_compare_rasters(struct isw_compare_rasters *rasters);

#endif
