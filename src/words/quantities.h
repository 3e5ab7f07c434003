/* Temperatures in the reader's unit, as text. All results new. */
#ifndef ISW_WORDS_QUANTITIES_H
#define ISW_WORDS_QUANTITIES_H

#include <stdbool.h>

/* "16 °C" or "61 °F": a temperature in degC, rounded half up to whole degrees of the unit shown. */
char *isw_words_temperature(double temp_C, bool fahrenheit);

/* "2.5 °C" or "4.5 °F": a difference in K, with one decimal. */
char *isw_words_difference(double difference_K, bool fahrenheit);

/* "2.3": per cent of 0..1, with one decimal as tables print it. */
char *isw_words_percent(double share);

/* "17": a whole number, any sign. */
char *isw_words_number(int number);

#endif
