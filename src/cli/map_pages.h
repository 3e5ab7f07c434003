/* The printed maps of a run, drawn by several threads. */
#ifndef ISW_CLI_MAP_PAGES_H
#define ISW_CLI_MAP_PAGES_H

#include <glib.h>

#include "chart/map_sheet.h"
#include "output/folder.h"

enum isw_maps { ISW_MAPS_NONE, ISW_MAPS_MAIN, ISW_MAPS_ALL };

/* What the command line says about pages. */
struct isw_page_options {
  char *maps, *size, *title, *districts, *district_name;
  double dpi;
};

void isw_cli_start_page_options(struct isw_page_options *options);
void isw_cli_free_page_options(struct isw_page_options *options);
void isw_cli_add_page_options(GOptionContext *context, struct isw_page_options *options);

/* ISW_USAGE, naming the option. Fields that belong to the run (source_line, south) stay unset. */
enum isw_status isw_cli_make_page(const struct isw_page_options *options,
                                  const struct isw_sheet *sheet, enum isw_maps *maps,
                                  struct isw_map_page *page, struct isw_error *error);

/* Final names of the pages of a plan, appended (new strings). */
void isw_cli_list_pages(const struct isw_plan *plan, enum isw_maps maps, GPtrArray *names);

/* Draw them from the rasters in the folder's temporary place. */
enum isw_status isw_cli_draw_pages(const struct isw_plan *plan, enum isw_maps maps,
                                   const struct isw_map_page *page, const struct isw_tally *tally,
                                   int threads, struct isw_folder *folder, struct isw_log *log,
                                   struct isw_error *error);

#endif
