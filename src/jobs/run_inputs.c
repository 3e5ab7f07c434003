#include "jobs/run_inputs.h"

#include <string.h>

#include "words/say.h"

/* false: a raster of it, or what the conditions say where nothing is given. */
static bool year_spread_number(const struct isw_options *o, double *out) {
  char *end;
  if (o->year_spread == NULL) return false;
  *out = g_ascii_strtod(o->year_spread, &end);
  return end != o->year_spread && *end == '\0';
}

static const char *year_spread_source(const struct isw_options *o) {
  double number;
  return year_spread_number(o, &number) ? NULL : o->year_spread;
}

struct isw_climate_request isw_jobs_climate_request(const struct isw_options *o) {
  return (struct isw_climate_request){.tmin = o->tmin,
                                      .tmax = o->tmax,
                                      .mean = o->mean,
                                      .range = o->range,
                                      .variable = o->variable,
                                      .crs = o->crs,
                                      .period = o->period,
                                      .unit = isw_jobs_chosen_unit(o),
                                      .elevation = o->elevation,
                                      .normals_elevation = o->normals_elevation,
                                      .lapse = o->lapse,
                                      .lapse_monthly = o->lapse_monthly,
                                      .year_spread = year_spread_source(o),
                                      .hemisphere = (enum isw_hemisphere)o->hemisphere};
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

enum isw_status isw_jobs_make_conditions(const struct isw_options *o, const struct isw_sheet *sheet,
                                         struct isw_conditions *out, struct isw_error *error) {
  *out = isw_growth_default_conditions();
  out->good_score = o->good;
  out->spread_K = o->spread_K;
  out->warmer_K = o->warmer_K;
  out->least_years = o->least_years;
  year_spread_number(o, &out->year_spread_K);
  out->own_year_spread = year_spread_source(o) != NULL;
  out->has_cut = o->cut.from_day >= 0;
  if (out->has_cut) {
    out->cut_from_day = o->cut.from_day;
    out->cut_to_day = o->cut.to_day;
  }
  if (o->start != ISW_NOT_GIVEN)
    out->start = o->start == ISW_CHOSE_DIRECT ? ISW_START_DIRECT : ISW_START_NURSERY;
  if (o->grown_under == NULL) return ISW_OK;
  out->grown_under = isw_crop_find_shelter(sheet, o->grown_under);
  if (out->grown_under >= 0) return ISW_OK;
  return unknown_name(sheet, "--grown-under", "shelter", o->grown_under, error);
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

enum isw_status isw_jobs_plan_sheet(const struct isw_options *o, const struct isw_sheet *sheet,
                                    struct isw_plan **plan, struct isw_error *error) {
  struct isw_conditions conditions;
  GArray *varieties = g_array_new(FALSE, FALSE, sizeof(int));
  GArray *seasons = g_array_new(FALSE, FALSE, sizeof(int));
  enum isw_status status = isw_jobs_make_conditions(o, sheet, &conditions, error);
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

static int count_crops(const struct isw_options *o) {
  return o->crops == NULL ? 0 : (int)g_strv_length(o->crops);
}

static enum isw_status refuse_without_crop(struct isw_error *error) {
  return isw_base_fail(error, ISW_USAGE,
                       "--crop is missing; give a built-in sheet (isosow crop list) or a file");
}

enum isw_status isw_jobs_one_crop(const struct isw_options *o, const char **out,
                                  struct isw_error *error) {
  const int count = count_crops(o);
  if (count == 0) return refuse_without_crop(error);
  if (count > 1)
    return isw_base_fail(error, ISW_USAGE,
                         "--crop is given %d times, and this takes one crop; run it once for each",
                         count);
  *out = o->crops[0];
  return ISW_OK;
}

static enum isw_status load_plan(const struct isw_options *o, const char *crop,
                                 struct isw_sheet **sheet, struct isw_plan **plan,
                                 struct isw_error *error) {
  struct isw_sheet *loaded;
  enum isw_status status = isw_crop_load_sheet(crop, &loaded, error);
  if (status != ISW_OK) return status;
  status = isw_jobs_plan_sheet(o, loaded, plan, error);
  if (status == ISW_OK)
    *sheet = loaded;
  else
    isw_crop_free_sheet(loaded);
  return status;
}

enum isw_status isw_jobs_make_plan(const struct isw_options *o, struct isw_sheet **sheet,
                                   struct isw_plan **plan, struct isw_error *error) {
  const char *crop = NULL;
  enum isw_status status = isw_jobs_one_crop(o, &crop, error);
  return status == ISW_OK ? load_plan(o, crop, sheet, plan, error) : status;
}

enum isw_status isw_jobs_make_plans(const struct isw_options *o, struct isw_crop_plans *out,
                                    struct isw_error *error) {
  const int count = count_crops(o);
  *out = (struct isw_crop_plans){0, g_new0(struct isw_sheet *, (gsize)count + 1),
                                 g_new0(struct isw_plan *, (gsize)count + 1)};
  if (count == 0) return refuse_without_crop(error);
  enum isw_status status = ISW_OK;
  for (int c = 0; c < count && status == ISW_OK; c++) {
    status = load_plan(o, o->crops[c], &out->sheets[c], &out->plans[c], error);
    if (status != ISW_OK) break;
    out->count++;
    for (int other = 0; other < c && status == ISW_OK; other++)
      if (strcmp(out->sheets[other]->crop, out->sheets[c]->crop) == 0)
        status = isw_base_fail(error, ISW_USAGE,
                               "--crop %s, --crop %s: both are called %s; give one of them",
                               o->crops[other], o->crops[c], out->sheets[c]->crop);
  }
  return status;
}

void isw_jobs_free_plans(struct isw_crop_plans *plans) {
  for (int c = 0; c < plans->count; c++) {
    g_free(plans->plans[c]);
    isw_crop_free_sheet(plans->sheets[c]);
  }
  g_free(plans->plans);
  g_free(plans->sheets);
}

enum isw_status isw_jobs_refuse_without_out(struct isw_error *error) {
  return isw_base_fail(error, ISW_USAGE, "--out is missing; name a folder for the results");
}

static void add_source(GString *line, const char *source) {
  if (source == NULL) return;
  char *name = g_path_get_basename(source);
  char *text = g_utf8_make_valid(name, -1);
  g_string_append_printf(line, "%s%s", line->len > 0 ? ", " : "", text);
  g_free(text);
  g_free(name);
}

char *isw_jobs_source_line(const struct isw_options *o, const struct isw_climate *climate) {
  GString *files = g_string_new(NULL);
  if (o->normals_source != NULL) {
    g_string_append(files, o->normals_source);
  } else {
    add_source(files, o->tmin);
    add_source(files, o->tmax);
    add_source(files, o->mean);
  }
  const char *period = isw_climate_period(climate);
  char *line = period != NULL ? isw_words_say(ISW_SAY_SOURCE_LINE, period, files->str)
                              : isw_words_say(ISW_SAY_SOURCE_LINE_UNKNOWN, files->str);
  g_string_free(files, TRUE);
  return line;
}
