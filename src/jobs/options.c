#include "jobs/options.h"

#include <math.h>
#include <string.h>

#include "base/dates.h"
#include "growth/plan.h"

enum { MEMORY_DEFAULT_MB = 160 };
enum { LEAST_DEFAULT_PERCENT = 80 }; /* WMO-No. 1203 (2017) */
enum { APRIL = 3, OCTOBER = 9 };     /* the months that facts about year spread are averaged over */
static const double dpi_default = 300.0;
static const double a4_long_mm = 297.0, a4_short_mm = 210.0;
static const double letter_long_mm = 279.4, letter_short_mm = 215.9;
static const double page_least_mm = 90.0, page_most_mm = 1200.0;

const char *isw_jobs_command_name(enum isw_command command) {
  switch (command) {
    case ISW_COMMAND_MAP: return "map";
    case ISW_COMMAND_SITE: return "site";
    case ISW_COMMAND_COMPARE: return "compare";
    case ISW_COMMAND_GUIDE: return "guide";
    case ISW_COMMAND_INSPECT: return "inspect";
    case ISW_COMMAND_PARTS: return "parts";
    case ISW_COMMAND_JOIN: return "join";
    case ISW_COMMAND_CROP: return "crop";
    case ISW_COMMAND_NORMALS: return "normals";
  }
  return "";
}

const struct isw_option *isw_jobs_find_option(const char *name, unsigned command) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++)
    if ((table[i].commands & command) != 0 && strcmp(table[i].name, name) == 0) return &table[i];
  return NULL;
}

const char *isw_jobs_option_argument(const struct isw_option *option) {
  return option->argument != NULL || option->kind == ISW_OPTION_FLAG ? option->argument
                                                                     : option->words;
}

enum isw_unit isw_jobs_chosen_unit(const struct isw_options *options) {
  return (enum isw_unit)(options->unit + 1);
}

static void *field_of(struct isw_options *options, const struct isw_option *option) {
  return (char *)options + option->offset;
}

static const void *value_of(const struct isw_options *options, const struct isw_option *option) {
  return (const char *)options + option->offset;
}

static bool is_text(enum isw_option_kind kind) {
  return kind >= ISW_OPTION_TEXT && kind < ISW_OPTION_TEXTS;
}

/* The shortest of 15 or 17 digits that reads back as the same number. */
static char *number_text(double number) {
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(text, sizeof text, "%.15g", number);
  if (g_ascii_strtod(text, NULL) != number) g_ascii_dtostr(text, sizeof text, number);
  return g_strdup(text);
}

void isw_jobs_start_options(struct isw_options *options) {
  struct isw_conditions conditions = isw_growth_default_conditions();
  *options = (struct isw_options){.unit = ISW_NOT_GIVEN,
                                  .record_unit = ISW_NOT_GIVEN,
                                  .good = conditions.good_score,
                                  .spread_K = conditions.spread_K,
                                  .warmer_K = conditions.warmer_K,
                                  .least_years = conditions.least_years,
                                  .year_spread = number_text(conditions.year_spread_K),
                                  .cut = {-1, -1},
                                  .least_percent = LEAST_DEFAULT_PERCENT,
                                  .months = {APRIL, OCTOBER},
                                  .start = ISW_NOT_GIVEN,
                                  .b_warmer_K = NAN,
                                  .bands_m = NAN,
                                  .crop_days = NAN,
                                  .heads_to = NAN,
                                  .stands = NAN,
                                  .b_start = ISW_NOT_GIVEN,
                                  .maps = ISW_MAPS_MAIN,
                                  .size = {a4_long_mm, a4_short_mm},
                                  .dpi = dpi_default,
                                  .format = ISW_NOT_GIVEN,
                                  .sow_day = ISW_NOT_GIVEN,
                                  .threads = (int)g_get_num_processors(),
                                  .memory_MB = MEMORY_DEFAULT_MB};
}

void isw_jobs_clear_options(struct isw_options *options) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    void *field = field_of(options, &table[i]);
    if (is_text(table[i].kind)) g_clear_pointer((char **)field, g_free);
    if (isw_jobs_is_list(&table[i])) isw_jobs_empty_list(options, &table[i]);
  }
  g_clear_pointer(&options->region_file, g_free);
}

bool isw_jobs_is_list(const struct isw_option *option) {
  return option->kind >= ISW_OPTION_TEXTS;
}

void isw_jobs_empty_list(struct isw_options *options, const struct isw_option *option) {
  g_clear_pointer((char ***)field_of(options, option), g_strfreev);
}

