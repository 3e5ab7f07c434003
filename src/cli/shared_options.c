#include "cli/shared_options.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MEMORY_DEFAULT_MB = 160 };

void isw_cli_start_options(struct isw_cli_options *options) {
  struct isw_conditions conditions = isw_growth_default_conditions();
  *options = (struct isw_cli_options){.good = conditions.good_score,
                                      .spread = conditions.spread_K,
                                      .warmer = conditions.warmer_K,
                                      .threads = (int)g_get_num_processors(),
                                      .memory_MB = MEMORY_DEFAULT_MB};
}

void isw_cli_free_options(struct isw_cli_options *options) {
  char *const texts[] = {options->tmin,
                         options->tmax,
                         options->mean,
                         options->range,
                         options->variable,
                         options->crs,
                         options->unit,
                         options->period,
                         options->elevation,
                         options->lapse,
                         options->normals_elevation,
                         options->lapse_monthly,
                         options->hemisphere,
                         options->crop,
                         options->grown_under,
                         options->start};
  for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) g_free(texts[i]);
  g_strfreev(options->varieties);
  g_strfreev(options->seasons);
}

GOptionContext *isw_cli_new_context(const char *usage, const char *summary) {
  GOptionContext *context = g_option_context_new(usage);
  g_option_context_set_summary(context, summary);
  return context;
}

void isw_cli_add_climate_options(GOptionContext *context, struct isw_cli_options *o) {
  const GOptionEntry entries[] = {
      {"tmin", 0, 0, G_OPTION_ARG_FILENAME, &o->tmin,
       "Monthly normals of daily minimum: 12 raster bands, a netCDF variable, or a name holding "
       "{month}",
       "SRC"},
      {"tmax", 0, 0, G_OPTION_ARG_FILENAME, &o->tmax, "The same of daily maximum", "SRC"},
      {"mean", 0, 0, G_OPTION_ARG_FILENAME, &o->mean, "Instead of both: monthly means", "SRC"},
      {"range", 0, 0, G_OPTION_ARG_FILENAME, &o->range,
       "with --mean: the daily range, maximum less minimum, in K", "SRC|K"},
      {"var", 0, 0, G_OPTION_ARG_STRING, &o->variable, "netCDF variable, where there are several",
       "NAME"},
      {"unit", 0, 0, G_OPTION_ARG_STRING, &o->unit,
       "Unit of the normals where metadata do not say it", "C|F|K|C/10|F/10"},
      {"period", 0, 0, G_OPTION_ARG_STRING, &o->period, "Years of the normals", "\"1991-2020\""},
      {"crs", 0, 0, G_OPTION_ARG_STRING, &o->crs, "CRS of the grid, overriding the file's",
       "EPSG:N|WKT"},
      {"elevation", 0, 0, G_OPTION_ARG_FILENAME, &o->elevation,
       "Fine elevation (m) to bring the normals to", "SRC"},
      {"normals-elevation", 0, 0, G_OPTION_ARG_FILENAME, &o->normals_elevation,
       "with --elevation: the elevation the normals stand for", "SRC"},
      {"lapse", 0, 0, G_OPTION_ARG_STRING, &o->lapse, "with --elevation: fall of temperature",
       "K/km"},
      {"lapse-monthly", 0, 0, G_OPTION_ARG_STRING, &o->lapse_monthly,
       "with --elevation: 12 falls by month, or 24 (tmin, then tmax)", "K/km,..."},
      {"hemisphere", 0, 0, G_OPTION_ARG_STRING, &o->hemisphere,
       "Whose seasons: by latitude (auto), or forced", "auto|north|south"},
      G_OPTION_ENTRY_NULL};
  GOptionGroup *group =
      g_option_group_new("climate", "Climate:", "Show climate options", NULL, NULL);
  g_option_group_add_entries(group, entries);
  g_option_context_add_group(context, group);
}

