/* What the steps of a map run cost, and what GDAL alone needs for the same reading and writing:
 *
 *   bench_steps TMIN TMAX SHEET RESULTS SCRATCH
 *
 * RESULTS is the folder of a finished map run on these inputs, all varieties and seasons: its
 * rasters' values are what the floor writes again. Prints "step microseconds" per valid cell, CPU
 * time of one thread; the floor's two steps begin with "floor".
 *
 * DESIGN. One thread does what isosow map does, block by block, between readings of the thread's
 * CPU clock. The kernel's steps are too short for that: on a sample of cells each kind of step is
 * repeated, which overwrites its tables with the same values. */
#define _XOPEN_SOURCE 700

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "growth/cell.h"
#include "growth/kernel_room.h"
#include "growth/span.h"
#include "output/window_rasters.h"
#include "survey/tally.h"

enum { SAMPLE_EVERY = 97, REPEATS = 20, TILE = 256 };

enum step {
  STEP_READ,
  STEP_CURVE,
  STEP_RESPONSE,
  STEP_CLOCK,
  STEP_SCORES,
  STEP_YEARS,
  STEP_RESULTS,
  STEP_WHOLE_CELL,
  STEP_ENCODE,
  STEP_TALLY,
  STEP_WRITE,
  STEP_FLOOR_READ,
  STEP_FLOOR_WRITE,
  STEPS
};
static const char *const step_names[STEPS] = {
    "read", "curve",  "response", "clock", "scores",     "years",      "results",
    "cell", "encode", "tally",    "write", "floor-read", "floor-write"};

static double cpu_seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void stop(enum isw_status status, const struct isw_error *error) {
  if (status == ISW_OK) return;
  fprintf(stderr, "bench_steps: %s\n", error->text);
  exit(EXIT_FAILURE);
}

struct bench {
  struct isw_climate *climate;
  const struct isw_grid *grid;
  struct isw_plan *plan;
  struct isw_growth_workspace *workspace;
  struct isw_result *results;
  double seconds[STEPS];
  long long cells, samples;
};

/* ---- the kernel ---- */

static enum step step_of(int work) {
  switch ((enum isw_kernel_work)work) {
    case ISW_KERNEL_DO_RAMP:
    case ISW_KERNEL_DO_FIT:
    case ISW_KERNEL_DO_KILL:
    case ISW_KERNEL_DO_CHILLING: return STEP_RESPONSE;
    case ISW_KERNEL_DO_CLOCK: return STEP_CLOCK;
    case ISW_KERNEL_DO_SEGMENT:
    case ISW_KERNEL_DO_SCORE: return STEP_SCORES;
    case ISW_KERNEL_DO_YEARS: break;
  }
  return STEP_YEARS;
}

static void sample_cell(struct bench *bench, const struct isw_normals *normals, bool south) {
  struct isw_kernel_room *room = isw_growth_room_of(bench->workspace);
  const struct isw_kernel_recipe *recipe = &room->recipe;
  const struct isw_kernel_routines *routines = room->routines;
  struct isw_kernel_tables *tables = &room->tables;
  isw_growth_cell(bench->workspace, normals, south, bench->results);
  double start = cpu_seconds();
  for (int r = 0; r < REPEATS; r++) routines->days(recipe, normals, tables);
  bench->seconds[STEP_CURVE] += cpu_seconds() - start;
  static const enum step kinds[] = {STEP_RESPONSE, STEP_CLOCK, STEP_SCORES, STEP_YEARS};
  for (size_t k = 0; k < G_N_ELEMENTS(kinds); k++) {
    start = cpu_seconds();
    for (int r = 0; r < REPEATS; r++)
      for (int i = 0; i < recipe->n_steps; i++) {
        const struct isw_kernel_step *step = &recipe->steps[i];
        /* Years are counted into fresh scores. */
        const bool fresh = kinds[k] == STEP_YEARS && step_of(step->work) == STEP_SCORES;
        if (fresh || step_of(step->work) == kinds[k])
          isw_growth_kernel_do_step(recipe, routines, step, tables);
      }
    bench->seconds[kinds[k]] += cpu_seconds() - start;
  }
  start = cpu_seconds();
  for (int r = 0; r < REPEATS; r++)
    for (int p = 0; p < bench->plan->n_programmes; p++)
      isw_growth_kernel_results(recipe, routines, p, south, tables, bench->results);
  bench->seconds[STEP_RESULTS] += cpu_seconds() - start;
  bench->samples++;
}

