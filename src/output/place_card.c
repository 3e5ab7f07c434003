#include "output/place_card.h"

#include <math.h>
#include <string.h>

#include "base/units.h"
#include "output/place_crops.h"
#include "output/place_words.h"
#include "words/classes.h"
#include "words/date_words.h"
#include "words/say.h"

enum { LABEL_COLUMNS = 10, TABLE_NAME_COLUMNS = 24, WINDOW_COLUMNS = 14, LIMIT_COLUMNS = 16 };
static const double percent = 100.0;

struct card {
  GString *out;
  const struct isw_plan *plan;
  const struct isw_place *place;
  const struct isw_card_options *options;
  int n_crops;
  struct isw_place_crop crops[ISW_SEASONS_MAX];
};

static void append_heading(struct card *card, const char *text) {
  g_string_append_printf(card->out, card->options->bold ? "\n\033[1m%s\033[0m\n" : "\n%s\n", text);
}

/* "Label     text", wrapped under the text. */
static void append_labelled(struct card *card, const char *label, const char *text) {
  int columns = isw_output_columns(label);
  g_string_append(card->out, label);
  if (columns >= LABEL_COLUMNS) {
    g_string_append_c(card->out, '\n');
    columns = 0;
  }
  g_string_append_printf(card->out, "%*s", LABEL_COLUMNS - columns, "");
  isw_output_append_wrapped(card->out, text, LABEL_COLUMNS, LABEL_COLUMNS, ISW_CARD_COLUMNS);
}

static void append_line(struct card *card, const char *text) {
  append_labelled(card, "", text);
}

static const char *variety_title(const struct card *card, int v) {
  return card->plan->sheet->varieties[card->plan->varieties[v]].title;
}

static const char *season_name(const struct card *card, int s) {
  return card->plan->sheet->seasons[card->plan->seasons[s]].name;
}

static const struct isw_programme *programme_of(const struct card *card, int v, int s) {
  return &card->plan->programmes[card->plan->programme_of[v][s]];
}

static const struct isw_place_result *result_of(const struct card *card, int v, int s) {
  return &card->place->results[isw_growth_result_index(card->plan, v, s)];
}

/* "Spring and summer" */
static char *crop_seasons(const struct card *card, const struct isw_place_crop *crop) {
  GString *names = g_string_new(NULL);
  for (int i = 0; i < crop->n_seasons; i++) {
    if (i > 0) g_string_append(names, i + 1 < crop->n_seasons ? ", " : " and ");
    g_string_append(names, season_name(card, crop->seasons[i]));
  }
  char *capital = isw_words_capital(names->str);
  g_string_free(names, TRUE);
  return capital;
}

static char *from_to(int from_day, int to_day) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  isw_words_long_date(from_day, from);
  isw_words_long_date(to_day, to);
  return strcmp(from, to) == 0 ? g_strdup_printf("on %s", from)
                               : g_strdup_printf("%s to %s", from, to);
}

/* "Sow 31 July to 18 August (19 days), best 13 August." */
static char *sowing_sentence(const struct isw_result *r) {
  char best[ISW_DATE_SIZE];
  isw_words_long_date(r->best_sow_day, best);
  if (r->window.days == 0) return g_strdup_printf("No window. The best day to sow is %s.", best);
  if (r->window.days >= ISW_YEAR_DAYS)
    return g_strdup_printf("Sow on any day of the year, best %s.", best);
  char *dates = from_to(r->window.from_day, r->window.to_day);
  char *sentence = g_strdup_printf("Sow %s (%d day%s), best %s.", dates, r->window.days,
                                   r->window.days == 1 ? "" : "s", best);
  g_free(dates);
  return sentence;
}

/* "Start seed in the shade (nursery), transplant about 3 September; cut between ... and ..." */
static char *growing_sentence(const struct card *card, const struct isw_programme *programme,
                              const struct isw_place_result *full) {
  const struct isw_result *r = &full->result;
  char date[ISW_DATE_SIZE], last[ISW_DATE_SIZE];
  GString *text = g_string_new(NULL);
  char *start = isw_output_start_words(card->plan, programme, card->place, full);
  char *capital = isw_words_capital(start);
  g_string_append(text, capital);
  if (r->transplant_day >= 0)
    g_string_append_printf(text, ", transplant about %s",
                           isw_words_long_date(r->transplant_day, date));
  else
    g_string_append(text, ", no transplanting");
  bool ranged = r->window.days > 1 && r->window.days < ISW_YEAR_DAYS &&
                full->harvest_from_day != full->harvest_to_day;
  if (ranged)
    g_string_append_printf(text, "; cut between %s and %s.",
                           isw_words_long_date(full->harvest_from_day, date),
                           isw_words_long_date(full->harvest_to_day, last));
  else
    g_string_append_printf(text, "; cut about %s.", isw_words_long_date(r->harvest_day, date));
  if (r->window.days >= ISW_YEAR_DAYS)
    g_string_append_printf(text, " That is %d days; other sowing days take their own time.",
                           r->growing_days);
  g_free(start);
  g_free(capital);
  return g_string_free(text, FALSE);
}