void isw_cli_add_crop_options(GOptionContext *context, struct isw_cli_options *o) {
  const GOptionEntry entries[] = {
      {"crop", 0, 0, G_OPTION_ARG_FILENAME, &o->crop,
       "Crop sheet: a built-in name (isosow crop list) or a .yaml file", "SHEET"},
      {"variety", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o->varieties,
       "Only this variety; may be given several times", "NAME"},
      {"season", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o->seasons,
       "Only this season; may be given several times", "NAME"},
      G_OPTION_ENTRY_NULL};
  g_option_context_add_main_entries(context, entries, NULL);
}

void isw_cli_add_condition_options(GOptionContext *context, struct isw_cli_options *o) {
  const GOptionEntry entries[] = {
      {"good", 0, 0, G_OPTION_ARG_DOUBLE, &o->good, "Score from which a day is good (70)", "0-100"},
      {"spread", 0, 0, G_OPTION_ARG_DOUBLE, &o->spread,
       "Standard deviation of single days about their normal (3)", "K"},
      {"warmer", 0, 0, G_OPTION_ARG_DOUBLE, &o->warmer, "Added to every normal (0)", "K"},
      {"grown-under", 0, 0, G_OPTION_ARG_STRING, &o->grown_under,
       "What if the field stages stood under this shelter of the sheet", "SHELTER"},
      {"start", 0, 0, G_OPTION_ARG_STRING, &o->start,
       "Sow in place or in a nursery, whatever the seasons say", "direct|nursery"},
      G_OPTION_ENTRY_NULL};
  GOptionGroup *group =
      g_option_group_new("conditions", "Conditions:", "Show options for conditions", NULL, NULL);
  g_option_group_add_entries(group, entries);
  g_option_context_add_group(context, group);
}

void isw_cli_add_run_options(GOptionContext *context, struct isw_cli_options *o) {
  const GOptionEntry entries[] = {
      {"threads", 0, 0, G_OPTION_ARG_INT, &o->threads, "Working threads (default: all processors)",
       "N"},
      {"memory", 0, 0, G_OPTION_ARG_INT, &o->memory_MB, "For blocks in flight (160)", "MB"},
      {"quiet", 0, 0, G_OPTION_ARG_NONE, &o->quiet, "No notices, no progress", NULL},
      G_OPTION_ENTRY_NULL};
  g_option_context_add_main_entries(context, entries, NULL);
}

/* GOption's own --help hides what is in groups; a command's help shows all its options. */
static void show_all_help(GOptionContext *context) {
  char *text = g_option_context_get_help(context, FALSE, NULL);
  fputs(text, stdout);
  g_free(text);
  exit(EXIT_SUCCESS);
}

enum isw_status isw_cli_parse(GOptionContext *context, int *argc, char ***argv, int least, int most,
                              struct isw_error *error) {
  char *program = g_strconcat("isosow ", (*argv)[0], NULL);
  g_set_prgname(program);
  gboolean help = FALSE;
  const GOptionEntry entries[] = {
      {"help", 'h', 0, G_OPTION_ARG_NONE, &help, "Show this help", NULL}, G_OPTION_ENTRY_NULL};
  g_option_context_set_help_enabled(context, FALSE);
  g_option_context_add_main_entries(context, entries, NULL);
  GError *failure = NULL;
  enum isw_status status = ISW_OK;
  if (!g_option_context_parse(context, argc, argv, &failure)) {
    status = isw_base_fail(error, ISW_USAGE, "%s; see %s --help", failure->message, program);
    g_error_free(failure);
  } else {
    if (help) show_all_help(context);
    /* A "--" that GOption leaves in front of positional words. */
    if (*argc > 1 && strcmp((*argv)[1], "--") == 0) {
      memmove(&(*argv)[1], &(*argv)[2], sizeof(char *) * (size_t)(*argc - 1));
      (*argc)--;
    }
    int words = *argc - 1;
    if (words > most)
      status = isw_base_fail(error, ISW_USAGE, "\"%s\" is not understood; see %s --help",
                             (*argv)[most + 1], program);
    else if (words < least)
      status = isw_base_fail(error, ISW_USAGE, "%s wanted, %d given; see %s --help",
                             least == 1 ? "a name is" : "two names are", words, program);
  }
  g_option_context_free(context);
  g_free(program);
  return status;
}

