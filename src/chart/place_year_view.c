#include "chart/place_year_view.h"

#include <glib.h>
#include <math.h>
#include <stdlib.h>

#include "growth/day_response.h"

/* Nights below a stage's killing temperature rarer than this leave it out of the drawn range. */
static const double kill_matters = 0.001;
/* A hard winter leaves the panels this far below what crops meet, or it would flatten all the rest.
 */
static const double winter_below_K = 6;

/* Does a year that starts on start_day cut the span in two? */
static bool is_cut(struct isw_window span, int start_day) {
  return isw_base_days_forward(start_day, span.from_day) + span.days > ISW_YEAR_DAYS;
}

int isw_chart_choose_year_start(int n, const struct isw_window *spans, bool south) {
  int first = south ? ISW_YEAR_MONTHS / 2 : 0, best = first, best_cut = n + 1;
  for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
    /* 0, +1, -1, +2, ... */
    int step = i % 2 == 1 ? (i + 1) / 2 : ISW_YEAR_MONTHS - i / 2;
    int month = (first + step) % ISW_YEAR_MONTHS, cut = 0;
    for (int k = 0; k < n; k++) cut += is_cut(spans[k], isw_base_month_start[month]);
    if (cut >= best_cut) continue;
    best = month;
    best_cut = cut;
  }
  return isw_base_month_start[best];
}

static bool touch(struct isw_window a, struct isw_window b) {
  return isw_base_days_forward(a.from_day, b.from_day) < a.days ||
         isw_base_days_forward(b.from_day, a.from_day) < b.days;
}

static bool is_free(int n, const struct isw_window *spans, const int *panels, int panel,
                    struct isw_window span) {
  for (int i = 0; i < n; i++)
    if (panels[i] == panel && touch(spans[i], span)) return false;
  return true;
}

int isw_chart_assign_panels(int n, const struct isw_window *spans, const int *ranks, int most,
                            int *panels) {
  enum { WAITS = -2 };
  int used = 0;
  for (int i = 0; i < n; i++) panels[i] = WAITS;
  for (int round = 0; round < n; round++) {
    int next = -1;
    for (int i = 0; i < n; i++)
      if (panels[i] == WAITS && (next < 0 || ranks[i] < ranks[next])) next = i;
    int panel = 0;
    while (panel < most && !is_free(n, spans, panels, panel, spans[next])) panel++;
    panels[next] = panel < most ? panel : -1;
    if (panel < most && panel >= used) used = panel + 1;
  }
  return used;
}

/* The days a crop is drawn on: its sowing window and the best day's stages. */
static struct isw_window crop_span(const struct isw_place_result *result) {
  const struct isw_result *r = &result->result;
  struct isw_window span = {r->best_sow_day, -1, MAX(r->growing_days, 1)};
  if (r->window.days > 0 && r->window.days < ISW_YEAR_DAYS) {
    int before = isw_base_days_forward(r->window.from_day, r->best_sow_day);
    if (before + span.days < ISW_YEAR_DAYS) {
      span.from_day = r->window.from_day;
      span.days = MAX(before + span.days, r->window.days);
    }
  }
  span.to_day = isw_base_wrap_day(span.from_day + span.days - 1);
  return span;
}

static void arrange_crops(struct isw_year_view *view) {
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  struct isw_window spans[ISW_SEASONS_MAX];
  int panels[ISW_SEASONS_MAX], ranks[ISW_SEASONS_MAX];
  int found = isw_survey_list_crops(view->plan, view->place, crops);
  for (int c = 0; c < found; c++) {
    const struct isw_place_result *result =
        isw_survey_crop_result(view->plan, view->place, &crops[c]);
    if (result->result.best_sow_day < 0) continue;
    spans[view->n_crops] = crop_span(result);
    view->crops[view->n_crops++] =
        (struct isw_year_crop){.crop = crops[c],
                               .result = result,
                               .programme = isw_survey_crop_programme(view->plan, &crops[c])};
  }
  view->start_day = isw_chart_choose_year_start(view->n_crops, spans, view->place->south);
  for (int c = 0; c < view->n_crops; c++)
    ranks[c] = isw_base_days_forward(view->start_day, view->crops[c].result->result.best_sow_day);
  int used = isw_chart_assign_panels(view->n_crops, spans, ranks, ISW_YEAR_PANELS_MAX, panels);
  view->n_panels = MAX(used, 1);
  for (int c = 0; c < view->n_crops; c++) view->crops[c].panel = panels[c];
}

