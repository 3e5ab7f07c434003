/* What the region's guide says of each district, in each season, of each variety: shares of area,
 * quartiles of dates by area, what limits, what to choose. Fed blocks. */
#ifndef ISW_GUIDE_DISTRICT_TABLE_H
#define ISW_GUIDE_DISTRICT_TABLE_H

#include "guide/areas.h"
#include "guide/type_days.h"
#include "regions/district_cells.h"
#include "survey/cell_areas.h"
#include "survey/survey.h"

struct isw_district_table;

/* Regions: 0 is the whole grid, 1 + a the area a (guide/areas.h). band_m: what bands of elevation
 * the districts are split into, 0: none. New, to be freed. */
struct isw_district_table *isw_guide_new_table(const struct isw_plan *plan,
                                               const struct isw_district_set *set, double band_m,
                                               bool feet);
void isw_guide_free_table(struct isw_district_table *table); /* takes NULL */

/* What it was made of. */
const struct isw_plan *isw_guide_table_plan(const struct isw_district_table *table);
const struct isw_district_set *isw_guide_table_districts(const struct isw_district_table *table);

/* Add a finished block. plan_index: which plan of the block is the table's; found, n_found:
 * isw_regions_find_district_cells of this block; area_m2: ground of each of its cells;
 * height_m: their elevation, NULL where there are no bands (NAN: none, such cells are counted). */
void isw_guide_add_block(struct isw_district_table *table, const struct isw_block *block,
                         int plan_index, const double *area_m2, const float *height_m, int n_found,
                         const struct isw_district_cells *found);

/* After the last block, before anything is read: which areas there are. Cells of districts without
 * a height are ISW_INPUT_CONTENT, naming heights. */
enum isw_status isw_guide_settle_areas(struct isw_district_table *table, const char *heights,
                                       struct isw_error *error);
const struct isw_guide_areas *isw_guide_areas(const struct isw_district_table *table);
double isw_guide_band_m(const struct isw_district_table *table); /* 0: no bands */

/* How a type's best day goes with height in a district: least squares by area over its cells with a
 * window, and the standard deviation about that line. has: heights are known, and spread widely
 * enough (100 m standard deviation) to tell. */
struct isw_height_slope {
  bool has;
  double days_per_band, spread_days;
};
struct isw_height_slope isw_guide_read_slope(const struct isw_district_table *table, int district,
                                             int v, int s);

/* Warns of districts whose best days of the type to choose spread over more than 30 days between
 * the earliest and the latest tenth of the area, where no bands were asked for. */
void isw_guide_report_spread(const struct isw_district_table *table, struct isw_log *log);

enum isw_table_date {
  ISW_TABLE_SOW_FROM,
  ISW_TABLE_BEST_SOW,
  ISW_TABLE_SOW_TO,
  ISW_TABLE_HARVEST,  /* of the best day's sowing */
  ISW_TABLE_CUT_FROM, /* of the window's sowings */
  ISW_TABLE_CUT_TO,
  ISW_TABLE_DATES
};
enum { ISW_QUARTILES = 3 }; /* lower, median, upper */

struct isw_table_row {
  double area_km2;     /* with climate data; 0: all below is without meaning */
  double window_share; /* of that area, 0..1 */
  /* Where there is a window, by its area. after: days since the season's first day, harvest as
   * sowing plus growing days; negative where a window begins before its season. day: the same as
   * dates, 0..364. */
  bool has_dates;
  int after[ISW_TABLE_DATES][ISW_QUARTILES];
  int day[ISW_TABLE_DATES][ISW_QUARTILES];
  int median_window_days;
  /* Of the best day, where there is a window: years of ten (-1: not counted), odds in per cent. */
  int median_years, median_frost_percent, median_bolting_percent;
  int median_score; /* of the whole area, 0..100 */
  int main_limit;   /* code that holds on most of the area */
};
/* What is known of a region. v, s: chosen indexes. */
void isw_guide_read_row(const struct isw_district_table *table, int region, int v, int s,
                        struct isw_table_row *out);

/* A season as it is planted: the types that most of the region's area can sow, with their dates, in
 * order of date (type_days.h). Returns how many; 0 where at no date half of the area can sow. */
struct isw_table_type {
  int variety; /* sheet index */
  struct isw_window days;
};
int isw_guide_read_types(const struct isw_district_table *table, int region, int s,
                         struct isw_table_type types[ISW_REGION_RUNS_MAX]);
/* Is the day (0..364) a date of those types? Best days are medians over cells that may differ much:
 * theirs need not be one. */
bool isw_guide_can_sow(const struct isw_district_table *table, int region, int s, int day);
/* What a mask keeps of a whole district: share of its ground with climate data, 0..1; 1 without a
 * mask, NAN without data. */
double isw_guide_read_kept_share(const struct isw_district_table *table, int district);
/* Share of the area on which some type has a window in the season, 0..1. */
double isw_guide_read_span_share(const struct isw_district_table *table, int region, int s);
/* The year as one strip: the type (sheet index) of each day 0..364, or -1. A date that several
 * seasons hold is the first one's. */
void isw_guide_read_year(const struct isw_district_table *table, int region,
                         int varieties[ISW_YEAR_DAYS]);

/* What to choose on most of the region's area in a season, and on what share of it. */
struct isw_table_pick {
  int variety; /* sheet index, -1: none */
  bool risky;
  double share; /* 0..1 */
};
struct isw_table_pick isw_guide_read_pick(const struct isw_district_table *table, int region,
                                          int s);

/* The same of a whole district, bands or not. */
struct isw_table_pick isw_guide_read_district_pick(const struct isw_district_table *table,
                                                   int district, int s);

/* Does most of the region lie in the south? */
bool isw_guide_region_south(const struct isw_district_table *table, int region);

#endif