/* ---- from text ---- */

static enum isw_status out_of_range(const struct isw_option *option, struct isw_error *error) {
  const char *number = option->kind == ISW_OPTION_COUNT ? "whole number" : "number";
  if (option->most < option->least)
    return isw_base_fail(error, ISW_USAGE, "must be a %s, %g or more", number, option->least);
  return isw_base_fail(error, ISW_USAGE, "must be a %s from %g to %g", number, option->least,
                       option->most);
}

static bool read_number(const char *text, double *out) {
  char *end;
  *out = g_ascii_strtod(text, &end);
  return end != text && *end == '\0';
}

static bool within(const struct isw_option *option, double number) {
  return isfinite(number) && number >= option->least &&
         (option->most < option->least || number <= option->most);
}

static enum isw_status set_number(const struct isw_option *option, const char *text, double *field,
                                  struct isw_error *error) {
  double number;
  if (!read_number(text, &number)) return isw_base_fail(error, ISW_USAGE, "is not a number");
  if (!within(option, number)) return out_of_range(option, error);
  *field = number;
  return ISW_OK;
}

static enum isw_status set_count(const struct isw_option *option, const char *text, int *field,
                                 struct isw_error *error) {
  gint64 number;
  double any;
  if (!read_number(text, &any)) return isw_base_fail(error, ISW_USAGE, "is not a number");
  if (!g_ascii_string_to_signed(text, 10, 0, G_MAXINT, &number, NULL) ||
      !within(option, (double)number))
    return out_of_range(option, error);
  *field = (int)number;
  return ISW_OK;
}

static enum isw_status set_choice(const struct isw_option *option, const char *text, int *field,
                                  struct isw_error *error) {
  char **words = g_strsplit(option->words, "|", -1);
  int n = (int)g_strv_length(words), found = 0;
  while (found < n && g_ascii_strcasecmp(words[found], text) != 0) found++;
  enum isw_status status = ISW_OK;
  if (found < n) {
    *field = found;
  } else if (n == 2) {
    status = isw_base_fail(error, ISW_USAGE, "is neither %s nor %s", words[0], words[1]);
  } else {
    char *all = g_strjoinv(", ", words);
    status = isw_base_fail(error, ISW_USAGE, "is none of %s", all);
    g_free(all);
  }
  g_strfreev(words);
  return status;
}

static enum isw_status set_flag(const char *text, bool *field, struct isw_error *error) {
  bool yes = strcmp(text, "yes") == 0;
  if (!yes && strcmp(text, "no") != 0)
    return isw_base_fail(error, ISW_USAGE, "is neither yes nor no");
  *field = yes;
  return ISW_OK;
}

static enum isw_status set_size(const char *text, struct isw_page_size *field,
                                struct isw_error *error) {
  static const struct {
    const char *word;
    struct isw_page_size size;
  } known[] = {{"A4", {a4_long_mm, a4_short_mm}},
               {"A3", {2.0 * a4_short_mm, a4_long_mm}},
               {"letter", {letter_long_mm, letter_short_mm}}};
  for (size_t i = 0; i < G_N_ELEMENTS(known); i++) {
    if (g_ascii_strcasecmp(text, known[i].word) != 0) continue;
    *field = known[i].size;
    return ISW_OK;
  }
  char *end;
  struct isw_page_size size = {.width_mm = g_ascii_strtod(text, &end)};
  if (end != text && (*end == 'x' || *end == 'X')) {
    const char *second = end + 1;
    size.height_mm = g_ascii_strtod(second, &end);
    if (end != second && *end == '\0' && size.width_mm >= page_least_mm &&
        size.width_mm <= page_most_mm && size.height_mm >= page_least_mm &&
        size.height_mm <= page_most_mm) {
      *field = size;
      return ISW_OK;
    }
  }
  return isw_base_fail(error, ISW_USAGE,
                       "is neither A4, A3, letter nor WIDTHxHEIGHT in mm, each from %g to %g",
                       page_least_mm, page_most_mm);
}

static enum isw_status set_date(const char *text, int *field, struct isw_error *error) {
  int day = isw_base_parse_month_day(text);
  if (day < 0)
    return isw_base_fail(error, ISW_USAGE,
                         "is not a date like 08-05 (month-day; 02-29 does not exist)");
  *field = day;
  return ISW_OK;
}

