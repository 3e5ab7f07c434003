#include "growth/cell.h"

#include <assert.h>
#include <string.h>

#include "growth/kernel_room.h"

void isw_growth_start_workspace(const struct isw_plan *plan,
                                struct isw_growth_workspace *workspace) {
  struct isw_kernel_room *room = isw_growth_room_of(workspace);
  room->routines = isw_growth_kernel_best_routines();
  isw_growth_kernel_compile(plan, &room->recipe);
  /* Vectors read past what they use. */
  memset(&room->tables, 0, sizeof room->tables);
}

void isw_growth_cell(struct isw_growth_workspace *workspace, const struct isw_normals *normals,
                     bool south, struct isw_result *results) {
  struct isw_kernel_room *room = isw_growth_room_of(workspace);
  const struct isw_kernel_recipe *recipe = &room->recipe;
  assert(room->routines != NULL); /* the workspace was started */
  isw_growth_kernel_start_place(recipe, room->routines, normals, south, false, &room->tables);
  for (int i = 0; i < recipe->n_steps; i++) {
    const struct isw_kernel_step *step = &recipe->steps[i];
    isw_growth_kernel_do_step(recipe, room->routines, step, &room->tables);
    if (step->work != ISW_KERNEL_DO_YEARS) continue;
    const struct isw_kernel_batch batch = recipe->batches[step->what];
    for (int p = batch.first; p < batch.first + batch.n; p++)
      isw_growth_kernel_results(recipe, room->routines, p, south, &room->tables, results);
  }
}

/* Up to where the programme's tables stand. */
static const struct isw_kernel_room *do_programme(struct isw_growth_workspace *workspace,
                                                  const struct isw_normals *normals,
                                                  int programme) {
  struct isw_kernel_room *room = isw_growth_room_of(workspace);
  const struct isw_kernel_recipe *recipe = &room->recipe;
  isw_growth_kernel_start_place(recipe, room->routines, normals, false, true, &room->tables);
  for (int i = 0; i < recipe->n_steps; i++) {
    const struct isw_kernel_step *step = &recipe->steps[i];
    isw_growth_kernel_do_step(recipe, room->routines, step, &room->tables);
    if (step->work != ISW_KERNEL_DO_YEARS) continue;
    const struct isw_kernel_batch batch = recipe->batches[step->what];
    if (programme < batch.first + batch.n) return room;
  }
  assert(false); /* a programme of the plan */
  return room;
}

void isw_growth_score_year(struct isw_growth_workspace *workspace,
                           const struct isw_normals *normals, int programme,
                           struct isw_scores *out) {
  const struct isw_kernel_room *room = do_programme(workspace, normals, programme);
  isw_growth_kernel_year(&room->recipe, programme, &room->tables, out);
}

void isw_growth_follow_sowing(struct isw_growth_workspace *workspace,
                              const struct isw_normals *normals, int programme, int sow_day,
                              struct isw_sowing *out) {
  assert(sow_day >= 0 && sow_day < ISW_YEAR_DAYS);
  const struct isw_kernel_room *room = do_programme(workspace, normals, programme);
  isw_growth_kernel_sowing(&room->recipe, programme, &room->tables, sow_day, out);
}
