/* Everything the page and the print are made from. All borrowed. */
#ifndef ISW_GUIDE_GUIDE_FACTS_H
#define ISW_GUIDE_GUIDE_FACTS_H

#include "chart/map_sheet.h"
#include "guide/guide_sites.h"
#include "guide/place_details.h"
#include "guide/publication.h"
#include "survey/opens_map.h"

struct isw_edition;

struct isw_guide_facts {
  const struct isw_plan *plan;
  const struct isw_grid *grid;
  const struct isw_map_page *page; /* title, source line, districts, south */
  const char *period;              /* NULL: not stated */
  long long now;                   /* seconds since 1970 */
  const struct isw_tally *tally;
  const struct isw_district_table *table;
  const struct isw_district_set *districts;
  const struct isw_guide_areas *areas;
  const struct isw_region_grid *region;
  const struct isw_guide_sites *sites;
  const struct isw_place_details *details;
  const struct isw_publication *publication;
  const struct isw_edition *edition;   /* an earlier one, NULL: none is asked about */
  const GArray *moves;                 /* since it (guide/edition.h) */
  const struct isw_opens_tally *opens; /* of each chosen season; NULL: not asked for */
  bool among_crops;                    /* the guide has others too */
  bool numbered; /* the print's maps have numbers in place of the districts' names */
};

#endif
