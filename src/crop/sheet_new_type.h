/* A catalogue's type as a variety in numbers; how it is written is sheet_new.c's. */
#ifndef ISW_CROP_SHEET_NEW_TYPE_H
#define ISW_CROP_SHEET_NEW_TYPE_H

#include "crop/sheet.h"

/* Days as they pass on a type's best days, for each day at best temperature. Measured: the median
 * of the built-in types' windows at 57 places with published calendars; 1.03 in each of the three
 * crops (484, 315 and 335 windows), the middle half 1.01 to 1.04. */
extern const double isw_crop_days_per_best_day;

/* What the catalogue says. A number that it does not say is NAN. */
struct isw_catalogue_type {
  const char *like;      /* variety of the sheet that it is made from; NULL: the nearest one */
  const char *name;      /* of the new variety; NULL: made of its days */
  const char *title;     /* NULL: made of its days */
  double days;           /* from sowing to cut, as they pass [1..365] */
  double hottest_week_C; /* mean of the day in the hottest week in which it still makes its crop */
  double stands_C;       /* the frost that it stands when ready [-30..0] */
};

struct isw_new_type {
  int like;                                /* variety of the sheet */
  double best_days;                        /* of all stages; as in `like` where none are said */
  struct isw_stage stages[ISW_STAGES_MAX]; /* names and says as in `like` */
  bool warmer[ISW_STAGES_MAX]; /* stages whose warm end follows the hottest week, up or down */
};

/* ISW_USAGE as isw_crop_write_new_type. */
enum isw_status isw_crop_derive_type(const struct isw_sheet *sheet,
                                     const struct isw_catalogue_type *type,
                                     struct isw_new_type *out, struct isw_error *error);

#endif
