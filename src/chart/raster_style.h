/* Styles for a GIS: a Styled Layer Descriptor (OGC 02-070) beside a raster, with the maps' colours.
 */
#ifndef ISW_CHART_RASTER_STYLE_H
#define ISW_CHART_RASTER_STYLE_H

#include "base/status.h"
#include "growth/plan.h"

/* Band 2 of a window raster (best_sow) or band 1 of a span raster (sow_from): every day of the year
 * in the colour of its ten-day period, 0 (no date) unseen. title: what the layer is called.
 * ISW_OUTPUT. */
enum isw_status isw_chart_write_date_style(const char *path, const char *title, int band,
                                           struct isw_error *error);

/* A pick raster: every code in the raster's own colour. ISW_OUTPUT. */
enum isw_status isw_chart_write_pick_style(const char *path, const char *title,
                                           const struct isw_plan *plan, struct isw_error *error);

#endif
