#include "words/classes.h"

#include "survey/cell_bands.h"
#include "words/say.h"

const char *isw_words_score_class(int score_class) {
  static const enum isw_sentence words[ISW_SCORE_CLASSES] = {
      ISW_SAY_SCORE_POOR, ISW_SAY_SCORE_WEAK, ISW_SAY_SCORE_GOOD, ISW_SAY_SCORE_VERY_GOOD};
  return isw_words_text(words[score_class]);
}

const char *isw_words_score(int score_tenths) {
  return isw_words_score_class(isw_survey_score_class((score_tenths + 5) / 10));
}

static int tenths_of_percent(double risk) {
  static const double percent = 100.0;
  return isw_growth_round_tenths(percent * risk);
}

enum isw_frost_class isw_words_frost_class(double risk) {
  enum { RARE_BELOW_TENTHS = 50, OFTEN_ABOVE_TENTHS = 200 };
  int tenths = tenths_of_percent(risk);
  return tenths < RARE_BELOW_TENTHS    ? ISW_FROST_RARE
         : tenths > OFTEN_ABOVE_TENTHS ? ISW_FROST_OFTEN
                                       : ISW_FROST_AT_TIMES;
}

const char *isw_words_frost(double risk) {
  static const enum isw_sentence words[] = {ISW_SAY_FROST_RARE, ISW_SAY_FROST_AT_TIMES,
                                            ISW_SAY_FROST_OFTEN};
  return isw_words_text(words[isw_words_frost_class(risk)]);
}

enum isw_bolting_class isw_words_bolting_class(double risk) {
  enum { LOW_BELOW_TENTHS = 50, HIGH_ABOVE_TENTHS = 300 };
  int tenths = tenths_of_percent(risk);
  return tenths < LOW_BELOW_TENTHS    ? ISW_BOLTING_LOW
         : tenths > HIGH_ABOVE_TENTHS ? ISW_BOLTING_HIGH
                                      : ISW_BOLTING_SOME;
}

const char *isw_words_bolting(double risk) {
  static const enum isw_sentence words[] = {ISW_SAY_BOLTING_LOW, ISW_SAY_BOLTING_SOME,
                                            ISW_SAY_BOLTING_HIGH};
  return isw_words_text(words[isw_words_bolting_class(risk)]);
}
