#include "output/place_card.h"

#include "output/card_in_hand.h"
#include "output/text_lines.h"
#include "words/cautions.h"
#include "words/condition_words.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

enum { LABEL_COLUMNS = 10 };

void isw_output_append_card_heading(struct isw_card *card, const char *text) {
  g_string_append_printf(card->out, card->options->bold ? "\n\033[1m%s\033[0m\n" : "\n%s\n", text);
}

void isw_output_append_labelled(struct isw_card *card, const char *label, const char *text) {
  int columns = isw_output_columns(label);
  g_string_append(card->out, label);
  if (columns >= LABEL_COLUMNS) {
    g_string_append_c(card->out, '\n');
    columns = 0;
  }
  g_string_append_printf(card->out, "%*s", LABEL_COLUMNS - columns, "");
  isw_output_append_wrapped(card->out, text, LABEL_COLUMNS, LABEL_COLUMNS, ISW_CARD_COLUMNS);
}

/* A line under a label; frees the text, NULL is none. */
static void append_line(struct isw_card *card, char *text) {
  if (text != NULL) isw_output_append_labelled(card, "", text);
  g_free(text);
}

static const struct isw_season *season_of(const struct isw_card *card, int s) {
  const struct isw_plan *plan = card->about.plan;
  return &plan->sheet->seasons[plan->seasons[s]];
}

char *isw_output_card_seasons(const struct isw_card *card, const struct isw_place_crop *crop) {
  const char *names[ISW_SEASONS_MAX];
  for (int i = 0; i < crop->n_seasons; i++) names[i] = season_of(card, crop->seasons[i])->name;
  char *list = isw_words_list(crop->n_seasons, names);
  char *capital = isw_words_capital(list);
  g_free(list);
  return capital;
}

static void append_pick(struct isw_card *card, const struct isw_place_crop *crop) {
  const struct isw_words_place *about = &card->about;
  const struct isw_plan *plan = about->plan;
  const struct isw_place_result *full = isw_survey_crop_result(plan, about->place, crop);
  const struct isw_programme *programme = isw_survey_crop_programme(plan, crop);
  const char *variety = plan->sheet->varieties[plan->varieties[crop->variety]].title;
  int v = crop->variety, s = crop->season;
  char *seasons = isw_output_card_seasons(card, crop);
  isw_output_append_labelled(card, seasons, variety);
  append_line(card, isw_words_sowing(&full->result));
  if (crop->risky) { /* odds, and no dates to work by */
    append_line(card, isw_words_join(isw_words_quality(about, programme, full),
                                     isw_words_risks(about, v, s)));
    append_line(card, isw_words_opening(about, s));
    g_free(seasons);
    return;
  }
  append_line(card, isw_words_edge(about, v, s));
  append_line(card, isw_words_join(isw_words_start(about, programme, full),
                                   isw_words_growing(&full->result)));
  append_line(card, isw_words_join(isw_words_quality(about, programme, full),
                                   isw_words_risks(about, v, s)));
  for (int i = 0; i < full->n_other_windows; i++)
    if (full->other_windows[i].days >= ISW_PICK_WINDOW_DAYS)
      append_line(card, isw_words_also_good(full->other_windows[i]));
  append_line(card, isw_words_better_type(about, v, s));
  append_line(card, isw_words_wait(about, crop));
  g_free(seasons);
}

static void append_no_pick(struct isw_card *card, int s) {
  char *label = isw_words_capital(season_of(card, s)->name);
  char *text = isw_words_no_pick(&card->about, s);
  isw_output_append_labelled(card, label, text);
  append_line(card, isw_words_opening(&card->about, s));
  g_free(text);
  g_free(label);
}

static void append_assumption(struct isw_card *card) {
  char *spread =
      isw_words_difference(card->about.plan->conditions.spread_K, card->about.fahrenheit);
  char *text = isw_words_say(ISW_SAY_CARD_SPREAD, spread);
  g_string_append_c(card->out, '\n');
  isw_output_append_wrapped(card->out, text, 0, 0, ISW_CARD_COLUMNS);
  g_free(text);
  g_free(spread);
}

