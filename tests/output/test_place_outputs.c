/* Words, lines and escapes of a place's outputs. */
#include <glib.h>
#include <json-glib/json-glib.h>
#include <math.h>
#include <string.h>

#include "documents/csv_records.h"
#include "output/place_card.h"
#include "output/place_csv.h"
#include "output/place_ics.h"
#include "output/place_json.h"
#include "output/text_lines.h"
#include "science_table.h"
#include "suite_main.h"
#include "survey/place_crops.h"
#include "words/cautions.h"
#include "words/classes.h"
#include "words/place_words.h"

static const char awkward[] = "Öster \"Hög\", by; the \\ mill\nand 東京";

/* docs/site.md: rare (< 5 %), at times (5-20 %), often (> 20 %) */
static const struct {
  double risk;
  const char *frost, *bolting;
} risk_cases[] = {
    {0.0, "rare", "low"},      {0.0494, "rare", "low"},   {0.05, "at times", "some"},
    {0.2, "at times", "some"}, {0.2006, "often", "some"}, {0.3, "often", "some"},
    {0.3006, "often", "high"}, {1.0, "often", "high"},
};

START_TEST(risks_have_the_stated_words) {
  ck_assert_str_eq(isw_words_frost(risk_cases[_i].risk), risk_cases[_i].frost);
  ck_assert_str_eq(isw_words_bolting(risk_cases[_i].risk), risk_cases[_i].bolting);
}
END_TEST

/* docs/outputs.md: poor < 50, weak 50-69, good 70-84, very good 85+; scores as rasters hold them
 */
static const struct {
  int tenths;
  const char *word;
} score_cases[] = {{0, "poor"},   {494, "poor"}, {495, "weak"},      {694, "weak"},
                   {695, "good"}, {844, "good"}, {845, "very good"}, {1000, "very good"}};

START_TEST(scores_have_the_maps_words) {
  ck_assert_str_eq(isw_words_score(score_cases[_i].tenths), score_cases[_i].word);
}
END_TEST

/* RFC 5545, 3.3.11: backslash, semicolon and comma are escaped, a line break is \n; colons and
 * quotes are not. */
static const struct {
  const char *text, *escaped;
} escape_cases[] = {{"a,b;c\\d", "a\\,b\\;c\\\\d"},
                    {"one\ntwo", "one\\ntwo"},
                    {"12:30 \"x\"", "12:30 \"x\""},
                    {"tab\there", "tabhere"},
                    {"", ""}};

START_TEST(ics_texts_are_escaped) {
  char *escaped = isw_output_escape_ics(escape_cases[_i].text);
  ck_assert_str_eq(escaped, escape_cases[_i].escaped);
  g_free(escaped);
}
END_TEST

/* RFC 5545, 3.1: no line above 75 octets without its break; unfolding (CRLF and one blank go) gives
 * the line back. Every length, letters of 1, 2, 3 and 4 octets. */
START_TEST(ics_lines_fold_between_letters) {
  static const char *const letters[] = {"a", "é", "東", "𝄞"};
  for (int length = 0; length < 200; length++) {
    GString *value = g_string_new(NULL), *out = g_string_new(NULL);
    for (int i = 0; i < length; i++) g_string_append(value, letters[(i * 7 + length + _i) % 4]);
    isw_output_append_ics_line(out, "SUMMARY", value->str);
    ck_assert(g_str_has_suffix(out->str, "\r\n"));
    char **lines = g_strsplit(out->str, "\r\n", -1);
    GString *unfolded = g_string_new(lines[0]);
    for (char **line = lines; *line != NULL; line++) {
      ck_assert_uint_le(strlen(*line), 75);
      ck_assert(g_utf8_validate(*line, -1, NULL));
      if (line == lines || line[1] == NULL) continue;
      ck_assert_int_eq((*line)[0], ' ');
      g_string_append(unfolded, *line + 1);
    }
    ck_assert(g_str_has_prefix(unfolded->str, "SUMMARY:"));
    ck_assert_str_eq(unfolded->str + strlen("SUMMARY:"), value->str);
    g_strfreev(lines);
    g_string_free(unfolded, TRUE);
    g_string_free(value, TRUE);
    g_string_free(out, TRUE);
  }
}
END_TEST

