#include "words/say.h"

#include <glib.h>
#include <libintl.h>
#include <string.h>

/* How gettext keeps a context apart from its text, in catalogues and in look-ups. */
#define CONTEXT_END "\004"
static const char domain[] = "isosow";

static const struct {
  const char *id, *context, *one, *many; /* one: context, CONTEXT_END, English */
  size_t context_size;                   /* with CONTEXT_END */
  int arguments;
} table[ISW_SENTENCES] = {
#define ISW_SENTENCE(id, n, context, text) \
  [ISW_SAY_##id] = {#id, context, context CONTEXT_END text, NULL, sizeof context, n},
#define ISW_PLURAL(id, n, context, one, many) \
  [ISW_SAY_##id] = {#id, context, context CONTEXT_END one, many, sizeof context, n},
#include "words/sentences.def"
#undef ISW_SENTENCE
#undef ISW_PLURAL
};

void isw_words_open(void) {
  const char *folder = g_getenv("TEXTDOMAINDIR");
  bindtextdomain(domain, folder != NULL && folder[0] != '\0' ? folder : ISOSOW_LOCALE_DIR);
  bind_textdomain_codeset(domain, "UTF-8"); /* whatever the terminal's own */
  textdomain(domain);
}

const char *isw_words_template(enum isw_sentence sentence) {
  const char *key = table[sentence].one, *found = dgettext(domain, key);
  return found == key ? key + table[sentence].context_size : found;
}

const char *isw_words_count_template(enum isw_sentence sentence, int count) {
  const char *key = table[sentence].one, *many = table[sentence].many;
  g_assert(many != NULL);
  const char *found = dngettext(domain, key, many, (unsigned long)ABS(count));
  return found == key ? key + table[sentence].context_size : found;
}

/* Template with %1$s ... and %% to text; what is neither stays. */
static char *fill(const char *template, const char *const *arguments, size_t n) {
  GString *out = g_string_new(NULL);
  for (const char *c = template; *c != '\0';) {
    if (c[0] == '%' && c[1] == '%') {
      g_string_append_c(out, '%');
      c += 2;
    } else if (c[0] == '%' && g_ascii_isdigit(c[1]) && c[2] == '$' && c[3] == 's' && c[1] >= '1' &&
               (size_t)(c[1] - '1') < n) {
      g_string_append(out, arguments[c[1] - '1']);
      c += 4;
    } else {
      g_string_append_c(out, *c++);
    }
  }
  return g_string_free(out, FALSE);
}

const char *isw_words_text(enum isw_sentence sentence) {
  g_assert(table[sentence].arguments == 0 && table[sentence].many == NULL);
  const char *template = isw_words_template(sentence);
  if (strchr(template, '%') == NULL) return template;
  char *text = fill(template, NULL, 0);
  const char *kept = g_intern_string(text);
  g_free(text);
  return kept;
}

char *isw_words_fill(enum isw_sentence sentence, const char *const *arguments, size_t n) {
  g_assert(table[sentence].many == NULL && (size_t)table[sentence].arguments == n);
  return fill(isw_words_template(sentence), arguments, n);
}

char *isw_words_fill_count(enum isw_sentence sentence, int count, const char *const *arguments,
                           size_t n) {
  enum { ARGUMENTS_MAX = 9 };
  const char *all[ARGUMENTS_MAX];
  char number[16];
  g_assert((size_t)table[sentence].arguments == n + 1 && n < ARGUMENTS_MAX);
  g_snprintf(number, sizeof number, "%d", count);
  all[0] = number;
  for (size_t i = 0; i < n; i++) all[i + 1] = arguments[i];
  return fill(isw_words_count_template(sentence, count), all, n + 1);
}

char *isw_words_count(enum isw_sentence sentence, int count) {
  return isw_words_fill_count(sentence, count, NULL, 0);
}

const char *isw_words_id(enum isw_sentence sentence) {
  return table[sentence].id;
}

const char *isw_words_context(enum isw_sentence sentence) {
  return table[sentence].context;
}

int isw_words_arguments(enum isw_sentence sentence) {
  return table[sentence].arguments;
}

int isw_words_is_plural(enum isw_sentence sentence) {
  return table[sentence].many != NULL;
}

char *isw_words_list(int n, const char *const *items) {
  char *list = g_strdup(items[0]);
  for (int i = 1; i < n; i++) {
    char *longer =
        isw_words_say(i == n - 1 ? ISW_SAY_LIST_LAST : ISW_SAY_LIST_MORE, list, items[i]);
    g_free(list);
    list = longer;
  }
  return list;
}

char *isw_words_capital(const char *text) {
  gunichar first = g_utf8_get_char(text);
  char letter[8];
  letter[g_unichar_to_utf8(g_unichar_totitle(first), letter)] = '\0';
  return first == 0 ? g_strdup("") : g_strconcat(letter, g_utf8_next_char(text), NULL);
}
