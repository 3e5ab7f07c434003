/* Classes a reader meets on every page, and their words: scores, frost, bolting. Choose by the
 * class, print the word. */
#ifndef ISW_WORDS_CLASSES_H
#define ISW_WORDS_CLASSES_H

#include "survey/tally.h"

/* "poor" < 50, "weak" 50-69, "good" 70-84, "very good" 85+: of a class 0..3 (survey/tally.h's),
 * and of a score in tenths (0..1000), judged as rasters hold it (rounded half up). As all words
 * here, not to be freed. */
const char *isw_words_score_class(int score_class);
const char *isw_words_score(int score_tenths);

enum isw_frost_class { ISW_FROST_RARE, ISW_FROST_AT_TIMES, ISW_FROST_OFTEN };
/* Rare < 5 %, at times 5-20 %, often > 20 %; risk 0..1, judged as printed (one decimal). */
enum isw_frost_class isw_words_frost_class(double risk);
const char *isw_words_frost(double risk); /* "at times" */

enum isw_bolting_class { ISW_BOLTING_LOW, ISW_BOLTING_SOME, ISW_BOLTING_HIGH };
/* Low < 5 %, some 5-30 %, high > 30 %; risk as above. */
enum isw_bolting_class isw_words_bolting_class(double risk);
const char *isw_words_bolting(double risk); /* "some" */

#endif