static const struct {
  const char *period;
  int end;
} period_cases[] = {{"1991-2020", 2020}, {"1970–2000", 2000}, {"normals of 1961 to 1990", 1990},
                    {"2020", 2020},      {"recent", 0},       {NULL, 0},
                    {"12345", 0}};

START_TEST(periods_end_in_their_last_year) {
  ck_assert_int_eq(isw_words_period_end(period_cases[_i].period), period_cases[_i].end);
}
END_TEST

struct answered {
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  struct isw_place *place;
  struct isw_site site;
};

static struct answered answer(const char *sheet_name, const char *sheet_text, const char *station,
                              bool south) {
  struct answered a;
  struct isw_error error;
  enum isw_status status = sheet_text == NULL ? isw_crop_load_sheet(sheet_name, &a.sheet, &error)
                                              : isw_crop_parse_sheet(sheet_text, strlen(sheet_text),
                                                                     sheet_name, &a.sheet, &error);
  ck_assert_msg(status == ISW_OK, "%s", status == ISW_OK ? "" : error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  a.plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(a.sheet, &conditions, 0, NULL, 0, NULL, a.plan);
  enum { NUMBERS = 25 };
  struct science_row row = {.text = ""};
  for (int i = 0; strcmp(row.text, station) != 0; i++)
    science_table_row("station_normals.txt", NUMBERS, i, &row);
  a.site = (struct isw_site){.name = awkward,
                             .lat_text = "+022.280",
                             .lon_text = "114.17",
                             .lat_deg = 22.28,
                             .lon_deg = 114.17,
                             .south = south,
                             .period = "1970-2000"};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    a.site.normals.tmin_C[m] = row.number[1 + m];
    a.site.normals.tmax_C[m] = row.number[1 + ISW_YEAR_MONTHS + m];
  }
  a.place = isw_survey_new_place(a.plan, &a.site);
  return a;
}

static void forget(struct answered *a) {
  isw_survey_free_place(a->place);
  g_free(a->plan);
  isw_crop_free_sheet(a->sheet);
}

/* RFC 4180 through the reader of station tables. */
START_TEST(csv_names_survive) {
  struct answered a = answer("napa-cabbage", NULL, "Beijing", false);
  struct isw_result *results = g_new0(struct isw_result, (gsize)a.place->n_results);
  for (int r = 0; r < a.place->n_results; r++) results[r] = a.place->results[r].result;
  GString *out = g_string_new(NULL);
  isw_output_append_place_header(out, false, false);
  isw_output_append_place_rows(out, a.plan, &a.site, results, false);
  ck_assert_ptr_null(strchr(out->str, '\r'));
  struct isw_csv_reader reader = isw_documents_start_csv("test", out->str, out->len);
  GPtrArray *fields = g_ptr_array_new_with_free_func(g_free);
  struct isw_error error;
  int line, rows = 0;
  bool more;
  while (isw_documents_next_record(&reader, fields, &line, &more, &error) == ISW_OK && more) {
    ck_assert_uint_eq(fields->len, 20);
    if (rows++ == 0) continue;
    ck_assert_str_eq(g_ptr_array_index(fields, 0), awkward);
    ck_assert_str_eq(g_ptr_array_index(fields, 1), "+022.280"); /* as given */
  }
  ck_assert_int_eq(rows, 1 + a.place->n_results);
  g_ptr_array_free(fields, TRUE);
  g_string_free(out, TRUE);
  g_free(results);
  forget(&a);
}
END_TEST

