/* Places and crop sheets made up at random, and what the kernel's tests ask of each of them. */
#ifndef ISW_TEST_KERNEL_CASES_H
#define ISW_TEST_KERNEL_CASES_H

#include <stdint.h>

#include "growth/cell.h"
#include "reference_bounds.h"

/* Random numbers that are the same everywhere (SplitMix64). */
struct dice {
  uint64_t state;
};
double dice_between(struct dice *dice, double least, double most);
int dice_whole(struct dice *dice, int least, int most); /* both included */
bool dice_chance(struct dice *dice, double share);

/* Any climate from polar to tropical, monsoons and continental ones, either hemisphere; some with
 * days whose tmin and tmax cross. */
struct isw_normals random_place(struct dice *dice);

/* A sheet owned by the case: any number of stages, shelters, seasons and varieties, in part alike
 * so that they share; ramps of 1 K and more. */
struct random_sheet {
  struct isw_sheet sheet;
  struct isw_variety varieties[ISW_VARIETIES_MAX];
};
void random_sheet(struct dice *dice, int n_stages, int n_varieties, struct random_sheet *out);
struct isw_conditions random_conditions(struct dice *dice, const struct isw_sheet *sheet);

/* A kernel beside its oracle, for one plan. */
struct kernel_bench {
  struct isw_plan plan;
  struct isw_growth_workspace workspace;
  struct reference_memory memory;
  struct isw_result results[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
  struct isw_result other[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
  long compared, differing; /* results so far, and those that differ within the tolerance */
};
struct kernel_bench *kernel_bench_new(const struct isw_sheet *sheet,
                                      const struct isw_conditions *conditions);

/* Fails the test unless the reference accepts every result. */
void check_against_reference(struct kernel_bench *bench, const struct isw_normals *normals,
                             bool south);

/* Fails the test unless every kind of processor gives exactly the same. */
void check_all_routines_alike(struct kernel_bench *bench, const struct isw_normals *normals,
                              bool south);

/* Normals of the stations of a CSV file whose last 24 columns are tmin_1..12, tmax_1..12; -1 where
 * there is no such file. */
int read_station_normals(const char *path, int max, struct isw_normals *out);

#endif
