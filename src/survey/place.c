/* DESIGN: everything is asked of the growing model's one door, so that a card cannot disagree with
 * a map about dates, scores or risks. */
#include "survey/place.h"

#include <glib.h>
#include <string.h>

#include "survey/thread_pool.h"

/* What a full answer needs beside the answer itself. */
struct detail {
  struct isw_growth_workspace growth;
  struct isw_growth_workspace uncounted; /* without counting years: what does not ask for them costs
                                            a tenth so */
  struct isw_what_opens *opens;
};

/* The season's runs of good days, cut off at its ends, but not the window itself. */
static void find_other_windows(const struct isw_scores *scores, struct isw_window season,
                               struct isw_place_result *out) {
  out->n_other_windows = 0;
  int i = 0;
  while (i < season.days) {
    const int first = i;
    while (i < season.days && scores->good[isw_base_wrap_day(season.from_day + i)]) i++;
    const int from_day = isw_base_wrap_day(season.from_day + first);
    const bool is_window = out->result.window.days > 0 && from_day == out->result.window.from_day;
    if (i > first && !is_window)
      out->other_windows[out->n_other_windows++] =
          (struct isw_window){from_day, isw_base_wrap_day(season.from_day + i - 1), i - first};
    if (i == first) i++;
  }
}

static void fill_result(const struct isw_site *site, int programme, const struct isw_scores *scores,
                        struct isw_window season, struct detail *detail,
                        struct isw_place_result *out) {
  const struct isw_result *result = &out->result;
  if (result->best_sow_day >= 0)
    isw_growth_follow_sowing(&detail->uncounted, &site->normals, programme, result->best_sow_day,
                             &out->sowing);
  find_other_windows(scores, season, out);
}

static void fill_season(const struct isw_plan *plan, int s, const struct isw_result *results,
                        struct detail *detail, struct isw_place *place) {
  struct isw_place_season *season = &place->seasons[s];
  season->pick = isw_growth_pick(plan, s, results);
  isw_growth_span(plan, s, place->south, season->pick, results, &season->span);
  isw_survey_find_opening(detail->opens, &place->normals, place->south, s, results,
                          &season->opening);
}

/* May the season hold a further window worth telling: good days of the normal year, enough of them
 * beside its window for a gap and a window? */
static bool may_have_others(const struct isw_scores *scores, struct isw_window season,
                            struct isw_window window) {
  int run = 0, longest = 0;
  for (int i = 0; i < season.days; i++) {
    int day = isw_base_wrap_day(season.from_day + i);
    bool inside = isw_base_days_forward(window.from_day, day) < window.days;
    run = scores->good[day] && !inside ? run + 1 : 0;
    longest = MAX(longest, run);
  }
  return longest > ISW_PICK_WINDOW_DAYS;
}

/* The sowing days of a brief place's programme: none where no season's type to choose grows by it,
 * and their years counted only where something is told of them. */
static void score_briefly(const struct isw_plan *plan, const struct isw_site *site, int programme,
                          struct isw_place *place, struct detail *detail) {
  struct isw_scores *scores = &place->scores[programme];
  bool picked = false, counted = false;
  for (int s = 0; s < plan->n_seasons; s++) {
    for (int v = 0; v < plan->n_varieties; v++) {
      if (plan->varieties[v] != place->seasons[s].pick.variety ||
          plan->programme_of[v][s] != programme)
        continue;
      const struct isw_result *r = &place->results[isw_growth_result_index(plan, v, s)].result;
      if (!picked) isw_growth_score_year(&detail->uncounted, &site->normals, programme, scores);
      picked = true;
      counted = counted || (r->edge & (ISW_EDGE_BETTER_BEFORE | ISW_EDGE_BETTER_AFTER)) != 0 ||
                (r->window.days > 0 &&
                 may_have_others(scores, place->seasons[s].sowing_dates, r->window));
    }
  }
  if (counted)
    isw_growth_score_year(&detail->growth, &site->normals, programme, scores);
  else
    memset(scores->good, 0, sizeof scores->good);
}

