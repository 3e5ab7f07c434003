#include "output/card_in_hand.h"
#include "output/text_lines.h"
#include "words/record_words.h"
#include "words/say.h"

static void append_crop(struct isw_card *card, const struct isw_place_crop *crop) {
  const struct isw_words_place *about = &card->about;
  const int v = crop->variety, s = crop->season;
  char *seasons = isw_output_card_seasons(card, crop);
  char *lines[ISW_RECORD_LINES];
  isw_words_record_lines(about, v, s, lines);
  for (int i = 0; i < ISW_RECORD_LINES; i++) {
    if (lines[i] == NULL) continue;
    isw_output_append_labelled(card, i == ISW_RECORD_COUNT ? seasons : "", lines[i]);
    g_free(lines[i]);
  }
  g_free(seasons);
}

void isw_output_append_card_record(struct isw_card *card) {
  if (card->about.place->backtest == NULL) return;
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_RECORD_HEADING));
  char *lead = isw_words_record_lead(&card->about);
  isw_output_append_wrapped(card->out, lead, 0, 0, ISW_CARD_COLUMNS);
  for (int c = 0; c < card->n_crops; c++) {
    g_string_append_c(card->out, '\n');
    append_crop(card, &card->crops[c]);
  }
  g_string_append_c(card->out, '\n');
  isw_output_append_wrapped(card->out, isw_words_text(ISW_SAY_RECORD_NIGHTS), 0, 0,
                            ISW_CARD_COLUMNS);
  g_free(lead);
}
