#include "output/place_ics.h"

#include <string.h>

#include "words/cautions.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/say.h"

enum { LINE_OCTETS = 75 };

struct calendar {
  GString *out;
  const struct isw_plan *plan;
  const struct isw_place *place;
  const struct isw_place_crop *crop; /* NULL: none */
  char stamp[32];
  int year; /* of the best sowing day of every crop */
};

char *isw_output_escape_ics(const char *text) {
  GString *out = g_string_new(NULL);
  char *valid = g_utf8_make_valid(text, -1);
  for (const char *c = valid; *c != '\0'; c++) {
    if (*c == '\n')
      g_string_append(out, "\\n");
    else if (strchr("\\;,", *c) != NULL)
      g_string_append_printf(out, "\\%c", *c);
    else if ((unsigned char)*c >= ' ' && *c != '\x7f')
      g_string_append_c(out, *c);
  }
  g_free(valid);
  return g_string_free(out, FALSE);
}

void isw_output_append_ics_line(GString *out, const char *name, const char *value) {
  char *line = g_strconcat(name, ":", value, NULL);
  const char *at = line;
  size_t room = LINE_OCTETS;
  while (strlen(at) > room) {
    const char *end = at + room;
    while (((unsigned char)*end & 0xC0) == 0x80) end--;
    g_string_append_len(out, at, end - at);
    g_string_append(out, "\r\n ");
    at = end;
    room = LINE_OCTETS - 1; /* the blank counts */
  }
  g_string_append(out, at);
  g_string_append(out, "\r\n");
  g_free(line);
}

static void append_text(GString *out, const char *name, const char *text) {
  char *escaped = isw_output_escape_ics(text);
  isw_output_append_ics_line(out, name, escaped);
  g_free(escaped);
}

/* Days of the 365-day year from 1 January of `year`, any integer, to YYYYMMDD. */
static void append_date(GString *out, const char *name, int year, int day) {
  int month, day_of_month;
  while (day < 0) day += ISW_YEAR_DAYS, year--;
  while (day >= ISW_YEAR_DAYS) day -= ISW_YEAR_DAYS, year++;
  isw_base_date_of_day(day, &month, &day_of_month);
  g_string_append_printf(out, "%s;VALUE=DATE:%04d%02d%02d\r\n", name, year, month, day_of_month);
}

static const char *season_name(const struct calendar *calendar, const struct isw_place_crop *crop) {
  return calendar->plan->sheet->seasons[calendar->plan->seasons[crop->seasons[0]]].name;
}

static const char *variety_name(const struct calendar *calendar,
                                const struct isw_place_crop *crop) {
  return calendar->plan->sheet->varieties[calendar->plan->varieties[crop->variety]].name;
}

static const char *variety_title(const struct isw_plan *plan, const struct isw_place_crop *crop) {
  return plan->sheet->varieties[plan->varieties[crop->variety]].title;
}

static void append_uid(const struct calendar *calendar, const char *what) {
  const struct isw_sheet *sheet = calendar->plan->sheet;
  const struct isw_place_crop *crop = calendar->crop;
  const char *const parts[] = {sheet->crop,
                               calendar->place->name,
                               calendar->place->lat_text,
                               calendar->place->lon_text,
                               crop == NULL ? "" : season_name(calendar, crop),
                               crop == NULL ? "" : variety_name(calendar, crop),
                               what};
  GChecksum *sum = g_checksum_new(G_CHECKSUM_SHA256);
  for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) /* with the NUL: "a","bc" is not "ab","c" */
    g_checksum_update(sum, (const guchar *)parts[i], (gssize)strlen(parts[i]) + 1);
  enum { UID_DIGITS = 32 };
  g_string_append_printf(calendar->out, "UID:%.*s@isosow.invalid\r\n", UID_DIGITS,
                         g_checksum_get_string(sum));
  g_checksum_free(sum);
}

