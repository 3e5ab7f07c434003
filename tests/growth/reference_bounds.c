#include "reference_bounds.h"

#include <math.h>
#include <stdlib.h>

static const double score_tolerance_tenths = 0.51, share_tolerance = 1e-4, clock_tolerance = 1e-4;

bool reference_same(const struct isw_result *a, const struct isw_result *b) {
  return abs(a->score_tenths - b->score_tenths) <= 1 && a->best_sow_day == b->best_sow_day &&
         a->window.from_day == b->window.from_day && a->window.to_day == b->window.to_day &&
         a->window.days == b->window.days && a->transplant_day == b->transplant_day &&
         a->harvest_day == b->harvest_day && a->growing_days == b->growing_days &&
         a->limit == b->limit && a->years == b->years && a->edge == b->edge &&
         a->cut_from_day == b->cut_from_day && a->cut_to_day == b->cut_to_day &&
         fabs(a->frost_risk - b->frost_risk) <= share_tolerance &&
         fabs(a->bolt_risk - b->bolt_risk) <= share_tolerance;
}

/* A sowing day with its clocks right, a little early, and a little late. */
enum { RIGHT, EARLY, LATE, CLOCKS };
struct bounded_day {
  struct isw_sowing sowing[CLOCKS]; /* of the normal year */
  int least_tenths, most_tenths;    /* rounded */
  double least_fit, most_fit;       /* -1 where it may not mature */
  bool may_be_scored, is_scored;    /* has a score, and is not cut outside */
  bool may_be_cut_outside;          /* has a score, and is */
  int least_years, most_years;
  bool may_be_good, is_good; /* in enough years, and not cut outside */
};
struct bounds {
  int least_tenths, most_tenths;
  double least_fit, most_fit;
  bool may_be_good, is_good; /* in this year */
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

/* One day in one year, the sums being that year's. */
static void bound_year(const struct isw_plan *plan, const struct isw_programme *programme,
                       const struct isw_programme *early, const struct plain_programme_sums *sums,
                       int day, struct isw_sowing sowings[CLOCKS], struct bounds *out) {
  *out = (struct bounds){.least_tenths = 1000, .least_fit = 1e9, .most_fit = -1e9, .is_good = true};
  /* Rounded tenths that are good are whole, whatever --good is. */
  const double good = ceil(fmax(plan->conditions.good_score * 10.0, 1.0));
  struct isw_programme late = *programme;
  const struct isw_programme *programmes[CLOCKS] = {programme, early, &late};
  for (int i = 0; i < CLOCKS; i++) {
    struct isw_sowing *sowing = &sowings[i];
    plain_score_sowing(plan, programmes[i], sums, day, sowing);
    if (i == RIGHT) make_late(sowing, &late);
    const double fit = sowing->matures ? least_mean_fit(sowing) : -1.0;
    const double tenths = sowing->matures ? 1000.0 * fit * sowing->survive * sowing->stay : 0.0;
    const double slack = sowing->matures ? score_tolerance_tenths : 0.0;
    out->least_fit = sowing->matures ? fmin(out->least_fit, fit - share_tolerance) : -1.0;
    out->most_fit = fmax(out->most_fit, fit + share_tolerance);
    out->least_tenths = (int)fmin(out->least_tenths, fmax(floor(tenths - slack + 0.5), 0.0));
    out->most_tenths = (int)fmax(out->most_tenths, fmin(floor(tenths + slack + 0.5), 1000.0));
    const double least_share = fmin(sowing->survive, sowing->stay);
    const bool may =
        sowing->matures && tenths + slack >= good - 0.5 && least_share >= 0.9 - share_tolerance;
    const bool is =
        sowing->matures && tenths - slack >= good - 0.5 && least_share >= 0.9 + share_tolerance;
    out->may_be_good = out->may_be_good || may;
    out->is_good = out->is_good && is;
  }
}

static void bound_normal_year(const struct isw_plan *plan, const struct isw_programme *programme,
                              const struct isw_programme *early,
                              const struct plain_programme_sums *sums, int day,
                              struct bounded_day *out) {
  struct bounds bounds;
  bool may_be_within = false, is_within = true;
  bound_year(plan, programme, early, sums, day, out->sowing, &bounds);
  for (int i = 0; i < CLOCKS; i++) {
    const bool within = out->sowing[i].matures &&
                        reference_cut_within(&plan->conditions,
                                             isw_base_wrap_day(day + out->sowing[i].growing_days));
    may_be_within = may_be_within || within;
    is_within = is_within && within;
  }
  out->least_tenths = bounds.least_tenths;
  out->most_tenths = bounds.most_tenths;
  out->least_fit = bounds.least_fit;
  out->most_fit = bounds.most_fit;
  out->may_be_scored = bounds.most_tenths > 0 && may_be_within;
  out->is_scored = bounds.least_tenths > 0 && is_within;
  out->may_be_cut_outside = bounds.most_tenths > 0 && !is_within;
  out->may_be_good = bounds.may_be_good;
  out->is_good = bounds.is_good;
  out->least_years = out->most_years = 0;
}

/* The years of one side of every day that may be good in the normal year. */
static void bound_side(const struct isw_plan *plan, const struct isw_programme *programme,
                       const struct isw_programme *early, const struct isw_normals *normals,
                       double side_K, struct reference_memory *memory,
                       struct bounded_day days[ISW_YEAR_DAYS]) {
  static bool may[ISW_YEAR_DAYS][REFERENCE_SIDE_YEARS], is[ISW_YEAR_DAYS][REFERENCE_SIDE_YEARS];
  for (int i = 0; i < REFERENCE_SIDE_YEARS; i++) {
    isw_growth_curve_year(normals, plan->conditions.warmer_K + side_K * reference_year_z[i],
                          &memory->year);
    plain_sum_programme(plan, programme, &memory->year, &memory->shifted);
    for (int day = 0; day < ISW_YEAR_DAYS; day++) {
      if (!days[day].may_be_good) continue;
      struct isw_sowing sowings[CLOCKS];
      struct bounds bounds;
      bound_year(plan, programme, early, &memory->shifted, day, sowings, &bounds);
      may[day][i] = bounds.may_be_good;
      is[day][i] = bounds.is_good;
    }
  }
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    if (!days[day].may_be_good) continue;
    days[day].most_years += reference_side_years(may[day]);
    if (days[day].is_good) days[day].least_years += reference_side_years(is[day]);
  }
}

