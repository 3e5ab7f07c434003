/* A command line to options, by the table of options. */
#ifndef ISW_CLI_PARSE_H
#define ISW_CLI_PARSE_H

#include "cli/commands.h"

/* Parse into started options (an option typed wins over what is there). Positional words are left
 * in argv[1..]. ISW_USAGE. *helped: --help was asked for and printed, and nothing else is wanted.
 */
enum isw_status isw_cli_parse(const struct isw_cli_command *command, int *argc, char ***argv,
                              struct isw_options *options, bool *helped, struct isw_error *error);

/* Every command's options with kind, argument and words worth completing, a line each with tabs
 * between: for the shell completion and the check of the manual. */
void isw_cli_print_options(void);

#endif