static struct isw_normals normals_of(const float *values) {
  struct isw_normals normals = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = values[m];
    normals.tmax_C[m] = values[ISW_YEAR_MONTHS + m];
  }
  return normals;
}

/* ---- a run ---- */

struct block_room {
  float *normals;
  uint8_t *flags, *picks;
  int16_t *bands, *spans;
  struct isw_result *results; /* [cell][result] */
};

static void compute_block(struct bench *bench, const struct isw_block *block,
                          struct block_room *room) {
  size_t cells = (size_t)block->width * (size_t)block->height;
  size_t n_results = (size_t)(bench->plan->n_varieties * bench->plan->n_seasons);
  double start = cpu_seconds();
  for (size_t c = 0; c < cells; c++) {
    if ((block->flags[c] & ISW_CELL_VALID) == 0) continue;
    struct isw_normals normals = normals_of(room->normals + c * ISW_CELL_NORMALS);
    isw_growth_cell(bench->workspace, &normals, (block->flags[c] & ISW_CELL_SOUTH) != 0,
                    room->results + c * n_results);
    bench->cells++;
  }
  double computed = cpu_seconds();
  bench->seconds[STEP_WHOLE_CELL] += computed - start;
  for (size_t c = 0; c < cells; c++) {
    bool valid = (block->flags[c] & ISW_CELL_VALID) != 0;
    const struct isw_result *results = room->results + c * n_results;
    for (size_t r = 0; r < n_results; r++) {
      int16_t *bands = room->bands + (r * cells + c) * ISW_CELL_BANDS;
      if (valid)
        isw_survey_encode_result(&results[r], bands);
      else
        for (int b = 0; b < ISW_CELL_BANDS; b++) bands[b] = ISW_BANDS_NODATA;
    }
    for (int s = 0; s < bench->plan->n_seasons; s++) {
      const size_t at = (size_t)s * cells + c;
      int16_t *span = room->spans + at * ISW_SPAN_BANDS;
      if (!valid) {
        room->picks[at] = ISW_PICK_NODATA;
        for (int b = 0; b < ISW_SPAN_BANDS; b++) span[b] = ISW_BANDS_NODATA;
        continue;
      }
      const bool south = (block->flags[c] & ISW_CELL_SOUTH) != 0;
      const struct isw_pick pick = isw_growth_pick(bench->plan, s, results);
      struct isw_span days;
      room->picks[at] = (uint8_t)isw_growth_pick_code(pick);
      isw_growth_span(bench->plan, s, south, pick, results, &days);
      isw_survey_encode_span(&days, span);
    }
  }
  bench->seconds[STEP_ENCODE] += cpu_seconds() - computed;
  for (size_t c = 0; c < cells; c += SAMPLE_EVERY) {
    if ((block->flags[c] & ISW_CELL_VALID) == 0) continue;
    struct isw_normals normals = normals_of(room->normals + c * ISW_CELL_NORMALS);
    sample_cell(bench, &normals, (block->flags[c] & ISW_CELL_SOUTH) != 0);
  }
}

static struct block_room new_room(const struct bench *bench) {
  size_t cells = (size_t)TILE * TILE;
  size_t n_results = (size_t)(bench->plan->n_varieties * bench->plan->n_seasons);
  return (struct block_room){
      .normals = g_new(float, cells *ISW_CELL_NORMALS),
      .flags = g_new(uint8_t, cells),
      .picks = g_new(uint8_t, cells * (size_t)bench->plan->n_seasons),
      .bands = g_new(int16_t, cells * n_results * ISW_CELL_BANDS),
      .spans = g_new(int16_t, cells * (size_t)bench->plan->n_seasons * ISW_SPAN_BANDS),
      .results = g_new0(struct isw_result, cells * n_results)};
}

static void free_room(struct block_room *room) {
  g_free(room->normals);
  g_free(room->flags);
  g_free(room->picks);
  g_free(room->bands);
  g_free(room->spans);
  g_free(room->results);
}

