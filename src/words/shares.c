#include "words/shares.h"

#include <glib.h>

#include "survey/area_share.h"
#include "words/say.h"

/* The number in `with`, or the sentence for what its rounding hides. */
static const char *put(struct isw_share share, enum isw_sentence with, enum isw_sentence below,
                       enum isw_sentence above, char out[ISW_SHARE_SIZE]) {
  char number[16];
  g_snprintf(number, sizeof number, "%d", share.percent);
  if (share.beyond != 0) {
    g_strlcpy(out, isw_words_text(share.beyond < 0 ? below : above), ISW_SHARE_SIZE);
    return out;
  }
  char *text = isw_words_say(with, number);
  g_strlcpy(out, text, ISW_SHARE_SIZE);
  g_free(text);
  return out;
}

const char *isw_words_format_share(double part_m2, double whole_m2, char out[ISW_SHARE_SIZE]) {
  return put(isw_survey_share(part_m2, whole_m2), ISW_SAY_SHARE, ISW_SAY_SHARE_BELOW_ONE,
             ISW_SAY_SHARE_ABOVE_99, out);
}

const char *isw_words_word_share(double part_m2, double whole_m2, char out[ISW_SHARE_SIZE]) {
  struct isw_share share = isw_survey_share(part_m2, whole_m2);
  if (share.percent == 0 && share.beyond == 0) {
    g_strlcpy(out, isw_words_text(ISW_SAY_SHARE_NONE), ISW_SHARE_SIZE);
    return out;
  }
  return put(share, ISW_SAY_SHARE_IN_SENTENCE, ISW_SAY_SHARE_LESS_THAN_ONE,
             ISW_SAY_SHARE_MORE_THAN_99, out);
}
