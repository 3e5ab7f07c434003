/* What every raster says of itself: software, crop, season, period, caution, and the conditions it
 * was made under, because a raster is passed on without its run.json. */
#ifndef ISW_OUTPUT_RASTER_METADATA_H
#define ISW_OUTPUT_RASTER_METADATA_H

#include <glib.h>

#include "growth/plan.h"
#include "output/raster.h"

/* A growing list whose texts live as long as the list. */
struct isw_metadata_list {
  GArray *items; /* struct isw_raster_metadata */
  GPtrArray *texts;
};

/* A list with what every raster says; to be freed. period: NULL, not stated. Season and period must
 * outlive the list. */
struct isw_metadata_list isw_output_start_metadata(const struct isw_plan *plan, const char *season,
                                                   const char *period);

/* Add an item. band: 0-based, or -1 for the dataset. Takes key and value over. */
void isw_output_add_metadata(struct isw_metadata_list *list, int band, char *key, char *value);
/* Release items and texts. */
void isw_output_free_metadata(struct isw_metadata_list *list);

#endif
