/* places.csv: the named places, in the columns of `site --format csv`. */
#ifndef ISW_GUIDE_PLACE_TABLE_H
#define ISW_GUIDE_PLACE_TABLE_H

#include "guide/guide_sites.h"

/* Places without climate data have no rows. ISW_OUTPUT. */
enum isw_status isw_guide_write_places(const struct isw_plan *plan,
                                       const struct isw_guide_sites *sites, const char *path,
                                       struct isw_error *error);

#endif