static void bound_days(const struct isw_plan *plan, const struct isw_programme *programme,
                       const struct isw_normals *normals, struct reference_memory *memory,
                       struct bounded_day days[ISW_YEAR_DAYS]) {
  const int least_years = plan->conditions.least_years;
  struct isw_programme early = *programme;
  for (int k = 0; k < plan->sheet->n_stages; k++) early.stages[k].days -= clock_tolerance;
  isw_growth_curve_year(normals, plan->conditions.warmer_K, &memory->year);
  plain_sum_programme(plan, programme, &memory->year, &memory->sums);
  for (int day = 0; day < ISW_YEAR_DAYS; day++)
    bound_normal_year(plan, programme, &early, &memory->sums, day, &days[day]);
  if (least_years > 0) {
    const double spread_K = reference_year_spread_K(plan, normals);
    bound_side(plan, programme, &early, normals, spread_K, memory, days);
    bound_side(plan, programme, &early, normals, -spread_K, memory, days);
  }
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    struct bounded_day *bounded = &days[day];
    bounded->may_be_good &= bounded->may_be_scored && bounded->most_years >= least_years;
    bounded->is_good &= bounded->is_scored && bounded->least_years >= least_years;
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

/* Score, dates, limit and risks are those of this course of the day. */
static bool sowing_explains(const struct isw_programme *programme, const struct isw_sowing *sowing,
                            const struct isw_result *result, int sow_day) {
  if (!sowing->matures || fabs(result->frost_risk - (1.0 - sowing->survive)) > share_tolerance ||
      fabs(result->bolt_risk - (1.0 - sowing->stay)) > share_tolerance ||
      !limit_explained(sowing, result->limit))
    return false;
  if (result->best_sow_day < 0) return true;
  const double tenths = 1000.0 * least_mean_fit(sowing) * sowing->survive * sowing->stay;
  if (fabs(result->score_tenths - tenths) > 0.5 + score_tolerance_tenths) return false;
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

/* A season's days, and what is claimed about them. Days are counted from the season's first. */
struct claim {
  const struct bounded_day *days;
  struct isw_window season;
  const struct isw_result *result;
  int years; /* 0 where years are not counted */
  bool windowed;
  int best, from, to; /* of the best day and the window */
  int highest_tenths; /* tried: the score that chose the top days */
};

static const struct bounded_day *day_at(const struct claim *claim, int i) {
  return &claim->days[isw_base_wrap_day(claim->season.from_day + i)];
}

static bool is_candidate(const struct claim *claim, const struct bounded_day *day) {
  return claim->windowed ? day->is_good : day->is_scored;
}

static bool may_be_candidate(const struct claim *claim, const struct bounded_day *day) {
  return claim->windowed ? day->may_be_good : day->may_be_scored;
}

static bool has_the_years(const struct claim *claim, const struct bounded_day *day) {
  return day->least_years <= claim->years && claim->years <= day->most_years;
}

/* Surely, and maybe, a candidate with the most years. */
static bool is_leading(const struct claim *claim, int i) {
  const struct bounded_day *day = day_at(claim, i);
  return is_candidate(claim, day) && day->least_years == claim->years &&
         day->most_years == claim->years;
}

static bool may_be_leading(const struct claim *claim, int i) {
  const struct bounded_day *day = day_at(claim, i);
  return may_be_candidate(claim, day) && has_the_years(claim, day);
}

static bool is_top(const struct claim *claim, int i) {
  return i >= 0 && i < claim->season.days && is_leading(claim, i) &&
         day_at(claim, i)->least_tenths >= claim->highest_tenths - REFERENCE_TOP_TENTHS;
}

static bool may_be_top(const struct claim *claim, int i) {
  return i >= 0 && i < claim->season.days && may_be_leading(claim, i) &&
         day_at(claim, i)->most_tenths >= claim->highest_tenths - REFERENCE_TOP_TENTHS &&
         day_at(claim, i)->least_tenths <= claim->highest_tenths;
}

/* The first day of the highest score may lie in this run. */
static bool may_hold_highest(const struct claim *claim, int from, int to) {
  for (int i = 0; i <= to; i++) {
    const struct bounded_day *day = day_at(claim, i);
    if (i >= from && day->least_tenths <= claim->highest_tenths &&
        claim->highest_tenths <= day->most_tenths)
      return true;
    if (is_leading(claim, i) && day->least_tenths >= claim->highest_tenths) return false;
  }
  return false;
}

/* The best day is the middle of a run that may be the top one. */
static bool middle_explained(const struct claim *claim) {
  for (int i = 0; i < claim->season.days; i++)
    if (is_leading(claim, i) && day_at(claim, i)->least_tenths > claim->highest_tenths)
      return false;
  for (int from = claim->best; may_be_top(claim, from); from--) {
    if (is_top(claim, from - 1)) continue;
    for (int to = 2 * claim->best - from; to <= 2 * claim->best - from + 1; to++) {
      bool may = to < claim->season.days && !is_top(claim, to + 1);
      for (int i = from; i <= to && may; i++) may = may_be_top(claim, i);
      if (may && may_hold_highest(claim, from, to)) return true;
    }
  }
  return false;
}

/* Bits of one end of the season: `on` that the run goes on, `better` that it holds better. */
static bool end_explained(const struct claim *claim, bool at_end, int i, int step, int on,
                          int better) {
  const int edge = claim->result->edge;
  const bool goes_on = (edge & on) != 0, says_better = (edge & better) != 0;
  const int others = ISW_YEAR_DAYS - claim->season.days;
  if (says_better && !goes_on) return false;
  if (!at_end || others <= 0) return !goes_on;
  if (goes_on ? !day_at(claim, i)->may_be_good : day_at(claim, i)->is_good) return false;
  if (!goes_on) return true;
  bool surely = true, may_be_better = false, is_better = false;
  for (int n = 0; n < others && day_at(claim, i)->may_be_good; n++, i += step) {
    const struct bounded_day *day = day_at(claim, i);
    const int above = claim->highest_tenths + REFERENCE_TOP_TENTHS;
    surely = surely && day->is_good;
    may_be_better = may_be_better || day->most_years > claim->years ||
                    (day->most_years == claim->years && day->most_tenths > above);
    is_better =
        is_better || (surely && (day->least_years > claim->years ||
                                 (day->least_years == claim->years && day->least_tenths > above)));
  }
  return says_better ? may_be_better : !is_better;
}

static bool edge_explained(const struct claim *claim) {
  if (!claim->windowed) return claim->result->edge == 0;
  return end_explained(claim, claim->from == 0, -1, -1, 1, 4) &&
         end_explained(claim, claim->to == claim->season.days - 1, claim->season.days, +1, 2, 8);
}

static const char *window_explained(const struct claim *claim) {
  const struct isw_window *window = &claim->result->window;
  if (isw_base_days_forward(window->from_day, window->to_day) + 1 != window->days)
    return "the window's ends and days disagree";
  if (claim->from + window->days > claim->season.days) return "the window leaves the season";
  if (claim->best < claim->from || claim->best > claim->to)
    return "the best day is outside its window";
  for (int i = claim->from; i <= claim->to; i++)
    if (!day_at(claim, i)->may_be_good) return "a day of the window is not good";
  if ((claim->from > 0 && day_at(claim, claim->from - 1)->is_good) ||
      (claim->to + 1 < claim->season.days && day_at(claim, claim->to + 1)->is_good))
    return "the window stops beside a good day";
  return NULL;
}

/* Earliest and latest harvest of the window's sowing days. */
static bool cut_explained(const struct claim *claim) {
  int least[2] = {2 * ISW_YEAR_DAYS, -1}, most[2] = {2 * ISW_YEAR_DAYS, -1};
  for (int i = claim->from; i <= claim->to; i++) {
    int first = 2 * ISW_YEAR_DAYS, last = -1;
    for (int c = 0; c < CLOCKS; c++) {
      const struct isw_sowing *sowing = &day_at(claim, i)->sowing[c];
      if (!sowing->matures) continue;
      first = sowing->growing_days + i < first ? sowing->growing_days + i : first;
      last = sowing->growing_days + i > last ? sowing->growing_days + i : last;
    }
    least[0] = first < least[0] ? first : least[0];
    most[0] = last < most[0] ? last : most[0];
    least[1] = first > least[1] ? first : least[1];
    most[1] = last > most[1] ? last : most[1];
  }
  const int said[2] = {claim->result->cut_from_day, claim->result->cut_to_day};
  for (int end = 0; end < 2; end++) {
    const int earliest = isw_base_wrap_day(claim->season.from_day + least[end]);
    if (isw_base_days_forward(earliest, said[end]) > most[end] - least[end]) return false;
  }
  return true;
}

static const char *best_explained(struct claim *claim) {
  const struct isw_result *result = claim->result;
  const struct bounded_day *best = day_at(claim, claim->best);
  for (int i = 0; i < claim->season.days; i++) {
    const struct bounded_day *day = day_at(claim, i);
    if (day->is_good && !claim->windowed) return "a good day was passed over";
    if (is_candidate(claim, day) && day->least_years > claim->years)
      return "a day of more years was passed over";
  }
  if (!may_be_candidate(claim, best)) return "the best day is no candidate";
  if (!has_the_years(claim, best)) return "the years of the best day";
  if (result->score_tenths < best->least_tenths || result->score_tenths > best->most_tenths)
    return "the score of the best day";
  if (claim->windowed) {
    const char *why = window_explained(claim);
    if (why != NULL) return why;
    if (!cut_explained(claim)) return "cut from or cut to";
  } else if (result->cut_from_day >= 0 || result->cut_to_day >= 0) {
    return "a cut range without a window";
  }
  const char *why = "the middle of the top days";
  for (int above = 0; above <= REFERENCE_TOP_TENTHS; above++) {
    claim->highest_tenths = result->score_tenths + above;
    if (!middle_explained(claim)) continue;
    if (edge_explained(claim)) return NULL;
    why = "edge";
  }
  return why;
}

static const char *no_best_explained(const struct isw_plan *plan,
                                     const struct isw_programme *programme,
                                     const struct plain_programme_sums *sums,
                                     const struct claim *claim) {
  const struct isw_result *result = claim->result;
  double most_least_fit = -1.0;
  bool may_be_cut_outside = false, is_scored_at_all = false;
  if (claim->windowed || result->score_tenths != 0 || claim->years != 0 || result->edge != 0)
    return "a score, a window, years or an edge without a best day";
  for (int i = 0; i < claim->season.days; i++) {
    const struct bounded_day *day = day_at(claim, i);
    if (day->is_scored) return "a day with a score was passed over";
    may_be_cut_outside = may_be_cut_outside || day->may_be_cut_outside;
    is_scored_at_all = is_scored_at_all || day->least_tenths > 0;
    most_least_fit = fmax(most_least_fit, day->least_fit);
  }
  if (result->limit == ISW_LIMIT_CUT_OUTSIDE)
    return may_be_cut_outside && result->frost_risk == 0.0 && result->bolt_risk == 0.0
               ? NULL
               : "nothing is cut outside";
  if (is_scored_at_all) return "a day with a score is cut outside";
  if (result->limit == ISW_LIMIT_NEVER_MATURES)
    return most_least_fit < 0.0 ? NULL : "a day matures after all";
  for (int i = 0; i < claim->season.days; i++) {
    const int sow_day = isw_base_wrap_day(claim->season.from_day + i);
    const struct bounded_day *day = day_at(claim, i);
    if (day->most_fit >= most_least_fit &&
        day_explained(plan, programme, sums, day, result, sow_day))
      return NULL;
  }
  return "limit or risks without a best day";
}

static const char *explained(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct plain_programme_sums *sums,
                             const struct bounded_day days[ISW_YEAR_DAYS], struct isw_window season,
                             const struct isw_result *result) {
  const bool counted = plan->conditions.least_years > 0;
  struct claim claim = {.days = days,
                        .season = season,
                        .result = result,
                        .years = counted ? result->years : 0,
                        .windowed = result->window.days > 0};
  if (!counted && result->years != -1) return "years that were not counted";
  if (result->best_sow_day < 0) return no_best_explained(plan, programme, sums, &claim);
  claim.best = isw_base_days_forward(season.from_day, result->best_sow_day);
  if (claim.best >= season.days) return "the best day is outside the season";
  if (claim.windowed) {
    claim.from = isw_base_days_forward(season.from_day, result->window.from_day);
    claim.to = claim.from + result->window.days - 1;
  }
  const char *why = best_explained(&claim);
  if (why != NULL) return why;
  return day_explained(plan, programme, sums, day_at(&claim, claim.best), result,
                       result->best_sow_day)
             ? NULL
             : "dates, limit or risks";
}

const char *reference_accepts(const struct isw_plan *plan, const struct isw_normals *normals,
                              bool south, int v, int s, struct reference_memory *memory,
                              const struct isw_result *result) {
  const struct isw_programme *programme = &plan->programmes[plan->programme_of[v][s]];
  struct bounded_day *days = malloc(ISW_YEAR_DAYS * sizeof *days);
  if (days == NULL) abort();
  bound_days(plan, programme, normals, memory, days);
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
  const char *why = explained(plan, programme, &memory->sums, days,
                              isw_growth_season_days(season, south), result);
  free(days);
  return why;
}