enum isw_status isw_cli_make_climate_request(const struct isw_cli_options *o,
                                             struct isw_climate_request *out,
                                             struct isw_error *error) {
  *out = (struct isw_climate_request){.tmin = o->tmin,
                                      .tmax = o->tmax,
                                      .mean = o->mean,
                                      .range = o->range,
                                      .variable = o->variable,
                                      .crs = o->crs,
                                      .period = o->period,
                                      .elevation = o->elevation,
                                      .normals_elevation = o->normals_elevation,
                                      .lapse = o->lapse,
                                      .lapse_monthly = o->lapse_monthly};
  if (o->unit != NULL && (out->unit = isw_base_parse_unit(o->unit)) == ISW_UNIT_UNKNOWN)
    return isw_base_fail(error, ISW_USAGE, "--unit %s: is none of C, F, K, C/10, F/10", o->unit);
  if (o->hemisphere != NULL) {
    static const char *const words[] = {"auto", "north", "south"};
    size_t i = 0;
    while (i < G_N_ELEMENTS(words) && strcmp(words[i], o->hemisphere) != 0) i++;
    if (i == G_N_ELEMENTS(words))
      return isw_base_fail(error, ISW_USAGE, "--hemisphere %s: is none of auto, north, south",
                           o->hemisphere);
    out->hemisphere = (enum isw_hemisphere)i;
  }
  return ISW_OK;
}

static enum isw_status check_range(const char *option, double value, double least, double most,
                                   struct isw_error *error) {
  if (isfinite(value) && value >= least && value <= most) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE, "%s %g: must be a number from %g to %g", option, value,
                       least, most);
}

enum isw_status isw_cli_parse_number(const char *option, const char *text, double least,
                                     double most, double *out, struct isw_error *error) {
  char *end;
  *out = g_ascii_strtod(text, &end);
  if (end == text || *end != '\0')
    return isw_base_fail(error, ISW_USAGE, "%s %s: is not a number", option, text);
  return check_range(option, *out, least, most, error);
}

static char *join_names(const struct isw_sheet *sheet, const char *kind) {
  GString *names = g_string_new(NULL);
  bool varieties = strcmp(kind, "variety") == 0, seasons = strcmp(kind, "season") == 0;
  int count = varieties ? sheet->n_varieties : seasons ? sheet->n_seasons : sheet->n_shelters;
  for (int i = 0; i < count; i++)
    g_string_append_printf(names, "%s%s", i > 0 ? ", " : "",
                           varieties ? sheet->varieties[i].name
                           : seasons ? sheet->seasons[i].name
                                     : sheet->shelters[i].name);
  if (count == 0) g_string_append(names, "none");
  return g_string_free(names, FALSE);
}

static enum isw_status unknown_name(const struct isw_sheet *sheet, const char *option,
                                    const char *kind, const char *name, struct isw_error *error) {
  char *names = join_names(sheet, kind);
  enum isw_status status =
      isw_base_fail(error, ISW_USAGE, "%s %s: crop %s has no such %s; it has: %s", option, name,
                    sheet->crop, kind, names);
  g_free(names);
  return status;
}

enum isw_status isw_cli_make_conditions(const struct isw_cli_options *o,
                                        const struct isw_sheet *sheet, struct isw_conditions *out,
                                        struct isw_error *error) {
  static const double good_most = 100.0, spread_least = 0.01, spread_most = 30.0,
                      warmer_most = 30.0;
  enum isw_status status = check_range("--good", o->good, 0.0, good_most, error);
  if (status == ISW_OK)
    status = check_range("--spread", o->spread, spread_least, spread_most, error);
  if (status == ISW_OK)
    status = check_range("--warmer", o->warmer, -warmer_most, warmer_most, error);
  if (status != ISW_OK) return status;
  *out = isw_growth_default_conditions();
  out->good_score = o->good;
  out->spread_K = o->spread;
  out->warmer_K = o->warmer;
  if (o->grown_under != NULL) {
    out->grown_under = isw_crop_find_shelter(sheet, o->grown_under);
    if (out->grown_under < 0)
      return unknown_name(sheet, "--grown-under", "shelter", o->grown_under, error);
  }
  if (o->start != NULL) {
    if (strcmp(o->start, "direct") == 0)
      out->start = ISW_START_DIRECT;
    else if (strcmp(o->start, "nursery") == 0)
      out->start = ISW_START_NURSERY;
    else
      return isw_base_fail(error, ISW_USAGE, "--start %s: is neither direct nor nursery", o->start);
  }
  return ISW_OK;
}

