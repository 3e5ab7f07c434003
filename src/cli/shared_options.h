/* Options that several commands share: parsed here once, worded the same everywhere. */
#ifndef ISW_CLI_SHARED_OPTIONS_H
#define ISW_CLI_SHARED_OPTIONS_H

#include <glib.h>

#include "climate/climate.h"
#include "growth/plan.h"

struct isw_cli_options {
  /* climate */
  char *tmin, *tmax, *mean, *range, *variable, *crs, *unit, *period;
  char *elevation, *normals_elevation, *lapse, *lapse_monthly, *hemisphere;
  /* crop */
  char *crop;
  char **varieties, **seasons;
  /* conditions */
  double good, spread, warmer;
  char *grown_under, *start;
  /* run */
  int threads, memory_MB;
  gboolean quiet;
};

void isw_cli_start_options(struct isw_cli_options *options);
void isw_cli_free_options(struct isw_cli_options *options);

/* A context with a usage line, and a summary on top of --help. */
GOptionContext *isw_cli_new_context(const char *usage, const char *summary);
void isw_cli_add_climate_options(GOptionContext *context, struct isw_cli_options *options);
void isw_cli_add_crop_options(GOptionContext *context, struct isw_cli_options *options);
void isw_cli_add_condition_options(GOptionContext *context, struct isw_cli_options *options);
void isw_cli_add_run_options(GOptionContext *context, struct isw_cli_options *options);

/* Parse and free the context. What is left in argv[1..] are positional words, of which there must
 * be between least and most. ISW_USAGE. --help prints and exits with 0. */
enum isw_status isw_cli_parse(GOptionContext *context, int *argc, char ***argv, int least, int most,
                              struct isw_error *error);

/* Options to what the rooms take. ISW_USAGE, naming the option. */
enum isw_status isw_cli_make_climate_request(const struct isw_cli_options *options,
                                             struct isw_climate_request *out,
                                             struct isw_error *error);
enum isw_status isw_cli_make_conditions(const struct isw_cli_options *options,
                                        const struct isw_sheet *sheet, struct isw_conditions *out,
                                        struct isw_error *error);

/* The sheet of --crop and the plan of everything chosen. Both new: isw_crop_free_sheet, g_free. */
enum isw_status isw_cli_make_plan(const struct isw_cli_options *options, struct isw_sheet **sheet,
                                  struct isw_plan **plan, struct isw_error *error);

/* The same from a sheet in memory. */
enum isw_status isw_cli_plan_sheet(const struct isw_cli_options *options,
                                   const struct isw_sheet *sheet, struct isw_plan **plan,
                                   struct isw_error *error);

/* Print "isosow COMMAND: ..." and return the exit code. */
int isw_cli_report(const char *command, const struct isw_error *error);

/* "A number in [least, most]" from text, or ISW_USAGE naming the option. */
enum isw_status isw_cli_parse_number(const char *option, const char *text, double least,
                                     double most, double *out, struct isw_error *error);

/* "Normals 1991-2020 from tmin.tif, tmax.tif", or "... period not stated ..."; new. */
char *isw_cli_source_line(const struct isw_cli_options *options, const struct isw_climate *climate);

#endif