/* from, to: days, both inclusive, counted from 1 January of the calendar's year. */
static void append_event(const struct calendar *calendar, const char *what, int from, int to,
                         const char *summary, const char *description, bool alarm) {
  GString *out = calendar->out;
  g_string_append(out, "BEGIN:VEVENT\r\n");
  append_uid(calendar, what);
  g_string_append_printf(out, "DTSTAMP:%s\r\n", calendar->stamp);
  append_date(out, "DTSTART", calendar->year, from);
  append_date(out, "DTEND", calendar->year, to + 1);
  g_string_append(out, "RRULE:FREQ=YEARLY\r\n");
  append_text(out, "SUMMARY", summary);
  append_text(out, "DESCRIPTION", description);
  append_text(out, "LOCATION", calendar->place->name);
  char lat[G_ASCII_DTOSTR_BUF_SIZE], lon[G_ASCII_DTOSTR_BUF_SIZE];
  double lon_deg = calendar->place->lon_deg;
  if (lon_deg > 180.0) lon_deg -= 360.0;
  g_ascii_formatd(lat, sizeof lat, "%.6f", calendar->place->lat_deg);
  g_ascii_formatd(lon, sizeof lon, "%.6f", lon_deg);
  g_string_append_printf(out, "GEO:%s;%s\r\n", lat, lon);
  append_text(out, "CATEGORIES", calendar->plan->sheet->title);
  g_string_append(out, "TRANSP:TRANSPARENT\r\n");
  if (alarm) { /* five hours before midnight: the evening before */
    g_string_append(out, "BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:-PT5H\r\n");
    append_text(out, "DESCRIPTION", summary);
    g_string_append(out, "END:VALARM\r\n");
  }
  g_string_append(out, "END:VEVENT\r\n");
}

/* The first clause of a task, for a heading: up to the first of . : ; , that a blank follows, so
 * that no number loses its decimals. Not shortened: a cut could take a number's end or its unit. */
static char *headline(const char *text) {
  const char *end = text;
  while (*end != '\0' && !(strchr(".:;,", *end) != NULL && (end[1] == ' ' || end[1] == '\0')))
    end++;
  return g_strndup(text, (gsize)(end - text));
}

static char *caution(void) {
  return g_strdup_printf("%s %s", isw_words_text(ISW_SAY_NO_FORECAST),
                         isw_words_text(ISW_SAY_LABELS_FIRST));
}

/* Days of one kind from their first to their last: one event, or where that would lie across a
 * calendar for months, an event on each end. */
struct span_words {
  const char *what, *what_last; /* of the UIDs */
  char *all, *first, *last;     /* titles */
};

static void append_span(const struct calendar *calendar, struct span_words words, int from, int to,
                        const char *description) {
  enum { LONGEST_DAYS = 42 };
  if (to - from < LONGEST_DAYS) {
    append_event(calendar, words.what, from, to, words.all, description, false);
  } else {
    append_event(calendar, words.what, from, from, words.first, description, false);
    append_event(calendar, words.what_last, to, to, words.last, description, false);
  }
  g_free(words.all);
  g_free(words.first);
  g_free(words.last);
}

static char *describe_sowing(const struct calendar *calendar, const struct isw_place_result *full) {
  const struct isw_words_place about = {calendar->plan, calendar->place, false};
  const struct isw_programme *programme = isw_survey_crop_programme(calendar->plan, calendar->crop);
  char *quality =
      isw_words_join(isw_words_quality(&about, programme, full),
                     isw_words_risks(&about, calendar->crop->variety, calendar->crop->season));
  quality = isw_words_join(isw_words_years(&full->result), quality);
  char *text =
      isw_words_join(quality, isw_words_count(ISW_SAY_ICS_CUT_AFTER, full->result.growing_days));
  /* A window of the whole year has no last day for raw manure, only the rule. */
  char *rule = full->result.window.days >= ISW_YEAR_DAYS
                   ? isw_words_caution(calendar->plan, ISW_CAUTION_MANURE)
                   : NULL;
  char *words = caution(), *description = g_strjoin("\n", text, words, rule, NULL);
  g_free(text);
  g_free(rule);
  g_free(words);
  return description;
}

