/* What a record of real years says, as sentences for the card, the chart and the guide. All texts
 * are new. */
#ifndef ISW_WORDS_RECORD_WORDS_H
#define ISW_WORDS_RECORD_WORDS_H

#include "words/place_words.h"

/* "The record 1951 to 1997, each year by its own months ..."; the place has a backtest, as in all
 * that follows. */
char *isw_words_record_lead(const struct isw_words_place *about);

/* "Real years at Lamar, 4 km away": whose record it is. */
char *isw_words_record_of(const struct isw_words_place *about);

/* What is said of a variety in a season (chosen indexes), in the order of reading; NULL where there
 * is nothing to say. */
enum isw_record_line {
  ISW_RECORD_COUNT,     /* "Standard type, sown 13 August every year: good in 26 of 30 years. The
                           normals promise 9 of 10." */
  ISW_RECORD_FAULTS,    /* "What went wrong: frost in 1965 and 1983; rosette heat in 1971." */
  ISW_RECORD_HINDSIGHT, /* "In hindsight the best fixed day was 10 August: good in 28." */
  ISW_RECORD_TREND,     /* the last 15 years against those before, with 40 or more */
  ISW_RECORD_LINES
};
void isw_words_record_lines(const struct isw_words_place *about, int v, int s,
                            char *lines[ISW_RECORD_LINES]);

/* The first n of them (1 or more) in one. */
char *isw_words_record(const struct isw_words_place *about, int v, int s, int n);

/* "heading heat", "frost": a fault in few words. */
char *isw_words_fault(const struct isw_sheet *sheet, int fault);

#endif
