/* DESIGN: a district's work is one table: the work once, a column of dates per crop. Crops whose
 * work comes in another order get a table of their own, so that no column of dates ever runs
 * backwards. A district is kept whole on its page. */
#include "guide/print_calendar.h"

#include <math.h>
#include <string.h>

#include "guide/guide_words.h"
#include "guide/page_link.h"
#include "guide/record_lines.h"
#include "survey/place_crops.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/say.h"

enum { TOGETHER_MOST = 5, ROWS_MAX = ISW_PLACE_EVENTS_MAX };

/* "Spring: Slow-bolting spring type, sow 5 Apr to 3 Sep, best on 12 May" */
static void print_crop_line(struct isw_print *print, const struct isw_plan *plan,
                            const struct isw_place *place, const struct isw_place_crop *crop) {
  const struct isw_result *result = &isw_survey_crop_result(plan, place, crop)->result;
  const char *title = plan->sheet->varieties[plan->varieties[crop->variety]].title;
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE], best[ISW_DATE_SIZE];
  char *seasons = isw_guide_crop_seasons(plan, crop), *line;
  isw_words_short_date(result->best_sow_day, best);
  if (crop->risky || result->window.days == 0)
    line = isw_words_say(ISW_SAY_GUIDE_CROP_RISKY, seasons, title);
  else if (result->window.days == ISW_YEAR_DAYS)
    line = isw_words_say(ISW_SAY_GUIDE_CROP_ALL_YEAR, seasons, title, best);
  else
    line = isw_words_say(ISW_SAY_GUIDE_CROP, seasons, title,
                         isw_words_short_date(result->window.from_day, from),
                         isw_words_short_date(result->window.to_day, to), best);
  isw_guide_print_item(print, ISW_PRINT_SMALL, line);
  g_free(line);
  g_free(seasons);
}