/* Through json-glib's parser, which did not write the numbers. */
START_TEST(json_says_what_the_place_holds) {
  struct answered a = answer("napa-cabbage", NULL, "Beijing", false);
  GString *out = g_string_new(NULL);
  isw_output_append_json_start(out, a.plan);
  isw_output_append_json_place(out, a.plan, a.place, _i == 1, true);
  isw_output_append_json_place(out, a.plan, a.place, _i == 1, false);
  isw_output_append_json_end(out);
  JsonParser *parser = json_parser_new();
  GError *failure = NULL;
  ck_assert_msg(json_parser_load_from_data(parser, out->str, -1, &failure), "%s", out->str);
  JsonObject *root = json_node_get_object(json_parser_get_root(parser));
  ck_assert_str_eq(json_object_get_string_member(root, "crop"), "napa-cabbage");
  JsonArray *places = json_object_get_array_member(root, "places");
  ck_assert_uint_eq(json_array_get_length(places), 2);
  JsonObject *place = json_array_get_object_element(places, 1);
  ck_assert_str_eq(json_object_get_string_member(place, "name"), awkward);
  ck_assert(fabs(json_object_get_double_member(place, "lat") - 22.28) < 1e-9);
  JsonObject *normals = json_object_get_object_member(place, "normals");
  ck_assert_str_eq(json_object_get_string_member(normals, "unit"), _i == 1 ? "F" : "C");
  double january = json_array_get_double_element(json_object_get_array_member(normals, "tmin"), 0);
  /* -6.9 degC by definition of degF: 1.8 C + 32 */
  ck_assert(fabs(january - (_i == 1 ? 1.8 * -6.9 + 32.0 : -6.9)) < 0.006);
  JsonArray *results = json_object_get_array_member(place, "results");
  ck_assert_uint_eq(json_array_get_length(results), (guint)a.place->n_results);
  for (guint r = 0; r < json_array_get_length(results); r++) {
    JsonObject *result = json_array_get_object_element(results, r);
    const struct isw_place_result *full = &a.place->results[r];
    ck_assert(fabs(json_object_get_double_member(result, "score") * 10.0 -
                   full->result.score_tenths) < 1e-6);
    ck_assert_int_eq(json_object_get_null_member(result, "best_sow"),
                     full->result.best_sow_day < 0);
    ck_assert_int_eq(json_object_get_null_member(result, "sow_from"),
                     full->result.window.days == 0);
    ck_assert_uint_eq(json_array_get_length(json_object_get_array_member(result, "stages")),
                      full->result.best_sow_day < 0 ? 0 : (guint)a.sheet->n_stages);
    ck_assert_int_eq(json_object_get_int_member(result, "years"), full->result.years);
    ck_assert_int_eq(json_object_get_int_member(result, "edge"), full->result.edge);
    ck_assert_int_eq(json_object_get_null_member(result, "cut_from"),
                     full->result.window.days == 0);
    ck_assert_uint_eq(json_array_get_length(json_object_get_array_member(result, "other_windows")),
                      (guint)full->n_other_windows);
  }
  JsonArray *picks = json_object_get_array_member(place, "picks");
  ck_assert_uint_eq(json_array_get_length(picks), (guint)a.place->n_seasons);
  for (guint s = 0; s < json_array_get_length(picks); s++) {
    JsonObject *pick = json_array_get_object_element(picks, s);
    const struct isw_span *span = &a.place->seasons[s].span;
    ck_assert_int_eq(json_object_get_null_member(pick, "span"), span->days.days == 0);
    if (span->days.days == 0) continue;
    JsonObject *told = json_object_get_object_member(pick, "span");
    JsonArray *types = json_object_get_array_member(told, "types");
    char date[ISW_DATE_SIZE];
    ck_assert_uint_eq(json_array_get_length(types), (guint)span->n_runs);
    ck_assert_str_eq(json_object_get_string_member(told, "sow_to"),
                     isw_base_format_month_day(span->days.to_day, date));
    JsonObject *last = json_array_get_object_element(types, (guint)span->n_runs - 1);
    ck_assert_str_eq(json_object_get_string_member(last, "to"),
                     isw_base_format_month_day(span->days.to_day, date));
  }
  g_object_unref(parser);
  g_string_free(out, TRUE);
  forget(&a);
}
END_TEST

