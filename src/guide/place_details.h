/* What the page's cards say of each season beyond the rasters' numbers, in every cell that the page
 * carries: from the same answer, and in the same sentences, as `site`. */
#ifndef ISW_GUIDE_PLACE_DETAILS_H
#define ISW_GUIDE_PLACE_DETAILS_H

#include <glib.h>

#include "climate/climate.h"
#include "guide/region_grid.h"

enum isw_detail_band {
  ISW_DETAIL_START,   /* a text: how it starts, "Start seed in the shade (nursery)." */
  ISW_DETAIL_LIMIT,   /* a text: the weak point, a clause */
  ISW_DETAIL_WAIT,    /* a text: that the crop does not wait */
  ISW_DETAIL_EDGE,    /* a text: what is beyond the season's ends */
  ISW_DETAIL_ALSO,    /* a text: further windows */
  ISW_DETAIL_BETTER,  /* a text: another type that promises more */
  ISW_DETAIL_NOTHING, /* a text: that there is nothing to sow, and what comes nearest */
  ISW_DETAIL_OPENS,   /* a text: what it would take for a window */
  ISW_DETAIL_TEXTS,
  ISW_DETAIL_MANURE =
      ISW_DETAIL_TEXTS, /* days from the best day to the last one for raw manure; negative before */
  ISW_DETAIL_OPENER,    /* what opens the season: a code of survey/opens_map.h */
  ISW_DETAIL_TRANSPLANT, /* days of the year, 0: none */
  ISW_DETAIL_HARVEST,
  ISW_DETAIL_CUT_FIRST, /* days from the best day to the window's first and last cut */
  ISW_DETAIL_CUT_LAST,
  /* Least and greatest odds over the window's days, tenths of a per cent. */
  ISW_DETAIL_FROST_FROM,
  ISW_DETAIL_FROST_TO,
  ISW_DETAIL_BOLTING_FROM,
  ISW_DETAIL_BOLTING_TO,
  ISW_DETAIL_STAGES /* and on, one per stage: days from the best day to the stage's first */
};

struct isw_place_details {
  int n_bands;      /* ISW_DETAIL_STAGES + the sheet's stages */
  int16_t **bands;  /* [season] [cell of the region's grid * n_bands + band]; 0: none */
  GPtrArray *texts; /* those of the text bands, by number; the first is empty */
};

/* Reads the cells once more from climate and answers each in full, by `threads` threads. As
 * isw_climate_read_cells: ISW_INPUT_FILE, ISW_INPUT_CONTENT, ISW_INPUT_DOUBT, ISW_RESOURCES; and
 * ISW_INTERRUPTED. *out is new. */
enum isw_status isw_guide_new_details(struct isw_climate *climate,
                                      const struct isw_region_grid *region, int threads,
                                      bool fahrenheit, struct isw_place_details **out,
                                      struct isw_error *error);
void isw_guide_free_details(struct isw_place_details *details,
                            const struct isw_region_grid *region); /* takes NULL */

#endif
