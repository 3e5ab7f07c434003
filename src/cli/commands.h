/* The commands: a row each. */
#ifndef ISW_CLI_COMMANDS_H
#define ISW_CLI_COMMANDS_H

#include "jobs/jobs.h"

struct isw_cli_command {
  enum isw_command command;
  enum isw_status (*job)(const struct isw_request *request, struct isw_error *error);
  const char *does;  /* one line of isosow --help */
  const char *usage; /* behind the command's name */
  const char *summary;
  int least_words, most_words; /* besides options */
  bool region_file;            /* a word in front of all others is a file of options */
};

const struct isw_cli_command *isw_cli_commands(size_t *count);

/* Run one from its command line; argv[0] is its name. Answers go to standard output, messages to
 * standard error; returns the exit code. */
int isw_cli_run(const struct isw_cli_command *command, int argc, char **argv);

#endif
