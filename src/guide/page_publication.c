#include "guide/page_publication.h"

#include "guide/edition.h"
#include "guide/guide_words.h"
#include "guide/page_tables.h"
#include "words/say.h"

static void append_tagged(GString *html, const char *tag, const char *text) {
  g_string_append_printf(html, "<%s>", tag);
  isw_guide_append_escaped(html, text);
  g_string_append_printf(html, "</%s>\n", tag);
}

void isw_guide_append_own_text(GString *html, const char *text) {
  GArray *pieces = isw_guide_split_text(text);
  bool list = false;
  for (guint i = 0; i < pieces->len; i++) {
    const struct isw_text_piece *piece = &g_array_index(pieces, struct isw_text_piece, i);
    if (piece->item != list) g_string_append(html, piece->item ? "<ul>\n" : "</ul>\n");
    list = piece->item;
    append_tagged(html, list ? "li" : "p", piece->text);
  }
  if (list) g_string_append(html, "</ul>\n");
  g_array_unref(pieces);
}

static void append_texts(GString *html, char *const *texts) {
  for (; texts != NULL && *texts != NULL; texts++) isw_guide_append_own_text(html, *texts);
}

void isw_guide_append_logo(GString *html, const struct isw_guide_facts *facts) {
  const struct isw_publication *publication = facts->publication;
  if (publication->logo == NULL) return;
  char *link = isw_guide_logo_as_link(publication->logo);
  g_string_append_printf(html, "<img class=\"logo\" src=\"%s\" alt=\"", link);
  isw_guide_append_escaped(html, publication->publisher != NULL ? publication->publisher : "");
  g_string_append(html, "\">\n");
  g_free(link);
}

void isw_guide_append_subtitle(GString *html, const struct isw_guide_facts *facts) {
  if (facts->publication->subtitle == NULL) return;
  g_string_append(html, "<p class=\"subtitle\">");
  isw_guide_append_escaped(html, facts->publication->subtitle);
  g_string_append(html, "</p>\n");
}

void isw_guide_append_before(GString *html, const struct isw_guide_facts *facts) {
  char *imprint = isw_guide_imprint(facts->publication);
  if (imprint != NULL) append_tagged(html, "p", imprint);
  g_free(imprint);
  char *address = isw_guide_address_words(facts->publication);
  if (address != NULL) append_tagged(html, "p", address);
  g_free(address);
  append_texts(html, facts->publication->before);
}

void isw_guide_append_season_texts(GString *html, const struct isw_guide_facts *facts) {
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    const struct isw_season *season = &facts->plan->sheet->seasons[facts->plan->seasons[s]];
    const char *text = isw_guide_text_of(facts->publication->season_texts, season->name);
    if (text == NULL) continue;
    char *heading = isw_words_capital(season->title);
    append_tagged(html, "h3", heading);
    isw_guide_append_own_text(html, text);
    g_free(heading);
  }
}

void isw_guide_append_district_texts(GString *html, const struct isw_guide_facts *facts) {
  for (int d = 0; d < isw_regions_district_count(facts->districts); d++) {
    const char *name = isw_regions_district_name(facts->districts, d);
    const char *text = isw_guide_text_of(facts->publication->district_texts, name);
    char *land = isw_guide_land_words(facts, d);
    if (text != NULL || land != NULL) append_tagged(html, "h3", name);
    if (land != NULL) append_tagged(html, "p", land);
    isw_guide_append_own_text(html, text);
    g_free(land);
  }
}

void isw_guide_append_moves(GString *html, const struct isw_guide_facts *facts) {
  if (facts->edition == NULL) return;
  char *lead = isw_guide_edition_words(facts->edition, (int)facts->moves->len);
  append_tagged(html, "h3", isw_words_text(ISW_SAY_GUIDE_SINCE_HEADING));
  append_tagged(html, "p", lead);
  g_free(lead);
  if (facts->moves->len == 0) return;
  g_string_append(html, "<ul>\n");
  for (guint i = 0; i < facts->moves->len; i++) {
    char *line = isw_guide_move_words(facts, &g_array_index(facts->moves, struct isw_move, i));
    append_tagged(html, "li", line);
    g_free(line);
  }
  g_string_append(html, "</ul>\n");
}

void isw_guide_append_after(GString *html, const struct isw_guide_facts *facts) {
  const struct isw_publication *publication = facts->publication;
  if (publication->after == NULL && publication->glossary == NULL) return;
  g_string_append(html, "<section>\n");
  append_texts(html, publication->after);
  if (publication->glossary != NULL) {
    append_tagged(html, "h2", isw_words_text(ISW_SAY_GUIDE_GLOSSARY));
    g_string_append(html, "<dl>\n");
    for (char *const *pair = publication->glossary; *pair != NULL; pair++) {
      char **sides = g_strsplit(*pair, "=", 2);
      append_tagged(html, "dt", sides[0]);
      g_string_append(html, "<dd>");
      isw_guide_append_own_text(html, sides[1]);
      g_string_append(html, "</dd>\n");
      g_strfreev(sides);
    }
    g_string_append(html, "</dl>\n");
  }
  g_string_append(html, "</section>\n");
}
