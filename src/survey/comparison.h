/* Two results for the same season at the same place, A and B: what B gains over A
 * (docs/compare.md).
 */
#ifndef ISW_SURVEY_COMPARISON_H
#define ISW_SURVEY_COMPARISON_H

#include <stdint.h>

#include "survey/area_spread.h"
#include "survey/cell_bands.h"

/* Who has a window. */
enum isw_verdict {
  ISW_VERDICT_NONE = 0,
  ISW_VERDICT_BOTH,
  ISW_VERDICT_ONLY_A,
  ISW_VERDICT_ONLY_B,
  ISW_VERDICTS
};

enum isw_compare_band {
  ISW_COMPARE_SCORE_GAIN = 0,   /* score of B less that of A */
  ISW_COMPARE_WINDOW_DAYS_GAIN, /* days of B's window less those of A's */
  ISW_COMPARE_BEST_SOW_SHIFT,   /* days from A's best day to B's, -182..182, positive: B later;
                                   ISW_BANDS_NODATA where either has no best day */
  ISW_COMPARE_VERDICT,
  ISW_COMPARE_YEARS_GAIN, /* years of B's best day less those of A's; ISW_BANDS_NODATA where years
                             are not counted */
  ISW_COMPARE_BANDS
};

/* Band descriptions and units, exactly as rasters carry them. */
extern const char *const isw_survey_compare_band_names[ISW_COMPARE_BANDS];
extern const char *const isw_survey_compare_band_units[ISW_COMPARE_BANDS];

/* The comparison's bands of one season in one valid cell. a, b: the two sides' bands there. */
void isw_survey_compare_cell(const int16_t a[ISW_CELL_BANDS], const int16_t b[ISW_CELL_BANDS],
                             int16_t out[ISW_COMPARE_BANDS]);

/* Verdict and gain in one class, as maps shade them. */
enum isw_gain_class {
  ISW_GAIN_NONE = 0,
  ISW_GAIN_ONLY_A_MUCH, /* A scores 25 or more above B */
  ISW_GAIN_ONLY_A,
  ISW_GAIN_BOTH_A,    /* both, A scores 5 or more above B */
  ISW_GAIN_BOTH_LIKE, /* both, within 4 */
  ISW_GAIN_BOTH_B,
  ISW_GAIN_ONLY_B,
  ISW_GAIN_ONLY_B_MUCH,
  ISW_GAIN_CLASSES
};
enum { ISW_GAIN_MUCH = 25, ISW_GAIN_SOME = 5 };
/* verdict: enum isw_verdict; score_gain: B's score less A's, -100..100. */
enum isw_gain_class isw_survey_gain_class(int verdict, int score_gain);

/* A region's comparison, to be started as all zeros; by ground area. */
struct isw_compare_tally {
  long long cells;
  double verdict_m2[ISW_VERDICTS], class_m2[ISW_GAIN_CLASSES];
  struct isw_area_spread score_gain, window_days_gain; /* all valid cells */
  struct isw_area_spread years_gain;                   /* the same; empty where not counted */
  struct isw_area_spread best_sow_shift;               /* cells where both have a window */
};
/* Add a valid cell. compared: as isw_survey_compare_cell gives it; area_m2: the cell's ground. */
void isw_survey_add_comparison(struct isw_compare_tally *tally,
                               const int16_t compared[ISW_COMPARE_BANDS], double area_m2);
/* Release the tally's spreads; the tally itself is the caller's. */
void isw_survey_clear_comparison(struct isw_compare_tally *tally);
/* Area of all cells added, m2. */
double isw_survey_compared_m2(const struct isw_compare_tally *tally);

#endif
