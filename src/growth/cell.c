#include "growth/cell.h"

#include <string.h>

static struct isw_kernel_tables *tables_of(struct isw_growth_workspace *workspace) {
  const uintptr_t line = 64, start = (uintptr_t)workspace->tables;
  return (struct isw_kernel_tables *)(void *)(workspace->tables + (line - start % line) % line);
}

void isw_growth_start_workspace(const struct isw_plan *plan,
                                struct isw_growth_workspace *workspace) {
  workspace->routines = isw_growth_kernel_best_routines();
  isw_growth_kernel_compile(plan, &workspace->program);
  /* Vectors read past what they use. */
  memset(workspace->tables, 0, sizeof workspace->tables);
}

void isw_growth_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                     struct isw_growth_workspace *workspace, struct isw_result *results) {
  (void)plan;
  const struct isw_kernel_program *program = &workspace->program;
  const struct isw_kernel_routines *routines = workspace->routines;
  struct isw_kernel_tables *tables = tables_of(workspace);
  routines->days(program, normals, tables);
  for (int i = 0; i < program->n_steps; i++) {
    const struct isw_kernel_step *step = &program->steps[i];
    switch ((enum isw_kernel_work)step->work) {
      case ISW_KERNEL_DO_RAMP: routines->ramp(program, step, tables); break;
      case ISW_KERNEL_DO_FIT: routines->fit(program, step, tables); break;
      case ISW_KERNEL_DO_KILL: routines->kill(program, step, tables); break;
      case ISW_KERNEL_DO_CHILLING: routines->chilling(program, step, tables); break;
      case ISW_KERNEL_DO_CLOCK: routines->clock(program, step, tables); break;
      case ISW_KERNEL_DO_SEGMENT: routines->segment(program, step, tables); break;
      case ISW_KERNEL_DO_SCORE:
        routines->score(program, step, tables);
        isw_growth_kernel_results(program, routines, step->what, south, tables, results);
        break;
    }
  }
}