static char *event_text(const struct isw_plan *plan, const struct isw_place_event *event) {
  if (event->kind != ISW_EVENT_MANURE) return g_strdup(plan->sheet->tasks[event->task].text);
  char days[16];
  g_snprintf(days, sizeof days, "%d", ISW_MANURE_DAYS);
  return isw_words_say(ISW_SAY_MANURE_LAST_DAY, days);
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
  static const double date_width_mm = 17.0;
  char *heads[TOGETHER_MOST];
  struct isw_print_table table = {.n = work->n_crops + 1, .pad_mm = 0.5};
  for (int c = 0; c < work->n_crops; c++) {
    heads[c] = isw_guide_crop_seasons(plan, &crops[work->crops[c]]);
    table.width_mm[c] = date_width_mm;
    table.heads[c] = heads[c];
  }
  table.width_mm[work->n_crops] = isw_guide_table_width_mm - work->n_crops * date_width_mm;
  table.heads[work->n_crops] = isw_words_text(ISW_SAY_GUIDE_HEAD_WORK);
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
    char *text = event_text(plan, &work->rows[i]);
    texts[work->n_crops] = text;
    isw_guide_print_row(print, &table, texts);
    g_free(text);
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
static void print_remarks(struct isw_print *print, const struct isw_plan *plan,
                          const struct isw_place *place, const struct isw_place_crop *crops,
                          int n) {
  struct isw_words_place about = {.plan = plan, .place = place}; /* no temperature is in it */
  for (int c = 0; c < n; c++) {
    char *wait = isw_words_wait(&about, &crops[c]);
    if (wait == NULL) continue;
    char *seasons = isw_guide_crop_seasons(plan, &crops[c]);
    char *line = isw_words_say(ISW_SAY_GUIDE_CROP_REMARK, seasons, wait);
    isw_guide_print_text(print, ISW_PRINT_SMALL, line);
    g_free(line);
    g_free(seasons);
    g_free(wait);
  }
}

/* How its real years went. */
static void print_record(struct isw_print *print, const struct isw_guide_facts *facts,
                         const struct isw_guide_site *site, bool brief) {
  GPtrArray *lines = isw_guide_record_lines(facts, site, brief);
  if (lines == NULL) return;
  for (guint i = 0; i < lines->len; i++)
    isw_guide_print_text(print, i == 0 ? ISW_PRINT_SUBHEADING : ISW_PRINT_SMALL, lines->pdata[i]);
  g_ptr_array_unref(lines);
}

/* Seasons without a window, and what it would take there. */
static void print_openings(struct isw_print *print, const struct isw_guide_facts *facts,
                           const struct isw_place *place) {
  const struct isw_plan *plan = facts->plan;
  struct isw_words_place about = {
      .plan = plan, .place = place, .fahrenheit = facts->page->fahrenheit};
  for (int s = 0; s < plan->n_seasons; s++) {
    char *opening = isw_words_opening(&about, s);
    if (opening == NULL) continue;
    char *season = isw_words_capital(plan->sheet->seasons[plan->seasons[s]].title);
    char *line = isw_words_say(ISW_SAY_GUIDE_CROP_REMARK, season, opening);
    isw_guide_print_text(print, ISW_PRINT_SMALL, line);
    g_free(line);
    g_free(season);
    g_free(opening);
  }
}

struct site_calendar {
  const struct isw_guide_facts *facts;
  const struct isw_guide_site *site;
  bool handout; /* of its real years only the good ones and what went wrong; the code that opens its
                   card stands with the page's head, else beside the heading */
};

/* "44.12° N, 149.30° W", with its height where that is known. New. */
static char *word_position(const struct isw_guide_facts *facts, const struct isw_guide_site *site) {
  char lat[G_ASCII_DTOSTR_BUF_SIZE], lon[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(lat, sizeof lat, "%.2f", fabs(site->lat_deg));
  g_ascii_formatd(lon, sizeof lon, "%.2f", fabs(site->lon_deg));
  enum isw_sentence place_words =
      site->lat_deg < 0.0   ? site->lon_deg < 0.0 ? ISW_SAY_GUIDE_PLACE_SW : ISW_SAY_GUIDE_PLACE_SE
      : site->lon_deg < 0.0 ? ISW_SAY_GUIDE_PLACE_NW
                            : ISW_SAY_GUIDE_PLACE_NE;
  char *position = isw_words_say(place_words, lat, lon);
  if (isnan(site->height_m)) return position;
  char *height = isw_guide_word_height(site->height_m, facts->page->fahrenheit);
  char *both = isw_words_say(ISW_SAY_GUIDE_PLACE_HEIGHT, position, height);
  g_free(height);
  g_free(position);
  return both;
}

/* That, of a named place behind its district. New. */
static char *word_where(const struct isw_guide_facts *facts, const struct isw_guide_site *site) {
  char *position = word_position(facts, site);
  const char *area = site->area >= 0 ? facts->areas->items[site->area].name : NULL;
  if (area == NULL || strcmp(area, site->name) == 0) return position;
  char *both = isw_words_say(ISW_SAY_GUIDE_PLACE_OF, area, position);
  g_free(position);
  return both;
}

static void draw_calendar(struct isw_print *print, const void *self) {
  const struct site_calendar *calendar = self;
  const struct isw_guide_facts *facts = calendar->facts;
  const struct isw_guide_site *site = calendar->site;
  if (site->place == NULL) {
    isw_guide_print_text(print, ISW_PRINT_PLACE, site->name);
    isw_guide_print_text(print, ISW_PRINT_BODY, isw_words_text(ISW_SAY_GUIDE_NO_CELL));
    return;
  }
  static const double gap_mm = 4.0;
  const double top_mm = print->y_mm;
  struct isw_extent code = {0.0, 0.0};
  if (!calendar->handout)
    code = isw_guide_print_page_code(print, facts, site, print->left_mm + print->width_mm);
  if (code.width_mm > 0.0) print->taken_mm = code.width_mm + gap_mm;
  char *where = word_where(facts, site);
  isw_guide_print_text(print, ISW_PRINT_PLACE, site->name);
  isw_guide_print_text(print, ISW_PRINT_SMALL, where);
  g_free(where);
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  int n = isw_survey_list_crops(facts->plan, site->place, crops);
  for (int c = 0; c < n; c++) print_crop_line(print, facts->plan, site->place, &crops[c]);
  print->taken_mm = 0.0;
  print->y_mm = MAX(print->y_mm, top_mm + code.height_mm);
  int n_sure = 0; /* only these get a calendar */
  for (int c = 0; c < n; c++)
    if (!crops[c].risky) crops[n_sure++] = crops[c];
  print_works(print, facts->plan, site->place, crops, n_sure);
  print_remarks(print, facts->plan, site->place, crops, n_sure);
  print_openings(print, facts, site->place);
  print_record(print, facts, site, calendar->handout);
  if (n == 0)
    isw_guide_print_text(print, ISW_PRINT_BODY, isw_words_text(ISW_SAY_GUIDE_NOTHING_HERE));
}

void isw_guide_print_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                              const struct isw_guide_site *site) {
  struct site_calendar calendar = {facts, site, false};
  isw_guide_print_whole(print, draw_calendar, &calendar);
}

void isw_guide_draw_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                             const struct isw_guide_site *site) {
  struct site_calendar calendar = {facts, site, true};
  draw_calendar(print, &calendar);
}
