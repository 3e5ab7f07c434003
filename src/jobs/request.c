#include "jobs/request.h"

#include <string.h>

#include "base/interrupt.h"
#include "base/plain_text.h"

enum isw_status isw_jobs_answer(const struct isw_request *request, const char *text, size_t size,
                                struct isw_error *error) {
  enum isw_status status = ISW_OK;
  if (request->take != NULL && size > 0) status = request->take(request->taker, text, size, error);
  if (status == ISW_OK && isw_base_interrupted_by() != 0)
    status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
  return status;
}

enum isw_status isw_jobs_answer_data(const struct isw_request *request, GString *data,
                                     struct isw_error *error) {
  enum isw_status status = isw_jobs_answer(request, data->str, data->len, error);
  g_string_truncate(data, 0);
  return status;
}

enum isw_status isw_jobs_answer_string(const struct isw_request *request, GString *text,
                                       struct isw_error *error) {
  isw_base_make_plain(text->str, request->terminal);
  g_string_set_size(text, strlen(text->str));
  return isw_jobs_answer_data(request, text, error);
}
