#include "guide/edition.h"

#include <string.h>

#include "documents/csv_table.h"
#include "documents/text_file.h"
#include "guide/guide_words.h"
#include "output/json_text.h"
#include "output/table_row.h"
#include "output/text_result.h"
#include "words/cautions.h"
#include "words/date_words.h"
#include "words/say.h"

enum { RECORD_BYTES_MAX = 64 << 20 };
enum column { DISTRICT, VARIETY, SEASON, BEST, PICK, NEEDED };
static const char *const needed[NEEDED] = {"district", "variety", "season", "best_sow_median",
                                           "pick"};
static const char band_column[] = "band_from_m", crop_column[] = "crop", risky_end[] = " (risky)";

struct row {
  char *crop; /* NULL: the edition's only one */
  char *district, *variety, *season, *pick, *band;
  int best_day;
};

struct isw_edition {
  const char *name;
  int columns[NEEDED], band, crop; /* band, crop -1: an edition without */
  GPtrArray *rows;                 /* struct row */
  char *period;
  char *only_crop; /* NULL: not known, or there are several */
};

static void free_row(gpointer data) {
  struct row *row = data;
  g_free(row->crop);
  g_free(row->district);
  g_free(row->variety);
  g_free(row->season);
  g_free(row->pick);
  g_free(row->band);
  g_free(row);
}

static enum isw_status take_header(void *into, const GPtrArray *fields, int line,
                                   struct isw_error *error) {
  struct isw_edition *edition = into;
  edition->band = edition->crop = -1;
  for (guint i = 0; i < fields->len; i++) {
    if (strcmp(fields->pdata[i], band_column) == 0) edition->band = (int)i;
    if (strcmp(fields->pdata[i], crop_column) == 0) edition->crop = (int)i;
  }
  return isw_documents_find_all_columns(edition->name, fields, line, NEEDED, needed,
                                        edition->columns, error);
}

/* A name as it was before districts.csv put an apostrophe in front (csv_field.h). */
static char *plain_name(const char *field) {
  bool guarded = field[0] == '\'' && field[1] != '\0' && strchr("=+-@\t\r", field[1]) != NULL;
  return g_strdup(guarded ? field + 1 : field);
}

static enum isw_status take_row(void *into, const GPtrArray *fields, int line,
                                struct isw_error *error) {
  struct isw_edition *edition = into;
  const char *texts[NEEDED];
  for (int i = 0; i < NEEDED; i++) texts[i] = fields->pdata[edition->columns[i]];
  int day = isw_base_parse_month_day(texts[BEST]);
  if (day < 0 && texts[BEST][0] != '\0')
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: best_sow_median '%.20s' is no MM-DD",
                         edition->name, line, texts[BEST]);
  struct row *row = g_new0(struct row, 1);
  row->crop = edition->crop >= 0 ? g_strdup(fields->pdata[edition->crop]) : NULL;
  row->district = plain_name(texts[DISTRICT]);
  row->variety = g_strdup(texts[VARIETY]);
  row->season = g_strdup(texts[SEASON]);
  row->pick = g_strdup(texts[PICK]);
  row->band = g_strdup(edition->band >= 0 ? fields->pdata[edition->band] : "");
  row->best_day = day;
  g_ptr_array_add(edition->rows, row);
  return ISW_OK;
}

/* A member's text; NULL: none. New. */
static char *text_member(JsonObject *object, const char *name) {
  JsonNode *node = object != NULL ? json_object_get_member(object, name) : NULL;
  return node != NULL && JSON_NODE_HOLDS_VALUE(node) &&
                 json_node_get_value_type(node) == G_TYPE_STRING
             ? g_strdup(json_node_get_string(node))
             : NULL;
}

/* Period and only crop stay NULL where they are not stated, or no record can be read. */
static void read_record(const char *folder, struct isw_edition *edition) {
  char *path = g_build_filename(folder, "run.json", NULL), *text = NULL;
  size_t size = 0;
  struct isw_error ignored;
  if (isw_documents_read_file(path, RECORD_BYTES_MAX, &text, &size, &ignored) == ISW_OK) {
    JsonObject *record = isw_output_parse_json(text, size);
    edition->period = text_member(record, "period");
    JsonNode *sheet = record != NULL ? json_object_get_member(record, "sheet") : NULL;
    if (sheet != NULL && JSON_NODE_HOLDS_OBJECT(sheet))
      edition->only_crop = text_member(json_node_get_object(sheet), "crop");
    if (record != NULL) json_object_unref(record);
  }
  g_free(text);
  g_free(path);
}

