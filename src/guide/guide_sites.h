/* Each area's typical place, in full: what the print's calendars and the page's district links
 * stand on. */
#ifndef ISW_GUIDE_GUIDE_SITES_H
#define ISW_GUIDE_GUIDE_SITES_H

#include "climate/climate.h"
#include "guide/region_grid.h"
#include "survey/place.h"

struct isw_guide_site {
  int cell; /* of the region's grid, -1: the district has none */
  double lat_deg, lon_deg;
  struct isw_place *place; /* NULL: none */
};

struct isw_guide_sites {
  int n; /* of the areas */
  struct isw_guide_site *sites;
};

/* Reads one cell per area from climate. As isw_climate_read_cells: ISW_INPUT_FILE,
 * ISW_INPUT_CONTENT, ISW_INPUT_DOUBT, ISW_RESOURCES. *out is new. */
enum isw_status isw_guide_new_sites(struct isw_climate *climate,
                                    const struct isw_region_grid *region,
                                    const struct isw_district_table *table, const char *period,
                                    struct isw_guide_sites **out, struct isw_error *error);
void isw_guide_free_sites(struct isw_guide_sites *sites); /* takes NULL */

#endif
