#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/plain_text.h"
#include "base/setting.h"
#include "cli/commands.h"
#include "cli/parse.h"
#include "jobs/region_file.h"

/* Output that did not arrive is a failure even though every call before looked well. */
static enum isw_status write_out(void *taker, const char *text, size_t size,
                                 struct isw_error *error) {
  (void)taker;
  bool written;
  if (isatty(STDOUT_FILENO) != 0) { /* whatever is shown there, data too */
    char *plain = g_strndup(text, size);
    isw_base_make_plain(plain, true);
    written = fputs(plain, stdout) >= 0;
    g_free(plain);
  } else {
    written = fwrite(text, 1, size, stdout) == size;
  }
  if (written && fflush(stdout) == 0) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT, "cannot write the answer: %s", g_strerror(errno));
}

/* A file of options comes before the options typed, which so win over it. On success *argc and
 * *argv are without it. */
static enum isw_status read_region(const struct isw_cli_command *command, int *argc, char ***argv,
                                   struct isw_options *options, struct isw_error *error) {
  if (!command->region_file || *argc < 2 || (*argv)[1][0] == '-') return ISW_OK;
  enum isw_status status = isw_jobs_read_region_file((*argv)[1], options, error);
  (*argv)++;
  (*argc)--;
  return status;
}

/* What to do about results that are there, in the command's options. */
static const char *advice_on_existing(enum isw_command command) {
  const struct isw_option *out = isw_jobs_find_option("out", command);
  return out != NULL && strcmp(out->argument, "DIR") == 0
             ? "choose another folder with --out, or give --overwrite to replace them"
             : "give --overwrite to replace what is there";
}

static int report(enum isw_command command, enum isw_status status, struct isw_error *error) {
  isw_base_show_settings(error->text);
  if (status != ISW_OK && error->text[0] != '\0')
    fprintf(stderr, "isosow %s: %s%s%s\n", isw_jobs_command_name(command), error->text,
            status == ISW_USAGE_EXISTS ? "; " : "",
            status == ISW_USAGE_EXISTS ? advice_on_existing(command) : "");
  return isw_base_exit_code(status);
}

int isw_cli_run(const struct isw_cli_command *command, int argc, char **argv) {
  struct isw_options options;
  struct isw_error error = {.status = ISW_OK};
  isw_jobs_start_options(&options);
  /* Parsing moves the words about. */
  char **words = g_memdup2(argv, sizeof(char *) * ((gsize)argc + 1)), **rest = words;
  int n_rest = argc;
  bool helped = false;
  enum isw_status status = read_region(command, &n_rest, &rest, &options, &error);
  if (status == ISW_OK) status = isw_cli_parse(command, &n_rest, &rest, &options, &helped, &error);
  if (status == ISW_OK && !helped) {
    const struct isw_request request = {.options = &options,
                                        .n_words = n_rest - 1,
                                        .words = (const char *const *)rest + 1,
                                        .argc = argc,
                                        .argv = (const char *const *)argv,
                                        .log = isw_base_log_make(stderr, options.quiet),
                                        .terminal = isatty(STDOUT_FILENO) != 0,
                                        .take = write_out};
    status = command->job(&request, &error);
  }
  isw_jobs_clear_options(&options);
  g_free(words);
  return report(command->command, status, &error);
}