static char *quality_sentence(const struct card *card, const struct isw_programme *programme,
                              const struct isw_place_result *full) {
  const struct isw_result *r = &full->result;
  char *limit = isw_output_limit_words(card->plan, programme, card->place, full);
  char *word = isw_words_capital(isw_words_score(r->score_tenths));
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s, %d of 100", word, (r->score_tenths + 5) / 10);
  if (limit[0] != '\0') g_string_append_printf(text, "; the weak point: %s", limit);
  g_string_append_printf(text, ". Frost %s (%.1f %%)", isw_words_frost(r->frost_risk),
                         percent * r->frost_risk);
  if (programme->bolts)
    g_string_append_printf(text, ", bolting %s (%.1f %%)", isw_words_bolting(r->bolt_risk),
                           percent * r->bolt_risk);
  g_string_append(text, programme->bolts ? "." : "; bolting does not come into it.");
  g_free(limit);
  g_free(word);
  return g_string_free(text, FALSE);
}

/* "gone in a warm year", "shrinks to 3 days in a cold year"; NULL: it survives. */
static char *loss(int window_days, int left, const char *year) {
  if (isw_survey_survives(window_days, left)) return NULL;
  if (left == 0) return g_strdup_printf("gone in a %s year", year);
  return g_strdup_printf("only %d day%s left in a %s year", left, left == 1 ? "" : "s", year);
}

static char *firmness_sentence(const struct card *card, const struct isw_place_season *season) {
  const char *shift = card->options->fahrenheit ? "1.8 °F" : "1 °C";
  char *warm = loss(season->window_days, season->days_if_warmer, "warm");
  char *cold = loss(season->window_days, season->days_if_cooler, "cold");
  char *text;
  if (warm == NULL && cold == NULL)
    text = g_strdup_printf(
        "Firm: %d of the %d days stay good in a year %s warmer, %d in one as much cooler.",
        season->days_if_warmer, season->window_days, shift, season->days_if_cooler);
  else
    text = g_strdup_printf("Fragile: %s%s%s (a year %s off the normals).", warm != NULL ? warm : "",
                           warm != NULL && cold != NULL ? ", and " : "", cold != NULL ? cold : "",
                           shift);
  g_free(warm);
  g_free(cold);
  return text;
}

/* Are all of the window's days inside the sowing dates of the crop's seasons? */
static bool within_seasons(const struct card *card, const struct isw_place_crop *crop,
                           struct isw_window window) {
  for (int i = 0; i < window.days; i++) {
    bool inside = false;
    for (int k = 0; k < crop->n_seasons; k++) {
      struct isw_window dates = card->place->seasons[crop->seasons[k]].sowing_dates;
      inside = inside || isw_base_days_forward(dates.from_day, window.from_day + i) < dates.days;
    }
    if (!inside) return false;
  }
  return true;
}

static void append_free(struct card *card, char *text) {
  append_line(card, text);
  g_free(text);
}

static void append_pick(struct card *card, const struct isw_place_crop *crop) {
  const struct isw_place_result *full = isw_output_crop_result(card->plan, card->place, crop);
  const struct isw_programme *programme = isw_output_crop_programme(card->plan, crop);
  char *seasons = crop_seasons(card, crop);
  char *title = g_strdup_printf("%s%s", variety_title(card, crop->variety),
                                crop->risky ? " (risky: no day is good)" : "");
  append_labelled(card, seasons, title);
  char *sowing = sowing_sentence(&full->result);
  bool beyond =
      full->result.window.days < ISW_YEAR_DAYS && !within_seasons(card, crop, full->result.window);
  append_free(card,
              g_strdup_printf("%s%s", sowing,
                              beyond ? " The window reaches past the season's own dates." : ""));
  g_free(sowing);
  append_free(card, growing_sentence(card, programme, full));
  append_free(card, quality_sentence(card, programme, full));
  if (full->result.window.days > 0)
    append_free(card, firmness_sentence(card, &card->place->seasons[crop->season]));
  for (int i = 0; i < full->n_other_windows; i++) {
    char *dates = from_to(full->other_windows[i].from_day, full->other_windows[i].to_day);
    append_free(card, g_strdup_printf("Also good: sow %s.", dates));
    g_free(dates);
  }
  if (strcmp(season_name(card, crop->season), "spring") == 0)
    append_line(card, "Cut as soon as firm: a spring crop does not wait.");
  else if (isw_output_crop_cannot_wait(card->plan, card->place, crop))
    append_line(card, "Cut as soon as firm: with the heat rising, it does not wait.");
  g_free(seasons);
  g_free(title);
}

