/* A region file's own names and texts, brought to the sheet and the guide. */
#ifndef ISW_JOBS_PUBLISH_H
#define ISW_JOBS_PUBLISH_H

#include "crop/sheet.h"
#include "guide/publication.h"
#include "jobs/options.h"
#include "regions/district_set.h"

/* Give the seasons and varieties of n sheets the titles that --season-names and --type-names say.
 * ISW_INPUT_CONTENT: none of the sheets has such a season or variety. */
enum isw_status isw_jobs_name_as_read(const struct isw_options *options, int n,
                                      struct isw_sheet *const *sheets, struct isw_error *error);

/* Points into options; *logo is new (isw_guide_free_logo), NULL where none is asked for.
 * ISW_INPUT_CONTENT: a text for a season that none of n sheets has, or a district that is not
 * there. Of the logo: its reader's.
 */
enum isw_status isw_jobs_open_publication(const struct isw_options *options, int n,
                                          const struct isw_sheet *const *sheets,
                                          const struct isw_district_set *districts,
                                          struct isw_publication *out, struct isw_logo **logo,
                                          struct isw_error *error);

#endif
