/* What several printed pages hold: the table of a region's seasons, the cautions. */
#ifndef ISW_GUIDE_PRINT_SEASONS_H
#define ISW_GUIDE_PRINT_SEASONS_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

/* Season, then the columns of season_words.h: the head (place: of the rows of named places, which
 * have no share), and a row for each season of a region (as in district_table.h). */
void isw_guide_print_season_head(struct isw_print *print, const struct isw_sheet *sheet,
                                 bool place);
void isw_guide_print_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                             int region);

/* The same below a line that says what they are about (NULL: none). */
void isw_guide_print_area_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                                  int region, const char *group);

/* The same rows of a named place (NULL: without climate data). */
void isw_guide_print_place_seasons(struct isw_print *print, const struct isw_guide_facts *facts,
                                   const struct isw_place *place);

/* "Read this first". facts: struct isw_guide_facts; an isw_print_draw. */
void isw_guide_print_cautions(struct isw_print *print, const void *facts);
void isw_guide_print_small_cautions(struct isw_print *print, const void *facts);

#endif
