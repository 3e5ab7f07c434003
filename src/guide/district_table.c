#include "guide/district_table.h"

#include <glib.h>
#include <math.h>

#include "output/csv_field.h"
#include "survey/area_share.h"
#include "survey/area_spread.h"

enum { LIMIT_CODES = ISW_LIMIT_NEVER_MATURES + 1 };

/* One variety in one season in one region. */
struct result_sums {
  double window_m2, limit_m2[LIMIT_CODES];
  struct isw_area_spread dates[ISW_TABLE_DATES], window_days, years, frost, bolting, score;
};

/* One season in one region. */
struct pick_sums {
  double none_m2, sure_m2[ISW_VARIETIES_MAX], risky_m2[ISW_VARIETIES_MAX];
};

/* Columns of a district without a cell. */
enum { EMPTY_COLUMNS = 29 };

struct region {
  double area_m2, south_m2;
  struct result_sums *results; /* as isw_growth_result_index */
  struct pick_sums *picks;     /* [season] */
  struct isw_type_days *types; /* [season] */
};

struct isw_district_table {
  const struct isw_plan *plan;
  const struct isw_district_set *set;
  int n_regions, n_results;
  struct region *regions;
};

struct isw_district_table *isw_guide_new_table(const struct isw_plan *plan,
                                               const struct isw_district_set *set) {
  struct isw_district_table *table = g_new0(struct isw_district_table, 1);
  table->plan = plan;
  table->set = set;
  table->n_regions = 1 + isw_regions_district_count(set);
  table->n_results = plan->n_varieties * plan->n_seasons;
  table->regions = g_new0(struct region, (gsize)table->n_regions);
  for (int i = 0; i < table->n_regions; i++) {
    table->regions[i].results = g_new0(struct result_sums, (gsize)table->n_results);
    table->regions[i].picks = g_new0(struct pick_sums, (gsize)plan->n_seasons);
    table->regions[i].types = g_new0(struct isw_type_days, (gsize)plan->n_seasons);
  }
  return table;
}

void isw_guide_free_table(struct isw_district_table *table) {
  if (table == NULL) return;
  for (int i = 0; i < table->n_regions; i++) {
    for (int r = 0; r < table->n_results; r++) {
      struct result_sums *sums = &table->regions[i].results[r];
      for (int d = 0; d < ISW_TABLE_DATES; d++) isw_survey_clear_spread(&sums->dates[d]);
      isw_survey_clear_spread(&sums->window_days);
      isw_survey_clear_spread(&sums->years);
      isw_survey_clear_spread(&sums->frost);
      isw_survey_clear_spread(&sums->bolting);
      isw_survey_clear_spread(&sums->score);
    }
    for (int k = 0; k < table->plan->n_seasons; k++)
      isw_guide_clear_type_days(&table->regions[i].types[k]);
    g_free(table->regions[i].types);
    g_free(table->regions[i].results);
    g_free(table->regions[i].picks);
  }
  g_free(table->regions);
  g_free(table);
}

/* Days since the season's first day. The window's ends are counted from the best day, which lies in
 * the season: a window that begins before its season has a negative start, not one of 360. */
static void add_dates(struct result_sums *sums, const int16_t *bands, int start_day,
                      double area_m2) {
  int best = bands[ISW_BAND_BEST_SOW] - 1;
  int after[ISW_TABLE_DATES];
  after[ISW_TABLE_BEST_SOW] = isw_base_days_forward(start_day, best);
  after[ISW_TABLE_SOW_FROM] =
      after[ISW_TABLE_BEST_SOW] - isw_base_days_forward(bands[ISW_BAND_SOW_FROM] - 1, best);
  after[ISW_TABLE_SOW_TO] = after[ISW_TABLE_SOW_FROM] + bands[ISW_BAND_WINDOW_DAYS] - 1;
  after[ISW_TABLE_HARVEST] = after[ISW_TABLE_BEST_SOW] + bands[ISW_BAND_GROWING_DAYS];
  int cut_from = bands[ISW_BAND_CUT_FROM] - 1;
  after[ISW_TABLE_CUT_FROM] =
      after[ISW_TABLE_SOW_FROM] + isw_base_days_forward(bands[ISW_BAND_SOW_FROM] - 1, cut_from);
  after[ISW_TABLE_CUT_TO] =
      after[ISW_TABLE_CUT_FROM] + isw_base_days_forward(cut_from, bands[ISW_BAND_CUT_TO] - 1);
  for (int d = 0; d < ISW_TABLE_DATES; d++)
    isw_survey_add_to_spread(&sums->dates[d], after[d], area_m2);
  isw_survey_add_to_spread(&sums->window_days, bands[ISW_BAND_WINDOW_DAYS], area_m2);
  isw_survey_add_to_spread(&sums->years, bands[ISW_BAND_YEARS], area_m2);
  isw_survey_add_to_spread(&sums->frost, bands[ISW_BAND_FROST_RISK], area_m2);
  isw_survey_add_to_spread(&sums->bolting, bands[ISW_BAND_BOLT_RISK], area_m2);
}

