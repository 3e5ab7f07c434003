#include "output/place_csv.h"

#include "output/place_record.h"

static const struct isw_column all_columns[] = {
    {"crop", ISW_COLUMN_TEXT}, /* of several only */
    {"name", ISW_COLUMN_TEXT},
    {"lat", ISW_COLUMN_NUMBER},
    {"lon", ISW_COLUMN_NUMBER},
    {"variety", ISW_COLUMN_TEXT},
    {"season", ISW_COLUMN_TEXT},
    {"score", ISW_COLUMN_NUMBER},
    {"best_sow", ISW_COLUMN_TEXT},
    {"sow_from", ISW_COLUMN_TEXT},
    {"sow_to", ISW_COLUMN_TEXT},
    {"window_days", ISW_COLUMN_WHOLE},
    {"transplant", ISW_COLUMN_TEXT},
    {"harvest", ISW_COLUMN_TEXT},
    {"growing_days", ISW_COLUMN_WHOLE},
    {"limit", ISW_COLUMN_TEXT},
    {"frost_risk", ISW_COLUMN_NUMBER},
    {"bolt_risk", ISW_COLUMN_NUMBER},
    {"years", ISW_COLUMN_WHOLE},
    {"edge", ISW_COLUMN_WHOLE},
    {"cut_from", ISW_COLUMN_TEXT},
    {"cut_to", ISW_COLUMN_TEXT},
    {"record_years", ISW_COLUMN_WHOLE}, /* from here on of records only */
    {"record_good", ISW_COLUMN_WHOLE},
    {"record_failed", ISW_COLUMN_TEXT},
    {"hindsight_sow", ISW_COLUMN_TEXT},
    {"hindsight_good", ISW_COLUMN_WHOLE},
    {"recent_years", ISW_COLUMN_WHOLE},
    {"recent_good", ISW_COLUMN_WHOLE},
    {"before_years", ISW_COLUMN_WHOLE},
    {"before_good", ISW_COLUMN_WHOLE},
    {"best_shift_days", ISW_COLUMN_NUMBER},
    {"record_station", ISW_COLUMN_TEXT}};

const struct isw_column *isw_output_place_columns(bool crop_column, bool record, int *n) {
  *n = (int)G_N_ELEMENTS(all_columns) - (crop_column ? 0 : 1) - (record ? 0 : ISW_RECORD_CELLS);
  return crop_column ? all_columns : all_columns + 1;
}

void isw_output_append_place_header(GString *out, bool crop_column, bool record) {
  int n;
  const struct isw_column *columns = isw_output_place_columns(crop_column, record, &n);
  isw_output_append_csv_columns(out, n, columns);
  g_string_append_c(out, '\n');
}

static void add_date(GPtrArray *row, int day) {
  char date[ISW_DATE_SIZE];
  isw_output_add_cell(row, "%s", day >= 0 ? isw_base_format_month_day(day, date) : "");
}

static void add_tenths(GPtrArray *row, int tenths) {
  isw_output_add_cell(row, "%d.%d", tenths / 10, tenths % 10);
}

GPtrArray *isw_output_new_place_row(const struct isw_plan *plan, const struct isw_site *site, int v,
                                    int s, const struct isw_result *r, bool crop_column) {
  static const double percent = 100.0;
  char limit[ISW_LIMIT_NAME_SIZE];
  GPtrArray *row = isw_output_new_row();
  if (crop_column) isw_output_add_cell(row, "%s", plan->sheet->crop);
  isw_output_add_cell(row, "%s", site->name);
  isw_output_add_cell(row, "%s", site->lat_text);
  isw_output_add_cell(row, "%s", site->lon_text);
  isw_output_add_cell(row, "%s", plan->sheet->varieties[plan->varieties[v]].name);
  isw_output_add_cell(row, "%s", plan->sheet->seasons[plan->seasons[s]].name);
  if (site->no_data) {
    int n;
    isw_output_place_columns(crop_column, false, &n);
    isw_output_add_empty_cells(row, n - (int)row->len);
    return row;
  }
  add_tenths(row, r->score_tenths);
  add_date(row, r->best_sow_day);
  add_date(row, r->window.from_day);
  add_date(row, r->window.to_day);
  isw_output_add_cell(row, "%d", r->window.days);
  add_date(row, r->transplant_day);
  add_date(row, r->harvest_day);
  isw_output_add_cell(row, "%d", r->growing_days);
  isw_output_add_cell(row, "%s", isw_growth_limit_name(plan->sheet, r->limit, limit));
  add_tenths(row, isw_growth_round_tenths(percent * r->frost_risk));
  add_tenths(row, isw_growth_round_tenths(percent * r->bolt_risk));
  if (r->years >= 0)
    isw_output_add_cell(row, "%d", r->years);
  else
    isw_output_add_empty_cells(row, 1);
  isw_output_add_cell(row, "%d", r->edge);
  add_date(row, r->cut_from_day);
  add_date(row, r->cut_to_day);
  return row;
}

GPtrArray *isw_output_new_record_row(const struct isw_plan *plan, const struct isw_site *site,
                                     int v, int s, const struct isw_place *place,
                                     bool crop_column) {
  const int r = isw_growth_result_index(plan, v, s);
  GPtrArray *row =
      isw_output_new_place_row(plan, site, v, s, &place->results[r].result, crop_column);
  isw_output_add_record_cells(row, plan, v, s, site->no_data ? NULL : place->backtest);
  return row;
}

/* Takes row. */
static void append_row(GString *out, bool crop_column, GPtrArray *row) {
  int n;
  isw_output_append_csv_cells(out, isw_output_place_columns(crop_column, true, &n), row);
  g_string_append_c(out, '\n');
  g_ptr_array_unref(row);
}

void isw_output_append_place_rows(GString *out, const struct isw_plan *plan,
                                  const struct isw_site *site, const struct isw_result *results,
                                  bool crop_column) {
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      append_row(out, crop_column,
                 isw_output_new_place_row(
                     plan, site, v, s, &results[isw_growth_result_index(plan, v, s)], crop_column));
}

void isw_output_append_record_rows(GString *out, const struct isw_plan *plan,
                                   const struct isw_site *site, const struct isw_place *place,
                                   bool crop_column) {
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      append_row(out, crop_column, isw_output_new_record_row(plan, site, v, s, place, crop_column));
}