static void append_answer(struct isw_card *card) {
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_CARD_WHEN));
  for (int s = 0; s < card->about.plan->n_seasons; s++) {
    bool picked = card->about.place->seasons[s].pick.variety >= 0;
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

static void append_bullet(struct isw_card *card, char *text) {
  g_string_append(card->out, "- ");
  isw_output_append_wrapped(card->out, text, 2, 2, ISW_CARD_COLUMNS);
  g_free(text);
}

void isw_output_append_card_cautions(struct isw_card *card, int n,
                                     const struct isw_plan *const *plans) {
  const char *period = card->about.place->period;
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_CARD_CAUTIONS));
  append_bullet(card, isw_words_join(isw_words_normals(period),
                                     isw_words_old_normals(period, card->options->this_year)));
  GHashTable *said = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  char *caution;
  for (int p = 0; p < n; p++)
    for (int i = 0; (caution = isw_words_caution(plans[p], i)) != NULL; i++)
      if (g_hash_table_add(said, g_strdup(caution)))
        append_bullet(card, caution);
      else
        g_free(caution);
  g_hash_table_destroy(said);
}

static void append_name_and_crop(struct isw_card *card, int n_crops) {
  char *title = n_crops > 1 ? isw_words_count(ISW_SAY_CARD_CROPS, n_crops)
                            : g_strdup(card->about.plan->sheet->title);
  char *name = isw_output_clean_name(card->about.place->name);
  int gap = ISW_CARD_COLUMNS - isw_output_columns(name) - isw_output_columns(title);
  if (card->options->bold) g_string_append(card->out, "\033[1m");
  if (gap >= 2)
    g_string_append(card->out, name);
  else
    isw_output_append_wrapped(card->out, name, 0, 0, ISW_CARD_COLUMNS);
  if (card->options->bold) g_string_append(card->out, "\033[0m");
  g_string_append_printf(card->out, "%*s%s\n", gap >= 2 ? gap : 0, "", title);
  g_free(name);
  g_free(title);
  for (int i = 0; i < ISW_CARD_COLUMNS; i++) g_string_append_c(card->out, '=');
  g_string_append_c(card->out, '\n');
}

void isw_output_append_card_top(struct isw_card *card, int n_crops) {
  const struct isw_place *place = card->about.place;
  append_name_and_crop(card, n_crops);
  char *lat = isw_words_latitude(place->lat_text, place->lat_deg);
  char *lon = isw_words_longitude(place->lon_text, place->lon_deg);
  char *where =
      isw_words_say(place->south ? ISW_SAY_CARD_SOUTHERN : ISW_SAY_CARD_NORTHERN, lat, lon);
  isw_output_append_wrapped(card->out, where, 0, 0, ISW_CARD_COLUMNS);
  g_free(where);
  g_free(lat);
  g_free(lon);
  if (card->options->note != NULL)
    isw_output_append_wrapped(card->out, card->options->note, 0, 0, ISW_CARD_COLUMNS);
  GString *asked = g_string_new(NULL);
  isw_words_append_conditions(asked, card->about.plan, card->about.fahrenheit);
  if (asked->len > 0) {
    char *text = isw_words_say(ISW_SAY_CARD_ASKED, asked->str + 1);
    isw_output_append_wrapped(card->out, text, 0, 0, ISW_CARD_COLUMNS);
    g_free(text);
  }
  g_string_free(asked, TRUE);
}

void isw_output_append_card_no_data(struct isw_card *card) {
  g_string_append_c(card->out, '\n');
  isw_output_append_wrapped(card->out, isw_words_text(ISW_SAY_CARD_NO_DATA), 0, 0,
                            ISW_CARD_COLUMNS);
}

void isw_output_append_place_card(GString *out, const struct isw_plan *plan,
                                  const struct isw_place *place,
                                  const struct isw_card_options *options) {
  struct isw_card card = {
      .out = out, .options = options, .about = {plan, place, options->fahrenheit}};
  card.n_crops = isw_survey_list_crops(plan, place, card.crops);
  isw_output_append_card_top(&card, 1);
  if (place->no_data) {
    isw_output_append_card_no_data(&card);
    return;
  }
  isw_output_append_card_year(&card);
  append_answer(&card);
  isw_output_append_card_record(&card);
  isw_output_append_card_table(&card);
  isw_output_append_card_calendar(&card);
  isw_output_append_card_cautions(&card, 1, &plan);
}
