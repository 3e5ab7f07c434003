#include "guide/publication.h"

#include <string.h>

#include "words/say.h"

const char *isw_guide_text_of(char *const *pairs, const char *name) {
  size_t length = strlen(name);
  for (; pairs != NULL && *pairs != NULL; pairs++)
    if (strncmp(*pairs, name, length) == 0 && (*pairs)[length] == '=') return *pairs + length + 1;
  return NULL;
}

static void clear_piece(gpointer piece) {
  g_free(((struct isw_text_piece *)piece)->text);
}

/* A line's words onto the last piece. */
static void add_words(GArray *pieces, const char *line) {
  struct isw_text_piece *last = &g_array_index(pieces, struct isw_text_piece, pieces->len - 1);
  char **words = g_strsplit_set(line, " \t\r\v\f", -1);
  GString *text = g_string_new(last->text);
  for (char **word = words; *word != NULL; word++) {
    if ((*word)[0] == '\0') continue;
    if (text->len > 0) g_string_append_c(text, ' ');
    g_string_append(text, *word);
  }
  g_strfreev(words);
  g_free(last->text);
  last->text = g_string_free(text, FALSE);
}

GArray *isw_guide_split_text(const char *text) {
  GArray *pieces = g_array_new(FALSE, FALSE, sizeof(struct isw_text_piece));
  g_array_set_clear_func(pieces, clear_piece);
  char **lines = g_strsplit(text != NULL ? text : "", "\n", -1);
  bool open = false;
  for (char **at = lines; *at != NULL; at++) {
    const char *line = g_strstrip(*at);
    bool item = g_str_has_prefix(line, "- ");
    if (line[0] == '\0') {
      open = false;
      continue;
    }
    if (item || !open) {
      struct isw_text_piece piece = {item, g_strdup("")};
      g_array_append_val(pieces, piece);
    }
    add_words(pieces, item ? line + 2 : line);
    open = true;
  }
  g_strfreev(lines);
  return pieces;
}

char *isw_guide_imprint(const struct isw_publication *publication) {
  char *parts[] = {
      publication->publisher != NULL
          ? isw_words_say(ISW_SAY_GUIDE_PUBLISHER, publication->publisher)
          : NULL,
      publication->edition != NULL ? isw_words_say(ISW_SAY_GUIDE_EDITION, publication->edition)
                                   : NULL,
      publication->contact != NULL ? isw_words_say(ISW_SAY_GUIDE_CONTACT, publication->contact)
                                   : NULL};
  GString *line = g_string_new(NULL);
  for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
    if (parts[i] == NULL) continue;
    g_string_append_printf(line, "%s%s", line->len > 0 ? " " : "", parts[i]);
    g_free(parts[i]);
  }
  char *text = g_string_free(line, FALSE);
  if (text[0] == '\0') g_clear_pointer(&text, g_free);
  return text;
}

char *isw_guide_address_words(const struct isw_publication *publication) {
  return publication->page_address != NULL
             ? isw_words_say(ISW_SAY_GUIDE_PAGE_ADDRESS, publication->page_address)
             : NULL;
}