static enum isw_status set_dates(const char *text, struct isw_date_range *field,
                                 struct isw_error *error) {
  char **ends = g_strsplit(text, "..", 2);
  struct isw_date_range range = {-1, -1};
  if (g_strv_length(ends) == 2) {
    range.from_day = isw_base_parse_month_day(ends[0]);
    range.to_day = isw_base_parse_month_day(ends[1]);
  }
  g_strfreev(ends);
  if (range.from_day < 0 || range.to_day < 0)
    return isw_base_fail(error, ISW_USAGE,
                         "is not two dates like 10-15..11-20 (month-day; 02-29 does not exist)");
  *field = range;
  return ISW_OK;
}

static enum isw_status set_months(const char *text, struct isw_month_range *field,
                                  struct isw_error *error) {
  char **ends = g_strsplit(text, "..", 2);
  gint64 from = 0, to = 0;
  const bool read = g_strv_length(ends) == 2 &&
                    g_ascii_string_to_signed(ends[0], 10, 1, ISW_YEAR_MONTHS, &from, NULL) &&
                    g_ascii_string_to_signed(ends[1], 10, 1, ISW_YEAR_MONTHS, &to, NULL);
  g_strfreev(ends);
  if (!read) return isw_base_fail(error, ISW_USAGE, "is not two months from 1 to 12 like 4..10");
  *field = (struct isw_month_range){(int)from - 1, (int)to - 1};
  return ISW_OK;
}

static enum isw_status check_number_or_path(const struct isw_option *option, const char *text,
                                            struct isw_error *error) {
  double number;
  const bool bounded = option->least != option->most;
  if (!bounded || !read_number(text, &number) || within(option, number)) return ISW_OK;
  return out_of_range(option, error);
}

static enum isw_status check_numbers(const char *text, struct isw_error *error) {
  char **items = g_strsplit(text, ",", -1);
  enum isw_status status = ISW_OK;
  double number;
  for (char **item = items; *item != NULL && status == ISW_OK; item++)
    if (!read_number(g_strstrip(*item), &number))
      status = isw_base_fail(error, ISW_USAGE,
                             items[1] == NULL ? "is not a number"
                                              : "are not numbers with commas "
                                                "between");
  g_strfreev(items);
  return status;
}

/* The first and the last run of four digits are taken for years. */
static enum isw_status check_period(const char *text, struct isw_error *error) {
  enum { YEAR_DIGITS = 4 };
  int first = 0, last = 0;
  for (const char *c = text; *c != '\0';) {
    int digits = (int)strspn(c, "0123456789");
    if (digits == YEAR_DIGITS) last = (int)g_ascii_strtoll(c, NULL, 10);
    if (first == 0) first = last;
    c += digits > 0 ? digits : 1;
  }
  if (last >= first) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE, "runs backwards, from %d to %d", first, last);
}

/* Octets above it would make codes too large for a page's corner. */
enum { ADDRESS_OCTETS_MAX = 300 };

static enum isw_status check_address(const char *text, struct isw_error *error) {
  if (strlen(text) > ADDRESS_OCTETS_MAX)
    return isw_base_fail(error, ISW_USAGE, "is longer than %d characters", ADDRESS_OCTETS_MAX);
  for (const char *c = text; *c != '\0'; c++)
    if (!g_ascii_isgraph(*c))
      return isw_base_fail(error, ISW_USAGE,
                           "has blanks or letters that a web address cannot have; write them with "
                           "per cent signs, as a browser's address line copies them");
  GUri *uri = g_uri_parse(text, G_URI_FLAGS_NONE, NULL);
  const char *scheme = uri != NULL ? g_uri_get_scheme(uri) : "";
  const char *host = uri != NULL ? g_uri_get_host(uri) : NULL;
  bool web = (strcmp(scheme, "https") == 0 || strcmp(scheme, "http") == 0) && host != NULL &&
             host[0] != '\0';
  bool fragment = uri != NULL && g_uri_get_fragment(uri) != NULL;
  if (uri != NULL) g_uri_unref(uri);
  if (!web)
    return isw_base_fail(error, ISW_USAGE,
                         "is no address of a web page, such as "
                         "https://extension.example/guide/");
  if (fragment)
    return isw_base_fail(error, ISW_USAGE,
                         "has a part after '#'; leave that out: the place is put there");
  return ISW_OK;
}

static void add_text(char ***field, const char *text) {
  guint n = *field != NULL ? g_strv_length(*field) : 0;
  *field = g_renew(char *, *field, n + 2);
  (*field)[n] = g_strdup(text);
  (*field)[n + 1] = NULL;
}

