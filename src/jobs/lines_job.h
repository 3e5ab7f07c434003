/* Lines of equal sowing date for a GIS: lines.gpkg, a layer per variety and season. */
#ifndef ISW_JOBS_LINES_JOB_H
#define ISW_JOBS_LINES_JOB_H

#include "chart/map_sheet.h"
#include "output/folder.h"

extern const char isw_jobs_lines_name[];

/* A crop of the run, whose rasters lie, whole, in the folder's temporary place. */
struct isw_lines_crop {
  const struct isw_plan *plan;
  const struct isw_tally *tally;
  const struct isw_map_page *page;
};

/* The lines of every sowing map of n crops, as their pages show them, whether drawn or not, found
 * by `threads` threads. wkt: the grid's CRS. A layer is called as its raster, without the ending.
 * ISW_OUTPUT, ISW_INTERRUPTED, and as isw_chart_find_sowing_lines. */
enum isw_status isw_jobs_write_lines(int n, const struct isw_lines_crop *crops, const char *wkt,
                                     int threads, struct isw_folder *folder,
                                     struct isw_error *error);

#endif
