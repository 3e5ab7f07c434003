/* What the tables of page and print say of a region in a season, and their heads. */
#ifndef ISW_GUIDE_SEASON_WORDS_H
#define ISW_GUIDE_SEASON_WORDS_H

#include "guide/guide_facts.h"

enum isw_season_column {
  ISW_SEASON_TYPE,    /* to choose; risky, nothing, or no data: said here */
  ISW_SEASON_SOW,     /* the types with their dates */
  ISW_SEASON_BEST,    /* best day of the type to choose; so are the following */
  ISW_SEASON_YEARS,   /* of ten, in which the best day is good */
  ISW_SEASON_CUT,     /* from, to */
  ISW_SEASON_FROST,   /* odds, in per cent */
  ISW_SEASON_BOLTING, /* the same, of what chilling makes */
  ISW_SEASON_SHARE,   /* share of the area on which something can be sown */
  ISW_SEASON_COLUMNS
};

struct isw_season_words {
  char *texts[ISW_SEASON_COLUMNS]; /* "–" where there is nothing to say */
  int keys[ISW_SEASON_COLUMNS];    /* to sort by, where has_key */
  bool has_key[ISW_SEASON_COLUMNS];
};

/* region: as in district_table.h; s: chosen season. To be cleared. */
void isw_guide_word_season(const struct isw_guide_facts *facts, int region, int s,
                           struct isw_season_words *out);
/* The same of a named place; its share says nothing. place NULL: no climate data. */
void isw_guide_word_place_season(const struct isw_guide_facts *facts, const struct isw_place *place,
                                 int s, struct isw_season_words *out);
/* Release the texts. */
void isw_guide_clear_season_words(struct isw_season_words *words);

/* Is the column in the tables of this crop? That of chilling is where anything chills it. */
bool isw_guide_has_season_column(const struct isw_sheet *sheet, enum isw_season_column column);

/* The column's head; not to be freed. */
const char *isw_guide_season_head(const struct isw_sheet *sheet, enum isw_season_column column);

#endif
