/* The printed maps of a run, drawn by several threads. */
#ifndef ISW_JOBS_MAP_PAGES_H
#define ISW_JOBS_MAP_PAGES_H

#include <glib.h>

#include "chart/map_sheet.h"
#include "jobs/options.h"
#include "output/folder.h"

/* ISW_USAGE, naming the option. Fields that belong to the run (districts, source_line, south)
 * stay unset. */
enum isw_status isw_jobs_make_page(const struct isw_options *options, const struct isw_sheet *sheet,
                                   struct isw_map_page *page, struct isw_error *error);

/* The districts that the options name, for a grid; NULL where they name none. To be freed, after
 * the page that draws them. */
enum isw_status isw_jobs_open_districts(const struct isw_options *options,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_district_set **out, struct isw_error *error);

/* The same for the layers that maps show beside. */
enum isw_status isw_jobs_open_layers(const struct isw_options *options, const struct isw_grid *grid,
                                     struct isw_log *log, struct isw_map_layers **out,
                                     struct isw_error *error);

/* The same for the places that they name. */
enum isw_status isw_jobs_open_places(const struct isw_options *options, const struct isw_grid *grid,
                                     struct isw_log *log, struct isw_place_list **out,
                                     struct isw_error *error);

/* The same for the elevation whose hill shade they show. */
enum isw_status isw_jobs_open_relief(const struct isw_options *options, const struct isw_grid *grid,
                                     struct isw_relief **out, struct isw_error *error);

/* Final names of the pages of a plan, appended (new strings). maps: enum isw_maps. */
void isw_jobs_list_pages(const struct isw_plan *plan, int maps, GPtrArray *names);

/* Draw them from the rasters in the folder's temporary place, by `threads` (1..) threads. The first
 * failure of reading or drawing; ISW_INTERRUPTED. */
enum isw_status isw_jobs_draw_pages(const struct isw_plan *plan, int maps,
                                    const struct isw_map_page *page, const struct isw_tally *tally,
                                    int threads, struct isw_folder *folder, struct isw_log *log,
                                    struct isw_error *error);

#endif
