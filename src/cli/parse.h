/* A command line to options, by the table of options. */
#ifndef ISW_CLI_PARSE_H
#define ISW_CLI_PARSE_H

#include "jobs/options.h"

/* What a command says of itself in --help, and how many words it takes besides options. */
struct isw_cli_command {
  enum isw_command command;
  const char *usage, *summary;
  int least_words, most_words;
};

/* Parse into started options (an option typed wins over what is there). Positional words are left
 * in argv[1..]. ISW_USAGE. --help prints and exits with 0. */
enum isw_status isw_cli_parse(const struct isw_cli_command *command, int *argc, char ***argv,
                              struct isw_options *options, struct isw_error *error);

/* The name of a command, which is also its word. */
const char *isw_cli_command_name(enum isw_command command);

/* Print "isosow COMMAND: ..." and return the exit code. */
int isw_cli_report(const char *command, const struct isw_error *error);

/* Every command's options with kind, argument and words worth completing, a line each with tabs
 * between: for the shell completion and the check of the manual. */
void isw_cli_print_options(void);

#endif
