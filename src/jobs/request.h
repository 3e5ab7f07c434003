/* A request to one of the commands, and where its answer goes. A request knows neither a command
 * line's syntax nor the standard streams, so that a test can make it. */
#ifndef ISW_JOBS_REQUEST_H
#define ISW_JOBS_REQUEST_H

#include "base/log.h"
#include "jobs/options.h"

/* Takes the next piece of an answer (UTF-8, file names in it as they are). ISW_OUTPUT. */
typedef enum isw_status isw_take_answer(void *taker, const char *text, size_t size,
                                        struct isw_error *error);

struct isw_request {
  const struct isw_options *options;
  int n_words; /* besides options: the sides of compare, the sources of inspect, the folder of join
                */
  const char *const *words;
  int argc; /* the command line as run.json records it; may be 0 */
  const char *const *argv;
  struct isw_log log;
  bool terminal;         /* the answer goes to one: bold letters are understood */
  isw_take_answer *take; /* NULL: nobody listens */
  void *taker;
};

/* Hand over a piece of the answer. ISW_OUTPUT: it could not be taken; ISW_INTERRUPTED. */
enum isw_status isw_jobs_answer(const struct isw_request *request, const char *text, size_t size,
                                struct isw_error *error);

/* The same of a string, which is emptied. Text to be read, made plain (base/plain_text.h) with what
 * is bold, or data that programs read, left as they are. */
enum isw_status isw_jobs_answer_string(const struct isw_request *request, GString *text,
                                       struct isw_error *error);
enum isw_status isw_jobs_answer_data(const struct isw_request *request, GString *data,
                                     struct isw_error *error);

#endif
