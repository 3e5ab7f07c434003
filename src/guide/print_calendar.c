/* DESIGN: a district's work is one table: the work once, a column of dates per crop. Crops whose
 * work comes in another order get a table of their own, so that no column of dates ever runs
 * backwards. A district is kept whole on its page. */
#include "guide/print_calendar.h"

#include <math.h>
#include <string.h>

#include "guide/guide_words.h"
#include "survey/place_crops.h"
#include "words/date_words.h"
#include "words/say.h"

enum { TOGETHER_MOST = 5, ROWS_MAX = ISW_PLACE_EVENTS_MAX };

static char *window_words(const struct isw_place_result *result) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE], best[ISW_DATE_SIZE];
  const struct isw_window *window = &result->result.window;
  isw_words_short_date(result->result.best_sow_day, best);
  if (window->days == 0) return g_strdup_printf("no window; the best day is %s", best);
  if (window->days == ISW_YEAR_DAYS) return g_strdup_printf("sow all year, best on %s", best);
  return g_strdup_printf("sow %s to %s, best on %s", isw_words_short_date(window->from_day, from),
                         isw_words_short_date(window->to_day, to), best);
}

/* "Spring and summer" */
static char *crop_seasons(const struct isw_plan *plan, const struct isw_place_crop *crop) {
  GString *text = g_string_new(NULL);
  for (int i = 0; i < crop->n_seasons; i++)
    g_string_append_printf(text, "%s%s",
                           i == 0                    ? ""
                           : i + 1 < crop->n_seasons ? ", "
                                                     : " and ",
                           plan->sheet->seasons[plan->seasons[crop->seasons[i]]].name);
  char *capital = isw_words_capital(text->str);
  g_string_free(text, TRUE);
  return capital;
}

/* "Spring: Slow-bolting spring type, sow 5 Apr to 3 Sep, best on 12 May" */
static void print_crop_line(struct isw_print *print, const struct isw_plan *plan,
                            const struct isw_place *place, const struct isw_place_crop *crop) {
  char *seasons = crop_seasons(plan, crop);
  char *window = window_words(isw_survey_crop_result(plan, place, crop));
  char *line = g_strdup_printf("%s: %s, %s%s", seasons,
                               plan->sheet->varieties[plan->varieties[crop->variety]].title, window,
                               crop->risky ? " (risky)" : "");
  isw_guide_print_item(print, line);
  g_free(line);
  g_free(window);
  g_free(seasons);
}

static const char *event_text(const struct isw_plan *plan, const struct isw_place_event *event) {
  return event->kind == ISW_EVENT_MANURE
             ? "Last day to have raw manure worked in, 120 days before the earliest cut; where it "
               "is past, or the crop before still stands, none this season. Aged manure counts as "
               "raw, only compost made to a recorded time and temperature standard does not; local "
               "rules come first."
             : plan->sheet->tasks[event->task].text;
}

/* Crops that share one list of work. */
struct work {
  int n_crops, crops[TOGETHER_MOST];
  int n_rows;
  struct isw_place_event rows[ROWS_MAX]; /* `after` is of the crop that brought the row */
};

static int find_row(const struct isw_place_event *rows, int n, int task) {
  for (int i = 0; i < n; i++)
    if (rows[i].task == task) return i;
  return -1;
}

/* Weave a crop's events into the rows: those in both keep their order, the others go in front of
 * the next one that both have. False, and nothing is changed: the orders contradict each other. */
static bool weave(struct work *work, const struct isw_place_event *events, int n) {
  struct work woven = *work;
  int from = 0; /* rows before this one are settled */
  for (int i = 0; i < n; i++) {
    int at = find_row(woven.rows, woven.n_rows, events[i].task);
    if (at >= 0 && at < from) return false;
    if (at < 0) {
      for (at = from; at < woven.n_rows; at++) {
        int same = find_row(events, n, woven.rows[at].task);
        if (same > i) break;
      }
      memmove(&woven.rows[at + 1], &woven.rows[at],
              (size_t)(woven.n_rows - at) * sizeof woven.rows[0]);
      woven.rows[at] = events[i];
      woven.n_rows++;
    }
    from = at + 1;
  }
  *work = woven;
  return true;
}

