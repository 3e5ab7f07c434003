#include "climate/months.h"

#include <glib.h>
#include <stddef.h>
#include <string.h>

static int month_of_word(const char *word, size_t length) {
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) {
    const char *full = isw_base_month_name(month), *brief = isw_base_month_abbreviation(month);
    if ((strlen(full) == length && g_ascii_strncasecmp(word, full, length) == 0) ||
        (strlen(brief) == length && g_ascii_strncasecmp(word, brief, length) == 0))
      return month;
  }
  enum { SEPTEMBER = 8 };
  if (length == 4 && g_ascii_strncasecmp(word, "sept", length) == 0) return SEPTEMBER;
  static const char *const annual[] = {"annual", "year", "yearly", "ann"};
  for (size_t i = 0; i < G_N_ELEMENTS(annual); i++)
    if (strlen(annual[i]) == length && g_ascii_strncasecmp(word, annual[i], length) == 0)
      return ISW_MONTH_ANNUAL;
  return ISW_MONTH_UNKNOWN;
}

/* Words are runs of letters, cut where a capital follows a small letter. */
int isw_climate_month_in_text(const char *text) {
  if (text == NULL) return ISW_MONTH_UNKNOWN;
  int found = ISW_MONTH_UNKNOWN;
  for (const char *start = text; *start != '\0';) {
    if (!g_ascii_isalpha(*start)) {
      start++;
      continue;
    }
    const char *end = start + 1;
    while (g_ascii_isalpha(*end) && !(g_ascii_isupper(*end) && g_ascii_islower(end[-1]))) end++;
    int month = month_of_word(start, (size_t)(end - start));
    if (month != ISW_MONTH_UNKNOWN) {
      if (found != ISW_MONTH_UNKNOWN && found != month) return ISW_MONTH_UNKNOWN;
      found = month;
    }
    start = end;
  }
  return found;
}

int isw_climate_number_in_text(const char *text) {
  if (text == NULL) return ISW_MONTH_UNKNOWN;
  const char *end = text + strlen(text);
  while (end > text && !g_ascii_isdigit(end[-1])) end--;
  const char *start = end;
  while (start > text && g_ascii_isdigit(start[-1])) start--;
  if (end - start < 1 || end - start > 2) return ISW_MONTH_UNKNOWN;
  int number = 0;
  for (; start < end; start++) number = number * 10 + (*start - '0');
  return number >= 1 && number <= ISW_MONTHS_BANDS_MAX ? number - 1 : ISW_MONTH_UNKNOWN;
}

/* The dates of a text, as months since the year 0. */
struct dates_found {
  int month, date; /* ISW_MONTH_UNKNOWN: none */
  bool several_months, several_dates;
};

static int number_of(const GMatchInfo *match, const char *group) {
  char *digits = g_match_info_fetch_named(match, group);
  int number = (int)g_ascii_strtoll(digits, NULL, 10);
  g_free(digits);
  return number;
}

/* Adds each match of one pattern: its groups "year" and "month". */
static void find_dates(const GRegex *pattern, const char *text, struct dates_found *found) {
  GMatchInfo *match = NULL;
  g_regex_match(pattern, text, 0, &match);
  for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
    const int month = number_of(match, "month") - 1;
    const int date = number_of(match, "year") * ISW_YEAR_MONTHS + month;
    found->several_months =
        found->several_months || (found->month != ISW_MONTH_UNKNOWN && found->month != month);
    found->several_dates =
        found->several_dates || (found->date != ISW_MONTH_UNKNOWN && found->date != date);
    found->month = month;
    found->date = date;
  }
  g_match_info_free(match);
}

#define A_YEAR "(?:1[5-9]|20|21)\\d\\d"
#define YEAR "(?<year>" A_YEAR ")"
#define MONTH "(?<month>0?[1-9]|1[0-2])"
#define TWO_DIGIT_MONTH "(?<month>0[1-9]|1[0-2])"
#define DAY "(?:0?[1-9]|[12]\\d|3[01])"

static struct dates_found find_all_dates(const char *text) {
  static const char *const patterns[] = {
      "(?<!\\d)" YEAR "[-/._ ]" MONTH "(?:[-/._ T]" DAY ")?(?!\\d)",      /* year first, parted */
      "(?<!\\d)" YEAR TWO_DIGIT_MONTH "(?:0[1-9]|[12]\\d|3[01])?(?!\\d)", /* year first, run */
      "(?<!\\d)" MONTH "[-/._ ]" YEAR "(?!\\d)"};                         /* year last */
  struct dates_found found = {ISW_MONTH_UNKNOWN, ISW_MONTH_UNKNOWN, false, false};
  for (size_t i = 0; text != NULL && i < G_N_ELEMENTS(patterns); i++) {
    GRegex *pattern = g_regex_new(patterns[i], 0, 0, NULL);
    find_dates(pattern, text, &found);
    g_regex_unref(pattern);
  }
  return found;
}

int isw_climate_date_in_text(const char *text, bool *dated) {
  static const char looks_like_one[] = "(?<!\\d)(?:" A_YEAR "[-/._ ]\\d{1,2}|\\d{1,2}[-/._ ]" A_YEAR
                                       "|" A_YEAR "\\d{2}(?:\\d{2})?)(?!\\d)";
  const struct dates_found found = find_all_dates(text);
  if (dated != NULL) *dated = text != NULL && g_regex_match_simple(looks_like_one, text, 0, 0);
  return found.several_months ? ISW_MONTH_UNKNOWN : found.month;
}

bool isw_climate_year_month_in_text(const char *text, int *year, int *month) {
  const struct dates_found found = find_all_dates(text);
  if (found.date == ISW_MONTH_UNKNOWN || found.several_dates) return false;
  *year = found.date / ISW_YEAR_MONTHS;
  *month = found.date % ISW_YEAR_MONTHS;
  return true;
}

