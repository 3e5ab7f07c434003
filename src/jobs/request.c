#include "jobs/request.h"

#include "base/interrupt.h"

enum isw_status isw_jobs_answer(const struct isw_request *request, const char *text, size_t size,
                                struct isw_error *error) {
  enum isw_status status = ISW_OK;
  if (request->take != NULL && size > 0) status = request->take(request->taker, text, size, error);
  if (status == ISW_OK && isw_base_interrupted_by() != 0)
    status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
  return status;
}

enum isw_status isw_jobs_answer_string(const struct isw_request *request, GString *text,
                                       struct isw_error *error) {
  enum isw_status status = isw_jobs_answer(request, text->str, text->len, error);
  g_string_truncate(text, 0);
  return status;
}
