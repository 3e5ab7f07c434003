#include "guide/district_table.h"

#include <glib.h>
#include <math.h>

#include "survey/area_spread.h"
#include "words/say.h"

enum { LIMIT_CODES = ISW_LIMIT_NEVER_MATURES + 1 };

/* One variety in one season in one region. */
struct result_sums {
  double window_m2, limit_m2[LIMIT_CODES];
  struct isw_area_spread dates[ISW_TABLE_DATES], window_days, years, frost, bolting, score;
  /* Of best days (y, days since the season's first) by height (x, km), weighted by area. */
  double w, wx, wy, wxx, wxy, wyy;
};

/* One season in one region. */
struct pick_sums {
  double none_m2, sure_m2[ISW_VARIETIES_MAX], risky_m2[ISW_VARIETIES_MAX];
};

struct region {
  double area_m2, south_m2;
  double left_out_m2;          /* by a mask, of a whole district */
  struct result_sums *results; /* as isw_growth_result_index */
  struct pick_sums *picks;     /* [season] */
  struct isw_type_days *types; /* [season] */
};

struct isw_district_table {
  const struct isw_plan *plan;
  const struct isw_district_set *set;
  double band_m;
  bool feet;
  int n_results, n_districts;
  struct region **regions; /* 0: all, then the districts; when settled, the areas */
  int n_regions;
  struct region **whole; /* [district], when settled; some of them are areas too */
  GHashTable *bands;     /* [district and band as a key] -> struct region; NULL when settled */
  long long without_height;
  struct isw_guide_areas areas;
};

static struct region *new_region(const struct isw_district_table *table) {
  struct region *region = g_new0(struct region, 1);
  gsize seasons = (gsize)table->plan->n_seasons;
  region->results = g_new0(struct result_sums, (gsize)table->n_results);
  region->picks = g_new0(struct pick_sums, seasons);
  region->types = g_new0(struct isw_type_days, seasons);
  return region;
}

struct isw_district_table *isw_guide_new_table(const struct isw_plan *plan,
                                               const struct isw_district_set *set, double band_m,
                                               bool feet) {
  struct isw_district_table *table = g_new0(struct isw_district_table, 1);
  table->plan = plan;
  table->set = set;
  table->band_m = band_m;
  table->feet = feet;
  table->n_districts = isw_regions_district_count(set);
  table->n_regions = 1 + table->n_districts;
  table->n_results = plan->n_varieties * plan->n_seasons;
  table->regions = g_new0(struct region *, (gsize)table->n_regions);
  for (int i = 0; i < table->n_regions; i++) table->regions[i] = new_region(table);
  table->bands = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
  return table;
}

static void free_region(const struct isw_district_table *table, struct region *region) {
  for (int r = 0; r < table->n_results; r++) {
    struct result_sums *sums = &region->results[r];
    for (int d = 0; d < ISW_TABLE_DATES; d++) isw_survey_clear_spread(&sums->dates[d]);
    isw_survey_clear_spread(&sums->window_days);
    isw_survey_clear_spread(&sums->years);
    isw_survey_clear_spread(&sums->frost);
    isw_survey_clear_spread(&sums->bolting);
    isw_survey_clear_spread(&sums->score);
  }
  for (int s = 0; s < table->plan->n_seasons; s++) isw_guide_clear_type_days(&region->types[s]);
  g_free(region->types);
  g_free(region->results);
  g_free(region->picks);
  g_free(region);
}

static void free_bands(struct isw_district_table *table) {
  GHashTableIter iter;
  gpointer region;
  if (table->bands == NULL) return;
  g_hash_table_iter_init(&iter, table->bands);
  while (g_hash_table_iter_next(&iter, NULL, &region)) free_region(table, region);
  g_hash_table_unref(table->bands);
}

void isw_guide_free_table(struct isw_district_table *table) {
  if (table == NULL) return;
  free_bands(table);
  for (int i = 0; i < table->n_regions; i++) {
    bool whole = false; /* freed below */
    for (int d = 0; d < table->n_districts && table->whole != NULL; d++)
      whole = whole || table->whole[d] == table->regions[i];
    if (!whole) free_region(table, table->regions[i]);
  }
  for (int d = 0; d < table->n_districts && table->whole != NULL; d++)
    free_region(table, table->whole[d]);
  for (int a = 0; a < table->areas.n; a++) g_free(table->areas.items[a].name);
  g_free(table->areas.items);
  g_free(table->whole);
  g_free(table->regions);
  g_free(table);
}

/* Days since the season's first day. The window's ends are counted from the best day, which lies in
 * the season: a window that begins before its season has a negative start, not one of 360. */
