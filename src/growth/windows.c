#include "growth/windows.h"

struct isw_window isw_growth_season_days(const struct isw_season *season, bool south) {
  int shift = south ? ISW_HALF_YEAR_DAYS : 0;
  return (struct isw_window){
      .from_day = isw_base_wrap_day(season->sow_from_day + shift),
      .to_day = isw_base_wrap_day(season->sow_to_day + shift),
      .days = isw_base_days_forward(season->sow_from_day, season->sow_to_day) + 1};
}

struct isw_window isw_growth_run_around(const bool good[ISW_YEAR_DAYS], int day) {
  int before = 0, after = 0;
  while (before < ISW_YEAR_DAYS && good[isw_base_wrap_day(day - before - 1)]) before++;
  if (before >= ISW_YEAR_DAYS) return (struct isw_window){0, ISW_YEAR_DAYS - 1, ISW_YEAR_DAYS};
  while (good[isw_base_wrap_day(day + after + 1)]) after++;
  return (struct isw_window){isw_base_wrap_day(day - before), isw_base_wrap_day(day + after),
                             before + after + 1};
}

int isw_growth_best_day(const struct isw_scores *scores, struct isw_window season_days,
                        int *fallback_day) {
  int best = -1, best_good = -1, fallback = -1;
  for (int i = 0; i < season_days.days; i++) {
    int day = isw_base_wrap_day(season_days.from_day + i);
    int score = scores->score_tenths[day];
    if (score > 0 && (best < 0 || score > scores->score_tenths[best])) best = day;
    if (scores->good[day] && (best_good < 0 || score > scores->score_tenths[best_good]))
      best_good = day;
    if (scores->growing_days[day] > 0 &&
        (fallback < 0 || scores->least_fit[day] > scores->least_fit[fallback]))
      fallback = day;
  }
  *fallback_day = fallback;
  return best_good >= 0 ? best_good : best;
}
