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

/* What maps show besides the climate, as the options name it; NULL where they name none, and of
 * what only maps need where none are drawn. */
struct isw_map_additions {
  struct isw_district_set *districts;
  struct isw_map_layers *layers;
  struct isw_relief *relief; /* its hill shade */
  struct isw_place_list *places;
};

/* Put the key that names an input in front of its failure, whose message begins with the file.
 * Returns status. */
enum isw_status isw_jobs_name_key(const char *key, enum isw_status status, struct isw_error *error);

/* Read it for a grid and let the page show it. *out is to be cleared, also after a failure, and
 * after the page that draws it. ISW_INPUT_FILE, ISW_INPUT_CONTENT, ISW_USAGE as the readers in
 * src/regions and isw_climate_read_relief. */
enum isw_status isw_jobs_open_additions(const struct isw_options *options,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_map_additions *out, struct isw_map_page *page,
                                        struct isw_error *error);
void isw_jobs_clear_additions(struct isw_map_additions *additions);

/* Final names of the pages of a plan, appended (new strings). maps: enum isw_maps. */
void isw_jobs_list_pages(const struct isw_plan *plan, int maps, GPtrArray *names);

/* Draw them from the rasters in the folder's temporary place, by `threads` (1..) threads. The first
 * failure of reading or drawing; ISW_INTERRUPTED. */
enum isw_status isw_jobs_draw_pages(const struct isw_plan *plan, int maps,
                                    const struct isw_map_page *page, const struct isw_tally *tally,
                                    int threads, struct isw_folder *folder, struct isw_log *log,
                                    struct isw_error *error);

#endif
