/* The rasters of one plan: a window raster per variety and season, a pick and a span raster per
 * season. They are fed blocks and know nothing of where blocks come from. */
#ifndef ISW_OUTPUT_WINDOW_RASTERS_H
#define ISW_OUTPUT_WINDOW_RASTERS_H

#include "output/folder.h"
#include "survey/survey.h"

/* File names: "<variety>-<season>", "pick-<season>" and "span-<season>" with an ending, and
 * "<crop>-" before them where the plan is one among others. New strings, g_free. v, s: chosen
 * indexes. */
char *isw_output_result_name(const struct isw_plan *plan, int v, int s, const char *ending);
char *isw_output_pick_name(const struct isw_plan *plan, int s, const char *ending);
char *isw_output_span_name(const struct isw_plan *plan, int s, const char *ending);

struct isw_window_rasters;

/* Create all rasters in the folder's temporary place. period: NULL where not stated.
 * pick_colours: RGBA of codes 0..255. zero_as_nodata: bands of dates hold nodata where there is no
 * date, not 0; the others stay. *out is new, to be freed. ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_create_window_rasters(const struct isw_plan *plan,
                                                 const struct isw_grid *grid, const char *period,
                                                 const uint8_t pick_colours[256][4],
                                                 bool zero_as_nodata, struct isw_folder *folder,
                                                 struct isw_window_rasters **out,
                                                 struct isw_error *error);

/* Write one block; plan_index says which plan of the block is ours. ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_write_window_block(struct isw_window_rasters *rasters,
                                              const struct isw_block *block, int plan_index,
                                              struct isw_error *error);

/* The same in jobs 0..count-1, one per raster, that several threads may do at the same time.
 * ISW_OUTPUT, ISW_RESOURCES. */
int isw_output_count_window_jobs(const struct isw_window_rasters *rasters);
enum isw_status isw_output_do_window_job(struct isw_window_rasters *rasters,
                                         const struct isw_block *block, int plan_index, int job,
                                         struct isw_error *error);

/* Close and check every raster, several at a time with several threads; the first failure is
 * returned, all are closed. ISW_OUTPUT, ISW_RESOURCES, ISW_INTERNAL, as isw_output_close_raster. */
enum isw_status isw_output_close_window_rasters(struct isw_window_rasters *rasters, int threads,
                                                struct isw_error *error);

/* Releases; rasters that are still open are dropped unchecked. Takes NULL. */
void isw_output_free_window_rasters(struct isw_window_rasters *rasters);

#endif
