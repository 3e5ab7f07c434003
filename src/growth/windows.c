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
