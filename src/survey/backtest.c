#include "survey/backtest.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "growth/windows.h"

bool isw_survey_real_year(const struct isw_station_record *station, int year, int begins_day,
                          struct isw_normals *out) {
  int begins_month, day_of_month;
  isw_base_date_of_day(begins_day, &begins_month, &day_of_month); /* 1..12 */
  const int first = begins_month - 2;                             /* -1: December before */
  *out = (struct isw_normals){.has_year_spread = false};
  for (int ahead = first; ahead < first + ISW_YEAR_MONTHS; ahead++) {
    const int month = (ahead + ISW_YEAR_MONTHS) % ISW_YEAR_MONTHS;
    if (!isw_climate_record_month(station, year, ahead, &out->tmin_C[month], &out->tmax_C[month]))
      return false;
  }
  return true;
}

/* Why a day is not good. A score below the one asked for has its limit; else one of the odds is, or
 * the day is cut outside. */
static int find_fault(const struct isw_conditions *conditions, const struct isw_scores *scores,
                      int day) {
  if (scores->good[day]) return ISW_LIMIT_NOTHING;
  if (scores->growing_days[day] == 0) return ISW_LIMIT_NEVER_MATURES;
  if (scores->score_tenths[day] < 10.0 * conditions->good_score || scores->score_tenths[day] == 0)
    return scores->limit[day];
  if (conditions->has_cut) {
    const int cut = isw_base_wrap_day(day + scores->growing_days[day]);
    if (isw_base_days_forward(conditions->cut_from_day, cut) >
        isw_base_days_forward(conditions->cut_from_day, conditions->cut_to_day))
      return ISW_LIMIT_CUT_OUTSIDE;
  }
  return scores->survive[day] <= scores->stay[day] ? ISW_LIMIT_FROST : ISW_LIMIT_BOLTING;
}

/* What is counted of one result's days while years go by. */
struct day_counts {
  int good[ISW_YEAR_DAYS];
  long tenths[ISW_YEAR_DAYS];
};

static void choose_hindsight(struct isw_window season, const struct day_counts *counts,
                             struct isw_backtest_result *out) {
  out->hindsight_day = -1;
  out->hindsight_good = 0;
  for (int i = 0; i < season.days; i++) {
    const int day = isw_base_wrap_day(season.from_day + i), best = out->hindsight_day;
    if (counts->good[day] == 0) continue;
    if (best >= 0 &&
        (counts->good[day] < counts->good[best] ||
         (counts->good[day] == counts->good[best] && counts->tenths[day] <= counts->tenths[best])))
      continue;
    out->hindsight_day = day;
    out->hindsight_good = counts->good[day];
  }
}

/* ---- the last years against those before ---- */

struct moments {
  int n;
  double mean, squares;
};

static void add_moment(struct moments *moments, double value) {
  const double off = value - moments->mean;
  moments->n++;
  moments->mean += off / moments->n;
  moments->squares += off * (value - moments->mean);
}

/* Variance of the mean; NAN with fewer than two. */
static double mean_variance(const struct moments *moments) {
  return moments->n < 2 ? NAN : moments->squares / (moments->n - 1) / moments->n;
}

static const double chance_errors = 2.0; /* standard errors: about one in twenty by chance */

static void find_trend(struct isw_window season, int n_years, struct isw_backtest_result *result) {
  struct isw_trend *trend = &result->trend;
  struct moments best[2] = {{.n = 0}, {.n = 0}}; /* before, recent */
  int good[2] = {0, 0};
  *trend = (struct isw_trend){.shift_days = NAN};
  if (n_years < ISW_TREND_YEARS_LEAST) return;
  for (int y = 0; y < n_years; y++) {
    const struct isw_past_year *year = &result->years[y];
    const int recent = y >= n_years - ISW_TREND_RECENT_YEARS;
    good[recent] += year->good;
    if (year->best_sow_day >= 0)
      add_moment(&best[recent], isw_base_days_forward(season.from_day, year->best_sow_day));
  }
  const int n_recent = ISW_TREND_RECENT_YEARS, n_before = n_years - n_recent;
  const double share = (double)(good[0] + good[1]) / n_years;
  const double share_error = sqrt(share * (1.0 - share) * (1.0 / n_before + 1.0 / n_recent));
  const double shift_error = sqrt(mean_variance(&best[0]) + mean_variance(&best[1]));
  trend->n_recent = n_recent;
  trend->n_before = n_before;
  trend->good_recent = good[1];
  trend->good_before = good[0];
  trend->good_beyond_chance =
      fabs((double)good[1] / n_recent - (double)good[0] / n_before) > chance_errors * share_error;
  trend->best_recent = best[1].n;
  trend->best_before = best[0].n;
  if (isnan(shift_error)) return;
  trend->shift_days = best[1].mean - best[0].mean;
  trend->shift_beyond_chance = fabs(trend->shift_days) > chance_errors * shift_error;
}

/* ---- the years ---- */

