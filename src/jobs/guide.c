/* A region's rasters and maps, a table by district, a page for growers, a print. */
#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/clock.h"
#include "climate/heights.h"
#include "guide/district_rows.h"
#include "guide/edition.h"
#include "guide/guide_sites.h"
#include "guide/page_file.h"
#include "guide/place_table.h"
#include "guide/print_guide.h"
#include "guide/print_handouts.h"
#include "guide/region_grid.h"
#include "jobs/jobs.h"
#include "jobs/map_job.h"
#include "jobs/place_records.h"
#include "jobs/publish.h"

static const char table_name[] = "districts.csv", page_name[] = "index.html",
                  print_name[] = "guide.pdf", handouts_name[] = "handouts.pdf",
                  places_name[] = "places.csv", changes_name[] = "changes.csv",
                  package_name[] = "districts.gpkg";

/* Of one crop. */
struct guide_crop {
  const struct isw_plan *plan;
  struct isw_district_table *table;
  struct isw_region_grid *region;
  struct isw_guide_sites *sites;
  struct isw_place_details *details;
  GArray *moves; /* since an earlier edition; NULL: not asked about */
};

struct guide_job {
  struct isw_map_job *map;
  int n_crops;
  struct guide_crop *crops; /* the map job's own, then its others */
  struct isw_cell_areas *areas;
  struct isw_publication publication;
  struct isw_logo *logo;
  struct isw_place_records records; /* of the named places */
  struct isw_heights *heights;      /* NULL: none asked for */
  struct isw_edition *edition;      /* the same */
  GString *told;                    /* what moved, for the answer */
};

static enum isw_status take_block(void *self, const struct isw_block *block,
                                  struct isw_error *error) {
  struct guide_job *job = self;
  enum isw_status status = isw_jobs_take_map_block(job->map, block, error);
  int n_found;
  const struct isw_district_cells *found;
  if (status == ISW_OK)
    status = isw_regions_find_district_cells(job->map->additions.districts, block->col, block->row,
                                             block->width, block->height, block->flags, &n_found,
                                             &found, error);
  for (int s = 0; s < job->map->plan->n_seasons && job->map->opens != NULL && status == ISW_OK; s++)
    status = isw_jobs_do_opens_job(job->map->opens, block, s, error);
  if (status != ISW_OK) return status;
  const double *area_m2 =
      isw_survey_areas_of_block(job->areas, block->col, block->row, block->width, block->height);
  float *height_m = NULL;
  if (job->heights != NULL) {
    height_m = g_new(float, (size_t)block->width *(size_t)block->height);
    status = isw_climate_read_heights(job->heights, block->col, block->row, block->width,
                                      block->height, height_m, error);
  }
  for (int c = 0; c < job->n_crops && status == ISW_OK; c++) {
    const struct guide_crop *crop = &job->crops[c];
    isw_guide_add_block(crop->table, block, c, area_m2, height_m, n_found, found);
    isw_guide_add_region_block(crop->region, block, c, height_m, isw_guide_band_m(crop->table),
                               n_found, found);
  }
  g_free(height_m);
  return status;
}

static const char *heights_source(const struct isw_options *options) {
  return options->heights != NULL ? options->heights : options->elevation;
}