static void append_spans(const struct calendar *calendar, const struct isw_place_result *full,
                         const char *who) {
  const struct isw_result *r = &full->result;
  const bool ends = r->window.days > 0 && r->window.days < ISW_YEAR_DAYS;
  char best[ISW_DATE_SIZE];
  isw_words_long_date(r->best_sow_day, best);
  int from = r->best_sow_day, to = r->best_sow_day;
  if (ends) {
    from -= isw_base_days_forward(r->window.from_day, r->best_sow_day);
    to = from + r->window.days - 1;
  }
  char *description = describe_sowing(calendar, full);
  append_span(calendar,
              (struct span_words){"sow", "sow last", isw_words_say(ISW_SAY_ICS_SOW, who, best),
                                  isw_words_say(ISW_SAY_ICS_SOW_FIRST, who, best),
                                  isw_words_say(ISW_SAY_ICS_SOW_LAST, who)},
              from, to, description);
  g_free(description);
  if (!ends) return;
  int first_cut, last_cut;
  isw_survey_cut_after(calendar->plan, calendar->place, calendar->crop, &first_cut, &last_cut);
  append_span(calendar,
              (struct span_words){"cut", "cut last", isw_words_say(ISW_SAY_ICS_CUT, who),
                                  isw_words_say(ISW_SAY_ICS_CUT_FIRST, who),
                                  isw_words_say(ISW_SAY_ICS_CUT_LAST, who)},
              r->best_sow_day + first_cut, r->best_sow_day + last_cut,
              isw_words_text(ISW_SAY_ICS_CUT_WHY));
}

static void append_manure(const struct calendar *calendar, int day, const char *who) {
  char *summary = isw_words_say(ISW_SAY_ICS_MANURE, who);
  char *description = isw_words_caution(calendar->plan, ISW_CAUTION_MANURE);
  append_event(calendar, "manure", day, day, summary, description, false);
  g_free(description);
  g_free(summary);
}

static void append_task(const struct calendar *calendar, int task, int day, const char *who,
                        bool alarm) {
  const char *text = calendar->plan->sheet->tasks[task].text;
  char what[32], *head = headline(text), *summary = isw_words_say(ISW_SAY_ICS_TASK, head, who);
  char *description = g_strdup_printf("%s\n%s", text, isw_words_text(ISW_SAY_ICS_BEST_DAY));
  g_snprintf(what, sizeof what, "task %d", task);
  append_event(calendar, what, day, day, summary, description, alarm);
  g_free(description);
  g_free(summary);
  g_free(head);
}

/* The days that nobody wants to miss, and the first task of the sheet that stands on each, -1:
 * none, then the day itself is an event. And the first test: the last task before the cut. */
enum moment { AT_SOWING, AT_TRANSPLANT, AT_CUT, MOMENTS };

static void find_moments(const struct isw_sheet *sheet, int tasks[MOMENTS], int *first_test) {
  static const enum isw_task_anchor anchors[MOMENTS] = {ISW_AT_SOWING, ISW_AT_TRANSPLANT,
                                                        ISW_AT_HARVEST};
  *first_test = -1;
  for (int m = 0; m < MOMENTS; m++) tasks[m] = -1;
  for (int t = 0; t < sheet->n_tasks; t++) {
    const struct isw_task *task = &sheet->tasks[t];
    for (int m = 0; m < MOMENTS; m++)
      if (tasks[m] < 0 && task->anchor == anchors[m] && task->day == 0) tasks[m] = t;
    if (task->anchor == ISW_AT_HARVEST && task->day < 0 &&
        (*first_test < 0 || task->day > sheet->tasks[*first_test].day))
      *first_test = t;
  }
}

static void append_moment(const struct calendar *calendar, enum moment moment, int day,
                          const char *who) {
  static const enum isw_sentence titles[MOMENTS] = {ISW_SAY_ICS_ON_BEST_DAY, ISW_SAY_ICS_TRANSPLANT,
                                                    ISW_SAY_ICS_CUT_BEST};
  static const char *const whats[MOMENTS] = {"best", "transplant", "harvest"};
  char *summary = isw_words_say(titles[moment], who);
  append_event(calendar, whats[moment], day, day, summary, isw_words_text(ISW_SAY_ICS_BEST_DAY),
               true);
  g_free(summary);
}