static struct isw_place *new_place(const struct isw_plan *plan, const struct isw_site *site,
                                   bool brief, struct detail *detail) {
  struct isw_place *place = g_new0(struct isw_place, 1);
  place->name = g_strdup(site->name);
  place->lat_text = g_strdup(site->lat_text);
  place->lon_text = g_strdup(site->lon_text);
  place->period = g_strdup(site->period);
  place->lat_deg = site->lat_deg;
  place->lon_deg = site->lon_deg;
  place->south = site->south;
  place->normals = site->normals;
  place->no_data = site->no_data;
  isw_growth_curve_year(&site->normals, plan->conditions.warmer_K, &place->year);
  place->n_results = plan->n_varieties * plan->n_seasons;
  place->n_seasons = plan->n_seasons;
  place->n_programmes = plan->n_programmes;
  place->results = g_new0(struct isw_place_result, (gsize)place->n_results);
  place->seasons = g_new0(struct isw_place_season, (gsize)place->n_seasons);
  place->scores = g_new0(struct isw_scores, (gsize)place->n_programmes);
  for (int s = 0; s < plan->n_seasons; s++)
    place->seasons[s].sowing_dates =
        isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], site->south);

  struct isw_result *results = g_new0(struct isw_result, (gsize)place->n_results);
  isw_growth_cell(&detail->growth, &site->normals, site->south, results);
  for (int r = 0; r < place->n_results; r++) place->results[r].result = results[r];
  for (int s = 0; s < plan->n_seasons; s++) fill_season(plan, s, results, detail, place);
  if (site->record.station != NULL)
    place->backtest = isw_survey_new_backtest(plan, site->south, results, &site->record);
  for (int p = 0; p < plan->n_programmes; p++) {
    if (brief)
      score_briefly(plan, site, p, place, detail);
    else
      isw_growth_score_year(&detail->growth, &site->normals, p, &place->scores[p]);
    for (int v = 0; v < plan->n_varieties; v++)
      for (int s = 0; s < plan->n_seasons; s++)
        if (plan->programme_of[v][s] == p)
          fill_result(site, p, &place->scores[p], place->seasons[s].sowing_dates, detail,
                      &place->results[isw_growth_result_index(plan, v, s)]);
  }
  g_free(results);
  return place;
}

static struct detail *new_detail(const struct isw_plan *plan) {
  struct detail *detail = g_new0(struct detail, 1);
  struct isw_plan *uncounted = g_memdup2(plan, sizeof *plan);
  uncounted->conditions.least_years = 0;
  isw_growth_start_workspace(plan, &detail->growth);
  isw_growth_start_workspace(uncounted, &detail->uncounted);
  g_free(uncounted);
  detail->opens = isw_survey_new_what_opens(plan);
  return detail;
}

static void free_detail(struct detail *detail) {
  isw_survey_free_what_opens(detail->opens);
  g_free(detail);
}

struct isw_place *isw_survey_new_place(const struct isw_plan *plan, const struct isw_site *site) {
  struct detail *detail = new_detail(plan);
  struct isw_place *place = new_place(plan, site, false, detail);
  free_detail(detail);
  return place;
}

void isw_survey_free_place(struct isw_place *place) {
  if (place == NULL) return;
  g_free(place->name);
  g_free(place->lat_text);
  g_free(place->lon_text);
  g_free(place->period);
  g_free(place->results);
  g_free(place->seasons);
  g_free(place->scores);
  isw_survey_free_backtest(place->backtest);
  g_free(place);
}

/* Sites are handed out in runs, each with its own memory: starting it once per site would cost as
 * much as some sites do. */
enum { SITES_PER_RUN = 64 };

struct sites_job {
  const struct isw_plan *plan;
  int n_sites;
  const struct isw_site *sites;
  struct isw_result *results; /* or */
  struct isw_place **places;
  bool brief;
};

static enum isw_status work_on_run(void *self, int number, struct isw_error *error) {
  (void)error;
  const struct sites_job *job = self;
  int first = number * SITES_PER_RUN;
  int end = MIN(first + SITES_PER_RUN, job->n_sites);
  struct detail *detail = new_detail(job->plan);
  size_t n_results = (size_t)job->plan->n_varieties * (size_t)job->plan->n_seasons;
  for (int i = first; i < end; i++) {
    const struct isw_site *site = &job->sites[i];
    if (job->places != NULL)
      job->places[i] = new_place(job->plan, site, job->brief, detail);
    else
      isw_growth_cell(&detail->growth, &site->normals, site->south,
                      job->results + (size_t)i * n_results);
  }
  free_detail(detail);
  return ISW_OK;
}

static void run_job(struct sites_job *job, int threads) {
  int runs = (job->n_sites + SITES_PER_RUN - 1) / SITES_PER_RUN;
  isw_survey_do_tasks(runs, threads, work_on_run, job, NULL, NULL);
}

void isw_survey_run_sites(const struct isw_plan *plan, int n_sites, const struct isw_site *sites,
                          int threads, struct isw_result *results) {
  struct sites_job job = {.plan = plan, .n_sites = n_sites, .sites = sites, .results = results};
  run_job(&job, threads);
}

void isw_survey_new_places(const struct isw_plan *plan, int n_sites, const struct isw_site *sites,
                           int threads, bool brief, struct isw_place **places) {
  struct sites_job job = {
      .plan = plan, .n_sites = n_sites, .sites = sites, .places = places, .brief = brief};
  run_job(&job, threads);
}
