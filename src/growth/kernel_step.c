/* How a place begins, and what is done once for a batch of programmes. */
#include "growth/kernel.h"

void isw_growth_kernel_start_place(const struct isw_kernel_recipe *recipe,
                                   const struct isw_kernel_routines *routines,
                                   const struct isw_normals *normals, bool south, bool in_full,
                                   struct isw_kernel_tables *tables) {
  routines->days(recipe, normals, tables);
  tables->place.year_spread_K =
      normals->has_year_spread ? (float)normals->year_spread_K : recipe->year_spread_K;
  tables->place.south = south;
  tables->place.in_full = in_full;
}

static void drop_cut_outside(const struct isw_kernel_recipe *recipe,
                             const struct isw_kernel_batch *batch,
                             struct isw_kernel_tables *tables) {
  if (recipe->cut_days == ISW_YEAR_DAYS) return;
  for (int i = 0; i < batch->n; i++)
    isw_growth_kernel_drop_cut_outside(recipe, &recipe->programmes[batch->first + i], tables);
}

/* Days that are cut outside have their years too where every day is asked for; else they must not
 * stand for the best of a season. */
void isw_growth_kernel_do_years(const struct isw_kernel_recipe *recipe,
                                const struct isw_kernel_routines *routines,
                                const struct isw_kernel_batch *batch,
                                struct isw_kernel_tables *tables) {
  if (!tables->place.in_full) drop_cut_outside(recipe, batch, tables);
  if (recipe->least_years > 0) routines->years(recipe, batch, tables);
  if (tables->place.in_full) drop_cut_outside(recipe, batch, tables);
}
