#include "guide/print_calendar.h"

#include <math.h>

#include "guide/guide_words.h"
#include "output/place_crops.h"
#include "output/place_words.h"

static const struct isw_print_table events_table = {
    .n = 2, .width_mm = {22.0, 156.0}, .heads = {"Date", "Work"}};

static char *window_words(const struct isw_place_result *result) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE], best[ISW_DATE_SIZE];
  const struct isw_window *window = &result->result.window;
  isw_base_format_short_date(result->result.best_sow_day, best);
  if (window->days == 0) return g_strdup_printf("no window; the best day is %s", best);
  if (window->days == ISW_YEAR_DAYS) return g_strdup_printf("sow all year, best on %s", best);
  return g_strdup_printf("sow %s to %s, best on %s",
                         isw_base_format_short_date(window->from_day, from),
                         isw_base_format_short_date(window->to_day, to), best);
}

static char *crop_heading(const struct isw_plan *plan, const struct isw_place_crop *crop,
                          const struct isw_place_result *result) {
  GString *text = g_string_new(NULL);
  for (int i = 0; i < crop->n_seasons; i++)
    g_string_append_printf(text, "%s%s", i > 0 ? " and " : "",
                           plan->sheet->seasons[plan->seasons[crop->seasons[i]]].name);
  char *window = window_words(result);
  char *capital = isw_output_capital(text->str);
  g_string_printf(text, "%s: %s, %s%s", capital,
                  plan->sheet->varieties[plan->varieties[crop->variety]].title, window,
                  crop->risky ? " (risky)" : "");
  g_free(window);
  g_free(capital);
  return g_string_free(text, FALSE);
}

static const char *event_text(const struct isw_plan *plan, const struct isw_place_event *event) {
  return event->kind == ISW_EVENT_MANURE
             ? "Last day to have raw manure worked in, 120 days before the earliest cut; where it "
               "is past, or the crop before still stands, none this season. Aged manure counts as "
               "raw, only compost made to a recorded time and temperature standard does not; local "
               "rules come first."
             : plan->sheet->tasks[event->task].text;
}

static void print_crop(struct isw_print *print, const struct isw_guide_facts *facts,
                       const struct isw_place *place, const struct isw_place_crop *crop) {
  const struct isw_plan *plan = facts->plan;
  const struct isw_place_result *result = isw_output_crop_result(plan, place, crop);
  char *heading = crop_heading(plan, crop, result);
  isw_guide_print_text(print, ISW_PRINT_SUBHEADING, heading);
  g_free(heading);
  struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
  int n = isw_output_list_events(plan, place, crop, events);
  isw_guide_print_head(print, &events_table);
  for (int i = 0; i < n; i++) {
    char date[ISW_DATE_SIZE];
    isw_base_format_short_date(result->result.best_sow_day + events[i].after, date);
    const char *texts[] = {date, event_text(plan, &events[i])};
    isw_guide_print_row(print, &events_table, texts);
  }
  print->y_mm += 1.5;
  if (isw_output_crop_cannot_wait(plan, place, crop))
    isw_guide_print_text(print, ISW_PRINT_SMALL,
                         "It is still getting warmer when this crop is ready: cut as soon as the "
                         "heads are firm, they do not wait.");
}

void isw_guide_print_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                              int district) {
  const struct isw_guide_site *site = &facts->sites->sites[district];
  const char *name = isw_guide_district_name(facts->districts, district);
  if (site->place == NULL) {
    isw_guide_print_text(print, ISW_PRINT_HEADING, name);
    isw_guide_print_text(print, ISW_PRINT_BODY,
                         "No cell of the guide's grid with climate data lies in this district.");
    return;
  }
  char *heading = g_strdup_printf("%s: %.2f° %s, %.2f° %s", name, fabs(site->lat_deg),
                                  site->lat_deg < 0.0 ? "S" : "N", fabs(site->lon_deg),
                                  site->lon_deg < 0.0 ? "W" : "E");
  isw_guide_print_text(print, ISW_PRINT_HEADING, heading);
  g_free(heading);
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  int n = isw_output_list_crops(facts->plan, site->place, crops);
  for (int i = 0; i < n; i++) print_crop(print, facts, site->place, &crops[i]);
  if (n == 0)
    isw_guide_print_text(print, ISW_PRINT_BODY, "Nothing is worth sowing here in any season.");
}
