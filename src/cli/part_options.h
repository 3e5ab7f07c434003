/* Options of a run as its parts carry them. */
#ifndef ISW_CLI_PART_OPTIONS_H
#define ISW_CLI_PART_OPTIONS_H

#include "cli/part_job.h"

/* Array of struct isw_part_option, whose texts are the receiver's. */
GArray *isw_cli_list_part_options(const struct isw_cli_options *shared,
                                  const struct isw_page_options *pages, bool cog);

#endif
