/* What follows a JSON text's first object, which readers of GeoJSON pass over in silence. */
#ifndef ISW_REGIONS_JSON_TAIL_H
#define ISW_REGIONS_JSON_TAIL_H

#include <stdbool.h>

/* Line (from 1) of the first byte other than blanks behind the first object of the file at path
 * (any name that GDAL opens files by); 0: there is none, or it is no such file. */
long long isw_regions_find_json_tail(const char *path);

#endif
