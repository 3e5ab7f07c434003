/* Shares of area as readers see them; survey/area_share.h rounds them, once, so that a table, a
 * legend, a picture's alt text and a sentence say the same. */
#ifndef ISW_WORDS_SHARES_H
#define ISW_WORDS_SHARES_H

enum { ISW_SHARE_SIZE = 64 };

/* In tables and legends: "34 %"; there, but rounds to 0: "<1 %"; not all, but rounds to 100:
 * ">99 %"; none: "0 %". part_m2 of whole_m2. Returns out. */
const char *isw_words_format_share(double part_m2, double whole_m2, char out[ISW_SHARE_SIZE]);

/* As an argument of a sentence: "34 %", "less than 1 %", "more than 99 %", "none". Returns out. */
const char *isw_words_word_share(double part_m2, double whole_m2, char out[ISW_SHARE_SIZE]);

#endif
