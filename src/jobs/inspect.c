/* What a run would make of each source, before there is one. */
#include <gdal.h>
#include <glib.h>
#include <string.h>

#include "base/setting.h"
#include "jobs/jobs.h"
#include "jobs/run_inputs.h"
#include "output/inspection_report.h"

static const GIntBig raster_cache_bytes = 64 * 1024 * 1024;

static void append_option(GString *line, const char *option, const char *value) {
  if (value == NULL) return;
  char *quoted = g_shell_quote(value);
  /* Plain names read better bare. */
  bool plain = value[0] != '\0' && strspn(value,
                                          "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVW"
                                          "XYZ0123456789._/-+,:") == strlen(value);
  g_string_append_printf(line, " %s %s", option, plain ? value : quoted);
  g_free(quoted);
}

/* The command line of `map` for these sources, or NULL where they do not make one: two temperatures
 * (the colder is the minimum), perhaps two elevations (the finer one is to be reached). */
static char *make_command(const struct isw_finding *findings, int count,
                          const struct isw_options *options) {
  const struct isw_inspection *temperature[2] = {NULL, NULL}, *elevation[2] = {NULL, NULL};
  int temperatures = 0, elevations = 0;
  for (int k = 0; k < count; k++) {
    const struct isw_inspection *i = findings[k].inspection;
    if (i == NULL || (i->elevation ? elevations : temperatures) == 2) return NULL;
    if (i->elevation)
      elevation[elevations++] = i;
    else
      temperature[temperatures++] = i;
  }
  if (temperatures == 0 || elevations == 1) return NULL;
  GString *line = g_string_new("isosow map");
  bool swap = temperatures == 2 && temperature[0]->mean > temperature[1]->mean;
  append_option(line, "--tmin", temperature[swap ? 1 : 0]->name);
  if (temperatures == 2)
    append_option(line, "--tmax", temperature[swap ? 0 : 1]->name);
  else
    g_string_append(line, " --tmax SRC");
  append_option(line, "--var", options->variable);
  if (options->unit != ISW_NOT_GIVEN)
    append_option(line, "--unit", isw_base_unit_name(isw_jobs_chosen_unit(options)));
  append_option(line, "--crs", options->crs);
  if (elevations == 2) {
    bool first_finer = elevation[0]->cell_area_km2 <= elevation[1]->cell_area_km2;
    append_option(line, "--elevation", elevation[first_finer ? 0 : 1]->name);
    append_option(line, "--normals-elevation", elevation[first_finer ? 1 : 0]->name);
  }
  g_string_append(line, " --crop SHEET --out out");
  return g_string_free(line, FALSE);
}

/* Whether the pair fits together is what opening it for a run says. */
static enum isw_status try_pair(const struct isw_finding *findings, int count,
                                const struct isw_options *options, struct isw_error *error) {
  const struct isw_inspection *pair[2];
  int found = 0;
  for (int k = 0; k < count; k++)
    if (findings[k].inspection != NULL && !findings[k].inspection->elevation && found++ < 2)
      pair[found - 1] = findings[k].inspection;
  if (found != 2) return ISW_OK;
  bool swap = pair[0]->mean > pair[1]->mean;
  struct isw_climate_request request = {.tmin = pair[swap ? 1 : 0]->name,
                                        .tmax = pair[swap ? 0 : 1]->name,
                                        .variable = options->variable,
                                        .crs = options->crs,
                                        .unit = isw_jobs_chosen_unit(options)};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, error);
  isw_climate_free(climate);
  return status;
}

/* worst: what looking at the sources came to; returned, or what putting them together or answering
 * comes to. Refusals stand in the answer, so that *error stays empty. */
static enum isw_status answer_findings(const struct isw_request *request,
                                       const struct isw_finding *findings, int count,
                                       enum isw_status worst, struct isw_error *error) {
  struct isw_error pair_error = {.status = ISW_OK};
  bool refused = try_pair(findings, count, request->options, &pair_error) != ISW_OK;
  if (refused && worst == ISW_OK) worst = pair_error.status;
  char *command = refused ? NULL : make_command(findings, count, request->options);
  GString *text = g_string_new(NULL);
  (request->options->json ? isw_output_append_inspection_json : isw_output_append_inspection_text)(
      text, findings, count, command, refused ? &pair_error : NULL);
  isw_base_show_settings(text->str);
  g_string_truncate(text, strlen(text->str));
  enum isw_status status = isw_jobs_answer_string(request, text, error);
  g_string_free(text, TRUE);
  g_free(command);
  return worst == ISW_OK ? status : worst;
}

enum isw_status isw_jobs_inspect(const struct isw_request *request, struct isw_error *error) {
  GDALSetCacheMax64(raster_cache_bytes);
  const struct isw_options *options = request->options;
  int count = request->n_words;
  struct isw_finding *findings = g_new0(struct isw_finding, (gsize)count);
  const struct isw_inspection_options wanted = {.unit = isw_jobs_chosen_unit(options),
                                                .variable = options->variable,
                                                .crs = options->crs,
                                                .every_cell = options->every_cell};
  enum isw_status worst = ISW_OK;
  for (int k = 0; k < count && worst != ISW_INTERRUPTED; k++) {
    findings[k].src = request->words[k];
    enum isw_status status = isw_climate_inspect(request->words[k], &wanted,
                                                 &findings[k].inspection, &findings[k].error);
    if (status != ISW_OK && (worst == ISW_OK || status == ISW_INTERRUPTED)) worst = status;
  }
  if (worst == ISW_INTERRUPTED)
    isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
  else
    worst = answer_findings(request, findings, count, worst, error);
  for (int k = 0; k < count; k++) isw_climate_free_inspection(findings[k].inspection);
  g_free(findings);
  return worst;
}
