/* Shares of area in whole per cent: rounded here and nowhere else, so that a table, a legend, a
 * picture's alt text and a sentence say the same. */
#ifndef ISW_WORDS_SHARES_H
#define ISW_WORDS_SHARES_H

/* Whole per cent that sum to 100 (largest remainder); all 0 when the areas sum to 0. */
void isw_words_share_areas(int n, const double *area_m2, int *percent);

/* "34 %"; a class that is there but rounds to 0: "<1 %"; none: "0 %". Returns out. */
enum { ISW_SHARE_SIZE = 64 };
const char *isw_words_format_share(int percent, double area_m2, char out[ISW_SHARE_SIZE]);

#endif
