/* guide.pdf: the guide for printing. */
#ifndef ISW_GUIDE_PRINT_GUIDE_H
#define ISW_GUIDE_PRINT_GUIDE_H

#include "guide/guide_facts.h"
#include "output/folder.h"

/* A section for each of n crops of a region. folder: where the rasters' temporary files are.
 * ISW_OUTPUT; the maps' ISW_RESOURCES, ISW_USAGE, ISW_INPUT_CONTENT and ISW_INTERNAL
 * (chart/map_panel.h). */
enum isw_status isw_guide_write_print(int n, const struct isw_guide_facts *crops,
                                      struct isw_folder *folder, const char *path,
                                      struct isw_error *error);

#endif