/* Another crop, other stages, direct sowing only: nothing in a card is about one sheet. */
static const char plain_sheet[] =
    "crop: made-up-root\ntitle: Made-up root\nunit: C\n"
    "stages:\n"
    "  - {stage: sprouting, days: 10, band: [2, 15, 25, 35], dies_below: -2}\n"
    "  - {stage: thickening, days: 50, band: [2, 15, 20, 30], dies_below: -4}\n"
    "seasons:\n"
    "  - {season: whole-year, sow: [01-01, 12-31], start: direct}\n"
    "varieties:\n"
    "  - {variety: only}\n"
    "tasks:\n"
    "  - {at: sowing, day: 0, do: \"Sow thinly\"}\n"
    "  - {at: harvest, day: 0, do: \"Pull the roots\"}\n";

static const struct {
  const char *station;
  bool own_sheet, south, fahrenheit;
} card_cases[] = {{"Beijing", false, false, false},    {"Hong-Kong", false, false, true},
                  {"Des-Moines", false, false, false}, {"Orlando", false, false, false},
                  {"Orlando", false, true, false},     {"Beijing", true, false, false},
                  {"Hong-Kong", true, true, true}};

static struct answered card_answer(int i) {
  return answer(card_cases[i].own_sheet ? "made-up" : "napa-cabbage",
                card_cases[i].own_sheet ? plain_sheet : NULL, card_cases[i].station,
                card_cases[i].south);
}

static GString *card_of(const struct answered *a, const struct isw_card_options *options) {
  GString *out = g_string_new(NULL);
  isw_output_append_place_card(out, a->plan, a->place, options);
  return out;
}

START_TEST(cards_have_80_columns_and_no_escapes) {
  struct answered a = card_answer(_i);
  struct isw_card_options options = {.fahrenheit = card_cases[_i].fahrenheit, .this_year = 2026};
  GString *card = card_of(&a, &options);
  ck_assert(g_utf8_validate(card->str, -1, NULL));
  ck_assert_ptr_null(strchr(card->str, '\033'));
  ck_assert_ptr_nonnull(strstr(card->str, "not a forecast"));
  ck_assert_ptr_nonnull(strstr(card->str, "WHAT TO SOW WHEN"));
  ck_assert_ptr_null(strstr(card->str, card_cases[_i].fahrenheit ? "°C" : "°F"));
  char **lines = g_strsplit(card->str, "\n", -1);
  for (char **line = lines; *line != NULL; line++) {
    ck_assert_msg(isw_output_columns(*line) <= ISW_CARD_COLUMNS, "%s", *line);
    ck_assert_msg(!g_str_has_suffix(*line, " "), "\"%s\"", *line);
  }
  g_strfreev(lines);
  g_string_free(card, TRUE);
  forget(&a);
}
END_TEST

/* What a crop calls things comes from its sheet, and a season's name means nothing. */
static const struct {
  const char *season, *says, *said, *not_said;
} word_cases[] = {
    {"season: spring", "", "the thickening stage passes in", "does not wait"},
    {"season: spring, cut_at_once: true", "", "Cut as soon as ready: this crop does not wait.",
     "with the heat"},
    {"season: glut, cut_at_once: true", "", "this crop does not wait", "with the heat"},
    {"season: spring", ", says: {warm: roots split, cold: roots stay thin}",
     "the weak point: roots ", "stage passes"},
};

