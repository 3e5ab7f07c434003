/* The adviser's table: places x varieties, season by season, with the best day and its years of
 * ten; text of ISW_VARIETY_TABLE_COLUMNS at most, varieties that do not fit in further tables. */
#ifndef ISW_OUTPUT_VARIETY_TABLE_H
#define ISW_OUTPUT_VARIETY_TABLE_H

#include <glib.h>

#include "output/card_options.h"
#include "survey/place.h"

enum { ISW_VARIETY_TABLE_COLUMNS = 100 };

/* One variety in one season at one place; small, as all places are held. */
struct isw_variety_cell {
  gint16 best_day; /* 0..364; -1: nothing to be said, for want of a window and of years */
  gint8 years;     /* of ten; -1: not counted */
  bool risky;      /* no window, but the best day is worth a risk as that of a pick is */
  bool pick;       /* the type to choose in that season there */
};

/* cells: one for each of the place's results, as isw_growth_result_index says. */
void isw_output_read_variety_cells(const struct isw_plan *plan, const struct isw_result *results,
                                   struct isw_variety_cell *cells);

/* Append the whole answer about one crop. cells[n_sites][results of a place]. */
void isw_output_append_variety_table(GString *out, const struct isw_plan *plan, int n_sites,
                                     const struct isw_site *sites,
                                     const struct isw_variety_cell *cells,
                                     const struct isw_card_options *options);

#endif
