/* Shares of area as people read them. One rounding for table, legend, sentence and CSV: a share is
 * rounded to a tenth of a per cent, half up, and whole per cents are rounded from that tenth, half
 * up. So a CSV's 26.5 is everywhere else 27, and the same share is the same number whatever stands
 * beside it; the shares of a legend may therefore sum to 99 or 101. */
#ifndef ISW_SURVEY_AREA_SHARE_H
#define ISW_SURVEY_AREA_SHARE_H

/* part_m2 of whole_m2 [0, whole_m2] (any unit; whole 1: a fraction) in tenths of a per cent,
 * 0..1000; 0 where whole_m2 is not above 0. */
int isw_survey_share_tenths(double part_m2, double whole_m2);

/* A share for people: whole per cents, and whether they hide that some, or not all, is there. */
struct isw_share {
  int percent; /* 0..100 */
  int beyond;  /* -1: there is some, but it rounds to 0; +1: not all, but it rounds to 100; 0 */
};
struct isw_share isw_survey_share(double part_m2, double whole_m2);

#endif