static void add_pick(struct pick_sums *sums, int code, double area_m2) {
  if (code == 0)
    sums->none_m2 += area_m2;
  else if (code > ISW_PICK_RISKY_CODE)
    sums->risky_m2[code - ISW_PICK_RISKY_CODE - 1] += area_m2;
  else
    sums->sure_m2[code - 1] += area_m2;
}

static struct isw_window window_of(const int16_t *bands) {
  int days = bands[ISW_BAND_WINDOW_DAYS];
  if (days <= 0) return (struct isw_window){-1, -1, 0};
  return (struct isw_window){bands[ISW_BAND_SOW_FROM] - 1, bands[ISW_BAND_SOW_TO] - 1, days};
}

static void add_season(const struct isw_district_table *table, struct region *region,
                       const struct isw_block *block, int plan_index, size_t cell, int s,
                       double area_m2) {
  const struct isw_plan *plan = table->plan;
  size_t cells = (size_t)block->width * (size_t)block->height;
  bool south = (block->flags[cell] & ISW_CELL_SOUTH) != 0;
  struct isw_window days = isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], south);
  struct isw_window windows[ISW_VARIETIES_MAX];
  add_pick(&region->picks[s], block->picks[plan_index][(size_t)s * cells + cell], area_m2);
  for (int v = 0; v < plan->n_varieties; v++) {
    size_t r = (size_t)isw_growth_result_index(plan, v, s);
    const int16_t *bands = block->bands[plan_index] + (r * cells + cell) * ISW_CELL_BANDS;
    struct result_sums *sums = &region->results[r];
    isw_survey_add_to_spread(&sums->score, bands[ISW_BAND_SCORE], area_m2);
    sums->limit_m2[bands[ISW_BAND_LIMIT]] += area_m2;
    windows[v] = window_of(bands);
    if (windows[v].days == 0) continue;
    sums->window_m2 += area_m2;
    add_dates(sums, bands, days.from_day, area_m2);
  }
  struct isw_type_days_run runs[ISW_CELL_RUNS_MAX];
  int n = isw_guide_find_cell_runs(plan, s, days, windows, runs);
  isw_guide_add_cell_runs(&region->types[s], n, runs, area_m2);
}

static void add_cell(const struct isw_district_table *table, struct region *region,
                     const struct isw_block *block, int plan_index, size_t cell, double area_m2) {
  region->area_m2 += area_m2;
  if (block->flags[cell] & ISW_CELL_SOUTH) region->south_m2 += area_m2;
  for (int s = 0; s < table->plan->n_seasons; s++)
    add_season(table, region, block, plan_index, cell, s, area_m2);
}

void isw_guide_add_block(struct isw_district_table *table, const struct isw_block *block,
                         int plan_index, const double *area_m2, int n_found,
                         const struct isw_district_cells *found) {
  size_t cells = (size_t)block->width * (size_t)block->height;
  for (size_t cell = 0; cell < cells; cell++)
    if (block->flags[cell] & ISW_CELL_VALID)
      add_cell(table, &table->regions[0], block, plan_index, cell, area_m2[cell]);
  for (int i = 0; i < n_found; i++)
    for (size_t k = 0; k < found[i].n; k++)
      add_cell(table, &table->regions[1 + found[i].district], block, plan_index, found[i].cells[k],
               area_m2[found[i].cells[k]]);
}

bool isw_guide_region_south(const struct isw_district_table *table, int region) {
  return 2.0 * table->regions[region].south_m2 > table->regions[region].area_m2;
}

static int season_start(const struct isw_district_table *table, int region, int s) {
  return isw_growth_season_days(&table->plan->sheet->seasons[table->plan->seasons[s]],
                                isw_guide_region_south(table, region))
      .from_day;
}

