/* What a record of real years says, as sentences for the card, the chart and the guide. All texts
 * are new. */
#ifndef ISW_WORDS_RECORD_WORDS_H
#define ISW_WORDS_RECORD_WORDS_H

#include "words/place_words.h"

/* "Sown 13 August each year: good in 26 of the 30 years 1961-1990 (the normals promise 9 of 10)."
 * v, s: chosen indexes; the place has a backtest. */
char *isw_words_record_count(const struct isw_words_place *about, int v, int s);

/* "What went wrong: frost 1965, 1983; rosette heat 1971."; NULL for nothing. */
char *isw_words_record_faults(const struct isw_words_place *about, int v, int s);

/* "In hindsight the best day is 10 August: good in 28."; NULL where it is no better. */
char *isw_words_record_hindsight(const struct isw_words_place *about, int v, int s);

/* "The last 15 years against the 32 before: ..."; NULL with too few years. */
char *isw_words_record_trend(const struct isw_words_place *about, int v, int s);

/* "heading heat", "frost": a fault in few words. */
char *isw_words_fault(const struct isw_sheet *sheet, int fault);

#endif