static void add_dates(struct result_sums *sums, const int16_t *bands, int start_day, double area_m2,
                      double height_m) {
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
  if (isnan(height_m)) return;
  double x = height_m / 1000.0, y = after[ISW_TABLE_BEST_SOW];
  sums->w += area_m2;
  sums->wx += area_m2 * x;
  sums->wy += area_m2 * y;
  sums->wxx += area_m2 * x * x;
  sums->wxy += area_m2 * x * y;
  sums->wyy += area_m2 * y * y;
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
                       double area_m2, double height_m) {
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
    add_dates(sums, bands, days.from_day, area_m2, height_m);
  }
  struct isw_type_days_run runs[ISW_CELL_RUNS_MAX];
  int n = isw_guide_find_cell_runs(plan, s, days, windows, runs);
  isw_guide_add_cell_runs(&region->types[s], n, runs, area_m2);
}

static void add_cell(const struct isw_district_table *table, struct region *region,
                     const struct isw_block *block, int plan_index, size_t cell, double area_m2,
                     double height_m) {
  region->area_m2 += area_m2;
  if (block->flags[cell] & ISW_CELL_SOUTH) region->south_m2 += area_m2;
  for (int s = 0; s < table->plan->n_seasons; s++)
    add_season(table, region, block, plan_index, cell, s, area_m2, height_m);
}

static gint64 band_key(int district, int band) {
  return (gint64)district * 1000000 + band + 500000;
}

static struct region *band_region(struct isw_district_table *table, int district, int band) {
  gint64 key = band_key(district, band);
  struct region *region = g_hash_table_lookup(table->bands, &key);
  if (region != NULL) return region;
  region = new_region(table);
  g_hash_table_insert(table->bands, g_memdup2(&key, sizeof key), region);
  return region;
}

static void add_to_district(struct isw_district_table *table, const struct isw_block *block,
                            int plan_index, int district, size_t cell, double area_m2,
                            double height_m) {
  add_cell(table, table->regions[1 + district], block, plan_index, cell, area_m2, height_m);
  if (!(table->band_m > 0.0)) return;
  if (isnan(height_m))
    table->without_height++;
  else
    add_cell(table, band_region(table, district, isw_guide_band_of(height_m, table->band_m)), block,
             plan_index, cell, area_m2, height_m);
}

void isw_guide_add_block(struct isw_district_table *table, const struct isw_block *block,
                         int plan_index, const double *area_m2, const float *height_m, int n_found,
                         const struct isw_district_cells *found) {
  size_t cells = (size_t)block->width * (size_t)block->height;
  for (size_t cell = 0; cell < cells; cell++)
    if (block->flags[cell] & ISW_CELL_VALID)
      add_cell(table, table->regions[0], block, plan_index, cell, area_m2[cell], NAN);
  for (int i = 0; i < n_found; i++) {
    for (size_t k = 0; k < found[i].n_left_out; k++)
      table->regions[1 + found[i].district]->left_out_m2 += area_m2[found[i].left_out[k]];
    for (size_t k = 0; k < found[i].n; k++) {
      size_t cell = found[i].cells[k];
      add_to_district(table, block, plan_index, found[i].district, cell, area_m2[cell],
                      height_m != NULL ? (double)height_m[cell] : NAN);
    }
  }
}

/* ---- areas ---- */

static void add_area(struct isw_district_table *table, GPtrArray *regions, int district, int band,
                     struct region *region) {
  const char *name = isw_regions_district_name(table->set, district);
  struct isw_guide_area area = {.district = district, .band = band};
  if (band == ISW_NO_BAND) {
    area.name = g_strdup(name);
  } else {
    area.from_m = band * table->band_m;
    area.to_m = area.from_m + table->band_m;
    char *heights = isw_guide_word_heights(area.from_m, area.to_m, table->feet);
    area.name = isw_words_say(ISW_SAY_GUIDE_AREA, name, heights);
    g_free(heights);
  }
  table->areas.items =
      g_renew(struct isw_guide_area, table->areas.items, (gsize)table->areas.n + 1);
  table->areas.items[table->areas.n++] = area;
  g_ptr_array_add(regions, region);
}

static int compare_keys(gconstpointer a, gconstpointer b) {
  gint64 x = *(const gint64 *)a, y = *(const gint64 *)b;
  return (x > y) - (x < y);
}

enum isw_status isw_guide_settle_areas(struct isw_district_table *table, const char *heights,
                                       struct isw_error *error) {
  if (table->without_height > 0)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "heights %s: has no elevation in %lld of the districts' cells with climate "
        "data; give one that covers the districts",
        heights, table->without_height);
  GPtrArray *regions = g_ptr_array_new();
  GList *keys = g_list_sort(g_hash_table_get_keys(table->bands), compare_keys);
  g_ptr_array_add(regions, table->regions[0]);
  table->whole = g_new(struct region *, (gsize)table->n_districts + 1);
  for (int d = 0; d < table->n_districts; d++) {
    table->whole[d] = table->regions[1 + d];
    bool any = false;
    for (const GList *at = keys; at != NULL; at = at->next) {
      gint64 key = *(const gint64 *)at->data;
      int band = (int)(key - band_key(d, 0));
      if (key < band_key(d, -500000) || key >= band_key(d, 500000)) continue;
      add_area(table, regions, d, band, g_hash_table_lookup(table->bands, at->data));
      any = true;
    }
    if (!any) add_area(table, regions, d, ISW_NO_BAND, table->whole[d]);
  }
  g_list_free(keys);
  g_hash_table_unref(table->bands); /* its regions are areas now */
  table->bands = NULL;
  g_free(table->regions);
  table->n_regions = (int)regions->len;
  table->regions = (struct region **)g_ptr_array_free(regions, FALSE);
  return ISW_OK;
}

