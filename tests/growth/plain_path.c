#include "plain_path.h"

#include <math.h>

#include "growth/day_response.h"

/* A stage is through when this little is missing: sums of whole best days come out whole. */
static const double clock_slack_days = 1e-6;
static const double rounding_unit = 1e-6;
static const double limit_matters_below = 0.95;
static const double good_survive = 0.9, good_stay = 0.9;

static double round_share(double share) {
  return floor(share / rounding_unit + 0.5) * rounding_unit;
}

static const struct isw_shelter *shelter_of(const struct isw_plan *plan,
                                            const struct isw_stage *stage) {
  return stage->shelter == ISW_OPEN_GROUND ? NULL : &plan->sheet->shelters[stage->shelter];
}

static void sum_stage(const struct isw_plan *plan, const struct isw_programme *programme,
                      const struct isw_stage *stage, const struct isw_year *year,
                      struct plain_stage_sums *sums) {
  const struct isw_shelter *shelter = shelter_of(plan, stage);
  bool chills = programme->bolts && stage->chills;
  sums->rate[0] = sums->fit[0] = sums->kill[0] = sums->chilling[0] = sums->mean_C[0] = 0.0;
  for (int i = 0; i < ISW_YEAR_DAYS; i++) {
    struct isw_day open = {year->tmin_C[i], year->tmax_C[i]};
    struct isw_day day = isw_growth_shelter_day(shelter, open);
    struct isw_response response = isw_growth_respond(&stage->band, plan->sheet->swing, day);
    double kill = isw_growth_kill(stage->dies_below_C, plan->conditions.spread_K, day.lo_C);
    double chilling = chills ? isw_growth_chilling(&plan->sheet->chilling, shelter,
                                                   plan->conditions.spread_K, open)
                             : 0.0;
    sums->rate[i + 1] = sums->rate[i] + response.rate;
    sums->fit[i + 1] = sums->fit[i] + response.fit;
    sums->kill[i + 1] = sums->kill[i] + kill;
    sums->chilling[i + 1] = sums->chilling[i] + chilling;
    sums->mean_C[i + 1] = sums->mean_C[i] + 0.5 * (day.lo_C + day.hi_C);
  }
  for (int i = 1; i <= ISW_YEAR_DAYS; i++) {
    sums->rate[ISW_YEAR_DAYS + i] = sums->rate[ISW_YEAR_DAYS] + sums->rate[i];
    sums->fit[ISW_YEAR_DAYS + i] = sums->fit[ISW_YEAR_DAYS] + sums->fit[i];
    sums->kill[ISW_YEAR_DAYS + i] = sums->kill[ISW_YEAR_DAYS] + sums->kill[i];
    sums->chilling[ISW_YEAR_DAYS + i] = sums->chilling[ISW_YEAR_DAYS] + sums->chilling[i];
    sums->mean_C[ISW_YEAR_DAYS + i] = sums->mean_C[ISW_YEAR_DAYS] + sums->mean_C[i];
  }
}

void plain_sum_programme(const struct isw_plan *plan, const struct isw_programme *programme,
                         const struct isw_year *year, struct plain_programme_sums *out) {
  for (int k = 0; k < plan->sheet->n_stages; k++)
    sum_stage(plan, programme, &programme->stages[k], year, &out->stages[k]);
}

/* First boundary e in (from, latest] with sum[e] - sum[from] >= need, or -1. sum never falls. */
static int end_of_stage(const double *sum, int from, int latest, double need) {
  if (latest <= from || sum[latest] - sum[from] < need) return -1;
  int below = from, reached = latest;
  while (reached - below > 1) {
    int middle = below + (reached - below) / 2;
    if (sum[middle] - sum[from] >= need)
      reached = middle;
    else
      below = middle;
  }
  return reached;
}

