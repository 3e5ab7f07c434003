/* The print's pages of maps: a panel for each season, as many beside each other as the region's
 * shape asks for. */
#ifndef ISW_GUIDE_PRINT_MAPS_H
#define ISW_GUIDE_PRINT_MAPS_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"
#include "output/folder.h"

struct isw_guide_maps {
  const struct isw_guide_facts *facts;
  struct isw_map_page page;  /* districts and their names as these maps show them */
  struct isw_folder *folder; /* where the rasters' temporary files are */
  int columns;
};

/* Sets maps->columns by the region's shape. *fit: all districts' names find room on the smallest
 * maps without covering them. As isw_chart_open_source: ISW_RESOURCES, ISW_USAGE,
 * ISW_INPUT_CONTENT.
 */
enum isw_status isw_guide_arrange_maps(struct isw_print *print, struct isw_guide_maps *maps,
                                       bool *fit, struct isw_error *error);

/* From where the page is now; below them, what numbers on the maps stand for. As
 * isw_chart_draw_sowing_panel. v: chosen variety. */
enum isw_status isw_guide_print_pick_maps(struct isw_print *print,
                                          const struct isw_guide_maps *maps,
                                          struct isw_error *error);
/* On a page of their own: what opens the seasons that have no window somewhere; nothing where all
 * have, or nobody asked. */
enum isw_status isw_guide_print_opens_maps(struct isw_print *print,
                                           const struct isw_guide_maps *maps,
                                           struct isw_error *error);
enum isw_status isw_guide_print_sowing_maps(struct isw_print *print,
                                            const struct isw_guide_maps *maps, int v,
                                            struct isw_error *error);

#endif
