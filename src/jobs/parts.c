/* How a map run divides into parts, as JSON. */
#include <glib.h>
#include <json-glib/json-glib.h>

#include "jobs/jobs.h"
#include "jobs/part_job.h"
#include "output/record_members.h"

/* Cells of the first n blocks; those at the right and lower edge are smaller. */
static long long cells_before(const struct isw_grid *grid, long long n) {
  long long across = isw_survey_blocks_along(grid->width), row = n / across * ISW_BLOCK_SIZE;
  long long above = MIN(row, grid->height), rows = MIN(ISW_BLOCK_SIZE, grid->height - above);
  return above * grid->width + rows * MIN(n % across * ISW_BLOCK_SIZE, grid->width);
}

static long long count_cells(const struct isw_grid *grid, const struct isw_part *part) {
  return cells_before(grid, part->first_block + part->block_count) -
         cells_before(grid, part->first_block);
}

/* What the program needs beside blocks and workers (libraries, GDAL's cache): measured, rounded up.
 */
static const long long program_bytes = 160LL << 20;

static long long expect_memory(const struct isw_map_job *job) {
  const struct isw_plan *plans[] = {job->plan};
  struct isw_survey_options survey = {.threads = job->options->threads,
                                      .memory_MB = job->options->memory_MB};
  return program_bytes + (long long)isw_survey_expected_bytes(1, plans, &survey);
}

static enum isw_status answer_parts(const struct isw_map_job *job, int of,
                                    struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_grid(job->climate);
  long long memory_MB = (expect_memory(job) + (1 << 20) - 1) >> 20;
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  isw_output_add_count(builder, "width", grid->width);
  isw_output_add_count(builder, "height", grid->height);
  isw_output_add_count(builder, "block_size", ISW_BLOCK_SIZE);
  isw_output_add_count(builder, "blocks", isw_survey_count_blocks(grid));
  isw_output_add_count(builder, "threads", job->options->threads);
  json_builder_set_member_name(builder, "parts");
  json_builder_begin_array(builder);
  for (int number = 1; number <= of; number++) {
    struct isw_part part = isw_output_share_blocks(isw_survey_count_blocks(grid), number, of);
    json_builder_begin_object(builder);
    char *name = g_strdup_printf("%d/%d", number, of);
    json_builder_set_member_name(builder, "part");
    json_builder_add_string_value(builder, name);
    g_free(name);
    isw_output_add_count(builder, "first_block", part.first_block);
    isw_output_add_count(builder, "blocks", part.block_count);
    isw_output_add_count(builder, "cells", count_cells(grid, &part));
    isw_output_add_count(builder, "memory_MB", memory_MB);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
  json_builder_end_object(builder);
  JsonNode *root = json_builder_get_root(builder);
  char *text = json_to_string(root, TRUE);
  GString *line = g_string_new(text);
  g_string_append_c(line, '\n');
  enum isw_status status = isw_jobs_answer_data(job->request, line, error);
  g_string_free(line, TRUE);
  g_free(text);
  json_node_unref(root);
  g_object_unref(builder);
  return status;
}

enum isw_status isw_jobs_parts(const struct isw_request *request, struct isw_error *error) {
  const struct isw_options *options = request->options;
  if (options->parts == 0)
    return isw_base_fail(error, ISW_USAGE, "--parts is missing; how many parts?");
  struct isw_map_job job;
  isw_jobs_start_map_job(&job, request, options, ISW_COMMAND_PARTS);
  enum isw_status status = isw_jobs_open_map_inputs(&job, error);
  if (status == ISW_OK)
    status = isw_jobs_check_parts(isw_climate_grid(job.climate), options->parts, error);
  if (status == ISW_OK) status = answer_parts(&job, options->parts, error);
  isw_jobs_free_map_job(&job);
  return status;
}
