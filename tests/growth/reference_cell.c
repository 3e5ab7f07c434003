#include "reference_cell.h"

#include <math.h>
#include <stdlib.h>

static const double score_tolerance_tenths = 0.51, share_tolerance = 1e-4, clock_tolerance = 1e-4;

static struct isw_result season_result(const struct isw_plan *plan,
                                       const struct isw_programme *programme,
                                       const struct plain_programme_sums *sums,
                                       const struct isw_scores *scores,
                                       struct isw_window season_days) {
  struct isw_result result = {.best_sow_day = -1,
                              .window = {-1, -1, 0},
                              .transplant_day = -1,
                              .harvest_day = -1,
                              .limit = ISW_LIMIT_NEVER_MATURES,
                              .years = -1,
                              .cut_from_day = -1,
                              .cut_to_day = -1};
  int fallback, best = plain_best_day(scores, season_days, &fallback);
  int shown = best >= 0 ? best : fallback;
  if (shown < 0) return result;
  struct isw_sowing sowing;
  plain_score_sowing(plan, programme, sums, shown, &sowing);
  result.limit = sowing.limit;
  result.frost_risk = 1.0 - sowing.survive;
  result.bolt_risk = 1.0 - sowing.stay;
  if (best < 0) return result;
  result.score_tenths = sowing.score_tenths;
  result.best_sow_day = best;
  result.growing_days = sowing.growing_days;
  result.harvest_day = isw_base_wrap_day(best + sowing.growing_days);
  if (programme->transplant_stage >= 0)
    result.transplant_day =
        isw_base_wrap_day(best + sowing.runs[programme->transplant_stage].from_after);
  if (scores->good[best]) result.window = isw_growth_run_around(scores->good, best);
  return result;
}

void reference_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                    struct reference_memory *memory, struct isw_result *results) {
  isw_growth_curve_year(normals, plan->conditions.warmer_K, &memory->year);
  for (int p = 0; p < plan->n_programmes; p++) {
    const struct isw_programme *programme = &plan->programmes[p];
    plain_sum_programme(plan, programme, &memory->year, &memory->sums);
    plain_score_year(plan, programme, &memory->sums, &memory->scores);
    for (int v = 0; v < plan->n_varieties; v++)
      for (int s = 0; s < plan->n_seasons; s++)
        if (plan->programme_of[v][s] == p)
          results[isw_growth_result_index(plan, v, s)] =
              season_result(plan, programme, &memory->sums, &memory->scores,
                            isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], south));
  }
}

bool reference_same(const struct isw_result *a, const struct isw_result *b) {
  return abs(a->score_tenths - b->score_tenths) <= 1 && a->best_sow_day == b->best_sow_day &&
         a->window.from_day == b->window.from_day && a->window.to_day == b->window.to_day &&
         a->window.days == b->window.days && a->transplant_day == b->transplant_day &&
         a->harvest_day == b->harvest_day && a->growing_days == b->growing_days &&
         a->limit == b->limit && fabs(a->frost_risk - b->frost_risk) <= share_tolerance &&
         fabs(a->bolt_risk - b->bolt_risk) <= share_tolerance;
}

/* A sowing day with its clocks right, a little early, and a little late. */
enum { RIGHT, EARLY, LATE, CLOCKS };
struct bounded_day {
  struct isw_sowing sowing[CLOCKS];
  double least_tenths, most_tenths, least_fit, most_fit; /* fits: -1 where it may not mature */
  bool may_be_good, is_good;
};

static double least_mean_fit(const struct isw_sowing *sowing) {
  double least = 1.0;
  for (int k = 0; k < sowing->n_stages; k++) least = fmin(least, sowing->runs[k].fit);
  return least;
}

/* Days at best all through are summed exactly, so such stages cannot end late. */
static void make_late(const struct isw_sowing *right, struct isw_programme *late) {
  for (int k = 0; k < right->n_stages; k++)
    if (right->runs[k].rate < 1.0 - 1e-12) late->stages[k].days += clock_tolerance;
}

