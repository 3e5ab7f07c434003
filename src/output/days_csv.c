#include "output/days_csv.h"

#include "output/csv_field.h"

static const char days_header[] =
    "name,variety,sow,season,score,years,good,transplant,harvest,growing_days,limit,frost_risk,"
    "bolt_risk";

static const char *variety_name(const struct isw_plan *plan, int v) {
  return plan->sheet->varieties[plan->varieties[v]].name;
}

enum { VALUE_COLUMNS = 10 }; /* behind the sowing date */

/* All but the line's end. */
static void append_day(GString *out, const struct isw_place_days *days, int v, int day,
                       bool crop_column) {
  static const double percent = 100.0;
  const struct isw_plan *plan = days->plan;
  const struct isw_day_answer answer = isw_survey_ask_day(days, v, day);
  char limit[ISW_LIMIT_NAME_SIZE];
  if (crop_column) isw_output_append_csv_crop(out, plan->sheet->crop);
  isw_output_append_csv_text(out, days->place->name);
  g_string_append_c(out, ',');
  isw_output_append_csv_text(out, variety_name(plan, v));
  isw_output_append_csv_date(out, day);
  if (days->place->no_data) {
    for (int c = 0; c < VALUE_COLUMNS; c++) g_string_append_c(out, ',');
    return;
  }
  g_string_append_c(out, ',');
  if (answer.season >= 0)
    isw_output_append_csv_text(out, plan->sheet->seasons[plan->seasons[answer.season]].name);
  isw_output_append_csv_tenths(out, answer.score_tenths);
  isw_output_append_csv_years(out, answer.years);
  g_string_append_printf(out, ",%d", answer.good);
  isw_output_append_csv_date(out, answer.transplant_day);
  isw_output_append_csv_date(out, answer.harvest_day);
  g_string_append_printf(out, ",%d,", answer.growing_days);
  isw_output_append_csv_text(out, isw_growth_limit_name(plan->sheet, answer.limit, limit));
  isw_output_append_csv_tenths(out, isw_growth_round_tenths(percent * answer.frost_risk));
  isw_output_append_csv_tenths(out, isw_growth_round_tenths(percent * answer.bolt_risk));
}

void isw_output_append_days_header(GString *out, bool crop_column) {
  if (crop_column) g_string_append(out, isw_output_crop_column);
  g_string_append_printf(out, "%s\n", days_header);
}

void isw_output_append_days_rows(GString *out, const struct isw_place_days *days,
                                 bool crop_column) {
  for (int v = 0; v < days->plan->n_varieties; v++) {
    for (int day = 0; day < ISW_YEAR_DAYS; day++) {
      append_day(out, days, v, day, crop_column);
      g_string_append_c(out, '\n');
    }
  }
}

void isw_output_append_sowing_header(GString *out, bool crop_column) {
  if (crop_column) g_string_append(out, isw_output_crop_column);
  g_string_append_printf(out, "%s,type,next_window\n", days_header);
}

void isw_output_append_sowing_rows(GString *out, const struct isw_place_days *days, int day,
                                   bool crop_column) {
  const int type = isw_survey_type_on(days, day);
  for (int v = 0; v < days->plan->n_varieties; v++) {
    const struct isw_next_window next = isw_survey_next_window(days, v, day);
    append_day(out, days, v, day, crop_column);
    if (days->place->no_data) {
      g_string_append(out, ",,\n");
      continue;
    }
    g_string_append_printf(out, ",%d", v == type);
    isw_output_append_csv_date(out, next.v >= 0 ? next.window.from_day : -1);
    g_string_append_c(out, '\n');
  }
}

void isw_output_append_cuts_header(GString *out, bool crop_column) {
  if (crop_column) g_string_append(out, isw_output_crop_column);
  g_string_append(out, "cut,variety,sow,transplant,harvest,years\n");
}

void isw_output_append_cuts_rows(GString *out, const struct isw_plan *plan, int n,
                                 const struct isw_planned_cut *cuts, bool crop_column) {
  for (int i = 0; i < n; i++) {
    char date[ISW_DATE_SIZE];
    const bool planned = cuts[i].v >= 0;
    if (crop_column) isw_output_append_csv_crop(out, plan->sheet->crop);
    g_string_append_printf(out, "%s,", isw_base_format_month_day(cuts[i].cut_day, date));
    if (planned) isw_output_append_csv_text(out, variety_name(plan, cuts[i].v));
    isw_output_append_csv_date(out, cuts[i].sow_day);
    isw_output_append_csv_date(out, cuts[i].transplant_day);
    isw_output_append_csv_date(out, cuts[i].harvest_day);
    isw_output_append_csv_years(out, planned ? cuts[i].years : -1);
    g_string_append_c(out, '\n');
  }
}
