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

static const char *date(enum isw_sentence form, int day, const char *(*month_name)(int),
                        char *out) {
  int month, day_of_month;
  char number[8];
  isw_base_date_of_day(day, &month, &day_of_month);
  g_snprintf(number, sizeof number, "%d", day_of_month);
  return keep(isw_words_say(form, number, month_name(month - 1)), out);
}

const char *isw_words_short_date(int day, char *out) {
  return date(ISW_SAY_SHORT_DATE, day, isw_words_short_month, out);
}

const char *isw_words_long_date(int day, char *out) {
  return date(ISW_SAY_LONG_DATE, day, isw_words_month, out);
}

const char *isw_words_period(int period, char *out) {
  static const enum isw_sentence thirds[3] = {ISW_SAY_EARLY_MONTH, ISW_SAY_MID_MONTH,
                                              ISW_SAY_LATE_MONTH};
  return keep(isw_words_say(thirds[period % 3], isw_words_short_month(period / 3)), out);
}