static void bound_day(const struct isw_plan *plan, const struct isw_programme *programme,
                      const struct isw_programme *early, const struct plain_programme_sums *sums,
                      int day, struct bounded_day *out) {
  *out = (struct bounded_day){.least_tenths = 1e9,
                              .most_tenths = -1e9,
                              .least_fit = 1e9,
                              .most_fit = -1e9,
                              .may_be_good = false,
                              .is_good = true};
  const double good = fmax(plan->conditions.good_score * 10.0, 1.0);
  struct isw_programme late = *programme;
  const struct isw_programme *programmes[CLOCKS] = {programme, early, &late};
  for (int i = 0; i < CLOCKS; i++) {
    struct isw_sowing *sowing = &out->sowing[i];
    plain_score_sowing(plan, programmes[i], sums, day, sowing);
    if (i == RIGHT) make_late(sowing, &late);
    double fit = sowing->matures ? least_mean_fit(sowing) : -1.0;
    double tenths = sowing->matures ? 1000.0 * fit * sowing->survive * sowing->stay : 0.0;
    out->least_fit = fmin(out->least_fit, fit - share_tolerance);
    out->most_fit = fmax(out->most_fit, fit + share_tolerance);
    out->least_tenths = fmin(out->least_tenths, tenths - score_tolerance_tenths);
    out->most_tenths = fmax(out->most_tenths, tenths + score_tolerance_tenths);
    if (!sowing->matures) {
      out->is_good = false;
      out->least_fit = -1.0;
      continue;
    }
    const double least_share = fmin(sowing->survive, sowing->stay);
    if (tenths + score_tolerance_tenths < good - 0.5 || least_share < 0.9 - share_tolerance)
      out->is_good = false;
    else {
      out->may_be_good = true;
      if (tenths - score_tolerance_tenths < good - 0.5 || least_share < 0.9 + share_tolerance)
        out->is_good = false;
    }
  }
}

static bool limit_explained(const struct isw_sowing *sowing, int limit) {
  double least = fmin(sowing->survive, sowing->stay);
  for (int k = 0; k < sowing->n_stages; k++) least = fmin(least, sowing->runs[k].fit);
  if (limit == ISW_LIMIT_NOTHING) return least >= 0.95 - share_tolerance;
  if (least > 0.95 + share_tolerance) return false;
  if (limit == ISW_LIMIT_FROST) return sowing->survive <= least + share_tolerance;
  if (limit == ISW_LIMIT_BOLTING) return sowing->stay <= least + share_tolerance;
  const int k = (limit - 1) / 2;
  if (limit < 1 || k >= sowing->n_stages) return false;
  const struct isw_stage_run *run = &sowing->runs[k];
  const double colder = (1.0 - run->rate) - (run->rate - run->fit);
  return run->fit <= least + share_tolerance &&
         (limit % 2 == 1 ? colder >= -share_tolerance : colder <= share_tolerance);
}

/* Dates, limit and risks are those of this course of the day. */
static bool sowing_explains(const struct isw_programme *programme, const struct isw_sowing *sowing,
                            const struct isw_result *result, int sow_day) {
  if (!sowing->matures || fabs(result->frost_risk - (1.0 - sowing->survive)) > share_tolerance ||
      fabs(result->bolt_risk - (1.0 - sowing->stay)) > share_tolerance ||
      !limit_explained(sowing, result->limit))
    return false;
  if (result->best_sow_day < 0) return true;
  int transplant = -1;
  if (programme->transplant_stage >= 0)
    transplant = isw_base_wrap_day(sow_day + sowing->runs[programme->transplant_stage].from_after);
  return result->growing_days == sowing->growing_days &&
         result->harvest_day == isw_base_wrap_day(sow_day + sowing->growing_days) &&
         result->transplant_day == transplant;
}

/* Courses of one sowing day in which each stage for itself is right, early or late. */
struct courses {
  const struct isw_plan *plan;
  const struct isw_programme *programme;
  const struct plain_programme_sums *sums;
  const struct isw_result *result;
  int sow_day;
  struct isw_programme tried;
};

/* The stages before k are chosen. Only a stage that ends on the brink of a day makes two courses.
 */
static bool course_explains(struct courses *courses, int k) {
  struct isw_sowing sowing;
  if (k == courses->plan->sheet->n_stages) {
    plain_score_sowing(courses->plan, &courses->tried, courses->sums, courses->sow_day, &sowing);
    return sowing_explains(courses->programme, &sowing, courses->result, courses->sow_day);
  }
  const double days = courses->programme->stages[k].days;
  const double shifts[] = {0.0, -clock_tolerance, clock_tolerance};
  int ends[CLOCKS], n_ends = 0;
  bool explains = false, at_best = false;
  for (int i = 0; i < CLOCKS && !explains && !(i == LATE && at_best); i++) {
    courses->tried.stages[k].days = days + shifts[i];
    plain_score_sowing(courses->plan, &courses->tried, courses->sums, courses->sow_day, &sowing);
    if (k >= sowing.n_stages) continue; /* it does not end */
    if (i == RIGHT) at_best = sowing.runs[k].rate >= 1.0 - 1e-12;
    bool known = false;
    for (int j = 0; j < n_ends; j++) known = known || ends[j] == sowing.runs[k].to_after;
    if (known) continue;
    ends[n_ends++] = sowing.runs[k].to_after;
    explains = course_explains(courses, k + 1);
  }
  courses->tried.stages[k].days = days;
  return explains;
}

