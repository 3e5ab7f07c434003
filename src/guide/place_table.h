/* places.csv: the named places, in the columns of `site --format csv`. */
#ifndef ISW_GUIDE_PLACE_TABLE_H
#define ISW_GUIDE_PLACE_TABLE_H

#include "guide/guide_sites.h"

/* Of each of n crops; of several the crop's id stands before all. Places without climate data have
 * no rows. ISW_OUTPUT. */
enum isw_status isw_guide_write_places(int n, const struct isw_plan *const *plans,
                                       const struct isw_guide_sites *const *sites, const char *path,
                                       struct isw_error *error);

#endif