enum isw_status isw_jobs_set_option(struct isw_options *options, const struct isw_option *option,
                                    const char *text, struct isw_error *error) {
  void *field = field_of(options, option);
  enum isw_status status = ISW_OK;
  switch (option->kind) {
    case ISW_OPTION_FLAG: return set_flag(text, field, error);
    case ISW_OPTION_COUNT: return set_count(option, text, field, error);
    case ISW_OPTION_NUMBER: return set_number(option, text, field, error);
    case ISW_OPTION_CHOICE: return set_choice(option, text, field, error);
    case ISW_OPTION_SIZE: return set_size(text, field, error);
    case ISW_OPTION_PAIRS:
      if (strchr(text, '=') == NULL || text[0] == '=')
        return isw_base_fail(error, ISW_USAGE, "is not NAME=text");
      add_text(field, text);
      return ISW_OK;
    case ISW_OPTION_TEXTS:
    case ISW_OPTION_SHEETS: add_text(field, text); return ISW_OK;
    case ISW_OPTION_DATE: return set_date(text, field, error);
    case ISW_OPTION_DATES: return set_dates(text, field, error);
    case ISW_OPTION_MONTHS: return set_months(text, field, error);
    case ISW_OPTION_NUMBERS: status = check_numbers(text, error); break;
    case ISW_OPTION_NUMBER_OR_PATH: status = check_number_or_path(option, text, error); break;
    case ISW_OPTION_PERIOD: status = check_period(text, error); break;
    case ISW_OPTION_ADDRESS: status = check_address(text, error); break;
    case ISW_OPTION_TEXT:
    case ISW_OPTION_PATH: break;
  }
  if (status != ISW_OK) return status;
  char **value = field;
  g_free(*value);
  *value = g_strdup(text);
  return ISW_OK;
}

/* ---- to text ---- */

static char *dates_text(const struct isw_date_range *range) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  if (range->from_day < 0) return NULL;
  return g_strdup_printf("%s..%s", isw_base_format_month_day(range->from_day, from),
                         isw_base_format_month_day(range->to_day, to));
}

static char *choice_text(const struct isw_option *option, int choice) {
  char **words = g_strsplit(option->words, "|", -1);
  char *text = g_strdup(words[choice]);
  g_strfreev(words);
  return text;
}

char **isw_jobs_option_texts(const struct isw_options *options, const struct isw_option *option) {
  return *(char **const *)value_of(options, option);
}

char *isw_jobs_option_text(const struct isw_options *options, const struct isw_option *option) {
  const void *value = value_of(options, option);
  switch (option->kind) {
    case ISW_OPTION_FLAG: return g_strdup(*(const bool *)value ? "yes" : "no");
    case ISW_OPTION_COUNT: return g_strdup_printf("%d", *(const int *)value);
    case ISW_OPTION_CHOICE: {
      int choice = *(const int *)value;
      return choice == ISW_NOT_GIVEN ? NULL : choice_text(option, choice);
    }
    case ISW_OPTION_NUMBER: {
      double number = *(const double *)value;
      return isnan(number) ? NULL : number_text(number);
    }
    case ISW_OPTION_SIZE: {
      const struct isw_page_size *size = value;
      char *width = number_text(size->width_mm), *height = number_text(size->height_mm);
      char *text = g_strdup_printf("%sx%s", width, height);
      g_free(width);
      g_free(height);
      return text;
    }
    case ISW_OPTION_DATE: {
      char date[ISW_DATE_SIZE];
      int day = *(const int *)value;
      return day == ISW_NOT_GIVEN ? NULL : g_strdup(isw_base_format_month_day(day, date));
    }
    case ISW_OPTION_DATES: return dates_text(value);
    case ISW_OPTION_MONTHS: {
      const struct isw_month_range *range = value;
      return g_strdup_printf("%d..%d", range->from_month + 1, range->to_month + 1);
    }
    case ISW_OPTION_PAIRS:
    case ISW_OPTION_TEXTS:
    case ISW_OPTION_SHEETS: {
      char **texts = isw_jobs_option_texts(options, option);
      return texts != NULL ? g_strjoinv(", ", texts) : NULL;
    }
    case ISW_OPTION_NUMBERS:
    case ISW_OPTION_PERIOD:
    case ISW_OPTION_ADDRESS:
    case ISW_OPTION_TEXT:
    case ISW_OPTION_PATH:
    case ISW_OPTION_NUMBER_OR_PATH: break;
  }
  return g_strdup(*(char *const *)value);
}