static void append_work(const struct calendar *calendar, const struct isw_place_result *full,
                        const char *who) {
  const struct isw_result *r = &full->result;
  int tasks[MOMENTS], first_test;
  find_moments(calendar->plan->sheet, tasks, &first_test);
  struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
  int count = isw_survey_list_events(calendar->plan, calendar->place, calendar->crop, events);
  for (int i = 0; i < count; i++) {
    const int day = r->best_sow_day + events[i].after, task = events[i].task;
    if (events[i].kind == ISW_EVENT_MANURE) {
      append_manure(calendar, day, who);
      continue;
    }
    bool alarm = task == first_test;
    for (int m = 0; m < MOMENTS; m++) alarm = alarm || task == tasks[m];
    append_task(calendar, task, day, who, alarm);
  }
  const int days[MOMENTS] = {
      r->best_sow_day,
      r->transplant_day < 0
          ? -1
          : r->best_sow_day + isw_base_days_forward(r->best_sow_day, r->transplant_day),
      r->best_sow_day + r->growing_days};
  for (int m = 0; m < MOMENTS; m++)
    if (tasks[m] < 0 && days[m] >= 0) append_moment(calendar, (enum moment)m, days[m], who);
}

/* RFC 5545, 3.6: a calendar holds at least one component; and who opens it wants to know why. */
static void append_nothing(const struct calendar *calendar) {
  GString *out = calendar->out;
  g_string_append(out, "BEGIN:VJOURNAL\r\n");
  append_uid(calendar, "nothing");
  g_string_append_printf(out, "DTSTAMP:%s\r\n", calendar->stamp);
  char *summary =
      isw_words_say(ISW_SAY_ICS_NOTHING, calendar->place->name, calendar->plan->sheet->title);
  char *words = caution();
  append_text(out, "SUMMARY", summary);
  append_text(out, "DESCRIPTION", words);
  g_string_append(out, "END:VJOURNAL\r\n");
  g_free(summary);
  g_free(words);
}

void isw_output_append_ics_start(GString *out) {
  g_string_append(out, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n");
  g_string_append_printf(out, "PRODID:-//isosow//isosow %s//EN\r\n", ISOSOW_VERSION);
  g_string_append(out, "CALSCALE:GREGORIAN\r\nMETHOD:PUBLISH\r\n");
}

void isw_output_append_ics_place(GString *out, const struct isw_plan *plan,
                                 const struct isw_place *place, gint64 now, bool several_crops) {
  if (place->no_data) return;
  struct calendar calendar = {.out = out, .plan = plan, .place = place};
  GDateTime *time = g_date_time_new_from_unix_utc(now);
  if (time == NULL) time = g_date_time_new_from_unix_utc(0);
  char *stamp = g_date_time_format(time, "%Y%m%dT%H%M%SZ");
  g_strlcpy(calendar.stamp, stamp, sizeof calendar.stamp);
  calendar.year = g_date_time_get_year(time);
  g_free(stamp);
  g_date_time_unref(time);
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  int count = isw_survey_list_crops(plan, place, crops);
  int told = 0;
  for (int c = 0; c < count; c++) {
    if (crops[c].risky) continue; /* no dates to work by */
    told++;
    calendar.crop = &crops[c];
    const struct isw_place_result *full = isw_survey_crop_result(plan, place, &crops[c]);
    const char *variety = variety_title(plan, &crops[c]),
               *season = plan->sheet->seasons[plan->seasons[crops[c].seasons[0]]].title;
    char *who = several_crops
                    ? isw_words_say(ISW_SAY_ICS_WHO_OF_CROP, plan->sheet->title, variety, season)
                    : isw_words_say(ISW_SAY_ICS_WHO, variety, season);
    append_spans(&calendar, full, who);
    append_work(&calendar, full, who);
    g_free(who);
  }
  if (told == 0) append_nothing(&calendar);
}

void isw_output_append_ics_end(GString *out) {
  g_string_append(out, "END:VCALENDAR\r\n");
}
