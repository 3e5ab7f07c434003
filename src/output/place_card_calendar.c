#include "output/card_in_hand.h"
#include "output/text_lines.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

/* The work of one crop, by date. */
struct dated {
  int count;
  struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
};

static char *event_text(const struct isw_card *card, const struct isw_place_event *event) {
  if (event->kind != ISW_EVENT_MANURE)
    return g_strdup(card->about.plan->sheet->tasks[event->task].text);
  char *days = isw_words_number(ISW_MANURE_DAYS),
       *text = isw_words_say(ISW_SAY_MANURE_LAST_DAY, days);
  g_free(days);
  return text;
}

static int find_event(const struct dated *dated, int task) {
  for (int i = 0; i < dated->count; i++)
    if (dated->events[i].task == task) return i;
  return -1;
}

/* What both have comes in the same order. */
static bool same_order(const struct dated *a, const struct dated *b) {
  int last = -1;
  for (int i = 0; i < a->count; i++) {
    int at = find_event(b, a->events[i].task);
    if (at < 0) continue;
    if (at < last) return false;
    last = at;
  }
  return true;
}

/* The crop with the most events leads, so that no line is missing. */
static bool has_all(const struct dated *lead, const struct dated *other) {
  for (int i = 0; i < other->count; i++)
    if (find_event(lead, other->events[i].task) < 0) return false;
  return true;
}

static int crop_best_day(const struct isw_card *card, int c) {
  return isw_survey_crop_result(card->about.plan, card->about.place, &card->crops[c])
      ->result.best_sow_day;
}

static char *crop_name(const struct isw_card *card, int c) {
  const struct isw_plan *plan = card->about.plan;
  return isw_words_capital(plan->sheet->seasons[plan->seasons[card->crops[c].seasons[0]]].name);
}

/* One column of dates per crop, the work beside them once. */
struct work {
  int first, end, lead; /* crops; the one that has every line */
  struct dated dated[ISW_SEASONS_MAX];
};

static const char *work_date(const struct isw_card *card, const struct work *work, int c, int task,
                             char date[ISW_DATE_SIZE]) {
  int at = find_event(&work->dated[c], task);
  if (at < 0) return "-";
  return isw_words_short_date(crop_best_day(card, c) + work->dated[c].events[at].after, date);
}

/* Wide enough for every date and heading of the list, and two blanks. */
static int work_columns(const struct isw_card *card, const struct work *work) {
  int columns = 0;
  for (int c = work->first; c < work->end; c++) {
    char *name = crop_name(card, c), date[ISW_DATE_SIZE];
    columns = MAX(columns, isw_output_columns(name));
    g_free(name);
    for (int i = 0; i < work->dated[c].count; i++)
      columns =
          MAX(columns,
              isw_output_columns(work_date(card, work, c, work->dated[c].events[i].task, date)));
  }
  return columns + 2;
}

static void append_work(struct isw_card *card, int first, int end) {
  struct work work = {.first = first, .end = end, .lead = first};
  for (int c = first; c < end; c++) {
    work.dated[c].count = isw_survey_list_events(card->about.plan, card->about.place,
                                                 &card->crops[c], work.dated[c].events);
    if (work.dated[c].count > work.dated[work.lead].count) work.lead = c;
  }
  int columns = work_columns(card, &work), indent = columns * (end - first);
  for (int c = first; c < end; c++) {
    char *name = crop_name(card, c);
    isw_output_append_padded(card->out, name, c + 1 < end ? columns : 0);
    g_free(name);
  }
  g_string_append_c(card->out, '\n');
  for (int i = 0; i < work.dated[work.lead].count; i++) {
    const struct isw_place_event *event = &work.dated[work.lead].events[i];
    for (int c = first; c < end; c++) {
      char date[ISW_DATE_SIZE];
      isw_output_append_padded(card->out, work_date(card, &work, c, event->task, date), columns);
    }
    char *text = event_text(card, event);
    isw_output_append_wrapped(card->out, text, indent, indent, ISW_CARD_COLUMNS);
    g_free(text);
  }
}

/* How many crops from `first` on can share a list. */
static int shared_list_end(const struct isw_card *card, int first) {
  enum { TOGETHER_MOST = 4 };
  struct dated lead, other;
  lead.count =
      isw_survey_list_events(card->about.plan, card->about.place, &card->crops[first], lead.events);
  int end = first + 1;
  while (end < card->n_crops && end - first < TOGETHER_MOST) {
    other.count = isw_survey_list_events(card->about.plan, card->about.place, &card->crops[end],
                                         other.events);
    if (!same_order(&lead, &other) || (!has_all(&lead, &other) && !has_all(&other, &lead))) break;
    if (other.count > lead.count) lead = other;
    end++;
  }
  return end;
}

/* "Spring, mean temperatures, shelter included: emergence 17 °C from 24 Mar, ..." */
static void append_stages(struct isw_card *card, const struct isw_place_crop *crop) {
  const struct isw_place_result *full =
      isw_survey_crop_result(card->about.plan, card->about.place, crop);
  char *list = NULL;
  for (int k = 0; k < full->sowing.n_stages; k++) {
    const struct isw_stage_run *run = &full->sowing.runs[k];
    char date[ISW_DATE_SIZE];
    char *mean = isw_words_temperature(run->mean_C, card->about.fahrenheit);
    char *stage = isw_words_say(
        ISW_SAY_STAGE_MEAN, card->about.plan->sheet->varieties[0].stages[k].title, mean,
        isw_words_short_date(full->result.best_sow_day + run->from_after, date));
    char *longer = list == NULL ? g_strdup(stage) : isw_words_say(ISW_SAY_LIST_MORE, list, stage);
    g_free(list);
    g_free(stage);
    g_free(mean);
    list = longer;
  }
  if (list == NULL) return;
  char *seasons = isw_output_card_seasons(card, crop);
  char *text = isw_words_say(ISW_SAY_STAGES_LEAD, seasons, list);
  isw_output_append_wrapped(card->out, text, 0, 2, ISW_CARD_COLUMNS);
  g_free(text);
  g_free(seasons);
  g_free(list);
}

/* What is risky has no dates to work by. */
static void leave_out_risky(struct isw_card *card) {
  int n = 0;
  for (int c = 0; c < card->n_crops; c++)
    if (!card->crops[c].risky) card->crops[n++] = card->crops[c];
  card->n_crops = n;
}

void isw_output_append_card_calendar(struct isw_card *card) {
  leave_out_risky(card);
  if (card->n_crops == 0) return;
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_CARD_CALENDAR));
  isw_output_append_wrapped(card->out, isw_words_text(ISW_SAY_CALENDAR_LEAD), 0, 0,
                            ISW_CARD_COLUMNS);
  for (int c = 0; c < card->n_crops; c++) {
    if (card->crops[c].n_seasons < 2) continue;
    char *seasons = isw_output_card_seasons(card, &card->crops[c]), *name = crop_name(card, c);
    char *text = isw_words_say(ISW_SAY_CALENDAR_STANDS_FOR, name, seasons);
    isw_output_append_wrapped(card->out, text, 0, 0, ISW_CARD_COLUMNS);
    g_free(text);
    g_free(name);
    g_free(seasons);
  }
  for (int first = 0; first < card->n_crops;) {
    int end = shared_list_end(card, first);
    g_string_append_c(card->out, '\n');
    append_work(card, first, end);
    first = end;
  }
  g_string_append_c(card->out, '\n');
  for (int c = 0; c < card->n_crops; c++) append_stages(card, &card->crops[c]);
}