static enum isw_status find_chosen(const struct isw_sheet *sheet, const char *option,
                                   const char *kind, char **names,
                                   int (*find)(const struct isw_sheet *, const char *),
                                   GArray *chosen, struct isw_error *error) {
  for (char **name = names; name != NULL && *name != NULL; name++) {
    int index = find(sheet, *name);
    if (index < 0) return unknown_name(sheet, option, kind, *name, error);
    g_array_append_val(chosen, index);
  }
  return ISW_OK;
}

enum isw_status isw_cli_plan_sheet(const struct isw_cli_options *o, const struct isw_sheet *sheet,
                                   struct isw_plan **plan, struct isw_error *error) {
  struct isw_conditions conditions;
  GArray *varieties = g_array_new(FALSE, FALSE, sizeof(int));
  GArray *seasons = g_array_new(FALSE, FALSE, sizeof(int));
  enum isw_status status = isw_cli_make_conditions(o, sheet, &conditions, error);
  if (status == ISW_OK)
    status = find_chosen(sheet, "--variety", "variety", o->varieties, isw_crop_find_variety,
                         varieties, error);
  if (status == ISW_OK)
    status =
        find_chosen(sheet, "--season", "season", o->seasons, isw_crop_find_season, seasons, error);
  if (status == ISW_OK) {
    *plan = g_new(struct isw_plan, 1);
    isw_growth_make_plan(sheet, &conditions, (int)varieties->len,
                         (const int *)(void *)varieties->data, (int)seasons->len,
                         (const int *)(void *)seasons->data, *plan);
  }
  g_array_unref(varieties);
  g_array_unref(seasons);
  return status;
}

enum isw_status isw_cli_make_plan(const struct isw_cli_options *o, struct isw_sheet **sheet,
                                  struct isw_plan **plan, struct isw_error *error) {
  if (o->crop == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--crop is missing; give a built-in sheet (isosow crop list) or a file");
  struct isw_sheet *loaded;
  enum isw_status status = isw_crop_load_sheet(o->crop, &loaded, error);
  if (status != ISW_OK) return status;
  status = isw_cli_plan_sheet(o, loaded, plan, error);
  if (status == ISW_OK)
    *sheet = loaded;
  else
    isw_crop_free_sheet(loaded);
  return status;
}

int isw_cli_report(const char *command, const struct isw_error *error) {
  fprintf(stderr, "isosow %s: %s\n", command, error->text);
  return isw_base_exit_code(error->status);
}

static void add_source(GString *line, const char *source) {
  if (source == NULL) return;
  char *name = g_path_get_basename(source);
  char *text = g_utf8_make_valid(name, -1);
  g_string_append_printf(line, "%s%s", line->len > 0 ? ", " : "", text);
  g_free(text);
  g_free(name);
}

char *isw_cli_source_line(const struct isw_cli_options *o, const struct isw_climate *climate) {
  GString *files = g_string_new(NULL);
  add_source(files, o->tmin);
  add_source(files, o->tmax);
  add_source(files, o->mean);
  const char *period = isw_climate_period(climate);
  char *line = period != NULL ? g_strdup_printf("Normals %s from %s", period, files->str)
                              : g_strdup_printf("Normals, period not stated, from %s", files->str);
  g_string_free(files, TRUE);
  return line;
}
