/* A map as a part of a page that is somebody else's: frame, fills, graticule, districts, lines of
 * equal date, a short legend beside it. For the printed guide; the pen may draw on a PDF. */
#ifndef ISW_CHART_MAP_PANEL_H
#define ISW_CHART_MAP_PANEL_H

#include "chart/map_frame.h"
#include "chart/map_sheet.h"

/* pen's user space: mm; room: where on its page. page, raster, tally: as for the maps of
 * map_sheet.h, and so are ISW_RESOURCES, ISW_USAGE, ISW_INPUT_CONTENT and ISW_INTERNAL. */
enum isw_status isw_chart_draw_sowing_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                            const char *raster, const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally,
                                            struct isw_box room, struct isw_error *error);
enum isw_status isw_chart_draw_pick_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                          const char *raster, const struct isw_plan *plan,
                                          const struct isw_season *season,
                                          const struct isw_pick_tally *tally, struct isw_box room,
                                          struct isw_error *error);
enum isw_status isw_chart_draw_opens_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                           const char *raster, const struct isw_plan *plan,
                                           const struct isw_season *season,
                                           const struct isw_opens_tally *tally, struct isw_box room,
                                           struct isw_error *error);

#endif
