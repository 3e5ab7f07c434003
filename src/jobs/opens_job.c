#include "jobs/opens_job.h"

#include "base/interrupt.h"
#include "chart/map_sheet.h"
#include "chart/palette.h"
#include "output/opens_rasters.h"
#include "survey/cell_areas.h"
#include "survey/what_opens.h"

struct isw_opens_job {
  const struct isw_plan *plan;
  struct isw_folder *folder;
  int n_plans; /* the plan, then under each field shelter */
  const struct isw_plan *plans[1 + ISW_SHELTERS_MAX];
  int shelters[ISW_SHELTERS_MAX]; /* of the plans after the first: sheet index */
  struct isw_plan *own[ISW_SHELTERS_MAX];
  struct isw_raster *rasters[ISW_SEASONS_MAX];
  struct isw_cell_areas *areas[ISW_SEASONS_MAX]; /* one each: jobs run at the same time */
  struct isw_opens_tally tallies[ISW_SEASONS_MAX];
  uint8_t codes[ISW_SEASONS_MAX][ISW_BLOCK_SIZE * ISW_BLOCK_SIZE];
};

void isw_jobs_list_opens(const struct isw_plan *plan, bool pages, GPtrArray *names) {
  for (int s = 0; s < plan->n_seasons; s++) {
    g_ptr_array_add(names, isw_output_opens_name(plan, s, ".tif"));
    if (pages) g_ptr_array_add(names, isw_output_opens_name(plan, s, ".png"));
  }
}

enum isw_status isw_jobs_new_opens(const struct isw_plan *plan, const struct isw_grid *grid,
                                   const char *period, struct isw_folder *folder,
                                   struct isw_opens_job **out, struct isw_error *error) {
  struct isw_opens_job *opens = g_new0(struct isw_opens_job, 1);
  opens->plan = plan;
  opens->folder = folder;
  opens->plans[opens->n_plans++] = plan;
  for (int i = 0; i < plan->sheet->n_shelters; i++) {
    if (!isw_crop_is_field_shelter(plan->sheet, i)) continue;
    opens->own[i] = isw_survey_new_sheltered_plan(plan, i);
    opens->shelters[opens->n_plans - 1] = i;
    opens->plans[opens->n_plans++] = opens->own[i];
  }
  uint8_t colours[256][4];
  isw_chart_opens_colours(plan, colours);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
    status = isw_survey_new_cell_areas(grid, &opens->areas[s], error);
    if (status == ISW_OK)
      status = isw_output_create_opens_raster(plan, s, grid, period, (const uint8_t(*)[4])colours,
                                              folder, &opens->rasters[s], error);
  }
  if (status == ISW_OK)
    *out = opens;
  else
    isw_jobs_free_opens(opens);
  return status;
}

void isw_jobs_free_opens(struct isw_opens_job *opens) {
  if (opens == NULL) return;
  for (int s = 0; s < ISW_SEASONS_MAX; s++) {
    isw_output_drop_raster(opens->rasters[s]);
    isw_survey_free_cell_areas(opens->areas[s]);
  }
  for (int i = 0; i < ISW_SHELTERS_MAX; i++) g_free(opens->own[i]);
  g_free(opens);
}

const struct isw_plan *const *isw_jobs_opens_plans(const struct isw_opens_job *opens, int *n) {
  *n = opens->n_plans;
  return opens->plans;
}

const struct isw_opens_tally *isw_jobs_opens_tallies(const struct isw_opens_job *opens) {
  return opens->tallies;
}

enum isw_status isw_jobs_do_opens_job(struct isw_opens_job *opens, const struct isw_block *block,
                                      int s, struct isw_error *error) {
  uint8_t *codes = opens->codes[s];
  isw_survey_opens_codes(block, opens->n_plans - 1, opens->shelters, s, codes);
  const double *area_m2 = isw_survey_areas_of_block(opens->areas[s], block->col, block->row,
                                                    block->width, block->height);
  const size_t cells = (size_t)block->width * (size_t)block->height;
  size_t valid = 0;
  for (size_t cell = 0; cell < cells; cell++) {
    if (codes[cell] == ISW_PICK_NODATA) continue;
    opens->tallies[s].code_m2[codes[cell]] += area_m2[cell];
    valid++;
  }
  if (valid == 0) {
    isw_output_skip_block(opens->rasters[s]);
    return ISW_OK;
  }
  return isw_output_write_block(opens->rasters[s], block->col, block->row, block->width,
                                block->height, codes, error);
}

static enum isw_status draw_map(const struct isw_opens_job *opens, int s,
                                const struct isw_map_page *page, struct isw_error *error) {
  if (isw_base_interrupted_by())
    return isw_base_fail(error, ISW_INTERRUPTED, "interrupted; no results were changed");
  char *raster = isw_output_opens_name(opens->plan, s, ".tif");
  char *map = isw_output_opens_name(opens->plan, s, ".png");
  enum isw_status status = isw_chart_draw_opens_map(
      page, isw_output_temporary_path(opens->folder, raster), opens->plan, s, &opens->tallies[s],
      isw_output_temporary_path(opens->folder, map), error);
  g_free(map);
  g_free(raster);
  return status;
}

enum isw_status isw_jobs_finish_opens(struct isw_opens_job *opens, bool pages,
                                      const struct isw_map_page *page, struct isw_error *error) {
  struct isw_map_page said = *page;
  said.plan = opens->plan;
  enum isw_status status = ISW_OK;
  for (int s = 0; s < opens->plan->n_seasons && status == ISW_OK; s++) {
    status = isw_output_close_raster(opens->rasters[s], error);
    opens->rasters[s] = NULL;
  }
  for (int s = 0; s < opens->plan->n_seasons && status == ISW_OK && pages; s++)
    status = draw_map(opens, s, &said, error);
  return status;
}
