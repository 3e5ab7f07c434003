/* What rounding may change in a result. The kernel works in single precision with clocks in units
 * of 2^-21 day, so a comparison has to say what may differ. A result passes `reference_accepts`
 * when scores within the tolerance of the reference's explain it wholly: a day's score may be off
 * by 0.05 points, its survive, stay and fits by 1e-4, and each of its stages may be 1e-4 days early
 * or late (those that are at best all through, never late); in the normal year and in each of the
 * ten others. Days are bounded each for itself. */
#ifndef ISW_TEST_REFERENCE_BOUNDS_H
#define ISW_TEST_REFERENCE_BOUNDS_H

#include "reference_cell.h"

/* Same dates, limit, window, years, edge and cut; score within a tenth, risks within 1e-4. */
bool reference_same(const struct isw_result *a, const struct isw_result *b);

/* NULL, or what no scores within the tolerance explain. s: chosen season. */
const char *reference_accepts(const struct isw_plan *plan, const struct isw_normals *normals,
                              bool south, int v, int s, struct reference_memory *memory,
                              const struct isw_result *result);

#endif