void isw_guide_read_row(const struct isw_district_table *table, int region, int v, int s,
                        struct isw_table_row *out) {
  static const double quartiles[ISW_QUARTILES] = {0.25, 0.5, 0.75};
  const struct isw_plan *plan = table->plan;
  const struct region *where = &table->regions[region];
  const struct result_sums *sums = &where->results[isw_growth_result_index(plan, v, s)];
  *out = (struct isw_table_row){.area_km2 = where->area_m2 / 1e6};
  if (!(where->area_m2 > 0.0)) return;
  out->window_share = sums->window_m2 / where->area_m2;
  isw_survey_spread_quantile(&sums->score, 0.5, &out->median_score);
  for (int code = 1; code < LIMIT_CODES; code++)
    if (sums->limit_m2[code] > sums->limit_m2[out->main_limit]) out->main_limit = code;
  isw_survey_spread_quantile(&sums->years, 0.5, &out->median_years);
  isw_survey_spread_quantile(&sums->frost, 0.5, &out->median_frost_percent);
  isw_survey_spread_quantile(&sums->bolting, 0.5, &out->median_bolting_percent);
  out->has_dates = isw_survey_spread_quantile(&sums->window_days, 0.5, &out->median_window_days);
  if (!out->has_dates) return;
  int start_day = season_start(table, region, s);
  for (int d = 0; d < ISW_TABLE_DATES; d++) {
    for (int q = 0; q < ISW_QUARTILES; q++) {
      isw_survey_spread_quantile(&sums->dates[d], quartiles[q], &out->after[d][q]);
      out->day[d][q] = isw_base_wrap_day(start_day + out->after[d][q]);
    }
  }
}

int isw_guide_read_types(const struct isw_district_table *table, int region, int s,
                         struct isw_table_type types[ISW_REGION_RUNS_MAX]) {
  const struct region *where = &table->regions[region];
  struct isw_type_days_run runs[ISW_REGION_RUNS_MAX];
  int n = isw_guide_find_region_runs(table->plan, s, &where->types[s], where->area_m2, runs);
  int start_day = season_start(table, region, s);
  for (int i = 0; i < n; i++)
    types[i] = (struct isw_table_type){
        table->plan->varieties[runs[i].v],
        {isw_base_wrap_day(start_day + runs[i].from), isw_base_wrap_day(start_day + runs[i].to),
         runs[i].to - runs[i].from + 1}};
  return n;
}

double isw_guide_read_span_share(const struct isw_district_table *table, int region, int s) {
  const struct region *where = &table->regions[region];
  return where->area_m2 > 0.0 ? where->types[s].span_m2 / where->area_m2 : 0.0;
}

void isw_guide_read_year(const struct isw_district_table *table, int region,
                         int varieties[ISW_YEAR_DAYS]) {
  for (int day = 0; day < ISW_YEAR_DAYS; day++) varieties[day] = -1;
  for (int s = table->plan->n_seasons - 1; s >= 0; s--) {
    struct isw_window days =
        isw_growth_season_days(&table->plan->sheet->seasons[table->plan->seasons[s]],
                               isw_guide_region_south(table, region));
    for (int i = 0; i < days.days; i++) varieties[isw_base_wrap_day(days.from_day + i)] = -1;
    struct isw_table_type types[ISW_REGION_RUNS_MAX];
    int n = isw_guide_read_types(table, region, s, types);
    for (int i = 0; i < n; i++)
      for (int k = 0; k < types[i].days.days; k++)
        varieties[isw_base_wrap_day(types[i].days.from_day + k)] = types[i].variety;
  }
}

struct isw_table_pick isw_guide_read_pick(const struct isw_district_table *table, int region,
                                          int s) {
  const struct region *where = &table->regions[region];
  const struct pick_sums *sums = &where->picks[s];
  struct isw_table_pick pick = {-1, false, 0.0};
  double most_m2 = sums->none_m2;
  for (int v = 0; v < table->plan->sheet->n_varieties; v++) {
    if (sums->sure_m2[v] > most_m2) {
      most_m2 = sums->sure_m2[v];
      pick = (struct isw_table_pick){v, false, 0.0};
    }
    if (sums->risky_m2[v] > most_m2) {
      most_m2 = sums->risky_m2[v];
      pick = (struct isw_table_pick){v, true, 0.0};
    }
  }
  if (where->area_m2 > 0.0) pick.share = most_m2 / where->area_m2;
  return pick;
}

static void append_dates(GString *text, const struct isw_table_row *row, enum isw_table_date first,
                         enum isw_table_date last) {
  for (int d = (int)first; d <= (int)last; d++) {
    for (int q = 0; q < ISW_QUARTILES; q++) {
      char date[ISW_DATE_SIZE];
      g_string_append_printf(text, ",%s",
                             row->has_dates ? isw_base_format_month_day(row->day[d][q], date) : "");
    }
  }
}

