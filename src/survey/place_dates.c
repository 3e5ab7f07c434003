#include "survey/place_dates.h"

#include <glib.h>
#include <string.h>

#include "documents/csv_table.h"

static const char *const column_names[] = {"name", "season", "sow_from", "sow_to"};
enum { NAME, SEASON, SOW_FROM, SOW_TO, COLUMNS };

struct reading {
  const char *file;
  const struct isw_plan *plan;
  GHashTable *site_of; /* name -> index + 1 */
  int column[COLUMNS];
  GArray *rows;
};

static enum isw_status read_header(void *into, const GPtrArray *fields, int line,
                                   struct isw_error *error) {
  struct reading *reading = into;
  return isw_documents_find_all_columns(reading->file, fields, line, COLUMNS, column_names,
                                        reading->column, error);
}

static enum isw_status read_date(const struct reading *reading, const char *text, int column,
                                 int line, int *day, struct isw_error *error) {
  *day = isw_base_parse_month_day(text);
  if (*day >= 0) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: %s is \"%.40s\", not a date of the year\nWrite dates as MM-DD, "
                       "like 08-05",
                       reading->file, line, column_names[column], text);
}

static int find_season(const struct isw_plan *plan, const char *name) {
  for (int s = 0; s < plan->n_seasons; s++)
    if (strcmp(plan->sheet->seasons[plan->seasons[s]].name, name) == 0) return s;
  return -1;
}

static enum isw_status match_row(const struct reading *reading, struct isw_published *row,
                                 struct isw_error *error) {
  row->site = GPOINTER_TO_INT(g_hash_table_lookup(reading->site_of, row->name)) - 1;
  if (row->site < 0)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s:%d: no station is called \"%s\"\nNames must be those of the station "
                         "table",
                         reading->file, row->line, row->name);
  row->season = find_season(reading->plan, row->season_name);
  if (row->season >= 0) return ISW_OK;
  GString *names = g_string_new(NULL);
  for (int s = 0; s < reading->plan->n_seasons; s++)
    g_string_append_printf(names, "%s%s", s > 0 ? ", " : "",
                           reading->plan->sheet->seasons[reading->plan->seasons[s]].name);
  isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: \"%s\" is no season here; there are: %s",
                reading->file, row->line, row->season_name, names->str);
  g_string_free(names, TRUE);
  return ISW_INPUT_CONTENT;
}

static enum isw_status read_row(void *into, const GPtrArray *fields, int line,
                                struct isw_error *error) {
  struct reading *reading = into;
  char *texts[COLUMNS];
  for (int c = 0; c < COLUMNS; c++)
    texts[c] = g_strstrip(g_strdup(g_ptr_array_index(fields, (guint)reading->column[c])));
  struct isw_published row = {.line = line, .name = texts[NAME], .season_name = texts[SEASON]};
  enum isw_status status =
      read_date(reading, texts[SOW_FROM], SOW_FROM, line, &row.window.from_day, error);
  if (status == ISW_OK)
    status = read_date(reading, texts[SOW_TO], SOW_TO, line, &row.window.to_day, error);
  if (status == ISW_OK) {
    row.window.days = isw_base_days_forward(row.window.from_day, row.window.to_day) + 1;
    status = match_row(reading, &row, error);
  }
  g_free(texts[SOW_FROM]);
  g_free(texts[SOW_TO]);
  g_array_append_val(reading->rows, row);
  return status;
}

enum isw_status isw_survey_read_published(const char *path, const struct isw_plan *plan,
                                          int n_sites, const struct isw_site *sites,
                                          struct isw_published_list *out, struct isw_error *error) {
  char *text = NULL;
  size_t length = 0;
  enum isw_status status = isw_documents_load_table(path, &text, &length, error);
  if (status != ISW_OK) return status;
  struct reading reading = {.file = path,
                            .plan = plan,
                            .site_of = g_hash_table_new(g_str_hash, g_str_equal),
                            .rows = g_array_new(FALSE, FALSE, sizeof(struct isw_published))};
  for (int i = 0; i < n_sites; i++)
    g_hash_table_insert(reading.site_of, (gpointer)sites[i].name, GINT_TO_POINTER(i + 1));
  status = isw_documents_read_table(path, text, length, read_header, read_row, &reading, error);
  if (status == ISW_OK && reading.rows->len == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: no published dates in it; it wants rows of "
                           "name,season,sow_from,sow_to",
                           path);
  g_hash_table_destroy(reading.site_of);
  g_free(text);
  out->count = (int)reading.rows->len;
  out->items = (struct isw_published *)(void *)g_array_free(reading.rows, FALSE);
  if (status != ISW_OK) isw_survey_free_published(out);
  return status;
}

void isw_survey_free_published(struct isw_published_list *list) {
  for (int i = 0; i < list->count; i++) {
    g_free(list->items[i].name);
    g_free(list->items[i].season_name);
  }
  g_free(list->items);
  *list = (struct isw_published_list){0, NULL};
}

/* The pick's chosen index, or that of the highest score, or -1. */
static int leading_variety(const struct isw_plan *plan, const struct isw_place *place, int s) {
  int best = -1, best_tenths = 0;
  for (int v = 0; v < plan->n_varieties; v++) {
    if (plan->varieties[v] == place->seasons[s].pick.variety) return v;
  }
  for (int v = 0; v < plan->n_varieties; v++) {
    int tenths = place->results[isw_growth_result_index(plan, v, s)].result.score_tenths;
    if (tenths <= best_tenths) continue;
    best = v;
    best_tenths = tenths;
  }
  return best;
}

static int days_from_window(struct isw_window window, int day) {
  int after = isw_base_days_forward(window.from_day, day);
  if (after < window.days) return 0;
  int late = after - (window.days - 1), early = ISW_YEAR_DAYS - after;
  return early < late ? -early : late;
}

void isw_survey_compare_dates(const struct isw_plan *plan, const struct isw_place *place,
                              const struct isw_published *published,
                              struct isw_date_agreement *out) {
  int s = published->season;
  *out =
      (struct isw_date_agreement){.variety = leading_variety(plan, place, s), .best_sow_day = -1};
  for (int i = 0; i < published->window.days; i++) {
    int day = isw_base_wrap_day(published->window.from_day + i);
    bool good = false;
    for (int v = 0; v < plan->n_varieties; v++)
      good = good || place->scores[plan->programme_of[v][s]].good[day];
    out->good_days += good;
  }
  out->share = (double)out->good_days / published->window.days;
  out->verdict = isw_survey_judge_share(out->share);
  if (out->variety < 0) return;
  out->best_sow_day =
      place->results[isw_growth_result_index(plan, out->variety, s)].result.best_sow_day;
  if (out->best_sow_day >= 0)
    out->days_off = days_from_window(published->window, out->best_sow_day);
}