const struct isw_guide_areas *isw_guide_areas(const struct isw_district_table *table) {
  return &table->areas;
}

double isw_guide_band_m(const struct isw_district_table *table) {
  return table->band_m;
}

struct isw_height_slope isw_guide_read_slope(const struct isw_district_table *table, int district,
                                             int v, int s) {
  static const double least_spread_km = 0.1;
  const struct result_sums *sums =
      &table->whole[district]->results[isw_growth_result_index(table->plan, v, s)];
  struct isw_height_slope slope = {.has = false};
  if (!(sums->w > 0.0) || !(table->band_m > 0.0)) return slope;
  double x = sums->wx / sums->w, y = sums->wy / sums->w;
  double xx = sums->wxx / sums->w - x * x, xy = sums->wxy / sums->w - x * y;
  double yy = sums->wyy / sums->w - y * y;
  if (!(xx > least_spread_km * least_spread_km)) return slope;
  slope.has = true;
  slope.days_per_band = xy / xx * table->band_m / 1000.0;
  slope.spread_days = sqrt(fmax(yy - xy * xy / xx, 0.0));
  return slope;
}

void isw_guide_report_spread(const struct isw_district_table *table, struct isw_log *log) {
  enum { SPREAD_MOST = 30 };
  if (table->band_m > 0.0) return;
  for (int d = 0; d < table->n_districts; d++) {
    int widest = 0, in = 0;
    /* Across the equator the two sides' dates are half a year apart, whatever the heights. */
    const double south_m2 = table->whole[d]->south_m2;
    if (south_m2 > 0.0 && south_m2 < table->whole[d]->area_m2) continue;
    for (int s = 0; s < table->plan->n_seasons; s++) {
      struct isw_table_pick pick = isw_guide_read_pick(table, 1 + d, s);
      for (int v = 0; v < table->plan->n_varieties; v++) {
        const struct result_sums *sums =
            &table->whole[d]->results[isw_growth_result_index(table->plan, v, s)];
        int early, late;
        if (table->plan->varieties[v] != pick.variety || pick.risky ||
            !isw_survey_spread_quantile(&sums->dates[ISW_TABLE_BEST_SOW], 0.1, &early) ||
            !isw_survey_spread_quantile(&sums->dates[ISW_TABLE_BEST_SOW], 0.9, &late) ||
            late - early <= widest)
          continue;
        widest = late - early;
        in = s;
      }
    }
    if (widest > SPREAD_MOST)
      isw_base_warn(
          log,
          "%s%sdistrict %s: its best days in %s spread over %d days, so that one row is wrong "
          "for much of it; if that is for its heights, split it: ‹heights› DEM ‹bands› 300",
          table->plan->among_others ? table->plan->sheet->crop : "",
          table->plan->among_others ? ": " : "", isw_regions_district_name(table->set, d),
          table->plan->sheet->seasons[table->plan->seasons[in]].name, widest);
  }
}

const struct isw_plan *isw_guide_table_plan(const struct isw_district_table *table) {
  return table->plan;
}

const struct isw_district_set *isw_guide_table_districts(const struct isw_district_table *table) {
  return table->set;
}

bool isw_guide_region_south(const struct isw_district_table *table, int region) {
  return 2.0 * table->regions[region]->south_m2 > table->regions[region]->area_m2;
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
  const struct region *where = table->regions[region];
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
  const struct region *where = table->regions[region];
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

bool isw_guide_can_sow(const struct isw_district_table *table, int region, int s, int day) {
  struct isw_table_type types[ISW_REGION_RUNS_MAX];
  int n = isw_guide_read_types(table, region, s, types);
  for (int i = 0; i < n; i++)
    if (isw_base_days_forward(types[i].days.from_day, day) < types[i].days.days) return true;
  return false;
}

double isw_guide_read_kept_share(const struct isw_district_table *table, int district) {
  const struct region *where = table->whole[district];
  double all_m2 = where->area_m2 + where->left_out_m2;
  return all_m2 > 0.0 ? where->area_m2 / all_m2 : NAN;
}

double isw_guide_read_span_share(const struct isw_district_table *table, int region, int s) {
  const struct region *where = table->regions[region];
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

static struct isw_table_pick read_pick_of(const struct isw_district_table *table,
                                          const struct region *where, int s) {
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

struct isw_table_pick isw_guide_read_pick(const struct isw_district_table *table, int region,
                                          int s) {
  return read_pick_of(table, table->regions[region], s);
}

struct isw_table_pick isw_guide_read_district_pick(const struct isw_district_table *table,
                                                   int district, int s) {
  return read_pick_of(table, table->whole[district], s);
}
