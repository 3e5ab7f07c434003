#include "words/date_words.h"

#include <glib.h>
#include <string.h>

#include "words/say.h"

const char *isw_words_month(int month) {
  return isw_words_text((enum isw_sentence)(ISW_SAY_MONTH_1 + month));
}

const char *isw_words_short_month(int month) {
  return isw_words_text((enum isw_sentence)(ISW_SAY_SHORT_MONTH_1 + month));
}

/* Into out; what does not fit (a language of very long months) ends at a whole letter. */
static const char *keep(char *text, char *out) {
  if (strlen(text) >= ISW_DATE_SIZE) *g_utf8_find_prev_char(text, text + ISW_DATE_SIZE) = '\0';
  g_strlcpy(out, text, ISW_DATE_SIZE);
  g_free(text);
  return out;
}

static enum isw_date_style chosen_style = ISW_DATES_DAY_FIRST;

void isw_words_set_date_style(enum isw_date_style style) {
  chosen_style = style;
}

enum isw_date_style isw_words_date_style(void) {
  return chosen_style;
}

enum isw_sentence isw_words_date_form(bool long_date) {
  switch (chosen_style) {
    case ISW_DATES_MONTH_FIRST:
      return long_date ? ISW_SAY_LONG_DATE_MONTH_FIRST : ISW_SAY_SHORT_DATE_MONTH_FIRST;
    case ISW_DATES_NUMBERS: return ISW_SAY_DATE_NUMBERS;
    case ISW_DATES_DAY_FIRST: break;
  }
  return long_date ? ISW_SAY_LONG_DATE : ISW_SAY_SHORT_DATE;
}

static const char *date(bool long_date, int day, const char *(*month_name)(int), char *out) {
  int month, day_of_month;
  char number[8], month_number[8];
  isw_base_date_of_day(day, &month, &day_of_month);
  g_snprintf(number, sizeof number, "%d", day_of_month);
  g_snprintf(month_number, sizeof month_number, "%d", month);
  const char *name = chosen_style == ISW_DATES_NUMBERS ? month_number : month_name(month - 1);
  return keep(isw_words_say(isw_words_date_form(long_date), number, name), out);
}

const char *isw_words_short_date(int day, char *out) {
  return date(false, day, isw_words_short_month, out);
}

const char *isw_words_long_date(int day, char *out) {
  return date(true, day, isw_words_month, out);
}

const char *isw_words_period(int period, char *out) {
  static const enum isw_sentence thirds[3] = {ISW_SAY_EARLY_MONTH, ISW_SAY_MID_MONTH,
                                              ISW_SAY_LATE_MONTH};
  return keep(isw_words_say(thirds[period % 3], isw_words_short_month(period / 3)), out);
}