static void reach(struct isw_year_view *view, double temp_C) {
  view->low_C = fmin(view->low_C, temp_C);
  view->high_C = fmax(view->high_C, temp_C);
}

/* What a crop's stages get and want. */
static void reach_crop(struct isw_year_view *view, const struct isw_year_crop *crop) {
  const struct isw_year *year = &view->place->year;
  for (int k = 0; k < crop->result->sowing.n_stages; k++) {
    const struct isw_stage *stage = &crop->programme->stages[k];
    const struct isw_stage_run *run = &crop->result->sowing.runs[k];
    reach(view, stage->band.best_from_C);
    reach(view, stage->band.best_to_C);
    double coldest_C = INFINITY;
    for (int i = run->from_after; i < run->to_after; i++) {
      int day = isw_base_wrap_day(crop->result->result.best_sow_day + i);
      coldest_C = fmin(coldest_C, year->tmin_C[day]);
      reach(view, year->tmax_C[day]);
    }
    reach(view, coldest_C);
    double kill = isw_growth_kill(stage->dies_below_C, view->plan->conditions.spread_K, coldest_C);
    if (kill > kill_matters) reach(view, stage->dies_below_C);
  }
}

static void find_range(struct isw_year_view *view) {
  const struct isw_year *year = &view->place->year;
  view->low_C = INFINITY;
  view->high_C = -INFINITY;
  for (int c = 0; c < view->n_crops; c++)
    if (view->crops[c].panel >= 0) reach_crop(view, &view->crops[c]);
  double floor_C = view->n_crops > 0 ? fmin(view->low_C, 0) - winter_below_K : -INFINITY;
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    reach(view, year->tmin_C[d]);
    reach(view, year->tmax_C[d]);
  }
  view->low_C = fmax(view->low_C, floor_C);
}

static void fill_row(const struct isw_year_view *view, int variety, struct isw_year_row *row) {
  row->variety = variety;
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    int s = isw_survey_season_of_day(view->plan, view->place, d);
    const struct isw_scores *scores =
        &view->place->scores[view->plan->programme_of[variety][s < 0 ? 0 : s]];
    row->score_tenths[d] = scores->score_tenths[d];
    row->good[d] = scores->good[d];
    row->limit[d] = scores->limit[d];
    row->years[d] = scores->years[d];
  }
}

static bool is_picked(const struct isw_year_view *view, int variety) {
  for (int c = 0; c < view->n_crops; c++)
    if (view->crops[c].crop.variety == variety) return true;
  return false;
}

static void fill_rows(struct isw_year_view *view) {
  bool shown[ISW_VARIETIES_MAX] = {false};
  int n = 0;
  for (int picked = 1; picked >= 0; picked--)
    for (int v = 0; v < view->plan->n_varieties && n < ISW_YEAR_ROWS_MAX; v++)
      if (is_picked(view, v) == (picked == 1) && !shown[v]) {
        shown[v] = true;
        n++;
      }
  for (int v = 0; v < view->plan->n_varieties; v++)
    if (shown[v]) fill_row(view, v, &view->rows[view->n_rows++]);
}

struct isw_year_view *isw_chart_new_year_view(const struct isw_plan *plan,
                                              const struct isw_place *place) {
  struct isw_year_view *view = g_new0(struct isw_year_view, 1);
  view->plan = plan;
  view->place = place;
  arrange_crops(view);
  find_range(view);
  fill_rows(view);
  isw_survey_list_types(plan, place, &view->types);
  return view;
}
