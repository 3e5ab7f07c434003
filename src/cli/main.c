/* isosow: one program, a command each. */
#define _XOPEN_SOURCE 700

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal.h>
#include <glib.h>
#include <langinfo.h>
#include <locale.h>
#include <proj.h>
#include <stdio.h>
#include <string.h>

#include "base/interrupt.h"
#include "base/status.h"
#include "cli/commands.h"
#include "cli/parse.h"
#include "words/say.h"

static const struct {
  const char *name;
  int (*run)(int argc, char **argv);
  const char *does;
} commands[] = {
    {"map", isw_cli_command_map, "windows for every cell of a grid: rasters and printed maps"},
    {"site", isw_cli_command_site, "one place: when to sow, which variety, the dated work"},
    {"compare", isw_cli_command_compare, "what one variety, or a condition, gains over another"},
    {"guide", isw_cli_command_guide,
     "a region's guide: maps, districts.csv, a page for growers, a print"},
    {"inspect", isw_cli_command_inspect, "what a climate source holds, and how it is understood"},
    {"parts", isw_cli_command_parts, "how a map run divides into parts for several machines"},
    {"join", isw_cli_command_join, "the parts of a map run to its rasters and maps"},
    {"crop", isw_cli_command_crop, "list, show and check crop sheets"},
};

static void print_help(void) {
  puts(
      "isosow: when to sow a cool-season heading crop, from monthly temperature normals\n\n"
      "Usage: isosow COMMAND [options]\n");
  for (size_t i = 0; i < G_N_ELEMENTS(commands); i++)
    printf("  %-9s %s\n", commands[i].name, commands[i].does);
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

int main(int argc, char **argv) {
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
  for (size_t i = 0; i < G_N_ELEMENTS(commands); i++) {
    if (strcmp(argv[1], commands[i].name) != 0) continue;
    CPLSetErrorHandler(CPLQuietErrorHandler); /* our messages say what matters of GDAL's */
    GDALAllRegister();
    isw_base_catch_interrupts();
    return commands[i].run(argc - 1, argv + 1);
  }
  fprintf(stderr, "isosow: \"%s\" is no command; see isosow --help\n", argv[1]);
  return isw_base_exit_code(ISW_USAGE);
}