struct work {
  struct isw_growth_workspace workspace; /* years are not counted: a year is what it was */
  struct isw_plan plan;
  struct isw_scores scores[ISW_PROGRAMMES_MAX];
  struct isw_result results[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
  struct day_counts counts[ISW_VARIETIES_MAX];
};

static void add_year(struct work *work, int s, bool south, int y, const struct isw_normals *months,
                     struct isw_backtest *out) {
  const struct isw_plan *plan = &work->plan;
  bool scored[ISW_PROGRAMMES_MAX] = {false};
  isw_growth_cell(&work->workspace, months, south, work->results);
  for (int v = 0; v < plan->n_varieties; v++) {
    const int r = isw_growth_result_index(plan, v, s), p = plan->programme_of[v][s];
    struct isw_backtest_result *result = &out->results[r];
    const struct isw_scores *scores = &work->scores[p];
    if (!scored[p]) isw_growth_score_year(&work->workspace, months, p, &work->scores[p]);
    scored[p] = true;
    struct isw_past_year *year = &result->years[y];
    year->best_sow_day = work->results[r].best_sow_day;
    if (result->sow_day >= 0) {
      year->good = scores->good[result->sow_day];
      year->fault = find_fault(&plan->conditions, scores, result->sow_day);
      year->score_tenths = scores->score_tenths[result->sow_day];
    }
    result->n_good += year->good;
    for (int day = 0; day < ISW_YEAR_DAYS; day++) {
      work->counts[v].good[day] += scores->good[day];
      work->counts[v].tenths[day] += scores->score_tenths[day];
    }
  }
}

static void run_season(struct work *work, int s, bool south, const struct isw_site_record *record,
                       struct isw_backtest *out) {
  const struct isw_plan *plan = &work->plan;
  const struct isw_window dates =
      isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], south);
  struct isw_backtest_season *season = &out->seasons[s];
  const int most = record->to_year - record->from_year + 1;
  season->years = g_new0(int, (gsize)most);
  for (int v = 0; v < plan->n_varieties; v++)
    out->results[isw_growth_result_index(plan, v, s)].years =
        g_new0(struct isw_past_year, (gsize)most);
  memset(work->counts, 0, sizeof work->counts);
  for (int year = record->from_year; year <= record->to_year; year++) {
    struct isw_normals months;
    if (!isw_survey_real_year(record->station, year, dates.from_day, &months)) {
      season->left_out++;
      continue;
    }
    season->years[season->n_years] = year;
    add_year(work, s, south, season->n_years++, &months, out);
  }
  for (int v = 0; v < plan->n_varieties; v++) {
    struct isw_backtest_result *result = &out->results[isw_growth_result_index(plan, v, s)];
    choose_hindsight(dates, &work->counts[v], result);
    find_trend(dates, season->n_years, result);
  }
}

struct isw_backtest *isw_survey_new_backtest(const struct isw_plan *plan, bool south,
                                             const struct isw_result *results,
                                             const struct isw_site_record *record) {
  struct isw_backtest *out = g_new0(struct isw_backtest, 1);
  struct work *work = g_new0(struct work, 1);
  work->plan = *plan;
  work->plan.conditions.least_years = 0;
  isw_growth_start_workspace(&work->plan, &work->workspace);
  out->station = g_strdup(record->station->name);
  out->away_km = record->away_km;
  out->from_year = record->from_year;
  out->to_year = record->to_year;
  out->n_seasons = plan->n_seasons;
  out->n_results = plan->n_varieties * plan->n_seasons;
  out->seasons = g_new0(struct isw_backtest_season, (gsize)out->n_seasons);
  out->results = g_new0(struct isw_backtest_result, (gsize)out->n_results);
  for (int r = 0; r < out->n_results; r++) out->results[r].sow_day = results[r].best_sow_day;
  for (int s = 0; s < plan->n_seasons; s++) run_season(work, s, south, record, out);
  g_free(work);
  return out;
}

void isw_survey_free_backtest(struct isw_backtest *backtest) {
  if (backtest == NULL) return;
  for (int s = 0; s < backtest->n_seasons; s++) g_free(backtest->seasons[s].years);
  for (int r = 0; r < backtest->n_results; r++) g_free(backtest->results[r].years);
  g_free(backtest->station);
  g_free(backtest->seasons);
  g_free(backtest->results);
  g_free(backtest);
}

int isw_survey_count_faults(const struct isw_backtest_season *season,
                            const struct isw_backtest_result *result, int faults[ISW_FAULTS_MAX],
                            int counts[ISW_FAULTS_MAX]) {
  int n = 0;
  for (int y = 0; y < season->n_years; y++) {
    if (result->years[y].good || result->sow_day < 0) continue;
    int i = 0;
    while (i < n && faults[i] != result->years[y].fault) i++;
    if (i == n) {
      if (n == ISW_FAULTS_MAX) continue;
      faults[n] = result->years[y].fault;
      counts[n++] = 0;
    }
    counts[i]++;
  }
  for (int i = 1; i < n; i++) /* few: by insertion */
    for (int k = i; k > 0 && (counts[k] > counts[k - 1] ||
                              (counts[k] == counts[k - 1] && faults[k] < faults[k - 1]));
         k--) {
      const int fault = faults[k], count = counts[k];
      faults[k] = faults[k - 1];
      counts[k] = counts[k - 1];
      faults[k - 1] = fault;
      counts[k - 1] = count;
    }
  return n;
}
