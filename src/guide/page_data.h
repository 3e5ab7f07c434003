/* What the page's script draws from: the region's grid, packed, with names and colours, as JSON. */
#ifndef ISW_GUIDE_PAGE_DATA_H
#define ISW_GUIDE_PAGE_DATA_H

#include <glib.h>

#include "guide/guide_facts.h"

/* JSON that may stand inside <script>: no '<', '>' or '&' in it. *out is new, g_free.
 * ISW_INPUT_CONTENT as isw_climate_new_locator. */
enum isw_status isw_guide_make_page_data(const struct isw_guide_facts *facts, char **out,
                                         struct isw_error *error);

/* 16-bit values as differences, low byte first, compressed (RFC 1950), in base64. New.
 * Room-internal, for its tests. */
char *isw_guide_pack_values(const int16_t *values, size_t n);

#endif