enum label_kind { BY_TIME, BY_NAME, BY_DATE, BY_DESCRIPTION_NUMBER, BY_FILE_NUMBER, LABEL_KINDS };

static int label_of(const struct isw_month_label *label, enum label_kind kind) {
  switch (kind) {
    case BY_TIME: return label->by_time;
    case BY_NAME: return isw_climate_month_in_text(label->description);
    case BY_DATE: return isw_climate_date_in_text(label->description, NULL);
    case BY_DESCRIPTION_NUMBER: return isw_climate_number_in_text(label->description);
    case BY_FILE_NUMBER: return label->by_number;
    case LABEL_KINDS: break;
  }
  return ISW_MONTH_UNKNOWN;
}

/* Fills the order by one kind of label. false when no month carries such a label; otherwise
 * *complete tells whether there are exactly 1..12. skipped: the annual band, or -1. */
static bool order_by(int n, const struct isw_month_label *labels, enum label_kind kind, int skipped,
                     int band_of_month[ISW_YEAR_MONTHS], bool *complete) {
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) band_of_month[month] = -1;
  int labelled = 0, placed = 0;
  for (int i = 0; i < n; i++) {
    if (i == skipped) continue;
    int month = label_of(&labels[i], kind);
    if (month == ISW_MONTH_UNKNOWN || month == ISW_MONTH_ANNUAL) continue;
    labelled++;
    if (band_of_month[month] < 0) {
      band_of_month[month] = i;
      placed++;
    }
  }
  *complete = placed == ISW_YEAR_MONTHS && labelled == ISW_YEAR_MONTHS;
  return labelled > 0;
}

static char *list_labels(int n, const struct isw_month_label *labels, enum label_kind kind) {
  GString *text = g_string_new(NULL);
  for (int i = 0; i < n; i++) {
    int month = label_of(&labels[i], kind);
    const char *name = month == ISW_MONTH_UNKNOWN  ? "?"
                       : month == ISW_MONTH_ANNUAL ? "annual"
                                                   : isw_base_month_abbreviation(month);
    g_string_append_printf(text, "%s%s", i > 0 ? " " : "", name);
  }
  return g_string_free(text, FALSE);
}

enum isw_status isw_climate_order_months(const char *name, int n,
                                         const struct isw_month_label *labels, int maybe_annual,
                                         struct isw_month_order *out, struct isw_error *error) {
  static const char *const reasons[LABEL_KINDS] = {"time axis", "month names of the bands",
                                                   "dates of the bands", "numbers of the bands",
                                                   "file names"};
  out->annual = -1;
  if (n == ISW_MONTHS_BANDS_MAX) {
    for (int i = 0; i < n; i++)
      if (isw_climate_month_in_text(labels[i].description) == ISW_MONTH_ANNUAL) out->annual = i;
    if (out->annual < 0) out->annual = maybe_annual;
  }
  if (n - (out->annual >= 0 ? 1 : 0) != ISW_YEAR_MONTHS)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: %d bands, but twelve months are needed%s\nGive a raster of 12 bands, "
                         "or twelve files as a name holding {month}",
                         name, n,
                         n == ISW_MONTHS_BANDS_MAX
                             ? "; no band is described as annual, and none is the others' mean"
                             : "");
  int chosen[ISW_YEAR_MONTHS];
  enum label_kind chosen_by = LABEL_KINDS;
  for (int kind = 0; kind < LABEL_KINDS; kind++) {
    bool complete;
    if (!order_by(n, labels, (enum label_kind)kind, out->annual, out->band_of_month, &complete))
      continue;
    /* Numbers in descriptions mean months only when they are exactly 1..12. */
    if (!complete && kind == BY_DESCRIPTION_NUMBER) continue;
    if (!complete) {
      char *list = list_labels(n, labels, (enum label_kind)kind);
      isw_base_fail(error, ISW_INPUT_DOUBT,
                    "%s: by the %s the bands are not the twelve months, each once: %s\nCorrect the "
                    "labels, or write the bands in order January to December without any",
                    name, reasons[kind], list);
      g_free(list);
      return ISW_INPUT_DOUBT;
    }
    if (chosen_by == LABEL_KINDS) {
      chosen_by = (enum label_kind)kind;
      memcpy(chosen, out->band_of_month, sizeof chosen);
    } else if (kind != BY_DESCRIPTION_NUMBER &&
               memcmp(chosen, out->band_of_month, sizeof chosen) != 0) {
      char *first = list_labels(n, labels, chosen_by);
      char *second = list_labels(n, labels, (enum label_kind)kind);
      isw_base_fail(error, ISW_INPUT_DOUBT,
                    "%s: the months contradict each other\n  by the %s: %s\n  by the %s: %s\n"
                    "Correct the wrong one",
                    name, reasons[chosen_by], first, reasons[kind], second);
      g_free(first);
      g_free(second);
      return ISW_INPUT_DOUBT;
    }
  }
  if (chosen_by != LABEL_KINDS) {
    memcpy(out->band_of_month, chosen, sizeof chosen);
    out->reason = reasons[chosen_by];
    return ISW_OK;
  }
  for (int i = 0; i < n; i++) {
    bool dated;
    isw_climate_date_in_text(labels[i].description, &dated);
    if (dated)
      return isw_base_fail(error, ISW_INPUT_DOUBT,
                           "%s: \"%.60s\" looks like a date, but not of one of twelve months\nName "
                           "the bands by month or number, or leave the names out",
                           name, labels[i].description);
  }
  for (int i = 0, month = 0; i < n; i++)
    if (i != out->annual) out->band_of_month[month++] = i;
  out->reason = "order given";
  return ISW_OK;
}
