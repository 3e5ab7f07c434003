#include "output/series_rasters.h"

#include <glib.h>

#include "output/raster.h"

enum { TMIN, TMAX, SPREAD, RASTERS };

struct isw_series_rasters {
  struct isw_raster *rasters[RASTERS]; /* NULL: closed, or not wanted */
};

static const char *const file_names[RASTERS] = {"tmin.tif", "tmax.tif", "year_spread.tif"};

int isw_output_series_raster_names(bool spread, const char *names[3]) {
  for (int i = 0; i < RASTERS; i++) names[i] = file_names[i];
  return spread ? RASTERS : SPREAD;
}

static enum isw_status start(struct isw_folder *folder, const struct isw_grid *grid,
                             const char *period, int which, struct isw_raster **out,
                             struct isw_error *error) {
  static const char *const words[RASTERS] = {"tmin", "tmax", "year spread"};
  char *descriptions[ISW_YEAR_MONTHS];
  const char *units[ISW_YEAR_MONTHS];
  const struct isw_raster_metadata metadata[] = {{-1, "period", period}};
  const int n = which == SPREAD ? 1 : ISW_YEAR_MONTHS;
  for (int m = 0; m < n; m++) {
    descriptions[m] = which == SPREAD
                          ? g_strdup(words[which])
                          : g_strdup_printf("%s %s", words[which], isw_base_month_name(m));
    units[m] = which == SPREAD ? "K" : "degC";
  }
  const struct isw_raster_spec spec = {
      .grid = grid,
      .type = ISW_RASTER_INT16,
      .n_bands = n,
      .descriptions = (const char *const *)descriptions,
      .units = units,
      .nodata = ISW_SERIES_NODATA,
      .scale = which == SPREAD ? ISW_SERIES_SPREAD_STEP_K : ISW_SERIES_TEMPERATURE_STEP_C,
      .n_metadata = G_N_ELEMENTS(metadata),
      .metadata = metadata};
  enum isw_status status = isw_output_create_raster(
      isw_output_temporary_path(folder, file_names[which]), &spec, out, error);
  for (int m = 0; m < n; m++) g_free(descriptions[m]);
  return status;
}

enum isw_status isw_output_start_series_rasters(struct isw_folder *folder,
                                                const struct isw_grid *grid, const char *period,
                                                bool spread, struct isw_series_rasters **out,
                                                struct isw_error *error) {
  struct isw_series_rasters *rasters = g_new0(struct isw_series_rasters, 1);
  const char *names[RASTERS];
  const int n = isw_output_series_raster_names(spread, names);
  enum isw_status status = ISW_OK;
  for (int i = 0; i < n && status == ISW_OK; i++)
    status = start(folder, grid, period, i, &rasters->rasters[i], error);
  if (status != ISW_OK) {
    isw_output_free_series_rasters(rasters);
    return status;
  }
  *out = rasters;
  return ISW_OK;
}

enum isw_status isw_output_take_series_block(void *self, const struct isw_series_block *block,
                                             struct isw_error *error) {
  struct isw_series_rasters *rasters = self;
  const int16_t *const data[RASTERS] = {block->tmin, block->tmax, block->year_spread};
  enum isw_status status = ISW_OK;
  for (int i = 0; i < RASTERS && status == ISW_OK; i++)
    if (rasters->rasters[i] != NULL)
      status = isw_output_write_block(rasters->rasters[i], block->col, block->row, block->width,
                                      block->height, data[i], error);
  return status;
}

enum isw_status isw_output_finish_series_rasters(struct isw_series_rasters *rasters,
                                                 struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (int i = 0; i < RASTERS && status == ISW_OK; i++) {
    struct isw_raster *raster = rasters->rasters[i];
    rasters->rasters[i] = NULL;
    if (raster != NULL) status = isw_output_close_raster(raster, error);
  }
  return status;
}

void isw_output_free_series_rasters(struct isw_series_rasters *rasters) {
  if (rasters == NULL) return;
  for (int i = 0; i < RASTERS; i++) isw_output_drop_raster(rasters->rasters[i]);
  g_free(rasters);
}
