/* isosow: one program, several commands. */
#define _XOPEN_SOURCE 700

#include <cpl_conv.h>
#include <cpl_error.h>
#include <errno.h>
#include <gdal.h>
#include <glib.h>
#include <langinfo.h>
#include <locale.h>
#include <proj.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/clock.h"
#include "base/interrupt.h"
#include "base/last_words.h"
#include "base/status.h"
#include "cli/commands.h"
#include "cli/parse.h"
#include "words/say.h"

static void print_help(void) {
  puts(
      "isosow: when to sow a cool-season heading crop, from monthly temperature normals\n\n"
      "Usage: isosow COMMAND [options]\n");
  size_t count;
  const struct isw_cli_command *commands = isw_cli_commands(&count);
  for (size_t i = 0; i < count; i++)
    printf("  %-9s %s\n", isw_jobs_command_name(commands[i].command), commands[i].does);
  puts(
      "\nisosow COMMAND --help says more; isosow --version names the versions.\n"
      "Normals are an average year, not a forecast. Follow labels, local rules and your\n"
      "extension service.");
}

static void print_version(void) {
  PJ_INFO proj = proj_info();
  printf("isosow %s\nGDAL %s\nPROJ %s\n", ISOSOW_VERSION, GDALVersionInfo("RELEASE_NAME"),
         proj.version);
}

static int run_program(int argc, char **argv) {
  setlocale(LC_ALL, "");
  /* The plain C locale says nothing of what bytes mean: words are UTF-8 there, as files are. */
  if (strcmp(nl_langinfo(CODESET), "ANSI_X3.4-1968") == 0) setlocale(LC_CTYPE, "C.UTF-8");
  setlocale(LC_NUMERIC, "C"); /* numbers have a decimal point everywhere */
  isw_words_open();
  if (argc < 2) {
    print_help();
    return isw_base_exit_code(ISW_USAGE);
  }
  if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 ||
      strcmp(argv[1], "help") == 0) {
    print_help();
    return isw_base_exit_code(ISW_OK);
  }
  if (strcmp(argv[1], "--version") == 0) {
    print_version();
    return isw_base_exit_code(ISW_OK);
  }
  if (strcmp(argv[1], "--options") == 0) {
    isw_cli_print_options();
    return isw_base_exit_code(ISW_OK);
  }
  size_t count;
  const struct isw_cli_command *commands = isw_cli_commands(&count);
  for (size_t i = 0; i < count; i++) {
    if (strcmp(argv[1], isw_jobs_command_name(commands[i].command)) != 0) continue;
    CPLSetErrorHandler(CPLQuietErrorHandler); /* our messages say what matters of GDAL's */
    GDALAllRegister();
    isw_base_catch_interrupts();
    isw_base_catch_faults();
    struct isw_error error;
    if (isw_base_check_clock(&error) != ISW_OK) {
      fprintf(stderr, "isosow: %s\n", error.text);
      return isw_base_exit_code(error.status);
    }
    return isw_cli_run(&commands[i], argc - 1, argv + 1);
  }
  struct isw_error error;
  isw_base_fail(&error, ISW_USAGE, "\"%s\" is no command; see isosow --help", argv[1]);
  fprintf(stderr, "isosow: %s\n", error.text);
  return isw_base_exit_code(error.status);
}

/* What was printed may still be on its way; a device that is full says so only now. */
int main(int argc, char **argv) {
  int code = run_program(argc, argv);
  errno = 0;
  bool lost = ferror(stdout) != 0;
  if (lost) fputc('\n', stdout); /* the reason is forgotten by now; one byte more asks for it */
  lost = fflush(stdout) != 0 || lost;
  if (!lost || code != 0) return code;
  fprintf(stderr, "isosow: cannot write the answer: %s\n",
          errno != 0 ? strerror(errno) : "it was cut");
  return isw_base_exit_code(ISW_OUTPUT);
}
