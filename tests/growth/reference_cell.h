/* The plain way through the model, kept as the kernel's oracle: every sowing day of every programme
 * followed through its stages in double precision, with plain_path.h.
 *
 * The kernel works in single precision with clocks in units of 2^-21 day, so a comparison has to
 * say what may differ. A result passes `reference_accepts` when scores within the tolerance of the
 * reference's explain it wholly: a day's score may be off by 0.05 points, its survive, stay and
 * fits by 1e-4, and each of its stages may be 1e-4 days early or late (those that are at best all
 * through, never late). */
#ifndef ISW_TEST_REFERENCE_CELL_H
#define ISW_TEST_REFERENCE_CELL_H

#include "plain_path.h"

struct reference_memory {
  struct isw_year year;
  struct plain_programme_sums sums;
  struct isw_scores scores;
};

/* What isw_growth_cell returns, the plain way. */
void reference_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                    struct reference_memory *memory, struct isw_result *results);

/* Same dates, limit and window; score within a tenth, risks within 1e-4. */
bool reference_same(const struct isw_result *a, const struct isw_result *b);

/* NULL, or what no scores within the tolerance explain. s: chosen season. */
const char *reference_accepts(const struct isw_plan *plan, const struct isw_normals *normals,
                              bool south, int v, int s, struct reference_memory *memory,
                              const struct isw_result *result);

#endif
