#include "output/compare_rasters.h"

#include <glib.h>

#include "output/raster_metadata.h"

struct isw_compare_rasters {
  int n;
  struct isw_raster **rasters; /* [season] */
};

char *isw_output_compare_name(const struct isw_compare_labels *labels, const char *season,
                              const char *ending) {
  return season != NULL ? g_strdup_printf("%s-vs-%s-%s%s", labels->a, labels->b, season, ending)
                        : g_strdup_printf("%s-vs-%s%s", labels->a, labels->b, ending);
}

static enum isw_status create_one(const struct isw_compare_labels *labels, const char *season,
                                  const struct isw_grid *grid, struct isw_folder *folder,
                                  struct isw_raster **out, struct isw_error *error) {
  enum { VERDICT = ISW_COMPARE_VERDICT };
  struct isw_metadata_list metadata =
      isw_output_start_metadata(labels->plan, season, labels->period);
  const struct isw_raster_metadata own[] = {
      {-1, "A", labels->a},
      {-1, "B", labels->b},
      {VERDICT, "VERDICT_0", "none"},
      {VERDICT, "VERDICT_1", "both"},
      {VERDICT, "VERDICT_2", "only A"},
      {VERDICT, "VERDICT_3", "only B"},
  };
  g_array_append_vals(metadata.items, own, G_N_ELEMENTS(own));
  const struct isw_raster_spec spec = {.grid = grid,
                                       .type = ISW_RASTER_INT16,
                                       .n_bands = ISW_COMPARE_BANDS,
                                       .descriptions = isw_survey_compare_band_names,
                                       .units = isw_survey_compare_band_units,
                                       .nodata = ISW_BANDS_NODATA,
                                       .n_metadata = (int)metadata.items->len,
                                       .metadata = (const void *)metadata.items->data};
  char *name = isw_output_compare_name(labels, season, ".tif");
  enum isw_status status =
      isw_output_create_raster(isw_output_temporary_path(folder, name), &spec, out, error);
  g_free(name);
  isw_output_free_metadata(&metadata);
  return status;
}

enum isw_status isw_output_create_compare_rasters(const struct isw_compare_labels *labels,
                                                  int n_seasons, const char *const *seasons,
                                                  const struct isw_grid *grid,
                                                  struct isw_folder *folder,
                                                  struct isw_compare_rasters **out,
                                                  struct isw_error *error) {
  struct isw_compare_rasters *made = g_new0(struct isw_compare_rasters, 1);
  made->n = n_seasons;
  made->rasters = g_new0(struct isw_raster *, (gsize)n_seasons);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < n_seasons && status == ISW_OK; s++)
    status = create_one(labels, seasons[s], grid, folder, &made->rasters[s], error);
  if (status == ISW_OK)
    *out = made;
  else
    isw_output_free_compare_rasters(made);
  return status;
}

enum isw_status isw_output_write_compare_block(struct isw_compare_rasters *rasters, int season,
                                               int col, int row, int width, int height,
                                               const int16_t *compared, struct isw_error *error) {
  return isw_output_write_block(rasters->rasters[season], col, row, width, height, compared, error);
}

enum isw_status isw_output_close_compare_rasters(struct isw_compare_rasters *rasters,
                                                 struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (int s = 0; s < rasters->n; s++) {
    struct isw_error this_error;
    enum isw_status one = isw_output_close_raster(rasters->rasters[s], &this_error);
    rasters->rasters[s] = NULL;
    if (status != ISW_OK || one == ISW_OK) continue;
    status = one;
    if (error != NULL) *error = this_error;
  }
  return status;
}

void isw_output_free_compare_rasters(struct isw_compare_rasters *rasters) {
  if (rasters == NULL) return;
  for (int s = 0; s < rasters->n; s++) isw_output_drop_raster(rasters->rasters[s]);
  g_free(rasters->rasters);
  g_free(rasters);
}