static enum isw_status open_heights(struct guide_job *job, struct isw_error *error) {
  const struct isw_options *options = job->map->options;
  if (isnan(options->bands_m) && options->heights != NULL)
    return isw_base_fail(error, ISW_USAGE, "--heights needs --bands, their height in metres");
  if (isnan(options->bands_m) && heights_source(options) == NULL) return ISW_OK;
  if (heights_source(options) == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--bands needs heights: give --heights DEM, any elevation raster");
  return isw_climate_open_heights(heights_source(options), isw_climate_grid(job->map->climate),
                                  &job->heights, error);
}

static enum isw_status open_inputs(struct guide_job *job, struct isw_error *error) {
  const struct isw_options *pages = job->map->options;
  if (pages->districts == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--districts is missing; give the region's districts as polygons, any "
                         "vector file");
  if (pages->district_name == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--district-name is missing; name the column that holds the districts' "
                         "names");
  if (pages->what_opens && g_strv_length(pages->crops) > 1) /* names of its rasters have no crop */
    return isw_base_fail(error, ISW_USAGE,
                         "--what-opens is for one crop, and --crop is given %u times; give one",
                         g_strv_length(pages->crops));
  enum isw_status status = isw_jobs_open_map_inputs(job->map, error);
  if (status == ISW_OK) {
    struct isw_sheet **sheets = isw_jobs_list_sheets(job->map);
    status = isw_jobs_open_publication(
        pages, 1 + job->map->n_others, (const struct isw_sheet *const *)sheets,
        job->map->additions.districts, &job->publication, &job->logo, error);
    g_free(sheets);
  }
  if (status != ISW_OK) return status;
  const struct isw_grid *grid = isw_climate_grid(job->map->climate);
  status = isw_survey_new_cell_areas(grid, &job->areas, error);
  if (status != ISW_OK) return status;
  status = isw_jobs_open_place_records(pages, job->map->additions.places, &job->map->log,
                                       &job->records, error);
  if (status == ISW_OK) status = open_heights(job, error);
  if (status == ISW_OK && pages->since != NULL)
    status = isw_guide_read_edition(pages->since, &job->edition, error);
  if (status != ISW_OK) return status;
  job->n_crops = 1 + job->map->n_others;
  job->crops = g_new0(struct guide_crop, (gsize)job->n_crops);
  const double band_m = isnan(pages->bands_m) ? 0.0 : pages->bands_m;
  for (int c = 0; c < job->n_crops; c++) {
    struct guide_crop *crop = &job->crops[c];
    crop->plan = c == 0 ? job->map->plan : job->map->others[c - 1].plan;
    crop->table = isw_guide_new_table(crop->plan, job->map->additions.districts, band_m,
                                      pages->show == ISW_SHOW_F);
    crop->region = isw_guide_new_region_grid(crop->plan, grid->width, grid->height);
  }
  g_ptr_array_add(job->map->names, g_strdup(table_name));
  g_ptr_array_add(job->map->names, g_strdup(package_name));
  g_ptr_array_add(job->map->names, g_strdup(page_name));
  g_ptr_array_add(job->map->names, g_strdup(print_name));
  g_ptr_array_add(job->map->names, g_strdup(handouts_name));
  if (job->map->additions.places != NULL) g_ptr_array_add(job->map->names, g_strdup(places_name));
  if (pages->since != NULL) g_ptr_array_add(job->map->names, g_strdup(changes_name));
  return ISW_OK;
}

static enum isw_status run_pass(struct guide_job *job, struct isw_error *error) {
  struct isw_map_job *map = job->map;
  const struct isw_plan **own = g_new(const struct isw_plan *, (gsize)job->n_crops);
  const struct isw_plan *const *plans = own;
  int n_plans = job->n_crops;
  for (int c = 0; c < job->n_crops; c++) own[c] = job->crops[c].plan;
  if (map->opens != NULL) plans = isw_jobs_opens_plans(map->opens, &n_plans); /* of one crop */
  struct isw_survey_options survey = {.threads = map->options->threads,
                                      .memory_MB = map->options->memory_MB,
                                      .mask = map->mask,
                                      .log = &map->log};
  struct isw_sink sink = {job, take_block};
  enum isw_status status = isw_survey_run(map->climate, n_plans, plans, &survey, &sink, error);
  g_free(own);
  if (status == ISW_OK) isw_regions_report_districts(job->map->additions.districts, &map->log);
  for (int c = 0; c < job->n_crops && status == ISW_OK; c++) {
    struct guide_crop *crop = &job->crops[c];
    status = isw_guide_settle_areas(crop->table, heights_source(map->options), error);
    if (status != ISW_OK) break;
    isw_guide_settle_region(crop->region, isw_guide_areas(crop->table));
    isw_guide_report_spread(crop->table, &map->log);
  }
  return status == ISW_OK ? isw_jobs_finish_map_rasters(map, error) : status;
}

/* What moved, for the answer. */
static void tell_moves(GString *told, const struct isw_guide_facts *facts, bool among_crops) {
  char *lead = isw_guide_edition_words(facts->edition, (int)facts->moves->len);
  if (among_crops) g_string_append_printf(told, "%s: ", facts->plan->sheet->title);
  g_string_append_printf(told, "%s\n", lead);
  g_free(lead);
  for (guint i = 0; i < facts->moves->len; i++) {
    char *line = isw_guide_move_words(facts, &g_array_index(facts->moves, struct isw_move, i));
    g_string_append_printf(told, "  %s\n", line);
    g_free(line);
  }
}

/* facts: of all crops; gets their moves. */
static enum isw_status find_moves(struct guide_job *job, struct isw_guide_facts *facts,
                                  struct isw_error *error) {
  job->told = g_string_new(NULL);
  for (int c = 0; c < job->n_crops; c++) {
    int n_unknown;
    facts[c].moves = job->crops[c].moves =
        isw_guide_find_moves(job->edition, &facts[c], &n_unknown);
    if (n_unknown > 0)
      isw_base_warn(&job->map->log,
                    "%s%s%d of %d districts or bands are not in %s, and are not compared with it",
                    job->n_crops > 1 ? facts[c].plan->sheet->crop : "",
                    job->n_crops > 1 ? ": " : "", n_unknown, facts[c].areas->n,
                    job->map->options->since);
    tell_moves(job->told, &facts[c], job->n_crops > 1);
  }
  return isw_guide_write_moves(job->n_crops, facts,
                               isw_output_temporary_path(job->map->folder, changes_name), error);
}

static enum isw_status find_places(struct guide_job *job, struct isw_error *error) {
  struct isw_map_job *map = job->map;
  enum isw_status status = ISW_OK;
  for (int c = 0; c < job->n_crops && status == ISW_OK; c++) {
    struct guide_crop *crop = &job->crops[c];
    const struct isw_site_sources sources = {.climate = map->climate,
                                             .region = crop->region,
                                             .table = crop->table,
                                             .places = map->additions.places,
                                             .records = job->records.places,
                                             .heights = job->heights,
                                             .period = isw_climate_period(map->climate),
                                             .log = c == 0 ? &map->log : NULL};
    status = isw_guide_new_sites(&sources, &crop->sites, error);
    if (status == ISW_OK)
      status = isw_guide_new_details(map->climate, crop->region, map->options->threads,
                                     map->page.fahrenheit, &crop->details, error);
  }
  return status;
}

static enum isw_status write_districts(struct guide_job *job, struct isw_geopackage *package,
                                       struct isw_error *error) {
  const struct isw_district_table **tables =
      g_new(const struct isw_district_table *, (gsize)job->n_crops);
  for (int c = 0; c < job->n_crops; c++) tables[c] = job->crops[c].table;
  enum isw_status status = isw_guide_write_districts(
      job->n_crops, tables, isw_output_temporary_path(job->map->folder, table_name),
      isw_climate_grid(job->map->climate)->wkt, package, error);
  g_free(tables);
  return status;
}

static enum isw_status write_places(struct guide_job *job, struct isw_geopackage *package,
                                    struct isw_error *error) {
  const struct isw_plan **plans = g_new(const struct isw_plan *, (gsize)job->n_crops);
  const struct isw_guide_sites **sites = g_new(const struct isw_guide_sites *, (gsize)job->n_crops);
  for (int c = 0; c < job->n_crops; c++) {
    plans[c] = job->crops[c].plan;
    sites[c] = job->crops[c].sites;
  }
  enum isw_status status = isw_guide_write_places(
      job->n_crops, plans, sites, job->map->additions.places, job->records.record != NULL,
      isw_climate_grid(job->map->climate), isw_output_temporary_path(job->map->folder, places_name),
      package, error);
  g_free(plans);
  g_free(sites);
  return status;
}

static enum isw_status write_tables(struct guide_job *job, struct isw_error *error) {
  struct isw_geopackage *package;
  enum isw_status status = isw_output_create_geopackage(
      isw_output_temporary_path(job->map->folder, package_name), &package, error);
  if (status != ISW_OK) return status;
  status = write_districts(job, package, error);
  if (status == ISW_OK && job->map->additions.places != NULL)
    status = write_places(job, package, error);
  if (status == ISW_OK) return isw_output_close_geopackage(package, error);
  isw_output_drop_geopackage(package);
  return status;
}

/* What page and print are made from, a crop each; new, g_free. */
static struct isw_guide_facts *gather_facts(const struct guide_job *job) {
  struct isw_map_job *map = job->map;
  struct isw_guide_facts *facts = g_new0(struct isw_guide_facts, (gsize)job->n_crops);
  const long long now = isw_base_now();
  for (int c = 0; c < job->n_crops; c++) {
    const struct guide_crop *crop = &job->crops[c];
    facts[c] = (struct isw_guide_facts){
        .plan = crop->plan,
        .grid = isw_climate_grid(map->climate),
        .page = c == 0 ? &map->page : &map->others[c - 1].page,
        .period = isw_climate_period(map->climate),
        .now = now,
        .tally = c == 0 ? map->tally : map->others[c - 1].tally,
        .table = crop->table,
        .districts = map->additions.districts,
        .areas = isw_guide_areas(crop->table),
        .region = crop->region,
        .sites = crop->sites,
        .details = crop->details,
        .publication = &job->publication,
        .edition = job->edition,
        .opens = map->opens != NULL ? isw_jobs_opens_tallies(map->opens) : NULL,
        .among_crops = job->n_crops > 1};
  }
  return facts;
}

static enum isw_status write_guide(struct guide_job *job, struct isw_error *error) {
  struct isw_map_job *map = job->map;
  enum isw_status status = find_places(job, error);
  if (status == ISW_OK) status = write_tables(job, error);
  if (status != ISW_OK) return status;
  struct isw_guide_facts *facts = gather_facts(job);
  if (job->edition != NULL) status = find_moves(job, facts, error);
  if (status == ISW_OK) isw_base_notice(&map->log, "writing the page and the print");
  if (status == ISW_OK)
    status = isw_guide_write_page(job->n_crops, facts,
                                  isw_output_temporary_path(map->folder, page_name), error);
  if (status == ISW_OK)
    status = isw_guide_write_print(job->n_crops, facts, map->folder,
                                   isw_output_temporary_path(map->folder, print_name), error);
  if (status == ISW_OK)
    status = isw_guide_write_handouts(job->n_crops, facts,
                                      isw_output_temporary_path(map->folder, handouts_name), error);
  g_free(facts);
  return status;
}

static enum isw_status run_job(struct guide_job *job, struct isw_error *error) {
  enum isw_status status = open_inputs(job, error);
  bool done = false;
  if (status == ISW_OK && job->map->options->resume)
    status = isw_jobs_resume_map(job->map, &done, error);
  if (status != ISW_OK || done) return status;
  status = isw_jobs_open_map_results(job->map, error);
  if (status == ISW_OK) status = run_pass(job, error);
  if (status == ISW_OK) status = write_guide(job, error);
  if (status == ISW_OK) status = isw_jobs_commit_map(job->map, error);
  if (status != ISW_OK || job->map->options->quiet) return status;
  status = isw_jobs_answer_map_summary(job->map, error);
  if (status == ISW_OK && job->told != NULL)
    status = isw_jobs_answer_string(job->map->request, job->told, error);
  return status;
}

static void free_job(struct guide_job *job) {
  for (int c = 0; c < job->n_crops; c++) {
    struct guide_crop *crop = &job->crops[c];
    if (crop->moves != NULL) g_array_unref(crop->moves);
    isw_guide_free_details(crop->details, crop->region);
    isw_guide_free_sites(crop->sites);
    isw_guide_free_table(crop->table);
    isw_guide_free_region_grid(crop->region);
  }
  g_free(job->crops);
  isw_survey_free_cell_areas(job->areas);
  isw_guide_free_logo(job->logo);
  isw_jobs_free_place_records(&job->records);
  isw_climate_free_heights(job->heights);
  isw_guide_free_edition(job->edition);
  if (job->told != NULL) g_string_free(job->told, TRUE);
  isw_jobs_free_map_job(job->map);
}

enum isw_status isw_jobs_guide(const struct isw_request *request, struct isw_error *error) {
  struct isw_map_job map;
  isw_jobs_start_map_job(&map, request, request->options, ISW_COMMAND_GUIDE);
  struct guide_job job = {.map = &map};
  enum isw_status status = run_job(&job, error);
  free_job(&job);
  return status;
}