static void run(struct bench *bench, const char *scratch) {
  struct isw_error error;
  struct isw_folder *folder;
  struct isw_window_rasters *rasters;
  struct isw_tally *tally;
  static const uint8_t colours[256][4];
  const struct isw_earlier_request there = {.dir = scratch, .replace = ISW_REPLACE_RESULTS};
  stop(isw_output_open_folder(&there, NULL, &folder, &error), &error);
  stop(isw_output_create_window_rasters(bench->plan, bench->grid, NULL, colours, false, folder,
                                        &rasters, &error),
       &error);
  stop(isw_survey_new_tally(bench->grid, bench->plan, &tally, &error), &error);
  struct block_room room = new_room(bench);
  const int16_t *bands = room.bands, *spans = room.spans;
  const uint8_t *picks = room.picks;
  struct isw_block block = {.flags = room.flags, .bands = &bands, .picks = &picks, .spans = &spans};
  for (block.row = 0; block.row < bench->grid->height; block.row += TILE) {
    for (block.col = 0; block.col < bench->grid->width; block.col += TILE) {
      block.width = MIN(TILE, bench->grid->width - block.col);
      block.height = MIN(TILE, bench->grid->height - block.row);
      double start = cpu_seconds();
      stop(isw_climate_read_block(bench->climate, block.col, block.row, block.width, block.height,
                                  room.normals, room.flags, &error),
           &error);
      bench->seconds[STEP_READ] += cpu_seconds() - start;
      compute_block(bench, &block, &room);
      start = cpu_seconds();
      isw_survey_add_block(tally, &block, 0);
      double tallied = cpu_seconds();
      bench->seconds[STEP_TALLY] += tallied - start;
      stop(isw_output_write_window_block(rasters, &block, 0, &error), &error);
      bench->seconds[STEP_WRITE] += cpu_seconds() - tallied;
    }
  }
  double start = cpu_seconds();
  stop(isw_output_close_window_rasters(rasters, 1, &error), &error);
  bench->seconds[STEP_WRITE] += cpu_seconds() - start;
  isw_output_free_window_rasters(rasters);
  isw_survey_free_tally(tally);
  isw_output_free_folder(folder);
  free_room(&room);
}

/* ---- the floor: GDAL alone, no code of ours ---- */

static GDALDatasetH open_raster(const char *path) {
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  if (dataset == NULL) {
    fprintf(stderr, "bench_steps: %s: cannot be read\n", path);
    exit(EXIT_FAILURE);
  }
  return dataset;
}

static double read_all(const char *path) {
  GDALDatasetH dataset = open_raster(path);
  int width = GDALGetRasterXSize(dataset), height = GDALGetRasterYSize(dataset);
  int n_bands = GDALGetRasterCount(dataset);
  float *values = g_new(float, (gsize)TILE *TILE *(gsize)n_bands);
  double start = cpu_seconds();
  for (int row = 0; row < height; row += TILE)
    for (int col = 0; col < width; col += TILE) {
      int w = MIN(TILE, width - col), h = MIN(TILE, height - row);
      if (GDALDatasetRasterIO(dataset, GF_Read, col, row, w, h, values, w, h, GDT_Float32, n_bands,
                              NULL, 0, 0, 0) != CE_None)
        exit(EXIT_FAILURE);
    }
  double seconds = cpu_seconds() - start;
  GDALClose(dataset);
  g_free(values);
  return seconds;
}

