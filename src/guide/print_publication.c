#include "guide/print_publication.h"

#include "guide/edition.h"
#include "guide/guide_words.h"
#include "guide/page_link.h"
#include "words/say.h"

static const double logo_width_mm = 46.0, logo_height_mm = 22.0, logo_gap_mm = 5.0;

void isw_guide_print_titles(struct isw_print *print, const struct isw_print_titles *titles) {
  const struct isw_logo *logo = titles->facts->publication->logo;
  const double top_mm = print->y_mm, right_mm = print->left_mm + print->width_mm;
  double width_mm = 0.0, height_mm = 0.0;
  if (logo != NULL) {
    isw_guide_fit_logo(logo, logo_width_mm, logo_height_mm, &width_mm, &height_mm);
    isw_guide_draw_logo(logo, print->cr, right_mm - width_mm, top_mm, width_mm, height_mm);
    print->taken_mm = width_mm + logo_gap_mm;
  }
  const struct isw_extent code =
      isw_guide_print_page_code(print, titles->facts, titles->site, right_mm - print->taken_mm);
  if (code.width_mm > 0.0) print->taken_mm += code.width_mm + logo_gap_mm;
  height_mm = MAX(height_mm, code.height_mm);
  bool small = titles->small;
  isw_guide_print_text(print, ISW_PRINT_TITLE, titles->title);
  if (titles->subtitle != NULL)
    isw_guide_print_text(print, small ? ISW_PRINT_STRONG : ISW_PRINT_SUBTITLE, titles->subtitle);
  if (titles->facts->publication->subtitle != NULL)
    isw_guide_print_text(print, small ? ISW_PRINT_SMALL : ISW_PRINT_STRONG,
                         titles->facts->publication->subtitle);
  if (print->y_mm >= top_mm + height_mm) print->taken_mm = 0.0;
  isw_guide_print_text(print, small ? ISW_PRINT_SMALL : ISW_PRINT_LEAD, titles->lead);
  print->taken_mm = 0.0;
  if (height_mm > 0.0) print->y_mm = MAX(print->y_mm, top_mm + height_mm + 2.0);
}

void isw_guide_print_own_text(struct isw_print *print, enum isw_print_style style,
                              const char *text) {
  GArray *pieces = isw_guide_split_text(text);
  for (guint i = 0; i < pieces->len; i++) {
    const struct isw_text_piece *piece = &g_array_index(pieces, struct isw_text_piece, i);
    if (piece->item)
      isw_guide_print_item(print, style, piece->text);
    else
      isw_guide_print_text(print, style, piece->text);
  }
  g_array_unref(pieces);
}

void isw_guide_print_own_texts(struct isw_print *print, enum isw_print_style style,
                               char *const *texts) {
  for (; texts != NULL && *texts != NULL; texts++) isw_guide_print_own_text(print, style, *texts);
}

void isw_guide_print_season_lines(struct isw_print *print, const void *self) {
  const struct isw_guide_facts *facts = self;
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    const struct isw_season *season = &facts->plan->sheet->seasons[facts->plan->seasons[s]];
    const char *text = isw_guide_text_of(facts->publication->season_texts, season->name);
    if (text == NULL) continue;
    GArray *pieces = isw_guide_split_text(text);
    char *capital = isw_words_capital(season->title);
    for (guint i = 0; i < pieces->len; i++) {
      const char *piece = g_array_index(pieces, struct isw_text_piece, i).text;
      char *line = isw_words_say(ISW_SAY_GUIDE_CROP_REMARK, capital, piece);
      isw_guide_print_item(print, ISW_PRINT_SMALL, line);
      g_free(line);
    }
    g_free(capital);
    g_array_unref(pieces);
  }
}

void isw_guide_print_season_texts(struct isw_print *print, const void *self) {
  const struct isw_guide_facts *facts = self;
  if (facts->publication->season_texts == NULL) return;
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_BY_SEASON));
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    const struct isw_season *season = &facts->plan->sheet->seasons[facts->plan->seasons[s]];
    const char *text = isw_guide_text_of(facts->publication->season_texts, season->name);
    if (text == NULL) continue;
    char *heading = isw_words_capital(season->title);
    isw_guide_print_text(print, ISW_PRINT_SUBHEADING, heading);
    isw_guide_print_own_text(print, ISW_PRINT_BODY, text);
    g_free(heading);
  }
}

void isw_guide_print_land(struct isw_print *print, const struct isw_guide_facts *facts,
                          enum isw_print_style style, int district) {
  char *words = isw_guide_land_words(facts, district);
  if (words != NULL) isw_guide_print_text(print, style, words);
  g_free(words);
}

void isw_guide_print_imprint(struct isw_print *print, const struct isw_guide_facts *facts) {
  char *imprint = isw_guide_imprint(facts->publication);
  if (imprint != NULL) isw_guide_print_text(print, ISW_PRINT_BODY, imprint);
  g_free(imprint);
  char *address = isw_guide_address_words(facts->publication);
  if (address != NULL) isw_guide_print_text(print, ISW_PRINT_BODY, address);
  g_free(address);
}

void isw_guide_print_moves(struct isw_print *print, const struct isw_guide_facts *facts) {
  if (facts->edition == NULL) return;
  char *lead = isw_guide_edition_words(facts->edition, (int)facts->moves->len);
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_SINCE_HEADING));
  isw_guide_print_text(print, ISW_PRINT_BODY, lead);
  g_free(lead);
  for (guint i = 0; i < facts->moves->len; i++) {
    char *line = isw_guide_move_words(facts, &g_array_index(facts->moves, struct isw_move, i));
    isw_guide_print_item(print, ISW_PRINT_BODY, line);
    g_free(line);
  }
}

void isw_guide_print_after(struct isw_print *print, const struct isw_guide_facts *facts) {
  const struct isw_publication *publication = facts->publication;
  if (publication->after == NULL || publication->after[0] == NULL) return;
  if (publication->publisher != NULL)
    isw_guide_print_text(print, ISW_PRINT_HEADING, publication->publisher);
  isw_guide_print_own_texts(print, ISW_PRINT_BODY, publication->after);
}

void isw_guide_print_glossary(struct isw_print *print, const struct isw_guide_facts *facts) {
  const struct isw_publication *publication = facts->publication;
  if (publication->glossary == NULL) return;
  isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_GLOSSARY));
  for (char *const *pair = publication->glossary; *pair != NULL; pair++) {
    char **sides = g_strsplit(*pair, "=", 2);
    char *entry = isw_words_say(ISW_SAY_GUIDE_GLOSSARY_ENTRY, sides[0], g_strstrip(sides[1]));
    isw_guide_print_own_text(print, ISW_PRINT_BODY, entry);
    g_free(entry);
    g_strfreev(sides);
  }
}