START_TEST(a_card_has_the_crops_own_words) {
  char *sheet = g_strdup_printf(
      "crop: made-up-root\ntitle: Made-up root\nunit: C\n"
      "stages:\n"
      "  - {stage: thickening, days: 60, band: [2, 15, 20, 30], dies_below: -4%s}\n"
      "seasons:\n"
      "  - {%s, sow: [08-01, 10-31], start: direct}\n"
      "varieties:\n"
      "  - {variety: only}\n",
      word_cases[_i].says, word_cases[_i].season);
  struct answered a = answer("made-up", sheet, "Beijing", false);
  /* A limit for certain, whatever the best day's is. */
  a.place->results[0].result.limit = 2;
  struct isw_card_options options = {.this_year = 2026};
  GString *card = card_of(&a, &options);
  ck_assert_msg(strstr(card->str, word_cases[_i].said) != NULL, "%s", card->str);
  ck_assert_msg(strstr(card->str, word_cases[_i].not_said) == NULL, "%s", card->str);
  ck_assert_ptr_null(strstr(card->str, "head"));
  ck_assert_ptr_null(strstr(card->str, "bolt"));
  g_string_free(card, TRUE);
  forget(&a);
  g_free(sheet);
}
END_TEST

/* Older than 20 years: said. */
static const struct {
  int this_year;
  bool old;
} age_cases[] = {{2000, false}, {2020, false}, {2021, true}, {2060, true}};

START_TEST(old_normals_are_called_old) {
  struct answered a = answer("napa-cabbage", NULL, "Beijing", false);
  struct isw_card_options options = {.this_year = age_cases[_i].this_year};
  GString *card = card_of(&a, &options);
  ck_assert_ptr_nonnull(strstr(card->str, "1970-2000"));
  ck_assert_int_eq(strstr(card->str, "more than 20 years ago") != NULL, age_cases[_i].old);
  g_string_free(card, TRUE);
  forget(&a);
}
END_TEST

/* Raw manure: 120 days before the earliest cut of the window (7 CFR 205.203(c)(1), from memory),
 * and never after the first sowing. */
START_TEST(manure_is_in_120_days_before_the_first_cut) {
  struct answered a = card_answer(_i);
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  struct isw_place_event events[ISW_PLACE_EVENTS_MAX];
  int count = isw_survey_list_crops(a.plan, a.place, crops);
  for (int c = 0; c < count; c++) {
    const struct isw_place_result *full = isw_survey_crop_result(a.plan, a.place, &crops[c]);
    const struct isw_result *r = &full->result;
    int manure = 0, n_events = isw_survey_list_events(a.plan, a.place, &crops[c], events);
    for (int i = 0; i < n_events; i++) {
      if (i > 0) ck_assert_int_le(events[i - 1].after, events[i].after);
      if (events[i].kind != ISW_EVENT_MANURE) continue;
      manure++;
      if (r->window.days == 0 || r->window.days == ISW_YEAR_DAYS) continue;
      /* All as days after the window's first day. */
      int first_sowing_to_best = isw_base_days_forward(r->window.from_day, r->best_sow_day);
      int day = first_sowing_to_best + events[i].after;
      ck_assert_int_lt(day, 0);
      for (int sown = 0; sown < r->window.days; sown++) {
        int grown = a.place->scores[a.plan->programme_of[crops[c].variety][crops[c].season]]
                        .growing_days[isw_base_wrap_day(r->window.from_day + sown)];
        ck_assert_int_ge(sown + grown - day, ISW_MANURE_DAYS);
      }
    }
    ck_assert_int_eq(manure, r->window.days < ISW_YEAR_DAYS); /* else the rule, and no date */
  }
  forget(&a);
}
END_TEST

static char *calendar_text(const struct answered *a) {
  GString *out = g_string_new(NULL);
  isw_output_append_ics_place(out, a->plan, a->place, 0, false);
  char **unfolded = g_strsplit(out->str, "\r\n ", -1);
  char *text = g_strjoinv("", unfolded);
  g_strfreev(unfolded);
  g_string_free(out, TRUE);
  return text;
}

/* The card's lines as one, so that a sentence is found wherever it was broken. */
static char *card_text(const struct answered *a) {
  struct isw_card_options options = {.this_year = 2026};
  GString *card = card_of(a, &options);
  char **words = g_regex_split_simple("\\s+", card->str, 0, 0);
  char *text = g_strjoinv(" ", words);
  g_strfreev(words);
  g_string_free(card, TRUE);
  return text;
}

