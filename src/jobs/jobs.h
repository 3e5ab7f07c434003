/* The commands, a call each: what design and manual say that `isosow COMMAND` does, without its
 * command line. GDAL must be registered.
 *
 * Each returns ISW_OK, or a status with a message in *error: ISW_USAGE for options, names and words
 * that do not go together, ISW_USAGE_EXISTS for results that are there (what to do about it is the
 * caller's to say), ISW_INPUT_* for inputs,
 * ISW_OUTPUT, ISW_RESOURCES, ISW_INTERRUPTED. A failed call leaves no result under its final name.
 * An empty message: the answer has said it (inspect). */
#ifndef ISW_JOBS_JOBS_H
#define ISW_JOBS_JOBS_H

#include "jobs/request.h"

/* Rasters and maps of a grid into the folder `out`, or one part of them (`part`). Answers with a
 * summary unless quiet. */
enum isw_status isw_jobs_map(const struct isw_request *request, struct isw_error *error);

/* One place, or stations: answers with cards, JSON, rows, a calendar or a table of varieties, of
 * one crop or several; draws the chart of one, or of all. */
enum isw_status isw_jobs_site(const struct isw_request *request, struct isw_error *error);

/* words: A and B. Rasters, maps and a table into `out`; answers with the table. */
enum isw_status isw_jobs_compare(const struct isw_request *request, struct isw_error *error);

/* What map makes, a table by district, page and print, into `out`. */
enum isw_status isw_jobs_guide(const struct isw_request *request, struct isw_error *error);

/* words: sources. Answers with what they hold. */
enum isw_status isw_jobs_inspect(const struct isw_request *request, struct isw_error *error);

/* Answers with how `parts` parts would share a map run, as JSON. */
enum isw_status isw_jobs_parts(const struct isw_request *request, struct isw_error *error);

/* words: a folder that holds the parts of a map run. Its results into that folder. */
enum isw_status isw_jobs_join(const struct isw_request *request, struct isw_error *error);

/* Single years to normals: of stations, answers with a table; of grids, rasters into `out`. */
enum isw_status isw_jobs_normals(const struct isw_request *request, struct isw_error *error);

/* words: list | show NAME | check FILE | new. Answers with sheets' names, a text, that it is right,
 * or a new sheet. */
enum isw_status isw_jobs_crop(const struct isw_request *request, struct isw_error *error);

#endif