static int find_limit(const struct isw_sowing *sowing, int n_stages) {
  double least = 2.0;
  int limit = ISW_LIMIT_NOTHING;
  for (int k = 0; k < n_stages; k++) {
    const struct isw_stage_run *run = &sowing->runs[k];
    double fit = round_share(run->fit);
    if (fit >= least) continue;
    least = fit;
    bool too_cold = 1.0 - run->rate >= run->rate - run->fit;
    limit = (too_cold ? 1 : 2) + 2 * k;
  }
  double survive = round_share(sowing->survive), stay = round_share(sowing->stay);
  if (survive < least) {
    least = survive;
    limit = ISW_LIMIT_FROST;
  }
  if (stay < least) {
    least = stay;
    limit = ISW_LIMIT_BOLTING;
  }
  return least >= limit_matters_below ? ISW_LIMIT_NOTHING : limit;
}

void plain_score_sowing(const struct isw_plan *plan, const struct isw_programme *programme,
                        const struct plain_programme_sums *sums, int sow_day,
                        struct isw_sowing *out) {
  int n_stages = plan->sheet->n_stages;
  *out = (struct isw_sowing){.limit = ISW_LIMIT_NEVER_MATURES, .stay = 1.0, .survive = 1.0};
  int from = sow_day;
  double kill = 0.0, chilling = 0.0, least_fit = 1.0;
  for (int k = 0; k < n_stages; k++) {
    const struct isw_stage *stage = &programme->stages[k];
    const struct plain_stage_sums *days = &sums->stages[k];
    int latest = from + stage->at_most_days;
    if (latest > sow_day + ISW_YEAR_DAYS) latest = sow_day + ISW_YEAR_DAYS;
    int to = end_of_stage(days->rate, from, latest, stage->days - clock_slack_days);
    if (to < 0) return;
    double length = to - from;
    struct isw_stage_run *run = &out->runs[k];
    *run = (struct isw_stage_run){.from_after = from - sow_day,
                                  .to_after = to - sow_day,
                                  .mean_C = (days->mean_C[to] - days->mean_C[from]) / length,
                                  .rate = (days->rate[to] - days->rate[from]) / length,
                                  .fit = (days->fit[to] - days->fit[from]) / length};
    out->n_stages = k + 1;
    least_fit = fmin(least_fit, run->fit);
    kill += days->kill[to] - days->kill[from];
    chilling += days->chilling[to] - days->chilling[from];
    from = to;
  }
  out->matures = true;
  out->growing_days = from - sow_day;
  out->least_fit = round_share(least_fit);
  out->survive = exp(-kill);
  out->chilling_days = chilling;
  if (programme->bolts)
    out->stay = fmin(
        fmax((programme->bolts_all - chilling) / (programme->bolts_all - programme->bolts_safe),
             0.0),
        1.0);
  out->score_tenths =
      isw_growth_round_tenths(100.0 * fmax(least_fit, 0.0) * out->survive * out->stay);
  out->limit = find_limit(out, n_stages);
}

void plain_score_year(const struct isw_plan *plan, const struct isw_programme *programme,
                      const struct plain_programme_sums *sums, struct isw_scores *out) {
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    struct isw_sowing sowing;
    plain_score_sowing(plan, programme, sums, day, &sowing);
    out->score_tenths[day] = (int16_t)sowing.score_tenths;
    out->growing_days[day] = (int16_t)sowing.growing_days;
    out->transplant_after[day] = sowing.matures && programme->transplant_stage >= 0
                                     ? (int16_t)sowing.runs[programme->transplant_stage].from_after
                                     : 0;
    out->least_fit[day] = sowing.least_fit;
    out->limit[day] = (int16_t)sowing.limit;
    out->survive[day] = sowing.survive;
    out->stay[day] = sowing.stay;
    out->good[day] = sowing.matures && sowing.score_tenths > 0 &&
                     sowing.score_tenths >= plan->conditions.good_score * 10.0 &&
                     sowing.survive >= good_survive && sowing.stay >= good_stay;
  }
}
