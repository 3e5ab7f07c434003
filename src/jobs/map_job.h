/* A map run in steps, for the commands that make a map run's results: a sink for finished blocks,
 * and what follows when all blocks are there. The steps are called in this order:
 *
 *   start -> open inputs (or: set sheet, plan, maps, page, facts, source_line, counts)
 *         -> open results -> blocks into isw_jobs_take_map_block, in order
 *         -> finish rasters -> (further results) -> commit -> free
 *
 * A step that fails returns, besides what its comment says, the status of what it called:
 * ISW_USAGE, ISW_INPUT_*, ISW_OUTPUT, ISW_RESOURCES or ISW_INTERRUPTED; the job is then to be
 * freed. */
#ifndef ISW_JOBS_MAP_JOB_H
#define ISW_JOBS_MAP_JOB_H

#include <glib.h>

#include "jobs/map_pages.h"
#include "jobs/opens_job.h"
#include "jobs/request.h"
#include "jobs/run_inputs.h"
#include "output/input_watch.h"
#include "output/run_record.h"
#include "output/window_rasters.h"

/* A further crop of the same run. */
struct isw_map_crop {
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  struct isw_map_page page; /* the job's, of this crop */
  struct isw_window_rasters *rasters;
  struct isw_tally *tally;
};

struct isw_map_job {
  /* What was asked for; the caller's, set before the first step. */
  const struct isw_request *request;
  const struct isw_options *options; /* the request's, or those of parts; out: the results folder */
  enum isw_command command;          /* in run.json */
  /* The job's own, freed with it. */
  struct isw_log log;
  GTimer *timer;
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  int n_others; /* crops besides; their blocks' plans are 1, 2 ... */
  struct isw_map_crop *others;
  enum isw_replace replace; /* results that are there */
  struct isw_map_page page;
  struct isw_map_additions additions;
  struct isw_mask *mask;         /* NULL: every cell counts */
  char *mask_line;               /* which cells count, for readers; NULL: all */
  struct isw_climate *climate;   /* NULL where facts and counts were brought along */
  struct isw_input_watch *watch; /* NULL likewise */
  struct isw_run_facts facts;    /* brought along; else noted when they are needed */
  struct isw_climate_counts counts;
  char *source_line;
  GPtrArray *names; /* of all results but run.json */
  struct isw_folder *folder;
  struct isw_window_rasters *rasters;
  struct isw_tally *tally;
  struct isw_opens_job *opens; /* NULL: not asked for */
};

/* request and options are borrowed and must outlive the job; to be freed, also after failure. */
void isw_jobs_start_map_job(struct isw_map_job *job, const struct isw_request *request,
                            const struct isw_options *options, enum isw_command command);
/* Release what the job holds; the struct is the caller's. */
void isw_jobs_free_map_job(struct isw_map_job *job);

/* Sheet, plan, page and climate from the options; of a guide those of further crops too. ISW_USAGE:
 * two of them would write one file. */
enum isw_status isw_jobs_open_map_inputs(struct isw_map_job *job, struct isw_error *error);

/* The sheets of all its crops, its own first. New (g_free), 1 + n_others. */
struct isw_sheet **isw_jobs_list_sheets(const struct isw_map_job *job);

/* --resume, after the inputs are open: *done when the results folder holds this very run, whole
 * (the answer says so). Otherwise goes on: a run that lost or changed results, or was killed
 * while it put them in place, is to be overwritten. ISW_USAGE_EXISTS: another run's results are
 * there and overwrite is false. */
enum isw_status isw_jobs_resume_map(struct isw_map_job *job, bool *done, struct isw_error *error);

/* List the results' names (a caller may have put further ones into job->names), open the folder,
 * create the rasters and the tally. */
enum isw_status isw_jobs_open_map_results(struct isw_map_job *job, struct isw_error *error);

/* A sink's take_block; self is the job. */
enum isw_status isw_jobs_take_map_block(void *self, const struct isw_block *block,
                                        struct isw_error *error);

/* The same in jobs for isw_survey_options.sink_jobs: the take_block of a sink, and how many. */
int isw_jobs_count_map_jobs(const struct isw_map_job *job);
enum isw_status isw_jobs_do_map_job(void *self, const struct isw_block *block,
                                    struct isw_error *error);

/* Judge the counts of the whole grid, close and check the rasters, draw the pages, and, with cog,
 * rewrite the rasters. */
enum isw_status isw_jobs_finish_map_rasters(struct isw_map_job *job, struct isw_error *error);

/* Note what the climate's files hold, with their checksums, in job->facts; nothing to do where
 * facts were brought along. ISW_INPUT_FILE. */
enum isw_status isw_jobs_note_map_facts(struct isw_map_job *job, struct isw_error *error);

/* After all was read. ISW_INPUT_FILE: an input was replaced or written to since it was opened. */
enum isw_status isw_jobs_check_map_inputs(const struct isw_map_job *job, struct isw_error *error);

/* Write run.json, check that the inputs are still those that were opened, and put everything in
 * place. */
enum isw_status isw_jobs_commit_map(struct isw_map_job *job, struct isw_error *error);

/* Answer with what was made. ISW_OUTPUT. */
enum isw_status isw_jobs_answer_map_summary(const struct isw_map_job *job, struct isw_error *error);

#endif
