/* Cloud-optimised GeoTIFFs: tiles, overviews and the order inside the file that readers over a
 * network expect. */
#ifndef ISW_OUTPUT_COG_H
#define ISW_OUTPUT_COG_H

#include "base/status.h"

/* Rewrite a finished raster in place, through a temporary file beside it: same values, names,
 * metadata and colours, overviews by nearest neighbour (dates and classes cannot be averaged). The
 * new file is compared with the old one before it takes its place. ISW_OUTPUT. */
enum isw_status isw_output_make_cog(const char *path, struct isw_error *error);

#endif