enum isw_status isw_guide_read_edition(const char *folder, struct isw_edition **out,
                                       struct isw_error *error) {
  struct isw_edition *edition = g_new0(struct isw_edition, 1);
  edition->rows = g_ptr_array_new_with_free_func(free_row);
  char *path = g_build_filename(folder, "districts.csv", NULL), *text = NULL;
  size_t length = 0;
  edition->name = path;
  enum isw_status status = isw_documents_load_table(path, &text, &length, error);
  if (status == ISW_OK)
    status = isw_documents_read_table(path, text, length, take_header, take_row, edition, error);
  if (status != ISW_OK) isw_base_prefix_error(error, "‹since› %s: ", folder);
  if (status == ISW_OK) read_record(folder, edition);
  edition->name = NULL;
  g_free(text);
  g_free(path);
  if (status == ISW_OK)
    *out = edition;
  else
    isw_guide_free_edition(edition);
  return status;
}

void isw_guide_free_edition(struct isw_edition *edition) {
  if (edition == NULL) return;
  g_ptr_array_unref(edition->rows);
  g_free(edition->period);
  g_free(edition->only_crop);
  g_free(edition);
}

/* ---- what moved ---- */

/* Of an edition that does not say of which crop it is, every row may be meant. */
static bool is_of_crop(const struct isw_edition *edition, const struct row *row, const char *crop) {
  const char *its = row->crop != NULL ? row->crop : edition->only_crop;
  return its == NULL || strcmp(its, crop) == 0;
}

static const struct row *find_row(const struct isw_edition *edition, const char *crop,
                                  const char *district, const char *band, const char *variety,
                                  const char *season) {
  for (guint i = 0; i < edition->rows->len; i++) {
    const struct row *row = edition->rows->pdata[i];
    if (is_of_crop(edition, row, crop) && strcmp(row->district, district) == 0 &&
        strcmp(row->band, band) == 0 && strcmp(row->season, season) == 0 &&
        (variety == NULL || strcmp(row->variety, variety) == 0))
      return row;
  }
  return NULL;
}

/* The variety of "standard (risky)"; NULL: none. New. */
static char *picked(const char *pick) {
  if (pick[0] == '\0' || strcmp(pick, "none") == 0) return NULL;
  size_t length = strlen(pick) - (g_str_has_suffix(pick, risky_end) ? strlen(risky_end) : 0);
  return g_strndup(pick, length);
}

static bool find_move(const struct isw_edition *edition, const struct isw_guide_facts *facts,
                      struct isw_move *move) {
  const struct isw_plan *plan = facts->plan;
  const struct isw_guide_area *area = &facts->areas->items[move->area];
  const char *season = plan->sheet->seasons[plan->seasons[move->s]].name;
  const char *district = isw_regions_district_name(facts->districts, area->district);
  char band[32] = "";
  if (area->band != ISW_NO_BAND) g_snprintf(band, sizeof band, "%.0f", area->from_m);
  const struct row *any = find_row(edition, plan->sheet->crop, district, band, NULL, season);
  if (any == NULL) return false;
  char *old_pick = picked(any->pick);
  const struct row *old =
      old_pick != NULL ? find_row(edition, plan->sheet->crop, district, band, old_pick, season)
                       : NULL;
  move->old_pick = old != NULL ? old->variety : NULL;
  move->old_best_day = old != NULL ? old->best_day : -1;
  struct isw_table_pick pick = isw_guide_read_pick(facts->table, 1 + move->area, move->s);
  int v = isw_guide_chosen_variety(plan, pick.variety);
  move->new_best_day = -1;
  if (v >= 0) {
    struct isw_table_row row;
    isw_guide_read_row(facts->table, 1 + move->area, v, move->s, &row);
    move->new_pick = plan->sheet->varieties[pick.variety].name;
    if (row.has_dates) move->new_best_day = row.day[ISW_TABLE_BEST_SOW][1];
  }
  move->same_type = g_strcmp0(move->old_pick, move->new_pick) == 0;
  if (move->old_best_day >= 0 && move->new_best_day >= 0) {
    int forward = isw_base_days_forward(move->old_best_day, move->new_best_day);
    move->days_later = forward > ISW_HALF_YEAR_DAYS ? forward - ISW_YEAR_DAYS : forward;
  }
  g_free(old_pick);
  return true;
}

GArray *isw_guide_find_moves(const struct isw_edition *edition, const struct isw_guide_facts *facts,
                             int *n_unknown) {
  GArray *moves = g_array_new(FALSE, FALSE, sizeof(struct isw_move));
  *n_unknown = 0;
  for (int a = 0; a < facts->areas->n; a++) {
    bool known = true;
    for (int s = 0; s < facts->plan->n_seasons && known; s++) {
      struct isw_move move = {.area = a, .s = s};
      known = find_move(edition, facts, &move);
      if (known && (!move.same_type || move.old_best_day != move.new_best_day))
        g_array_append_val(moves, move);
    }
    *n_unknown += !known;
  }
  return moves;
}

/* ---- said and written ---- */

static const char *title_of(const struct isw_guide_facts *facts, const char *variety) {
  int v = variety != NULL ? isw_crop_find_variety(facts->plan->sheet, variety) : -1;
  if (v >= 0) return facts->plan->sheet->varieties[v].title;
  return variety != NULL ? variety : isw_words_text(ISW_SAY_GUIDE_NO_PICK);
}

