/* An earlier guide's folder, for what moved since: its districts.csv, and the period of its normals
 * from its run.json. */
#ifndef ISW_GUIDE_EDITION_H
#define ISW_GUIDE_EDITION_H

#include "guide/guide_facts.h"

struct isw_edition;

/* ISW_INPUT_FILE: no districts.csv that can be read; ISW_INPUT_CONTENT: it is not a guide's. *out
 * is new. */
enum isw_status isw_guide_read_edition(const char *folder, struct isw_edition **out,
                                       struct isw_error *error);
void isw_guide_free_edition(struct isw_edition *edition); /* takes NULL */

/* One area in one season, then and now. Days 0..364, -1: no window, or nothing to choose. */
struct isw_move {
  int area, s;
  const char *old_pick, *new_pick; /* variety ids, as districts.csv has them; the edition's or the
                                      sheet's; NULL: none */
  int old_best_day, new_best_day;  /* of what is to be chosen then, and now */
  bool same_type;
  int days_later; /* where both are there: -182..182 */
};
/* Only what differs, of the facts' crop: another type, or a day or more. Areas that the edition
 * does not have are left out, and counted in *n_unknown. New array of struct isw_move. */
GArray *isw_guide_find_moves(const struct isw_edition *edition, const struct isw_guide_facts *facts,
                             int *n_unknown);

/* "Cloudback, spring: 14 May, 3 days later than in the last edition (11 May)." New. */
char *isw_guide_move_words(const struct isw_guide_facts *facts, const struct isw_move *move);
/* "The last edition stood on normals of 1981-2010; ..." New. */
char *isw_guide_edition_words(const struct isw_edition *edition, int n_moves);

/* changes.csv: the moves of n crops, with the crop's id before all where there are several.
 * ISW_OUTPUT. */
enum isw_status isw_guide_write_moves(int n, const struct isw_guide_facts *crops, const char *path,
                                      struct isw_error *error);

#endif