/* Years, cut, odds; then the dates on which most of the district can sow this type before others.
 */
static void append_season(GString *text, const struct isw_district_table *table, int region, int v,
                          int s, const struct isw_table_row *row) {
  if (row->has_dates && row->median_years >= 0)
    g_string_append_printf(text, ",%d", row->median_years);
  else
    g_string_append_c(text, ',');
  append_dates(text, row, ISW_TABLE_CUT_FROM, ISW_TABLE_CUT_TO);
  if (row->has_dates)
    g_string_append_printf(text, ",%d,%d", row->median_frost_percent, row->median_bolting_percent);
  else
    g_string_append(text, ",,");
  struct isw_table_type types[ISW_REGION_RUNS_MAX];
  int n = isw_guide_read_types(table, region, s, types), first = -1, last = -1;
  for (int i = 0; i < n; i++) {
    if (types[i].variety != table->plan->varieties[v]) continue;
    first = first < 0 ? i : first;
    last = i;
  }
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  if (first >= 0)
    g_string_append_printf(text, ",%s,%s",
                           isw_base_format_month_day(types[first].days.from_day, from),
                           isw_base_format_month_day(types[last].days.to_day, to));
  else
    g_string_append(text, ",,");
  g_string_append_printf(
      text, ",%.1f\n",
      isw_survey_share_tenths(isw_guide_read_span_share(table, region, s), 1.0) / 10.0);
}

static void append_row(GString *text, const struct isw_district_table *table, int district, int v,
                       int s) {
  const struct isw_plan *plan = table->plan;
  struct isw_table_row row;
  isw_guide_read_row(table, 1 + district, v, s, &row);
  isw_output_append_csv_name(text, isw_regions_district_name(table->set, district));
  g_string_append_printf(text, ",%s,%s,%.1f", plan->sheet->varieties[plan->varieties[v]].name,
                         plan->sheet->seasons[plan->seasons[s]].name, row.area_km2);
  if (!(row.area_km2 > 0.0)) { /* no cell: nothing to say of it */
    for (int i = 0; i < EMPTY_COLUMNS; i++) g_string_append_c(text, ',');
    g_string_append_c(text, '\n');
    return;
  }
  g_string_append_printf(text, ",%.1f", isw_survey_share_tenths(row.window_share, 1.0) / 10.0);
  append_dates(text, &row, ISW_TABLE_SOW_FROM, ISW_TABLE_HARVEST);
  char limit[ISW_LIMIT_NAME_SIZE];
  g_string_append_printf(text, ",%d,", row.median_score);
  isw_output_append_csv_text(text, isw_growth_limit_name(plan->sheet, row.main_limit, limit));
  struct isw_table_pick pick = isw_guide_read_pick(table, 1 + district, s);
  g_string_append_printf(
      text, ",%s%s,%.1f", pick.variety >= 0 ? plan->sheet->varieties[pick.variety].name : "none",
      pick.risky ? " (risky)" : "", isw_survey_share_tenths(pick.share, 1.0) / 10.0);
  append_season(text, table, 1 + district, v, s, &row);
}

enum isw_status isw_guide_write_table(const struct isw_district_table *table, const char *path,
                                      struct isw_error *error) {
  const struct isw_plan *plan = table->plan;
  GString *text = g_string_new(
      "district,variety,season,area_km2,window_percent,"
      "sow_from_q1,sow_from_median,sow_from_q3,best_sow_q1,best_sow_median,best_sow_q3,"
      "sow_to_q1,sow_to_median,sow_to_q3,harvest_q1,harvest_median,harvest_q3,"
      "score_median,main_limit,pick,pick_percent,years_median,cut_from_q1,cut_from_median,"
      "cut_from_q3,cut_to_q1,cut_to_median,cut_to_q3,frost_risk_median,bolt_risk_median,type_from,"
      "type_to,span_percent\n");
  for (int d = 0; d < isw_regions_district_count(table->set); d++)
    for (int v = 0; v < plan->n_varieties; v++)
      for (int s = 0; s < plan->n_seasons; s++) append_row(text, table, d, v, s);
  GError *failure = NULL;
  enum isw_status status = ISW_OK;
  if (!g_file_set_contents(path, text->str, (gssize)text->len, &failure)) {
    status = isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path, failure->message);
    g_error_free(failure);
  }
  g_string_free(text, TRUE);
  return status;
}