static char *type_on_day(const struct isw_guide_facts *facts, const char *variety, int day) {
  char date[ISW_DATE_SIZE];
  if (day < 0) return g_strdup(title_of(facts, variety));
  return isw_words_say(ISW_SAY_GUIDE_TYPE_DATES, title_of(facts, variety),
                       isw_words_short_date(day, date));
}

char *isw_guide_move_words(const struct isw_guide_facts *facts, const struct isw_move *move) {
  const struct isw_plan *plan = facts->plan;
  const char *area = facts->areas->items[move->area].name;
  const char *season = plan->sheet->seasons[plan->seasons[move->s]].title;
  if (move->same_type && move->old_best_day >= 0 && move->new_best_day >= 0) {
    char then[ISW_DATE_SIZE], now[ISW_DATE_SIZE];
    isw_words_short_date(move->old_best_day, then);
    isw_words_short_date(move->new_best_day, now);
    return move->days_later > 0 ? isw_words_count_with(ISW_SAY_GUIDE_MOVED_LATER, move->days_later,
                                                       area, season, now, then)
                                : isw_words_count_with(ISW_SAY_GUIDE_MOVED_EARLIER,
                                                       -move->days_later, area, season, now, then);
  }
  char *then = type_on_day(facts, move->old_pick, move->old_best_day);
  char *now = type_on_day(facts, move->new_pick, move->new_best_day);
  char *text = isw_words_say(ISW_SAY_GUIDE_CHANGED, area, season, now, then);
  g_free(then);
  g_free(now);
  return text;
}

char *isw_guide_edition_words(const struct isw_edition *edition, int n_moves) {
  char *period = isw_words_normals(edition->period);
  char *text =
      isw_words_say(n_moves > 0 ? ISW_SAY_GUIDE_SINCE : ISW_SAY_GUIDE_SINCE_NOTHING, period);
  g_free(period);
  return text;
}

static const struct isw_column columns[] = {
    {"crop", ISW_COLUMN_TEXT}, /* of several only */
    {"district", ISW_COLUMN_NAME},     {"band_from_m", ISW_COLUMN_NUMBER},
    {"season", ISW_COLUMN_TEXT},       {"old_pick", ISW_COLUMN_TEXT},
    {"new_pick", ISW_COLUMN_TEXT},     {"old_best_sow", ISW_COLUMN_TEXT},
    {"new_best_sow", ISW_COLUMN_TEXT}, {"days_later", ISW_COLUMN_WHOLE}};

static void add_day(GPtrArray *row, int day) {
  char date[ISW_DATE_SIZE];
  isw_output_add_cell(row, "%s", day >= 0 ? isw_base_format_month_day(day, date) : "");
}

static GPtrArray *make_row(const struct isw_guide_facts *facts, const struct isw_move *move,
                           bool crop) {
  const struct isw_plan *plan = facts->plan;
  const struct isw_guide_area *area = &facts->areas->items[move->area];
  GPtrArray *row = isw_output_new_row();
  if (crop) isw_output_add_cell(row, "%s", plan->sheet->crop);
  isw_output_add_cell(row, "%s", isw_regions_district_name(facts->districts, area->district));
  if (area->band != ISW_NO_BAND)
    isw_output_add_cell(row, "%.0f", area->from_m);
  else
    isw_output_add_empty_cells(row, 1);
  isw_output_add_cell(row, "%s", plan->sheet->seasons[plan->seasons[move->s]].name);
  isw_output_add_cell(row, "%s", move->old_pick != NULL ? move->old_pick : "none");
  isw_output_add_cell(row, "%s", move->new_pick != NULL ? move->new_pick : "none");
  add_day(row, move->old_best_day);
  add_day(row, move->new_best_day);
  if (move->old_best_day >= 0 && move->new_best_day >= 0)
    isw_output_add_cell(row, "%d", move->days_later);
  else
    isw_output_add_empty_cells(row, 1);
  return row;
}

enum isw_status isw_guide_write_moves(int n, const struct isw_guide_facts *crops, const char *path,
                                      struct isw_error *error) {
  const struct isw_column *shown = n > 1 ? columns : columns + 1;
  GString *text = g_string_new(NULL);
  isw_output_append_csv_columns(text, (int)G_N_ELEMENTS(columns) - (n > 1 ? 0 : 1), shown);
  g_string_append_c(text, '\n');
  for (int c = 0; c < n; c++)
    for (guint i = 0; i < crops[c].moves->len; i++) {
      GPtrArray *row =
          make_row(&crops[c], &g_array_index(crops[c].moves, struct isw_move, i), n > 1);
      isw_output_append_csv_cells(text, shown, row);
      g_string_append_c(text, '\n');
      g_ptr_array_unref(row);
    }
  return isw_output_write_text(text, path, error);
}
