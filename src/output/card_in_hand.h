/* The card while it is made; for its own files. */
#ifndef ISW_OUTPUT_CARD_IN_HAND_H
#define ISW_OUTPUT_CARD_IN_HAND_H

#include <glib.h>

#include "output/card_options.h"
#include "survey/place.h"
#include "words/place_words.h"

struct isw_card {
  GString *out;
  const struct isw_card_options *options;
  struct isw_words_place about;
  int n_crops;
  struct isw_place_crop crops[ISW_SEASONS_MAX];
};

void isw_output_append_card_heading(struct isw_card *card, const char *text);

/* "Label     text", wrapped under the text; a label of "" continues it. */
void isw_output_append_labelled(struct isw_card *card, const char *label, const char *text);

/* Name, crop (of several their number), where, what was asked for; and the cautions that stand on
 * every report, each once however many of n plans have it. */
void isw_output_append_card_top(struct isw_card *card, int n_crops);
void isw_output_append_card_cautions(struct isw_card *card, int n,
                                     const struct isw_plan *const *plans);

/* In the place of all else: that there are no data. */
void isw_output_append_card_no_data(struct isw_card *card);

/* "Spring and summer". New. */
char *isw_output_card_seasons(const struct isw_card *card, const struct isw_place_crop *crop);

/* Which type to sow when, over the whole year: a sentence and a bar. */
void isw_output_append_card_year(struct isw_card *card);

/* The dated work of the crops that have a window (nothing for none), and what their stages pass in.
 */
void isw_output_append_card_calendar(struct isw_card *card);

/* How the real years of the place's record went; nothing without one. */
void isw_output_append_card_record(struct isw_card *card);

/* Every variety in every season. */
void isw_output_append_card_table(struct isw_card *card);

#endif