/* Counted from an average year's cut: the card and the file say that a warm year needs more room,
 * beside each date and with the rule. The nursery is to be aired, and heaters bring fire and fumes
 * (common practice, no source). */
START_TEST(cautions_stand_in_card_and_calendar) {
  struct answered a = answer("napa-cabbage", NULL, "Beijing", false);
  char *card = card_text(&a), *calendar = calendar_text(&a);
  ck_assert_ptr_nonnull(strstr(card, "Last day to have raw manure worked in, 120 days before"));
  ck_assert_ptr_nonnull(strstr(card, "in a warm year the crop is earlier, so leave more room"));
  ck_assert_ptr_nonnull(strstr(card, "air them every day. Heaters bring fire and fumes"));
  ck_assert_ptr_nonnull(strstr(calendar, "SUMMARY:Last day for raw manure"));
  ck_assert_ptr_nonnull(
      strstr(calendar, "in a warm year the cut is earlier\\, so leave more room"));
  g_free(card);
  g_free(calendar);
  forget(&a);
}
END_TEST

/* Whoever may sow on any day has no last day for raw manure, but has the rule. */
START_TEST(a_window_of_the_whole_year_has_the_rule_for_manure) {
  struct answered a = answer("made-up", plain_sheet, "Beijing", false);
  struct isw_result *r = &a.place->results[0].result;
  r->window = (struct isw_window){0, ISW_YEAR_DAYS - 1, ISW_YEAR_DAYS};
  r->best_sow_day = 100;
  a.place->seasons[0].pick = (struct isw_pick){a.plan->varieties[0], false};
  char *card = card_text(&a), *calendar = calendar_text(&a);
  ck_assert_ptr_null(strstr(card, "Last day to have raw manure"));
  ck_assert_ptr_null(strstr(calendar, "Last day for raw manure"));
  ck_assert_ptr_nonnull(strstr(card, "Raw manure: worked in no later than 120 days before"));
  ck_assert_ptr_nonnull(strstr(calendar, "Raw manure: worked in no later than 120 days before"));
  g_free(card);
  g_free(calendar);
  forget(&a);
}
END_TEST

/* A calendar's titles are clauses of the sheet's tasks: none loses a number's end. */
START_TEST(calendar_titles_keep_their_numbers) {
  struct answered a = answer("napa-cabbage", NULL, "Beijing", false);
  char **task = &a.sheet->tasks[0].text;
  g_free(*task);
  *task = g_strdup("Warm seed to 0.5-2.5 degC (32.9-36.5 degF). Then wait.");
  char *text = calendar_text(&a);
  ck_assert_ptr_nonnull(strstr(text, "SUMMARY:Warm seed to 0.5-2.5 degC (32.9-36.5 degF): "));
  g_free(text);
  forget(&a);
}
END_TEST

/* What is risky has odds and no dates to work by: no lines of a calendar, in the card or the file.
 */
START_TEST(a_risky_pick_has_no_calendar) {
  struct answered a = answer("napa-cabbage", NULL, "Beijing", false);
  struct isw_card_options options = {.this_year = 2026};
  for (int s = 0; s < a.plan->n_seasons; s++) {
    a.place->seasons[s].pick = (struct isw_pick){a.plan->varieties[0], true};
    struct isw_result *r = &a.place->results[isw_growth_result_index(a.plan, 0, s)].result;
    r->window = (struct isw_window){-1, -1, 0};
    r->best_sow_day = 200 + s;
    r->years = 4;
  }
  GString *card = card_of(&a, &options), *calendar = g_string_new(NULL);
  isw_output_append_ics_place(calendar, a.plan, a.place, 0, false);
  ck_assert_ptr_nonnull(strstr(card->str, "Risky: no window."));
  ck_assert_ptr_nonnull(strstr(card->str, "Good in 4 of"));
  ck_assert_ptr_null(strstr(card->str, "CALENDAR"));
  ck_assert_ptr_null(strstr(card->str, "Transplant"));
  ck_assert_ptr_null(strstr(calendar->str, "VEVENT"));
  ck_assert_ptr_nonnull(strstr(calendar->str, "nothing to sow in any season"));
  g_string_free(card, TRUE);
  g_string_free(calendar, TRUE);
  forget(&a);
}
END_TEST