static void print_work(struct isw_print *print, const struct isw_plan *plan,
                       const struct isw_place *place, const struct isw_place_crop *crops,
                       const struct work *work) {
  static const double date_width_mm = 15.5;
  char *heads[TOGETHER_MOST];
  struct isw_print_table table = {.n = work->n_crops + 1, .pad_mm = 0.75};
  for (int c = 0; c < work->n_crops; c++) {
    heads[c] = crop_seasons(plan, &crops[work->crops[c]]);
    table.width_mm[c] = date_width_mm;
    table.heads[c] = heads[c];
  }
  table.width_mm[work->n_crops] = isw_guide_print_width_mm - work->n_crops * date_width_mm;
  table.heads[work->n_crops] = "Work";
  isw_guide_print_head(print, &table);
  for (int i = 0; i < work->n_rows; i++) {
    char dates[TOGETHER_MOST][ISW_DATE_SIZE];
    const char *texts[TOGETHER_MOST + 1];
    for (int c = 0; c < work->n_crops; c++) {
      const struct isw_place_crop *crop = &crops[work->crops[c]];
      struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
      int n = isw_survey_list_events(plan, place, crop, events);
      int at = find_row(events, n, work->rows[i].task);
      int best = isw_survey_crop_result(plan, place, crop)->result.best_sow_day;
      texts[c] = at < 0 ? "–" : isw_words_short_date(best + events[at].after, dates[c]);
    }
    texts[work->n_crops] = event_text(plan, &work->rows[i]);
    isw_guide_print_row(print, &table, texts);
  }
  print->y_mm += 1.5;
  for (int c = 0; c < work->n_crops; c++) g_free(heads[c]);
}

static void print_works(struct isw_print *print, const struct isw_plan *plan,
                        const struct isw_place *place, const struct isw_place_crop *crops, int n) {
  struct work *work = g_new0(struct work, 1);
  for (int c = 0; c < n; c++) {
    struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
    int n_events = isw_survey_list_events(plan, place, &crops[c], events);
    if (work->n_crops == TOGETHER_MOST || !weave(work, events, n_events)) {
      print_work(print, plan, place, crops, work);
      *work = (struct work){0};
      weave(work, events, n_events);
    }
    work->crops[work->n_crops++] = c;
  }
  if (work->n_crops > 0) print_work(print, plan, place, crops, work);
  g_free(work);
}

/* Which crops cannot wait in the field. */
static void print_remark(struct isw_print *print, const struct isw_plan *plan,
                         const struct isw_place *place, const struct isw_place_crop *crops, int n) {
  GString *names = g_string_new(NULL);
  for (int c = 0; c < n; c++) {
    if (!isw_survey_crop_cannot_wait(plan, place, &crops[c])) continue;
    char *seasons = crop_seasons(plan, &crops[c]);
    g_string_append_printf(names, "%s%s", names->len > 0 ? "; " : "", seasons);
    g_free(seasons);
  }
  if (names->len > 0) {
    g_string_append(names,
                    ": it is still getting warmer when this crop is ready. Cut as soon as the "
                    "heads are firm; they do not wait.");
    isw_guide_print_text(print, ISW_PRINT_SMALL, names->str);
  }
  g_string_free(names, TRUE);
}

struct district_calendar {
  const struct isw_guide_facts *facts;
  int district;
};

static void draw_calendar(struct isw_print *print, const void *self) {
  const struct district_calendar *calendar = self;
  const struct isw_guide_facts *facts = calendar->facts;
  const struct isw_guide_site *site = &facts->sites->sites[calendar->district];
  const char *name = isw_regions_district_name(facts->districts, calendar->district);
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
  int n = isw_survey_list_crops(facts->plan, site->place, crops);
  for (int c = 0; c < n; c++) print_crop_line(print, facts->plan, site->place, &crops[c]);
  print_works(print, facts->plan, site->place, crops, n);
  print_remark(print, facts->plan, site->place, crops, n);
  if (n == 0)
    isw_guide_print_text(print, ISW_PRINT_BODY, "Nothing is worth sowing here in any season.");
}

void isw_guide_print_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                              int district) {
  struct district_calendar calendar = {facts, district};
  isw_guide_print_whole(print, draw_calendar, &calendar);
}