/* No pick: the best there is, and why it is not enough. */
static void append_no_pick(struct card *card, int s) {
  const struct isw_place_result *best = NULL;
  int best_v = 0;
  for (int v = 0; v < card->plan->n_varieties; v++) {
    const struct isw_place_result *full = result_of(card, v, s);
    if (best != NULL && full->result.score_tenths <= best->result.score_tenths) continue;
    best = full;
    best_v = v;
  }
  char *label = isw_words_capital(season_name(card, s));
  char *limit =
      isw_output_limit_words(card->plan, programme_of(card, best_v, s), card->place, best);
  char *text;
  if (best->result.best_sow_day < 0) {
    text = g_strdup_printf("Nothing to sow: %s.", best->result.limit == ISW_LIMIT_NEVER_MATURES
                                                      ? "no variety gets ready"
                                                      : limit);
  } else {
    char date[ISW_DATE_SIZE];
    text = g_strdup_printf(
        "Nothing to sow. The nearest is %s on %s, %s (%d of 100)%s%s.", variety_title(card, best_v),
        isw_words_long_date(best->result.best_sow_day, date),
        isw_words_score(best->result.score_tenths), (best->result.score_tenths + 5) / 10,
        limit[0] != '\0' ? ": " : "", limit);
  }
  append_labelled(card, label, text);
  g_free(text);
  g_free(limit);
  g_free(label);
}

/* A difference in the units shown. */
static double shown_difference(const struct card *card, double difference_K) {
  return card->options->fahrenheit ? difference_K / isw_base_difference_to_kelvin(1.0, ISW_UNIT_F)
                                   : difference_K;
}

static void append_assumption(struct card *card) {
  char *text = g_strdup_printf(
      "Frost odds take single nights to spread by %.1f °%c about their normal, each by itself, "
      "which overstates them somewhat.",
      shown_difference(card, card->plan->conditions.spread_K),
      card->options->fahrenheit ? 'F' : 'C');
  g_string_append_c(card->out, '\n');
  isw_output_append_wrapped(card->out, text, 0, 0, ISW_CARD_COLUMNS);
  g_free(text);
}

static void append_answer(struct card *card) {
  append_heading(card, "WHEN TO SOW");
  for (int s = 0; s < card->plan->n_seasons; s++) {
    bool picked = card->place->seasons[s].pick.variety >= 0;
    if (s > 0 && !picked) g_string_append_c(card->out, '\n');
    if (!picked) append_no_pick(card, s);
    for (int c = 0; c < card->n_crops; c++) {
      if (card->crops[c].seasons[0] != s) continue;
      if (s > 0) g_string_append_c(card->out, '\n');
      append_pick(card, &card->crops[c]);
    }
  }
  append_assumption(card);
}

static char *season_span(const struct card *card, int s) {
  struct isw_window dates = card->place->seasons[s].sowing_dates;
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  isw_words_short_date(dates.from_day, from);
  isw_words_short_date(dates.to_day, to);
  char *name = isw_words_capital(season_name(card, s));
  char *text = g_strdup_printf("%s, sown %s to %s", name, from, to);
  g_free(name);
  return text;
}

/* An earlier season of the variety with the very same window, or -1. */
static int same_window_before(const struct card *card, int v, int s) {
  const struct isw_window *window = &result_of(card, v, s)->result.window;
  for (int earlier = 0; earlier < s && window->days > 0; earlier++) {
    const struct isw_window *other = &result_of(card, v, earlier)->result.window;
    if (other->days == window->days && other->from_day == window->from_day) return earlier;
  }
  return -1;
}