/* Dates, limit and risks are those of one of the day's clocks, or of some of them mixed. */
static bool day_explained(const struct isw_plan *plan, const struct isw_programme *programme,
                          const struct plain_programme_sums *sums, const struct bounded_day *day,
                          const struct isw_result *result, int sow_day) {
  for (int i = 0; i < CLOCKS; i++)
    if (sowing_explains(programme, &day->sowing[i], result, sow_day)) return true;
  struct courses courses = {plan, programme, sums, result, sow_day, *programme};
  return course_explains(&courses, 0);
}

static const char *window_explained(const struct bounded_day days[ISW_YEAR_DAYS],
                                    const struct isw_window *window, int best) {
  if (isw_base_days_forward(window->from_day, window->to_day) + 1 != window->days)
    return "the window's ends and days disagree";
  if (isw_base_days_forward(window->from_day, best) >= window->days)
    return "the best day is outside its window";
  for (int i = 0; i < window->days; i++)
    if (!days[isw_base_wrap_day(window->from_day + i)].may_be_good)
      return "a day of the window is not good";
  if (window->days < ISW_YEAR_DAYS && (days[isw_base_wrap_day(window->from_day - 1)].is_good ||
                                       days[isw_base_wrap_day(window->to_day + 1)].is_good))
    return "the window stops beside a good day";
  return NULL;
}

static const char *explained(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct plain_programme_sums *sums,
                             const struct bounded_day days[ISW_YEAR_DAYS], struct isw_window season,
                             const struct isw_result *result) {
  const int best = result->best_sow_day;
  const bool windowed = result->window.days > 0;
  if (best < 0 && (windowed || result->score_tenths != 0)) return "a score without a best day";
  if (best >= 0 && isw_base_days_forward(season.from_day, best) >= season.days)
    return "the best day is outside the season";
  double most_least_fit = -1.0;
  for (int i = 0; i < season.days; i++) {
    const struct bounded_day *day = &days[isw_base_wrap_day(season.from_day + i)];
    if (day->is_good && !windowed) return "a good day was passed over";
    if ((day->is_good || !windowed) && day->least_tenths > result->score_tenths + 0.5)
      return "a better day was passed over";
    most_least_fit = fmax(most_least_fit, day->least_fit);
  }
  if (best >= 0) {
    const struct bounded_day *day = &days[best];
    if (windowed ? !day->may_be_good : day->is_good) return "the best day is good or not";
    if (result->score_tenths < day->least_tenths - 0.5 ||
        result->score_tenths > day->most_tenths + 0.5)
      return "the score of the best day";
    if (!day_explained(plan, programme, sums, day, result, best)) return "dates, limit or risks";
    return windowed ? window_explained(days, &result->window, best) : NULL;
  }
  if (result->limit == ISW_LIMIT_NEVER_MATURES)
    return most_least_fit < 0.0 ? NULL : "a day matures after all";
  for (int i = 0; i < season.days; i++) {
    const int sow_day = isw_base_wrap_day(season.from_day + i);
    const struct bounded_day *day = &days[sow_day];
    if (day->most_fit >= most_least_fit &&
        day_explained(plan, programme, sums, day, result, sow_day))
      return NULL;
  }
  return "limit or risks without a best day";
}

const char *reference_accepts(const struct isw_plan *plan, const struct isw_normals *normals,
                              bool south, int v, int s, struct reference_memory *memory,
                              const struct isw_result *result) {
  const struct isw_programme *programme = &plan->programmes[plan->programme_of[v][s]];
  struct bounded_day *days = malloc(ISW_YEAR_DAYS * sizeof *days);
  if (days == NULL) abort();
  struct isw_programme early = *programme;
  for (int k = 0; k < plan->sheet->n_stages; k++) early.stages[k].days -= clock_tolerance;
  isw_growth_curve_year(normals, plan->conditions.warmer_K, &memory->year);
  plain_sum_programme(plan, programme, &memory->year, &memory->sums);
  for (int day = 0; day < ISW_YEAR_DAYS; day++)
    bound_day(plan, programme, &early, &memory->sums, day, &days[day]);
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
  const char *why = explained(plan, programme, &memory->sums, days,
                              isw_growth_season_days(season, south), result);
  free(days);
  return why;
}
