/* Options to what the rooms take: the climate's request, the conditions, the sheet and the plan. */
#ifndef ISW_JOBS_RUN_INPUTS_H
#define ISW_JOBS_RUN_INPUTS_H

#include "climate/climate.h"
#include "growth/plan.h"
#include "jobs/options.h"

/* Points into options. */
struct isw_climate_request isw_jobs_climate_request(const struct isw_options *options);

/* ISW_USAGE: a shelter that the sheet does not have. */
enum isw_status isw_jobs_make_conditions(const struct isw_options *options,
                                         const struct isw_sheet *sheet, struct isw_conditions *out,
                                         struct isw_error *error);

/* The plan of everything chosen from a sheet; new, g_free. ISW_USAGE: names it does not have. */
enum isw_status isw_jobs_plan_sheet(const struct isw_options *options,
                                    const struct isw_sheet *sheet, struct isw_plan **plan,
                                    struct isw_error *error);

/* The sheet of --crop; *out is the options'. ISW_USAGE: there is none, or several. */
enum isw_status isw_jobs_one_crop(const struct isw_options *options, const char **out,
                                  struct isw_error *error);

/* The sheets of --crop in the order given, and their plans. */
struct isw_crop_plans {
  int count;
  struct isw_sheet **sheets;
  struct isw_plan **plans;
};
/* To be freed also after failure. ISW_USAGE: none, one twice, two of one name, names that a sheet
 * does not have; ISW_INPUT_*. */
enum isw_status isw_jobs_make_plans(const struct isw_options *options, struct isw_crop_plans *out,
                                    struct isw_error *error);
/* Release what *plans holds; the struct is the caller's. */
void isw_jobs_free_plans(struct isw_crop_plans *plans);

/* The one sheet of --crop and its plan. Both new: isw_crop_free_sheet, g_free. ISW_USAGE,
 * ISW_INPUT_*.
 */
enum isw_status isw_jobs_make_plan(const struct isw_options *options, struct isw_sheet **sheet,
                                   struct isw_plan **plan, struct isw_error *error);

/* ISW_USAGE: --out is missing. */
enum isw_status isw_jobs_refuse_without_out(struct isw_error *error);

/* "Normals 1991-2020 from tmin.tif, tmax.tif", or "... period not stated ..."; new. */
char *isw_jobs_source_line(const struct isw_options *options, const struct isw_climate *climate);

#endif
