/* Each area's typical place, and the named places, in full: what the print's calendars and the
 * page's district links stand on. */
#ifndef ISW_GUIDE_GUIDE_SITES_H
#define ISW_GUIDE_GUIDE_SITES_H

#include "climate/climate.h"
#include "guide/region_grid.h"
#include "regions/place_list.h"
#include "survey/place.h"

struct isw_guide_site {
  const char *name; /* the area's, or the place's own; borrowed */
  int area;         /* -1: a named place outside all districts */
  int cell;         /* of the region's grid, -1: the area has none */
  double lat_deg, lon_deg;
  double height_m;         /* NAN: not known */
  struct isw_place *place; /* NULL: none */
};

struct isw_guide_sites {
  int n; /* of the areas */
  struct isw_guide_site *sites;
  int n_named; /* named places, in their file's order */
  struct isw_guide_site *named;
};

struct isw_heights;

/* What sites are made from; places, records and heights may be NULL. */
struct isw_site_sources {
  struct isw_climate *climate;
  const struct isw_region_grid *region;
  const struct isw_district_table *table;
  const struct isw_place_list *places;
  const struct isw_site_record *records; /* of the places, in their order; NULL: of none */
  struct isw_heights *heights;
  const char *period;  /* NULL: not stated */
  struct isw_log *log; /* warned of named places without climate data, and of records that
                          are of another climate than their places */
};

/* The named places of an area: the first from `from` on, -1: none. */
int isw_guide_next_named(const struct isw_guide_sites *sites, int area, int from);

/* Reads one cell per area and named place. As isw_climate_read_cells: ISW_INPUT_FILE,
 * ISW_INPUT_CONTENT, ISW_INPUT_DOUBT, ISW_RESOURCES. *out is new. */
enum isw_status isw_guide_new_sites(const struct isw_site_sources *sources,
                                    struct isw_guide_sites **out, struct isw_error *error);
void isw_guide_free_sites(struct isw_guide_sites *sites); /* takes NULL */

#endif
