/* The room of sentences: the table agrees with itself, and templates are filled as gettext's manual
 * asks of positional arguments (GNU gettext manual, "c-format Flag" and "Plural forms"). */
#include <glib.h>
#include <signal.h>

#include "suite_main.h"
#include "words/date_words.h"
#include "words/say.h"

/* The arguments a template names, as bits; -1: a % that is neither %% nor %1$s .. %9$s. */
static int arguments_of(const char *template) {
  int bits = 0;
  for (const char *c = template; *c != '\0'; c++) {
    if (*c != '%') continue;
    if (c[1] == '%') {
      c++;
    } else if (c[1] >= '1' && c[1] <= '9' && c[2] == '$' && c[3] == 's') {
      bits |= 1 << (c[1] - '1');
      c += 3;
    } else {
      return -1;
    }
  }
  return bits;
}

START_TEST(a_template_names_its_arguments) {
  enum isw_sentence id = (enum isw_sentence)_i;
  const char *name = isw_words_id(id);
  int all = (1 << isw_words_arguments(id)) - 1;
  ck_assert_msg(isw_words_context(id)[0] != '\0', "%s has no context", name);
  if (!isw_words_is_plural(id)) {
    ck_assert_msg(arguments_of(isw_words_template(id)) == all,
                  "%s takes %d arguments, its template is \"%s\"", name, isw_words_arguments(id),
                  isw_words_template(id));
    return;
  }
  int one = arguments_of(isw_words_count_template(id, 1)); /* "one day" needs no figure */
  ck_assert_msg((one | 1) == all, "%s: \"%s\"", name, isw_words_count_template(id, 1));
  ck_assert_msg(arguments_of(isw_words_count_template(id, 2)) == all, "%s: \"%s\"", name,
                isw_words_count_template(id, 2));
}
END_TEST

/* The same English in the same context would be one entry for a translator. */
START_TEST(no_sentence_stands_twice) {
  GHashTable *seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  for (int i = 0; i < ISW_SENTENCES; i++) {
    enum isw_sentence id = (enum isw_sentence)i;
    char *key = g_strconcat(
        isw_words_context(id), "|",
        isw_words_is_plural(id) ? isw_words_count_template(id, 1) : isw_words_template(id), NULL);
    const char *other = g_hash_table_lookup(seen, key);
    ck_assert_msg(other == NULL, "%s says what %s says", isw_words_id(id), other);
    g_hash_table_insert(seen, key, (gpointer)isw_words_id(id));
  }
  g_hash_table_destroy(seen);
}
END_TEST

static void check(char *said, const char *wanted) {
  ck_assert_str_eq(said, wanted);
  g_free(said);
}

START_TEST(arguments_go_where_they_are_named) {
  check(isw_words_say(ISW_SAY_SHORT_DATE, "5", "Aug"), "5 Aug");
  check(isw_words_say(ISW_SAY_SHARE, "34"), "34\u202f%");
  check(isw_words_say(ISW_SAY_EARLY_MONTH, "%1$s"), "early %1$s"); /* not filled twice */
  ck_assert_str_eq(isw_words_text(ISW_SAY_SHARE_BELOW_ONE), "<1\u202f%");
  const char *items[] = {"spring", "summer", "autumn"};
  check(isw_words_list(1, items), "spring");
  check(isw_words_list(2, items), "spring and summer");
  check(isw_words_list(3, items), "spring, summer and autumn");
  check(isw_words_capital("été"), "Été");
  check(isw_words_capital(""), "");
}
END_TEST

START_TEST(a_wrong_number_of_arguments_is_a_bug) {
  g_free(isw_words_say(ISW_SAY_SHORT_DATE, "5"));
}
END_TEST

/* Source: any calendar of a common year. */
static const struct {
  int day;
  const char *short_date, *long_date, *period;
} dates[] = {
    {0, "1 Jan", "1 January", "early Jan"},        {9, "10 Jan", "10 January", "early Jan"},
    {10, "11 Jan", "11 January", "mid Jan"},       {20, "21 Jan", "21 January", "late Jan"},
    {58, "28 Feb", "28 February", "late Feb"},     {59, "1 Mar", "1 March", "early Mar"},
    {134, "15 May", "15 May", "mid May"},          {216, "5 Aug", "5 August", "early Aug"},
    {272, "30 Sep", "30 September", "late Sep"},   {364, "31 Dec", "31 December", "late Dec"},
    {365 + 216, "5 Aug", "5 August", "early Aug"}, {-1, "31 Dec", "31 December", "late Dec"},
};

START_TEST(dates_as_readers_see_them) {
  char text[ISW_DATE_SIZE];
  ck_assert_str_eq(isw_words_short_date(dates[_i].day, text), dates[_i].short_date);
  ck_assert_str_eq(isw_words_long_date(dates[_i].day, text), dates[_i].long_date);
  ck_assert_str_eq(isw_words_period(isw_base_ten_day_period(dates[_i].day), text),
                   dates[_i].period);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("say");
  TCase *say = tcase_create("say");
  tcase_add_loop_test(say, a_template_names_its_arguments, 0, ISW_SENTENCES);
  tcase_add_test(say, no_sentence_stands_twice);
  tcase_add_test(say, arguments_go_where_they_are_named);
  tcase_add_test_raise_signal(say, a_wrong_number_of_arguments_is_a_bug, SIGABRT);
  tcase_add_loop_test(say, dates_as_readers_see_them, 0, (int)G_N_ELEMENTS(dates));
  suite_add_tcase(suite, say);
  return suite;
}