static void append_padded(GString *out, const char *text, int columns) {
  int used = isw_output_columns(text);
  g_string_append(out, text);
  g_string_append_printf(out, "%*s", used < columns ? columns - used : 0, "");
}

/* Cut to fit, so that a long title cannot break the table. */
static char *fit(const char *long_text, int columns) {
  GString *text = g_string_new(long_text);
  while (isw_output_columns(text->str) > columns)
    g_string_truncate(text, (gsize)(g_utf8_prev_char(text->str + text->len) - text->str));
  return g_string_free(text, FALSE);
}

/* The limit's name in few columns: "rosette cold", "heading heat". */
static char *short_limit(const struct card *card, int limit) {
  char name[ISW_LIMIT_NAME_SIZE];
  if (limit == ISW_LIMIT_NOTHING) return g_strdup("-");
  if (limit >= ISW_LIMIT_FROST)
    return fit(isw_growth_limit_name(card->plan->sheet, limit, name), LIMIT_COLUMNS);
  const char *what = limit % 2 == 1 ? "cold" : "heat";
  char *stage = fit(card->plan->sheet->varieties[0].stages[(limit - 1) / 2].name,
                    LIMIT_COLUMNS - (int)strlen(what) - 1);
  char *text = g_strdup_printf("%s %s", stage, what);
  g_free(stage);
  return text;
}

static void append_row(struct card *card, int v, int s) {
  const struct isw_result *r = &result_of(card, v, s)->result;
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE],
      best[ISW_DATE_SIZE] = "-", transplant[ISW_DATE_SIZE] = "-", cut[ISW_DATE_SIZE] = "-";
  char *window = g_strdup("no window");
  int same = same_window_before(card, v, s);
  if (r->window.days > 0) {
    g_free(window);
    if (same >= 0) {
      char *as = g_strdup_printf("as %s", season_name(card, same));
      window = fit(as, WINDOW_COLUMNS - 1);
      g_free(as);
    } else if (r->window.days >= ISW_YEAR_DAYS)
      window = g_strdup("all year");
    else
      window = g_strdup_printf("%s-%s", isw_words_short_date(r->window.from_day, from),
                               isw_words_short_date(r->window.to_day, to));
  }
  if (r->best_sow_day >= 0) isw_words_short_date(r->best_sow_day, best);
  if (r->transplant_day >= 0) isw_words_short_date(r->transplant_day, transplant);
  if (r->harvest_day >= 0) isw_words_short_date(r->harvest_day, cut);
  char *title = fit(variety_title(card, v), TABLE_NAME_COLUMNS);
  char *limit = short_limit(card, r->limit);
  GString *row = g_string_new(NULL);
  append_padded(row, title, TABLE_NAME_COLUMNS + 1);
  append_padded(row, window, WINDOW_COLUMNS);
  append_padded(row, best, 7);
  append_padded(row, transplant, 7);
  append_padded(row, cut, 7);
  g_string_append_printf(row, "%3d ", (r->score_tenths + 5) / 10);
  g_string_append(row, limit);
  g_string_append_printf(card->out, "%s\n", row->str);
  g_string_free(row, TRUE);
  g_free(title);
  g_free(limit);
  g_free(window);
}

static void append_table(struct card *card) {
  append_heading(card, "EVERY VARIETY");
  append_padded(card->out, "", TABLE_NAME_COLUMNS + 1);
  append_padded(card->out, "window", WINDOW_COLUMNS);
  append_padded(card->out, "best", 7);
  append_padded(card->out, "plant", 7);
  append_padded(card->out, "cut", 7);
  g_string_append(card->out, "0-100 limit\n");
  for (int s = 0; s < card->plan->n_seasons; s++) {
    char *span = season_span(card, s);
    g_string_append_printf(card->out, "%s\n", span);
    g_free(span);
    for (int v = 0; v < card->plan->n_varieties; v++) append_row(card, v, s);
  }
}

static char *temperature(const struct card *card, double value_C) {
  bool f = card->options->fahrenheit;
  double value = floor(isw_base_from_celsius(value_C, f ? ISW_UNIT_F : ISW_UNIT_C) + 0.5);
  return g_strdup_printf("%.0f °%c", value == 0.0 ? 0.0 : value, f ? 'F' : 'C');
}