/* A season is told once, alone or with those that share its pick and window. */
START_TEST(each_picked_season_is_told_once) {
  struct answered a = card_answer(_i);
  struct isw_place_crop crops[ISW_SEASONS_MAX];
  int told[ISW_SEASONS_MAX] = {0}, count = isw_survey_list_crops(a.plan, a.place, crops);
  for (int c = 0; c < count; c++)
    for (int i = 0; i < crops[c].n_seasons; i++) told[crops[c].seasons[i]]++;
  for (int s = 0; s < a.plan->n_seasons; s++)
    ck_assert_int_eq(told[s], a.place->seasons[s].pick.variety >= 0);
  forget(&a);
}
END_TEST

/* Words for limits come out for every code any sheet can have. */
START_TEST(every_limit_has_words) {
  struct answered a = card_answer(_i);
  struct isw_place_result result = a.place->results[0];
  for (int limit = 0; limit <= ISW_LIMIT_NEVER_MATURES; limit++) {
    if (limit > 2 * a.sheet->n_stages && limit < ISW_LIMIT_FROST) continue;
    result.result.limit = limit;
    struct isw_words_place about = {a.plan, a.place, false};
    char *words = isw_words_limit(&about, &a.plan->programmes[0], &result);
    ck_assert_int_eq(words[0] == '\0', limit == ISW_LIMIT_NOTHING);
    if (limit > 0 && limit <= 2 * a.sheet->n_stages)
      ck_assert_ptr_nonnull(strstr(words, limit % 2 == 1 ? "the cold" : "too much heat"));
    g_free(words);
  }
  forget(&a);
}
END_TEST

Suite *isw_test_suite(void) {
#define COUNT(table) (int)(sizeof table / sizeof table[0])
  Suite *suite = suite_create("place outputs");
  TCase *core = tcase_create("place outputs");
  tcase_set_timeout(core, 60);
  tcase_add_loop_test(core, risks_have_the_stated_words, 0, COUNT(risk_cases));
  tcase_add_loop_test(core, scores_have_the_maps_words, 0, COUNT(score_cases));
  tcase_add_loop_test(core, ics_texts_are_escaped, 0, COUNT(escape_cases));
  tcase_add_loop_test(core, ics_lines_fold_between_letters, 0, 4);
  tcase_add_loop_test(core, periods_end_in_their_last_year, 0, COUNT(period_cases));
  tcase_add_test(core, csv_names_survive);
  tcase_add_loop_test(core, json_says_what_the_place_holds, 0, 2);
  tcase_add_loop_test(core, cards_have_80_columns_and_no_escapes, 0, COUNT(card_cases));
  tcase_add_loop_test(core, a_card_has_the_crops_own_words, 0, COUNT(word_cases));
  tcase_add_loop_test(core, old_normals_are_called_old, 0, COUNT(age_cases));
  tcase_add_loop_test(core, manure_is_in_120_days_before_the_first_cut, 0, COUNT(card_cases));
  tcase_add_test(core, calendar_titles_keep_their_numbers);
  tcase_add_test(core, cautions_stand_in_card_and_calendar);
  tcase_add_test(core, a_window_of_the_whole_year_has_the_rule_for_manure);
  tcase_add_test(core, a_risky_pick_has_no_calendar);
  tcase_add_loop_test(core, each_picked_season_is_told_once, 0, COUNT(card_cases));
  tcase_add_loop_test(core, every_limit_has_words, 0, COUNT(card_cases));
  suite_add_tcase(suite, core);
  return suite;
}