/* Only the writing is timed. */
static double write_again(const char *path, const char *copy_path) {
  GDALDatasetH from = open_raster(path);
  int width = GDALGetRasterXSize(from), height = GDALGetRasterYSize(from);
  int n_bands = GDALGetRasterCount(from);
  GDALDataType type = GDALGetRasterDataType(GDALGetRasterBand(from, 1));
  int size = GDALGetDataTypeSizeBytes(type);
  char **options = NULL;
  options = CSLSetNameValue(options, "TILED", "YES");
  options = CSLSetNameValue(options, "INTERLEAVE", "PIXEL");
  options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
  options = CSLSetNameValue(options, "ZLEVEL", "4");
  options = CSLSetNameValue(options, "PREDICTOR", "2");
  GDALDatasetH to =
      GDALCreate(GDALGetDriverByName("GTiff"), copy_path, width, height, n_bands, type, options);
  CSLDestroy(options);
  if (to == NULL) exit(EXIT_FAILURE);
  guint8 *values = g_malloc((gsize)TILE * TILE * (gsize)(n_bands * size));
  double seconds = 0.0;
  for (int row = 0; row < height; row += TILE)
    for (int col = 0; col < width; col += TILE) {
      int w = MIN(TILE, width - col), h = MIN(TILE, height - row);
      int pixel = n_bands * size;
      CPLErr result = GDALDatasetRasterIO(from, GF_Read, col, row, w, h, values, w, h, type,
                                          n_bands, NULL, pixel, pixel * w, size);
      double start = cpu_seconds();
      if (result == CE_None)
        result = GDALDatasetRasterIO(to, GF_Write, col, row, w, h, values, w, h, type, n_bands,
                                     NULL, pixel, pixel * w, size);
      seconds += cpu_seconds() - start;
      if (result != CE_None) exit(EXIT_FAILURE);
    }
  double start = cpu_seconds();
  GDALClose(to);
  seconds += cpu_seconds() - start;
  GDALClose(from);
  g_free(values);
  g_unlink(copy_path);
  return seconds;
}

static void measure_floor(struct bench *bench, const char *tmin, const char *tmax,
                          const char *results, const char *scratch) {
  bench->seconds[STEP_FLOOR_READ] = read_all(tmin) + read_all(tmax);
  char *copy = g_build_filename(scratch, "floor.tif", NULL);
  GDir *entries = g_dir_open(results, 0, NULL);
  const char *name;
  while (entries != NULL && (name = g_dir_read_name(entries)) != NULL) {
    if (!g_str_has_suffix(name, ".tif")) continue;
    char *path = g_build_filename(results, name, NULL);
    bench->seconds[STEP_FLOOR_WRITE] += write_again(path, copy);
    g_free(path);
  }
  if (entries != NULL) g_dir_close(entries);
  g_free(copy);
}

int main(int argc, char **argv) {
  if (argc != 6) {
    fputs("usage: bench_steps TMIN TMAX SHEET RESULTS SCRATCH\n", stderr);
    return EXIT_FAILURE;
  }
  GDALAllRegister();
  GDALSetCacheMax64(64 << 20);
  g_mkdir_with_parents(argv[5], 0777);
  struct isw_error error;
  struct isw_sheet *sheet;
  struct bench bench = {.cells = 0};
  stop(isw_crop_load_sheet(argv[3], &sheet, &error), &error);
  struct isw_conditions conditions = isw_growth_default_conditions();
  bench.plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(sheet, &conditions, 0, NULL, 0, NULL, bench.plan);
  struct isw_climate_request request = {.tmin = argv[1], .tmax = argv[2]};
  struct isw_log silent = isw_base_log_make(NULL, true);
  stop(isw_climate_open(&request, &silent, &bench.climate, &error), &error);
  bench.grid = isw_climate_grid(bench.climate);
  bench.workspace = g_new(struct isw_growth_workspace, 1);
  isw_growth_start_workspace(bench.plan, bench.workspace);
  bench.results =
      g_new0(struct isw_result, (size_t)(bench.plan->n_varieties * bench.plan->n_seasons));
  run(&bench, argv[5]);
  measure_floor(&bench, argv[1], argv[2], argv[4], argv[5]);
  bench.seconds[STEP_YEARS] -= bench.seconds[STEP_SCORES]; /* they were made fresh */
  printf("kernel %s\ncells %lld\n", isw_growth_room_of(bench.workspace)->routines->name,
         bench.cells);
  for (int i = 0; i < STEPS; i++) {
    bool sampled = i >= STEP_CURVE && i <= STEP_RESULTS;
    double per = sampled ? (double)bench.samples * REPEATS : (double)bench.cells;
    printf("%s %.3f\n", step_names[i], 1e6 * bench.seconds[i] / per);
  }
  g_free(bench.results);
  g_free(bench.workspace);
  g_free(bench.plan);
  isw_climate_free(bench.climate);
  isw_crop_free_sheet(sheet);
  return EXIT_SUCCESS;
}