/* "Mean temperatures: emergence 17 °C from 24 Mar, ..." */
static void append_stages(struct card *card, const struct isw_place_crop *crop) {
  const struct isw_place_result *full = isw_output_crop_result(card->plan, card->place, crop);
  char *seasons = crop_seasons(card, crop);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s, mean temperatures, shelter included:", seasons);
  char date[ISW_DATE_SIZE];
  for (int k = 0; k < full->sowing.n_stages; k++) {
    const struct isw_stage_run *run = &full->sowing.runs[k];
    char *mean = temperature(card, run->mean_C);
    g_string_append_printf(text, "%s %s %s from %s", k > 0 ? "," : "",
                           card->plan->sheet->varieties[0].stages[k].name, mean,
                           isw_words_short_date(full->result.best_sow_day + run->from_after, date));
    g_free(mean);
  }
  g_string_append_c(text, '.');
  isw_output_append_wrapped(card->out, text->str, 0, 2, ISW_CARD_COLUMNS);
  g_string_free(text, TRUE);
  g_free(seasons);
}

/* The work of one crop, by date. */
struct dated {
  int count;
  struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
};

static const char *event_text(const struct card *card, const struct isw_place_event *event,
                              char manure[200]) {
  if (event->kind != ISW_EVENT_MANURE) return card->plan->sheet->tasks[event->task].text;
  g_snprintf(manure, 200,
             "Last day to have raw manure worked in, %d days before the earliest cut. If it is "
             "past, or the crop before is not yet off by then: none this season.",
             ISW_MANURE_DAYS);
  return manure;
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

static int crop_best_day(const struct card *card, int c) {
  return isw_output_crop_result(card->plan, card->place, &card->crops[c])->result.best_sow_day;
}

/* One column of dates per crop, the work beside them once. */
static void append_work(struct card *card, int first, int end) {
  enum { DATE_COLUMNS = 8 };
  struct dated dated[ISW_SEASONS_MAX];
  int lead = first;
  for (int c = first; c < end; c++) {
    dated[c].count =
        isw_output_list_events(card->plan, card->place, &card->crops[c], dated[c].events);
    if (dated[c].count > dated[lead].count) lead = c;
  }
  for (int c = first; c < end; c++) {
    const char *name = season_name(card, card->crops[c].seasons[0]);
    char *capital = isw_words_capital(name);
    append_padded(card->out, capital, DATE_COLUMNS);
    if (isw_output_columns(capital) >= DATE_COLUMNS) g_string_append_c(card->out, ' ');
    g_free(capital);
  }
  while (card->out->str[card->out->len - 1] == ' ')
    g_string_truncate(card->out, card->out->len - 1);
  g_string_append_c(card->out, '\n');
  int indent = DATE_COLUMNS * (end - first);
  for (int i = 0; i < dated[lead].count; i++) {
    const struct isw_place_event *event = &dated[lead].events[i];
    for (int c = first; c < end; c++) {
      char date[ISW_DATE_SIZE];
      int at = find_event(&dated[c], event->task), best = crop_best_day(card, c);
      append_padded(card->out,
                    at < 0 ? "-" : isw_words_short_date(best + dated[c].events[at].after, date),
                    DATE_COLUMNS);
    }
    char manure[200];
    isw_output_append_wrapped(card->out, event_text(card, event, manure), indent, indent,
                              ISW_CARD_COLUMNS);
  }
}

/* How many crops from `first` on can share a list. */
static int shared_list_end(const struct card *card, int first) {
  enum { TOGETHER_MOST = 4 };
  struct dated lead, other;
  lead.count = isw_output_list_events(card->plan, card->place, &card->crops[first], lead.events);
  int end = first + 1;
  while (end < card->n_crops && end - first < TOGETHER_MOST) {
    other.count = isw_output_list_events(card->plan, card->place, &card->crops[end], other.events);
    if (!same_order(&lead, &other) || (!has_all(&lead, &other) && !has_all(&other, &lead))) break;
    if (other.count > lead.count) lead = other;
    end++;
  }
  return end;
}

static void append_calendar(struct card *card) {
  append_heading(card, "CALENDAR");
  isw_output_append_wrapped(card->out,
                            "For the varieties chosen above, sown on their best days; sown on "
                            "another day, the dates move along.",
                            0, 0, ISW_CARD_COLUMNS);
  for (int c = 0; c < card->n_crops; c++) {
    if (card->crops[c].n_seasons < 2) continue;
    char *seasons = crop_seasons(card, &card->crops[c]);
    char *name = isw_words_capital(season_name(card, card->crops[c].seasons[0]));
    g_string_append_printf(card->out, "%s stands for: %s.\n", name, seasons);
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

static void append_bullet(struct card *card, const char *text) {
  g_string_append(card->out, "- ");
  isw_output_append_wrapped(card->out, text, 2, 2, ISW_CARD_COLUMNS);
}

static void append_cautions(struct card *card) {
  const char *period = card->place->period;
  append_heading(card, "CAUTIONS");
  append_bullet(card,
                "Normals are an average year, not a forecast. Nothing here knows soil, water, "
                "light, pests, slope, frost hollows or city heat.");
  char *text = period != NULL ? g_strdup_printf("Normals: %s.", period)
                              : g_strdup("Normals: period not stated.");
  int end = isw_output_period_end(period);
  if (end > 0 && card->options->this_year - end > ISW_OLD_NORMALS_YEARS) {
    char *old = g_strdup_printf(
        "%s They end more than %d years ago; dates may have moved since, most places being warmer.",
        text, ISW_OLD_NORMALS_YEARS);
    g_free(text);
    text = old;
  }
  append_bullet(card, text);
  g_free(text);
  append_bullet(card,
                "Raw manure can carry germs that make people ill. Aged manure counts as raw; only "
                "compost made to a recorded time and temperature standard is exempt. Local rules "
                "come first.");
  append_bullet(card,
                "Fertilizer and pesticides: the label, local rules and your extension service "
                "come before anything said here. Never eat produce that froze and went soft.");
}

/* "44.2° N, 150.1° W" from "44.2", "-150.1" */
static char *coordinate(const char *text, double value, char positive, char negative) {
  const char *digits = text + (text[0] == '-' || text[0] == '+' ? 1 : 0);
  return g_strdup_printf("%s° %c", digits, value < 0.0 ? negative : positive);
}

/* A name from a file cannot steer a terminal or break the lines. */
static char *clean_name(const char *name) {
  char *clean = g_utf8_make_valid(name, -1);
  for (char *c = clean; *c != '\0'; c++)
    if ((unsigned char)*c < ' ' || *c == '\x7f') *c = ' ';
  return clean;
}

static void append_top(struct card *card) {
  const struct isw_place *place = card->place;
  const struct isw_conditions *conditions = &card->plan->conditions;
  const char *title = card->plan->sheet->title;
  char *name = clean_name(place->name);
  int gap = ISW_CARD_COLUMNS - isw_output_columns(name) - isw_output_columns(title);
  if (card->options->bold) g_string_append(card->out, "\033[1m");
  if (gap >= 2)
    g_string_append(card->out, name);
  else
    isw_output_append_wrapped(card->out, name, 0, 0, ISW_CARD_COLUMNS);
  if (card->options->bold) g_string_append(card->out, "\033[0m");
  g_string_append_printf(card->out, "%*s%s\n", gap >= 2 ? gap : 0, "", title);
  g_free(name);
  for (int i = 0; i < ISW_CARD_COLUMNS; i++) g_string_append_c(card->out, '=');
  char *lat = coordinate(place->lat_text, place->lat_deg, 'N', 'S');
  char *lon = coordinate(place->lon_text, place->lon_deg, 'E', 'W');
  g_string_append_printf(card->out, "\n%s, %s; seasons of the %s hemisphere\n", lat, lon,
                         place->south ? "southern" : "northern");
  g_free(lat);
  g_free(lon);
  if (card->options->note != NULL)
    isw_output_append_wrapped(card->out, card->options->note, 0, 0, ISW_CARD_COLUMNS);
  if (conditions->warmer_K != 0.0) {
    g_string_append_printf(card->out, "Asked for with every normal %.1f °%c %s\n",
                           shown_difference(card, fabs(conditions->warmer_K)),
                           card->options->fahrenheit ? 'F' : 'C',
                           conditions->warmer_K > 0.0 ? "warmer" : "cooler");
  }
  if (conditions->grown_under != ISW_OPEN_GROUND)
    g_string_append_printf(card->out, "Asked for with the field stages under: %s\n",
                           card->plan->sheet->shelters[conditions->grown_under].name);
}

void isw_output_append_place_card(GString *out, const struct isw_plan *plan,
                                  const struct isw_place *place,
                                  const struct isw_card_options *options) {
  struct card card = {.out = out, .plan = plan, .place = place, .options = options};
  card.n_crops = isw_output_list_crops(plan, place, card.crops);
  append_top(&card);
  append_answer(&card);
  append_table(&card);
  if (card.n_crops > 0) append_calendar(&card);
  append_cautions(&card);
}
