#include "output/opens_rasters.h"

#include "output/raster_metadata.h"

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].name;
}

char *isw_output_opens_name(const struct isw_plan *plan, int s, const char *ending) {
  return g_strdup_printf("opens-%s%s", season_name(plan, s), ending);
}

enum isw_status isw_output_create_opens_raster(const struct isw_plan *plan, int s,
                                               const struct isw_grid *grid, const char *period,
                                               const uint8_t colours[256][4],
                                               struct isw_folder *folder, struct isw_raster **out,
                                               struct isw_error *error) {
  static const char *const descriptions[] = {"opens"}, *const units[] = {"code"};
  struct isw_metadata_list metadata = isw_output_start_metadata(plan, season_name(plan, s), period);
  isw_output_add_metadata(&metadata, 0, g_strdup_printf("OPENS_%d", ISW_OPENS_CODE_NOTHING),
                          g_strdup("nothing"));
  isw_output_add_metadata(&metadata, 0, g_strdup_printf("OPENS_%d", ISW_OPENS_CODE_ALREADY),
                          g_strdup("open already"));
  for (int i = 0; i < plan->sheet->n_shelters; i++)
    if (isw_crop_is_field_shelter(plan->sheet, i))
      isw_output_add_metadata(&metadata, 0,
                              g_strdup_printf("OPENS_%d", ISW_OPENS_CODE_FIRST_SHELTER + i),
                              g_strdup(plan->sheet->shelters[i].name));
  struct isw_raster_spec spec = {.grid = grid,
                                 .type = ISW_RASTER_BYTE,
                                 .n_bands = 1,
                                 .descriptions = descriptions,
                                 .units = units,
                                 .nodata = ISW_PICK_NODATA,
                                 .n_metadata = (int)metadata.items->len,
                                 .metadata = (const void *)metadata.items->data,
                                 .n_colours = 256,
                                 .colours = colours};
  char *name = isw_output_opens_name(plan, s, ".tif");
  enum isw_status status =
      isw_output_create_raster(isw_output_temporary_path(folder, name), &spec, out, error);
  g_free(name);
  isw_output_free_metadata(&metadata);
  return status;
}
